//! An assembly as it is bolted up: its truth beside what was read of it.

use serde_json::{Value, json};
use shimcast_sim::bench::Event;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::bench::truth::Assembly;
use shimcast_sim::units::Window;

use super::acts::Act;
use super::events::signed_length;
use crate::figures::{Printed, signed_percent};

/// An assembly of which readings are still coming in.
pub(super) struct Open {
    called: String,
    truth: Assembly,
    pub(super) backlash: Option<Vec<f64>>,
    /// Of the profile: drive and coast.
    pub(super) pattern: Option<[f64; 2]>,
    /// The rise of the turning torque, in truth and as read.
    pub(super) rise: Option<[f64; 2]>,
    pub(super) notes: Vec<String>,
    pub(super) minutes: f64,
}

impl Open {
    pub(super) fn new(called: String, truth: Assembly) -> Self {
        Self {
            called,
            truth,
            backlash: None,
            pattern: None,
            rise: None,
            notes: Vec::new(),
            minutes: 0.0,
        }
    }

    pub(super) fn unread(&self) -> bool {
        self.backlash.is_none() && self.notes.is_empty()
    }

    /// Takes down a reading, or what is said of one.
    pub(super) fn hears(&mut self, event: &Event, said: Vec<String>) {
        match event {
            Event::Backlash { readings, .. } => self.backlash = Some(readings.clone()),
            Event::TorqueRise { truth, reading } => self.rise = Some([*truth, *reading]),
            Event::Pattern { readings, .. } => self.pattern = Some(*readings),
            _ => self.notes.extend(said),
        }
    }

    /// The whole assembly, once its readings are all in.
    pub(super) fn act(self, setup: &Setup, print: Printed) -> Act {
        Act {
            rows: self.rows(setup, print),
            heading: self.called,
            took: match self.minutes > 0.0 {
                true => format!("read in {:.0} min", self.minutes),
                false => String::new(),
            },
            lines: self.notes,
        }
    }

    fn rows(&self, setup: &Setup, print: Printed) -> Vec<[String; 4]> {
        let (truth, windows) = (&self.truth, &setup.axle.windows);
        let window = |window: Window| print.window(window.low, window.high);
        let within = |share: f64| format!("±{:.0} %", 100.0 * share);
        let flanks = [(0, "drive"), (1, "coast")];
        let mut rows = vec![[
            "backlash round the ring".to_owned(),
            format!(
                "{} to {}",
                print.bare_length((truth.backlash - truth.swing).max(0.0)),
                print.length((truth.backlash + truth.swing).max(0.0))
            ),
            self.backlash_read(print),
            window(windows.backlash),
        ]];
        rows.extend(flanks.map(|(i, flank)| {
            let read = self.pattern.map(|both| signed_percent(both[i]));
            [
                format!("pattern up the profile, {flank}"),
                signed_percent(truth.pattern[2 * i + 1]),
                read.unwrap_or_else(not_read),
                within(windows.pattern_profile),
            ]
        }));
        rows.extend(flanks.map(|(i, flank)| {
            [
                format!("pattern along the tooth, {flank}"),
                signed_percent(truth.pattern[2 * i]),
                "not corrected".to_owned(),
                within(windows.pattern_length),
            ]
        }));
        rows.push([
            "side closure".to_owned(),
            print.length(truth.closure),
            self.closure_read(setup, print),
            window(windows.side_closure),
        ]);
        rows.push([
            "pinion depth, + too shallow".to_owned(),
            signed_length(print, truth.depth),
            "can't be read".to_owned(),
            format!("±{}", print.length(windows.depth)),
        ]);
        rows
    }

    fn backlash_read(&self, print: Printed) -> String {
        self.backlash.as_ref().map_or_else(not_read, |readings| {
            let readings = readings.iter().map(|mm| print.bare_length(*mm));
            readings.collect::<Vec<_>>().join(" ")
        })
    }

    fn closure_read(&self, setup: &Setup, print: Printed) -> String {
        let Some([truth, read]) = self.rise else {
            let what = if setup.has_adjusters() {
                "setting"
            } else {
                "shims"
            };
            return format!("trusted to the {what}");
        };
        format!(
            "torque rise {} (in truth {}; wanted {})",
            print.bare_torque(read),
            print.bare_torque(truth),
            print.torques(
                setup.reading_windows.rise.low,
                setup.reading_windows.rise.high
            )
        )
    }
}

fn not_read() -> String {
    "not read".to_owned()
}

/// The truth of an assembly as JSON.
pub(super) fn json(truth: &Assembly) -> Value {
    let [drive_length, drive_profile, coast_length, coast_profile] = truth.pattern;
    json!({
        "step": "assembly",
        "truth": {
            "depth": truth.depth,
            "ring": truth.ring,
            "backlash": truth.backlash,
            "backlash_variation": 2.0 * truth.swing,
            "side_closure": truth.closure,
            "drive_length": drive_length,
            "drive_profile": drive_profile,
            "coast_length": coast_length,
            "coast_profile": coast_profile,
        },
    })
}
