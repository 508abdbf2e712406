//! The odds as tables and sentences, for text and page alike.

use shimcast_sim::axle::PreloadBy;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::odds::{Effort, Hours, Odds};

use crate::document::{Cell, Column, Table};
use crate::figures::{counted, said, said_mean};
use crate::printed::Printed;
use crate::questions::outside;

/// A share of jobs given up from which on it is among the first figures.
pub const WORTH_A_WORD: f64 = 0.001;

/// The few numbers that a person asked for.
pub fn headline(odds: &Odds) -> Table {
    let Effort {
        assemblies, hours, ..
    } = &odds.effort;
    let mut table = Table::new([Column::words(""), Column::intervals(""), Column::words("")])
        .caption("In numbers");
    let mut row = |name: &str, cell: Cell, note: &str| {
        table.row([name.into(), cell, note.into()]);
    };
    row(
        "Right at first assembly",
        Cell::share(&odds.first_assembly.all),
        "inside every window",
    );
    let given_up = outside::rest(&odds.effort.finished);
    let seen_given_up = given_up.value > WORTH_A_WORD;
    row(
        "Right when handed over",
        Cell::share(&odds.handed_over.all),
        match seen_given_up {
            true => "of the jobs finished",
            false => "inside every window",
        },
    );
    row(
        "Clearly out",
        Cell::share(&odds.clearly_out),
        "by more than one graduation",
    );
    if seen_given_up {
        row("Given up", Cell::share(&given_up), "of all jobs");
    }
    row(
        "Assemblies to expect",
        Cell::mean(assemblies, 2),
        &format!("4 in 5: at most {}", odds.effort.assemblies_within(0.8)),
    );
    row(
        "Hours to expect",
        Cell::mean(&hours.mean, 2),
        &format!("4 in 5: {}", said_mean(&hours.p80, 2)),
    );
    table
}

/// Adds what a dial held as the book holds it would hand over right, where the shop holds its own
/// otherwise.
pub fn beside_the_book(headline: &mut Table, share: &Estimate) {
    let cells = [
        "Right, dial as the book".into(),
        Cell::share(share),
        "held as the book holds it".into(),
    ];
    let after = headline.rows.len().min(2);
    headline.rows.insert(after, cells.into());
}

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
        print.window(windows.backlash),
        Some(&first.backlash),
        &last.backlash,
    );
    row(
        "pattern",
        format!(
            "±{:.0} % along, ±{:.0} % up",
            100.0 * windows.pattern_length,
            100.0 * windows.pattern_profile
        ),
        Some(&first.pattern),
        &last.pattern,
    );
    row(
        "side preload",
        print.window(windows.side_closure),
        Some(&first.side_closure),
        &last.side_closure,
    );
    row(
        "pinion torque",
        print.torques(torque),
        None,
        &odds.pinion_torque,
    );
    row("all of these", String::new(), Some(&first.all), &last.all);
    row(
        "depth, counted apart",
        format!("±{}", print.given(windows.depth)),
        Some(&first.depth),
        &last.depth,
    );
    table
}

/// How many first assemblies are accepted at once, and what they miss most often.
pub fn at_first(setup: &Setup, odds: &Odds) -> String {
    let first = &odds.first_assembly;
    let at_once = &odds.effort.accepted_at_once;
    let apart = match (at_once.high < first.all.low, setup.shop.bench.guard > 0.0) {
        (true, false) => ": misreadings take right ones apart again",
        (true, true) => ": the margin kept and misreadings take right ones apart again",
        (false, _) => ", right or not",
    };
    let windows = [
        ("backlash", &first.backlash),
        ("the pattern", &first.pattern),
        ("side preload", &first.side_closure),
    ];
    let least = windows
        .into_iter()
        .min_by(|a, b| a.1.value.total_cmp(&b.1.value));
    let missed = least.map_or_else(String::new, |(name, share)| {
        format!(" Missed most: {name}, inside in {}.", said(share))
    });
    format!(
        "Of first assemblies, {} are accepted at once{apart}.{missed}",
        said(at_once)
    )
}

