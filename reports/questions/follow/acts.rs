//! The work of one rebuild told step by step: what is true and what was read, side by side.

use shimcast_sim::axle::{MarkSign, PinionSeat, SideSeat};
use shimcast_sim::bench::minutes::{Operation, Task};
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::bench::{Basis, Decision, Event, PackPlace};
use shimcast_sim::follow::StoryStep;

use super::assembly::Open;
use super::decisions::{On, RingMove, decision};
use crate::document::{Cell, Column, Table};
use crate::figures::Printed;
use crate::questions::odds::has_adjusters;
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

impl Act {
    /// The truth of an assembly beside what was read of it; `None` of other work.
    pub fn table(&self) -> Option<Table> {
        let mut table = Table::new([
            Column::words(""),
            Column::words("in truth"),
            Column::words("as read"),
            // the same at every assembly
            Column::words("window").may_go(),
        ])
        .caption(format!("{}: truth and readings", self.heading));
        for row in &self.rows {
            table.row(row.clone().map(Cell::from));
        }
        (!self.rows.is_empty()).then_some(table)
    }
}

/// The work in order.
pub fn acts(setup: &Setup, steps: &[StoryStep], print: Printed) -> Vec<Act> {
    let mut teller = Teller {
        setup,
        print,
        acts: Vec::new(),
        assemblies: 0,
        turns: 0,
        called: String::new(),
        next: Next::Assembly,
        open: None,
        torque: Torques::default(),
        ring: 0.0,
        gone_back: false,
        turns_wanted: false,
        pulls_side_cones: false,
    };
    for (step, rest) in steps.iter().zip(1..).map(|(step, i)| (step, &steps[i..])) {
        teller.tell(step, rest);
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

/// Torque readings at one sleeve, or one go at a spacer.
#[derive(Default)]
struct Torques {
    count: u32,
    last: Option<[f64; 3]>,
}

/// What the next state of the axle comes from.
enum Next {
    /// An assembly.
    Assembly,
    /// The final assembly, which is not counted among them.
    FinalAssembly,
    /// A turn of the adjusters, which is none.
    Turn,
}

struct Teller<'a> {
    setup: &'a Setup,
    print: Printed,
    acts: Vec<Act>,
    assemblies: u32,
    /// Turns of the adjusters.
    turns: u32,
    /// What the last assembly was called.
    called: String,
    next: Next,
    open: Option<Open>,
    torque: Torques,
    /// What stands on the ring-gear side, as printed, mm.
    ring: f64,
    /// Whether the better of two packs was put back there.
    gone_back: bool,
    /// Whether turns of the adjusters were wanted last.
    turns_wanted: bool,
    /// Whether the next change of a side pack pulls the cones in front of it.
    pulls_side_cones: bool,
}

impl Teller<'_> {
    fn tell(&mut self, step: &StoryStep, rest: &[StoryStep]) {
        match step {
            StoryStep::Operation(operation, minutes) => self.operation(*operation, *minutes),
            StoryStep::Event(event) => self.event(event, rest),
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
        match operation {
            Operation::FinalAssembly => {
                self.next = Next::FinalAssembly;
                self.gone_back = false;
            }
            Operation::SideChange | Operation::TrialSideChange if has_adjusters(self.setup) => {
                self.next = Next::Turn;
            }
            _ => {}
        }
        let name = words(Task::of(operation), self.setup);
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
        self.pulled_for(operation);
    }

    /// Tells which pressed cones come off for a change on the real bearings.
    fn pulled_for(&mut self, operation: Operation) {
        let axle = &self.setup.axle;
        let behind = axle.side_shims.seat == SideSeat::BehindSideBearings;
        // with the pinion shim the side packs change where that is needed
        self.pulls_side_cones = behind && operation == Operation::PinionChange;
        match operation {
            Operation::PinionChange if axle.pinion_shim.seat == PinionSeat::UnderHeadBearing => {
                self.line("the cone of the head bearing is pulled for it");
            }
            Operation::SideChange if behind => {
                self.line("the cones of both side bearings are pulled for it");
            }
            _ => {}
        }
    }

    fn event(&mut self, event: &Event, rest: &[StoryStep]) {
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
                "zero end play found with {} of {} together (in truth {}); with preload added {}",
                match has_adjusters(self.setup) {
                    true => "settings",
                    false => "side packs",
                },
                print.bare_length(*found),
                print.bare_length(*truth),
                print.length(*wanted)
            )),
            Event::RingStart { basis, wanted } => {
                let from = self.basis(basis, has_adjusters(self.setup));
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
                if *place == PackPlace::RingSide {
                    self.ring = *printed;
                }
                if *kept {
                    return;
                }
                let side = matches!(place, PackPlace::RingSide | PackPlace::FarSide);
                if side && std::mem::take(&mut self.pulls_side_cones) {
                    self.line("the cones of both side bearings are pulled as well");
                }
                self.line(&if side && has_adjusters(self.setup) {
                    format!(
                        "set {}: wanted {}, nearest notch {} {}",
                        at(*place),
                        print.bare_length(*wanted),
                        print.thickness(*printed),
                        print.length_unit()
                    )
                } else {
                    format!(
                        "fitted {}: wanted {}, nearest {} (in truth {})",
                        at(*place),
                        print.bare_length(*wanted),
                        print.thickness(*printed),
                        print.length(*real)
                    )
                });
            }
            Event::BoltedUp(truth) => {
                self.close();
                let called = match std::mem::replace(&mut self.next, Next::Assembly) {
                    Next::Turn => {
                        self.turns += 1;
                        format!("{}, turn {} of the adjusters", self.called, self.turns)
                    }
                    Next::FinalAssembly => {
                        self.called = "As finally assembled".to_owned();
                        self.called.clone()
                    }
                    Next::Assembly => {
                        self.assemblies += 1;
                        self.called = format!("Assembly {}", self.assemblies);
                        self.called.clone()
                    }
                };
                self.open = Some(Open::new(called, *truth));
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
                let said = self.decided(made, rest);
                match (self.torque.last.take(), &mut self.open) {
                    (Some(last), _) => self.torque_told(last, &said),
                    (None, Some(open)) => open.notes.push(said),
                    (None, None) => self.line(&said),
                }
            }
        }
    }

    /// A decision in words, and what is to be remembered of it.
    fn decided(&mut self, made: &Decision, rest: &[StoryStep]) -> String {
        let open = self.open.as_ref();
        // given up, nothing comes of it
        let mut comes = rest
            .iter()
            .take_while(|step| !matches!(step, StoryStep::Event(Event::Decision(_))));
        let ring = comes.find_map(|step| match step {
            StoryStep::Event(Event::Pack {
                place: PackPlace::RingSide,
                wanted,
                printed,
                ..
            }) => Some(RingMove {
                before: self.ring,
                wanted: *wanted,
                after: *printed,
            }),
            _ => None,
        });
        let on = On {
            backlash: open.and_then(|open| open.backlash.as_deref()),
            pattern: open.and_then(|open| open.pattern),
            rise: open.and_then(|open| open.rise).map(|[_, read]| read),
            torque: self.torque.last.map(|[_, _, read]| read),
            ring,
            gone_back: self.gone_back,
            turns: self.turns_wanted,
        };
        let said = decision(self.setup, self.print, on, made);
        let sides = matches!(
            made,
            Decision::ChangeSides { .. } | Decision::SidesGoBack { .. }
        );
        self.turns_wanted = sides && has_adjusters(self.setup);
        match made {
            Decision::SidesGoBack { .. } => self.gone_back = true,
            Decision::Reseat { .. }
            | Decision::ChangePinion { .. }
            | Decision::ChangeSides { preload: true, .. } => self.gone_back = false,
            _ => {}
        }
        said
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
        let from = self.basis(basis, false);
        self.line(&format!(
            "pinion shim: {from}; with the marks wanted {}",
            print.length(wanted)
        ));
    }

    fn basis(&self, basis: &Basis, adjuster: bool) -> String {
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
                    "the old {} measures {} (in truth {}){grown}",
                    if adjuster { "setting" } else { "pack" },
                    print.bare_length(measured),
                    print.bare_length(real)
                )
            }
            Basis::Gauge { truth, reading } => format!(
                "the gauge shows {} of room (in truth {})",
                print.bare_length(reading),
                print.bare_length(truth)
            ),
            Basis::Usual { usual } => format!(
                "the usual {}, {}",
                if adjuster { "setting" } else { "thickness" },
                print.thickness(usual)
            ),
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
        self.acts.push(open.act(self.setup, self.print));
    }
}

/// A place in words.
fn at(place: PackPlace) -> &'static str {
    match place {
        PackPlace::Pinion => "at the pinion",
        PackPlace::RingSide => "on the ring-gear side",
        PackPlace::FarSide => "on the far side",
        PackPlace::Spacer => "at the spacer",
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|first| first.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}
