//! Shares, counts and hours.

use proptest::prelude::*;
use proptest::test_runner::TestCaseResult;

use super::{holds, jobs};
use crate::axle::SideSeat;
use crate::bench::minutes::Operation;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::count::estimate::Estimate;
use crate::odds::{Odds, WindowShares};
use crate::shop::Span;
use crate::study::Study;

const REBUILDS: u64 = 120;

/// A share of so many observations: a count of them, from 0 to 1, inside its interval; gives the count.
fn share(of: &Estimate, n: u64) -> Result<u64, TestCaseError> {
    prop_assert_eq!(of.n, n);
    prop_assert!(
        0.0 <= of.low && of.low < of.high && of.high <= 1.0,
        "{:?}",
        of
    );
    if n == 0 {
        prop_assert!(of.value.is_nan());
        return Ok(0);
    }
    prop_assert!(of.low <= of.value && of.value <= of.high, "{:?}", of);
    let hits = of.value * n as f64;
    prop_assert!((hits - hits.round()).abs() < 1e-9, "{:?}", of);
    Ok(hits.round() as u64)
}

/// What is inside all windows is inside each of them.
fn landed(shares: &WindowShares, n: u64) -> Result<u64, TestCaseError> {
    let each = [&shares.backlash, &shares.pattern, &shares.side_closure].map(|of| share(of, n));
    let all = share(&shares.all, n)?;
    for hits in each {
        prop_assert!(all <= hits?);
    }
    share(&shares.depth, n)?;
    Ok(all)
}

/// A mean or quantile inside its interval.
fn inside(of: &Estimate) -> TestCaseResult {
    prop_assert!(of.low <= of.value && of.value <= of.high, "{:?}", of);
    Ok(())
}

fn adds_up(odds: &Odds) -> TestCaseResult {
    let effort = &odds.effort;
    let n = odds.rebuilds;
    prop_assert_eq!(n, REBUILDS);
    landed(&odds.first_assembly, n)?;
    let finished = share(&effort.finished, n)?;
    let right = landed(&odds.handed_over, finished)?;
    prop_assert!(right <= share(&odds.pinion_torque, finished)?);
    prop_assert!(right + share(&odds.clearly_out, finished)? <= finished);
    prop_assert!(share(&effort.accepted_at_once, n)? <= finished);
    share(&effort.compromised, n)?;
    let shares = &effort.assembly_shares;
    let one = shares.iter().sum::<f64>();
    prop_assert!((one - 1.0).abs() < 1e-9, "{}", one);
    let mean: f64 = (1..)
        .zip(shares)
        .map(|(k, share)| f64::from(k) * share)
        .sum();
    prop_assert!((mean - effort.assemblies.value).abs() < 1e-9);
    // an assembly follows from a change or a new seat of the ring; turned adjusters are none
    let more = effort.pinion_changes.value + effort.side_changes.value + effort.reseats.value;
    prop_assert!(mean <= 1.0 + more + 1e-9);
    let packs = &odds.packs;
    for (fitted, of) in [
        (true, &packs.pinion),
        (true, &packs.ring_side),
        (false, &packs.preload),
    ] {
        let one: f64 = of.iter().map(|(_, share)| share).sum();
        if finished > 0 && (fitted || !of.is_empty()) {
            prop_assert!((one - 1.0).abs() < 1e-9, "{:?}", of);
        }
    }
    let hours = &effort.hours;
    for of in [
        &hours.mean,
        &hours.p50,
        &hours.p80,
        &hours.p90,
        &hours.p95,
        &effort.assemblies,
    ] {
        inside(of)?;
    }
    prop_assert!(hours.p50.value <= hours.p80.value && hours.p80.value <= hours.p95.value);
    Ok(())
}

#[test]
fn shares_lie_in_their_intervals_and_counts_add_up() {
    holds(48, (jobs(), any::<u64>()), |(job, seed)| {
        let study = Study::of(job.axle, job.shop)
            .gears(job.gears)
            .bearings(job.bearings);
        let odds = study.seed(seed).rebuilds(REBUILDS).odds().expect("no flaw");
        adds_up(&odds)
    });
}

