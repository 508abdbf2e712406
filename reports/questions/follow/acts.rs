//! The work of one rebuild step by step: what is true and what was read, side by side.

use serde_json::{Value, json};
use shimcast_sim::axle::{PinionSeat, SideSeat};
use shimcast_sim::bench::minutes::{Operation, Task};
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::bench::truth::Assembly;
use shimcast_sim::bench::{Decision, Event, PackPlace};
use shimcast_sim::follow::StoryStep;

use super::assembly::{Open, Row};
use super::events::{Grounds, RingMove};
use crate::printed::Printed;
use crate::sentences::capital;
use crate::tasks;

/// A piece of work, or an assembly with its readings.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Act {
    /// What was done.
    pub heading: String,
    /// How long that took; empty where it took no time of its own.
    pub took: String,
    /// Its row in the table of the assemblies; `None` of other work.
    pub assembly: Option<Row>,
    /// What was found and decided.
    pub lines: Vec<String>,
}

/// The work in order: in acts, and step by step as JSON.
pub fn work(setup: &Setup, steps: &[StoryStep], print: Printed) -> (Vec<Act>, Vec<Value>) {
    let mut writer = Writer {
        setup,
        print,
        acts: Vec::new(),
        open: None,
        torque: Torques::default(),
        memory: Memory::default(),
    };
    let describe = |(place, step): (usize, &StoryStep)| match step {
        StoryStep::Operation(operation, minutes) => writer.operation(*operation, *minutes),
        StoryStep::Event(event) => writer.event(event, &steps[place + 1..]),
    };
    let json = steps.iter().enumerate().map(describe).collect();
    writer.close();
    (writer.acts, json)
}

/// Torque readings at one sleeve, or one go at a spacer.
#[derive(Default)]
struct Torques {
    count: u32,
    /// The last one, and what is said of it.
    last: Option<(f64, String)>,
}

/// What the next state of the axle comes from.
#[derive(Default)]
enum Next {
    /// An assembly.
    #[default]
    Assembly,
    /// The final assembly, which is not counted among them.
    FinalAssembly,
    /// A turn of the adjusters, which makes no assembly.
    Turn,
}

/// What is remembered of the steps so far.
#[derive(Default)]
struct Memory {
    assemblies: u32,
    /// Turns of the adjusters.
    turns: u32,
    /// What the last assembly was called, and its row.
    called: [String; 2],
    next: Next,
    /// Where both sides stand, as printed, mm; `None` before the first assembly.
    stands: [Option<f64>; 2],
    /// Whether the better of two packs was put back there.
    gone_back: bool,
    /// Whether turns of the adjusters were wanted last.
    turns_wanted: bool,
    /// Whether something was left out of its window.
    compromised: bool,
    /// Whether the next change of a side pack pulls the cones in front of it.
    pulls_side_cones: bool,
}

/// Writes the acts down, step by step.
struct Writer<'a> {
    setup: &'a Setup,
    print: Printed,
    acts: Vec<Act>,
    /// An assembly of which readings are still coming in.
    open: Option<Open>,
    torque: Torques,
    memory: Memory,
}

