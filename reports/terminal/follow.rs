//! One rebuild told in order: what is true, what was read, what was decided and why.

use std::fmt::Write;

use unicode_width::UnicodeWidthStr;

use shimcast_sim::axle::MarkSign;
use shimcast_sim::bench::{Basis, Event, Place};
use shimcast_sim::follow::{Step, Story};
use shimcast_sim::minutes::{Operation, Task};
use shimcast_sim::money::Outcome;
use shimcast_sim::setup::Setup;
use shimcast_sim::truth::Assembly;

use super::decisions::decision;
use super::odds::{assumptions, title};
use super::{AT_WORK, CAUTION, Ink, Table};
use crate::answers::follow::{Followed, Measured, drawn_parts};
use crate::figures::{Digits, Printed, plain};
use crate::tasks::words;

/// The story as text.
pub fn render(asked: &Followed<'_>, ink: Ink) -> String {
    let (setup, story) = (asked.setup, asked.story);
    let print = Printed(asked.units);
    let mut text = format!("{}\n", ink.heading(&title(setup)));
    let _ = writeln!(
        text,
        "Rebuild {} of seed {}{}",
        story.number,
        asked.seed,
        asked
            .found
            .map(|what| format!(", found by --find {what}"))
            .unwrap_or_default()
    );
    let _ = write!(text, "\n{}", verdict(story));
    let _ = write!(
        text,
        "\n{}\n{}",
        ink.heading("The parts as drawn: nobody at the bench can see these"),
        parts(asked)
    );
    let _ = writeln!(text, "\n{}", ink.heading("The work, in order"));
    let mut teller = Teller {
        setup,
        print,
        ink,
        text,
        packs: [None; 4],
        assemblies: 0,
        for_good: false,
        open: None,
        torque: Torques::default(),
    };
    for step in &story.steps {
        teller.tell(step);
    }
    teller.close();
    let mut text = teller.text;
    let _ = write!(
        text,
        "\n{}\n{}",
        ink.heading("In the end, true state"),
        ending(asked)
    );
    let _ = writeln!(
        text,
        "\nThis is the very rebuild that every answer counts as number {} under seed {}. Spreads, \
         errors\nand minutes are what the files say: the built-in ones are plausible, not measured.",
        story.number, asked.seed
    );
    text.push_str(&assumptions(asked.assumptions, ink));
    let _ = write!(text, "\n{CAUTION}{AT_WORK}");
    text
}

fn verdict(story: &Story) -> String {
    let rebuild = &story.rebuild;
    let how = match story.outcome {
        Outcome::Right if rebuild.compromised => "handed over right, with a compromise on the way",
        Outcome::Right => "handed over right",
        Outcome::WronglyPassed if rebuild.compromised => {
            "handed over with something outside its window, after a compromise"
        }
        Outcome::WronglyPassed => "passed by its readings, though something is truly outside",
        Outcome::GivenUp => "given up",
    };
    let mut table = Table::default();
    table.row(["How it ended", how]);
    table.row([
        "First assembly".to_owned(),
        if story.first.all() {
            "truly inside all its windows".to_owned()
        } else {
            let outside = [
                ("backlash", story.first.backlash),
                ("pattern", story.first.pattern),
                ("side closure", story.first.closure),
            ];
            let names: Vec<&str> = outside
                .iter()
                .filter(|(_, inside)| !inside)
                .map(|(name, _)| *name)
                .collect();
            format!("outside: {}", names.join(", "))
        },
    ]);
    table.row([
        "Assemblies".to_owned(),
        format!(
            "{}: pinion shim changed {}, side shims alone {}, ring gear reseated {}",
            rebuild.assemblies,
            times(rebuild.pinion_changes),
            times(rebuild.side_changes),
            times(rebuild.reseats)
        ),
    ]);
    table.row(["Hours".to_owned(), format!("{:.1}", story.minutes / 60.0)]);
    table.text()
}

fn times(count: u32) -> String {
    match count {
        0 => "never".into(),
        1 => "once".into(),
        2 => "twice".into(),
        n => format!("{n} times"),
    }
}

