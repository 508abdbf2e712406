//! Hours of a job, and what a flat number of hours risks.

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::count::histogram::Bins;
use shimcast_sim::quote::Flat;

use super::luck::{self, Luck};
use super::{Choice, costs, flats, price};
use crate::document::{
    Axis, Bars, Block, Cell, Chart, Column, Curve, Figure, Histogram, Mark, Sample, Section, Table,
    Upright, nice_width, wording,
};
use crate::figures::{plain, said, said_mean};
use crate::files::Assumption;
use crate::questions::odds::figures::{Pictured, bars, known_within};

/// Quarter hours drawn at the most; where jobs spread wider, only every second, third …
const MOST_POINTS: usize = 60;

/// What is quoted.
#[derive(Debug, Clone, Copy)]
pub struct Quoted<'a> {
    /// The job.
    pub choice: &'a Choice,
    /// What the price to quote comes to over many jobs.
    pub luck: &'a Luck,
    /// Share of jobs that may overrun.
    pub risk: f64,
    /// Defaults in use.
    pub assumptions: &'a [Assumption],
}

/// What to quote, so that no more than a share of jobs overruns, and what a year of it brings.
pub fn section(of: &Pictured<'_>, quoted: Quoted<'_>) -> Section {
    let Quoted {
        choice,
        luck,
        risk,
        assumptions,
    } = quoted;
    let chosen = choice.recommended(risk);
    let mut blocks = vec![
        Block::Text(costs::hours_in_it(choice, assumptions)),
        costs::table(choice, assumptions).into(),
    ];
    if let Some(flat) = &chosen {
        blocks.push(Block::Folded(price::table(choice, flat, assumptions)));
        blocks.push(Block::Text(year(choice, luck, flat)));
    }
    blocks.extend(pictures(of, quoted).blocks);
    Section::at("quote", "What to quote?", blocks)
}

/// The pictures alone: how the hours spread, and what a flat number of them risks.
pub fn pictures(of: &Pictured<'_>, quoted: Quoted<'_>) -> Section {
    let chosen = quoted.choice.recommended(quoted.risk);
    let both = vec![hours(of).into(), overrun(quoted, chosen.as_ref()).into()];
    Section {
        first: true,
        ..Section::at("hours-of-a-job", "The hours", both)
    }
}

/// What many jobs come to at the price to quote.
fn year(choice: &Choice, luck: &Luck, flat: &Flat) -> String {
    let currency = &choice.setup.shop.currency;
    let of_years = match (&luck.year, luck.jobs) {
        (Some(year), _) => format!(
            "A year brings {}. Losing years: {}.",
            luck::year(year, currency),
            luck::losing(year)
        ),
        (None, Some(_)) => "Too little is known to say what a year brings.".into(),
        (None, None) => format!("What a year brings is {}.", luck::not_known()),
    };
    format!(
        "{of_years} It pays {}. Luck evens out: {}.",
        luck.pays(),
        luck.felt(flat)
    )
}

