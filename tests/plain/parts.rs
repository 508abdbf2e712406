//! The parts of one rebuild, old and new.

use super::axle::{Axle, PinionPreload, PinionSeat};
use super::chance::Runout;
use super::dice::{Dice, round_to};
use super::shop::Shop;

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
    pub tooth_runout: Runout,
    /// Of the ring gear's seat as it comes.
    pub face_runout: Runout,
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
    pub pinion_friction: f64,
    pub side_friction: f64,
    pub seal_drag: f64,
    pub gap: f64,
    pub spacer: f64,
    /// By how much the maker missed its own mark, its own backlash and the spacer's closure.
    pub built_depth: f64,
    pub built_backlash: f64,
    pub built_closure: f64,
}

/// Packs of the axle as it was made.
pub struct OldPacks {
    pub pinion: f64,
    pub ring: f64,
    /// 0 with a sleeve.
    pub spacer: f64,
}

/// A pair whose depth deviation the test machine found with this error.
pub fn marked_pair(axle: &Axle, depth_deviation: f64, ring_deviation: f64, error: f64) -> Pair {
    Pair {
        depth_deviation,
        ring_deviation,
        mark: round_to(depth_deviation + error, axle.mark_step),
    }
}

fn draw_pair(axle: &Axle, dice: &mut Dice) -> Pair {
    let depth_deviation = axle.depth_deviation.draw(dice);
    let error = axle.mark_error.draw(dice);
    marked_pair(axle, depth_deviation, axle.ring_deviation.draw(dice), error)
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

pub fn draw_parts(axle: &Axle, gears_new: bool, bearings_new: bool, dice: &mut Dice) -> Parts {
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
    let friction = if bearings_new {
        1.0
    } else {
        axle.used_friction
    };
    let [gap, spacer, built_closure] = match &axle.preload {
        PinionPreload::Sleeve { .. } => [0.0; 3],
        PinionPreload::Spacer(spacer) => {
            [&spacer.gap, &spacer.spacer, &spacer.as_built].map(|figure| figure.draw(dice))
        }
    };
    Parts {
        old_pair,
        pair,
        scatter,
        tooth_runout: Runout::draw(&axle.tooth_runout, dice),
        face_runout: Runout::draw(&axle.face_runout, dice),
        head_seat: axle.head_seat.draw(dice),
        ring_seat: axle.ring_seat.draw(dice),
        far_seat: axle.far_seat.draw(dice),
        offset_error: axle.offset_error.draw(dice),
        shaft_angle: axle.shaft_angle.draw(dice),
        shoulders: axle.shoulders.draw(dice),
        shoulder_ring: axle.shoulder_ring.draw(dice),
        old_heights,
        heights,
        pinion_friction: axle.pinion_friction.draw(dice) * friction,
        side_friction: axle.side_friction.draw(dice) * friction,
        seal_drag: axle.seal_drag.draw(dice),
        gap,
        spacer,
        built_depth: axle.built_depth.draw(dice),
        built_backlash: axle.built_backlash.draw(dice),
        built_closure,
    }
}

/// The packs that the old axle was given when it was made.
pub fn packs_as_built(parts: &Parts, axle: &Axle, shop: &Shop) -> OldPacks {
    let rates = &axle.geometry;
    let old = parts.old_pair;

    // The pinion stood right by its own mark, but for the maker's error.
    let room = parts.head_seat - parts.old_heights.head - (axle.mounting_distance + old.mark);
    let pinion = match axle.pinion_seat {
        PinionSeat::CartridgeFlange => parts.built_depth - room,
        _ => room - parts.built_depth,
    };
    let depth = parts.built_depth + old.mark - old.depth_deviation;

    // The ring stood where the backlash came right, but for the maker's error.
    let backlash_error = parts.built_backlash
        - rates.per_depth * depth
        - rates.per_offset * parts.offset_error
        - rates.per_arcminute * parts.shaft_angle;
    let place = axle.ring_distance + old.ring_deviation + backlash_error / rates.per_ring;
    let ring = parts.ring_seat - parts.old_heights.ring - parts.shoulder_ring
        + axle.ring_share * shop.side_preload_added
        - place;

    let spacer = match &axle.preload {
        PinionPreload::Sleeve { .. } => 0.0,
        PinionPreload::Spacer(_) => {
            let gap = spacer_gap(parts, axle, &parts.old_heights, pinion);
            gap - parts.spacer - axle.spacer_closure_wanted() + parts.built_closure
        }
    };
    OldPacks {
        pinion,
        ring,
        spacer,
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
