//! Figures of a job with which no belief can be formed.

use crate::axle::Condition;
use crate::bench::setup::{Flaw, Preload, Setup};
use crate::next::BenchJob;
use crate::units::SLACK;

/// The setup for a job: one with set-up bearings where the job has them.
pub(super) fn setup_for(setup: &Setup, job: &BenchJob) -> Result<Setup, Vec<Flaw>> {
    let flaws = flaws(setup, job);
    if !flaws.is_empty() {
        return Err(flaws);
    }
    let used = job.assemblies.iter().any(|fitted| fitted.on_setup_bearings);
    if used && !setup.on_setup_bearings() {
        let mut shop = setup.shop.clone();
        shop.bench.setup_bearings = true;
        return setup.with(setup.axle.clone(), shop);
    }
    Ok(setup.clone())
}

fn flaws(setup: &Setup, job: &BenchJob) -> Vec<Flaw> {
    let mut flaws = Vec::new();
    let mut note = |key: String, reason: &str| flaws.push(Flaw::new(key, reason));
    let known = &job.known;
    if let (Condition::Kept, Some(old), Some(new)) = (setup.gears, known.mark_old, known.mark_new)
        && (old - new).abs() > SLACK
    {
        note(
            "known.mark_new".into(),
            "with kept gears both marks are one: state one of them, or the same figure twice",
        );
    }
    let spacer = matches!(setup.preload, Preload::Spacer { .. });
    if known.preload_pack.is_some() && !spacer {
        note(
            "known.preload_pack".into(),
            "a collapsible sleeve takes no pack: leave it out",
        );
    }
    let mut pack_known = false;
    for (number, fitted) in job.assemblies.iter().enumerate() {
        let key = |name: &str| format!("assemblies.{}.{name}", number + 1);
        if fitted.on_setup_bearings && setup.bearings == Condition::Kept {
            note(
                key("on"),
                "set-up bearings stand in for new ones, and the bearings are kept: say \"real bearings\"",
            );
        }
        if fitted.on_setup_bearings && !fitted.torque.is_empty() {
            note(
                key("torque"),
                "the pinion preload is set on real bearings: say so with `on`, or leave it out",
            );
        }
        if fitted.on_setup_bearings && !fitted.preload.is_empty() {
            note(
                key("preload"),
                "the pinion preload is set on real bearings: say so with `on`, or leave it out",
            );
        }
        if !fitted.preload.is_empty() && !spacer {
            note(
                key("preload"),
                "a collapsible sleeve takes no packs: leave it out",
            );
        }
        pack_known |= !fitted.preload.is_empty();
        if spacer && !fitted.torque.is_empty() && !pack_known {
            note(
                key("torque"),
                "a torque says nothing without the pack beside the spacer: add `preload`, a pack a go",
            );
        }
        if !fitted.preload.is_empty() && fitted.torque.len() > fitted.preload.len() {
            note(
                key("torque"),
                "more torques than packs: state one pack of `preload` for every go",
            );
        }
    }
    flaws
}
