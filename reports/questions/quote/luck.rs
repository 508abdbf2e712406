//! The luck of a year: what a flat price comes to over many jobs, in words.

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::quote::{FEW, Flat, Year};

use super::Choice;
use crate::document::{Cell, Known, wording};
use crate::figures::{Digits, counted, hardly, interval, plain, said, signed, signed_interval};

/// What a flat price comes to over many jobs.
#[derive(Debug, Clone, PartialEq)]
pub struct Luck {
    /// Such jobs in a year, where that is known.
    pub jobs: Option<f64>,
    /// A year of them at the price to quote, where there is one.
    pub year: Option<Year>,
    /// Jobs after which the mean gain is felt at that price.
    pub felt_after: Option<Estimate>,
    /// Fewest flat hours with a gain on average.
    pub pays_from: Option<f64>,
    /// Fewest flat hours at which a losing year is rarer than 1 in 20.
    pub most_years_from: Option<f64>,
    /// Whether there are too few rebuilds to say any of this.
    pub few: bool,
}

impl Luck {
    /// That of a job at the price that is quoted for a risk.
    pub fn of(choice: &Choice, risk: f64, jobs: Option<f64>) -> Self {
        let Choice { quote, terms, .. } = choice;
        let flat = choice.recommended(risk);
        let flat = flat.as_ref();
        let few = quote.rebuilds < FEW;
        // what is not quoted pays at no price
        let quoted = quote.not_quoted().is_none() && !few;
        let terms = quoted.then_some(*terms);
        Self {
            jobs,
            year: flat.zip(jobs).and_then(|(flat, n)| quote.year(flat, n)),
            felt_after: flat.and_then(|flat| quote.felt_after(flat)),
            pays_from: terms.and_then(|terms| quote.pays_from(terms)),
            most_years_from: terms
                .zip(jobs)
                .and_then(|(terms, n)| quote.pays_in_most_years_from(terms, n)),
            few,
        }
    }

    /// The flat hours from which on it pays, on average and in most years.
    pub fn break_even(&self) -> Vec<f64> {
        [self.pays_from, self.most_years_from]
            .into_iter()
            .flatten()
            .collect()
    }

    /// From which flat hours on it pays, on average and in most years.
    pub fn pays(&self) -> String {
        if self.few {
            return "too few rebuilds to say".to_owned();
        }
        let hours = |hours: f64| format!("{hours:.2} flat hours");
        let mean = match self.pays_from {
            Some(from) => format!("on average from {}", hours(from)),
            None => "on average at no price".to_owned(),
        };
        let years = match (self.most_years_from, self.jobs) {
            (Some(from), _) => format!(", in 19 of 20 years from {from:.2}"),
            (None, Some(jobs)) if jobs > 0.0 => ", and in 19 of 20 years at no price".to_owned(),
            (None, _) => String::new(),
        };
        mean + &years
    }

    /// After how many jobs the mean gain is felt.
    pub fn felt(&self, flat: &Flat) -> String {
        let words = match &self.felt_after {
            _ if self.few => "too few rebuilds to say",
            _ if flat.gain.low <= 0.0 => "never: no gain is seen on average",
            None => "not within a million such jobs",
            Some(jobs) if jobs.high <= 1.0 => "with the first job: 19 of 20 are a gain",
            Some(jobs) => {
                let ends = match jobs.low == jobs.high {
                    true => String::new(),
                    false => format!(" ({})", interval(jobs, 0)),
                };
                let jobs = counted(jobs.value as u64, ["job", "jobs"]);
                return format!("after {jobs}{ends}: by then 19 of 20 sums are a gain");
            }
        };
        words.to_owned()
    }
}

/// Why nothing is said of a year.
pub fn not_known() -> String {
    let jobs = wording::key(
        "[[jobs]] of the shop",
        "jobs that the shop file expects in a month",
    );
    format!("not known: it is not among the {jobs}")
}

/// A year's mean gain, and what 95 of 100 years bring.
pub fn year(year: &Year, currency: &str) -> String {
    let [low, high] = year.band.map(|end| digits(year).signed(end));
    format!(
        "{} {currency} on average with {} such jobs ({}); 95 of 100 years bring {low} to {high}",
        signed(&year.gain, 0),
        plain(year.jobs),
        signed_interval(&year.gain, 0),
    )
}

/// How many years lose.
pub fn losing(year: &Year) -> String {
    let losing = &year.losing;
    match hardly(losing) {
        Some(_) if losing.value < 0.5 => "fewer than 1 in 1000".to_owned(),
        Some(_) => "more than 999 in 1000".to_owned(),
        None => said(losing),
    }
}

/// What 95 of 100 years bring: for people, and its ends for other tools.
pub fn band_cells(year: &Year) -> [Cell; 3] {
    let [low, high] = year.band;
    let digits = digits(year);
    let words = format!("{} to {}", digits.signed(low), digits.signed(high));
    [words.into(), Cell::data(low), Cell::data(high)]
}

/// The share of years that lose.
pub fn losing_cell(year: &Year) -> Cell {
    Cell::known(Known::Chance(year.losing))
}

/// The digits that the mean of a year carries; its band has no more.
fn digits(year: &Year) -> Digits {
    Digits::of(&year.gain, 0)
}
