//! The cost of a job.

use crate::axle::PreloadBy;
use crate::axle::packs::PackTable;
use crate::bench::outcome::Outcome;
use crate::bench::setup::{Preload, Setup, SideStock};
use crate::bench::{FittedPack, Rebuild};
use crate::count::estimate::Estimate;

/// The cost of one job, in the shop's currency.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Bill {
    /// Hours at the price of an hour.
    pub labour: f64,
    /// Sleeves used.
    pub sleeves: f64,
    /// Shims, as the price list charges them.
    pub shims: f64,
    /// Expected bearing cones spoiled by pulling.
    pub cones: f64,
    /// Expected cost of its return.
    pub comeback: f64,
    /// Cost of giving it up; 0 for a finished job.
    pub given_up: f64,
}

impl Bill {
    /// All of it.
    pub fn cost(&self) -> f64 {
        self.labour + (self.shims + self.sleeves) + self.cones + self.comeback + self.given_up
    }
}

/// What is charged for the shims of a job.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ShimsCharged {
    /// Every shim of the packs finally fitted, at its price, without credit for old shims reused.
    FinallyFitted,
    /// The same sum for every job: what one uses up of a drawer, on average.
    UsedUp(Estimate),
    /// Nothing: they are counted with the drawer.
    WithTheDrawer,
}

/// The prices that apply to one kind of job.
///
/// # Definition
/// Labour is hours · `prices.hour_cost`. Every sleeve used is charged at its price, and shims as
/// [`ShimsCharged`] says: those finally fitted, unless it is said otherwise. Every pressed cone
/// pulled has the expected cost `bench.cone_spoiled · prices.cone`. A job handed over clearly
/// outside a window has the expected cost `prices.comeback_share · prices.comeback`, where the
/// share is the user's assumption; no other job returns. A job given up costs `prices.given_up`.
#[derive(Debug, Clone)]
pub struct PriceList<'a> {
    setup: &'a Setup,
    pinion_shim: f64,
    side_shim: f64,
    spacer_shim: f64,
    charged: ShimsCharged,
}

impl<'a> PriceList<'a> {
    /// The prices for a setup.
    pub fn new(setup: &'a Setup) -> Self {
        let axle = &setup.axle;
        let price = |stock: Option<&String>| {
            let series = stock.and_then(|name| setup.shop.series(name));
            series.map_or(0.0, |series| series.price)
        };
        Self {
            setup,
            pinion_shim: price(Some(&axle.pinion_shim.stock)),
            side_shim: price(axle.side_shims.stock.as_ref()),
            spacer_shim: match &axle.pinion_preload.by {
                PreloadBy::Spacer { stock, .. } => price(Some(stock)),
                PreloadBy::Sleeve { .. } => 0.0,
            },
            charged: ShimsCharged::FinallyFitted,
        }
    }

    /// The same with shims charged like this.
    #[must_use]
    pub fn charging(self, charged: ShimsCharged) -> Self {
        Self { charged, ..self }
    }

    /// The bill of a rebuild with its minutes and outcome.
    pub fn bill(&self, rebuild: &Rebuild, minutes: f64, outcome: Outcome) -> Bill {
        let prices = &self.setup.shop.prices;
        Bill {
            labour: minutes / 60.0 * prices.hour_cost,
            sleeves: self.sleeves(rebuild),
            shims: match self.charged {
                ShimsCharged::FinallyFitted => self.finally_fitted(rebuild),
                ShimsCharged::UsedUp(mean) => mean.value,
                ShimsCharged::WithTheDrawer => 0.0,
            },
            cones: self.cones(rebuild),
            comeback: if outcome.is_clearly_out() {
                prices.comeback_share * prices.comeback
            } else {
                0.0
            },
            given_up: if outcome == Outcome::GivenUp {
                prices.given_up
            } else {
                0.0
            },
        }
    }

    fn sleeves(&self, rebuild: &Rebuild) -> f64 {
        match self.setup.preload {
            Preload::Sleeve { .. } => {
                f64::from(rebuild.preload_tries) * self.setup.shop.prices.sleeve
            }
            Preload::Spacer { .. } => 0.0,
        }
    }

    fn cones(&self, rebuild: &Rebuild) -> f64 {
        let shop = &self.setup.shop;
        f64::from(rebuild.cones_pulled) * shop.bench.cone_spoiled * shop.prices.cone
    }

    fn finally_fitted(&self, rebuild: &Rebuild) -> f64 {
        let setup = self.setup;
        let side = match &setup.side_stock {
            SideStock::Packs(table) => Some(table),
            SideStock::Notches(_) => None,
        };
        let spacer = match &setup.preload {
            Preload::Spacer { packs, .. } => Some(packs),
            Preload::Sleeve { .. } => None,
        };
        let [pinion_pack, ring_pack, far_pack, spacer_pack] = rebuild.packs;
        pieces(Some(&setup.pinion_packs), pinion_pack) * self.pinion_shim
            + (pieces(side, ring_pack) + pieces(side, far_pack)) * self.side_shim
            + pieces(spacer, spacer_pack) * self.spacer_shim
    }
}

/// Shims in a pack; none where there is no pack, or an adjuster in its place.
fn pieces(table: Option<&PackTable>, pack: Option<FittedPack>) -> f64 {
    match (table, pack) {
        (Some(table), Some(pack)) => table.all()[pack.number as usize].shims.len() as f64,
        _ => 0.0,
    }
}
