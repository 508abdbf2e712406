//! Where an axle stood and stands: depth and ring position at each assembly, draws of where it is now,
//! and how packs move it.

use super::figures::moments;
use super::play::Played;
use super::population::Population;
use super::state::State;
use crate::bench::outcome::Outcome;
use crate::bench::setup::Setup;
use crate::bench::truth::Assembly;

/// Draws that are given, at the most.
const DRAWS: usize = 300;

/// What is believed of an assembly by all that is stated, what came after it included. Means and standard
/// deviations, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Stood {
    /// dP: pinion depth against the pair's own best, + too shallow.
    pub depth: [f64; 2],
    /// dG: ring position against the pair's own best, + too far out.
    pub ring: [f64; 2],
}

/// One axle as it may stand; all of them are equally likely.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Draw {
    /// dP: pinion depth against the pair's own best, mm, + too shallow.
    pub depth: f64,
    /// dG: ring position against the pair's own best, mm, + too far out.
    pub ring: f64,
    /// Side closure past zero end play, mm.
    pub closure: f64,
    /// Whether it would be handed over right as it sits.
    pub right: bool,
}

/// How packs move an axle.
///
/// # Definition
/// A pinion pack thicker by s moves depth by `depth_per_pinion`·s. A ring-side pack thicker by r and a
/// far-side pack thicker by f raise the side closure by r + f, and move the ring gear by −r, and by
/// `ring_share` times what the closure gains above zero. Shims are taken at their printed size; the error
/// of a pack that is fitted anew is not in it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PackRates {
    /// Change of depth for a unit of pinion pack.
    pub depth_per_pinion: f64,
    /// Share of the side closure that moves the ring gear.
    pub ring_share: f64,
}

impl PackRates {
    pub(super) fn of(setup: &Setup) -> Self {
        let axle = &setup.axle;
        Self {
            depth_per_pinion: -axle.pinion_shim.seat.depth_per_thickness(),
            ring_share: axle.housing.ring_share,
        }
    }

    /// Where packs thicker by so much, mm, would put a draw: pinion, ring side, far side. Depth and ring
    /// position, mm.
    pub fn moved(&self, from: &Draw, [pinion, ring, far]: [f64; 3]) -> [f64; 2] {
        let closed = |closure: f64| closure.max(0.0);
        let gained = closed(from.closure + ring + far) - closed(from.closure);
        [
            from.depth + self.depth_per_pinion * pinion,
            from.ring - ring + self.ring_share * gained,
        ]
    }
}

/// Every assembly, oldest first.
pub(super) fn path(believed: &Population) -> Vec<Stood> {
    let model = &believed.model;
    let stood = |at: usize| {
        let places = (0..believed.len()).map(|number| model.place(at, believed.row(number)));
        let (depths, rings): (Vec<f64>, Vec<f64>) = places.map(|[x, y]| (x, y)).unzip();
        Stood {
            depth: moments(&depths, &believed.weights),
            ring: moments(&rings, &believed.weights),
        }
    };
    (0..model.assemblies.len()).map(stood).collect()
}

/// Draws of the last assembly; before the first one of the best starting packs as they would sit.
pub(super) fn cloud(setup: &Setup, stands: Option<&[State]>, of_best: &[Played]) -> Vec<Draw> {
    let draw = |truth: &Assembly, torque: Option<f64>| Draw {
        depth: truth.depth,
        ring: truth.ring,
        closure: truth.closure,
        right: Outcome::as_it_sits(setup, truth, torque) == Outcome::Right,
    };
    if let Some(states) = stands {
        let of = |state: &State| draw(&state.truth, state.torque);
        return states.iter().take(DRAWS).map(of).collect();
    }
    let next = of_best.iter().filter_map(|played| played.next);
    next.take(DRAWS).map(|truth| draw(&truth, None)).collect()
}
