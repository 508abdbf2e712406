//! The odds as text: first the few numbers that a person asked for, then the detail, then what was
//! assumed.

use std::fmt::Write;

use shimcast_sim::estimate::Estimate;
use shimcast_sim::odds::{Effort, Odds};
use shimcast_sim::setup::{Setup, SideStock};

use super::table::wrapped;
use super::{CAUTION, Ink, Table};
use crate::answers::odds as rows;
use crate::answers::outside;
use crate::figures::{Printed, decimals, interval, number, percent, percent_interval};
use crate::files::Assumption;
use crate::units::Units;

/// Packs shown for each place; the rest is summed up.
const MOST_PACKS: usize = 5;

/// What the answer was asked about.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The job.
    pub setup: &'a Setup,
    /// Seed of the run.
    pub seed: u64,
    /// Units of the axle file, in which lengths and torques are shown.
    pub units: Units,
    /// Defaults in use.
    pub assumptions: &'a [Assumption],
}

/// The answer as text.
pub fn render(asked: Asked<'_>, odds: &Odds, ink: Ink) -> String {
    let mut text = String::new();
    let setup = asked.setup;
    let _ = writeln!(text, "{}", ink.heading(&title(setup)));
    if odds.partial {
        text.push_str(&partial(odds.rebuilds));
    }
    text.push('\n');
    text.push_str(&headline(odds));
    let mut section = |title: &str, table: String| {
        let _ = write!(text, "\n{}\n{table}", ink.heading(title));
    };
    section("In the windows, true state", windows(asked, odds));
    section("What a job takes", effort(setup, &odds.effort));
    section("First assembly as bolted up", spread(asked, odds));
    if odds.handed_over.all.n > 0 {
        let within = within_points(odds.handed_over.all.n);
        section(
            &format!("Packs finally fitted, the likeliest: share of jobs, {within}"),
            packs(asked, odds),
        );
    }
    text.push_str(&behind(odds.rebuilds, asked.seed));
    text.push_str(&assumptions(asked.assumptions, ink));
    let _ = write!(text, "\n{CAUTION}");
    text
}

/// What stands behind the figures of one job.
pub(super) fn behind(rebuilds: u64, seed: u64) -> String {
    format!(
        "\n{rebuilds} rebuilds, seed {seed}; \"to\" gives 95 % intervals of the simulation. Minutes, \
         spreads and\nprices are what the files say: the built-in ones are plausible, not measured.\n"
    )
}

/// Which job it is.
pub(super) fn title(setup: &Setup) -> String {
    format!(
        "{} at {}: gears {}, bearings {}",
        setup.axle.name,
        setup.shop.name,
        setup.gears.word(),
        setup.bearings.word()
    )
}

/// What an answer that was cut short says of itself.
pub(super) fn partial(rebuilds: u64) -> String {
    format!("PARTIAL: broken off after {rebuilds} rebuilds; the intervals are wider for it.\n")
}

fn headline(odds: &Odds) -> String {
    let effort = &odds.effort;
    let mut table = Table::right(&[1]);
    let share = |e: &Estimate| [percent(e), percent_interval(e)];
    let [value, range] = share(&odds.first_assembly.all);
    table.row(["Right at the first assembly".into(), value, range]);
    let [value, range] = share(&odds.handed_over.all);
    table.row(["Right when handed over".into(), value, range]);
    let [value, range] = share(&odds.clearly_out);
    table.row(["Clearly out".into(), value, range]);
    let given_up = outside::rest(&effort.finished);
    if given_up.value > WORTH_A_WORD {
        let [value, range] = share(&given_up);
        table.row(["Given up".into(), value, range]);
    }
    table.row([
        "Assemblies to expect".into(),
        number(&effort.assemblies, 1),
        format!("4 jobs in 5 take at most {}", effort.assemblies_within(0.8)),
    ]);
    table.row([
        "Hours to expect".into(),
        number(&effort.hours.mean, 1),
        format!(
            "4 jobs in 5 take at most {} ({})",
            number(&effort.hours.p80, 1),
            interval(&effort.hours.p80, 1)
        ),
    ]);
    let outside = outside::told(&odds.handed_over.all, &odds.clearly_out);
    format!("{}{}", table.text(), wrapped(&outside))
}

/// A share of jobs given up from which on it stands among the first figures.
const WORTH_A_WORD: f64 = 0.001;

fn windows(asked: Asked<'_>, odds: &Odds) -> String {
    let mut table = Table::right(&[2, 4]);
    table.row(["", "window", "first assembly", "", "handed over", ""]);
    for row in rows::windows(asked.setup, odds, Printed(asked.units)) {
        let [value, range] = row.first.map_or_else(
            || ["-".into(), String::new()],
            |e| [percent(e), percent_interval(e)],
        );
        table.row([
            row.name.into(),
            row.window,
            value,
            range,
            percent(row.last),
            percent_interval(row.last),
        ]);
    }
    table.text()
}

