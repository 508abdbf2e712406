//! What a job and the axle's description do not agree on, and what was taken for granted.

use super::answer::{Reading, Remark};
use super::history::{History, has_sleeve, same, sleeve_torques, stated};
use super::model::{Told, step_of};
use super::sleeve::Nut;
use crate::axle::Condition;
use crate::bench::PackPlace;
use crate::bench::setup::{Preload, Setup, SideStock};
use crate::next::Fitted;

/// Packs that differ from the nearest sum by more than this can't be built, mm.
const ANOTHER_SUM: f64 = 1e-6;

/// All remarks on a job, in the order of its entries.
pub(super) fn remarks(told: &Told<'_>, history: &History, few_effective: bool) -> Vec<Remark> {
    let (setup, job) = (told.setup, told.job);
    let mut remarks = Vec::new();
    known(told, &mut remarks);
    let mut points = None;
    for (at, fitted) in job.assemblies.iter().enumerate() {
        let entry = at + 1;
        for (reading, figure) in stated(fitted) {
            off_step(setup, entry, reading, figure, &mut remarks);
        }
        packs(
            setup,
            entry,
            fitted,
            at.checked_sub(1).map(|at| &job.assemblies[at]),
            &mut remarks,
        );
        let here = fitted.backlash.len();
        if here > 0 {
            if let Some(before) = points.filter(|before| *before != here) {
                remarks.push(Remark::PointsDiffer {
                    entry,
                    points: here,
                    before,
                });
            }
            points = Some(here);
        }
        if told.assumed.contains(&entry) {
            let added = setup.shop.bench.side_preload_added;
            remarks.push(Remark::ZeroTotalAssumed {
                entry,
                total: fitted.ring + fitted.far - added,
            });
        }
    }
    if let (Some(nut), Some((entry, torques))) =
        (Nut::of(setup), sleeve_torques(setup, history, job))
    {
        let past = torques[..torques.len() - 1]
            .iter()
            .any(|read| *read >= nut.aim);
        if past && has_sleeve(setup) {
            remarks.push(Remark::TurnedPastAim { entry });
        }
    }
    if few_effective {
        remarks.push(Remark::FewEffective);
    }
    remarks
}

fn known(told: &Told<'_>, remarks: &mut Vec<Remark>) {
    let (setup, known) = (told.setup, &told.job.known);
    for (reading, stated) in [
        (Reading::MarkOld, known.mark_old),
        (Reading::MarkNew, known.mark_new),
        (Reading::Gauge, known.gauge),
    ] {
        if let Some(stated) = stated {
            off_step(setup, 0, reading, stated, remarks);
        }
    }
    if setup.bearings == Condition::Kept {
        for (reading, heights) in [
            (Reading::HeadHeight, known.head_height),
            (Reading::TailHeight, known.tail_height),
            (Reading::RingHeight, known.ring_height),
            (Reading::FarHeight, known.far_height),
        ] {
            if heights.is_some_and(|[old, new]| !same(old, new)) {
                remarks.push(Remark::HeightsDiffer(reading));
            }
        }
    }
}

/// The step in which a reading is rounded; 0 where it is not.
pub(super) fn step_read(setup: &Setup, reading: Reading) -> f64 {
    let instruments = &setup.shop.instruments;
    match reading {
        Reading::MarkOld | Reading::MarkNew => setup.axle.gears.mark.step,
        Reading::Gauge => instruments.depth_gauge.step,
        Reading::Backlash(_) => instruments.dial.step,
        Reading::Drive | Reading::Coast => instruments.pattern.step,
        Reading::Torque(_) => instruments.torque.step,
        _ => 0.0,
    }
}

fn off_step(setup: &Setup, entry: usize, reading: Reading, stated: f64, remarks: &mut Vec<Remark>) {
    let step = step_read(setup, reading);
    if step > 0.0 && step_of(stated, step).is_none() {
        remarks.push(Remark::OffStep {
            entry,
            reading,
            stated,
            step,
        });
    }
}

/// Packs of an entry that no series can build, where they are new in it.
fn packs(
    setup: &Setup,
    entry: usize,
    fitted: &Fitted,
    before: Option<&Fitted>,
    remarks: &mut Vec<Remark>,
) {
    let mut note = |place, stated: f64, nearest: f64| {
        if (stated - nearest).abs() > ANOTHER_SUM {
            remarks.push(Remark::NoSuchPack {
                entry,
                place,
                stated,
                nearest,
            });
        }
    };
    let changed =
        |of: fn(&Fitted) -> f64| before.is_none_or(|before| !same(of(before), of(fitted)));
    if changed(|fitted| fitted.pinion) {
        let table = &setup.pinion_packs;
        let nearest = table.all()[table.nearest(fitted.pinion)].printed;
        note(PackPlace::Pinion, fitted.pinion, nearest);
    }
    for (place, stated, is_new) in [
        (
            PackPlace::RingSide,
            fitted.ring,
            changed(|fitted| fitted.ring),
        ),
        (PackPlace::FarSide, fitted.far, changed(|fitted| fitted.far)),
    ] {
        if is_new {
            let nearest = match &setup.side_stock {
                SideStock::Packs(table) => table.all()[table.nearest(stated)].printed,
                SideStock::Notches(notch) => (stated / notch).round() * notch,
            };
            note(place, stated, nearest);
        }
    }
    if let Preload::Spacer { packs, .. } = &setup.preload {
        for stated in &fitted.preload {
            let nearest = packs.all()[packs.nearest(*stated)].printed;
            note(PackPlace::Spacer, *stated, nearest);
        }
    }
}
