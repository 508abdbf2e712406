//! The demo in code: a made-up axle and shop with figures of the usual size.
//!
//! They are those of the program's built-in files.

use crate::axle::shims::{Series, StripClass, Thickness};
use crate::axle::tolerance::Tolerance;
use crate::axle::*;
use crate::bench::setup::Setup;
use crate::shop::*;
use crate::units::Window;

/// Limits nominal ± tol, mm or arc-minutes.
pub(crate) fn about(nominal: f64, tol: f64) -> Tolerance {
    Tolerance::normal_between(nominal - tol, nominal + tol, 1.0).expect(IN_ORDER)
}

/// Why none of the tolerances here can be refused.
const IN_ORDER: &str = "limits are in order and spreads are above zero";

fn bearing(nominal: f64, deflection: f64) -> Bearing {
    Bearing {
        height: Tolerance::normal_between(nominal, nominal + 0.20, 1.33)
            .expect(IN_ORDER)
            .with_lot_share(0.9)
            .expect(IN_ORDER),
        deflection,
    }
}

/// The axle Rowan 215.
pub fn axle() -> Axle {
    Axle {
        name: "Rowan 215".into(),
        gears: Gears {
            pinion_teeth: 11,
            ring_teeth: 41,
            ring_diameter: 215.0,
            face_width: 34.0,
            offset: 34.0,
            pinion_spiral: 48.0,
            cutter_radius: 95.25,
            pressure_angle: 21.0,
            mounting_distance: 92.0,
            ring_distance: 42.0,
            depth_deviation: Tolerance::normal_between(-0.10, 0.10, 0.85)
                .expect(IN_ORDER)
                .inspected(-0.10, 0.10)
                .expect(IN_ORDER),
            ring_deviation: about(0.0, 0.09),
            tooth_runout: Tolerance::half_normal(0.0, 0.022).expect(IN_ORDER),
            mark: Mark {
                step: 0.01,
                error: Tolerance::normal(0.0, 0.010).expect(IN_ORDER),
                plus: MarkSign::Farther,
            },
            pattern: Pattern {
                drive_length: [0.50, 0.80, -0.90, 0.004],
                drive_profile: [1.30, 0.08, 1.00, 0.030],
                coast_length: [-0.60, -0.20, 0.80, -0.023],
                coast_profile: [1.60, 0.20, 1.80, 0.015],
                scatter_length: 0.03,
                scatter_profile: 0.02,
            },
        },
        housing: Housing {
            head_seat: about(121.0, 0.06),
            ring_seat: about(96.01, 0.08),
            far_seat: about(88.11, 0.08),
            offset: about(0.0, 0.03),
            shaft_angle: about(0.0, 1.5),
            stiffness: 45.0,
            ring_share: 0.5,
        },
        carrier: Carrier {
            shoulders: about(140.0, 0.05),
            shoulder_ring: about(32.0, 0.04),
            face_runout: Tolerance::half_normal(0.0, 0.015).expect(IN_ORDER),
        },
        bearings: Bearings {
            used_friction: 0.5,
            head: bearing(28.0, 5.4e-6),
            tail: bearing(22.0, 7.5e-6),
            side: bearing(20.0, 7.5e-6),
        },
        pinion_shim: PinionShim {
            seat: PinionSeat::UnderHeadBearing,
            stock: "P-38".into(),
            usual: 0.90,
        },
        side_shims: SideShims {
            seat: SideSeat::Outboard,
            stock: Some("S-80".into()),
            usual: [2.00, 2.10],
        },
        pinion_preload: PinionPreload {
            by: PreloadBy::Sleeve { thread_pitch: 1.5 },
            path_stiffness: 200.0,
            torque_per_force: Tolerance::normal_cv(0.28, 0.12).expect(IN_ORDER),
            seal_drag: about(0.25, 0.15),
        },
        side_torque_per_force: Tolerance::normal_cv(0.30, 0.12).expect(IN_ORDER),
        as_built: AsBuilt {
            depth: Tolerance::normal(0.0, 0.020).expect(IN_ORDER),
            backlash: Tolerance::normal(0.0, 0.015).expect(IN_ORDER),
        },
        windows: Windows {
            backlash: Window::new(0.13, 0.20),
            indicator: Indicator::PlaneOfRotation,
            backlash_variation: 0.07,
            depth: 0.05,
            pattern_length: 0.20,
            pattern_profile: 0.12,
            pinion_torque: Window::new(1.70, 2.80),
            pinion_torque_used: Window::new(0.80, 1.40),
            side_closure: Window::new(0.12, 0.24),
        },
    }
}

fn span(least: f64, usual: f64, most: f64) -> Span {
    Span { least, usual, most }
}

/// A series whose shims are sold in packs of `pack_of` at a `price` each.
fn series(
    name: &str,
    sizes: &[f64],
    most_in_pack: u32,
    spoiled: f64,
    (pack_of, price): (u32, f64),
) -> Series {
    Series {
        name: name.into(),
        sizes: sizes.to_vec(),
        unit: 1.0,
        price,
        pack_of,
        tolerance: Thickness::Strip(StripClass::Fine),
        most_in_pack,
        spoiled,
    }
}

