//! What a job costs.

use super::bench::{Job, Outcome};
use super::packs::{Fitted, Stock};

impl Outcome<'_> {
    /// Work, parts, what can come back, spoiled cones, and what a job given up costs besides.
    pub fn cost(&self) -> f64 {
        let job = &self.job;
        let prices = &job.shop.prices;
        let mut cost = job.minutes / 60.0 * prices.hour_cost;
        if job.stocks.preload.is_none() {
            cost += job.preload_tries as f64 * prices.sleeve;
        }
        cost += job.shims_fitted();
        cost += job.cones_pulled as f64 * job.shop.cone_spoiled * prices.cone;
        if !job.finished {
            cost += prices.given_up;
        } else if self.clearly_out() {
            cost += prices.comeback * prices.comeback_share;
        }
        cost
    }
}

impl Job<'_> {
    /// The price of the shims in the packs as they sit at the end.
    fn shims_fitted(&self) -> f64 {
        let price = |stock: &Stock, pack: &Fitted| stock.price() * pack.shims as f64;
        let preload = match (&self.stocks.preload, &self.spacer_pack) {
            (Some(stock), Some(pack)) => price(stock, pack),
            _ => 0.0,
        };
        price(&self.stocks.pinion, &self.pinion)
            + price(&self.stocks.side, &self.ring)
            + price(&self.stocks.side, &self.far)
            + preload
    }
}