fn parts(asked: &Followed<'_>) -> String {
    let print = Printed(asked.units);
    let mut table = Table::right(&[1, 2]);
    table.row(["", "this one", "off the middle", ""]);
    for part in drawn_parts(asked.setup, &asked.story.parts) {
        let off = part.value - part.middle;
        let (value, off, unit) = match part.measured {
            Measured::Length => (
                print.bare_length(part.value),
                signed_length(print, off),
                print.length_unit().to_owned(),
            ),
            Measured::Angle => (
                format!("{:.1}", part.value),
                Digits::decimals(1).signed(off),
                "arc-minutes".to_owned(),
            ),
            Measured::Torque => (
                print.bare_torque(part.value),
                format!(
                    "{}{}",
                    if off < 0.0 { "-" } else { "+" },
                    print.bare_torque(off.abs())
                ),
                print.0.torque.printed().to_owned(),
            ),
            Measured::TorquePerForce => (
                format!("{:.2}", part.value),
                Digits::decimals(2).signed(off),
                "N·m per kN".to_owned(),
            ),
        };
        table.row([part.name.to_owned(), value, off, unit]);
    }
    table.text()
}

/// A length with its sign; zero has none.
fn signed_length(print: Printed, mm: f64) -> String {
    let bare = print.bare_length(mm);
    if mm > 0.0 && bare.chars().any(|c| c.is_ascii_digit() && c != '0') {
        format!("+{bare}")
    } else {
        bare
    }
}

/// A share of the tooth with its sign, in percent.
pub(super) fn tooth(share: f64) -> String {
    let percent = (100.0 * share).round();
    if percent == 0.0 {
        "0 %".into()
    } else {
        format!("{percent:+.0} %")
    }
}

/// An assembly of which readings are still coming in.
struct Open {
    called: String,
    truth: Assembly,
    backlash: Option<Vec<f64>>,
    pattern: Option<[f64; 2]>,
    rise: Option<[f64; 2]>,
    notes: Vec<String>,
    minutes: f64,
}

impl Open {
    fn unread(&self) -> bool {
        self.backlash.is_none() && self.notes.is_empty()
    }
}

/// Torque readings at one sleeve, or one go at a spacer.
#[derive(Default)]
struct Torques {
    count: u32,
    last: Option<[f64; 3]>,
}

struct Teller<'a> {
    setup: &'a Setup,
    print: Printed,
    ink: Ink,
    text: String,
    packs: [Option<[f64; 2]>; 4],
    assemblies: u32,
    /// The next bolting up is that of the final assembly.
    for_good: bool,
    open: Option<Open>,
    torque: Torques,
}

