//! The gear set of an axle file.

use shimcast_sim::axle::{Gears, Mark, MarkSign, Pattern};

use super::axle::{AxleReader, deviation};
use super::loops::Var;
use super::measure::Quantity;
use super::section::{BUILT_IN, FigureDefault, Limits, Section};
use super::spread::Nominal;
use super::tree::Node;
use crate::units::Length;

/// Most teeth that are taken for a count and not for a slip.
const MOST_TEETH: u32 = 400;

/// The gears.
pub(super) fn read(file: &Section<'_>, reading: &AxleReader<'_>) -> Gears {
    let s = file.sub("gears");
    let positive = Limits::Above(0.0);
    let scaled = |share: f64, d: f64| {
        Some(FigureDefault::new(
            share * d,
            format!("{share} × ring diameter"),
        ))
    };
    let pinion_teeth = s.whole("pinion_teeth", 3, MOST_TEETH, None);
    let ring_teeth = s.whole("ring_teeth", 3, MOST_TEETH, None);
    let d = s.required_number("ring_diameter", Quantity::Length, positive);
    let gears = Gears {
        pinion_teeth,
        ring_teeth,
        ring_diameter: d,
        face_width: s.number_or("face_width", Quantity::Length, positive, scaled(0.158, d)),
        offset: s.number_or(
            "offset",
            Quantity::Length,
            Limits::AtLeast(0.0),
            scaled(0.158, d),
        ),
        pinion_spiral: s.number(
            "pinion_spiral",
            Quantity::Degrees,
            Limits::Within(0.0, 80.0),
        ),
        cutter_radius: s.number_or(
            "cutter_radius",
            Quantity::Length,
            positive,
            scaled(0.443, d),
        ),
        pressure_angle: s.number(
            "pressure_angle",
            Quantity::Degrees,
            Limits::Between(0.0, 45.0),
        ),
        mounting_distance: reading.distance(&s, "mounting_distance", Var::MountingDistance),
        ring_distance: reading.distance(&s, "ring_distance", Var::RingDistance),
        depth_deviation: deviation(&s, "depth_deviation", Quantity::Length),
        ring_deviation: deviation(&s, "ring_deviation", Quantity::Length),
        tooth_runout: s
            .tolerance(
                "tooth_runout",
                Quantity::Length,
                Limits::AtLeast(0.0),
                Nominal::Zero,
            )
            .tolerance,
        mark: mark(&s.sub("mark")),
        pattern: pattern(&s.sub("pattern"), d / usual_diameter(&s).unwrap_or(d)),
    };
    s.finish();
    gears
}

/// The built-in axle's ring diameter, mm.
fn usual_diameter(s: &Section<'_>) -> Option<f64> {
    s.usual()?.get("ring_diameter").and_then(Node::figure)
}

fn mark(s: &Section<'_>) -> Mark {
    // marks are written in the unit that the drawing is in
    let step = match s.units.length {
        Length::Millimetre => 0.01,
        Length::Inch => 0.001 * Length::Inch.mm(),
    };
    let mark = Mark {
        step: s.number_or(
            "step",
            Quantity::Length,
            Limits::AtLeast(0.0),
            Some(FigureDefault::new(step, BUILT_IN)),
        ),
        error: deviation(s, "error", Quantity::Length),
        plus: s.choice(
            "plus",
            &[("farther", MarkSign::Farther), ("deeper", MarkSign::Deeper)],
        ),
    };
    s.finish();
    mark
}

/// Larger gears feel a millimetre less: rows per length are scaled by `1 / size`.
fn pattern(s: &Section<'_>, size: f64) -> Pattern {
    let per_length = Quantity::PerLength;
    let q = [per_length, per_length, per_length, Quantity::Plain];
    let scale = [1.0 / size, 1.0 / size, 1.0 / size, 1.0];
    let row = |key| s.scaled_row(key, q, scale, "built-in, scaled by the ring diameter");
    let [drive_length, drive_profile, coast_length, coast_profile] = [
        "drive_length",
        "drive_profile",
        "coast_length",
        "coast_profile",
    ]
    .map(row);
    let scatter = s.sub("scatter");
    let pattern = Pattern {
        drive_length,
        drive_profile,
        coast_length,
        coast_profile,
        scatter_length: scatter.number("length", Quantity::Plain, Limits::AtLeast(0.0)),
        scatter_profile: scatter.number("profile", Quantity::Plain, Limits::AtLeast(0.0)),
    };
    scatter.finish();
    s.finish();
    pattern
}
