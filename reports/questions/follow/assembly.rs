//! An assembly as it stands: its truth beside what was read of it.

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::bench::truth::Assembly;

use super::acts::{Act, signed_length};
use crate::figures::{Printed, signed_percent};
use crate::questions::odds::has_adjusters;

/// An assembly of which readings are still coming in.
pub(super) struct Open {
    pub(super) called: String,
    pub(super) truth: Assembly,
    pub(super) backlash: Option<Vec<f64>>,
    pub(super) pattern: Option<[f64; 2]>,
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

    /// It is told when its readings are all in.
    pub(super) fn act(self, setup: &Setup, print: Printed) -> Act {
        let windows = &setup.axle.windows;
        let truth = &self.truth;
        let took = if self.minutes > 0.0 {
            format!("read in {:.0} min", self.minutes)
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
            self.backlash.map_or_else(not_read, |readings| {
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
                self.pattern.map_or_else(not_read, |p| signed_percent(p[i])),
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
            self.rise.map_or_else(
                || {
                    match has_adjusters(setup) {
                        true => "trusted to the setting",
                        false => "trusted to the shims",
                    }
                    .to_owned()
                },
                |[rise, read]| {
                    let window = setup.reading_windows.rise;
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
        Act {
            heading: self.called,
            took,
            rows,
            lines: self.notes,
        }
    }
}