/// What a job takes.
pub fn effort(setup: &Setup, effort: &Effort) -> Table {
    let preload = match setup.axle.pinion_preload.by {
        PreloadBy::Sleeve { .. } => "crush sleeves",
        PreloadBy::Spacer { .. } => "goes at the spacer",
    };
    let sides = match setup.has_adjusters() {
        true => "turns of the adjusters",
        false => "side changes",
    };
    let mut table = Table::named().caption("What a job takes, mean of all jobs");
    for (name, mean) in [
        ("assemblies", &effort.assemblies),
        ("pinion changes", &effort.pinion_changes),
        (sides, &effort.side_changes),
        ("ring gear reseated", &effort.reseats),
        (preload, &effort.preload_tries),
    ] {
        table.name(name, Cell::mean(mean, 2));
    }
    add_hours(&mut table, &effort.hours);
    table
        .name("finished", Cell::share(&effort.finished))
        .name("with a compromise", Cell::share(&effort.compromised));
    table
}

/// The hours of a job.
pub fn hours(hours: &Hours) -> [(&'static str, &Estimate); 5] {
    [
        ("hours, mean", &hours.mean),
        ("hours, 1 job in 2 within", &hours.p50),
        ("hours, 4 jobs in 5 within", &hours.p80),
        ("hours, 9 jobs in 10 within", &hours.p90),
        ("hours, 19 jobs in 20 within", &hours.p95),
    ]
}

/// Adds the hours of a job.
pub fn add_hours(table: &mut Table, of: &Hours) {
    for (name, hours) in hours(of) {
        table.name(name, Cell::mean(hours, 2));
    }
}

/// Packs finally fitted at a place: each thickness, mm, with its share of the finished jobs.
pub type Packs<'a> = (&'static str, &'a [(f64, f64)]);

/// The places that have packs; adjusters have none.
pub fn places<'a>(setup: &Setup, odds: &'a Odds) -> Vec<Packs<'a>> {
    let packs = &odds.packs;
    let mut places = vec![("pinion", packs.pinion.as_slice())];
    if !setup.has_adjusters() {
        places.push(("ring-gear side", &packs.ring_side));
        places.push(("far side", &packs.far_side));
    }
    places.push(("pinion spacer", &packs.preload));
    places.retain(|(_, packs)| !packs.is_empty());
    places
}

/// A share of the finished jobs; it was made of a whole number of them.
pub fn of_finished(share: f64, odds: &Odds) -> Estimate {
    let n = odds.handed_over.all.n;
    Estimate::share((share * n as f64).round() as u64, n)
}

/// Packs finally fitted, the likeliest of each place.
pub fn packs(setup: &Setup, odds: &Odds, print: Printed, most: usize) -> Table {
    let mut table = Table::new([
        Column::words("place"),
        Column::figures(format!("thickness, {}", print.length_unit())),
        Column::intervals("share of jobs"),
        Column::words(""),
    ])
    .caption(format!(
        "Packs finally fitted to finished jobs, the {most} likeliest of each place"
    ));
    for (name, packs) in places(setup, odds) {
        let mut likely: Vec<&(f64, f64)> = packs.iter().collect();
        likely.sort_by(|a, b| b.1.total_cmp(&a.1));
        let others = likely.split_off(most.min(likely.len()));
        likely.sort_by(|a, b| a.0.total_cmp(&b.0));
        let share = |share: f64| Cell::share(&of_finished(share, odds));
        for (mm, of_jobs) in likely {
            table.row([name.into(), print.bare_given(*mm).into(), share(*of_jobs)]);
        }
        if !others.is_empty() {
            let ends = [packs.first(), packs.last()].map(|pack| pack.map_or(0.0, |pack| pack.0));
            let [thinnest, thickest] = ends.map(|mm| print.bare_given(mm));
            table.row([
                name.into(),
                counted(others.len() as u64, ["other", "others"]).into(),
                share(others.iter().map(|pack| pack.1).sum()),
                format!("all from {thinnest} to {thickest}").into(),
            ]);
        }
    }
    table
}
