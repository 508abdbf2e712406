//! What axles have, from light passenger cars to heavy trucks. Every part is taken apart by name, so
//! that a figure added to it can't be forgotten here.

use shimcast_sim::axle::tolerance::Tolerance;
use shimcast_sim::axle::{
    AsBuilt, Axle, Bearing, Bearings, Carrier, Gears, Housing, Mark, Pattern, PinionPreload,
    PinionShim, PreloadBy, SideShims, Windows,
};

use super::row::{As, LOWER, Row, Rows, SPREAD_SHARE, UPPER};

/// Ring diameter of the axle that pattern figures are held against, mm: a larger one feels a
/// millimetre less.
const COMMON_DIAMETER: f64 = 215.0;

/// The rows of an axle, in the order of its file.
pub(super) fn rows(axle: &Axle) -> Vec<Row> {
    let Axle {
        name: _,
        gears: of_gears,
        housing: of_housing,
        carrier: of_carrier,
        bearings: of_bearings,
        pinion_shim,
        side_shims,
        pinion_preload,
        side_torque_per_force,
        as_built: of_the_old,
        windows: of_windows,
    } = axle;
    let d = of_gears.ring_diameter;
    let mut rows = Rows::default();
    gears(&mut rows, of_gears);
    housing(&mut rows, of_housing, d);
    carrier(&mut rows, of_carrier, d);
    bearings(&mut rows, of_bearings, d);
    shims(&mut rows, pinion_shim, side_shims);
    preload(&mut rows, pinion_preload, d);
    per_force(
        &mut rows,
        "side_preload.torque_per_force",
        side_torque_per_force,
    );
    as_built(&mut rows, of_the_old);
    windows(&mut rows, of_windows);
    rows.0
}

fn gears(rows: &mut Rows, gears: &Gears) {
    let Gears {
        pinion_teeth,
        ring_teeth,
        ring_diameter: d,
        face_width,
        offset,
        pinion_spiral,
        cutter_radius,
        pressure_angle,
        mounting_distance,
        ring_distance,
        depth_deviation,
        ring_deviation,
        tooth_runout,
        mark: of_mark,
        pattern: of_pattern,
    } = gears;
    let d = *d;
    let of_ring = |low: f64, high: f64| low * d..=high * d;
    // a diameter that is itself impossible makes no other figure so
    let diameter = 30.0..=2000.0;
    let possible_of_ring = |high: f64| match diameter.contains(&d) {
        true => 0.0..=high * d,
        false => 0.0..=f64::INFINITY,
    };
    let [pinion, ring] = [pinion_teeth, ring_teeth].map(|teeth| f64::from(*teeth));
    rows.plain("gears.pinion_teeth", pinion, 5.0..=30.0);
    rows.plain("gears.ring_teeth", ring, 20.0..=90.0)
        .possible(10.0..=400.0);
    let ratio = (1000.0 * ring / pinion).round() / 1000.0;
    rows.plain("gears.ring_teeth", ratio, 1.5..=9.0)
        .part(" over gears.pinion_teeth")
        .remedy("are ring_teeth and pinion_teeth swapped?")
        .possible(1.0..=20.0);
    rows.length("gears.ring_diameter", d, 80.0..=600.0)
        .possible(diameter.clone());
    rows.length("gears.face_width", *face_width, of_ring(0.08, 0.30))
        .possible(possible_of_ring(0.5));
    rows.length("gears.offset", *offset, of_ring(0.03, 0.30))
        .or_none()
        .possible(possible_of_ring(0.5));
    rows.with_unit("gears.pinion_spiral", *pinion_spiral, 15.0..=60.0, "°")
        .or_none();
    rows.length("gears.cutter_radius", *cutter_radius, of_ring(0.2, 1.0));
    rows.with_unit("gears.pressure_angle", *pressure_angle, 14.0..=26.0, "°");
    rows.length(
        "gears.mounting_distance",
        *mounting_distance,
        of_ring(0.2, 1.0),
    )
    .possible(possible_of_ring(5.0));
    rows.length("gears.ring_distance", *ring_distance, of_ring(0.08, 0.45))
        .possible(possible_of_ring(5.0));
    rows.spread(
        "gears.depth_deviation",
        depth_deviation,
        0.02..=0.6,
        As::Length,
    );
    rows.spread(
        "gears.ring_deviation",
        ring_deviation,
        0.02..=0.6,
        As::Length,
    );
    rows.spread("gears.tooth_runout", tooth_runout, 0.008..=0.3, As::Length);
    mark(rows, of_mark);
    pattern(rows, of_pattern, d);
}

