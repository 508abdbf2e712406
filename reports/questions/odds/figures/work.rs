//! What a job takes: assemblies, and the packs that end up on the axle.

use shimcast_sim::count::estimate::Estimate;

use super::{Pictured, known_within};
use crate::document::{Cell, Chart, Column, Figure, Packs, PacksAt, Stacked, StackedBar, Table};
use crate::figures::said;
use crate::questions::odds::rows;
use crate::sentences::listed;

/// Bars shown at the most; the table has all.
const MOST_BARS: usize = 10;
/// Bars end where no more than this share of jobs is still to come.
const LEFT_OVER: f64 = 0.002;
/// Packs of one place that the table names.
const MOST_PACKS: usize = 12;

/// What is finished after a number of assemblies, of all rebuilds.
struct Within {
    assemblies: usize,
    finished: Estimate,
    right: Estimate,
    clearly_out: Estimate,
}

/// Cumulative share finished after 1, 2, 3 … assemblies.
pub(super) fn assemblies(of: &Pictured<'_>) -> Figure {
    let n = of.pictures.rebuilds;
    let (mut finished, mut right, mut clearly_out) = (0, 0, 0);
    let all: Vec<Within> = of
        .pictures
        .assemblies
        .iter()
        .zip(1..)
        .map(|(ended, assemblies)| {
            finished += ended.finished;
            right += ended.right;
            clearly_out += ended.clearly_out;
            Within {
                assemblies,
                finished: Estimate::share(finished, n),
                right: Estimate::share(right, n),
                clearly_out: Estimate::share(clearly_out, n),
            }
        })
        .collect();
    let after: Vec<String> = all
        .iter()
        .zip(["one assembly", "two", "three"])
        .map(|(row, times)| format!("{} after {times}", said(&row.finished)))
        .collect();
    let finished = &of.odds.effort.finished;
    let finding = format!(
        "Of all jobs, {} are done; in the end {} are finished{}.",
        listed(&after),
        said(finished),
        match finished.value < 1.0 {
            true => ", the rest is given up",
            false => "",
        },
    );
    let most = all.last().map_or(0.0, |row| row.finished.value);
    let nearly = all
        .iter()
        .position(|row| row.finished.value >= most - LEFT_OVER);
    let shown = nearly.map_or(0, |place| place + 1).clamp(3, MOST_BARS);
    let chart = Chart::Stacked(Stacked {
        label: "assemblies, at most".into(),
        share: "share of all jobs, %".into(),
        parts: [
            "finished, and truly in every window".into(),
            "finished, but outside by a graduation or less".into(),
            "finished, but clearly out".into(),
        ],
        bars: all
            .iter()
            .take(shown)
            .map(|row| StackedBar {
                name: row.assemblies.to_string(),
                parts: [
                    row.right.value,
                    row.finished.value - row.right.value - row.clearly_out.value,
                    row.clearly_out.value,
                ],
            })
            .collect(),
    });
    Figure {
        name: "assemblies",
        question: "How many assemblies until it is done?".into(),
        drawn: "Bars that grow: share of jobs finished after at most one, two, three and more \
                assemblies, those truly right, those a little out of a window and those clearly out \
                apart."
            .into(),
        chart,
        finding,
        reading: format!(
            "Jobs that the readings passed though the truth is outside are on top, hatched where it is \
             outside by no more than one graduation of the instrument that reads it: the technician \
             decides by readings, the customer gets the truth. {}",
            known_within(n)
        ),
        table: within(&all),
        rows: None,
    }
}

fn within(all: &[Within]) -> Table {
    let mut table = Table::new([
        Column::figures("assemblies").key("assemblies_at_most"),
        Column::intervals("finished").key("finished_share"),
        Column::intervals("finished and right").key("right_share"),
        Column::intervals("finished, clearly out").key("clearly_out_share"),
    ])
    .caption("Share of all jobs finished within a number of assemblies");
    for row in all {
        let [finished, right, clearly_out] =
            [&row.finished, &row.right, &row.clearly_out].map(Cell::share);
        table.row([Cell::count(row.assemblies), finished, right, clearly_out]);
    }
    table
}

/// Packs finally fitted.
pub(super) fn packs(of: &Pictured<'_>) -> Figure {
    let print = of.print;
    let unit = of.print.units.length.mm();
    let odds = of.odds;
    let places = rows::places(of.setup, odds);
    let likeliest: Vec<String> = places
        .iter()
        .filter_map(|(name, packs)| {
            let best = packs.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
            Some(format!(
                "{name} {} ({} of {} packs)",
                print.given(best.0),
                said(&rows::of_finished(best.1, odds)),
                packs.len()
            ))
        })
        .collect();
    let finding = if likeliest.is_empty() {
        "No job was finished, so no pack was finally fitted.".to_owned()
    } else {
        format!("Fitted most often: {}.", likeliest.join("; "))
    };
    let chart = Chart::Packs(Packs {
        label: format!("thickness, {}", print.length_unit()),
        places: places
            .iter()
            .map(|(name, packs)| PacksAt {
                name: (*name).to_owned(),
                packs: packs
                    .iter()
                    .map(|(mm, share)| (mm / unit, *share))
                    .collect(),
            })
            .collect(),
    });
    let mut all = Table::new([
        Column::data("place"),
        Column::data(format!("thickness_{}", print.length_unit())),
        Column::data("jobs"),
        Column::intervals("").key("share"),
    ]);
    for (name, packs) in &places {
        for (mm, of_jobs) in *packs {
            let share = rows::of_finished(*of_jobs, odds);
            all.row([
                name.replace(' ', "_").into(),
                Cell::data(*mm / unit),
                Cell::data((share.value * share.n as f64).round()),
                Cell::share(&share),
            ]);
        }
    }
    Figure {
        name: "packs",
        question: "Which packs end up on the axle?".into(),
        drawn:
            "For each place on the axle, bars of the share of finished jobs by thickness of the \
                pack finally fitted."
                .into(),
        chart,
        finding,
        reading: format!(
            "Printed thickness of the packs of finished jobs. {}",
            known_within(odds.handed_over.all.n)
        ),
        table: rows::packs(of.setup, odds, print, MOST_PACKS),
        rows: Some(all),
    }
}
