//! One kind of job, worked out once for all its rebuilds: an axle in a shop, gears and bearings
//! new or kept.

use crate::axle::bearings::Pair;
use crate::axle::gears::{Geometry, Rates};
use crate::axle::packs::{MOST_PACKS, PackTable};
use crate::axle::shims::{StripClass, Thickness};
use crate::axle::{Axle, Condition, PinionSeat, PreloadBy, SideSeat};
use crate::bench::graduation::Graduation;
use crate::bench::minutes::Clock;
use crate::shop::{Shop, SideCheck};
use crate::units::Window;

/// Everything that the rebuilds of one kind of job have in common.
#[derive(Debug, Clone)]
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
    /// Backlash rates in the book's terms.
    pub rates: Rates,
    /// The shop's indicator against the book's: reading = true backlash · this.
    pub reading_factor: f64,
    /// The pinion's bearings with what carries them.
    pub pinion_pair: Pair,
    /// The side bearings with the housing that carries them.
    pub side_pair: Pair,
    /// What the pinion shim series can build.
    pub pinion_packs: PackTable,
    /// What the side shims can build.
    pub side_stock: SideStock,
    /// Torque window in force: for new or for used bearings, N·m.
    pub torque_window: Window,
    /// Expected turning torques.
    pub expected: ExpectedTorque,
    /// How the pinion preload is set.
    pub preload: Preload,
    /// Rise of the turning torque at the ends of the side-closure window, N·m.
    pub rise_window: Window,
    /// What the technician holds readings against.
    pub reading_windows: ReadingWindows,
    pub(crate) graduations: Graduations,
    /// Cosine and sine of the points round the ring where backlash is read.
    pub(crate) round_the_ring: Vec<[f64; 2]>,
    pub(crate) clock: Clock,
}

/// The windows that readings are held against: those of the axle, narrower by the shop's guard.
#[derive(Debug, Clone, Copy, PartialEq)]
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
            // its window is twice as wide
            pattern_profile: (1.0 - 2.0 * guard) * axle.windows.pattern_profile,
            torque: torque.narrowed(guard),
            rise: rise.narrowed(guard),
        }
    }
}

/// What the shop's instruments are graduated in.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Graduations {
    pub(crate) dial: Graduation,
    pub(crate) depth_gauge: Graduation,
    pub(crate) torque: Graduation,
    pub(crate) pattern: Graduation,
    /// Of the mark on a pinion.
    pub(crate) mark: Graduation,
}

/// What can stand on either side of the carrier.
#[derive(Debug, Clone, PartialEq)]
pub enum SideStock {
    /// Shim packs.
    Packs(PackTable),
    /// Adjusters that move by whole notches of this size, mm.
    Notches(f64),
}

/// Turning torque from nominal figures: what the technician reckons with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExpectedTorque {
    /// μ of the pinion bearings in the job, N·m per kN.
    pub pinion_friction: f64,
    /// μ of the side bearings in the job, N·m per kN.
    pub side_friction: f64,
    /// Seal drag, N·m.
    pub seal_drag: f64,
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
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Flaw {
    /// The key of the figure, as the files write it.
    pub key: String,
    /// What is wrong with it and how to mend it.
    pub reason: String,
}

impl Flaw {
    fn new(key: impl Into<String>, reason: impl Into<String>) -> Self {
        Self {
            key: key.into(),
            reason: reason.into(),
        }
    }
}

impl Setup {
    /// Works out a job.
    ///
    /// # Errors
    /// Every [`Flaw`] found: a gear set that doesn't exist, a shim series that the shop doesn't
    /// have or that builds too many packs, a torque window that the seal alone fills, bearings that
    /// would turn for nothing.
    pub fn new(
        axle: Axle,
        shop: Shop,
        gears: Condition,
        bearings: Condition,
    ) -> Result<Self, Vec<Flaw>> {
        Self::beside(None, axle, shop, gears, bearings)
    }

    /// Works out the same kind of job with other figures; tables of what stays as it is are shared.
    ///
    /// # Errors
    /// As for [`Setup::new`].
    pub fn with(&self, axle: Axle, shop: Shop) -> Result<Self, Vec<Flaw>> {
        Self::beside(Some(self), axle, shop, self.gears, self.bearings)
    }

