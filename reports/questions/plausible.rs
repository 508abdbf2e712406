//! Which figures are far outside what is plausible: typing slips, mixed-up units.

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::units::Window;

use crate::figures::plain;
use crate::printed::Printed;

/// How a doubtful figure is shown.
#[derive(Clone, Copy, PartialEq)]
enum As {
    Length,
    Torque,
    Money,
    Plain(&'static str),
}

/// What limits are a multiple of.
#[derive(Clone, Copy)]
enum Of {
    /// One of the figure's own unit.
    Unit,
    RingDiameter,
    /// The price of an hour, whatever the currency.
    Hour,
}

/// What is usual for a figure.
struct Usual {
    /// Its key, or what it is.
    name: &'static str,
    figure: fn(&Setup) -> f64,
    low: f64,
    high: f64,
    of: Of,
    shown: As,
}

/// A row a figure: its name, how it is shown, where it is found, least and most, and what these are
/// multiples of where they are no plain figures.
macro_rules! usual {
    ($($name:literal, $shown:ident $(($unit:literal))?, |$setup:ident| $figure:expr,
        $low:literal to $high:literal $(of $of:ident)?;)+) => {
        [$(Usual {
            name: $name,
            figure: |$setup| $figure,
            low: $low,
            high: $high,
            of: usual!(@of $($of)?),
            shown: As::$shown$(($unit))?,
        }),+]
    };
    (@of) => { Of::Unit };
    (@of $of:ident) => { Of::$of };
}

static USUAL: &[Usual] = &usual! {
    "gears.ring_diameter", Length, |s| s.axle.gears.ring_diameter, 80.0 to 600.0;
    "the gear ratio", Plain(""), |s| s.geometry.ratio, 1.5 to 9.0;
    "gears.face_width", Length, |s| s.axle.gears.face_width, 0.08 to 0.30 of RingDiameter;
    "gears.offset", Length, |s| s.axle.gears.offset, 0.0 to 0.30 of RingDiameter;
    "gears.pinion_spiral", Plain("°"), |s| s.axle.gears.pinion_spiral, 0.0 to 60.0;
    "gears.cutter_radius", Length, |s| s.axle.gears.cutter_radius, 0.2 to 1.0 of RingDiameter;
    "gears.pressure_angle", Plain("°"), |s| s.axle.gears.pressure_angle, 14.0 to 26.0;
    "gears.mark.step", Length, |s| s.axle.gears.mark.step, 0.0 to 0.06;
    "windows.backlash, its lower end", Length, |s| s.axle.windows.backlash.low, 0.03 to 0.5;
    "windows.backlash, its upper end", Length, |s| s.axle.windows.backlash.high, 0.08 to 0.8;
    "windows.backlash_variation", Length, |s| s.axle.windows.backlash_variation, 0.02 to 0.25;
    "windows.pinion_torque, its upper end", Torque, |s| s.axle.windows.pinion_torque.high,
        0.5 to 8.0;
    "windows.side_closure, its upper end", Length, |s| s.axle.windows.side_closure.high,
        0.03 to 0.8;
    "housing.stiffness", Plain(" N/µm"), |s| s.axle.housing.stiffness, 5.0 to 500.0;
    "pinion_preload.path_stiffness", Plain(" N/µm"), |s| s.axle.pinion_preload.path_stiffness,
        20.0 to 2000.0;
    "pinion_preload.torque_per_force", Plain(" N·m per kN"),
        |s| s.axle.pinion_preload.torque_per_force.middle(), 0.03 to 1.5;
    "pinion_preload.seal_drag", Torque, |s| s.axle.pinion_preload.seal_drag.middle(), 0.0 to 1.2;
    "pinion_shim.usual", Length, |s| s.axle.pinion_shim.usual, 0.1 to 6.0;
    "bench.ring_belief", Plain(""), |s| s.shop.bench.ring_belief, 0.4 to 1.5;
    "bench.depth_belief", Plain(" a mm"), |s| s.shop.bench.depth_belief, 0.3 to 6.0;
    "bench.smallest_move", Length, |s| s.shop.bench.smallest_move, 0.005 to 0.15;
    "bench.side_preload_added", Length, |s| s.shop.bench.side_preload_added, 0.0 to 0.6;
    "bench.notch", Length, |s| s.shop.bench.notch, 0.005 to 0.2;
    "bench.guard", Plain(""), |s| s.shop.bench.guard, 0.0 to 0.3;
    "bench.cone_spoiled", Plain(""), |s| s.shop.bench.cone_spoiled, 0.0 to 0.5;
    "instruments.dial, its sigma", Length, |s| s.shop.instruments.dial.sigma, 0.0 to 0.05;
    "instruments.end_play", Length, |s| s.shop.instruments.end_play, 0.0 to 0.1;
    "instruments.torque, its sigma", Torque, |s| s.shop.instruments.torque.sigma, 0.0 to 0.6;
    "prices.cone", Money, |s| s.shop.prices.cone, 0.02 to 5.0 of Hour;
    "prices.given_up", Money, |s| s.shop.prices.given_up, 0.1 to 30.0 of Hour;
};

impl Usual {
    /// A word on the figure where it is far outside what is usual.
    fn doubt(&self, setup: &Setup, print: Printed) -> Option<String> {
        let figure = (self.figure)(setup);
        let of = match self.of {
            Of::Unit => 1.0,
            Of::RingDiameter => setup.axle.gears.ring_diameter,
            Of::Hour => setup.shop.prices.hour,
        };
        // what costs nothing, or can't be held against an hour that does, is no slip
        let free = self.shown == As::Money && (figure <= 0.0 || of <= 0.0);
        let usual = Window::new(self.low * of, self.high * of);
        if free || usual.holds(figure) {
            return None;
        }
        let [figure, low, high] = [figure, usual.low, usual.high].map(|x| match self.shown {
            As::Length => print.length(x),
            As::Torque => print.torque(x),
            As::Money => format!("{} {}", plain(x), setup.shop.currency),
            As::Plain(unit) => format!("{x:.2}{unit}"),
        });
        Some(format!(
            "{} is {figure}; {low} to {high} is usual. Wrong unit or misplaced decimal point?",
            self.name
        ))
    }
}

/// A word on each figure that is far outside what is plausible.
pub fn doubts(setup: &Setup, print: Printed) -> Vec<String> {
    let usual = USUAL.iter().filter_map(|usual| usual.doubt(setup, print));
    let mut doubts: Vec<String> = usual.collect();
    let prices = &setup.shop.prices;
    if prices.hour_cost > prices.hour {
        let [cost, hour] = [prices.hour_cost, prices.hour].map(plain);
        doubts.push(format!(
            "an hour costs the shop more than it charges: prices.hour_cost is {cost}, prices.hour \
             {hour} {}.",
            setup.shop.currency
        ));
    }
    doubts
}
