//! A quote with the jobs between which a customer chooses.

use shimcast_sim::quote::{Flat, Quote, Terms};
use shimcast_sim::setup::Setup;

use crate::files::Assumption;

/// One of the jobs between which a customer chooses.
#[derive(Debug)]
pub struct Choice {
    /// The job.
    pub setup: Setup,
    /// What was simulated of it.
    pub quote: Quote,
    /// What its price is made of.
    pub terms: Terms,
}

/// The whole answer.
#[derive(Debug, Clone, Copy)]
pub struct Quoted<'a> {
    /// Every job between which the customer chooses.
    pub choices: &'a [Choice],
    /// The one that was asked for.
    pub chosen: usize,
    /// Seed of the runs.
    pub seed: u64,
    /// Share of jobs that may overrun.
    pub risk: f64,
    /// Such jobs in a year, where that is known.
    pub jobs_a_year: Option<f64>,
    /// Defaults in use.
    pub assumptions: &'a [Assumption],
}

impl Quoted<'_> {
    /// The job that was asked for.
    pub fn choice(&self) -> &Choice {
        &self.choices[self.chosen]
    }

    /// A job's flat price for the risk asked for; `None` where nothing was simulated.
    pub fn recommended(&self, choice: &Choice) -> Option<Flat> {
        let hours = choice.quote.hours_for(self.risk)?;
        Some(choice.quote.flat(hours, choice.terms))
    }

    /// Whether any of the runs was cut short.
    pub fn partial(&self) -> bool {
        self.choices.iter().any(|choice| choice.quote.partial)
    }
}
