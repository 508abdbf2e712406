//! What might have been known of another axle before its first assembly.

use super::form::Form;
use super::model::{Heights, Model, Told};
use crate::axle::Condition;
use crate::chance::dice::Dice;
use crate::next::Known;

/// How many figures are stated before the first assembly; both heights of a bearing are one.
pub(super) fn figures_known(known: &Known) -> usize {
    let figures = [
        known.mark_old,
        known.mark_new,
        known.pinion_pack,
        known.ring_pack,
        known.far_pack,
        known.preload_pack,
        known.gauge,
    ];
    let heights = [
        known.head_height,
        known.tail_height,
        known.ring_height,
        known.far_height,
    ];
    figures.iter().flatten().count() + heights.iter().flatten().count()
}

/// The same figures of the axle that these variables make.
pub(super) fn known_again(
    told: &Told<'_>,
    model: &Model,
    variables: &[f64],
    dice: &mut Dice,
) -> Known {
    let (setup, stated) = (told.setup, &told.job.known);
    let axle = &setup.axle;
    let instruments = &setup.shop.instruments;
    let (parts, old) = (&model.parts, &model.old);
    let at = |form: &Form| form.at(variables);
    let mark = |depth: f64, dice: &mut Dice| {
        setup
            .graduations
            .mark
            .round(depth + axle.gears.mark.error.draw(dice))
    };
    // the mark that the old pack was set by
    let old_mark = setup.graduations.mark.round(at(&parts.old_mark));
    let new_mark = match setup.gears {
        Condition::New => mark(at(&parts.pair[0]), dice),
        Condition::Kept => old_mark,
    };
    let side = axle.side_shims.stock.as_deref();
    let mut pack = |stated: Option<f64>, form: Option<&Form>, stock: Option<&str>| {
        let real = at(form?);
        stated.map(|_| real + setup.old_pack_sigma(stock, real) * dice.normal())
    };
    let pinion_pack = pack(
        stated.pinion_pack,
        Some(&old.pinion),
        Some(axle.pinion_shim.stock.as_str()),
    );
    let ring_pack = pack(stated.ring_pack, Some(&old.ring), side);
    let far_pack = pack(stated.far_pack, Some(&old.far), side);
    let spacer = axle.pinion_preload.stock();
    let preload_pack = pack(stated.preload_pack, old.spacer.as_ref(), spacer);
    let mut heights = |stated: Option<[f64; 2]>, place: usize| {
        stated.map(|_| {
            let mut measured =
                |heights: &Heights| at(&heights[place]) + instruments.height * dice.normal();
            let old = measured(&parts.old_bearings);
            match setup.bearings {
                Condition::New => [old, measured(&parts.bearings)],
                Condition::Kept => [old, old],
            }
        })
    };
    let head_height = heights(stated.head_height, 0);
    let tail_height = heights(stated.tail_height, 1);
    let ring_height = heights(stated.ring_height, 2);
    let far_height = heights(stated.far_height, 3);
    let first = told.job.assemblies.first();
    let on_trial = first.map_or(setup.on_setup_bearings(), |first| first.on_setup_bearings);
    let gauge = stated.gauge.map(|_| {
        let seated = &parts.seated(on_trial)[0];
        let room = at(&parts.head_seat) - at(seated) - axle.gears.mounting_distance;
        let shown = room + instruments.depth_gauge.sigma * dice.normal();
        let deeper = axle.pinion_shim.seat.depth_per_thickness();
        deeper * setup.graduations.depth_gauge.round(shown)
    });
    Known {
        mark_old: stated.mark_old.map(|_| old_mark),
        mark_new: stated.mark_new.map(|_| new_mark),
        pinion_pack,
        ring_pack,
        far_pack,
        preload_pack,
        head_height,
        tail_height,
        ring_height,
        far_height,
        gauge,
    }
}
