//! The parts among the inputs, a row each: its key, its tolerance, and its access among drawn
//! parts.

use super::input::{Coordinates, Input};
use crate::axle::tolerance::Tolerance;
use crate::axle::{Axle, Condition, PreloadBy};
use crate::bench::parts::Parts;
use crate::bench::setup::Setup;

/// Access to a part.
pub(super) struct Part {
    pub(super) input: Input,
    /// The key of its tolerance in the axle file.
    pub(super) key: &'static str,
    /// Its tolerance; `None` where the axle has no such part.
    pub(super) tolerance: fn(&Axle) -> Option<&Tolerance>,
    pub(super) tolerance_mut: fn(&mut Axle) -> Option<&mut Tolerance>,
    /// Takes it, and nothing else, from other parts, the second ones.
    pub(super) take: fn(&Setup, &mut Parts, &Parts),
    /// Its coordinates for the bins; `None` where the axle has no such part.
    pub(super) coordinates: fn(&Setup, &Parts) -> Option<Coordinates>,
}

impl Part {
    /// What an input is among the parts with a tolerance; `None` for everything else.
    pub(super) fn of(input: Input) -> Option<&'static Self> {
        PARTS.get(usize::from(PLACES[input as usize]))
    }
}

/// The place of each input among [`PARTS`]; past their end where it is none.
static PLACES: [u8; Input::ALL.len()] = {
    let mut places = [u8::MAX; Input::ALL.len()];
    let mut place = 0;
    while place < PARTS.len() {
        places[PARTS[place].input as usize] = place as u8;
        place += 1;
    }
    places
};

/// Coordinates of a part that exists new and old: both where both matter.
fn renewed(condition: Condition, new: f64, old: f64) -> Option<Coordinates> {
    Some(match condition {
        Condition::New => Coordinates::two(new, old),
        Condition::Kept => Coordinates::one(old),
    })
}

/// A row: the input, its key, the tolerance in the axle, and what it is among the parts.
macro_rules! part {
    ($input:ident, $key:literal, $($tolerance:ident).+, $($kind:tt)+) => {
        Part {
            input: Input::$input,
            key: $key,
            tolerance: |axle| Some(&axle.$($tolerance).+),
            tolerance_mut: |axle| Some(&mut axle.$($tolerance).+),
            take: part!(@take $($kind)+),
            coordinates: part!(@coordinates $($kind)+),
        }
    };
    (spacer $tolerance:ident, $input:ident, $key:literal, $field:ident) => {
        Part {
            input: Input::$input,
            key: $key,
            tolerance: |axle| match &axle.pinion_preload.by {
                PreloadBy::Spacer { $tolerance, .. } => Some($tolerance),
                PreloadBy::Sleeve { .. } => None,
            },
            tolerance_mut: |axle| match &mut axle.pinion_preload.by {
                PreloadBy::Spacer { $tolerance, .. } => Some($tolerance),
                PreloadBy::Sleeve { .. } => None,
            },
            take: |_, to, from| {
                if let (Some(to), Some(from)) = (&mut to.spacer, &from.spacer) {
                    to.$field = from.$field;
                }
            },
            coordinates: |_, parts| Some(Coordinates::one(parts.spacer.as_ref()?.$field)),
        }
    };
    // one figure
    (@take figure $field:ident) => { |_, to, from| to.$field = from.$field };
    (@coordinates figure $field:ident) => {
        |_, parts| Some(Coordinates::one(parts.$field))
    };
    // a runout, by its size: no angle is preferred
    (@take runout $field:ident) => { |_, to, from| to.$field = from.$field };
    (@coordinates runout $field:ident) => {
        |_, parts| {
            let [x, y] = parts.$field;
            Some(Coordinates::one((x * x + y * y).sqrt()))
        }
    };
    // a bearing, or two, new and old; of two the first is the coordinate, since the total found at
    // the bench absorbs the deviation of the far one
    (@take bearing $first:ident $($other:ident)?) => {
        |_, to, from| {
            for (to, from) in [
                (&mut to.bearings, &from.bearings),
                (&mut to.old_bearings, &from.old_bearings),
            ] {
                to.$first = from.$first;
                $(to.$other = from.$other;)?
            }
        }
    };
    (@coordinates bearing $first:ident $($other:ident)?) => {
        |setup, parts| {
            let (new, old) = (&parts.bearings, &parts.old_bearings);
            renewed(setup.bearings, new.$first, old.$first)
        }
    };
    // a figure of the gear pair, new and old, with the mark that belongs to it
    (@take pair $field:ident) => {
        |setup, to, from| {
            for (to, from) in [
                (&mut to.pair, &from.pair),
                (&mut to.old_pair, &from.old_pair),
            ] {
                to.$field = from.$field;
                to.etch(setup);
            }
        }
    };
    (@coordinates pair $field:ident) => {
        |setup, parts| renewed(setup.gears, parts.pair.$field, parts.old_pair.$field)
    };
}

/// All of them, as in the axle file.
static PARTS: [Part; 23] = [
    part!(HeadSeat, "housing.head_seat", housing.head_seat, figure head_seat),
    part!(RingSeat, "housing.ring_seat", housing.ring_seat, figure ring_seat),
    part!(FarSeat, "housing.far_seat", housing.far_seat, figure far_seat),
    part!(Offset, "housing.offset", housing.offset, figure offset),
    part!(ShaftAngle, "housing.shaft_angle", housing.shaft_angle, figure shaft_angle),
    part!(Shoulders, "carrier.shoulders", carrier.shoulders, figure shoulders),
    part!(ShoulderRing, "carrier.shoulder_ring", carrier.shoulder_ring, figure shoulder_ring),
    part!(FaceRunout, "carrier.face_runout", carrier.face_runout, runout face_runout),
    part!(ToothRunout, "gears.tooth_runout", gears.tooth_runout, runout tooth_runout),
    part!(HeadBearing, "bearings.head.height", bearings.head.height, bearing head),
    part!(TailBearing, "bearings.tail.height", bearings.tail.height, bearing tail),
    part!(SideBearings, "bearings.side.height", bearings.side.height, bearing ring far),
    part!(DepthDeviation, "gears.depth_deviation", gears.depth_deviation, pair depth),
    part!(RingDeviation, "gears.ring_deviation", gears.ring_deviation, pair ring),
    part!(MarkError, "gears.mark.error", gears.mark.error, pair mark_error),
    part!(
        PinionFriction, "pinion_preload.torque_per_force",
        pinion_preload.torque_per_force, figure pinion_friction
    ),
    part!(
        SideFriction, "side_preload.torque_per_force",
        side_torque_per_force, figure side_friction
    ),
    part!(SealDrag, "pinion_preload.seal_drag", pinion_preload.seal_drag, figure seal_drag),
    part!(OldDepth, "as_built.depth", as_built.depth, figure old_depth),
    part!(OldBacklash, "as_built.backlash", as_built.backlash, figure old_backlash),
    part!(spacer gap, Gap, "pinion_preload.gap", gap),
    part!(spacer spacer, Spacer, "pinion_preload.spacer", length),
    part!(spacer as_built, OldClosure, "as_built.closure", old_closure),
];
