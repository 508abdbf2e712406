//! What a job takes: assemblies, and the packs that end up on the axle.

use shimcast_sim::estimate::Estimate;
use shimcast_sim::setup::SideStock;

use super::data::{Observations, cell, cells};
use super::exhibit::Exhibit;
use super::html::Table;
use super::said;
use super::spread::known_within;
use crate::answers::report::Reported;
use crate::chart::{self, Place, Step, Steps, Words};
use crate::figures::{Printed, percent, percent_interval};

/// Bars shown at the most; the table has all.
const MOST_BARS: usize = 10;
/// Bars end where no more than this share of jobs is still to come.
const LEFT_OVER: f64 = 0.002;
/// Packs of one place that the table names.
const MOST_PACKS: usize = 12;

/// Done after so many assemblies, of all rebuilds.
struct Done {
    assemblies: usize,
    finished: Estimate,
    right: Estimate,
    clearly_out: Estimate,
}

/// Cumulative share done after 1, 2, 3 … assemblies.
pub(super) fn done(asked: &Reported<'_>) -> Exhibit {
    let n = asked.pictures.rebuilds;
    let (mut finished, mut right, mut clearly_out) = (0, 0, 0);
    let rows: Vec<Done> = asked
        .pictures
        .assemblies
        .iter()
        .zip(1..)
        .map(|(ended, assemblies)| {
            finished += ended.finished;
            right += ended.right;
            clearly_out += ended.clearly_out;
            Done {
                assemblies,
                finished: Estimate::share(finished, n),
                right: Estimate::share(right, n),
                clearly_out: Estimate::share(clearly_out, n),
            }
        })
        .collect();
    let told: Vec<String> = rows
        .iter()
        .take(3)
        .map(|row| {
            let times = match row.assemblies {
                1 => "one assembly".to_owned(),
                2 => "two".to_owned(),
                _ => "three".to_owned(),
            };
            format!("{} after {times}", said(&row.finished))
        })
        .collect();
    let finding = format!(
        "Of all jobs, {} are done; in the end {} are finished{}.",
        listed(&told),
        said(&asked.odds.effort.finished),
        if asked.odds.effort.finished.value < 1.0 {
            ", the rest is given up"
        } else {
            ""
        },
    );
    let most = rows.last().map_or(0.0, |row| row.finished.value);
    let nearly = rows
        .iter()
        .position(|row| row.finished.value >= most - LEFT_OVER);
    let shown = nearly.map_or(0, |place| place + 1).clamp(3, MOST_BARS);
    let figure = chart::steps(&Steps {
        words: Words {
            name: "assemblies".into(),
            title: "How many assemblies until it is done?".into(),
            description: format!(
                "Bars that grow: share of jobs finished after at most one, two, three and more \
                 assemblies, those truly right, those a little out of a window and those clearly out \
                 apart. {finding}"
            ),
        },
        label: "assemblies, at most".into(),
        share: "share of all jobs, %".into(),
        parts: [
            "finished, and truly in every window".into(),
            "finished, but outside by a graduation or less".into(),
            "finished, but clearly out".into(),
        ],
        steps: rows
            .iter()
            .take(shown)
            .map(|row| Step {
                name: row.assemblies.to_string(),
                parts: [
                    row.right.value,
                    row.finished.value - row.right.value - row.clearly_out.value,
                    row.clearly_out.value,
                ],
            })
            .collect(),
    });
    let mut table = Table::new(
        "Share of all jobs finished after at most so many assemblies",
        [
            "assemblies",
            "finished",
            "95 % interval",
            "finished and right",
            "95 % interval",
            "finished, clearly out",
            "95 % interval",
        ],
    );
    let mut observations = Observations::new(
        "assemblies",
        &[
            "assemblies_at_most",
            "finished_share",
            "finished_share_low",
            "finished_share_high",
            "right_share",
            "right_share_low",
            "right_share_high",
            "clearly_out_share",
            "clearly_out_share_low",
            "clearly_out_share_high",
        ],
    );
    for row in &rows {
        table.row([
            row.assemblies.to_string(),
            percent(&row.finished),
            percent_interval(&row.finished),
            percent(&row.right),
            percent_interval(&row.right),
            percent(&row.clearly_out),
            percent_interval(&row.clearly_out),
        ]);
        let mut cells_of_row = vec![row.assemblies.to_string()];
        cells_of_row.extend(cells(&row.finished));
        cells_of_row.extend(cells(&row.right));
        cells_of_row.extend(cells(&row.clearly_out));
        observations.row(cells_of_row);
    }
    Exhibit {
        finding,
        figure,
        reading: format!(
            "What the readings passed though the truth is outside stands on top, hatched where it is \
             outside by no more than one graduation of the instrument that reads it: the technician \
             decides by readings, the customer gets the truth. {}",
            known_within(n)
        ),
        table,
        observations,
    }
}

