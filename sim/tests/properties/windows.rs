//! What wider windows do.
//!
//! Windows that only the truth is held against change nothing at the bench: each job is the same to the bit, and
//! right where it was right before. Those that readings are held against steer the technician as well, so that this
//! holds of the first assembly, and of jobs that are accepted as first bolted up. More cannot be said of them: who
//! accepts sooner hands over more axles that lie near the end of a window, where a reading may hide that they are
//! outside.

use proptest::prelude::*;

use super::{Job, holds, jobs};
use crate::axle::Windows;
use crate::bench::Rebuild;
use crate::bench::job::Ending;
use crate::bench::outcome::{Inside, Outcome};
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::shop::SideCheck;

/// By how much windows are wider: whole parts of 1024 on either side, and others by so many times.
#[derive(Debug, Clone, Copy)]
struct Wider {
    parts: [u8; 3],
    times: [f64; 4],
}

fn wider() -> impl Strategy<Value = Wider> {
    let parts = prop::array::uniform3(0..40_u8);
    (parts, prop::array::uniform4(1.0..2.0)).prop_map(|(parts, times)| Wider { parts, times })
}

impl Wider {
    fn part(&self, at: usize) -> f64 {
        f64::from(self.parts[at]) / 1024.0
    }

    /// Windows of the truth alone.
    fn judged(&self, windows: &mut Windows) {
        windows.side_closure = windows.side_closure.widened(self.part(0));
        windows.depth *= self.times[0];
        windows.pattern_length *= self.times[1];
    }

    /// Windows of readings, the pinion's torque left out.
    fn steering(&self, windows: &mut Windows) {
        windows.backlash = windows.backlash.widened(self.part(1));
        windows.backlash_variation *= self.times[2];
        windows.pattern_profile *= self.times[3];
    }

    fn torque(&self, windows: &mut Windows) {
        windows.pinion_torque = windows.pinion_torque.widened(self.part(2));
        windows.pinion_torque_used = windows.pinion_torque_used.widened(self.part(2));
    }
}

/// Whether what was inside stays inside.
fn none_is_lost(before: Inside, after: Inside) -> bool {
    let each = |of: Inside| [of.backlash, of.pattern, of.closure, of.depth, of.all()];
    each(before)
        .into_iter()
        .zip(each(after))
        .all(|(before, after)| after || !before)
}

/// No worse: right stays right, and what is not clearly out does not become so.
fn no_worse(before: &Ending, after: &Ending) -> bool {
    let rank = |of: Outcome| match of {
        Outcome::GivenUp => 0,
        Outcome::WronglyPassed { clearly: true } => 1,
        Outcome::WronglyPassed { clearly: false } => 2,
        Outcome::Right => 3,
    };
    none_is_lost(before.first, after.first)
        && none_is_lost(before.last, after.last)
        && rank(before.outcome) <= rank(after.outcome)
}

/// Rebuilds of a job with its own windows and with others.
fn both(
    job: &Job,
    change: impl Fn(&mut Windows),
    mut seen: impl FnMut([(&Setup, &Rebuild); 2]) -> Result<(), TestCaseError>,
    seed: u64,
) -> Result<(), TestCaseError> {
    let setup = job.setup();
    let wide = job.with(|axle, _| change(&mut axle.windows));
    for number in 0..60 {
        let address = Address::new(seed, number);
        let (one, other) = (setup.rebuild(address), wide.rebuild(address));
        seen([(&setup, &one), (&wide, &other)])?;
    }
    Ok(())
}

#[test]
fn the_same_work_is_never_worse_in_wider_windows() {
    holds(
        48,
        (jobs(), wider(), any::<u64>()),
        |(mut job, wider, seed)| {
            job.shop.bench.side_check = SideCheck::ShimRule;
            let same = |[(setup, one), (wide, other)]: [(&Setup, &Rebuild); 2]| {
                prop_assert_eq!(one, other);
                prop_assert!(no_worse(&Ending::of(setup, one), &Ending::of(wide, other)));
                Ok(())
            };
            both(&job, |windows| wider.judged(windows), same, seed)
        },
    );
}

#[test]
fn one_truth_is_never_worse_in_wider_windows() {
    holds(48, (jobs(), wider(), any::<u64>()), |(job, wider, seed)| {
        let all = |windows: &mut Windows| {
            wider.judged(windows);
            wider.steering(windows);
            wider.torque(windows);
        };
        let judged = |[(setup, one), (wide, _)]: [(&Setup, &Rebuild); 2]| {
            prop_assert!(no_worse(&Ending::of(setup, one), &Ending::of(wide, one)));
            Ok(())
        };
        both(&job, all, judged, seed)
    });
}

/// The first assembly is as before, whatever is wider, if the middles stay.
#[test]
fn the_first_assembly_is_never_worse_in_wider_windows() {
    holds(48, (jobs(), wider(), any::<u64>()), |(job, wider, seed)| {
        let all = |windows: &mut Windows| {
            wider.judged(windows);
            wider.steering(windows);
            wider.torque(windows);
        };
        let first = |[(setup, one), (wide, other)]: [(&Setup, &Rebuild); 2]| {
            prop_assert_eq!(one.first, other.first);
            prop_assert!(none_is_lost(
                Inside::of(setup, &one.first),
                Inside::of(wide, &other.first)
            ));
            Ok(())
        };
        both(&job, all, first, seed)
    });
}

/// What reads inside narrow windows reads inside wider ones: a job that is accepted as first bolted up stays one,
/// to the bit. The pinion's torque stays out of it, since a sleeve is turned to a share of its window, and more or
/// fewer turns draw other readings for what follows.
#[test]
fn what_is_accepted_at_once_stays_so_in_wider_windows() {
    holds(48, (jobs(), wider(), any::<u64>()), |(job, wider, seed)| {
        let all = |windows: &mut Windows| {
            wider.judged(windows);
            wider.steering(windows);
        };
        let accepted = |[(setup, one), (wide, other)]: [(&Setup, &Rebuild); 2]| {
            let changes = one.pinion_changes + one.side_changes + one.reseats;
            if one.finished && changes == 0 && !one.compromised {
                prop_assert_eq!(one, other);
                prop_assert!(no_worse(&Ending::of(setup, one), &Ending::of(wide, other)));
            }
            Ok(())
        };
        both(&job, all, accepted, seed)
    });
}
