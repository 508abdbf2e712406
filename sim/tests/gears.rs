use std::f64::consts::PI;

use super::close;
use crate::axle::gears::{Geometry, NoGeometry};
use crate::axle::{Gears, Indicator};
use crate::chance::dice::{Address, Purpose};
use crate::demo;

fn degrees(radians: f64) -> f64 {
    radians * 180.0 / PI
}

/// ISO 23509:2016, the printed example of method 1.
fn sample() -> Gears {
    Gears {
        pinion_teeth: 13,
        ring_teeth: 42,
        ring_diameter: 170.0,
        face_width: 30.0,
        offset: 15.0,
        pinion_spiral: 50.0,
        cutter_radius: 63.5,
        pressure_angle: 20.0,
        ..demo::axle().gears
    }
}

#[test]
fn hypoid_sample_of_the_standard() {
    let gears = sample();
    let g = Geometry::solve(&gears).unwrap();
    // source: ISO 23509:2016, sample calculation, method 1, to the printed digits
    close(degrees(g.pinion_pitch_angle), 21.288, 0.0005);
    close(degrees(g.ring_pitch_angle), 68.324, 0.0005);
    close(degrees(g.offset_angle), 11.39, 0.005);
    close(degrees(g.pinion_spiral_angle), 50.00, 0.005);
    close(degrees(g.ring_spiral_angle), 38.61, 0.005);
    close(g.mean_normal_module(gears.ring_teeth), 2.640, 0.0005);
    close(g.pinion_cone_distance, 73.521, 0.0005);
    close(g.ring_cone_distance, 76.337, 0.0005);
    close(degrees(g.drive_pressure_angle), 17.746, 0.0005);
    close(degrees(g.coast_pressure_angle), 22.254, 0.0005);
    close(degrees(g.outer_spiral_angle().unwrap()), 47.676, 0.0005);
}

#[test]
fn rates_of_the_sample() {
    let g = Geometry::solve(&sample()).unwrap();
    let mean = g.rates_at(g.ring_radius);
    let outer = g.rates();
    // from the sample's angles by the formulas of `Rates`, reckoned by hand
    close(mean.per_ring_move, 0.8672, 0.00005);
    close(outer.per_ring_move, 1.0391, 0.00005);
    close(mean.per_depth, 0.3388, 0.00005);
    close(outer.per_depth, 0.4060, 0.00005);
    close(mean.per_offset, 0.0634, 0.00005);
    close(outer.per_offset, 0.0760, 0.00005);
    close(mean.per_arcminute * 3437.75, 69.49, 0.005);
    close(g.outer_radius / g.ring_radius, 1.19822, 0.000005);
}

#[test]
fn mitre_gears_by_hand() {
    let mitre = Gears {
        pinion_teeth: 20,
        ring_teeth: 20,
        offset: 0.0,
        pinion_spiral: 0.0,
        ..sample()
    };
    let g = Geometry::solve(&mitre).unwrap();
    let rates = g.rates_at(g.ring_radius);
    // 2·tan 20°·sin 45°
    close(rates.per_ring_move, 0.5147, 0.00005);
    close(rates.per_depth, 0.5147, 0.00005);
}

#[test]
fn spiral_bevel_by_hand() {
    let bevel = Gears {
        pinion_teeth: 11,
        ring_teeth: 41,
        offset: 0.0,
        pinion_spiral: 35.0,
        ..sample()
    };
    let g = Geometry::solve(&bevel).unwrap();
    let rates = g.rates_at(g.ring_radius);
    close(rates.per_ring_move, 0.8583, 0.00005);
    close(rates.per_depth, 0.2303, 0.00005);
    close(rates.per_ring_move / rates.per_depth, 41.0 / 11.0, 1e-9);
    assert_eq!(rates.per_offset, 0.0);
}