fn mark(rows: &mut Rows, mark: &Mark) {
    let Mark {
        step,
        error,
        plus: _,
    } = mark;
    rows.length("gears.mark.step", *step, 0.002..=0.06)
        .or_none();
    rows.spread("gears.mark.error", error, 0.005..=0.2, As::Length);
}

/// How far a pattern moves, whichever way, for depth, ring position, offset and shaft angle.
fn pattern(rows: &mut Rows, pattern: &Pattern, d: f64) {
    let Pattern {
        drive_length,
        drive_profile,
        coast_length,
        coast_profile,
        scatter_length,
        scatter_profile,
    } = pattern;
    let size = d / COMMON_DIAMETER;
    let along = ([0.12, 0.02, 0.2], [2.0, 3.0, 4.0]);
    let up = ([0.3, 0.02, 0.2], [5.0, 2.0, 6.0]);
    for (key, row, (low, high)) in [
        ("gears.pattern.drive_length", drive_length, along),
        ("gears.pattern.drive_profile", drive_profile, up),
        ("gears.pattern.coast_length", coast_length, along),
        ("gears.pattern.coast_profile", coast_profile, up),
    ] {
        let parts = [", for depth", ", for the ring gear", ", for the offset"]
            .into_iter()
            .zip(row);
        for ((part, figure), (low, high)) in parts.zip(low.into_iter().zip(high)) {
            rows.per_length(key, figure.abs(), low / size..=high / size)
                .part(part)
                .or_none();
        }
        rows.with_unit(key, row[3].abs(), 0.0008..=0.12, "per arc-minute")
            .part(", for the shaft angle")
            .or_none();
    }
    rows.plain(
        "gears.pattern.scatter.length",
        *scatter_length,
        0.004..=0.15,
    )
    .or_none();
    rows.plain(
        "gears.pattern.scatter.profile",
        *scatter_profile,
        0.004..=0.15,
    )
    .or_none();
}

fn housing(rows: &mut Rows, housing: &Housing, d: f64) {
    let Housing {
        head_seat,
        ring_seat,
        far_seat,
        offset,
        shaft_angle,
        stiffness,
        ring_share,
    } = housing;
    rows.distance(
        "housing.head_seat",
        head_seat,
        0.25 * d..=1.4 * d,
        0.008..=0.4,
    );
    rows.distance("housing.ring_seat", ring_seat, 0.2 * d..=d, 0.01..=0.5);
    rows.distance("housing.far_seat", far_seat, 0.2 * d..=d, 0.01..=0.5);
    rows.spread("housing.offset", offset, 0.004..=0.18, As::Length);
    let minutes = As::Plain(" arc-minutes".into());
    rows.spread("housing.shaft_angle", shaft_angle, 0.2..=10.0, minutes);
    rows.with_unit("housing.stiffness", *stiffness, 8.0..=300.0, "N/µm");
    rows.plain("housing.ring_share", *ring_share, 0.1..=0.9);
}

fn carrier(rows: &mut Rows, carrier: &Carrier, d: f64) {
    let Carrier {
        shoulders,
        shoulder_ring,
        face_runout,
    } = carrier;
    rows.distance(
        "carrier.shoulders",
        shoulders,
        0.25 * d..=1.5 * d,
        0.008..=0.3,
    );
    let ring = 0.03 * d..=0.6 * d;
    rows.distance("carrier.shoulder_ring", shoulder_ring, ring, 0.006..=0.3);
    rows.spread("carrier.face_runout", face_runout, 0.005..=0.25, As::Length);
}

fn bearings(rows: &mut Rows, bearings: &Bearings, d: f64) {
    let Bearings {
        used_friction,
        head,
        tail,
        side,
    } = bearings;
    rows.plain("bearings.used_friction", *used_friction, 0.15..=1.2);
    for (height_key, deflection_key, bearing) in [
        ("bearings.head.height", "bearings.head.deflection", head),
        ("bearings.tail.height", "bearings.tail.deflection", tail),
        ("bearings.side.height", "bearings.side.deflection", side),
    ] {
        let Bearing { height, deflection } = bearing;
        rows.distance(height_key, height, 0.04 * d..=0.35 * d, 0.012..=0.5);
        rows.with_unit(deflection_key, *deflection, 1.5e-6..=3e-5, "mm/N^0.9")
            .or_none();
    }
}