impl Writer<'_> {
    fn line(&mut self, text: &str) {
        self.lines(vec![text.to_owned()]);
    }

    fn lines(&mut self, lines: Vec<String>) {
        if self.acts.is_empty() {
            self.acts.push(Act::default());
        }
        if let Some(act) = self.acts.last_mut() {
            act.lines.extend(lines);
        }
    }

    fn operation(&mut self, operation: Operation, minutes: f64) -> Value {
        let task = Task::of(operation);
        let json = json!({
            "step": "operation", "operation": tasks::key(task), "minutes": minutes,
        });
        match operation {
            Operation::ReadBacklash | Operation::ReadPattern => {
                if let Some(open) = &mut self.open {
                    open.minutes += minutes;
                }
                return json;
            }
            // what was bolted up for good is read once the pinion's preload is set
            Operation::Sleeve | Operation::SleeveAgain | Operation::SpacerChange
                if self.open.as_ref().is_some_and(Open::unread) => {}
            _ => self.close(),
        }
        self.torque = Torques::default();
        match operation {
            Operation::FinalAssembly => {
                self.memory.next = Next::FinalAssembly;
                self.memory.gone_back = false;
            }
            Operation::SideChange | Operation::TrialSideChange if self.setup.has_adjusters() => {
                self.memory.next = Next::Turn;
            }
            _ => {}
        }
        let name = capital(tasks::words(task, self.setup));
        let again = match operation {
            Operation::SleeveAgain => ", a new one",
            _ => "",
        };
        self.acts.push(Act {
            heading: format!("{name}{again}"),
            took: format!("{minutes:.0} min"),
            ..Act::default()
        });
        self.pulled_cones(operation);
        json
    }

    /// Which pressed cones come off for a change on the real bearings.
    fn pulled_cones(&mut self, operation: Operation) {
        let axle = &self.setup.axle;
        let behind = axle.side_shims.seat == SideSeat::BehindSideBearings;
        // with the pinion shim the side packs change where that is needed
        self.memory.pulls_side_cones = behind && operation == Operation::PinionChange;
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

    fn event(&mut self, event: &Event, rest: &[StoryStep]) -> Value {
        let (json, lines) = self.grounds(rest).describe(event);
        match *event {
            Event::BoltedUp(truth) => self.bolted_up(truth),
            Event::Torque { reading, .. } => {
                self.torque.count += 1;
                self.torque.last = Some((reading, lines.concat()));
            }
            Event::Pack { place, printed, .. } => {
                match place {
                    PackPlace::RingSide => self.memory.stands[0] = Some(printed),
                    PackPlace::FarSide => self.memory.stands[1] = Some(printed),
                    PackPlace::Pinion | PackPlace::Spacer => {}
                }
                let side = matches!(place, PackPlace::RingSide | PackPlace::FarSide);
                if side && !lines.is_empty() && std::mem::take(&mut self.memory.pulls_side_cones) {
                    self.line("the cones of both side bearings are pulled as well");
                }
                self.lines(lines);
            }
            Event::Decision(made) => {
                self.remember(made);
                self.decision(lines);
            }
            Event::PinionStart { .. } | Event::Total { .. } | Event::RingStart { .. } => {
                self.lines(lines);
            }
            _ => {
                if let Some(open) = &mut self.open {
                    open.hears(event, lines);
                }
            }
        }
        json
    }

    /// What is known when something happens; `rest` comes after it.
    fn grounds<'s>(&'s self, rest: &[StoryStep]) -> Grounds<'s> {
        Grounds {
            setup: self.setup,
            print: self.print,
            open: self.open.as_ref(),
            torque: self.torque.last.as_ref().map(|(reading, _)| *reading),
            stands: self.memory.stands,
            ring: self.ring_move(rest),
            gone_back: self.memory.gone_back,
            turns_wanted: self.memory.turns_wanted,
            compromised: self.memory.compromised,
        }
    }

    fn bolted_up(&mut self, truth: Assembly) {
        self.close();
        let memory = &mut self.memory;
        let [called, row] = match std::mem::take(&mut memory.next) {
            Next::Turn => {
                memory.turns += 1;
                let turn = format!("turn {}", memory.turns);
                [
                    format!("{}, {turn} of the adjusters", memory.called[0]),
                    format!("{}, {turn}", memory.called[1]),
                ]
            }
            Next::FinalAssembly => {
                let row = format!("{}, real bearings", memory.assemblies);
                memory.called = ["As finally assembled".to_owned(), row];
                memory.called.clone()
            }
            Next::Assembly => {
                memory.assemblies += 1;
                let number = memory.assemblies.to_string();
                memory.called = [format!("Assembly {number}"), number];
                memory.called.clone()
            }
        };
        self.open = Some(Open::new(called, row, truth));
    }

    /// A decision follows the torque reading or the assembly that it was made on.
    fn decision(&mut self, lines: Vec<String>) {
        if let Some((_, reading)) = self.torque.last.take() {
            let count = match std::mem::take(&mut self.torque.count) {
                1 => String::new(),
                n => format!("{n} readings on the way; the last: "),
            };
            self.line(&format!("{count}{reading}"));
            self.lines(lines);
        } else if let Some(open) = &mut self.open {
            open.notes.extend(lines);
        } else {
            self.lines(lines);
        }
    }

    /// What comes next on the ring-gear side, before anything else is decided.
    fn ring_move(&self, rest: &[StoryStep]) -> Option<RingMove> {
        let before = self.memory.stands[0]?;
        let mut comes = rest
            .iter()
            .take_while(|step| !matches!(step, StoryStep::Event(Event::Decision(_))));
        comes.find_map(|step| match *step {
            StoryStep::Event(Event::Pack {
                place: PackPlace::RingSide,
                wanted,
                printed,
                ..
            }) => Some(RingMove {
                before,
                wanted,
                after: printed,
            }),
            _ => None,
        })
    }

    fn remember(&mut self, made: Decision) {
        let memory = &mut self.memory;
        let sides = matches!(
            made,
            Decision::ChangeSides { .. } | Decision::SidesGoBack { .. }
        );
        memory.turns_wanted = sides && self.setup.has_adjusters();
        memory.compromised |= matches!(
            made,
            Decision::SidesCannotBeBettered { .. }
                | Decision::FlanksDisagree
                | Decision::MoveTooSmall { .. }
                | Decision::TorqueCannotBeBettered
        );
        match made {
            Decision::SidesGoBack { .. } => memory.gone_back = true,
            Decision::Reseat { .. }
            | Decision::ChangePinion { .. }
            | Decision::ChangeSides { preload: true, .. } => memory.gone_back = false,
            _ => {}
        }
    }

    /// Writes down the assembly whose readings are all in.
    fn close(&mut self) {
        if let Some(open) = self.open.take() {
            self.acts.push(open.act(self.setup, self.print));
        }
    }
}
