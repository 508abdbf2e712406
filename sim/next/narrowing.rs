//! What would narrow the belief most, of what is not stated.

use super::answer::{Narrowing, Reading};
use super::approximation::Approximation;
use super::form::Form;
use super::model::Told;
use super::population::Population;
use crate::axle::Condition;
use crate::next::Fitted;

/// Shares of deviation above which nothing is worth telling.
const WORTH_TELLING: f64 = 0.98;

/// A figure that might be stated.
struct Unstated {
    entry: usize,
    reading: Reading,
    form: Form,
    variance: f64,
}

/// The figure that would narrow depth, backlash and side closure most, all three together, by the normal
/// distribution near the belief.
pub(super) fn would_narrow(told: &Told<'_>, believed: &Population) -> Option<Narrowing> {
    let near = &believed.near;
    let figures = figures(told, believed);
    let shares = |unstated: &Unstated| {
        let [depth, backlash, closure] = figures.each_ref().map(|of| share(near, of, unstated));
        Narrowing {
            entry: unstated.entry,
            reading: unstated.reading,
            depth,
            backlash,
            closure,
        }
    };
    let all = unstated(told, believed);
    let product = |one: &Narrowing| one.depth * one.backlash * one.closure;
    let best = all
        .iter()
        .map(shares)
        .min_by(|a, b| product(a).total_cmp(&product(b)))?;
    (product(&best) < WORTH_TELLING).then_some(best)
}

/// Depth, backlash and side closure of the last assembly; before the first one the same without packs.
fn figures(told: &Told<'_>, believed: &Population) -> [Form; 3] {
    let model = &believed.model;
    if let Some(last) = model.assemblies.last() {
        return [
            last.depth.clone(),
            last.backlash.clone(),
            last.closure.clone(),
        ];
    }
    let (setup, parts) = (told.setup, &model.parts);
    let seated = parts.seated(setup.on_setup_bearings());
    let depth = parts.bare_depth(setup, &seated);
    let backlash = parts
        .skew(setup)
        .and(&parts.bare_ring(setup, &seated), setup.rates.per_ring_move)
        .and(&depth, setup.rates.per_depth);
    [depth, backlash, parts.room(&seated)]
}

/// Deviation of a form with a further figure, as a share of that without.
fn share(near: &Approximation, form: &Form, unstated: &Unstated) -> f64 {
    let (_, own) = near.spread(form);
    let (_, read) = near.spread(&unstated.form);
    let together = near.together(form, &unstated.form);
    let left = own * own - together * together / (read * read + unstated.variance);
    if own > 0.0 {
        (left.max(0.0)).sqrt() / own
    } else {
        1.0
    }
}

fn unstated(told: &Told<'_>, believed: &Population) -> Vec<Unstated> {
    let mut all = marks(told, believed);
    all.extend(old_packs(told, believed));
    all.extend(heights_and_gauge(told, believed));
    all.extend(last_readings(told, believed));
    all
}

/// Variance of an error and of the rounding to a step.
fn rounded(sigma: f64, step: f64) -> f64 {
    sigma * sigma + step * step / 12.0
}

fn known(reading: Reading, form: &Form, variance: f64) -> Unstated {
    Unstated {
        entry: 0,
        reading,
        form: form.clone(),
        variance,
    }
}

fn marks(told: &Told<'_>, believed: &Population) -> Vec<Unstated> {
    let (setup, stated) = (told.setup, &told.job.known);
    let parts = &believed.model.parts;
    let mark = &setup.axle.gears.mark;
    let variance = rounded(mark.error.worst() / 3.0, mark.step);
    let (old, new) = (stated.mark_old.is_none(), stated.mark_new.is_none());
    let (old, new) = match setup.gears {
        Condition::New => (old, new),
        Condition::Kept => (false, old && new),
    };
    let mut all = Vec::new();
    all.extend(new.then(|| known(Reading::MarkNew, &parts.pair[0], variance)));
    all.extend(old.then(|| known(Reading::MarkOld, &parts.old_pair[0], variance)));
    all
}

fn old_packs(told: &Told<'_>, believed: &Population) -> Vec<Unstated> {
    let (setup, stated, old) = (told.setup, &told.job.known, &believed.model.old);
    let axle = &setup.axle;
    let side = axle.side_shims.stock.as_deref();
    let pinion = Some(axle.pinion_shim.stock.as_str());
    [
        (stated.pinion_pack, Reading::PinionPack, &old.pinion, pinion),
        (stated.ring_pack, Reading::RingPack, &old.ring, side),
        (stated.far_pack, Reading::FarPack, &old.far, side),
    ]
    .into_iter()
    .filter(|(stated, ..)| stated.is_none())
    .map(|(_, reading, form, stock)| {
        let sigma = setup.old_pack_sigma(stock, form.constant);
        known(reading, form, sigma * sigma)
    })
    .collect()
}

fn heights_and_gauge(told: &Told<'_>, believed: &Population) -> Vec<Unstated> {
    let (setup, job, parts) = (told.setup, told.job, &believed.model.parts);
    let instruments = &setup.shop.instruments;
    let stated = &job.known;
    let heights = [
        (Reading::HeadHeight, stated.head_height),
        (Reading::TailHeight, stated.tail_height),
        (Reading::RingHeight, stated.ring_height),
        (Reading::FarHeight, stated.far_height),
    ];
    let mut all = Vec::new();
    for ((reading, stated), form) in heights.into_iter().zip(&parts.bearings) {
        if stated.is_none() {
            all.push(known(reading, form, instruments.height.powi(2)));
        }
    }
    if stated.gauge.is_none() {
        let first = job.assemblies.first();
        let on_trial = first.map_or(setup.on_setup_bearings(), |first| first.on_setup_bearings);
        let depth = parts.head_seat.clone().less(&parts.seated(on_trial)[0]);
        let gauge = instruments.depth_gauge;
        all.push(known(
            Reading::Gauge,
            &depth,
            rounded(gauge.sigma, gauge.step),
        ));
    }
    all
}

/// What was not read of the last assembly.
fn last_readings(told: &Told<'_>, believed: &Population) -> Vec<Unstated> {
    let (setup, job, model) = (told.setup, told.job, &believed.model);
    let instruments = &setup.shop.instruments;
    let (Some(last), Some(forms)) = (job.assemblies.last(), model.assemblies.last()) else {
        return Vec::new();
    };
    let room = model
        .parts
        .room(&model.parts.seated(last.on_setup_bearings));
    let on_these = |fitted: &&Fitted| fitted.on_setup_bearings == last.on_setup_bearings;
    let mut here = job.assemblies.iter().filter(on_these);
    let no_zero = here.all(|fitted| fitted.zero_total.is_none());
    let pattern = rounded(instruments.pattern.profile, instruments.pattern.step);
    let points = f64::from(setup.shop.bench.backlash_points);
    let dial = rounded(instruments.dial.sigma, instruments.dial.step) / points;
    let no_backlash = last.backlash.is_empty();
    let [drive, coast] = &forms.profile;
    [
        (
            no_zero,
            Reading::ZeroTotal,
            &room,
            instruments.end_play.powi(2),
        ),
        (last.drive.is_none(), Reading::Drive, drive, pattern),
        (last.coast.is_none(), Reading::Coast, coast, pattern),
        (no_backlash, Reading::Backlash(0), &forms.backlash, dial),
    ]
    .into_iter()
    .filter(|(missing, ..)| *missing)
    .map(|(_, reading, form, variance)| Unstated {
        entry: job.assemblies.len(),
        ..known(reading, form, variance)
    })
    .collect()
}