    fn beside(
        other: Option<&Self>,
        axle: Axle,
        shop: Shop,
        gears: Condition,
        bearings: Condition,
    ) -> Result<Self, Vec<Flaw>> {
        let mut flaws = Vec::new();
        let mut note = |flaw: Flaw| flaws.push(flaw);
        let mut axle = axle;
        for (key, friction) in [
            (
                "pinion_preload.torque_per_force",
                &mut axle.pinion_preload.torque_per_force,
            ),
            (
                "side_preload.torque_per_force",
                &mut axle.side_torque_per_force,
            ),
        ] {
            match friction.clone().above_zero() {
                Ok(above_zero) if above_zero.middle() > 0.0 => *friction = above_zero,
                _ => note(Flaw::new(
                    key,
                    "bearings never turn for nothing: nearly all of this spread lies at zero or \
                     below",
                )),
            }
        }
        let geometry = Geometry::solve(&axle.gears)
            .map_err(|e| note(Flaw::new(e.key(), e.to_string())))
            .ok();
        let factors = geometry.and_then(|g| {
            let factor = |held| {
                g.indicator_factor(held)
                    .map_err(|e| note(Flaw::new(e.key(), e.to_string())))
                    .ok()
            };
            [axle.windows.indicator, shop.instruments.dial.indicator]
                .map(factor)
                .into_iter()
                .collect::<Option<Vec<f64>>>()
        });
        let mut packs =
            |key: &str, name: &str| table(other, &shop, key, name).map_err(&mut note).ok();
        let pinion_packs = packs("pinion_shim.stock", &axle.pinion_shim.stock);
        let side_stock = match (axle.side_shims.seat, &axle.side_shims.stock) {
            (SideSeat::ScrewAdjusters, _) => Some(SideStock::Notches(shop.bench.notch)),
            (_, Some(name)) => packs("side_shims.stock", name).map(SideStock::Packs),
            (_, None) => {
                note(Flaw::new(
                    "side_shims.stock",
                    "side shims need a shim series",
                ));
                None
            }
        };
        let worn = axle.friction_of(bearings);
        let preload = &axle.pinion_preload;
        let nominal_friction = preload.torque_per_force.middle();
        let expected = ExpectedTorque {
            pinion_friction: worn * nominal_friction,
            side_friction: worn * axle.side_torque_per_force.middle(),
            seal_drag: preload.seal_drag.middle(),
        };
        let (window_key, torque_window) = match bearings {
            Condition::New => ("windows.pinion_torque", axle.windows.pinion_torque),
            Condition::Kept => (
                "windows.pinion_torque_used",
                axle.windows.pinion_torque_used,
            ),
        };
        let bearing = &axle.bearings;
        let pinion_pair = Pair::like(
            other.map(|other| &other.pinion_pair),
            bearing.head.deflection + bearing.tail.deflection,
            preload.path_stiffness,
        );
        let side_pair = Pair::like(
            other.map(|other| &other.side_pair),
            2.0 * bearing.side.deflection,
            axle.housing.stiffness,
        );
        let force_for =
            |torque: f64, friction: f64| 1000.0 * (torque - expected.seal_drag) / friction;
        let torque_per_mm = |torque: f64| {
            let friction = expected.pinion_friction;
            1e-3 * friction * pinion_pair.stiffness(force_for(torque, friction))
        };
        let seal_fills = |what: &str| {
            Flaw::new(
                window_key,
                format!(
                    "the seal alone drags as much as {what} this window, which leaves no bearing \
                     preload: raise the window, or lower pinion_preload.seal_drag"
                ),
            )
        };
        let preload = match &preload.by {
            PreloadBy::Sleeve { thread_pitch } => {
                let aim = torque_window.low + shop.bench.sleeve_aim * torque_window.width();
                let per_turn = torque_per_mm(aim) * thread_pitch;
                if per_turn <= 0.0 {
                    note(seal_fills("the torque aimed for in"));
                }
                Some(Preload::Sleeve {
                    aim,
                    degrees_per_torque: 360.0 / per_turn,
                    closure_per_degree: thread_pitch / 360.0,
                })
            }
            PreloadBy::Spacer { stock, usual, .. } => {
                let per_mm = torque_per_mm(torque_window.middle());
                if per_mm <= 0.0 {
                    note(seal_fills("the middle of"));
                }
                table(other, &shop, "pinion_preload.stock", stock)
                    .map_err(&mut note)
                    .ok()
                    .map(|packs| Preload::Spacer {
                        packs,
                        per_mm,
                        closure_wanted: axle.pinion_closure_wanted(),
                        usual: *usual,
                    })
            }
        };
        let rise = |closure: f64| {
            1e-3 * expected.side_friction
                * side_pair.force(closure)
                * f64::from(axle.gears.pinion_teeth)
                / f64::from(axle.gears.ring_teeth)
        };
        let closures = axle.windows.side_closure;
        let rise_window = Window::new(rise(closures.low), rise(closures.high));
        if shop.bench.side_check == SideCheck::TorqueRise && rise_window.width() <= 0.0 {
            note(Flaw::new(
                "windows.side_closure",
                "without side preload in this window the turning torque does not rise: it can't \
                 be read by \"torque rise\"",
            ));
        }
        let reading_windows =
            ReadingWindows::new(&axle, shop.bench.guard, torque_window, rise_window);
        let clock = Clock::new(&axle, &shop);
        let instruments = &shop.instruments;
        let graduations = Graduations {
            dial: Graduation::new(instruments.dial.step),
            depth_gauge: Graduation::new(instruments.depth_gauge.step),
            torque: Graduation::new(instruments.torque.step),
            pattern: Graduation::new(instruments.pattern.step),
            mark: Graduation::new(axle.gears.mark.step),
        };
        let points = shop.bench.backlash_points;
        let round_the_ring = (0..points)
            .map(|i| std::f64::consts::TAU * f64::from(i) / f64::from(points))
            .map(|angle| [libm::cos(angle), libm::sin(angle)])
            .collect();
        match (geometry, factors, pinion_packs, side_stock, preload) {
            (
                Some(geometry),
                Some(factors),
                Some(pinion_packs),
                Some(side_stock),
                Some(preload),
            ) if flaws.is_empty() => Ok(Self {
                rates: geometry.rates().times(factors[0]),
                reading_factor: factors[1] / factors[0],
                axle,
                shop,
                gears,
                bearings,
                geometry,
                pinion_pair,
                side_pair,
                pinion_packs,
                side_stock,
                torque_window,
                expected,
                preload,
                rise_window,
                reading_windows,
                graduations,
                round_the_ring,
                clock,
            }),
            _ => Err(flaws),
        }
    }

