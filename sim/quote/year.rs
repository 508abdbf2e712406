//! The luck of a year: what a sum of jobs comes to at a flat price, and after how many jobs the mean is
//! felt.

use super::{Flat, QUARTER, Quote, Terms};
use crate::bench::money::Bill;
use crate::bench::outcome::Outcome;
use crate::count::compound::{Atom, Number, SumLaw, mean_and_square};
use crate::count::counts::FineCounts;
use crate::count::estimate::{Estimate, Z95};

/// Fewer rebuilds than this say nothing of a year, nor that a job never comes right.
pub const FEW: u64 = 100;
/// Share of years that lie below, and above, the band.
const OUTSIDE: f64 = 0.025;
/// Chance of a losing year, or of a sum of jobs that loses, that is rare.
pub(crate) const RARE: f64 = 0.05;
/// Less than this of a share is lost in the sums it is made of.
const SEEN: f64 = 1e-9;
/// What the law of a sum of some dozens is good to.
const GOOD_TO: f64 = 1e-4;
/// Most jobs after which the mean is looked for.
const MOST_JOBS: u64 = 1 << 20;
/// Most quarter hours that are tried.
const MOST_QUARTERS: u64 = 1 << 14;

/// One year of such jobs at a flat price.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Year {
    /// Jobs expected in it.
    pub jobs: f64,
    /// Mean gain of a year.
    pub gain: Estimate,
    /// The band that holds 95 of 100 years: as many gain less as gain more.
    pub band: [f64; 2],
    /// Share of years in which the jobs cost more than they bring.
    pub losing: Estimate,
}

/// Costs of simulated jobs, counted by how they end.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct CostCounts {
    /// Not clearly out, and so never returning.
    staying: FineCounts,
    /// Clearly out, without what a return costs.
    out: FineCounts,
    given_up: FineCounts,
}

impl CostCounts {
    #[inline]
    pub(super) fn add(&mut self, outcome: Outcome, bill: &Bill) {
        let cost = bill.cost() - bill.comeback;
        match outcome {
            Outcome::GivenUp => &mut self.given_up,
            outcome if outcome.is_clearly_out() => &mut self.out,
            _ => &mut self.staying,
        }
        .add(cost);
    }

    pub(super) fn merge(&mut self, later: &Self) {
        self.staying.merge(&later.staying);
        self.out.merge(&later.out);
        self.given_up.merge(&later.given_up);
    }
}

impl Quote {
    /// A year in which a Poisson number of such jobs comes in; `None` without jobs, or where fewer than
    /// [`FEW`] rebuilds were simulated.
    ///
    /// # Definition
    /// Jobs arrive as a Poisson process, `jobs` a year on average, and each gains what one of the
    /// simulated jobs gains at this price; one that is clearly out returns with the chance
    /// `prices.comeback_share` and then costs `prices.comeback`. Cones cost what they do on average. The
    /// band reaches from the 2.5 % to the 97.5 % quantile of one year's gain, wider by √(1 + jobs /
    /// rebuilds) for what the simulation leaves open: it is no interval of the mean. The interval of
    /// `losing` is that of the simulation: the variance of this function of the law of one job's gain,
    /// by linearisation, as a shift of the sum either way, and at least that of the mean gain; 10⁻⁴
    /// more either way for what the law of the sum is good to.
    ///
    /// # Accuracy
    /// That of the law of a compound sum: 10⁻⁴ for some dozens of jobs, 10⁻³ for a handful.
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::prelude::*;
    /// use shimcast_sim::quote::Terms;
    ///
    /// let quote = Study::of(demo::axle(), demo::shop()).seed(1).rebuilds(4000).quote()?;
    /// let terms = Terms { margin: 0.0, tax: 0.0, parts: 0.0, parts_margin: 0.0 };
    /// let year = quote.year(&quote.flat(8.25, terms), 72.0).expect("enough rebuilds");
    /// // the mean gains, and many a year loses
    /// assert!(year.gain.low > 0.0 && year.losing.low > 0.1 && year.band[0] < 0.0);
    /// # Ok::<(), Vec<Flaw>>(())
    /// ```
    pub fn year(&self, flat: &Flat, jobs: f64) -> Option<Year> {
        if self.rebuilds < FEW || jobs <= 0.0 {
            return None;
        }
        let law = self.gains(flat);
        let sum = SumLaw::of(&law, Number::Poisson(jobs));
        let gain = flat.gain.times(jobs);
        let wider = (1.0 + jobs / self.rebuilds as f64).sqrt();
        let end = |share| gain.value + wider * (sum.quantile(share) - gain.value);
        Some(Year {
            jobs,
            gain,
            band: [end(OUTSIDE), end(1.0 - OUTSIDE)],
            losing: self.losing(&law, &sum, &gain, jobs),
        })
    }

