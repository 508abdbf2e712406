//! Nominal distances that an axle file leaves out: chosen so that every loop closes.
//!
//! Only spreads and sensitivities matter for how a set-up goes; the absolute distances drop out.
//! All but one of what a loop lacks are the built-in axle's, scaled by the ring diameter, and one
//! closes the loop: with every part at its middle and the usual packs fitted, depth and ring
//! position are right, the side preload is what the shop adds, and a spacer gives the closure
//! wanted.

use shimcast_sim::axle::Axle;

/// A nominal distance or height that a file may leave out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Var {
    HeadSeat,
    MountingDistance,
    HeadHeight,
    TailHeight,
    SideHeight,
    RingSeat,
    FarSeat,
    RingDistance,
    ShoulderRing,
    Shoulders,
    Gap,
    Spacer,
}

/// All of them, with the built-in axle's keys: section, key, and the key below it if any.
const VARS: [(Var, [&str; 3]); 12] = [
    (Var::HeadSeat, ["housing", "head_seat", "nominal"]),
    (Var::MountingDistance, ["gears", "mounting_distance", ""]),
    (Var::HeadHeight, ["bearings.head", "height", "nominal"]),
    (Var::TailHeight, ["bearings.tail", "height", "nominal"]),
    (Var::SideHeight, ["bearings.side", "height", "nominal"]),
    (Var::RingSeat, ["housing", "ring_seat", "nominal"]),
    (Var::FarSeat, ["housing", "far_seat", "nominal"]),
    (Var::RingDistance, ["gears", "ring_distance", ""]),
    (Var::ShoulderRing, ["carrier", "shoulder_ring", "nominal"]),
    (Var::Shoulders, ["carrier", "shoulders", "nominal"]),
    (Var::Gap, ["pinion_preload", "gap", "nominal"]),
    (Var::Spacer, ["pinion_preload", "spacer", "nominal"]),
];

impl Var {
    /// The built-in axle's key; a spacer's lengths have none.
    pub(super) fn key(self) -> [&'static str; 3] {
        VARS[self as usize].1
    }
}

/// The default of each left-out nominal, mm, and why it is that.
#[derive(Debug, Clone)]
pub(super) struct Nominals {
    figures: [f64; VARS.len()],
    why: [&'static str; VARS.len()],
}

impl Nominals {
    /// The same reason for all.
    pub(super) fn new(figures: impl Fn(Var) -> f64, why: &'static str) -> Self {
        Self {
            figures: VARS.map(|(var, _)| figures(var)),
            why: [why; VARS.len()],
        }
    }

    pub(super) fn figure(&self, var: Var) -> f64 {
        self.figures[var as usize]
    }

    pub(super) fn why(&self, var: Var) -> &'static str {
        self.why[var as usize]
    }

    fn close(&mut self, var: Var, by: f64, why: &'static str) {
        self.figures[var as usize] += by;
        self.why[var as usize] = why;
    }
}

/// Lets the left-out nominals close the loops of an axle that was read with `nominals`.
///
/// A distance of one loop only is preferred; only where a loop has none left do the ring-side seat
/// and the side bearings' height, which belong to two, take part.
pub(super) fn close(mut nominals: Nominals, axle: &Axle, added: f64, left_out: &[Var]) -> Nominals {
    let first = |choice: &[Var]| choice.iter().copied().find(|v| left_out.contains(v));
    let open = axle.openings(added);
    let depth_why = "closes the depth loop";
    match first(&[Var::HeadSeat, Var::MountingDistance, Var::HeadHeight]) {
        Some(Var::HeadSeat) => nominals.close(Var::HeadSeat, -open.depth, depth_why),
        Some(var) => nominals.close(var, open.depth, depth_why),
        None => {}
    }
    let spacer_why = "gives the closure wanted";
    match first(&[Var::Gap, Var::Spacer]) {
        Some(Var::Gap) => nominals.close(Var::Gap, -open.spacer, spacer_why),
        Some(var) => nominals.close(var, open.spacer, spacer_why),
        None => {}
    }
    let (closure_why, ring_why) = ("closes the side loop", "closes the ring loop");
    let ring_own = first(&[Var::RingDistance, Var::ShoulderRing]);
    let side_own = first(&[Var::FarSeat, Var::Shoulders]);
    let seat = left_out.contains(&Var::RingSeat);
    let height = left_out.contains(&Var::SideHeight);
    // moves of the shared ring-side seat and side height, which both loops feel
    let (seat_by, height_by) = match (ring_own, side_own) {
        (Some(_), Some(_)) => (0.0, 0.0),
        (None, Some(_)) if seat => (-open.ring, 0.0),
        (None, Some(_)) if height => (0.0, open.ring),
        (None, None) if seat && height => {
            // 2·h − w = −side and w − h = −ring
            let by = -open.side_closure - open.ring;
            (by - open.ring, by)
        }
        (_, None) if seat => (open.side_closure, 0.0),
        (_, None) if height => (0.0, -0.5 * open.side_closure),
        _ => (0.0, 0.0),
    };
    let shared_why = match (ring_own, side_own) {
        (None, Some(_)) => ring_why,
        (None, None) if seat && height => "closes the side and ring loops",
        _ => closure_why,
    };
    if seat_by != 0.0 || (seat && side_own.is_none()) || (seat && ring_own.is_none()) {
        nominals.close(Var::RingSeat, seat_by, shared_why);
    }
    if height_by != 0.0 {
        nominals.close(Var::SideHeight, height_by, shared_why);
    }
    let side_open = open.side_closure + 2.0 * height_by - seat_by;
    match side_own {
        Some(Var::FarSeat) => nominals.close(Var::FarSeat, side_open, closure_why),
        Some(var) => nominals.close(var, -side_open, closure_why),
        None => {}
    }
    let ring_open = open.ring + seat_by - height_by;
    if let Some(var) = ring_own {
        nominals.close(var, ring_open, ring_why);
    }
    nominals
}