    /// What a series builds that this job takes.
    fn packs_of(&self, name: &str) -> Option<&PackTable> {
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

    /// Whether the trials run on slip-fit cones.
    pub fn on_setup_bearings(&self) -> bool {
        self.shop.bench.setup_bearings && self.bearings == Condition::New
    }

    /// One sigma with which an old pack of this thickness is measured, mm. Adjusters, which have
    /// no series, count as strip of the normal class.
    pub(crate) fn old_pack_sigma(&self, stock: Option<&str>, thickness: f64) -> f64 {
        self.shop.instruments.micrometer.unwrap_or_else(|| {
            let strip = Thickness::Strip(StripClass::Normal);
            let series = stock.and_then(|name| self.shop.series(name));
            series.map_or(strip, |s| s.tolerance).limit(thickness) / 3.0
        })
    }
}

/// What a series of the shop builds; another job's table where it is the same.
fn table(other: Option<&Setup>, shop: &Shop, key: &str, name: &str) -> Result<PackTable, Flaw> {
    let series = shop
        .series(name)
        .ok_or_else(|| Flaw::new(key, format!("{} has no shim series \"{name}\"", shop.name)))?;
    let same = other.filter(|other| {
        other.shop.series(name) == Some(series)
            && other.shop.instruments.micrometer == shop.instruments.micrometer
    });
    if let Some(table) = same.and_then(|other| other.packs_of(name)) {
        return Ok(table.clone());
    }
    PackTable::new(series, shop.instruments.micrometer).map_err(|_| {
        Flaw::new(
            format!("shims.{name}.sizes"),
            format!(
                "packs of {} from these sizes make more than {MOST_PACKS} thicknesses: lower \
                 most_in_pack or round the sizes",
                series.most_in_pack
            ),
        )
    })
}
