//! The parts of one rebuild, drawn from their tolerances.

use crate::axle::{Axle, Condition, PreloadBy};
use crate::bench::setup::Setup;
use crate::chance::dice::Dice;

/// One axle's parts. Lengths in mm, angles in arc-minutes, torque in N·m.
///
/// All of them are drawn, whether a job needs them or not, so that two ways of working have the
/// same parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Parts {
    /// H: ring-gear axis to the seat that carries the head bearing.
    pub head_seat: f64,
    /// W_R: pinion axis to the side-bearing seat on the ring-gear side.
    pub ring_seat: f64,
    /// W_F: pinion axis to the other side-bearing seat.
    pub far_seat: f64,
    /// dE: error of the offset, + opens the mesh.
    pub offset: f64,
    /// dS: error of the shaft angle, arc-minutes, + opens the mesh.
    pub shaft_angle: f64,
    /// Y: between the carrier's bearing shoulders.
    pub shoulders: f64,
    /// f: ring-side shoulder to the ring-gear mounting face.
    pub shoulder_ring: f64,
    /// Runout of the mounting face as a vector, peak to peak.
    pub face_runout: [f64; 2],
    /// Runout of the teeth as a vector, peak to peak.
    pub tooth_runout: [f64; 2],
    /// The bearings in the job.
    pub bearings: BearingSet,
    /// The bearings that came out; the same where they are kept.
    pub old_bearings: BearingSet,
    /// The gear pair in the job.
    pub pair: GearPair,
    /// The pair that came out; the same where it is kept.
    pub old_pair: GearPair,
    /// Scatter of the pattern: drive length, drive profile, coast length, coast profile.
    pub scatter: [f64; 4],
    /// μ of the pinion bearings, N·m per kN, as oiled and as used.
    pub pinion_friction: f64,
    /// μ of the side bearings, N·m per kN, as used.
    pub side_friction: f64,
    /// Seal drag, N·m.
    pub seal_drag: f64,
    /// Deviation of the old depth from its mark, mm.
    pub old_depth: f64,
    /// Deviation of the old backlash from the middle of its window, mm.
    pub old_backlash: f64,
    /// What belongs to a solid spacer; `None` with a sleeve.
    pub spacer: Option<SpacerParts>,
}

/// Heights of the four bearings, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BearingSet {
    /// Head bearing.
    pub head: f64,
    /// Tail bearing.
    pub tail: f64,
    /// Side bearing on the ring-gear side.
    pub ring: f64,
    /// Side bearing on the far side.
    pub far: f64,
}

/// One matched pair of gears, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GearPair {
    /// δ: best mounting distance less the nominal.
    pub depth: f64,
    /// g: ring position for middle backlash less the nominal.
    pub ring: f64,
    /// What is etched on the pinion, in the sense "+ is farther".
    pub mark: f64,
    /// Error of δ as found on the test machine, before the mark was rounded.
    pub mark_error: f64,
}

/// Figures of a solid spacer, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpacerParts {
    /// Gap between the cones at zero end play, bearings at mid height and the usual pinion shim.
    pub gap: f64,
    /// Length of the spacer.
    pub length: f64,
    /// Deviation of the old pack, as closure.
    pub old_closure: f64,
}

impl Parts {
    /// Draws all parts of a rebuild, in a fixed order.
    pub(crate) fn draw(setup: &Setup, dice: &mut Dice) -> Self {
        let axle = &setup.axle;
        let housing = &axle.housing;
        let carrier = &axle.carrier;
        let head_seat = housing.head_seat.draw(dice);
        let ring_seat = housing.ring_seat.draw(dice);
        let far_seat = housing.far_seat.draw(dice);
        let offset = housing.offset.draw(dice);
        let shaft_angle = housing.shaft_angle.draw(dice);
        let shoulders = carrier.shoulders.draw(dice);
        let shoulder_ring = carrier.shoulder_ring.draw(dice);
        let face_runout = runout(carrier.face_runout.draw(dice), dice);
        let tooth_runout = runout(axle.gears.tooth_runout.draw(dice), dice);
        let new_bearings = BearingSet::draw(axle, dice);
        let old_bearings = BearingSet::draw(axle, dice);
        let new_pair = GearPair::draw(setup, dice);
        let old_pair = GearPair::draw(setup, dice);
        let pattern = &axle.gears.pattern;
        let (length, profile) = (pattern.scatter_length, pattern.scatter_profile);
        let scatter = [length, profile, length, profile].map(|sigma| sigma * dice.normal());
        let worn = axle.friction_of(setup.bearings);
        let preload = &axle.pinion_preload;
        Self {
            head_seat,
            ring_seat,
            far_seat,
            offset,
            shaft_angle,
            shoulders,
            shoulder_ring,
            face_runout,
            tooth_runout,
            bearings: match setup.bearings {
                Condition::New => new_bearings,
                Condition::Kept => old_bearings,
            },
            old_bearings,
            pair: match setup.gears {
                Condition::New => new_pair,
                Condition::Kept => old_pair,
            },
            old_pair,
            scatter,
            pinion_friction: worn * preload.torque_per_force.draw(dice),
            side_friction: worn * axle.side_torque_per_force.draw(dice),
            seal_drag: preload.seal_drag.draw(dice),
            old_depth: axle.as_built.depth.draw(dice),
            old_backlash: axle.as_built.backlash.draw(dice),
            spacer: match &preload.by {
                PreloadBy::Sleeve { .. } => None,
                PreloadBy::Spacer {
                    gap,
                    spacer,
                    as_built,
                    ..
                } => Some(SpacerParts {
                    gap: gap.draw(dice),
                    length: spacer.draw(dice),
                    old_closure: as_built.draw(dice),
                }),
            },
        }
    }
}

/// A runout of this size at a uniform angle.
pub(crate) fn runout(size: f64, dice: &mut Dice) -> [f64; 2] {
    dice.direction().map(|part| size * part)
}

impl BearingSet {
    fn draw(axle: &Axle, dice: &mut Dice) -> Self {
        let head = axle.bearings.head.height.draw(dice);
        let tail = axle.bearings.tail.height.draw(dice);
        let [ring, far] = axle.bearings.side.height.draw_pair(dice);
        Self {
            head,
            tail,
            ring,
            far,
        }
    }
}

impl GearPair {
    fn draw(setup: &Setup, dice: &mut Dice) -> Self {
        let axle = &setup.axle;
        let depth = axle.gears.depth_deviation.draw(dice);
        let ring = axle.gears.ring_deviation.draw(dice);
        let mark_error = axle.gears.mark.error.draw(dice);
        let mut pair = Self {
            depth,
            ring,
            mark: 0.0,
            mark_error,
        };
        pair.etch(setup);
        pair
    }

    /// Etches the mark that belongs to this depth and this error.
    pub(crate) fn etch(&mut self, setup: &Setup) {
        self.mark = setup.graduations.mark.round(self.depth + self.mark_error);
    }
}
