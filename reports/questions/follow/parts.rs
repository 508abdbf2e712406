//! The parts that a rebuild met, as they were drawn.

use shimcast_sim::bench::parts::Parts;
use shimcast_sim::bench::setup::{Preload, Setup};

/// What a part's figure is measured in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measured {
    /// mm.
    Length,
    /// Arc-minutes.
    Angle,
    /// N·m.
    Torque,
    /// N·m per kN.
    TorquePerForce,
}

/// One part as it was drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrawnPart {
    /// Its name in answers.
    pub key: &'static str,
    /// Its name in words.
    pub name: &'static str,
    /// In what it is measured.
    pub measured: Measured,
    /// As drawn.
    pub value: f64,
    /// The middle of its kind.
    pub middle: f64,
}

/// The parts that a rebuild met.
pub fn drawn_parts(setup: &Setup, parts: &Parts) -> Vec<DrawnPart> {
    use Measured::{Angle, Length, Torque, TorquePerForce};
    let middle = Parts::middle(&setup.axle, setup.bearings);
    let size = |[x, y]: [f64; 2]| (x * x + y * y).sqrt();
    let mut list = Vec::new();
    let mut of = |key, name, measured, figure: &dyn Fn(&Parts) -> f64| {
        list.push(DrawnPart {
            key,
            name,
            measured,
            value: figure(parts),
            middle: figure(&middle),
        });
    };
    of("head_seat", "head-bearing seat", Length, &|p| p.head_seat);
    of("ring_seat", "side seat, ring-gear side", Length, &|p| {
        p.ring_seat
    });
    of("far_seat", "side seat, far side", Length, &|p| p.far_seat);
    of("offset", "pinion offset", Length, &|p| p.offset);
    of("shaft_angle", "shaft angle", Angle, &|p| p.shaft_angle);
    of("shoulders", "carrier between its shoulders", Length, &|p| {
        p.shoulders
    });
    of(
        "shoulder_ring",
        "carrier shoulder to ring-gear face",
        Length,
        &|p| p.shoulder_ring,
    );
    of("face_runout", "runout of that face", Length, &|p| {
        size(p.face_runout)
    });
    of("tooth_runout", "runout of the teeth", Length, &|p| {
        size(p.tooth_runout)
    });
    of("head_bearing", "head bearing in the job", Length, &|p| {
        p.bearings.head
    });
    of("old_head_bearing", "old head bearing", Length, &|p| {
        p.old_bearings.head
    });
    let spacer = matches!(setup.preload, Preload::Spacer { .. });
    if spacer {
        of("tail_bearing", "tail bearing in the job", Length, &|p| {
            p.bearings.tail
        });
        of("old_tail_bearing", "old tail bearing", Length, &|p| {
            p.old_bearings.tail
        });
    }
    of(
        "ring_side_bearing",
        "ring-side bearing in the job",
        Length,
        &|p| p.bearings.ring,
    );
    of(
        "old_ring_side_bearing",
        "old ring-side bearing",
        Length,
        &|p| p.old_bearings.ring,
    );
    of(
        "far_side_bearing",
        "far-side bearing in the job",
        Length,
        &|p| p.bearings.far,
    );
    of(
        "depth_deviation",
        "best depth of the pair in the job",
        Length,
        &|p| p.pair.depth,
    );
    of(
        "old_depth_deviation",
        "best depth of the old pair",
        Length,
        &|p| p.old_pair.depth,
    );
    of(
        "ring_deviation",
        "best ring position of the pair in the job",
        Length,
        &|p| p.pair.ring,
    );
    of(
        "old_ring_deviation",
        "best ring position of the old pair",
        Length,
        &|p| p.old_pair.ring,
    );
    of(
        "as_built_depth",
        "old depth against its mark",
        Length,
        &|p| p.old_depth,
    );
    of(
        "as_built_backlash",
        "old backlash against its window",
        Length,
        &|p| p.old_backlash,
    );
    of(
        "pinion_friction",
        "pinion bearings, torque per force",
        TorquePerForce,
        &|p| p.pinion_friction,
    );
    of("seal_drag", "drag of the seal", Torque, &|p| p.seal_drag);
    if spacer {
        let of_spacer = |figure: fn(&shimcast_sim::bench::parts::SpacerParts) -> f64| {
            move |p: &Parts| p.spacer.as_ref().map_or(0.0, figure)
        };
        of(
            "gap",
            "gap between the cones",
            Length,
            &of_spacer(|s| s.gap),
        );
        of("spacer", "spacer", Length, &of_spacer(|s| s.length));
    }
    list
}
