//! What a job is worked out from, subject by subject: friction, the mesh, packs, bearing pairs and the
//! pinion preload, each with the flaws that it may have.

use crate::axle::bearings::Pair;
use crate::axle::gears::{Geometry, NoGeometry, Rates};
use crate::axle::packs::{MOST_PACKS, PackTable};
use crate::axle::{Axle, Condition, Indicator, PreloadBy};
use crate::bench::setup::{ExpectedTorque, Flaw, Preload, Setup};
use crate::shop::Shop;
use crate::units::Window;

/// The flaws found so far.
#[derive(Debug, Default)]
pub(super) struct Flaws(pub(super) Vec<Flaw>);

impl Flaws {
    pub(super) fn note(&mut self, flaw: Flaw) {
        self.0.push(flaw);
    }

    /// The value, or `None` with the flaw noted.
    pub(super) fn keep<T>(&mut self, worked_out: Result<T, Flaw>) -> Option<T> {
        worked_out.map_err(|flaw| self.note(flaw)).ok()
    }
}

impl From<NoGeometry> for Flaw {
    fn from(error: NoGeometry) -> Self {
        Self::new(error.key(), error.to_string())
    }
}

/// Limits friction to values above zero.
pub(super) fn keep_friction_above_zero(axle: &mut Axle, flaws: &mut Flaws) {
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
            _ => flaws.note(Flaw::new(
                key,
                "bearings never turn for nothing: nearly all of this spread lies at zero or below",
            )),
        }
    }
}

/// The mesh: its pitch geometry, and what indicators read of its backlash.
pub(super) struct Mesh {
    pub(super) geometry: Geometry,
    /// Backlash rates as the service manual holds the indicator.
    pub(super) rates: Rates,
    /// The shop's indicator relative to the manual's.
    pub(super) reading_factor: f64,
}

impl Mesh {
    pub(super) fn new(axle: &Axle, shop_indicator: Indicator, flaws: &mut Flaws) -> Option<Self> {
        let geometry = flaws.keep(Geometry::solve(&axle.gears).map_err(Flaw::from))?;
        let [book, shop] = [axle.windows.indicator, shop_indicator]
            .map(|held| flaws.keep(geometry.indicator_factor(held).map_err(Flaw::from)));
        let (book, shop) = (book?, shop?);
        Some(Self {
            geometry,
            rates: geometry.rates().times(book),
            reading_factor: shop / book,
        })
    }
}

/// The pinion's bearings and the side bearings, each with what carries them; another job's where
/// they are the same.
pub(super) fn bearing_pairs(other: Option<&Setup>, axle: &Axle) -> [Pair; 2] {
    let bearings = &axle.bearings;
    [
        Pair::shared(
            other.map(|other| &other.pinion_pair),
            bearings.head.deflection + bearings.tail.deflection,
            axle.pinion_preload.path_stiffness,
        ),
        Pair::shared(
            other.map(|other| &other.side_pair),
            2.0 * bearings.side.deflection,
            axle.housing.stiffness,
        ),
    ]
}

/// The window of the pinion torque in force, N·m, and its key.
pub(super) fn torque_window(axle: &Axle, bearings: Condition) -> (&'static str, Window) {
    let windows = &axle.windows;
    match bearings {
        Condition::New => ("windows.pinion_torque", windows.pinion_torque),
        Condition::Kept => ("windows.pinion_torque_used", windows.pinion_torque_used),
    }
}

/// What the pinion preload is to reach.
pub(super) struct PreloadGoal<'a> {
    /// The key of the window.
    pub(super) key: &'static str,
    /// Torque to turn the pinion alone, N·m.
    pub(super) window: Window,
    pub(super) expected: &'a ExpectedTorque,
    pub(super) pair: &'a Pair,
}

impl PreloadGoal<'_> {
    /// How the axle's sleeve or spacer reaches it.
    pub(super) fn reached_by(
        &self,
        other: Option<&Setup>,
        axle: &Axle,
        shop: &Shop,
        flaws: &mut Flaws,
    ) -> Option<Preload> {
        match &axle.pinion_preload.by {
            PreloadBy::Sleeve { thread_pitch } => {
                let aim = self.window.low + shop.bench.sleeve_aim * self.window.width();
                let per_turn = self.torque_per_mm(aim) * thread_pitch;
                if per_turn <= 0.0 {
                    flaws.note(self.seal_fills("the torque aimed for in"));
                }
                Some(Preload::Sleeve {
                    aim,
                    degrees_per_torque: 360.0 / per_turn,
                    closure_per_degree: thread_pitch / 360.0,
                })
            }
            PreloadBy::Spacer { stock, usual, .. } => {
                let per_mm = self.torque_per_mm(self.window.middle());
                if per_mm <= 0.0 {
                    flaws.note(self.seal_fills("the middle of"));
                }
                let packs = flaws.keep(table(other, shop, "pinion_preload.stock", stock))?;
                Some(Preload::Spacer {
                    packs,
                    per_mm,
                    closure_wanted: axle.pinion_closure_wanted(),
                    usual: *usual,
                })
            }
        }
    }

    /// Torque gained per mm of closure where the pinion turns at a torque, N·m per mm; zero where
    /// the seal alone drags as much.
    fn torque_per_mm(&self, torque: f64) -> f64 {
        let friction = self.expected.pinion_friction;
        let force = 1000.0 * (torque - self.expected.seal_drag) / friction;
        1e-3 * friction * self.pair.stiffness(force)
    }

    fn seal_fills(&self, what: &str) -> Flaw {
        Flaw::new(
            self.key,
            format!(
                "the seal alone drags as much as {what} this window, which leaves no bearing \
                 preload: raise the window, or lower pinion_preload.seal_drag"
            ),
        )
    }
}

/// Cosine and sine of points at equal angles round the ring.
pub(super) fn points_round_the_ring(points: u32) -> Vec<[f64; 2]> {
    (0..points)
        .map(|i| std::f64::consts::TAU * f64::from(i) / f64::from(points))
        .map(|angle| [libm::cos(angle), libm::sin(angle)])
        .collect()
}

/// The packs of a series of the shop; another job's table where it is the same.
pub(super) fn table(
    other: Option<&Setup>,
    shop: &Shop,
    key: &str,
    name: &str,
) -> Result<PackTable, Flaw> {
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
