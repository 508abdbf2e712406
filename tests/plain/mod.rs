//! A slow and literal model of ring-and-pinion set-up: every rule as it is written down, one
//! rebuild after the other, without tables or short cuts. It exists to check a fast one.

pub mod axle;
pub mod bearings;
pub mod bench;
pub mod chance;
pub mod count;
pub mod dice;
pub mod gears;
pub mod money;
pub mod packs;
pub mod parts;
pub mod preload;
pub mod ring;
pub mod shop;
pub mod source;
pub mod start;
pub mod tolerance;
pub mod truth;
pub mod work;

use axle::{Axle, PinionPreload};
use bench::{Job, Stocks};
use count::{Effort, Packs, Shares, Spread, Tally};
use dice::Dice;
use gears::Geometry;
use parts::draw_parts;
use shop::Shop;

pub struct Answer {
    pub axle: String,
    pub shop: String,
    pub rebuilds: u64,
    pub seed: u64,
    pub gears_new: bool,
    pub bearings_new: bool,
    /// Keys that the axle file and the shop file left out.
    pub assumptions: Vec<String>,
    pub geometry: Geometry,
    pub first_assembly: Shares,
    pub handed_over: Shares,
    pub effort: Effort,
    pub spread: Spread,
    pub packs: Packs,
}

/// One kind of job, from its two files.
pub struct Task {
    pub axle: Axle,
    pub shop: Shop,
    pub stocks: Stocks,
    pub bearings_new: bool,
}

impl Task {
    pub fn read(axle_toml: &str, shop_toml: &str, bearings_new: bool) -> Self {
        let shop = Shop::read(shop_toml);
        let axle = Axle::read(axle_toml, shop.side_preload_added);
        let stocks = Stocks {
            pinion: shop.stock(&axle.pinion_stock),
            side: shop.side_stock(axle.side_seat, axle.side_stock.as_deref()),
            preload: match &axle.preload {
                PinionPreload::Sleeve { .. } => None,
                PinionPreload::Spacer(spacer) => Some(shop.stock(&spacer.stock)),
            },
        };
        Task {
            axle,
            shop,
            stocks,
            bearings_new,
        }
    }
}

pub fn simulate(
    axle_toml: &str,
    shop_toml: &str,
    gears_new: bool,
    bearings_new: bool,
    rebuilds: u64,
    seed: u64,
) -> Answer {
    let task = Task::read(axle_toml, shop_toml, bearings_new);
    let rises = task.rise_window();
    let mut dice = Dice::new(seed);
    let mut tally = Tally::default();
    for _ in 0..rebuilds {
        let parts = draw_parts(&task.axle, gears_new, bearings_new, &mut dice);
        tally.add(&Job::run(&task, &parts, rises, &mut dice));
    }
    let (axle, shop) = (&task.axle, &task.shop);
    Answer {
        axle: axle.name.clone(),
        shop: shop.name.clone(),
        rebuilds,
        seed,
        gears_new,
        bearings_new,
        assumptions: axle
            .left_out
            .iter()
            .chain(&shop.left_out)
            .cloned()
            .collect(),
        geometry: axle.geometry,
        first_assembly: tally.first_assembly(),
        handed_over: tally.handed_over(),
        effort: tally.effort(),
        spread: tally.spread(),
        packs: tally.packs(),
    }
}
