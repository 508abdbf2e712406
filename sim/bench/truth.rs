//! The truth of an assembly, which the technician never sees: dimension loops, backlash and pattern
//! position.

use crate::axle::Axle;
use crate::bench::graduation::above_zero;
use crate::bench::parts::{BearingSet, Parts};
use crate::bench::setup::Setup;

/// The true state of one assembly. "+" opens the mesh.
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
    /// Position of the pattern, share of the tooth from its centre: drive length, drive profile,
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

/// The dimension loops without their packs: they change only with the bearings.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Distances {
    /// dP without a pinion pack, mm.
    depth: f64,
    /// dG without a ring-side pack and without closing, mm.
    ring: f64,
    /// Side closure without packs, mm.
    closure: f64,
}

impl Distances {
    /// Works out the loops for parts with these bearing heights.
    #[inline]
    pub(crate) fn new(axle: &Axle, parts: &Parts, seated: &BearingSet) -> Self {
        let gears = &axle.gears;
        Self {
            depth: parts.head_seat - seated.head - (gears.mounting_distance + parts.pair.depth),
            ring: parts.ring_seat
                - seated.ring
                - parts.shoulder_ring
                - (gears.ring_distance + parts.pair.ring),
            closure: -Self::room(parts, seated),
        }
    }

    /// The total of both side packs that leaves neither end play nor preload, mm.
    #[inline]
    pub(crate) fn room(parts: &Parts, seated: &BearingSet) -> f64 {
        parts.ring_seat + parts.far_seat - seated.ring - seated.far - parts.shoulders
    }

    /// dP with a pinion pack of this real thickness, mm.
    #[inline]
    pub(crate) fn depth(&self, axle: &Axle, pack: f64) -> f64 {
        self.depth - axle.pinion_shim.seat.depth_per_thickness() * pack
    }

    /// Side closure with these packs, mm.
    #[inline]
    pub(crate) fn closure(&self, ring: f64, far: f64) -> f64 {
        self.closure + ring + far
    }

    /// dG with a ring-side pack of this real thickness at this closure, mm.
    #[inline]
    pub(crate) fn ring(&self, axle: &Axle, pack: f64, closure: f64) -> f64 {
        self.ring - pack + axle.housing.ring_share * above_zero(closure)
    }
}

/// What holds for a rebuild with any packs.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Loops {
    distances: Distances,
    /// Backlash with depth and ring position right, mm.
    backlash: f64,
    /// The pattern with depth and ring position right.
    pattern: [f64; 4],
}

impl Loops {
    /// Works out the loops for parts with these bearing heights.
    #[inline]
    pub(crate) fn new(setup: &Setup, parts: &Parts, seated: &BearingSet) -> Self {
        let gears = &setup.axle.gears;
        let rates = &setup.rates;
        let (offset, angle) = (parts.offset, parts.shaft_angle);
        let mut pattern = parts.scatter;
        for (falls, row) in pattern.iter_mut().zip(gears.pattern.rows()) {
            *falls += row[2] * offset + row[3] * angle;
        }
        Self {
            distances: Distances::new(&setup.axle, parts, seated),
            backlash: setup.axle.windows.backlash.middle()
                + rates.per_offset * offset
                + rates.per_arcminute * angle,
            pattern,
        }
    }

    /// dP with a pinion pack of this real thickness, mm.
    #[inline]
    pub(crate) fn depth(&self, setup: &Setup, pack: f64) -> f64 {
        self.distances.depth(&setup.axle, pack)
    }

    /// The truth with these packs and this half variation of backlash.
    #[inline]
    pub(crate) fn with(&self, setup: &Setup, swing: f64, packs: Thicknesses) -> Assembly {
        let axle = &setup.axle;
        let rates = &setup.rates;
        let depth = self.depth(setup, packs.pinion);
        let closure = self.distances.closure(packs.ring, packs.far);
        let ring = self.distances.ring(axle, packs.ring, closure);
        let mut pattern = self.pattern;
        for (falls, row) in pattern.iter_mut().zip(axle.gears.pattern.rows()) {
            *falls += row[0] * depth + row[1] * ring;
        }
        Assembly {
            depth,
            ring,
            backlash: self.backlash + rates.per_ring_move * ring + rates.per_depth * depth,
            swing,
            closure,
            pattern,
        }
    }
}

impl Assembly {
    /// Works out the truth for parts with these bearing heights, this face runout and these packs.
    pub fn of(
        setup: &Setup,
        parts: &Parts,
        seated: &BearingSet,
        face_runout: [f64; 2],
        packs: Thicknesses,
    ) -> Self {
        let swing = swing(runout(setup, parts, face_runout));
        Loops::new(setup, parts, seated).with(setup, swing, packs)
    }
}

/// Backlash variation round the ring as a vector, peak to peak, mm: teeth and face together.
pub(crate) fn runout(setup: &Setup, parts: &Parts, face: [f64; 2]) -> [f64; 2] {
    let rates = &setup.rates;
    [0, 1].map(|i| rates.tangential * parts.tooth_runout[i] + rates.per_ring_move * face[i])
}

/// V: half the backlash variation round the ring, mm, from its vector.
pub(crate) fn swing([x, y]: [f64; 2]) -> f64 {
    0.5 * (x * x + y * y).sqrt()
}
