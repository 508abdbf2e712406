//! The truth about an assembly, which no technician sees: the dimension loops, backlash and where
//! the pattern falls.

use crate::parts::{BearingSet, Parts};
use crate::setup::Setup;

/// How one assembly really stands. "+" opens the mesh.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Assembly {
    /// dP: pinion depth against the pair's own best, mm, + too shallow.
    pub depth: f64,
    /// dG: ring position against the pair's own best, mm, + too far out.
    pub ring: f64,
    /// Backlash, mean of a turn, mm.
    pub backlash: f64,
    /// V: half the variation of backlash round the ring, mm.
    pub swing: f64,
    /// Side closure past zero end play, mm.
    pub closure: f64,
    /// Where the pattern falls, share of the tooth from its centre: drive length, drive profile,
    /// coast length, coast profile.
    pub pattern: [f64; 4],
}

/// Real thicknesses of what is fitted, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thicknesses {
    /// s_P: the pinion pack.
    pub pinion: f64,
    /// s_R: the pack on the ring-gear side.
    pub ring: f64,
    /// s_F: the pack on the far side.
    pub far: f64,
}

impl Assembly {
    /// Works out the loops for parts with these bearing heights, this face runout and these packs.
    pub fn of(
        setup: &Setup,
        parts: &Parts,
        seated: &BearingSet,
        face_runout: [f64; 2],
        packs: Thicknesses,
    ) -> Self {
        let axle = &setup.axle;
        let depth = depth(setup, parts, seated, packs.pinion);
        let closure = packs.ring + seated.ring + parts.shoulders + seated.far + packs.far
            - parts.ring_seat
            - parts.far_seat;
        let position = parts.ring_seat - packs.ring - seated.ring - parts.shoulder_ring
            + axle.housing.ring_share * closure.max(0.0);
        let ring = position - (axle.gears.ring_distance + parts.pair.ring);
        let rates = &setup.rates;
        let pattern = &axle.gears.pattern;
        let rows = [
            &pattern.drive_length,
            &pattern.drive_profile,
            &pattern.coast_length,
            &pattern.coast_profile,
        ];
        let moves = [depth, ring, parts.offset, parts.shaft_angle];
        let falls = |i: usize| {
            let moved: f64 = rows[i].iter().zip(moves).map(|(rate, x)| rate * x).sum();
            moved + parts.scatter[i]
        };
        Self {
            depth,
            ring,
            backlash: axle.windows.backlash.middle()
                + rates.per_ring_move * ring
                + rates.per_depth * depth
                + rates.per_offset * parts.offset
                + rates.per_arcminute * parts.shaft_angle,
            swing: swing(setup, parts, face_runout),
            closure,
            pattern: [falls(0), falls(1), falls(2), falls(3)],
        }
    }
}

/// dP with a pinion pack of this real thickness, mm.
pub(crate) fn depth(setup: &Setup, parts: &Parts, seated: &BearingSet, pack: f64) -> f64 {
    let axle = &setup.axle;
    parts.head_seat
        - seated.head
        - axle.pinion_shim.seat.depth_per_thickness() * pack
        - (axle.gears.mounting_distance + parts.pair.depth)
}

/// Backlash variation round the ring as a vector, peak to peak, mm: teeth and face together.
pub(crate) fn runout(setup: &Setup, parts: &Parts, face: [f64; 2]) -> [f64; 2] {
    let rates = &setup.rates;
    [0, 1].map(|i| rates.tangential * parts.tooth_runout[i] + rates.per_ring_move * face[i])
}

/// V: half the backlash variation round the ring, mm.
pub(crate) fn swing(setup: &Setup, parts: &Parts, face: [f64; 2]) -> f64 {
    let [x, y] = runout(setup, parts, face);
    0.5 * (x * x + y * y).sqrt()
}