/// The shop North Bench, with the shims that Rowan 215 needs.
pub fn shop() -> Shop {
    Shop {
        name: "North Bench".into(),
        currency: "EUR".into(),
        bench: habits(),
        instruments: instruments(),
        minutes: minutes(),
        prices: Prices {
            hour: 92.0,
            hour_cost: 92.0,
            sleeve: 9.0,
            cone: 38.0,
            comeback: 420.0,
            comeback_share: 0.25,
            given_up: 250.0,
        },
        shims: vec![pinion_shims(), side_shims()],
        drawer: Drawer {
            order_every_days: 14.0,
            lead_time_days: 4.0,
            lead_time_spread: 0.0,
            job_fill: 0.95,
            near_enough: 0.01,
            keep_surplus: 0,
            holding_share: 0.22,
            wait_cost: 65.0,
            delivery_cost: 9.0,
        },
        jobs: Vec::new(),
    }
}

/// How North Bench works.
fn habits() -> Habits {
    Habits {
        pinion_start: PinionStart::OldPack,
        side_start: SideStart::OldPacks,
        ring_belief: 0.85,
        learns: true,
        depth_belief: 1.45,
        correction: Correction::Measured,
        first_move: 0.10,
        smallest_move: 0.03,
        side_check: SideCheck::ShimRule,
        torque_readings: 4,
        side_preload_added: 0.18,
        backlash_points: 4,
        most_assemblies: 12,
        guard: 0.0,
        mark_slip: 0.02,
        measures_heights: false,
        sleeve_aim: 0.25,
        sleeve_step: 4.0,
        notch: 0.02,
        setup_bearings: true,
        cone_spoiled: 0.10,
    }
}

/// What it measures with.
fn instruments() -> Instruments {
    Instruments {
        dial: Dial {
            sigma: 0.005,
            step: 0.01,
            indicator: Indicator::PlaneOfRotation,
        },
        depth_gauge: DepthGauge {
            sigma: 0.015,
            step: 0.01,
        },
        end_play: 0.020,
        height: 0.008,
        torque: TorqueReading {
            sigma: 0.08,
            share: 0.035,
            step: 0.1,
        },
        pattern: PatternReading {
            profile: 0.05,
            step: 0.05,
        },
        micrometer: Some(0.003),
        setup_bearing: 0.010,
        nut: NutTurn {
            sigma: 1.0,
            slip: 0.05,
            slip_by: 10.0,
        },
    }
}

/// What its work takes.
fn minutes() -> Minutes {
    Minutes {
        strip: span(80.0, 115.0, 190.0),
        first_assembly: span(45.0, 70.0, 110.0),
        read_backlash: span(5.0, 8.0, 15.0),
        read_pattern: span(6.0, 10.0, 20.0),
        side_change: [
            span(15.0, 20.0, 30.0),
            span(30.0, 40.0, 60.0),
            span(4.0, 8.0, 15.0),
        ],
        pinion_change: [
            span(50.0, 65.0, 90.0),
            span(45.0, 60.0, 80.0),
            span(15.0, 25.0, 40.0),
        ],
        setup_bearing_saves: 20.0,
        reseat_ring: span(30.0, 45.0, 80.0),
        sleeve: span(18.0, 25.0, 40.0),
        sleeve_again: span(30.0, 40.0, 75.0),
        spacer_change: span(20.0, 30.0, 45.0),
        final_assembly: span(60.0, 75.0, 110.0),
        refit: span(40.0, 50.0, 80.0),
        job_spread: 0.12,
    }
}

/// Its shims for pinion depth.
fn pinion_shims() -> Series {
    series(
        "P-38",
        &[
            0.08, 0.10, 0.12, 0.15, 0.20, 0.25, 0.30, 0.40, 0.50, 0.60, 0.70, 0.80, 0.90, 1.00,
            1.10,
        ],
        3,
        0.06,
        (1, 3.60),
    )
}

/// Its shims for either side of the carrier.
fn side_shims() -> Series {
    series(
        "S-80",
        &[
            0.10, 0.12, 0.15, 0.20, 0.25, 0.30, 0.40, 0.50, 0.70, 1.00, 1.50, 1.80, 2.00,
        ],
        4,
        0.05,
        (2, 4.80),
    )
}

/// The job Rowan 215 at North Bench, gears and bearings new.
///
/// # Example
/// ```
/// let setup = shimcast_sim::demo::setup();
/// // an offset pinion is larger than the ratio says: its rate is more than z1/z2 of the ring's
/// assert!(setup.rates.per_depth > 11.0 / 41.0 * setup.rates.per_ring_move);
/// ```
pub fn setup() -> Setup {
    Setup::new(axle(), shop(), Condition::New, Condition::New).expect("the demo has no flaw")
}
