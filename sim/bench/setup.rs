//! One kind of job, worked out once for all its rebuilds: an axle in a shop, gears and bearings
//! new or kept.

use crate::axle::bearings::Pair;
use crate::axle::gears::{Geometry, Rates};
use crate::axle::packs::PackTable;
use crate::axle::shims::{StripClass, Thickness};
use crate::axle::{Axle, Condition, PinionSeat, SideSeat};
use crate::bench::derived::{
    Flaws, Mesh, PreloadGoal, bearing_pairs, keep_friction_above_zero, points_round_the_ring,
    table, torque_window,
};
use crate::bench::graduation::Graduation;
use crate::bench::minutes::Clock;
use crate::shop::{Shop, SideCheck};
use crate::units::Window;

/// One kind of job, with everything that its rebuilds have in common.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Setup {
    /// The axle as described.
    pub axle: Axle,
    /// The shop as described.
    pub shop: Shop,
    /// Whether the gears are new.
    pub gears: Condition,
    /// Whether the bearings are new.
    pub bearings: Condition,
    /// Pitch geometry.
    pub geometry: Geometry,
    /// Backlash rates as the service manual holds the indicator.
    pub rates: Rates,
    /// The shop's indicator relative to the manual's: reading = true backlash · this.
    pub reading_factor: f64,
    /// The pinion's bearings with what carries them.
    pub pinion_pair: Pair,
    /// The side bearings with the housing that carries them.
    pub side_pair: Pair,
    /// What the pinion shim series can build.
    pub pinion_packs: PackTable,
    /// What the side shims can build.
    #[doc(hidden)]
    pub side_stock: SideStock,
    /// Torque window in force: for new or for used bearings, N·m.
    pub torque_window: Window,
    /// Expected turning torques.
    #[doc(hidden)]
    pub expected: ExpectedTorque,
    /// How the pinion preload is set.
    #[doc(hidden)]
    pub preload: Preload,
    /// Rise of the turning torque at the ends of the side-closure window, N·m.
    pub rise_window: Window,
    /// Windows with which the technician compares readings.
    #[doc(hidden)]
    pub reading_windows: ReadingWindows,
    pub(crate) graduations: Graduations,
    /// Cosine and sine of the points round the ring where backlash is read.
    pub(crate) round_the_ring: Vec<[f64; 2]>,
    pub(crate) clock: Clock,
}

/// The windows with which readings are compared: those of the axle, narrowed by the shop's guard
/// band.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ReadingWindows {
    /// Backlash at each point, mm.
    pub backlash: Window,
    /// Pattern profile either way from the middle, share of the tooth.
    pub pattern_profile: f64,
    /// Torque to turn the pinion alone, N·m.
    pub torque: Window,
    /// Rise of the turning torque with the carrier in, N·m.
    pub rise: Window,
}

impl ReadingWindows {
    fn new(axle: &Axle, guard: f64, torque: Window, rise: Window) -> Self {
        Self {
            backlash: axle.windows.backlash.narrowed(guard),
            // this is half of its window
            pattern_profile: (1.0 - 2.0 * guard) * axle.windows.pattern_profile,
            torque: torque.narrowed(guard),
            rise: rise.narrowed(guard),
        }
    }
}

/// Graduations of the shop's instruments.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Graduations {
    pub(crate) dial: Graduation,
    pub(crate) depth_gauge: Graduation,
    pub(crate) torque: Graduation,
    pub(crate) pattern: Graduation,
    /// Of the mark on a pinion.
    pub(crate) mark: Graduation,
}

impl Graduations {
    fn new(axle: &Axle, shop: &Shop) -> Self {
        let instruments = &shop.instruments;
        Self {
            dial: Graduation::new(instruments.dial.step),
            depth_gauge: Graduation::new(instruments.depth_gauge.step),
            torque: Graduation::new(instruments.torque.step),
            pattern: Graduation::new(instruments.pattern.step),
            mark: Graduation::new(axle.gears.mark.step),
        }
    }
}

/// Shims or adjusters on either side of the carrier.
#[derive(Debug, Clone, PartialEq)]
pub enum SideStock {
    /// Shim packs.
    Packs(PackTable),
    /// Adjusters that move by whole notches of this size, mm.
    Notches(f64),
}