impl Teller<'_> {
    fn tell(&mut self, step: &Step) {
        match step {
            Step::Operation(operation, minutes) => self.operation(*operation, *minutes),
            Step::Event(event) => self.event(event),
        }
    }

    fn line(&mut self, text: &str) {
        self.text.push_str(&wrapped(text));
    }

    fn operation(&mut self, operation: Operation, minutes: f64) {
        match operation {
            Operation::ReadBacklash | Operation::ReadPattern => {
                if let Some(open) = &mut self.open {
                    open.minutes += minutes;
                }
                return;
            }
            // what was bolted up for good is read once the pinion's preload is set
            Operation::Sleeve | Operation::SleeveAgain | Operation::SpacerChange
                if self.open.as_ref().is_some_and(Open::unread) => {}
            _ => self.close(),
        }
        self.torque = Torques::default();
        if operation == Operation::FinalAssembly {
            self.for_good = true;
        }
        let name = words(Task::of(operation));
        let again = if operation == Operation::SleeveAgain {
            ", a new one"
        } else {
            ""
        };
        let _ = writeln!(
            self.text,
            "{}{again} ({minutes:.0} min)",
            self.ink.heading(&capital(name))
        );
    }

    fn event(&mut self, event: &Event) {
        let print = self.print;
        match event {
            Event::PinionStart {
                basis,
                marks,
                slipped,
                wanted,
            } => self.pinion_start(basis, *marks, *slipped, *wanted),
            Event::Total {
                truth,
                found,
                wanted,
            } => self.line(&format!(
                "zero end play found with side packs of {} together (in truth {}); with preload \
                 added {}",
                print.bare_length(*found),
                print.bare_length(*truth),
                print.length(*wanted)
            )),
            Event::RingStart { basis, wanted } => {
                let from = self.basis(basis);
                self.line(&format!(
                    "ring-gear side: {from}; wanted {}",
                    print.length(*wanted)
                ));
            }
            Event::Pack {
                place,
                wanted,
                printed,
                real,
                kept,
            } => {
                self.packs[*place as usize] = Some([*printed, *real]);
                if !kept {
                    self.line(&format!(
                        "fitted {}: wanted {}, nearest {} (in truth {})",
                        at(*place),
                        print.bare_length(*wanted),
                        print.thickness(*printed),
                        print.length(*real)
                    ));
                }
            }
            Event::BoltedUp(truth) => {
                self.close();
                let called = if std::mem::take(&mut self.for_good) {
                    "As finally assembled".to_owned()
                } else {
                    self.assemblies += 1;
                    format!("Assembly {}", self.assemblies)
                };
                self.open = Some(Open {
                    called,
                    truth: *truth,
                    backlash: None,
                    pattern: None,
                    rise: None,
                    notes: Vec::new(),
                    minutes: 0.0,
                });
            }
            Event::Backlash { readings, .. } => {
                if let Some(open) = &mut self.open {
                    open.backlash = Some(readings.clone());
                }
            }
            Event::TorqueRise { truth, reading } => {
                if let Some(open) = &mut self.open {
                    open.rise = Some([*truth, *reading]);
                }
            }
            Event::Pattern { readings, .. } => {
                if let Some(open) = &mut self.open {
                    open.pattern = Some(*readings);
                }
            }
            Event::Learned { before, after } => {
                let note = format!(
                    "the last move taught: backlash follows the ring gear {after:.2} to one, not \
                     {before:.2}"
                );
                if let Some(open) = &mut self.open {
                    open.notes.push(note);
                }
            }
            Event::Torque {
                closure,
                truth,
                reading,
            } => {
                self.torque.count += 1;
                self.torque.last = Some([*closure, *truth, *reading]);
            }
            Event::Decision(made) => {
                let said = decision(self.setup, self.print, made);
                match (self.torque.last.take(), &mut self.open) {
                    (Some(last), _) => self.torque_told(last, &said),
                    (None, Some(open)) => open.notes.push(said),
                    (None, None) => self.line(&said),
                }
            }
        }
    }

    fn pinion_start(&mut self, basis: &Basis, marks: [f64; 2], slipped: bool, wanted: f64) {
        let print = self.print;
        let sign = match self.setup.axle.gears.mark.plus {
            MarkSign::Farther => 1.0,
            MarkSign::Deeper => -1.0,
        };
        let [old, new] = marks.map(|mark| signed_length(print, sign * mark));
        let asks = match self.setup.axle.gears.mark.plus {
            MarkSign::Farther => "longer",
            MarkSign::Deeper => "shorter",
        };
        let wrong_way = if slipped {
            "; BOTH TAKEN THE WRONG WAY ROUND"
        } else {
            ""
        };
        self.line(&format!(
            "marks on the pinions: old {old}, new {new} (\"+\" asks for a {asks} mounting \
             distance){wrong_way}"
        ));
        let from = self.basis(basis);
        self.line(&format!(
            "pinion shim: {from}; with the marks wanted {}",
            print.length(wanted)
        ));
    }

    fn basis(&self, basis: &Basis) -> String {
        let print = self.print;
        match *basis {
            Basis::OldPack {
                real,
                measured,
                heights,
            } => {
                let grown = if heights == 0.0 {
                    String::new()
                } else {
                    format!(
                        ", the new bearing measures {} against the old",
                        signed_length(print, heights)
                    )
                };
                format!(
                    "the old pack measures {} (in truth {}){grown}",
                    print.bare_length(measured),
                    print.bare_length(real)
                )
            }
            Basis::Gauge { truth, reading } => format!(
                "the gauge shows {} of room (in truth {})",
                print.bare_length(reading),
                print.bare_length(truth)
            ),
            Basis::Usual { usual } => format!("the usual thickness, {}", print.thickness(usual)),
            Basis::ZeroLash => "backed off from where backlash vanishes".into(),
        }
    }

    fn torque_told(&mut self, [closure, truth, reading]: [f64; 3], said: &str) {
        let print = self.print;
        let window = self.setup.torque_window;
        let count = match self.torque.count {
            1 => String::new(),
            n => format!("{n} readings on the way; the last: "),
        };
        self.line(&format!(
            "{count}turning torque in truth {}, read {}, window {}; closed by {}",
            print.bare_torque(truth),
            print.bare_torque(reading),
            print.torques(window.low, window.high),
            print.length(closure)
        ));
        self.line(said);
        self.torque = Torques::default();
    }

    /// Prints the assembly whose readings are all in.
    fn close(&mut self) {
        let Some(open) = self.open.take() else {
            return;
        };
        let print = self.print;
        let windows = &self.setup.axle.windows;
        let truth = &open.truth;
        let minutes = if open.minutes > 0.0 {
            format!(" (read in {:.0} min)", open.minutes)
        } else {
            String::new()
        };
        let _ = writeln!(self.text, "{}{minutes}", self.ink.heading(&open.called));
        let mut table = Table::default();
        table.row(["", "in truth", "as read", "window"]);
        let round = [-1.0, 1.0].map(|side| truth.backlash + side * truth.swing);
        let not_read = || "not read".to_owned();
        table.row([
            "backlash round the ring".to_owned(),
            format!(
                "{} to {}",
                print.bare_length(round[0].max(0.0)),
                print.length(round[1].max(0.0))
            ),
            open.backlash.map_or_else(not_read, |readings| {
                let readings: Vec<String> =
                    readings.iter().map(|r| print.bare_length(*r)).collect();
                readings.join(" ")
            }),
            print.window(windows.backlash.low, windows.backlash.high),
        ]);
        for (i, flank) in ["drive", "coast"].into_iter().enumerate() {
            table.row([
                format!("pattern up the profile, {flank}"),
                tooth(truth.pattern[2 * i + 1]),
                open.pattern.map_or_else(not_read, |p| tooth(p[i])),
                format!("±{:.0} %", 100.0 * windows.pattern_profile),
            ]);
        }
        for (i, flank) in ["drive", "coast"].into_iter().enumerate() {
            table.row([
                format!("pattern along the tooth, {flank}"),
                tooth(truth.pattern[2 * i]),
                "not chased".to_owned(),
                format!("±{:.0} %", 100.0 * windows.pattern_length),
            ]);
        }
        table.row([
            "side closure".to_owned(),
            print.length(truth.closure),
            open.rise.map_or_else(
                || "trusted to the shims".to_owned(),
                |[rise, read]| {
                    format!(
                        "torque rise {} (in truth {})",
                        print.bare_torque(read),
                        print.bare_torque(rise)
                    )
                },
            ),
            print.window(windows.side_closure.low, windows.side_closure.high),
        ]);
        table.row([
            "pinion depth, + too shallow".to_owned(),
            signed_length(print, truth.depth),
            "can't be read".to_owned(),
            format!("±{}", print.length(windows.depth)),
        ]);
        self.text.push_str(&table.text());
        for note in open.notes {
            self.line(&note);
        }
    }
}

