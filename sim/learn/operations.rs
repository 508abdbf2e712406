//! How often each operation was done in a job, as far as its figures tell.

use super::FinishedJob;
use crate::bench::minutes::{Operation, OperationCounts};
use crate::bench::setup::{Preload, Setup};
use crate::next::same;

/// How often each operation was done; `None` where the job has not ended or states no assembly.
///
/// # Definition
/// From one entry to the next: the ring gear seated anew, another pinion pack, or other side packs alone.
/// Backlash and pattern were read where they are stated. The final assembly was made where the pinion
/// preload was set.
pub(super) fn operations(setup: &Setup, job: &FinishedJob) -> Option<OperationCounts> {
    let entries = &job.bench.assemblies;
    if !job.ended || entries.is_empty() {
        return None;
    }
    let mut counts = OperationCounts::default();
    let mut add = |operation, times: u32| {
        (0..times).for_each(|_| {
            counts.add(operation);
        });
    };
    add(Operation::Strip, 1);
    add(Operation::FirstAssembly, 1);
    add(Operation::Refit, 1);
    for entry in entries {
        add(
            Operation::ReadBacklash,
            u32::from(!entry.backlash.is_empty()),
        );
        let pattern = entry.drive.is_some() || entry.coast.is_some();
        add(Operation::ReadPattern, u32::from(pattern));
    }
    for pair in entries.windows(2) {
        let [before, after] = pair else { continue };
        let on_trial = after.on_setup_bearings;
        if before.on_setup_bearings != on_trial {
            continue;
        }
        if after.reseated {
            add(Operation::ReseatRing, 1);
        } else if !same(before.pinion, after.pinion) {
            let change = if on_trial {
                Operation::TrialPinionChange
            } else {
                Operation::PinionChange
            };
            add(change, 1);
        } else if !same(before.ring, after.ring) || !same(before.far, after.far) {
            let change = if on_trial {
                Operation::TrialSideChange
            } else {
                Operation::SideChange
            };
            add(change, 1);
        }
    }
    let tries = job.tries.unwrap_or(0);
    add(Operation::FinalAssembly, u32::from(tries > 0));
    match setup.preload {
        Preload::Sleeve { .. } => {
            add(Operation::Sleeve, tries.min(1));
            add(Operation::SleeveAgain, tries.saturating_sub(1));
        }
        Preload::Spacer { .. } => add(Operation::SpacerChange, tries),
    }
    Some(counts)
}
