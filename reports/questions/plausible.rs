//! Which figures are far outside what is plausible: typing slips, mixed-up units.

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::shop::Prices;
use shimcast_sim::units::Window;

use crate::figures::{Printed, plain};

/// How a doubtful figure is shown.
#[derive(Clone, Copy)]
enum As {
    Length,
    Torque,
    Money,
    Plain(&'static str),
}

/// Hours of labour that a bearing cone costs at the least, where it costs anything, and at the most.
const HOURS_FOR_A_CONE: Window = Window::new(0.02, 5.0);
/// The same of a job given up.
const HOURS_FOR_A_JOB_GIVEN_UP: Window = Window::new(0.1, 30.0);

/// A word on each figure that is far outside what is plausible.
pub fn doubts(setup: &Setup, print: Printed) -> Vec<String> {
    let (axle, bench) = (&setup.axle, &setup.shop.bench);
    let gears = &axle.gears;
    let d = gears.ring_diameter;
    let windows = &axle.windows;
    let instruments = &setup.shop.instruments;
    let w = Window::new;
    let figures = [
        ("gears.ring_diameter", d, w(80.0, 600.0), As::Length),
        (
            "the gear ratio",
            setup.geometry.ratio,
            w(1.5, 9.0),
            As::Plain(""),
        ),
        (
            "gears.face_width",
            gears.face_width,
            w(0.08 * d, 0.30 * d),
            As::Length,
        ),
        ("gears.offset", gears.offset, w(0.0, 0.30 * d), As::Length),
        (
            "gears.pinion_spiral",
            gears.pinion_spiral,
            w(0.0, 60.0),
            As::Plain("°"),
        ),
        (
            "gears.cutter_radius",
            gears.cutter_radius,
            w(0.2 * d, 1.0 * d),
            As::Length,
        ),
        (
            "gears.pressure_angle",
            gears.pressure_angle,
            w(14.0, 26.0),
            As::Plain("°"),
        ),
        ("gears.mark.step", gears.mark.step, w(0.0, 0.06), As::Length),
        (
            "windows.backlash, its lower end",
            windows.backlash.low,
            w(0.03, 0.5),
            As::Length,
        ),
        (
            "windows.backlash, its upper end",
            windows.backlash.high,
            w(0.08, 0.8),
            As::Length,
        ),
        (
            "windows.backlash_variation",
            windows.backlash_variation,
            w(0.02, 0.25),
            As::Length,
        ),
        (
            "windows.pinion_torque, its upper end",
            windows.pinion_torque.high,
            w(0.5, 8.0),
            As::Torque,
        ),
        (
            "windows.side_closure, its upper end",
            windows.side_closure.high,
            w(0.03, 0.8),
            As::Length,
        ),
        (
            "housing.stiffness",
            axle.housing.stiffness,
            w(5.0, 500.0),
            As::Plain(" N/µm"),
        ),
        (
            "pinion_preload.path_stiffness",
            axle.pinion_preload.path_stiffness,
            w(20.0, 2000.0),
            As::Plain(" N/µm"),
        ),
        (
            "pinion_preload.torque_per_force",
            axle.pinion_preload.torque_per_force.middle(),
            w(0.03, 1.5),
            As::Plain(" N·m per kN"),
        ),
        (
            "pinion_preload.seal_drag",
            axle.pinion_preload.seal_drag.middle(),
            w(0.0, 1.2),
            As::Torque,
        ),
        (
            "pinion_shim.usual",
            axle.pinion_shim.usual,
            w(0.1, 6.0),
            As::Length,
        ),
        (
            "bench.ring_belief",
            bench.ring_belief,
            w(0.4, 1.5),
            As::Plain(""),
        ),
        (
            "bench.depth_belief",
            bench.depth_belief,
            w(0.3, 6.0),
            As::Plain(" a mm"),
        ),
        (
            "bench.smallest_move",
            bench.smallest_move,
            w(0.005, 0.15),
            As::Length,
        ),
        (
            "bench.side_preload_added",
            bench.side_preload_added,
            w(0.0, 0.6),
            As::Length,
        ),
        ("bench.notch", bench.notch, w(0.005, 0.2), As::Length),
        ("bench.guard", bench.guard, w(0.0, 0.3), As::Plain("")),
        (
            "bench.cone_spoiled",
            bench.cone_spoiled,
            w(0.0, 0.5),
            As::Plain(""),
        ),
        (
            "instruments.dial, its sigma",
            instruments.dial.sigma,
            w(0.0, 0.05),
            As::Length,
        ),
        (
            "instruments.end_play",
            instruments.end_play,
            w(0.0, 0.1),
            As::Length,
        ),
        (
            "instruments.torque, its sigma",
            instruments.torque.sigma,
            w(0.0, 0.6),
            As::Torque,
        ),
    ];
    let prices = &setup.shop.prices;
    let mut doubts: Vec<String> = figures
        .into_iter()
        .chain(priced(prices))
        .filter(|(_, figure, window, _)| !window.holds(*figure))
        .map(|(name, figure, window, shown)| {
            let show = |x: f64| match shown {
                As::Length => print.length(x),
                As::Torque => print.torque(x),
                As::Money => format!("{} {}", plain(x), setup.shop.currency),
                As::Plain(unit) => format!("{x:.2}{unit}"),
            };
            format!(
                "{name} is {}; {} to {} is usual. Wrong unit or misplaced decimal point?",
                show(figure),
                show(window.low),
                show(window.high)
            )
        })
        .collect();
    if prices.hour_cost > prices.hour {
        doubts.push(format!(
            "an hour costs the shop more than it charges: prices.hour_cost is {}, prices.hour {} {}.",
            plain(prices.hour_cost),
            plain(prices.hour),
            setup.shop.currency
        ));
    }
    doubts
}

/// Prices that can be held against that of an hour, whatever the currency; nothing where an hour
/// or the thing itself costs nothing.
fn priced(prices: &Prices) -> impl Iterator<Item = (&'static str, f64, Window, As)> {
    let hour = prices.hour;
    [
        ("prices.cone", prices.cone, HOURS_FOR_A_CONE),
        ("prices.given_up", prices.given_up, HOURS_FOR_A_JOB_GIVEN_UP),
    ]
    .into_iter()
    .filter(move |(_, price, _)| hour > 0.0 && *price > 0.0)
    .map(move |(name, price, hours)| {
        let usual = Window::new(hours.low * hour, hours.high * hour);
        (name, price, usual, As::Money)
    })
}