    /// The chance of a sum below zero with what the simulation leaves open of it.
    fn losing(&self, law: &[Atom], sum: &SumLaw, gain: &Estimate, jobs: f64) -> Estimate {
        let value = sum.below(0.0);
        // one more job of this gain in every year moves the chance to that of a sum below −gain
        let moved = sum.below_each(law.iter().map(|(gain, _)| -gain));
        let mean = |of: &dyn Fn(f64) -> f64| {
            let weighed = law.iter().zip(&moved).map(|((_, p), below)| p * of(*below));
            weighed.sum::<f64>()
        };
        let first = mean(&|below| below);
        let variance = mean(&|below| (below - first) * (below - first));
        let error = Z95 * jobs * (variance / self.rebuilds as f64).sqrt();
        // as a shift of the sum: near none and all years the chance itself is no straight line
        let aside = gain.half_width();
        let density = (sum.below(aside) - sum.below(-aside)) / (2.0 * aside);
        let shift = if error > SEEN && density * aside > SEEN {
            error / density
        } else {
            0.0
        };
        let [less, more] = [gain.value - gain.low, gain.high - gain.value];
        Estimate {
            value,
            low: (sum.below(-shift.max(more)).min(value) - GOOD_TO).max(0.0),
            high: (sum.below(shift.max(less)).max(value) + GOOD_TO).min(1.0),
            n: self.rebuilds,
        }
    }

    /// The law of one job's gain at a flat price. Its mean is that of the rebuilds, without what
    /// counting in steps takes or gives.
    fn gains(&self, flat: &Flat) -> Vec<Atom> {
        let (share, comeback) = self.comeback;
        let counts = &self.cost_counts;
        let each = 1.0 / self.rebuilds as f64;
        let mut law = Vec::new();
        let mut add = |of: &FineCounts, weight: f64, earned: f64| {
            let of = of.iter().filter(|_| weight > 0.0);
            law.extend(of.map(|(cost, count)| (earned - cost, weight * each * count as f64)));
        };
        add(&counts.staying, 1.0, flat.earned);
        add(&counts.out, 1.0 - share, flat.earned);
        add(&counts.out, share, flat.earned - comeback);
        add(&counts.given_up, 1.0, 0.0);
        let mean: f64 = law.iter().map(|(gain, p)| gain * p).sum();
        for (gain, _) in &mut law {
            *gain += flat.gain.value - mean;
        }
        law
    }

    /// After how many jobs their gains have added up to more than nothing in 19 of 20 cases, from which
    /// number on it stays so; `None` where the mean is not seen to be a gain, or where it takes more than
    /// a million jobs or fewer than [`FEW`] rebuilds were simulated.
    ///
    /// # Definition
    /// The least number n with P(sum of n gains < 0) ≤ 1/20, for exactly n jobs. Its ends are the
    /// numbers for a mean at either end of its interval.
    pub fn felt_after(&self, flat: &Flat) -> Option<Estimate> {
        if self.rebuilds < FEW || flat.gain.low <= 0.0 {
            return None;
        }
        let law = self.gains(flat);
        let number = |mean: f64| felt_after(&law, mean - flat.gain.value);
        Some(Estimate {
            value: number(flat.gain.value)?,
            low: number(flat.gain.high)?,
            high: number(flat.gain.low)?,
            n: self.rebuilds,
        })
    }

    /// The fewest flat hours, in quarters, at which the mean gain is seen to be above zero; `None` where
    /// no price gets there.
    pub fn pays_from(&self, terms: Terms) -> Option<f64> {
        self.fewest(|hours| self.flat(hours, terms).gain.low > 0.0)
    }

    /// The fewest flat hours, in quarters, at which a losing year is seen to be rarer than 1 in 20;
    /// `None` where no price gets there, and where [`Quote::year`] has none.
    pub fn pays_in_most_years_from(&self, terms: Terms, jobs: f64) -> Option<f64> {
        self.fewest(|hours| {
            let year = self.year(&self.flat(hours, terms), jobs);
            year.is_some_and(|year| year.losing.high < RARE)
        })
    }

    /// The fewest quarter hours for which something holds that goes on holding for more.
    fn fewest(&self, holds: impl Fn(f64) -> bool) -> Option<f64> {
        let holds = |quarters: u64| holds(quarters as f64 * QUARTER);
        if self.rebuilds == 0 {
            return None;
        }
        // somewhere near, then twice as far until it holds
        let near = self.hours.mean.value / QUARTER;
        let mut most = (near.ceil() as u64).max(1);
        while !holds(most) {
            most *= 2;
            if most > MOST_QUARTERS {
                return None;
            }
        }
        let mut least = 0;
        if holds(least) {
            return Some(0.0);
        }
        while most - least > 1 {
            let between = least + (most - least) / 2;
            match holds(between) {
                true => most = between,
                false => least = between,
            }
        }
        Some(most as f64 * QUARTER)
    }
}

/// Jobs after which a sum of gains of this law, each greater by `shift`, is below zero in 1 of 20 cases
/// at the most.
fn felt_after(law: &[Atom], shift: f64) -> Option<f64> {
    let law: Vec<Atom> = law.iter().map(|(gain, p)| (gain + shift, *p)).collect();
    let rare = |jobs: u64| SumLaw::of(&law, Number::Fixed(jobs)).below(0.0) <= RARE;
    let (mean, squares) = mean_and_square(&law);
    // more than by the normal distribution, so that it holds there whatever the shape
    let normal = 1.645 * 1.645 * (squares / (mean * mean) - 1.0).max(0.0);
    let mut most = ((4.0 * normal).ceil().max(4.0) as u64).next_power_of_two();
    while most <= MOST_JOBS && !rare(most) {
        most *= 2;
    }
    if most > MOST_JOBS {
        return None;
    }
    while most > 1 && rare(most / 2) {
        most /= 2;
    }
    let mut least = most / 2;
    while most - least > 1 {
        let between = least + (most - least) / 2;
        match rare(between) {
            true => most = between,
            false => least = between,
        }
    }
    Some(most as f64)
}

#[cfg(test)]
#[path = "../tests/year.rs"]
mod tests;
