//! The odds in words and tables: first the few numbers that a person asked for, then the detail,
//! then what was assumed.

use shimcast_sim::count::estimate::{Estimate, Moments};
use shimcast_sim::odds::Effort;

use super::{Odds, rows};
use crate::document::{Block, Cell, Column, Document, Known, Table};
use crate::figures::said;
use crate::questions::frame;
use crate::questions::outside;

/// Packs shown for each place.
const MOST_PACKS: usize = 5;

pub(super) fn tell(answer: &Odds) -> Document {
    let (setup, odds) = (&answer.setup, &answer.odds);
    let partial = odds.partial.then_some(odds.rebuilds);
    let mut document = frame::of_job(setup, partial, &answer.loaded.assumptions);
    let outside = outside::told(&odds.handed_over.all, &odds.clearly_out);
    let print = answer.loaded.printed();
    let mut headline = rows::headline(odds);
    if let Some(share) = &answer.held_as_the_book {
        rows::beside_the_book(&mut headline, share);
    }
    document
        .section(
            "",
            [
                headline.into(),
                Block::Note(outside),
                Block::Note(rows::at_first(setup, odds)),
            ],
        )
        .first()
        .table(rows::windows(setup, odds, print), [])
        .table(rows::effort(setup, &odds.effort), [ended(&odds.effort)])
        .table(spread(answer), [])
        .table(rows::packs(setup, odds, print, MOST_PACKS), []);
    document.behind = frame::behind(odds.rebuilds, answer.seed);
    document
}

/// After how many assemblies jobs end, given up or not.
fn ended(effort: &Effort) -> String {
    let n = effort.finished.n;
    let mut done = 0.0;
    let shares = effort.assembly_shares.iter().zip(1..);
    let after = shares.take(5).map(|(share, assemblies)| {
        done += share;
        let hits = (done * n as f64).round() as u64;
        format!("{assemblies}: {}", said(&Estimate::share(hits, n)))
    });
    let after = after.collect::<Vec<_>>().join(", ");
    format!("jobs that take at most this many assemblies  {after}")
}

fn spread(answer: &Odds) -> Table {
    let print = answer.loaded.printed();
    let spread = &answer.odds.spread;
    let mut table = Table::new([
        Column::words(""),
        Column::intervals("mean"),
        Column::intervals("one sigma"),
        Column::words("").may_go(),
    ])
    .caption("First assembly as bolted up");
    for (name, moments, note) in [
        ("depth", &spread.depth, "+ too shallow"),
        ("backlash", &spread.backlash, "mean of a turn"),
        ("side preload", &spread.closure, ""),
    ] {
        // as many as there are, where they are too few for an interval
        let length = |value: f64, estimate: Estimate| {
            Cell::known(Known::Length(Estimate { value, ..estimate }, print))
        };
        let moments: &Moments = moments;
        // one figure has no deviation
        let sigma = match answer.odds.rebuilds {
            0 | 1 => Cell::none(),
            _ => length(moments.deviation(), moments.deviation_estimate()),
        };
        table.row([
            name.into(),
            length(moments.mean(), moments.estimate()),
            sigma,
            note.into(),
        ]);
    }
    table
}
