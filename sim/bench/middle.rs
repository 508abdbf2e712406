//! Every part at its middle: the nominal design with the usual packs.

use crate::axle::bearings::closure;
use crate::axle::{Axle, Condition, PreloadBy};
use crate::bench::parts::{BearingSet, GearPair, Parts, SpacerParts};
use crate::bench::setup::{Preload, Setup};
use crate::bench::truth::{Assembly, Distances, Thicknesses};

/// The assembly of mean parts with exactly the usual packs.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Middle {
    /// Its truth; the runouts of teeth and face are at right angles.
    pub assembly: Assembly,
    /// Torque to turn the pinion, N·m, with a solid spacer and its usual pack; `None` with a
    /// sleeve, which is crushed to a torque.
    pub spacer_torque: Option<f64>,
}

impl Setup {
    /// Bolts up mean parts with the usual packs.
    pub fn middle(&self) -> Middle {
        let axle = &self.axle;
        let parts = Parts::middle(axle, self.bearings);
        let [ring, far] = axle.side_shims.usual;
        let packs = Thicknesses {
            pinion: axle.pinion_shim.usual,
            ring,
            far,
        };
        let spacer_torque = match (&self.preload, parts.spacer) {
            (Preload::Spacer { usual, .. }, Some(spacer)) => {
                let force = self.pinion_pair.force(spacer.gap - spacer.length - usual);
                Some(parts.seal_drag + 1e-3 * parts.pinion_friction * force)
            }
            _ => None,
        };
        Middle {
            assembly: Assembly::of(self, &parts, &parts.bearings, parts.face_runout, packs),
            spacer_torque,
        }
    }
}

/// Residual of each dimension loop of an axle with every part at its middle and the usual packs
/// fitted, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Openings {
    /// Pinion depth; + is too shallow.
    pub depth: f64,
    /// Side closure less what the shop adds.
    pub side_closure: f64,
    /// Ring position; + is too far from the pinion.
    pub ring: f64,
    /// A spacer's closure less the closure wanted; 0 with a sleeve.
    pub spacer: f64,
}

impl Axle {
    /// Residuals of the loops in a shop that adds this side preload, mm.
    pub fn openings(&self, side_preload_added: f64) -> Openings {
        let parts = Parts::middle(self, Condition::New);
        let distances = Distances::new(self, &parts, &parts.bearings);
        let [ring, far] = self.side_shims.usual;
        let spacer = match (&self.pinion_preload.by, parts.spacer) {
            (PreloadBy::Spacer { usual, .. }, Some(spacer)) => {
                spacer.gap - spacer.length - usual - self.pinion_closure_wanted()
            }
            _ => 0.0,
        };
        Openings {
            depth: distances.depth(self, self.pinion_shim.usual),
            side_closure: distances.closure(ring, far) - side_preload_added,
            ring: distances.ring(self, ring, side_preload_added),
            spacer,
        }
    }

    /// The closure of the pinion bearings that gives the middle of the new-bearing torque window at
    /// nominal figures, mm; 0 where the seal alone gives that torque.
    pub fn pinion_closure_wanted(&self) -> f64 {
        let preload = &self.pinion_preload;
        let torque = self.windows.pinion_torque.middle() - preload.seal_drag.middle();
        let force = 1000.0 * torque / preload.torque_per_force.middle();
        if !force.is_finite() {
            return 0.0;
        }
        let deflection = self.bearings.head.deflection + self.bearings.tail.deflection;
        closure(deflection, 1e-3 / preload.path_stiffness, force)
    }
}

impl Parts {
    /// Every part at its mean; no scatter, no mark.
    pub fn middle(axle: &Axle, bearings: Condition) -> Self {
        let (housing, carrier, gears) = (&axle.housing, &axle.carrier, &axle.gears);
        let side = axle.bearings.side.height.middle();
        let heights = BearingSet {
            head: axle.bearings.head.height.middle(),
            tail: axle.bearings.tail.height.middle(),
            ring: side,
            far: side,
        };
        let pair = GearPair {
            depth: gears.depth_deviation.middle(),
            ring: gears.ring_deviation.middle(),
            mark: 0.0,
            mark_error: 0.0,
        };
        let worn = axle.friction_of(bearings);
        let preload = &axle.pinion_preload;
        Self {
            head_seat: housing.head_seat.middle(),
            ring_seat: housing.ring_seat.middle(),
            far_seat: housing.far_seat.middle(),
            offset: housing.offset.middle(),
            shaft_angle: housing.shaft_angle.middle(),
            shoulders: carrier.shoulders.middle(),
            shoulder_ring: carrier.shoulder_ring.middle(),
            face_runout: [carrier.face_runout.middle(), 0.0],
            tooth_runout: [0.0, gears.tooth_runout.middle()],
            bearings: heights,
            old_bearings: heights,
            pair,
            old_pair: pair,
            scatter: [0.0; 4],
            pinion_friction: worn * preload.torque_per_force.middle(),
            side_friction: worn * axle.side_torque_per_force.middle(),
            seal_drag: preload.seal_drag.middle(),
            old_depth: 0.0,
            old_backlash: 0.0,
            spacer: match &preload.by {
                PreloadBy::Sleeve { .. } => None,
                PreloadBy::Spacer { gap, spacer, .. } => Some(SpacerParts {
                    gap: gap.middle(),
                    length: spacer.middle(),
                    old_closure: 0.0,
                }),
            },
        }
    }
}