#[test]
fn the_demo_axle() {
    let setup = demo::setup();
    close(degrees(setup.geometry.ring_pitch_angle), 70.898, 0.0005);
    close(setup.rates.per_ring_move, 0.976, 0.0005);
    close(setup.rates.per_depth, 0.319, 0.0005);
}

#[test]
fn identities_of_shafts_at_right_angles() {
    let mut dice = Address::new(3, 0).stream(Purpose::Parts);
    let mut between = |low: f64, high: f64| low + (high - low) * dice.uniform();
    let mut solved = 0;
    for _ in 0..2000 {
        let d = between(120.0, 400.0);
        let gears = Gears {
            pinion_teeth: between(7.0, 15.0) as u32,
            ring_teeth: between(33.0, 49.0) as u32,
            ring_diameter: d,
            face_width: d * between(0.12, 0.18),
            offset: d * between(0.05, 0.20),
            pinion_spiral: between(35.0, 52.0),
            cutter_radius: d * between(0.35, 0.55),
            pressure_angle: between(18.0, 23.0),
            ..demo::axle().gears
        };
        let Ok(g) = Geometry::solve(&gears) else {
            continue;
        };
        solved += 1;
        let (sin_pinion, cos_ring) = (g.pinion_pitch_angle.sin(), g.ring_pitch_angle.cos());
        close(sin_pinion, cos_ring * g.offset_angle_axial.cos(), 1e-9);
        close(
            g.offset_angle.cos(),
            g.pinion_pitch_angle.tan() * g.ring_pitch_angle.tan(),
            1e-9,
        );
        close(
            g.pinion_spiral_angle - g.ring_spiral_angle,
            g.offset_angle,
            1e-12,
        );
        let rates = g.rates();
        close(
            rates.per_depth / rates.per_ring_move,
            sin_pinion / g.ring_pitch_angle.sin(),
            1e-12,
        );
        // the pitch cones roll on each other at the same normal pitch
        let turns = g.ring_radius * g.ring_spiral_angle.cos()
            / (g.pinion_radius * g.pinion_spiral_angle.cos());
        close(turns, g.ratio, 1e-9 * g.ratio);
        close(degrees(g.pinion_spiral_angle), gears.pinion_spiral, 0.2);
    }
    assert!(solved > 1500, "only {solved} of 2000 sets were solved");
}

#[test]
fn depth_with_the_ring_following_leaves_backlash() {
    let g = Geometry::solve(&sample()).unwrap();
    let rates = g.rates();
    let moved = 0.1;
    let follows = -moved * g.pinion_pitch_angle.sin() / g.ring_pitch_angle.sin();
    close(
        rates.per_depth * moved + rates.per_ring_move * follows,
        0.0,
        1e-15,
    );
}

#[test]
fn an_indicator_square_to_the_tooth_reads_less() {
    let g = Geometry::solve(&sample()).unwrap();
    let factor = g.indicator_factor(Indicator::SquareToTooth).unwrap();
    // cos 20°·cos 47.676°
    close(factor, 0.93969 * 0.67337, 0.0001);
    assert_eq!(g.indicator_factor(Indicator::PlaneOfRotation), Ok(1.0));
}

#[test]
fn figures_that_make_no_gear_set() {
    let with = |change: fn(&mut Gears)| {
        let mut gears = sample();
        change(&mut gears);
        Geometry::solve(&gears).map(|g| g.ratio)
    };
    assert_eq!(with(|g| g.offset = 90.0), Err(NoGeometry::OffsetTooLarge));
    assert_eq!(with(|g| g.face_width = 400.0), Err(NoGeometry::FaceTooWide));
    assert_eq!(
        with(|g| g.cutter_radius = 2.0),
        Err(NoGeometry::CutterRadius)
    );
    let mut far = sample();
    far.offset = 0.0;
    far.cutter_radius = 8.0;
    let g = Geometry::solve(&far).unwrap();
    assert_eq!(
        g.indicator_factor(Indicator::SquareToTooth),
        Err(NoGeometry::OuterSpiral)
    );
}
