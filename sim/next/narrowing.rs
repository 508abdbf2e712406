//! What would narrow the belief most, of what is not stated.

use super::answer::{Narrowing, Reading};
use super::approximation::Approximation;
use super::form::Form;
use super::model::Told;
use super::population::Population;
use crate::axle::Condition;

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
    let (setup, job) = (told.setup, told.job);
    let (known, model) = (&job.known, &believed.model);
    let (parts, old) = (&model.parts, &model.old);
    let instruments = &setup.shop.instruments;
    let rounded = |sigma: f64, step: f64| sigma * sigma + step * step / 12.0;
    let mut all = Vec::new();
    let mut add = |missing: bool, entry: usize, reading, form: Form, variance: f64| {
        if missing {
            all.push(Unstated {
                entry,
                reading,
                form,
                variance,
            });
        }
    };
    let mark = &setup.axle.gears.mark;
    let error = mark.error.worst() / 3.0;
    let mark = rounded(error, mark.step);
    let kept = setup.gears == Condition::Kept;
    let no_mark = known.mark_new.is_none() && !(kept && known.mark_old.is_some());
    add(no_mark, 0, Reading::MarkNew, parts.pair[0].clone(), mark);
    if !kept {
        let form = parts.old_pair[0].clone();
        add(known.mark_old.is_none(), 0, Reading::MarkOld, form, mark);
    }
    let axle = &setup.axle;
    let side = axle.side_shims.stock.as_deref();
    let sigma = |stock, form: &Form| setup.old_pack_sigma(stock, form.constant).powi(2);
    let pinion = sigma(Some(axle.pinion_shim.stock.as_str()), &old.pinion);
    add(
        known.pinion_pack.is_none(),
        0,
        Reading::PinionPack,
        old.pinion.clone(),
        pinion,
    );
    add(
        known.ring_pack.is_none(),
        0,
        Reading::RingPack,
        old.ring.clone(),
        sigma(side, &old.ring),
    );
    add(
        known.far_pack.is_none(),
        0,
        Reading::FarPack,
        old.far.clone(),
        sigma(side, &old.far),
    );
    let heights = [
        (Reading::HeadHeight, known.head_height),
        (Reading::TailHeight, known.tail_height),
        (Reading::RingHeight, known.ring_height),
        (Reading::FarHeight, known.far_height),
    ];
    for (place, (reading, stated)) in heights.into_iter().enumerate() {
        let form = parts.bearings[place].clone();
        add(
            stated.is_none(),
            0,
            reading,
            form,
            instruments.height.powi(2),
        );
    }
    let first = job.assemblies.first();
    let on_trial = first.map_or(setup.on_setup_bearings(), |first| first.on_setup_bearings);
    let gauge = instruments.depth_gauge;
    let depth = parts.head_seat.clone().less(&parts.seated(on_trial)[0]);
    add(
        known.gauge.is_none(),
        0,
        Reading::Gauge,
        depth,
        rounded(gauge.sigma, gauge.step),
    );
    if let (Some(last), Some(forms)) = (job.assemblies.last(), model.assemblies.last()) {
        let entry = job.assemblies.len();
        let room = parts.room(&parts.seated(last.on_setup_bearings));
        let on_these =
            |fitted: &&crate::next::Fitted| fitted.on_setup_bearings == last.on_setup_bearings;
        let none = job
            .assemblies
            .iter()
            .filter(on_these)
            .all(|f| f.zero_total.is_none());
        add(
            none,
            entry,
            Reading::ZeroTotal,
            room,
            instruments.end_play.powi(2),
        );
        let pattern = rounded(instruments.pattern.profile, instruments.pattern.step);
        let [drive, coast] = forms.profile.clone();
        add(last.drive.is_none(), entry, Reading::Drive, drive, pattern);
        add(last.coast.is_none(), entry, Reading::Coast, coast, pattern);
        let points = f64::from(setup.shop.bench.backlash_points);
        let dial = rounded(instruments.dial.sigma, instruments.dial.step) / points;
        let backlash = forms.backlash.clone();
        add(
            last.backlash.is_empty(),
            entry,
            Reading::Backlash(0),
            backlash,
            dial,
        );
    }
    all
}
