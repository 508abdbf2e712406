//! Jobs made at random: every seat, start and habit, both preloads, spreads and windows wide and narrow.

use proptest::prelude::*;
use proptest::sample::select;

use crate::axle::shims::{StripClass, Thickness};
use crate::axle::tolerance::Tolerance;
use crate::axle::{Axle, Condition, Indicator, PinionSeat, PreloadBy, SideSeat, Windows};
use crate::bench::setup::Setup;
use crate::demo;
use crate::shop::{Correction, Habits, Instruments, PinionStart, Shop, SideCheck, SideStart};
use crate::units::Window;

/// An axle in a shop, and what of it is new.
#[derive(Debug, Clone)]
pub(crate) struct Job {
    pub(crate) axle: Axle,
    pub(crate) shop: Shop,
    pub(crate) gears: Condition,
    pub(crate) bearings: Condition,
}

impl Job {
    /// The same job with something else about it.
    pub(crate) fn with(&self, change: impl FnOnce(&mut Axle, &mut Shop)) -> Setup {
        let (mut axle, mut shop) = (self.axle.clone(), self.shop.clone());
        change(&mut axle, &mut shop);
        Setup::new(axle, shop, self.gears, self.bearings).expect("no flaw")
    }

    pub(crate) fn setup(&self) -> Setup {
        self.with(|_, _| ())
    }
}

/// Jobs that can be simulated.
pub(crate) fn jobs() -> impl Strategy<Value = Job> {
    let condition = || select(vec![Condition::New, Condition::Kept]);
    let all = (axles(), shops(), condition(), condition());
    all.prop_filter_map("a flaw", |(axle, shop, gears, bearings)| {
        let job = Job {
            axle,
            shop,
            gears,
            bearings,
        };
        let made = Setup::new(job.axle.clone(), job.shop.clone(), gears, bearings);
        made.is_ok().then_some(job)
    })
}

/// How a spread of the demo is drawn here, and how many times as wide it is.
type Spread = (u8, f64);

fn spread_anew(of: &mut Tolerance, (shape, times): Spread) {
    let (middle, half) = (of.middle(), times * of.worst());
    let anew = match shape {
        0 => Tolerance::normal_between(middle - half, middle + half, 1.0),
        1 => Tolerance::uniform(middle - half, middle + half),
        2 => Tolerance::triangular(middle - half, middle + half),
        3 => Ok(Tolerance::exact(middle)),
        4 => Tolerance::measured(vec![middle - half, middle, middle + 0.5 * half]),
        _ => Tolerance::normal(middle, half)
            .and_then(|wide| wide.inspected(middle - half, middle + half)),
    };
    *of = anew.expect("limits in order");
}

/// A window whose ends are whole parts of 1024, so that it can be widened about the very same middle.
fn windows_of(middle: [f64; 2], half: [f64; 2]) -> impl Strategy<Value = Window> {
    let parts = |[from, to]: [f64; 2]| {
        let [from, to] = [from, to].map(|figure| (figure * 1024.0) as i32);
        (from..=to).prop_map(|parts| f64::from(parts) / 1024.0)
    };
    (parts(middle), parts(half))
        .prop_map(|(middle, half)| Window::new(middle - half, middle + half))
}

fn axle_windows() -> impl Strategy<Value = Windows> {
    (
        windows_of([0.12, 0.2], [0.015, 0.09]),
        select(vec![Indicator::PlaneOfRotation, Indicator::SquareToTooth]),
        (0.03..0.15, 0.02..0.1, 0.1..0.4, 0.06..0.3),
        windows_of([1.6, 2.8], [0.2, 0.8]),
        windows_of([0.9, 1.4], [0.1, 0.4]),
        windows_of([0.13, 0.25], [0.02, 0.1]),
    )
        .prop_map(
            |(backlash, indicator, limits, torque, used, side_closure)| Windows {
                backlash,
                indicator,
                backlash_variation: limits.0,
                depth: limits.1,
                pattern_length: limits.2,
                pattern_profile: limits.3,
                pinion_torque: torque,
                pinion_torque_used: used,
                side_closure,
            },
        )
}

fn axles() -> impl Strategy<Value = Axle> {
    let gears = select(vec![
        (11, 41, 34.0, 48.0),
        (10, 41, 25.0, 45.0),
        (13, 37, 0.0, 35.0),
    ]);
    let seats = (
        select(vec![
            PinionSeat::UnderHeadBearing,
            PinionSeat::BehindHeadCup,
            PinionSeat::CartridgeFlange,
        ]),
        select(vec![
            SideSeat::Outboard,
            SideSeat::BehindSideBearings,
            SideSeat::ScrewAdjusters,
        ]),
        any::<bool>(),
    );
    let spreads = prop::array::uniform14((0..6_u8, 0.1..3.0));
    let runouts = prop::array::uniform4(0.0..0.06);
    (gears, seats, spreads, runouts, axle_windows()).prop_map(
        |(gears, (pinion, side, spacer), spreads, runouts, windows)| {
            let mut axle = demo::axle();
            (axle.gears.pinion_teeth, axle.gears.ring_teeth) = (gears.0, gears.1);
            (axle.gears.offset, axle.gears.pinion_spiral) = (gears.2, gears.3);
            axle.windows = windows;
            axle.pinion_shim.seat = pinion;
            axle.side_shims.seat = side;
            if side == SideSeat::ScrewAdjusters {
                axle.side_shims.stock = None;
            }
            spread_all(&mut axle, spreads);
            let half_normal = |sigma| Tolerance::half_normal(0.0, sigma).expect("not below zero");
            axle.gears.tooth_runout = half_normal(runouts[0]);
            axle.carrier.face_runout = half_normal(runouts[1]);
            axle.gears.pattern.scatter_length = runouts[2];
            axle.gears.pattern.scatter_profile = runouts[3];
            if spacer {
                put_spacer(&mut axle);
            }
            axle
        },
    )
}

