//! Slips that would explain surprising readings.

use rayon::prelude::*;

use super::answer::{Reading, Slip, Suspect};
use super::history::stated;
use super::model::{Amiss, Told, step_of};
use super::remarks::step_read;
use super::surprise::log_evidence;
use crate::axle::Condition;
use crate::bench::PackPlace;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::next::{BenchJob, Fitted, Known};

/// A slip is told where it makes all readings this many times likelier.
const TELLING: f64 = 100.0;
/// Most slips that are told.
const MOST: usize = 6;

/// Slips that would make everything up to an entry at least 100 times likelier, likeliest first.
pub(super) fn suspects(told: &Told<'_>, entry: usize, address: Address) -> Vec<Suspect> {
    let upto = |job: &BenchJob, amiss| {
        let told = Told {
            job,
            entries: entry,
            read: entry,
            amiss,
            ..told.clone()
        };
        log_evidence(&told, address)
    };
    let as_stated = upto(told.job, None);
    let slips = slips(told, entry);
    let judged = slips.into_par_iter().map(|slip| {
        let (job, amiss) = with_slip(told, entry, slip);
        (upto(&job, amiss) - as_stated, slip)
    });
    // by their logarithms: what hardly fits at all is more times likelier than a number can say
    let mut found: Vec<(f64, Slip)> = judged.collect();
    found.retain(|(log, _)| *log >= libm::log(TELLING));
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.truncate(MOST);
    let suspect = |(log, slip): (f64, Slip)| Suspect {
        slip,
        times: libm::exp(log),
    };
    found.into_iter().map(suspect).collect()
}

/// Every slip that an entry may have.
fn slips(told: &Told<'_>, entry: usize) -> Vec<Slip> {
    let (setup, job) = (told.setup, told.job);
    let known = &job.known;
    let mut slips = Vec::new();
    let sign = |mark: Option<f64>| mark.is_some_and(|mark| mark != 0.0);
    match setup.gears {
        Condition::Kept if sign(known.mark_old.or(known.mark_new)) => {
            slips.push(Slip::OldMarkSign);
        }
        Condition::Kept => {}
        Condition::New => {
            let both = [sign(known.mark_old), sign(known.mark_new)];
            slips.extend(both[0].then_some(Slip::OldMarkSign));
            slips.extend(both[1].then_some(Slip::NewMarkSign));
            slips.extend((both == [true; 2]).then_some(Slip::BothMarkSigns));
        }
    }
    for (reading, figure) in figures(job, entry) {
        for other in [10.0 * figure, 0.1 * figure] {
            if figure != 0.0 && may_read(setup, reading, figure, other) {
                slips.push(Slip::Decimal(reading, other));
            }
        }
    }
    let Some(fitted) = entry.checked_sub(1).map(|at| &job.assemblies[at]) else {
        return slips;
    };
    if (fitted.ring - fitted.far).abs() > 1e-9 {
        slips.push(Slip::SidePacksSwapped);
    }
    slips.push(Slip::RingNotSeated);
    if fitted.on_setup_bearings {
        slips.push(Slip::OnRealBearings);
    } else if setup.bearings == Condition::New && fitted.torque.is_empty() {
        slips.push(Slip::OnSetUpBearings);
    }
    for place in [PackPlace::Pinion, PackPlace::RingSide, PackPlace::FarSide] {
        if let Some(thinnest) = thinnest(setup, place) {
            slips.push(Slip::PackOff(place, thinnest));
            slips.push(Slip::PackOff(place, -thinnest));
        }
    }
    slips
}

/// The thinnest size of the series at a place; a notch of an adjuster.
fn thinnest(setup: &Setup, place: PackPlace) -> Option<f64> {
    let axle = &setup.axle;
    let stock = match place {
        PackPlace::Pinion => Some(axle.pinion_shim.stock.as_str()),
        PackPlace::Spacer => None,
        _ => axle.side_shims.stock.as_deref(),
    };
    let series = setup.shop.series(stock?)?;
    series.sizes.first().copied()
}

/// Whether the instrument may read another figure in the place of one on its step.
fn may_read(setup: &Setup, reading: Reading, figure: f64, other: f64) -> bool {
    let step = step_read(setup, reading);
    step_of(figure, step).is_none() || step_of(other, step).is_some()
}

/// The figures stated in an entry.
fn figures(job: &BenchJob, entry: usize) -> Vec<(Reading, f64)> {
    if let Some(at) = entry.checked_sub(1) {
        return stated(&job.assemblies[at]);
    }
    let known = &job.known;
    [
        (Reading::MarkOld, known.mark_old),
        (Reading::MarkNew, known.mark_new),
        (Reading::PinionPack, known.pinion_pack),
        (Reading::RingPack, known.ring_pack),
        (Reading::FarPack, known.far_pack),
        (Reading::PreloadPack, known.preload_pack),
        (Reading::Gauge, known.gauge),
    ]
    .into_iter()
    .filter_map(|(reading, figure)| Some((reading, figure?)))
    .collect()
}

/// The job with a slip put right, and what is amiss with the axle itself.
fn with_slip(told: &Told<'_>, entry: usize, slip: Slip) -> (BenchJob, Option<Amiss>) {
    let mut job = told.job.clone();
    let known = &mut job.known;
    let turn = |mark: &mut Option<f64>| *mark = mark.map(|mark| -mark);
    let kept = told.setup.gears == Condition::Kept;
    match slip {
        Slip::OldMarkSign | Slip::NewMarkSign | Slip::BothMarkSigns => {
            if kept || slip != Slip::NewMarkSign {
                turn(&mut known.mark_old);
            }
            if kept || slip != Slip::OldMarkSign {
                turn(&mut known.mark_new);
            }
            return (job, None);
        }
        Slip::Decimal(reading, other) if entry == 0 => {
            restate_known(known, reading, other);
            return (job, None);
        }
        _ => {}
    }
    let fitted = &mut job.assemblies[entry - 1];
    let amiss = match slip {
        Slip::SidePacksSwapped => {
            std::mem::swap(&mut fitted.ring, &mut fitted.far);
            None
        }
        Slip::Decimal(reading, other) => {
            restate(fitted, reading, other);
            None
        }
        Slip::OnRealBearings => {
            fitted.on_setup_bearings = false;
            None
        }
        Slip::OnSetUpBearings => {
            fitted.on_setup_bearings = true;
            None
        }
        Slip::RingNotSeated => Some(Amiss::Ring(entry)),
        Slip::PackOff(place, by) => Some(Amiss::Pack(entry, place, by)),
        _ => None,
    };
    (job, amiss)
}

fn restate(fitted: &mut Fitted, reading: Reading, other: f64) {
    match reading {
        Reading::ZeroTotal => fitted.zero_total = Some(other),
        Reading::Backlash(point) => fitted.backlash[point] = other,
        Reading::Drive => fitted.drive = Some(other),
        Reading::Coast => fitted.coast = Some(other),
        Reading::Rise => fitted.rise = Some(other),
        Reading::Torque(go) => fitted.torque[go] = other,
        _ => {}
    }
}

fn restate_known(known: &mut Known, reading: Reading, other: f64) {
    let place = match reading {
        Reading::MarkOld => &mut known.mark_old,
        Reading::MarkNew => &mut known.mark_new,
        Reading::PinionPack => &mut known.pinion_pack,
        Reading::RingPack => &mut known.ring_pack,
        Reading::FarPack => &mut known.far_pack,
        Reading::PreloadPack => &mut known.preload_pack,
        Reading::Gauge => &mut known.gauge,
        _ => return,
    };
    *place = Some(other);
}
