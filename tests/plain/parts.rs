//! The parts of one rebuild, old and new, and what the technician knows of them.

use super::axle::{Axle, PinionPreload, PinionSeat};
use super::dice::{Dice, round_to};
use super::shop::Shop;
use std::f64::consts::TAU;

/// A gear pair: its real deviations, and its mark in the sense "+ is farther".
#[derive(Clone, Copy)]
pub struct Pair {
    pub depth_deviation: f64,
    pub ring_deviation: f64,
    pub mark: f64,
}

/// Bearing heights. `ring` and `far` are the two side bearings.
#[derive(Clone, Copy)]
pub struct Heights {
    pub head: f64,
    pub tail: f64,
    pub ring: f64,
    pub far: f64,
}

pub struct Parts {
    pub old_pair: Pair,
    pub pair: Pair,
    /// Drive length, drive profile, coast length, coast profile.
    pub scatter: [f64; 4],
    pub tooth_runout: f64,
    pub tooth_phase: f64,
    pub head_seat: f64,
    pub ring_seat: f64,
    pub far_seat: f64,
    pub offset_error: f64,
    /// Arc-minutes.
    pub shaft_angle: f64,
    pub shoulders: f64,
    pub shoulder_ring: f64,
    pub old_heights: Heights,
    pub heights: Heights,
    /// Heights of what is fitted for the trials.
    pub trial_heights: Heights,
    /// New less old height as the shop measured it, 0 where there is nothing to correct.
    pub measured_growth: Heights,
    pub pinion_friction: f64,
    pub side_friction: f64,
    pub seal_drag: f64,
    pub gap: f64,
    pub spacer: f64,
    /// Whether the technician reads the marks' signs the wrong way round.
    pub marks_turned: bool,
    pub old_pinion_pack: f64,
    pub old_ring_pack: f64,
    pub old_spacer_pack: f64,
}

fn draw_pair(axle: &Axle, dice: &mut Dice) -> Pair {
    let depth_deviation = axle.depth_deviation.draw(dice);
    let found = depth_deviation + axle.mark_error.draw(dice);
    Pair {
        depth_deviation,
        ring_deviation: axle.ring_deviation.draw(dice),
        mark: round_to(found, axle.mark_step),
    }
}

/// One set of bearings; the two side bearings come from one lot.
fn draw_heights(axle: &Axle, dice: &mut Dice) -> Heights {
    let side_lot = dice.normal(1.0);
    Heights {
        head: axle.head_height.draw(dice),
        tail: axle.tail_height.draw(dice),
        ring: axle.side_height.draw_from_lot(side_lot, dice),
        far: axle.side_height.draw_from_lot(side_lot, dice),
    }
}

fn measure(heights: &Heights, sigma: f64, dice: &mut Dice) -> Heights {
    Heights {
        head: heights.head + dice.normal(sigma),
        tail: heights.tail + dice.normal(sigma),
        ring: heights.ring + dice.normal(sigma),
        far: heights.far + dice.normal(sigma),
    }
}

