//! A belief never gets wider by a reading on average.
//!
//! The law of total variance: over readings drawn from a belief, the variance that is left is on average the
//! variance before less that of the means; so never more. A single reading may well widen a belief.

use std::cell::RefCell;

use proptest::prelude::*;

use super::coverage::NAMES;
use super::truth::{PLAIN, Plan, make};
use crate::axle::tolerance::Tolerance;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::count::estimate::Moments;
use crate::next::BenchJob;
use crate::next::figures::moments;
use crate::next::history::zero_assumed;
use crate::next::model::Told;
use crate::next::population::{Population, Wanted};
use crate::tests::SIGMAS;
use crate::tests::properties::{holds, jobs};

fn plans() -> impl Strategy<Value = Plan> {
    let shares = (0.0..1.0, 0.0..1.0, 0.0..1.0, 0.3..1.0);
    let shims = (-0.05..0.15, 0.0..0.1);
    (shares, shims, 1..4_u32, any::<bool>()).prop_map(|(shares, shims, assemblies, real)| Plan {
        stated: shares.0,
        reseated: 0.5 * shares.1,
        other_tooth: 0.5 * shares.2,
        pattern: shares.3,
        thicker: shims.0,
        loose: shims.1,
        assemblies,
        real,
        ..PLAIN
    })
}

/// Draws of a belief: few, since what they are off by is part of what a mean over many axles is off by.
const WANTED: Wanted = Wanted {
    draws: 256,
    effective: 100.0,
    most: 1 << 13,
};

/// Variances of the last assembly's true figures by the readings of so many assemblies, by the draws of this
/// number.
fn variances(setup: &Setup, job: &BenchJob, read: usize, address: Address) -> [f64; 7] {
    let side = Tolerance::normal(0.0, 0.03).unwrap();
    let told = Told {
        setup,
        old_side_closure: &side,
        job,
        entries: job.assemblies.len(),
        read,
        assumed: &zero_assumed(setup, job),
        amiss: None,
    };
    let found = Population::new(&told, address, WANTED);
    let rows: Vec<[f64; 7]> = (0..found.len())
        .map(|i| found.model.truth(setup, found.row(i)).unwrap())
        .collect();
    // a variance about a mean of the same draws is too small by one of those that they are worth
    let few = found.effective / (found.effective - 1.0);
    std::array::from_fn(|i| {
        let values: Vec<f64> = rows.iter().map(|row| row[i]).collect();
        let [_, sd] = moments(&values, &found.weights);
        few * sd * sd
    })
}

/// By how much the belief gets narrower with each assembly that is read: (a − b)/(a + b) of the variances before and
/// after. That is convex in b, so that where b is at most a on average this is on average not below nought (Jensen),
/// and no axle weighs more than one; of draws that are as many on either side, it errs as far to either.
fn narrowings(setup: &Setup, job: &BenchJob, number: u64) -> Vec<[f64; 7]> {
    let address = Address::new(17, number);
    let at = |read: usize| variances(setup, job, read, address.within(read as u64));
    let all: Vec<[f64; 7]> = (0..=job.assemblies.len()).map(at).collect();
    let each = all.windows(2);
    each.map(|of| std::array::from_fn(|i| (of[0][i] - of[1][i]) / (of[0][i] + of[1][i])))
        .collect()
}

/// One axle of each job, so that a property of the mean is one of all of them together.
///
/// False-alarm rate: 4.5 standard errors to one side, once in 300,000 for each of seven figures, if readings said
/// nothing at all.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn readings_narrow_a_belief_on_average() {
    let all = RefCell::new(Vec::new());
    holds(
        24,
        (jobs(), plans(), any::<u32>()),
        |(job, plan, number)| {
            let setup = job.setup();
            let made = make(&setup, &plan, number.into());
            all.borrow_mut()
                .extend(narrowings(&setup, &made.job, number.into()));
            Ok(())
        },
    );
    let all = all.into_inner();
    for (i, name) in NAMES.iter().enumerate() {
        // a figure that does not vary says nothing
        let vary = all.iter().map(|of| of[i]).filter(|of| of.is_finite());
        let found = Moments::of(vary);
        let error = found.deviation() / (found.n() as f64).sqrt();
        println!(
            "{name}: narrower by {:.3} ± {error:.3} of {}",
            found.mean(),
            found.n()
        );
        assert!(
            found.mean() > -SIGMAS * error,
            "{name}: {} ± {error}",
            found.mean()
        );
    }
}
