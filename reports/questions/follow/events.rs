//! What happens at the bench, each event as JSON and in words.

use serde_json::{Value, json};
use shimcast_sim::axle::MarkSign;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::bench::{Basis, Event, PackPlace};

use super::assembly::{self, Open};
use crate::figures::Printed;

/// What is known at the bench when something happens there.
#[derive(Clone, Copy)]
pub(super) struct Grounds<'a> {
    pub setup: &'a Setup,
    pub print: Printed,
    /// The assembly that is being read.
    pub open: Option<&'a Open>,
    /// Reading of the pinion's torque.
    pub torque: Option<f64>,
    /// What comes next on the ring-gear side.
    pub ring: Option<RingMove>,
    /// Whether the better of two packs was put back on the ring-gear side before.
    pub gone_back: bool,
    /// Whether turns of the adjusters were wanted last.
    pub turns_wanted: bool,
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
            "turning torque in truth {}, read {}, window {}; closed by {}",
            print.bare_torque(truth),
            print.bare_torque(reading),
            print.torques(window.low, window.high),
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
            self.marks(marks, slipped),
            format!("pinion shim: {said}; with the marks wanted {with_marks}"),
        ];
        (json, lines)
    }

    fn total(&self, truth: f64, found: f64, wanted: f64) -> Description {
        let print = self.print;
        let line = format!(
            "zero end play found with {} of {} together (in truth {}); with preload added {}",
            self.of_sides("settings", "side packs"),
            print.bare_length(found),
            print.bare_length(truth),
            print.length(wanted)
        );
        let json = json!({
            "step": "zero_end_play", "truth": truth, "reading": found, "wanted_total": wanted,
        });
        (json, vec![line])
    }

    fn ring_start(&self, basis: Basis, wanted: f64) -> Description {
        let old = self.of_sides("setting", "pack");
        let usual = self.of_sides("setting", "thickness");
        let (from, said) = self.start(basis, [old, usual]);
        let length = self.print.length(wanted);
        let json = json!({ "step": "ring_start", "from": from, "wanted": wanted });
        (
            json,
            vec![format!("ring-gear side: {said}; wanted {length}")],
        )
    }

    /// Which of two words goes with how the sides of this axle are set.
    pub(super) fn of_sides<'w>(&self, adjusters: &'w str, shims: &'w str) -> &'w str {
        match self.setup.has_adjusters() {
            true => adjusters,
            false => shims,
        }
    }

    fn marks(&self, marks: [f64; 2], slipped: bool) -> String {
        let (sign, asks) = match self.setup.axle.gears.mark.plus {
            MarkSign::Farther => (1.0, "longer"),
            MarkSign::Deeper => (-1.0, "shorter"),
        };
        let [old, new] = marks.map(|mark| signed_length(self.print, sign * mark));
        let wrong_way = match slipped {
            true => "; BOTH TAKEN THE WRONG WAY ROUND",
            false => "",
        };
        format!(
            "marks on the pinions: old {old}, new {new} (\"+\" asks for a {asks} mounting \
             distance){wrong_way}"
        )
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
                let grown = signed_length(print, heights);
                let grown = match heights {
                    0.0 => String::new(),
                    _ => format!(", the new bearing measures {grown} against the old"),
                };
                let [read, truth] = [measured, real].map(|mm| print.bare_length(mm));
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
                format!(
                    "the gauge shows {} of room (in truth {})",
                    print.bare_length(reading),
                    print.bare_length(truth)
                ),
            ),
            Basis::Usual { usual: thickness } => (
                json!({ "start": "usual", "thickness": thickness }),
                format!("the usual {usual}, {}", print.thickness(thickness)),
            ),
            Basis::ZeroLash => (
                json!({ "start": "zero lash" }),
                "backed off from where backlash vanishes".into(),
            ),
        }
    }

    fn pack(&self, place: PackPlace, [wanted, printed, real]: [f64; 3], kept: bool) -> Description {
        let print = self.print;
        let (key, at) = match place {
            PackPlace::Pinion => ("pinion", "at the pinion"),
            PackPlace::RingSide => ("ring_side", "on the ring-gear side"),
            PackPlace::FarSide => ("far_side", "on the far side"),
            PackPlace::Spacer => ("preload", "at the spacer"),
        };
        let side = matches!(place, PackPlace::RingSide | PackPlace::FarSide);
        let [want, thickness] = [print.bare_length(wanted), print.thickness(printed)];
        let line = if side && self.setup.has_adjusters() {
            let unit = print.length_unit();
            format!("set {at}: wanted {want}, nearest notch {thickness} {unit}")
        } else {
            let real = print.length(real);
            format!("fitted {at}: wanted {want}, nearest {thickness} (in truth {real})")
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