impl SideStock {
    fn new(other: Option<&Setup>, axle: &Axle, shop: &Shop) -> Result<Self, Flaw> {
        const KEY: &str = "side_shims.stock";
        match (axle.side_shims.seat, &axle.side_shims.stock) {
            (SideSeat::ScrewAdjusters, _) => Ok(Self::Notches(shop.bench.notch)),
            (_, Some(name)) => table(other, shop, KEY, name).map(Self::Packs),
            (_, None) => Err(Flaw::new(KEY, "side shims need a shim series")),
        }
    }
}

/// Turning torque from nominal figures, as the technician expects it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct ExpectedTorque {
    /// μ of the pinion bearings in the job, N·m per kN.
    pub pinion_friction: f64,
    /// μ of the side bearings in the job, N·m per kN.
    pub side_friction: f64,
    /// Seal drag, N·m.
    pub seal_drag: f64,
}

impl ExpectedTorque {
    fn new(axle: &Axle, bearings: Condition) -> Self {
        let worn = axle.friction_of(bearings);
        let preload = &axle.pinion_preload;
        Self {
            pinion_friction: worn * preload.torque_per_force.middle(),
            side_friction: worn * axle.side_torque_per_force.middle(),
            seal_drag: preload.seal_drag.middle(),
        }
    }

    /// Rise of the turning torque with the carrier in, at either end of the side-closure window,
    /// N·m.
    fn rise_window(&self, axle: &Axle, side_pair: &Pair) -> Window {
        let rise = |closure: f64| {
            1e-3 * self.side_friction
                * side_pair.force(closure)
                * f64::from(axle.gears.pinion_teeth)
                / f64::from(axle.gears.ring_teeth)
        };
        let closures = axle.windows.side_closure;
        Window::new(rise(closures.low), rise(closures.high))
    }
}

/// How the pinion preload is set.
#[derive(Debug, Clone, PartialEq)]
pub enum Preload {
    /// A collapsible sleeve.
    Sleeve {
        /// Torque aimed for, N·m.
        aim: f64,
        /// Turn of the nut expected for a torque at the aim, degrees per N·m.
        degrees_per_torque: f64,
        /// Closure for a turn of the nut, mm per degree.
        closure_per_degree: f64,
    },
    /// A solid spacer with shims.
    Spacer {
        /// What its shim series can build.
        packs: PackTable,
        /// Torque expected for a closure at the middle of the window, N·m per mm.
        per_mm: f64,
        /// Closure that the old pack was meant to give, mm.
        closure_wanted: f64,
        /// Its usual pack, mm.
        usual: f64,
    },
}

/// A figure of the axle or shop with which no job can be simulated.
///
/// # Example
/// ```
/// use shimcast_sim::prelude::*;
///
/// let mut shop = demo::shop();
/// shop.shims.clear();
/// let flaws = Study::of(demo::axle(), shop).setup().unwrap_err();
/// assert_eq!(flaws[0].key, "pinion_shim.stock");
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub struct Flaw {
    /// The key of the figure, as the files write it.
    pub key: String,
    /// What is wrong with it and how to correct it.
    pub reason: String,
}

impl Flaw {
    pub(crate) fn new(key: impl Into<String>, reason: impl Into<String>) -> Self {
        Self {
            key: key.into(),
            reason: reason.into(),
        }
    }
}

impl Setup {
    /// Whether the sides are set by screw adjusters, which are turned with the axle together.
    pub fn has_adjusters(&self) -> bool {
        matches!(self.side_stock, SideStock::Notches(_))
    }

    /// Works out a job.
    ///
    /// # Errors
    /// Every [`Flaw`] found: a gear set that doesn't exist, a shim series that the shop doesn't
    /// have or that builds too many packs, a torque window below the drag of the seal, bearings
    /// without friction.
    pub fn new(
        axle: Axle,
        shop: Shop,
        gears: Condition,
        bearings: Condition,
    ) -> Result<Self, Vec<Flaw>> {
        Self::sharing(None, axle, shop, gears, bearings)
    }

    /// Works out the same kind of job with other figures; tables of what stays as it is are shared.
    ///
    /// # Errors
    /// As for [`Setup::new`].
    pub fn with(&self, axle: Axle, shop: Shop) -> Result<Self, Vec<Flaw>> {
        Self::sharing(Some(self), axle, shop, self.gears, self.bearings)
    }

