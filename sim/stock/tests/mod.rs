//! Tests of the drawer.

mod bigger;
mod coverage;
mod demand;
mod exact;
mod exhaustive;
mod fresh;
mod kept;
mod rules;
mod settled;

use super::drawer::{Review, Rules, Shortage};
use super::shelf::Shelf;
use super::tape::{JobStep, JobSteps, Jobs, Sample, Span, Stretch};
use crate::axle::shims::{Series, StripClass, Thickness};
use crate::chance::dice::{Address, Purpose};
use crate::count::estimate::{Estimate, Z95};

/// A series of these sizes, mm.
fn series(sizes: &[f64], price: f64, most_in_pack: u32, spoiled: f64) -> Series {
    Series {
        name: "X".into(),
        sizes: sizes.to_vec(),
        unit: 1.0,
        price,
        pack_of: 1,
        tolerance: Thickness::Strip(StripClass::Fine),
        most_in_pack,
        spoiled,
    }
}

/// Its shelf, on which only the exact sum will do.
fn shelf(sizes: &[f64], price: f64, most_in_pack: u32, spoiled: f64) -> Shelf {
    let series = series(sizes, price, most_in_pack, spoiled);
    Shelf::new(&series, vec![price; sizes.len()], 0.0, None).unwrap()
}

/// Jobs of lines of which each wants so many shims of series of one size each: line, series, count
/// or the mean of a Poisson count.
struct ShimCounts {
    per_day: Vec<f64>,
    series: usize,
    of: Vec<Vec<Need>>,
}

enum Need {
    Fixed(usize, u32),
    Poisson(usize, f64),
}

impl Jobs for ShimCounts {
    fn per_day(&self) -> &[f64] {
        &self.per_day
    }

    fn series(&self) -> usize {
        self.series
    }

    fn steps(&self, line: usize, address: Address, steps: &mut JobSteps) {
        let mut dice = address.stream(Purpose::Parts);
        for need in &self.of[line] {
            let (series, count) = match need {
                Need::Fixed(series, count) => (*series, *count),
                Need::Poisson(series, mean) => {
                    // by multiplying uniform figures, Knuth's way
                    let limit = (-mean).exp();
                    let mut product = dice.uniform();
                    let mut count = 0;
                    while product > limit {
                        product *= dice.uniform();
                        count += 1;
                    }
                    (*series, count)
                }
            };
            if count > 0 {
                steps.push((series, JobStep::Want(0, count - 1)));
            }
        }
    }
}

/// Orders every so many days, shortages owed or not.
fn rules(review: Review, lead_days: f64, shortage: Shortage) -> Rules {
    Rules {
        review,
        lead_days,
        late_days: 0.0,
        shortage,
        keep_surplus: 0,
    }
}

fn sample(jobs: &impl Jobs, shelves: &[Shelf], seed: u64, tapes: usize, days: f64) -> Sample {
    let stretch = Stretch::Days(Span::plain(days));
    Sample::draw(jobs, shelves, Address::new(seed, 0), tapes, stretch)
}

/// Holds an estimate against the exact figure at 4.5 sigma: a false alarm once in 150 000 checks,
/// and the seeds are fixed, so that it is the same on every run.
#[track_caller]
fn agrees(estimate: &Estimate, exact: f64) {
    let sigma = estimate.half_width() / Z95;
    assert!(
        (estimate.value - exact).abs() < 4.5 * sigma,
        "{estimate:?}, exactly {exact}, {:.1} sigma off",
        (estimate.value - exact).abs() / sigma
    );
    // and the check must be able to fail
    assert!(sigma < 4e-3 * exact.max(1.0), "{sigma} is too wide to say");
}
