//! What happens at the bench, each event as JSON and in words.

use serde_json::{Value, json};
use shimcast_sim::axle::{Condition, MarkSign};
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::bench::{Basis, Event, PackPlace};

use super::assembly::{self, Open};
use crate::printed::Printed;

/// What is known at the bench when something happens there.
#[derive(Clone, Copy)]
pub(super) struct Grounds<'a> {
    pub setup: &'a Setup,
    pub print: Printed,
    /// The assembly that is being read.
    pub open: Option<&'a Open>,
    /// Reading of the pinion's torque.
    pub torque: Option<f64>,
    /// Where both sides stand, as printed, mm; `None` before the first assembly.
    pub stands: [Option<f64>; 2],
    /// What comes next on the ring-gear side.
    pub ring: Option<RingMove>,
    /// Whether the better of two packs was put back on the ring-gear side before.
    pub gone_back: bool,
    /// Whether turns of the adjusters were wanted last.
    pub turns_wanted: bool,
    /// Whether something was left out of its window before.
    pub compromised: bool,
}

/// Packs on the ring-gear side, thickness as printed, mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct RingMove {
    /// What is there.
    pub before: f64,
    /// What is wanted.
    pub wanted: f64,
    /// What goes in.
    pub after: f64,
}

/// A step as JSON, and the lines that say it; none where a table shows it.
pub(super) type Description = (Value, Vec<String>);

