//! Hours of a job, and what a flat number of hours risks.

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::quote::Flat;

use super::exhibit::Exhibit;
use super::said;
use super::spread::{bars, edge, jobs_in, known_within, named, share_in};
use crate::chart::{self, Axis, Bars, Curve, Line, Mark, Sample, Words, nice_width};
use crate::document::{Cell, Column, Table};
use crate::figures::{number, plain, said_mean};
use crate::questions::quote::flats;
use crate::questions::report::reported::Reported;

/// Quarter hours shown at the most; where jobs spread wider, only every second, third …
const MOST_ROWS: usize = 60;

/// How the hours spread.
pub(super) fn hours(asked: &Reported<'_>) -> Exhibit {
    let histogram = &asked.pictures.hours;
    let hours = &asked.odds.effort.hours;
    let [half, most, nearly] = [&hours.p50, &hours.p80, &hours.p95].map(|e| said_mean(e, 2));
    let finding = format!(
        "Half of the jobs are done within {half} hours, 4 in 5 within {most} and 19 in 20 within \
         {nearly}."
    );
    let (low, high) = match (histogram.edge_below(0.001), histogram.edge_below(0.995)) {
        (Some(low), Some(high)) => (low, high),
        _ => (0.0, 1.0),
    };
    // quarters of an hour where they can be told apart, otherwise rounder widths
    let width = if high - low < 12.0 {
        0.25
    } else {
        nice_width((high - low) / 40.0)
    };
    let start = (low / width).floor() * width;
    let count = (((high - start) / width).ceil() as usize + 1).clamp(4, 80);
    let bins = histogram.bins(start, width, count);
    let total = histogram.total();
    let line = |e: &Estimate, name: &str| Line {
        x: e.value,
        text: format!("{name}: {} h", number(e, 2)),
    };
    let figure = chart::histogram(&chart::Histogram {
        words: Words {
            name: "hours".into(),
            title: "How many hours does a job take?".into(),
            description: format!(
                "Histogram of the hours of a job, with the hours within which half, 4 in 5 and 19 \
                 in 20 are done. {finding}"
            ),
        },
        label: "hours of a job".into(),
        start,
        width,
        window: None,
        filled: Bars {
            name: format!("jobs, bars of {} h", plain(width)),
            shares: bins
                .counts
                .iter()
                .map(|count| *count as f64 / total.max(1) as f64)
                .collect(),
        },
        outlined: None,
        lines: vec![
            line(&hours.p50, "1 in 2"),
            line(&hours.p80, "4 in 5"),
            line(&hours.p95, "19 in 20"),
        ],
    });
    let mut table = Table::new([
        Column::words("hours"),
        Column::data("from_h"),
        Column::data("to_h"),
        Column::data("jobs"),
        Column::intervals("share of jobs").key("share"),
    ])
    .caption("Hours of a job: share of jobs in each bar");
    let places = usize::from(width < 1.0) * 2;
    for (i, ends) in bars(start, width, bins.counts.len())
        .into_iter()
        .enumerate()
    {
        let [from, to] = ends.map(edge);
        let jobs = Cell::count(jobs_in(&bins, i));
        table.row([
            named(ends, places).into(),
            from,
            to,
            jobs,
            share_in(&bins, i),
        ]);
    }
    let mut reading = known_within(total);
    let outside = Estimate::share(bins.below + bins.above, total);
    if bins.below + bins.above > 0 {
        reading.push_str(&format!(" Beyond the picture lie {}.", said(&outside)));
    }
    reading.push_str(" The minutes of each step are what the shop's file says.");
    Exhibit {
        finding,
        figure,
        reading,
        table,
        rows: None,
    }
}

/// Overrun risk against flat hours.
pub(super) fn risk(asked: &Reported<'_>) -> Exhibit {
    let choice = asked.choice;
    let currency = &choice.setup.shop.currency;
    let all = choice.flats();
    let every = all.len().div_ceil(MOST_ROWS).max(1);
    let flats: Vec<Flat> = all.into_iter().step_by(every).collect();
    let chosen = asked.recommended();
    let finding = chosen.map_or_else(
        || "Nothing was simulated.".to_owned(),
        |flat| {
            format!(
                "With {:.2} flat hours, {} of jobs take longer; at {:.0} {currency} before tax \
                 the shop gains {}.",
                flat.hours,
                said(&flat.overrun),
                flat.price,
                flats::gain(&flat, currency),
            )
        },
    );
    let ends = (flats.first(), flats.last());
    let (low, high) = match ends {
        (Some(first), Some(last)) => (first.hours, last.hours),
        _ => (0.0, 1.0),
    };
    let margin = 0.04 * (high - low).max(1.0);
    let most = flats.iter().map(|f| f.overrun.value).fold(0.0, f64::max);
    let figure = chart::curve(&Curve {
        words: Words {
            name: "overrun".into(),
            title: "What does a flat number of hours risk?".into(),
            description: format!(
                "Curve falling from left to right: share of jobs that take longer than the flat \
                 hours, for each quarter of an hour. {finding}"
            ),
        },
        x: Axis::new(low - margin, high + margin, "flat hours", 8),
        y: Axis::percent(most, "jobs that take longer, %"),
        name: "share of jobs that take longer, with its 95 % interval".into(),
        samples: flats
            .iter()
            .map(|flat| Sample {
                x: flat.hours,
                y: 100.0 * flat.overrun.value,
                low: 100.0 * flat.overrun.low,
                high: 100.0 * flat.overrun.high,
            })
            .collect(),
        level: Some((
            100.0 * asked.risk,
            format!("risk allowed: {} %", plain(100.0 * asked.risk)),
        )),
        marks: chosen
            .iter()
            .map(|flat| Mark {
                x: flat.hours,
                y: 100.0 * flat.overrun.value,
                name: format!("to quote: {:.2} flat hours", flat.hours),
                chosen: true,
            })
            .collect(),
    });
    Exhibit {
        finding,
        figure,
        reading: "The price is the flat hours with all other costs of a job: sleeves, shims, cones \
                  spoiled in pulling, expected comebacks, jobs given up. It is without margin, tax or \
                  new parts; shimcast quote puts these in. The share of the jobs clearly out that \
                  return is the shop's own assumption."
            .into(),
        table: flats::table(choice, &flats, chosen.as_ref(), None),
        rows: None,
    }
}