pub fn draw_parts(
    axle: &Axle,
    shop: &Shop,
    gears_new: bool,
    bearings_new: bool,
    dice: &mut Dice,
) -> Parts {
    let old_pair = draw_pair(axle, dice);
    let pair = if gears_new {
        draw_pair(axle, dice)
    } else {
        old_pair
    };
    let scatter = [
        dice.normal(axle.scatter_length),
        dice.normal(axle.scatter_profile),
        dice.normal(axle.scatter_length),
        dice.normal(axle.scatter_profile),
    ];

    let old_heights = draw_heights(axle, dice);
    let heights = if bearings_new {
        draw_heights(axle, dice)
    } else {
        old_heights
    };
    let mut trial_heights = heights;
    if shop.setup_bearings && bearings_new {
        trial_heights.head += dice.normal(shop.setup_bearing);
        trial_heights.ring += dice.normal(shop.setup_bearing);
        trial_heights.far += dice.normal(shop.setup_bearing);
    }
    let mut measured_growth = Heights {
        head: 0.0,
        tail: 0.0,
        ring: 0.0,
        far: 0.0,
    };
    if shop.measures_heights && bearings_new {
        let old = measure(&old_heights, shop.height, dice);
        let new = measure(&heights, shop.height, dice);
        measured_growth = Heights {
            head: new.head - old.head,
            tail: new.tail - old.tail,
            ring: new.ring - old.ring,
            far: new.far - old.far,
        };
    }

    let friction = if bearings_new {
        1.0
    } else {
        axle.used_friction
    };
    let (gap, spacer) = match &axle.preload {
        PinionPreload::Sleeve { .. } => (0.0, 0.0),
        PinionPreload::Spacer(spacer) => (spacer.gap.draw(dice), spacer.spacer.draw(dice)),
    };
    let mut parts = Parts {
        old_pair,
        pair,
        scatter,
        tooth_runout: axle.tooth_runout.draw(dice),
        tooth_phase: dice.between(0.0, TAU),
        head_seat: axle.head_seat.draw(dice),
        ring_seat: axle.ring_seat.draw(dice),
        far_seat: axle.far_seat.draw(dice),
        offset_error: axle.offset_error.draw(dice),
        shaft_angle: axle.shaft_angle.draw(dice),
        shoulders: axle.shoulders.draw(dice),
        shoulder_ring: axle.shoulder_ring.draw(dice),
        old_heights,
        heights,
        trial_heights,
        measured_growth,
        pinion_friction: axle.pinion_friction.draw(dice) * friction,
        side_friction: axle.side_friction.draw(dice) * friction,
        seal_drag: axle.seal_drag.draw(dice),
        gap,
        spacer,
        marks_turned: dice.chance(shop.mark_slip),
        old_pinion_pack: 0.0,
        old_ring_pack: 0.0,
        old_spacer_pack: 0.0,
    };
    set_up_as_built(&mut parts, axle, shop, dice);
    parts
}

/// The packs that the old axle was given when it was made.
fn set_up_as_built(parts: &mut Parts, axle: &Axle, shop: &Shop, dice: &mut Dice) {
    let rates = &axle.geometry;
    let old = parts.old_pair;

    // The pinion stood right by its own mark, but for the maker's error.
    let depth_error = axle.built_depth.draw(dice);
    let room = parts.head_seat - parts.old_heights.head - (axle.mounting_distance + old.mark);
    parts.old_pinion_pack = match axle.pinion_seat {
        PinionSeat::CartridgeFlange => depth_error - room,
        _ => room - depth_error,
    };
    let depth = depth_error + old.mark - old.depth_deviation;

    // The ring stood where the backlash came right, but for the maker's error.
    let backlash_error = axle.built_backlash.draw(dice)
        - rates.per_depth * depth
        - rates.per_offset * parts.offset_error
        - rates.per_arcminute * parts.shaft_angle;
    let place = axle.ring_distance + old.ring_deviation + backlash_error / rates.per_ring;
    parts.old_ring_pack = parts.ring_seat - parts.old_heights.ring - parts.shoulder_ring
        + axle.ring_share * shop.side_preload_added
        - place;

    if let PinionPreload::Spacer(spacer) = &axle.preload {
        let gap = spacer_gap(parts, axle, &parts.old_heights, parts.old_pinion_pack);
        parts.old_spacer_pack =
            gap - parts.spacer - axle.spacer_closure_wanted() + spacer.as_built.draw(dice);
    }
}

/// Room between the pinion's cones at zero end play.
pub fn spacer_gap(parts: &Parts, axle: &Axle, heights: &Heights, pinion_pack: f64) -> f64 {
    let mut gap = parts.gap
        + (heights.head - axle.head_height.mean())
        + (heights.tail - axle.tail_height.mean());
    if axle.pinion_seat == PinionSeat::BehindHeadCup {
        gap += pinion_pack - axle.pinion_usual;
    }
    gap
}