fn effort(setup: &Setup, effort: &Effort) -> String {
    let mut table = Table::right(&[1]);
    let mut mean = |name: &str, e: &Estimate| {
        table.row([name.into(), number(e, 2), interval(e, 2)]);
    };
    for (name, e) in rows::steps(setup, effort) {
        mean(name, e);
    }
    let hours = &effort.hours;
    mean("hours, mean", &hours.mean);
    mean("hours, 1 job in 2 within", &hours.p50);
    mean("hours, 4 jobs in 5 within", &hours.p80);
    mean("hours, 9 jobs in 10 within", &hours.p90);
    mean("hours, 19 jobs in 20 within", &hours.p95);
    let mut share = |name: &str, e: &Estimate| {
        table.row([name.into(), percent(e), percent_interval(e)]);
    };
    share("finished", &effort.finished);
    share("with a compromise", &effort.compromised);
    let n = effort.finished.n;
    let mut done = 0.0;
    let after: Vec<String> = effort
        .assembly_shares
        .iter()
        .zip(1..)
        .map(|(share, assemblies)| {
            done += share;
            let hits = (done * n as f64).round() as u64;
            format!("{assemblies}: {}", percent(&Estimate::share(hits, n)))
        })
        .take(5)
        .collect();
    format!(
        "{}  with at most so many assemblies  {}\n",
        table.text(),
        after.join("  ")
    )
}

fn spread(asked: Asked<'_>, odds: &Odds) -> String {
    let print = Printed(asked.units);
    let mut table = Table::right(&[1, 3]);
    table.row(["", "mean", "", "one sigma", "", ""]);
    for (name, moments, note) in [
        ("depth", &odds.spread.depth, "+ too shallow"),
        ("backlash", &odds.spread.backlash, "mean of a turn"),
        ("side closure", &odds.spread.closure, ""),
    ] {
        table.row([
            name.into(),
            print.length(moments.mean()),
            lengths(print, &moments.estimate()),
            print.length(moments.deviation()),
            lengths(print, &moments.deviation_estimate()),
            note.into(),
        ]);
    }
    table.text()
}

/// The interval of a length, mm.
fn lengths(print: Printed, estimate: &Estimate) -> String {
    if estimate.low.is_finite() && estimate.high.is_finite() {
        print.lengths(estimate.low, estimate.high)
    } else {
        "too few to say".into()
    }
}

fn packs(asked: Asked<'_>, odds: &Odds) -> String {
    let print = Printed(asked.units);
    let mut table = Table::default();
    let [ring_side, far_side, several] = match asked.setup.side_stock {
        SideStock::Packs(_) => ["ring-gear side", "far side", "packs"],
        SideStock::Notches(_) => ["ring-gear adjuster", "far adjuster", "settings"],
    };
    for (name, packs, several) in [
        ("pinion", &odds.packs.pinion, "packs"),
        (ring_side, &odds.packs.ring_side, several),
        (far_side, &odds.packs.far_side, several),
        ("spacer", &odds.packs.preload, "packs"),
    ] {
        if packs.is_empty() {
            continue;
        }
        let mut likely: Vec<&(f64, f64)> = packs.iter().collect();
        likely.sort_by(|a, b| b.1.total_cmp(&a.1));
        let mut shown: Vec<(f64, f64)> = likely.into_iter().take(MOST_PACKS).copied().collect();
        shown.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut cells = vec![format!("{name}, {}", print.length_unit())];
        cells.extend(
            shown
                .iter()
                .map(|(mm, share)| format!("{}: {:.0} %", print.thickness(*mm), 100.0 * share)),
        );
        let (thinnest, thickest) = (packs[0].0, packs[packs.len() - 1].0);
        if packs.len() > MOST_PACKS {
            cells.push(format!(
                "of {} {several} from {} to {}",
                packs.len(),
                print.thickness(thinnest),
                print.thickness(thickest)
            ));
        }
        table.row(cells);
    }
    table.text()
}

/// How well the least certain share of so many is known.
fn within_points(n: u64) -> String {
    let half = 100.0 * Estimate::share(n / 2, n).half_width();
    format!("within {:.*} points", decimals(half, 2), half)
}

/// Defaults in use that the files do not state.
pub(super) fn assumptions(assumptions: &[Assumption], ink: Ink) -> String {
    if assumptions.is_empty() {
        return String::new();
    }
    let mut text = format!(
        "\n{}\n",
        ink.heading("Assumed, since the files do not say (replace them by your own figures)")
    );
    for assumption in assumptions {
        let _ = writeln!(text, "  {}", assumption.text);
    }
    text
}
