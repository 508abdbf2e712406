//! What other sizes of shims do at the bench: a drawer that costs less may cost more there.

use crate::bench::setup::Setup;
use crate::chance::run::{Progress, Until};
use crate::compare::compare;
use crate::count::estimate::Estimate;
use std::ops::ControlFlow;

/// Rebuilds behind each line of jobs.
const REBUILDS: u64 = 32_768;
const MONTHS: f64 = 12.0;

/// What a year of jobs comes to with other sizes, less what it comes to with the first ones, on the very
/// same parts.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct AtBench {
    /// Of the share of finished jobs right when handed over.
    pub right: Estimate,
    /// Of the share of finished jobs handed over clearly out.
    pub clearly_out: Estimate,
    /// Of the hours of a year.
    pub hours: Estimate,
    /// Of the cost of a year's jobs.
    pub money: Estimate,
}

/// A line of jobs with its own sizes and with other ones, and how many of them come a month.
#[derive(Debug, Clone, Copy)]
pub struct BothWays<'a> {
    /// With its own sizes.
    pub own: &'a Setup,
    /// With the others.
    pub other: &'a Setup,
    /// Jobs a month.
    pub per_month: f64,
}

impl AtBench {
    /// Plays every line both ways.
    ///
    /// # Panics
    /// If there are no lines.
    pub fn of(
        lines: &[BothWays<'_>],
        seed: u64,
        watch: &mut dyn FnMut(Progress) -> ControlFlow<()>,
    ) -> Self {
        assert!(!lines.is_empty());
        let all: f64 = lines.iter().map(|line| line.per_month).sum();
        let mut sums = [const { Vec::new() }; 4];
        for line in lines {
            let ways = [line.own.clone(), line.other.clone()];
            let compared = compare(&ways, seed, Until::Rebuilds(REBUILDS), watch);
            let differs = &compared.differences[0];
            let (share, a_year) = (line.per_month / all, MONTHS * line.per_month);
            sums[0].push(differs.handed_over.times(share));
            sums[1].push(differs.clearly_out.times(share));
            sums[2].push(differs.hours.times(a_year));
            sums[3].push(differs.money.times(a_year));
        }
        let [right, clearly_out, hours, money] = sums.map(|parts| sum(&parts));
        Self {
            right,
            clearly_out,
            hours,
            money,
        }
    }
}

/// The sum of independent figures.
fn sum(parts: &[Estimate]) -> Estimate {
    let value: f64 = parts.iter().map(|part| part.value).sum();
    let squares = |side: &dyn Fn(&Estimate) -> f64| -> f64 {
        parts
            .iter()
            .map(|part| side(part).powi(2))
            .sum::<f64>()
            .sqrt()
    };
    Estimate {
        value,
        low: value - squares(&|part| part.value - part.low),
        high: value + squares(&|part| part.high - part.value),
        ..parts[0]
    }
}