fn spread_all(axle: &mut Axle, spreads: [Spread; 14]) {
    let (gears, housing) = (&mut axle.gears, &mut axle.housing);
    let (carrier, bearings) = (&mut axle.carrier, &mut axle.bearings);
    let all = [
        &mut gears.depth_deviation,
        &mut gears.ring_deviation,
        &mut gears.mark.error,
        &mut housing.head_seat,
        &mut housing.ring_seat,
        &mut housing.far_seat,
        &mut housing.offset,
        &mut housing.shaft_angle,
        &mut carrier.shoulders,
        &mut carrier.shoulder_ring,
        &mut bearings.head.height,
        &mut bearings.side.height,
        &mut axle.as_built.depth,
        &mut axle.as_built.backlash,
    ];
    for (of, spread) in all.into_iter().zip(spreads) {
        spread_anew(of, spread);
    }
}

fn put_spacer(axle: &mut Axle) {
    let wanted = axle.pinion_closure_wanted();
    let normal = |middle, sigma| Tolerance::normal(middle, sigma).expect("not below zero");
    axle.pinion_preload.by = PreloadBy::Spacer {
        stock: "P-38".into(),
        usual: 1.0,
        gap: normal(60.0, 0.017),
        spacer: normal(59.0 - wanted, 0.008),
        as_built: normal(0.0, 0.015),
    };
}

fn shops() -> impl Strategy<Value = Shop> {
    let series = (
        any::<[bool; 2]>(),
        select(vec![
            Thickness::Strip(StripClass::Normal),
            Thickness::HalfStrip(StripClass::Precision),
            Thickness::Limit(0.0),
        ]),
        0.0..0.5,
    );
    (habits(), instruments(), series).prop_map(|(bench, instruments, series)| {
        let mut shop = demo::shop();
        (shop.bench, shop.instruments) = (bench, instruments);
        let few: [&[f64]; 2] = [&[0.1, 0.25, 0.5, 1.0], &[0.1, 0.3, 0.5, 1.0, 2.0]];
        for (at, of) in shop.shims.iter_mut().enumerate() {
            if series.0[at] {
                of.sizes = few[at].to_vec();
            }
            (of.tolerance, of.spoiled) = (series.1, series.2);
        }
        shop
    })
}

fn habits() -> impl Strategy<Value = Habits> {
    let starts = (
        select(vec![
            PinionStart::OldPack,
            PinionStart::Gauge,
            PinionStart::Usual,
        ]),
        select(vec![
            SideStart::OldPacks,
            SideStart::Usual,
            SideStart::ZeroLash,
        ]),
        any::<[bool; 3]>(),
    );
    let checks = (
        select(vec![Correction::Measured, Correction::Halving]),
        select(vec![SideCheck::ShimRule, SideCheck::TorqueRise]),
        1..6_u32,
        2..9_u32,
        1..14_u32,
    );
    let figures = (
        (0.5..1.3, 0.8..2.0, 0.05..0.2, 0.01..0.06),
        (0.1..0.25, prop_oneof![Just(0.0), 0.0..0.4], 0.0..0.3),
        (0.05..0.9, 1.0..8.0, 0.01..0.05),
    );
    (starts, checks, figures).prop_map(|(starts, checks, (moves, aims, nut))| Habits {
        pinion_start: starts.0,
        side_start: starts.1,
        learns: starts.2[0],
        measures_heights: starts.2[1],
        setup_bearings: starts.2[2],
        correction: checks.0,
        side_check: checks.1,
        torque_readings: checks.2,
        backlash_points: checks.3,
        most_assemblies: checks.4,
        ring_belief: moves.0,
        depth_belief: moves.1,
        first_move: moves.2,
        smallest_move: moves.3,
        side_preload_added: aims.0,
        guard: aims.1,
        mark_slip: aims.2,
        sleeve_aim: nut.0,
        sleeve_step: nut.1,
        notch: nut.2,
        cone_spoiled: 0.1,
    })
}

fn instruments() -> impl Strategy<Value = Instruments> {
    let steps = |some: f64| select(vec![0.0, some, 2.0 * some]);
    (
        (0.0..0.02, steps(0.01), 0.0..0.03, steps(0.01)),
        (0.0..0.04, 0.0..0.02, 0.0..0.15, steps(0.1)),
        (
            0.0..0.1,
            steps(0.05),
            prop::option::of(0.0..0.01),
            0.0..0.03,
        ),
        any::<bool>(),
    )
        .prop_map(|(gauges, others, pattern, square)| {
            let mut of = demo::shop().instruments;
            (of.dial.sigma, of.dial.step) = (gauges.0, gauges.1);
            (of.depth_gauge.sigma, of.depth_gauge.step) = (gauges.2, gauges.3);
            (of.end_play, of.height) = (others.0, others.1);
            (of.torque.sigma, of.torque.step) = (others.2, others.3);
            (of.pattern.profile, of.pattern.step) = (pattern.0, pattern.1);
            (of.micrometer, of.setup_bearing) = (pattern.2, pattern.3);
            if square {
                of.dial.indicator = Indicator::SquareToTooth;
            }
            of
        })
}
