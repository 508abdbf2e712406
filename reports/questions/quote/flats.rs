//! Flat hours, and what they risk.

use shimcast_sim::quote::Flat;

use super::Choice;
use super::costs::hour_cost_left_out;
use super::luck::{Luck, band_cells, losing_cell};
use crate::document::{Cell, Column, Table};
use crate::figures::{plain, said, says_nothing, signed, signed_interval};
use crate::files::Assumption;
use crate::questions::frame::key;

/// Flat hours with what each risks and brings: a job, and a year where it is known how many such jobs
/// come in one.
pub fn table(choice: &Choice, flats: &[Flat], chosen: Option<&Flat>, luck: &Luck) -> Table {
    let currency = choice.setup.shop.currency.as_str();
    let mut columns = vec![
        Column::figures("flat hours").key("flat_h"),
        Column::halves("longer").key("overrun_share"),
        Column::figures("price").key_in("price_before_tax", currency),
        Column::halves("gain").key_in("gain", currency),
    ];
    let mut caption =
        format!("Flat hours: jobs that take longer, price before tax and gain a job, {currency}");
    if let Some(jobs) = luck.jobs {
        let end = |end: &str| Column::data(format!("year_{end}_{currency}"));
        columns.extend([
            Column::halves(format!("a year of {}", plain(jobs)))
                .key_in("gain_a_year", currency)
                .may_go(),
            Column::figures("95 of 100 years").may_go(),
            end("low"),
            end("high"),
        ]);
        columns.push(Column::halves("losing years").key("losing_year_share"));
        caption.push_str("; gain of a mean year, and what 95 of 100 years bring");
    }
    columns.push(Column::words(""));
    let mut table = Table::new(columns).caption(caption);
    for flat in flats {
        let mut row = vec![
            Cell::exact(flat.hours, 2),
            Cell::share(&flat.overrun),
            Cell::exact(flat.price, 0),
            Cell::change(&flat.gain, 0),
        ];
        if let Some(jobs) = luck.jobs {
            let year = choice.quote.year(flat, jobs);
            match year {
                Some(year) => {
                    row.push(Cell::change(&year.gain, 0));
                    row.extend(band_cells(&year));
                    row.push(losing_cell(&year));
                }
                None => {
                    let nothing = || Cell::data(f64::NAN);
                    let said = [
                        Cell::none(),
                        Cell::none(),
                        nothing(),
                        nothing(),
                        Cell::none(),
                    ];
                    row.extend(said);
                }
            }
        }
        let is = |hours: Option<f64>| hours == Some(flat.hours);
        let marks = [
            (is(luck.pays_from), "pays on average"),
            (is(luck.most_years_from), "in 19 of 20 years"),
            (is(chosen.map(|chosen| chosen.hours)), "to quote"),
        ];
        let marks: Vec<&str> = marks
            .into_iter()
            .filter_map(|(is, mark)| is.then_some(mark))
            .collect();
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

/// What a job brings over its cost, and whether that leaves out what an hour earns.
pub fn gain(flat: &Flat, currency: &str, assumptions: &[Assumption]) -> String {
    let gain = format!(
        "{} {currency} a job over its cost ({})",
        signed(&flat.gain, 0),
        signed_interval(&flat.gain, 0)
    );
    match hour_cost_left_out(assumptions) {
        true => format!(
            "{gain}, without what its hours earn: {} is not given",
            key("prices.hour_cost")
        ),
        false => gain,
    }
}
