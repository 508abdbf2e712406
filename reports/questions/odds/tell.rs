//! The odds in words and tables: first the few numbers that a person asked for, then the detail,
//! then what was assumed.

use shimcast_sim::estimate::{Estimate, Moments};
use shimcast_sim::odds::Effort;
use shimcast_sim::setup::SideStock;

use super::{Odds, rows};
use crate::document::{Block, Cell, Column, Document, Known, Table};
use crate::figures::{Printed, decimals, interval, number, percent};
use crate::questions::frame;
use crate::questions::outside;

/// Packs shown for each place; the rest is summed up.
const MOST_PACKS: usize = 5;
/// A share of jobs given up from which on it stands among the first figures.
const WORTH_A_WORD: f64 = 0.001;

pub(super) fn tell(answer: &Odds) -> Document {
    let odds = &answer.odds;
    let partial = odds.partial.then_some(odds.rebuilds);
    let mut document = frame::of_job(&answer.setup, partial, &answer.loaded.assumptions);
    let outside = outside::told(&odds.handed_over.all, &odds.clearly_out);
    let print = Printed(answer.loaded.axle_units);
    let windows = rows::windows(&answer.setup, odds, print);
    document
        .section("", [headline(answer).into(), Block::Note(outside)])
        .section("In the windows, true state", [windows.into()])
        .section("What a job takes", effort(answer))
        .section("First assembly as bolted up", [spread(answer).into()]);
    if odds.handed_over.all.n > 0 {
        let within = within_points(odds.handed_over.all.n);
        document.section(
            format!("Packs finally fitted, the likeliest: share of jobs, {within}"),
            [packs(answer).into()],
        );
    }
    document.behind = frame::behind(odds.rebuilds, answer.seed);
    document
}

fn headline(answer: &Odds) -> Table {
    let odds = &answer.odds;
    let Effort {
        assemblies, hours, ..
    } = &odds.effort;
    let mut table = Table::named();
    table
        .name(
            "Right at the first assembly",
            Cell::share(&odds.first_assembly.all),
        )
        .name("Right when handed over", Cell::share(&odds.handed_over.all))
        .name("Clearly out", Cell::share(&odds.clearly_out));
    let given_up = outside::rest(&odds.effort.finished);
    if given_up.value > WORTH_A_WORD {
        table.name("Given up", Cell::share(&given_up));
    }
    let within = odds.effort.assemblies_within(0.8);
    table.name(
        "Assemblies to expect",
        Cell::mean(assemblies, 1).beside(format!("4 jobs in 5 take at most {within}")),
    );
    let within = format!(
        "4 jobs in 5 take at most {} ({})",
        number(&hours.p80, 1),
        interval(&hours.p80, 1)
    );
    table.name("Hours to expect", Cell::mean(&hours.mean, 1).beside(within));
    table
}

fn effort(answer: &Odds) -> [Block; 2] {
    let effort = &answer.odds.effort;
    let hours = &effort.hours;
    let mut table = Table::named();
    let means = rows::steps(&answer.setup, effort).into_iter().chain([
        ("hours, mean", &hours.mean),
        ("hours, 1 job in 2 within", &hours.p50),
        ("hours, 4 jobs in 5 within", &hours.p80),
        ("hours, 9 jobs in 10 within", &hours.p90),
        ("hours, 19 jobs in 20 within", &hours.p95),
    ]);
    for (name, mean) in means {
        table.name(name, Cell::mean(mean, 2));
    }
    table
        .name("finished", Cell::share(&effort.finished))
        .name("with a compromise", Cell::share(&effort.compromised));
    let n = effort.finished.n;
    let mut done = 0.0;
    let shares = effort.assembly_shares.iter().zip(1..);
    let after = shares.take(5).map(|(share, assemblies)| {
        done += share;
        let hits = (done * n as f64).round() as u64;
        format!("{assemblies}: {}", percent(&Estimate::share(hits, n)))
    });
    let after = after.collect::<Vec<_>>().join("  ");
    let after = format!("with at most so many assemblies  {after}");
    [table.into(), Block::Note(after)]
}

fn spread(answer: &Odds) -> Table {
    let print = Printed(answer.loaded.axle_units);
    let spread = &answer.odds.spread;
    let mut table = Table::new([
        Column::words(""),
        Column::intervals("mean"),
        Column::intervals("one sigma"),
        Column::words("").may_go(),
    ]);
    let mut row = |name: &str, moments: &Moments, note: &str| {
        // as many as there are, where they are too few for an interval
        let length = |value: f64, estimate: Estimate| {
            Cell::known(Known::Length(Estimate { value, ..estimate }, print))
        };
        table.row([
            name.into(),
            length(moments.mean(), moments.estimate()),
            length(moments.deviation(), moments.deviation_estimate()),
            note.into(),
        ]);
    };
    row("depth", &spread.depth, "+ too shallow");
    row("backlash", &spread.backlash, "mean of a turn");
    row("side closure", &spread.closure, "");
    table
}

fn packs(answer: &Odds) -> Table {
    let print = Printed(answer.loaded.axle_units);
    let mut table = Table::new(
        std::iter::repeat_with(|| Column::words(""))
            .take(1 + MOST_PACKS)
            .chain([Column::words("").may_go()]),
    );
    let [ring_side, far_side, several] = match answer.setup.side_stock {
        SideStock::Packs(_) => ["ring-gear side", "far side", "packs"],
        SideStock::Notches(_) => ["ring-gear adjuster", "far adjuster", "settings"],
    };
    let packs = &answer.odds.packs;
    for (name, packs, several) in [
        ("pinion", &packs.pinion, "packs"),
        (ring_side, &packs.ring_side, several),
        (far_side, &packs.far_side, several),
        ("spacer", &packs.preload, "packs"),
    ] {
        let (Some((thinnest, _)), Some((thickest, _))) = (packs.first(), packs.last()) else {
            continue;
        };
        let mut likely: Vec<&(f64, f64)> = packs.iter().collect();
        likely.sort_by(|a, b| b.1.total_cmp(&a.1));
        likely.truncate(MOST_PACKS);
        likely.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut cells = vec![format!("{name}, {}", print.length_unit())];
        let shares = likely.iter().map(|(mm, share)| {
            let percent = 100.0 * share;
            format!("{}: {percent:.0} %", print.thickness(*mm))
        });
        cells.extend(shares);
        if packs.len() > MOST_PACKS {
            cells.push(format!(
                "of {} {several} from {} to {}",
                packs.len(),
                print.thickness(*thinnest),
                print.thickness(*thickest)
            ));
        }
        table.row(cells.into_iter().map(Cell::from));
    }
    table
}

/// How well the least certain share of so many is known.
fn within_points(n: u64) -> String {
    let half = 100.0 * Estimate::share(n / 2, n).half_width();
    format!("within {:.*} points", decimals(half, 2), half)
}
