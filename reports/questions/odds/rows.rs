//! The rows that every account of the odds has.

use shimcast_sim::axle::PreloadBy;
use shimcast_sim::estimate::Estimate;
use shimcast_sim::odds::{Effort, Odds};
use shimcast_sim::setup::{Setup, SideStock};

use crate::document::{Cell, Column, Table};
use crate::figures::Printed;

/// The windows, all of them together, and depth beside them, with the shares of jobs inside.
pub fn windows(setup: &Setup, odds: &Odds, print: Printed) -> Table {
    let windows = &setup.axle.windows;
    let torque = setup.torque_window;
    let (first, last) = (&odds.first_assembly, &odds.handed_over);
    let mut table = Table::new([
        Column::words(""),
        Column::words("window").may_go(),
        Column::intervals("first assembly"),
        Column::intervals("handed over"),
    ])
    .caption("Share of jobs inside each window, true state");
    let mut row = |name: &str, window: String, first: Option<&Estimate>, last: &Estimate| {
        // no pinion preload yet at the first assembly, so there is nothing to look at
        let first = first.map_or_else(Cell::none, Cell::share);
        table.row([name.into(), window.into(), first, Cell::share(last)]);
    };
    row(
        "backlash",
        print.window(windows.backlash.low, windows.backlash.high),
        Some(&first.backlash),
        &last.backlash,
    );
    row(
        "pattern",
        format!(
            "±{:.0} % long, ±{:.0} % high",
            100.0 * windows.pattern_length,
            100.0 * windows.pattern_profile
        ),
        Some(&first.pattern),
        &last.pattern,
    );
    row(
        "side closure",
        print.window(windows.side_closure.low, windows.side_closure.high),
        Some(&first.side_closure),
        &last.side_closure,
    );
    row(
        "pinion torque",
        print.torques(torque.low, torque.high),
        None,
        &odds.pinion_torque,
    );
    row("all of these", String::new(), Some(&first.all), &last.all);
    row(
        "depth, counted apart",
        format!("±{}", print.length(windows.depth)),
        Some(&first.depth),
        &last.depth,
    );
    table
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
