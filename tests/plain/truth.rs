//! Where the gears really stand, whatever the readings say.

use super::axle::{PinionPreload, PinionSeat, Windows, middle};
use super::bench::{Job, Outcome};
use super::parts::spacer_gap;

const NEAR: f64 = 1e-9;

#[derive(Clone, Copy)]
pub struct Truth {
    pub depth: f64,
    /// How far the ring gear stands from its own best position, + away from the pinion axis.
    pub ring: f64,
    pub closure: f64,
    /// Mean of a turn, and the swing either way with its phase.
    pub backlash: f64,
    pub half_variation: f64,
    phase: f64,
    /// Drive length, drive profile, coast length, coast profile.
    pub pattern: [f64; 4],
}

impl Truth {
    pub fn backlash_at(&self, angle: f64) -> f64 {
        self.backlash + self.half_variation * (angle + self.phase).cos()
    }

    pub fn backlash_is_right(&self, windows: &Windows) -> bool {
        let [low, high] = windows.backlash;
        self.backlash - self.half_variation >= low - NEAR
            && self.backlash + self.half_variation <= high + NEAR
            && 2.0 * self.half_variation <= windows.variation + NEAR
    }

    pub fn pattern_is_right(&self, windows: &Windows) -> bool {
        let [drive_length, drive_profile, coast_length, coast_profile] = self.pattern;
        drive_length.abs() <= windows.pattern_length + NEAR
            && coast_length.abs() <= windows.pattern_length + NEAR
            && drive_profile.abs() <= windows.pattern_profile + NEAR
            && coast_profile.abs() <= windows.pattern_profile + NEAR
    }

    pub fn closure_is_right(&self, windows: &Windows) -> bool {
        is_inside(self.closure, windows.closure)
    }

    pub fn depth_is_right(&self, windows: &Windows) -> bool {
        self.depth.abs() <= windows.depth + NEAR
    }
}

pub fn is_inside(x: f64, [low, high]: [f64; 2]) -> bool {
    x >= low - NEAR && x <= high + NEAR
}

impl Outcome<'_> {
    /// Whether something lies outside its window by more than one graduation of the instrument
    /// that reads it.
    pub fn clearly_out(&self) -> bool {
        let (shop, windows) = (self.job.shop, &self.job.axle.windows);
        let dial = shop.dial.step;
        let pattern = shop.pattern.step;
        let wider = Windows {
            backlash: widened(windows.backlash, dial),
            variation: windows.variation + dial,
            closure: widened(windows.closure, dial),
            pattern_length: windows.pattern_length + pattern,
            pattern_profile: windows.pattern_profile + pattern,
            ..*windows
        };
        let torque = widened(self.job.torque_window(), shop.torque.step);
        let last = &self.last;
        !(last.backlash_is_right(&wider)
            && last.pattern_is_right(&wider)
            && last.closure_is_right(&wider)
            && is_inside(self.torque, torque))
    }
}

fn widened([low, high]: [f64; 2], by: f64) -> [f64; 2] {
    [low - by, high + by]
}

impl Job<'_> {
    /// How far the pinion stands from its own best position, + away from the ring-gear axis.
    pub fn depth(&self) -> f64 {
        let axle = self.axle;
        let pack = match axle.pinion_seat {
            PinionSeat::CartridgeFlange => self.pinion.real,
            _ => -self.pinion.real,
        };
        self.parts.head_seat - self.sits.head + pack
            - (axle.mounting_distance + self.parts.pair.depth_deviation)
    }

    pub fn closure(&self) -> f64 {
        self.ring.real + self.sits.ring + self.parts.shoulders + self.sits.far + self.far.real
            - self.parts.ring_seat
            - self.parts.far_seat
    }

    /// Half the backlash variation and its phase: two once-a-turn swings added as vectors.
    pub fn runout(&self) -> (f64, f64) {
        let rates = &self.axle.geometry;
        let teeth = self.parts.tooth_runout;
        let tooth = rates.kappa * teeth.size;
        let face = rates.per_ring * self.face.size;
        let x = tooth * teeth.phase.cos() + face * self.face.phase.cos();
        let y = tooth * teeth.phase.sin() + face * self.face.phase.sin();
        (x.hypot(y) / 2.0, y.atan2(x))
    }

    pub fn truth(&self) -> Truth {
        let (axle, parts) = (self.axle, self.parts);
        let depth = self.depth();
        let closure = self.closure();
        let place = parts.ring_seat - self.ring.real - self.sits.ring - parts.shoulder_ring
            + axle.ring_share * closure.max(0.0);
        let ring_error = place - (axle.ring_distance + parts.pair.ring_deviation);
        let rates = &axle.geometry;
        let backlash = middle(axle.windows.backlash)
            + rates.per_ring * ring_error
            + rates.per_depth * depth
            + rates.per_offset * parts.offset_error
            + rates.per_arcminute * parts.shaft_angle;
        let (half_variation, phase) = self.runout();
        let mut pattern = parts.scatter;
        for (share, row) in pattern.iter_mut().zip(&axle.pattern) {
            *share += row[0] * depth
                + row[1] * ring_error
                + row[2] * parts.offset_error
                + row[3] * parts.shaft_angle;
        }
        Truth {
            depth,
            ring: ring_error,
            closure,
            backlash,
            half_variation,
            phase,
            pattern,
        }
    }

    /// Closing of the pinion bearings past zero end play.
    pub fn pinion_closure(&self) -> f64 {
        match (&self.axle.preload, &self.spacer_pack) {
            (PinionPreload::Sleeve { .. }, _) => self.sleeve_closure,
            (PinionPreload::Spacer(_), Some(pack)) => {
                let gap = spacer_gap(self.parts, self.axle, &self.sits, self.pinion.real);
                gap - self.parts.spacer - pack.real
            }
            (PinionPreload::Spacer(_), None) => 0.0,
        }
    }

    /// Turning torque of the pinion alone.
    pub fn pinion_torque(&self) -> f64 {
        let force = self.axle.pinion_pair.force(self.pinion_closure());
        self.parts.seal_drag + self.parts.pinion_friction * force / 1000.0
    }
}