/// How the hours spread.
fn hours(of: &Pictured<'_>) -> Figure {
    let histogram = &of.pictures.hours;
    let hours = &of.odds.effort.hours;
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
    let line = |e: &Estimate, name: &str| Upright {
        x: e.value,
        text: name.into(),
    };
    let chart = Chart::Histogram(Histogram {
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
    let mut reading = known_within(total);
    let outside = Estimate::share(bins.below + bins.above, total);
    if bins.below + bins.above > 0 {
        reading.push_str(&format!(" Beyond the picture lie {}.", said(&outside)));
    }
    reading.push_str(" The minutes of each step are what the shop's file says.");
    Figure {
        name: "hours",
        question: "How many hours does a job take?".into(),
        drawn:
            "Histogram of the hours of a job, with the hours within which half, 4 in 5 and 19 in \
                20 are done."
                .into(),
        chart,
        finding,
        reading,
        table: shares_of_hours(&bins, start, width),
        rows: None,
    }
}

/// The share of jobs in each bar of hours.
fn shares_of_hours(bins: &Bins, start: f64, width: f64) -> Table {
    let mut table = Table::new([
        Column::words("hours"),
        Column::data("from_h"),
        Column::data("to_h"),
        Column::data("jobs"),
        Column::intervals("share of jobs").key("share"),
    ])
    .caption("Hours of a job: share of jobs in each bar");
    let places = usize::from(width < 1.0) * 2;
    for (i, ends) in bars::ends(start, width, bins.counts.len())
        .into_iter()
        .enumerate()
    {
        let [from, to] = ends.map(bars::end);
        let jobs = Cell::count(bars::jobs(bins, i));
        table.row([
            bars::name(ends, places).into(),
            from,
            to,
            jobs,
            bars::share(bins, i),
        ]);
    }
    table
}

/// What else is in the price, and what is not.
fn in_price(choice: &Choice) -> String {
    let terms = choice.terms;
    let in_it = |amount: f64, what: String| (amount > 0.0).then_some(what);
    let currency = &choice.setup.shop.currency;
    let on_them = match terms.parts_margin > 0.0 {
        true => format!(
            " ({} % put on what they cost)",
            plain(100.0 * terms.parts_margin)
        ),
        false => String::new(),
    };
    let terms = [
        in_it(
            terms.margin,
            format!("{} % margin", plain(100.0 * terms.margin)),
        ),
        in_it(
            terms.parts,
            format!(
                "{} {currency} of parts{on_them}",
                plain(terms.parts_charged())
            ),
        ),
    ];
    let terms: Vec<String> = terms.into_iter().flatten().collect();
    match terms.as_slice() {
        [] => {
            let [margin, tax, gears] = ["margin", "tax", "gear-price"].map(wording::option);
            let how = wording::hint(&format!("; {margin}, {tax} and {gears} put these in"));
            format!("It is without margin, tax or new parts{how}.")
        }
        terms => format!("It has {} in it, and no tax.", terms.join(" and ")),
    }
}

/// Overrun risk against flat hours.
fn overrun(quoted: Quoted<'_>, chosen: Option<&Flat>) -> Figure {
    let Quoted {
        choice,
        luck,
        risk,
        assumptions,
    } = quoted;
    let currency = &choice.setup.shop.currency;
    let all = choice.flats();
    let every = all.len().div_ceil(MOST_POINTS).max(1);
    let flats: Vec<Flat> = all.into_iter().step_by(every).collect();
    let finding = chosen.map_or_else(
        || choice.why_no_price(),
        |flat| {
            format!(
                "With {:.2} flat hours, {} of jobs take longer; at {:.0} {currency} before tax \
                 the shop gains {}.",
                flat.hours,
                said(&flat.overrun),
                flat.price,
                flats::gain(flat, currency, assumptions),
            )
        },
    );
    let mut matter = luck.break_even();
    matter.extend(chosen.map(|flat| flat.hours));
    let ends = (flats.first(), flats.last());
    let (low, high) = match ends {
        (Some(first), Some(last)) => (first.hours, last.hours),
        _ => (0.0, 1.0),
    };
    let margin = 0.04 * (high - low).max(1.0);
    let most = flats.iter().map(|f| f.overrun.value).fold(0.0, f64::max);
    let chart = Chart::Curve(Curve {
        x: Axis::new(low - margin, high + margin, "flat hours", 8),
        y: Axis::percent(most, "jobs that take longer, %"),
        name: "jobs that take longer, with 95 % interval".into(),
        samples: flats
            .iter()
            .map(|flat| Sample {
                x: flat.hours,
                y: flat.overrun.times(100.0),
            })
            .collect(),
        level: Some((
            100.0 * risk,
            format!("risk allowed: {} %", plain(100.0 * risk)),
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
    Figure {
        name: "overrun",
        question: "What does a flat number of hours risk?".into(),
        drawn:
            "Curve falling from left to right: share of jobs that take longer than the flat hours, \
                for each quarter of an hour."
                .into(),
        chart,
        finding,
        reading: format!(
            "The price is the flat hours with all other costs of a job: sleeves, shims, cones spoiled \
             in pulling, expected comebacks, jobs given up. {} The share of the jobs clearly out that \
             return is the shop's own assumption.",
            in_price(choice)
        ),
        table: flats::table(choice, &choice.few_flats(&matter), chosen, luck),
        // other tools get every quarter hour that is drawn
        rows: Some(flats::table(choice, &flats, chosen, luck)),
    }
}
