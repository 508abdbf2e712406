//! Flat hours, and what they risk.

use shimcast_sim::quote::Flat;

use super::Choice;
use crate::document::{Cell, Column, Table};
use crate::figures::{plain, said, says_nothing, signed, signed_interval};

/// Flat hours with what each risks and brings, and over a year where it is known how many such jobs
/// come in one.
pub fn table(
    choice: &Choice,
    flats: &[Flat],
    chosen: Option<&Flat>,
    jobs_a_year: Option<f64>,
) -> Table {
    let currency = choice.setup.shop.currency.as_str();
    let mut columns = vec![
        Column::figures("flat hours").key("flat_h"),
        Column::intervals("longer").key("overrun_share"),
        Column::figures("price").key_in("price_before_tax", currency),
        Column::intervals("gain").key_in("gain", currency),
        Column::words(""),
    ];
    if let Some(jobs) = jobs_a_year {
        columns.insert(
            4,
            Column::intervals(format!("a year of {}", plain(jobs))).may_go(),
        );
    }
    let mut table = Table::new(columns).caption(format!(
        "Flat hours: jobs that take longer, price before tax and gain a job, {currency}"
    ));
    let paying = flats.iter().position(|flat| flat.gain.low > 0.0);
    for (place, flat) in flats.iter().enumerate() {
        let mut row = vec![
            Cell::exact(flat.hours, 2),
            Cell::share(&flat.overrun),
            Cell::exact(flat.price, 0),
            Cell::change(&flat.gain, 0),
        ];
        row.extend(jobs_a_year.map(|jobs| Cell::change(&flat.gain.times(jobs), 0)));
        let pays = (Some(place) == paying).then_some("pays from here");
        let quote = chosen.is_some_and(|chosen| chosen.hours == flat.hours);
        let marks = [pays, quote.then_some("to quote")];
        let marks: Vec<&str> = marks.into_iter().flatten().collect();
        row.push(marks.join(", ").into());
        table.row(row);
    }
    table
}

/// How many jobs take longer, and how many may.
pub fn risk(flat: &Flat, allowed: f64) -> String {
    let overrun = match says_nothing(&flat.overrun) {
        true => "too few rebuilds to say how many jobs take longer".into(),
        false => format!("{} of jobs take longer", said(&flat.overrun)),
    };
    format!("{overrun}; {} % are allowed", plain(100.0 * allowed))
}

/// What a job brings over its cost.
pub fn gain(flat: &Flat, currency: &str) -> String {
    format!(
        "{} {currency} a job over its cost ({})",
        signed(&flat.gain, 0),
        signed_interval(&flat.gain, 0)
    )
}