/// A place in words.
fn at(place: Place) -> &'static str {
    match place {
        Place::Pinion => "at the pinion",
        Place::RingSide => "on the ring-gear side",
        Place::FarSide => "on the far side",
        Place::Spacer => "at the spacer",
    }
}

/// Columns of a line of the story.
const WIDTH: usize = 98;

/// A line behind two blanks, and what goes on below it behind four.
fn wrapped(text: &str) -> String {
    let mut all = String::new();
    let mut line = String::from(" ");
    for word in text.split(' ') {
        if line.width() + 1 + word.width() > WIDTH {
            all.push_str(&line);
            all.push('\n');
            line = String::from("   ");
        }
        line.push(' ');
        line.push_str(word);
    }
    all.push_str(&line);
    all.push('\n');
    all
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}

fn ending(asked: &Followed<'_>) -> String {
    let story = asked.story;
    if story.outcome == Outcome::GivenUp {
        return format!(
            "  given up after {} assemblies, the most this shop makes (bench.most_assemblies); \
             nothing is handed over\n",
            plain(f64::from(story.rebuild.assemblies))
        );
    }
    let print = Printed(asked.units);
    let setup = asked.setup;
    let windows = &setup.axle.windows;
    let last = &story.rebuild.last;
    let word = |inside: bool| if inside { "inside" } else { "OUTSIDE" };
    let mut table = Table::default();
    table.row([
        "backlash".to_owned(),
        word(story.last.backlash).to_owned(),
        format!(
            "{} to {}, varies by {}",
            print.bare_length((last.backlash - last.swing).max(0.0)),
            print.length(last.backlash + last.swing),
            print.length(2.0 * last.swing)
        ),
        format!(
            "window {}, variation at most {}",
            print.window(windows.backlash.low, windows.backlash.high),
            print.length(windows.backlash_variation)
        ),
    ]);
    let [drive_length, drive, coast_length, coast] = last.pattern.map(tooth);
    table.row([
        "pattern".to_owned(),
        word(story.last.pattern).to_owned(),
        format!("drive {drive_length} long, {drive} high; coast {coast_length} long, {coast} high"),
        format!(
            "±{:.0} % long, ±{:.0} % high",
            100.0 * windows.pattern_length,
            100.0 * windows.pattern_profile
        ),
    ]);
    table.row([
        "side closure".to_owned(),
        word(story.last.closure).to_owned(),
        print.length(last.closure),
        format!(
            "window {}",
            print.window(windows.side_closure.low, windows.side_closure.high)
        ),
    ]);
    if let (Some(torque), Some(inside)) = (story.rebuild.pinion_torque, story.torque_inside) {
        table.row([
            "pinion torque".to_owned(),
            word(inside).to_owned(),
            print.torque(torque),
            format!(
                "window {}",
                print.torques(setup.torque_window.low, setup.torque_window.high)
            ),
        ]);
    }
    table.text()
}