/// The least and the most that an operation takes, minutes.
fn limits(setup: &Setup, operation: Operation) -> [f64; 2] {
    let minutes = &setup.shop.minutes;
    let side = setup.axle.side_shims.seat;
    let pinion = minutes.pinion_change[setup.axle.pinion_shim.seat as usize];
    let saves = minutes.setup_bearing_saves;
    let (span, less): (Span, f64) = match operation {
        Operation::Strip => (minutes.strip, 0.0),
        Operation::FirstAssembly => (minutes.first_assembly, 0.0),
        Operation::FinalAssembly => (minutes.final_assembly, 0.0),
        Operation::Refit => (minutes.refit, 0.0),
        Operation::ReadBacklash => (minutes.read_backlash, 0.0),
        Operation::ReadPattern => (minutes.read_pattern, 0.0),
        Operation::TrialSideChange if side == SideSeat::BehindSideBearings => {
            (minutes.side_change[1], saves)
        }
        Operation::TrialSideChange | Operation::SideChange => {
            (minutes.side_change[side as usize], 0.0)
        }
        Operation::TrialPinionChange => (pinion, saves),
        Operation::PinionChange => (pinion, 0.0),
        Operation::ReseatRing => (minutes.reseat_ring, 0.0),
        Operation::Sleeve => (minutes.sleeve, 0.0),
        Operation::SleeveAgain => (minutes.sleeve_again, 0.0),
        Operation::SpacerChange => (minutes.spacer_change, 0.0),
    };
    [span.least, span.most].map(|end| (end - less).max(0.0))
}

/// At an even pace a job takes the times of what was done: each no less than its least and no more than its most, and
/// so all of them together.
#[test]
fn a_job_takes_the_times_of_what_was_done() {
    holds(48, (jobs(), any::<u64>()), |(job, seed)| {
        let setup = job.with(|_, shop| shop.minutes.job_spread = 0.0);
        for number in 0..40 {
            let address = Address::new(seed, number);
            let rebuild = setup.rebuild(address);
            let minutes = setup.minutes(address, &rebuild);
            let done = &rebuild.operations;
            let mut sum = 0.0;
            for (operation, taken) in setup.minutes_of_operations(address, &rebuild) {
                let [least, most] = limits(&setup, operation);
                // to a tick of the clock
                let inside = least - 1e-5 <= taken && taken <= most + 1e-5;
                prop_assert!(
                    inside,
                    "{:?}: {} is not {} to {}",
                    operation,
                    taken,
                    least,
                    most
                );
                sum += taken;
            }
            prop_assert!((sum - minutes).abs() < 1e-9 * minutes);
            let times: u32 = Operation::ALL
                .map(|operation| done.at(operation))
                .iter()
                .sum();
            prop_assert_eq!(
                times as usize,
                setup.minutes_of_operations(address, &rebuild).len()
            );
            for once in [Operation::Strip, Operation::FirstAssembly, Operation::Refit] {
                prop_assert_eq!(done.at(once), 1);
            }
            prop_assert_eq!(
                done.at(Operation::FinalAssembly) == 1,
                rebuild.pinion_torque.is_some()
            );
            let pinion = done.at(Operation::TrialPinionChange) + done.at(Operation::PinionChange);
            prop_assert_eq!(pinion, rebuild.pinion_changes);
            let side = done.at(Operation::TrialSideChange) + done.at(Operation::SideChange);
            prop_assert_eq!(side, rebuild.side_changes);
            prop_assert_eq!(done.at(Operation::ReseatRing), rebuild.reseats);
            prop_assert!(done.at(Operation::ReadBacklash) > pinion + side.min(1));
        }
        Ok(())
    });
}

/// Who may go on longer does the same job up to where others give up: what was finished stays so, to the bit.
#[test]
fn more_assemblies_never_finish_fewer_jobs() {
    holds(48, (jobs(), any::<u64>(), 1..5_u32), |(job, seed, more)| {
        let setup = job.setup();
        let longer = job.with(|_, shop| shop.bench.most_assemblies += more);
        for number in 0..60 {
            let address = Address::new(seed, number);
            let (one, other) = (setup.rebuild(address), longer.rebuild(address));
            prop_assert_eq!(one.first, other.first);
            if one.finished {
                prop_assert_eq!(one, other);
            } else {
                prop_assert!(one.assemblies <= other.assemblies);
                prop_assert!(
                    one.operations.at(Operation::ReadBacklash)
                        <= other.operations.at(Operation::ReadBacklash)
                );
            }
        }
        Ok(())
    });
}
