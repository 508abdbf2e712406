//! What single figures can't show: whether those of an axle fit together.

use shimcast_sim::axle::{Axle, PreloadBy};

use crate::printed::Printed;

use super::load::place_of;
use super::loops::Var;
use super::notes::Notes;
use super::problem::Place;
use super::tree::Node;
use crate::units::Units;

/// The seal must leave some of the torque window to the bearings.
pub(super) fn seal(notes: &Notes, root: &Node, axle: &Axle, units: Units) {
    let window = axle.windows.pinion_torque;
    let seal = axle.pinion_preload.seal_drag.middle();
    if seal >= window.middle() {
        notes.wrong(
            place_of(root, "windows.pinion_torque"),
            "windows.pinion_torque: the seal's drag alone reaches the middle of this window"
                .to_owned(),
            Some(format!(
                "check it against pinion_preload.seal_drag, here {}, and the unit of torque",
                Printed::plainly(units).torque(seal)
            )),
        );
    }
}

/// A left-out nominal that could not close both its loops, or only by turning negative, says that
/// stated figures don't fit together.
pub(super) fn loops(notes: &Notes, axle: &Axle, units: Units, added: f64, left_out: &[Var]) {
    let length = |mm: f64| Printed::plainly(units).length(mm);
    let top = Place::top(0);
    let open = axle.openings(added);
    let shared = [Var::RingSeat, Var::SideHeight];
    if left_out.iter().any(|v| shared.contains(v)) {
        for (by, what) in [
            (open.side_closure, "side preload"),
            (open.ring, "ring position"),
        ] {
            if by.abs() > 1e-6 {
                notes.warn(
                    top,
                    format!("the stated side distances don't fit together: the {what} is {} off with the usual packs", length(by)),
                    Some("check housing, carrier and side shims, or leave one more distance out".to_owned()),
                );
            }
        }
    }
    for var in left_out {
        let figure = figure_of(axle, *var);
        if figure <= 0.0 {
            let [group, key, _] = var.key();
            notes.warn(
                top,
                format!(
                    "{group}.{key} was left out and would have to be {} for its loop to close",
                    length(figure)
                ),
                Some("one of the stated distances is probably mistyped".to_owned()),
            );
        }
    }
}

fn figure_of(axle: &Axle, var: Var) -> f64 {
    let spacer = |gap_wanted: bool| match &axle.pinion_preload.by {
        PreloadBy::Spacer { gap, spacer, .. } => if gap_wanted { gap } else { spacer }.middle(),
        PreloadBy::Sleeve { .. } => 1.0,
    };
    match var {
        Var::HeadSeat => axle.housing.head_seat.middle(),
        Var::MountingDistance => axle.gears.mounting_distance,
        Var::HeadHeight => axle.bearings.head.height.middle(),
        Var::TailHeight => axle.bearings.tail.height.middle(),
        Var::SideHeight => axle.bearings.side.height.middle(),
        Var::RingSeat => axle.housing.ring_seat.middle(),
        Var::FarSeat => axle.housing.far_seat.middle(),
        Var::RingDistance => axle.gears.ring_distance,
        Var::ShoulderRing => axle.carrier.shoulder_ring.middle(),
        Var::Shoulders => axle.carrier.shoulders.middle(),
        Var::Gap => spacer(true),
        Var::Spacer => spacer(false),
    }
}