/// Packs finally fitted.
pub(super) fn packs(asked: &Reported<'_>) -> Exhibit {
    let print = Printed(asked.units);
    let unit = asked.units.length.mm();
    let n = asked.odds.handed_over.all.n;
    let fitted = &asked.odds.packs;
    let adjusters = matches!(asked.setup().side_stock, SideStock::Notches(_));
    let [ring, far] = if adjusters {
        ["ring-gear side adjuster", "far side adjuster"]
    } else {
        ["ring-gear side", "far side"]
    };
    let places: Vec<(&str, &[(f64, f64)])> = [
        ("pinion", fitted.pinion.as_slice()),
        (ring, &fitted.ring_side),
        (far, &fitted.far_side),
        ("pinion spacer", &fitted.preload),
    ]
    .into_iter()
    .filter(|(_, packs)| !packs.is_empty())
    .collect();
    // a whole number of jobs, which the share was made of
    let share = |share: f64| Estimate::share((share * n as f64).round() as u64, n);
    let likeliest: Vec<String> = places
        .iter()
        .filter_map(|(name, packs)| {
            let best = packs.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
            Some(format!(
                "{name} {} {} ({} of {} packs)",
                print.thickness(best.0),
                print.length_unit(),
                said(&share(best.1)),
                packs.len()
            ))
        })
        .collect();
    let finding = if likeliest.is_empty() {
        "No job was finished, so no pack was finally fitted.".to_owned()
    } else {
        format!("Fitted most often: {}.", likeliest.join("; "))
    };
    let figure = chart::packs(
        Words {
            name: "packs".into(),
            title: "Which packs end up on the axle?".into(),
            description: format!(
                "For each place on the axle, bars of the share of finished jobs by thickness of \
                 the pack finally fitted. {finding}"
            ),
        },
        &format!("thickness, {}", print.length_unit()),
        &places
            .iter()
            .map(|(name, packs)| Place {
                name: (*name).to_owned(),
                packs: packs
                    .iter()
                    .map(|(mm, share)| (mm / unit, *share))
                    .collect(),
            })
            .collect::<Vec<Place>>(),
    );
    let mut table = Table::new(
        format!("Packs finally fitted to finished jobs, the {MOST_PACKS} likeliest of each place"),
        [
            "place".to_owned(),
            format!("thickness, {}", print.length_unit()),
            "share of jobs".to_owned(),
            "95 % interval".to_owned(),
        ],
    );
    let mut observations = Observations::new(
        "packs",
        &[
            "place",
            "thickness_mm",
            "jobs",
            "share",
            "share_low",
            "share_high",
        ],
    );
    for (name, packs) in &places {
        let mut likely: Vec<&(f64, f64)> = packs.iter().collect();
        likely.sort_by(|a, b| b.1.total_cmp(&a.1));
        likely.truncate(MOST_PACKS);
        likely.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut named = 0.0;
        for (mm, of_jobs) in &likely {
            named += of_jobs;
            let share = share(*of_jobs);
            table.row([
                (*name).to_owned(),
                print.thickness(*mm),
                percent(&share),
                percent_interval(&share),
            ]);
        }
        if packs.len() > likely.len() {
            let share = share(1.0 - named);
            table.row([
                (*name).to_owned(),
                format!("{} others", packs.len() - likely.len()),
                percent(&share),
                percent_interval(&share),
            ]);
        }
        for (mm, of_jobs) in *packs {
            let share = share(*of_jobs);
            let jobs = (of_jobs * n as f64).round();
            let mut row = vec![(*name).replace(' ', "_"), cell(*mm), cell(jobs)];
            row.extend(cells(&share));
            observations.row(row);
        }
    }
    Exhibit {
        finding,
        figure,
        reading: format!(
            "Printed thickness of the packs of finished jobs. {}",
            known_within(n)
        ),
        table,
        observations,
    }
}

/// "a, b and c".
pub(super) fn listed(all: &[String]) -> String {
    match all {
        [] => "none".into(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