fn shims(rows: &mut Rows, pinion: &PinionShim, sides: &SideShims) {
    let PinionShim {
        seat: _,
        stock: _,
        usual,
    } = pinion;
    rows.length("pinion_shim.usual", *usual, 0.1..=6.0)
        .possible(0.0..=30.0);
    let SideShims {
        seat: _,
        stock,
        usual: [ring, far],
    } = sides;
    // how far an adjuster is screwed in is counted from anywhere
    if stock.is_some() {
        for (usual, part) in [(ring, ", ring-gear side"), (far, ", far side")] {
            rows.length("side_shims.usual", *usual, 0.25..=12.0)
                .part(part)
                .possible(0.0..=50.0);
        }
    }
}

fn preload(rows: &mut Rows, preload: &PinionPreload, d: f64) {
    let PinionPreload {
        by,
        path_stiffness,
        torque_per_force,
        seal_drag,
    } = preload;
    match by {
        PreloadBy::Sleeve { thread_pitch } => {
            rows.length("pinion_preload.thread_pitch", *thread_pitch, 0.5..=4.0)
                .possible(0.1..=12.0);
        }
        PreloadBy::Spacer {
            stock: _,
            usual,
            gap,
            spacer,
            as_built,
        } => {
            rows.length("pinion_preload.usual", *usual, 0.05..=6.0);
            let length = 0.05 * d..=1.2 * d;
            rows.distance("pinion_preload.gap", gap, length.clone(), 0.008..=0.3);
            rows.distance("pinion_preload.spacer", spacer, length, 0.004..=0.2);
            rows.spread("as_built.closure", as_built, 0.006..=0.3, As::Length);
        }
    }
    rows.with_unit(
        "pinion_preload.path_stiffness",
        *path_stiffness,
        40.0..=1500.0,
        "N/µm",
    );
    per_force(rows, "pinion_preload.torque_per_force", torque_per_force);
    rows.torque(
        "pinion_preload.seal_drag.nominal",
        seal_drag.middle(),
        0.03..=1.5,
    )
    .or_none();
    rows.spread(
        "pinion_preload.seal_drag",
        seal_drag,
        0.02..=1.0,
        As::Torque,
    );
}

fn per_force(rows: &mut Rows, key: &'static str, friction: &Tolerance) {
    let middle = friction.middle();
    rows.with_unit(format!("{key}.nominal"), middle, 0.04..=1.5, "N·m per kN");
    let share = friction.worst() / middle;
    rows.plain(key, share, 0.06..=1.5)
        .part(SPREAD_SHARE)
        .or_none();
}

fn as_built(rows: &mut Rows, old: &AsBuilt) {
    let AsBuilt { depth, backlash } = old;
    rows.spread("as_built.depth", depth, 0.008..=0.4, As::Length);
    rows.spread("as_built.backlash", backlash, 0.006..=0.3, As::Length);
}

fn windows(rows: &mut Rows, windows: &Windows) {
    let Windows {
        backlash,
        indicator: _,
        backlash_variation,
        depth,
        pattern_length,
        pattern_profile,
        pinion_torque,
        pinion_torque_used,
        side_closure,
    } = windows;
    rows.length("windows.backlash", backlash.low, 0.03..=0.5)
        .part(LOWER)
        .possible(0.0..=1.0);
    rows.length("windows.backlash", backlash.high, 0.08..=0.8)
        .part(UPPER)
        .possible(0.005..=1.5);
    rows.length(
        "windows.backlash_variation",
        *backlash_variation,
        0.02..=0.25,
    )
    .possible(0.0..=2.5);
    rows.length("windows.depth", *depth, 0.01..=0.3)
        .possible(0.0..=2.0);
    rows.plain("windows.pattern.length", *pattern_length, 0.05..=0.6);
    rows.plain("windows.pattern.profile", *pattern_profile, 0.03..=0.5);
    rows.torque("windows.pinion_torque", pinion_torque.low, 0.2..=6.0)
        .part(LOWER)
        .or_none();
    rows.torque("windows.pinion_torque", pinion_torque.high, 0.5..=9.0)
        .part(UPPER)
        .possible(0.02..=60.0);
    rows.torque(
        "windows.pinion_torque_used",
        pinion_torque_used.low,
        0.1..=4.0,
    )
    .part(LOWER)
    .or_none();
    rows.torque(
        "windows.pinion_torque_used",
        pinion_torque_used.high,
        0.25..=6.0,
    )
    .part(UPPER)
    .possible(0.01..=60.0);
    // a window may begin at zero, or short of it
    rows.length(
        "windows.side_closure",
        side_closure.low.max(0.0),
        0.02..=0.5,
    )
    .part(LOWER)
    .or_none();
    rows.length("windows.side_closure", side_closure.high, 0.04..=0.8)
        .part(UPPER)
        .possible(-2.0..=4.0);
}