impl Grounds<'_> {
    pub(super) fn describe(&self, event: &Event) -> Description {
        match *event {
            Event::PinionStart {
                basis,
                marks,
                slipped,
                wanted,
            } => self.pinion_start(basis, marks, slipped, wanted),
            Event::Total {
                truth,
                found,
                wanted,
            } => self.total(truth, found, wanted),
            Event::RingStart { basis, wanted } => self.ring_start(basis, wanted),
            Event::Pack {
                place,
                wanted,
                printed,
                real,
                kept,
            } => self.pack(place, [wanted, printed, real], kept),
            Event::BoltedUp(truth) => (assembly::json(&truth), Vec::new()),
            Event::Backlash {
                ref readings,
                truth: [least, most],
            } => shown_in_table(json!({
                "step": "backlash",
                "truth": { "least": least, "most": most },
                "readings": readings,
            })),
            Event::Learned { before, after } => (
                json!({ "step": "learned", "ring_belief": { "before": before, "after": after } }),
                vec![format!(
                    "learned from the last move: backlash follows the ring gear {after:.2} to one, not \
                     {before:.2}"
                )],
            ),
            Event::TorqueRise { truth, reading } => {
                shown_in_table(json!({ "step": "torque_rise", "truth": truth, "reading": reading }))
            }
            Event::Pattern { truth, readings } => {
                let flanks = |[drive, coast]: [f64; 2]| json!({ "drive_profile": drive, "coast_profile": coast });
                shown_in_table(json!({
                    "step": "pattern", "truth": flanks(truth), "readings": flanks(readings),
                }))
            }
            Event::Decision(made) => self.decision(made),
            Event::Torque {
                closure,
                truth,
                reading,
            } => self.pinion_torque(closure, truth, reading),
        }
    }

    fn pinion_torque(&self, closure: f64, truth: f64, reading: f64) -> Description {
        let (print, window) = (self.print, self.setup.torque_window);
        let line = format!(
            "turning torque in truth {}, read {}, window {}; {} past zero end play",
            print.torque_held(truth, window),
            print.torque_held(reading, self.setup.reading_windows.torque),
            print.torques(window),
            print.length(closure)
        );
        let json = json!({
            "step": "pinion_torque", "closure": closure, "truth": truth, "reading": reading,
        });
        (json, vec![line])
    }

    fn pinion_start(
        &self,
        basis: Basis,
        marks: [f64; 2],
        slipped: bool,
        wanted: f64,
    ) -> Description {
        let (from, said) = self.start(basis, ["pack", "thickness"]);
        let with_marks = self.print.length(wanted);
        let json = json!({
            "step": "pinion_start",
            "from": from,
            "marks": { "old": marks[0], "new": marks[1] },
            "wrong_way_round": slipped,
            "wanted": wanted,
        });
        let lines = vec![
            self.marks(basis, marks, slipped),
            format!("pinion shim: {said}; with the marks wanted {with_marks}"),
        ];
        (json, lines)
    }

    fn total(&self, truth: f64, found: f64, wanted: f64) -> Description {
        let print = self.print;
        let line = if self.setup.has_adjusters() {
            let loose = found < truth;
            format!(
                "zero end play taken {} {} in truth; preload wanted past it {}, {}",
                print.length((found - truth).abs()),
                if loose { "too loose" } else { "too tight" },
                print.given(wanted - found),
                self.notches(wanted - found)
            )
        } else {
            format!(
                "zero end play found with side packs of {} together (in truth {}); with preload added {}",
                print.bare_given(found),
                print.bare_length(truth),
                print.length(wanted)
            )
        };
        let json = json!({
            "step": "zero_end_play", "truth": truth, "reading": found, "wanted_total": wanted,
        });
        (json, vec![line])
    }

    /// A move of an adjuster in whole notches.
    fn notches(&self, by: f64) -> String {
        match (by / self.setup.shop.bench.notch).round().abs() {
            1.0 => "1 notch".to_owned(),
            n => format!("{n:.0} notches"),
        }
    }

    fn ring_start(&self, basis: Basis, wanted: f64) -> Description {
        let (from, said) = self.start(basis, ["pack", "thickness"]);
        let json = json!({ "step": "ring_start", "from": from, "wanted": wanted });
        let line = match (self.setup.has_adjusters(), basis) {
            (true, Basis::OldPack { .. }) => {
                "ring-gear side adjuster: back to where it stood".to_owned()
            }
            (true, Basis::Usual { .. }) => {
                "ring-gear side adjuster: to where it usually stands".to_owned()
            }
            (true, _) => format!("ring-gear side adjuster: {said}"),
            (false, _) => format!(
                "ring-gear side: {said}; wanted {}",
                self.print.length(wanted)
            ),
        };
        (json, vec![line])
    }

    /// Which of two words goes with how the sides of this axle are set.
    pub(super) fn of_sides<'w>(&self, adjusters: &'w str, shims: &'w str) -> &'w str {
        match self.setup.has_adjusters() {
            true => adjusters,
            false => shims,
        }
    }

    /// The marks as etched, and as they were taken.
    fn marks(&self, basis: Basis, taken: [f64; 2], slipped: bool) -> String {
        let (sign, asks) = match self.setup.axle.gears.mark.plus {
            MarkSign::Farther => (1.0, "longer"),
            MarkSign::Deeper => (-1.0, "shorter"),
        };
        let unit = self.print.length_unit();
        // the old mark counts only against the old pack; kept gears have but one
        let one = self.setup.gears == Condition::Kept || !matches!(basis, Basis::OldPack { .. });
        let said = |sign: f64| {
            let [old, new] = taken.map(|mark| self.print.signed_given(sign * mark));
            match one {
                true => format!("{new} {unit}"),
                false => format!("old {old}, new {new} {unit}"),
            }
        };
        let etched = said(if slipped { -sign } else { sign });
        let taken = match slipped {
            true => format!("taken THE WRONG WAY ROUND, as {}", said(sign)),
            false => "taken as etched".to_owned(),
        };
        let on = match (one, self.setup.gears) {
            (true, Condition::Kept) => "mark etched on the pinion",
            (true, Condition::New) => "mark etched on the new pinion",
            (false, _) => "marks etched on the pinions",
        };
        format!("{on}: {etched} (\"+\" asks for a {asks} mounting distance); {taken}")
    }

    /// What a first pack comes from; `old` and `usual` name the old one and the usual one.
    fn start(&self, basis: Basis, [old, usual]: [&str; 2]) -> (Value, String) {
        let print = self.print;
        match basis {
            Basis::OldPack {
                real,
                measured,
                heights,
            } => {
                let grown = print.signed_length(heights);
                let grown = match heights {
                    0.0 => String::new(),
                    _ => format!(", the new bearing measures {grown} against the old"),
                };
                let [read, truth] = [print.bare_given(measured), print.bare_length(real)];
                (
                    json!({
                        "start": "old pack",
                        "truth": real,
                        "reading": measured,
                        "height_difference": heights,
                    }),
                    format!("the old {old} measures {read} (in truth {truth}){grown}"),
                )
            }
            Basis::Gauge { truth, reading } => (
                json!({ "start": "gauge", "truth": truth, "reading": reading }),
                match reading < 0.0 {
                    false => format!(
                        "the gauge shows {} of room (in truth {})",
                        print.bare_given(reading),
                        print.bare_length(truth)
                    ),
                    true => format!(
                        "the gauge shows {} too little room (in truth {})",
                        print.bare_given(-reading),
                        print.bare_length(-truth)
                    ),
                },
            ),
            Basis::Usual { usual: thickness } => (
                json!({ "start": "usual", "thickness": thickness }),
                format!("the usual {usual}, {}", print.bare_given(thickness)),
            ),
            Basis::ZeroLash => (
                json!({ "start": "zero lash" }),
                "backed off from where backlash vanishes".into(),
            ),
        }
    }

    /// How an adjuster is turned from where it stands; `None` where there are shims.
    fn adjuster(&self, place: PackPlace, printed: f64) -> Option<String> {
        let (side, before) = match place {
            PackPlace::RingSide => ("ring-gear side", self.stands[0]),
            PackPlace::FarSide => ("far side", self.stands[1]),
            PackPlace::Pinion | PackPlace::Spacer => return None,
        };
        self.setup.has_adjusters().then(|| match before {
            None => format!("{side} adjuster: into the nearest notch"),
            Some(before) => {
                let way = if printed > before { "in" } else { "out" };
                format!("{side} adjuster: {} {way}", self.notches(printed - before))
            }
        })
    }

    fn pack(&self, place: PackPlace, [wanted, printed, real]: [f64; 3], kept: bool) -> Description {
        let print = self.print;
        let (key, at) = match place {
            PackPlace::Pinion => ("pinion", "at the pinion"),
            PackPlace::RingSide => ("ring_side", "on the ring-gear side"),
            PackPlace::FarSide => ("far_side", "on the far side"),
            PackPlace::Spacer => ("preload", "at the spacer"),
        };
        let line = match self.adjuster(place, printed) {
            Some(line) => line,
            None => {
                let [want, real] = [print.bare_length(wanted), print.length(real)];
                let thickness = print.bare_given(printed);
                format!("fitted {at}: wanted {want}, nearest {thickness} (in truth {real})")
            }
        };
        (
            json!({
                "step": "pack",
                "place": key,
                "wanted": wanted,
                "thickness": printed,
                "truth": real,
                "was_there": kept,
            }),
            // what was there already is not fitted anew
            if kept { Vec::new() } else { vec![line] },
        )
    }
}

/// What a table shows needs no line.
fn shown_in_table(json: Value) -> Description {
    (json, Vec::new())
}