    fn sharing(
        other: Option<&Self>,
        mut axle: Axle,
        shop: Shop,
        gears: Condition,
        bearings: Condition,
    ) -> Result<Self, Vec<Flaw>> {
        let mut flaws = Flaws::default();
        keep_friction_above_zero(&mut axle, &mut flaws);
        let mesh = Mesh::new(&axle, shop.instruments.dial.indicator, &mut flaws);
        let pinion_stock = &axle.pinion_shim.stock;
        let pinion_packs = flaws.keep(table(other, &shop, "pinion_shim.stock", pinion_stock));
        let side_stock = flaws.keep(SideStock::new(other, &axle, &shop));
        let expected = ExpectedTorque::new(&axle, bearings);
        let [pinion_pair, side_pair] = bearing_pairs(other, &axle);
        let (window_key, torque_window) = torque_window(&axle, bearings);
        let preload = PreloadGoal {
            key: window_key,
            window: torque_window,
            expected: &expected,
            pair: &pinion_pair,
        }
        .reached_by(other, &axle, &shop, &mut flaws);
        let rise_window = expected.rise_window(&axle, &side_pair);
        if shop.bench.side_check == SideCheck::TorqueRise && rise_window.width() <= 0.0 {
            flaws.note(Flaw::new(
                "windows.side_closure",
                "without side preload in this window the turning torque does not rise: it can't \
                 be read by \"torque rise\"",
            ));
        }
        match (mesh, pinion_packs, side_stock, preload) {
            (Some(mesh), Some(pinion_packs), Some(side_stock), Some(preload))
                if flaws.0.is_empty() =>
            {
                Ok(Self {
                    geometry: mesh.geometry,
                    rates: mesh.rates,
                    reading_factor: mesh.reading_factor,
                    reading_windows: ReadingWindows::new(
                        &axle,
                        shop.bench.guard,
                        torque_window,
                        rise_window,
                    ),
                    graduations: Graduations::new(&axle, &shop),
                    round_the_ring: points_round_the_ring(shop.bench.backlash_points),
                    clock: Clock::new(&axle, &shop),
                    axle,
                    shop,
                    gears,
                    bearings,
                    pinion_pair,
                    side_pair,
                    pinion_packs,
                    side_stock,
                    torque_window,
                    expected,
                    preload,
                    rise_window,
                })
            }
            _ => Err(flaws.0),
        }
    }

    /// The packs of a series that this job takes.
    pub(super) fn packs_of(&self, name: &str) -> Option<&PackTable> {
        let axle = &self.axle;
        match (&self.side_stock, &self.preload) {
            _ if axle.pinion_shim.stock == name => Some(&self.pinion_packs),
            (SideStock::Packs(table), _) if axle.side_shims.stock.as_deref() == Some(name) => {
                Some(table)
            }
            (_, Preload::Spacer { packs, .. }) if axle.pinion_preload.stock() == Some(name) => {
                Some(packs)
            }
            _ => None,
        }
    }

    /// Whether a change on real bearings may pull a pressed cone.
    pub fn pulls_cones(&self) -> bool {
        self.axle.pinion_shim.seat == PinionSeat::UnderHeadBearing
            || self.axle.side_shims.seat == SideSeat::BehindSideBearings
    }

    /// The same job in a shop that holds its dial as the book does; `None` where it does so already.
    pub fn held_as_the_book(&self) -> Option<Self> {
        let held = self.axle.windows.indicator;
        if self.shop.instruments.dial.indicator == held {
            return None;
        }
        let mut shop = self.shop.clone();
        shop.instruments.dial.indicator = held;
        Self::new(self.axle.clone(), shop, self.gears, self.bearings).ok()
    }

    /// Whether the trial assemblies are on slip-fit cones.
    pub fn on_setup_bearings(&self) -> bool {
        self.shop.bench.setup_bearings && self.bearings == Condition::New
    }

    /// One-sigma error of measuring an old pack of this thickness, mm. Adjusters, which have no
    /// series, count as strip of the normal class.
    pub(crate) fn old_pack_sigma(&self, stock: Option<&str>, thickness: f64) -> f64 {
        self.shop.instruments.micrometer.unwrap_or_else(|| {
            let strip = Thickness::Strip(StripClass::Normal);
            let series = stock.and_then(|name| self.shop.series(name));
            series.map_or(strip, |s| s.tolerance).limit(thickness) / 3.0
        })
    }
}
