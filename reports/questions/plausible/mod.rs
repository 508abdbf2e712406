//! Which figures are far outside what axles and shops have: typing slips, mixed-up units. A row a
//! figure, with what is usual for it and, where that is certain, what no axle has.

mod axle;
mod row;
mod shop;

use shimcast_sim::axle::Axle;
use shimcast_sim::shop::Shop;

use crate::figures::plain;
use crate::units::Units;
pub use row::{
    ANYWAY, CAPABILITY, Impossible, LOWER, Row, SPREAD, SPREAD_SHARE, UPPER, USUAL_MINUTES,
};

/// The rows of an axle.
pub fn axle_rows(axle: &Axle) -> Vec<Row> {
    axle::rows(axle)
}

/// The rows of a shop.
pub fn shop_rows(shop: &Shop) -> Vec<Row> {
    shop::rows(shop)
}

/// A word on each figure of an axle that is far outside what is usual.
pub(super) fn of_axle(axle: &Axle, units: Units) -> Vec<String> {
    let rows = axle_rows(axle);
    rows.iter().filter_map(|row| row.doubt(units)).collect()
}

/// The same of its teeth alone.
pub(super) fn of_teeth(axle: &Axle, units: Units) -> Vec<String> {
    let teeth = ["gears.pinion_teeth", "gears.ring_teeth"];
    let rows = axle_rows(axle).into_iter();
    rows.filter(|row| teeth.contains(&row.key.as_str()))
        .filter_map(|row| row.doubt(units))
        .collect()
}

/// The same of a shop.
pub(super) fn of_shop(shop: &Shop, units: Units) -> Vec<String> {
    let rows = shop_rows(shop);
    let mut doubts: Vec<String> = rows.iter().filter_map(|row| row.doubt(units)).collect();
    let prices = &shop.prices;
    if prices.hour_cost > prices.hour {
        let [cost, hour] = [prices.hour_cost, prices.hour].map(plain);
        doubts.push(format!(
            "an hour costs the shop more than it charges: prices.hour_cost is {cost}, prices.hour \
             {hour} {}.",
            shop.currency
        ));
    }
    doubts
}

/// The figures that no axle has.
pub(super) fn impossible(axle: &Axle, units: Units) -> Vec<Impossible> {
    let rows = axle_rows(axle);
    rows.iter()
        .filter_map(|row| row.impossible(units))
        .collect()
}
