//! The work of one rebuild told step by step: what is true and what was read, side by side.

use shimcast_sim::axle::MarkSign;
use shimcast_sim::bench::{Basis, Event, Place};
use shimcast_sim::follow::Step;
use shimcast_sim::minutes::{Operation, Task};
use shimcast_sim::setup::Setup;
use shimcast_sim::truth::Assembly;

use super::decisions::decision;
use crate::figures::{Printed, signed_percent};
use crate::tasks::words;

/// A piece of work, or an assembly with its readings.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Act {
    /// What was done.
    pub heading: String,
    /// How long that took; empty where it took no time of its own.
    pub took: String,
    /// Of an assembly: what is looked at, in truth, as read, its window.
    pub rows: Vec<[String; 4]>,
    /// What was found and decided.
    pub lines: Vec<String>,
}

/// What stands over the rows of an assembly.
pub const ROWS: [&str; 4] = ["", "in truth", "as read", "window"];

/// The work in order.
pub fn acts(setup: &Setup, steps: &[Step], print: Printed) -> Vec<Act> {
    let mut teller = Teller {
        setup,
        print,
        acts: Vec::new(),
        assemblies: 0,
        for_good: false,
        open: None,
        torque: Torques::default(),
    };
    for step in steps {
        teller.tell(step);
    }
    teller.close();
    teller.acts
}

/// A length with its sign; zero has none.
pub(super) fn signed_length(print: Printed, mm: f64) -> String {
    signed(print.bare_length(mm), mm)
}

/// A figure as printed, with its sign; zero has none.
pub(super) fn signed(printed: String, figure: f64) -> String {
    if figure > 0.0 && printed.chars().any(|c| c.is_ascii_digit() && c != '0') {
        format!("+{printed}")
    } else {
        printed
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
    acts: Vec<Act>,
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
        if self.acts.is_empty() {
            self.acts.push(Act::default());
        }
        if let Some(act) = self.acts.last_mut() {
            act.lines.push(text.to_owned());
        }
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
        self.acts.push(Act {
            heading: format!("{}{again}", capital(name)),
            took: format!("{minutes:.0} min"),
            ..Act::default()
        });
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
        let took = if open.minutes > 0.0 {
            format!("read in {:.0} min", open.minutes)
        } else {
            String::new()
        };
        let round = [-1.0, 1.0].map(|side| truth.backlash + side * truth.swing);
        let not_read = || "not read".to_owned();
        let mut rows = vec![[
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
        ]];
        for (i, flank) in ["drive", "coast"].into_iter().enumerate() {
            rows.push([
                format!("pattern up the profile, {flank}"),
                signed_percent(truth.pattern[2 * i + 1]),
                open.pattern.map_or_else(not_read, |p| signed_percent(p[i])),
                format!("±{:.0} %", 100.0 * windows.pattern_profile),
            ]);
        }
        for (i, flank) in ["drive", "coast"].into_iter().enumerate() {
            rows.push([
                format!("pattern along the tooth, {flank}"),
                signed_percent(truth.pattern[2 * i]),
                "not chased".to_owned(),
                format!("±{:.0} %", 100.0 * windows.pattern_length),
            ]);
        }
        rows.push([
            "side closure".to_owned(),
            print.length(truth.closure),
            open.rise.map_or_else(
                || "trusted to the shims".to_owned(),
                |[rise, read]| {
                    let window = self.setup.rise_window;
                    format!(
                        "torque rise {} (in truth {}; wanted {})",
                        print.bare_torque(read),
                        print.bare_torque(rise),
                        print.torques(window.low, window.high)
                    )
                },
            ),
            print.window(windows.side_closure.low, windows.side_closure.high),
        ]);
        rows.push([
            "pinion depth, + too shallow".to_owned(),
            signed_length(print, truth.depth),
            "can't be read".to_owned(),
            format!("±{}", print.length(windows.depth)),
        ]);
        self.acts.push(Act {
            heading: open.called,
            took,
            rows,
            lines: open.notes,
        });
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

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}
