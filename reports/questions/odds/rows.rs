//! The rows that every account of the odds has.

use shimcast_sim::axle::PreloadBy;
use shimcast_sim::estimate::Estimate;
use shimcast_sim::odds::{Effort, Odds};
use shimcast_sim::setup::{Setup, SideStock};

use crate::figures::Printed;

/// A window with the shares of jobs inside it.
#[derive(Debug, Clone, PartialEq)]
pub struct InWindow<'a> {
    /// What lies in it.
    pub name: &'static str,
    /// Its limits.
    pub window: String,
    /// The share of first assemblies; `None` where there is nothing yet to look at.
    pub first: Option<&'a Estimate>,
    /// The share of finished jobs.
    pub last: &'a Estimate,
}

/// The windows, all of them together, and depth beside them.
pub fn windows<'a>(setup: &Setup, odds: &'a Odds, print: Printed) -> Vec<InWindow<'a>> {
    let windows = &setup.axle.windows;
    let torque = setup.torque_window;
    let (first, last) = (&odds.first_assembly, &odds.handed_over);
    let row = |name, window, first, last| InWindow {
        name,
        window,
        first,
        last,
    };
    vec![
        row(
            "backlash",
            print.window(windows.backlash.low, windows.backlash.high),
            Some(&first.backlash),
            &last.backlash,
        ),
        row(
            "pattern",
            format!(
                "±{:.0} % long, ±{:.0} % high",
                100.0 * windows.pattern_length,
                100.0 * windows.pattern_profile
            ),
            Some(&first.pattern),
            &last.pattern,
        ),
        row(
            "side closure",
            print.window(windows.side_closure.low, windows.side_closure.high),
            Some(&first.side_closure),
            &last.side_closure,
        ),
        row(
            "pinion torque",
            print.torques(torque.low, torque.high),
            None,
            &odds.pinion_torque,
        ),
        row("all of these", String::new(), Some(&first.all), &last.all),
        row(
            "depth, counted apart",
            format!("±{}", print.length(windows.depth)),
            Some(&first.depth),
            &last.depth,
        ),
    ]
}

/// Whether the sides are set by screw adjusters, which are turned with the axle together.
pub fn has_adjusters(setup: &Setup) -> bool {
    matches!(setup.side_stock, SideStock::Notches(_))
}

/// How often each step is done in a job, on average.
pub fn steps<'a>(setup: &Setup, effort: &'a Effort) -> [(&'static str, &'a Estimate); 5] {
    let preload = match setup.axle.pinion_preload.by {
        PreloadBy::Sleeve { .. } => "sleeves",
        PreloadBy::Spacer { .. } => "goes at the spacer",
    };
    [
        ("assemblies", &effort.assemblies),
        ("pinion changes", &effort.pinion_changes),
        (
            if has_adjusters(setup) {
                "turns of the adjusters"
            } else {
                "side changes"
            },
            &effort.side_changes,
        ),
        ("ring gear reseated", &effort.reseats),
        (preload, &effort.preload_tries),
    ]
}
