//! What a job costs the shop, part by part.

use shimcast_sim::axle::PreloadBy;
use shimcast_sim::count::estimate::Estimate;

use super::Choice;
use crate::document::{Cell, Column, Known, Table, wording};
use crate::figures::{Rounded, plain, said};
use crate::files::Assumption;
use crate::questions::frame::key;
use crate::questions::outside::{clearly, rest};

/// A part of what a job costs the shop.
#[derive(Debug, Clone, PartialEq)]
pub struct Cost {
    /// What it is.
    pub name: &'static str,
    /// What it is called where the price is explained.
    pub in_price: &'static str,
    /// Of a mean job.
    pub mean: Estimate,
    /// What it comes from.
    pub note: String,
}

/// What a job costs the shop. The parts add up as printed; no rows where nothing was simulated.
pub fn table(choice: &Choice, assumptions: &[Assumption]) -> Table {
    let mut table = Table::new([
        Column::words(""),
        Column::intervals("mean"),
        Column::words("what it comes from"),
    ])
    .caption(format!(
        "What a job costs the shop, mean of all jobs, {}",
        choice.setup.shop.currency
    ));
    let whole = &choice.quote.money.cost;
    if whole.value.is_nan() {
        return table;
    }
    let costs = costs(choice, assumptions);
    let means: Vec<f64> = costs.iter().map(|cost| cost.mean.value).collect();
    let parts = Rounded::together(&means, places_of_sum(whole));
    let cell = |mean: &Estimate, rounded: Rounded| Cell::known(Known::Part(*mean, rounded));
    for (cost, rounded) in costs.iter().zip(&parts) {
        let note = cost.note.as_str();
        table.row([cost.name.into(), cell(&cost.mean, *rounded), note.into()]);
    }
    table.name("together", cell(whole, Rounded::sum(&parts)));
    table
}

/// Decimals of money at the most.
const CENTS: usize = 2;

/// Decimals to which a sum is printed with its parts: one more than it carries, so that its smaller
/// parts show as well.
fn places_of_sum(sum: &Estimate) -> usize {
    let half = sum.half_width();
    if half > 0.0 && half.is_finite() {
        (1.0 - half.log10().floor()).clamp(0.0, CENTS as f64) as usize
    } else {
        1
    }
}

/// What a job costs the shop, part by part, labour first: those that such a job can have.
pub fn costs(choice: &Choice, assumptions: &[Assumption]) -> Vec<Cost> {
    let Choice {
        setup,
        quote,
        shims,
        ..
    } = choice;
    let (prices, money) = (&setup.shop.prices, &quote.money);
    let cost = |name, in_price, mean: &Estimate, note| Cost {
        name,
        in_price,
        mean: *mean,
        note,
    };
    let hour = if hour_cost_left_out(assumptions) {
        format!("{} an hour, as charged", plain(prices.hour_cost))
    } else {
        format!("{} an hour to the shop", plain(prices.hour_cost))
    };
    let mut costs = vec![cost("labour", "labour", &money.labour, hour)];
    if let PreloadBy::Sleeve { .. } = setup.axle.pinion_preload.by {
        let note = format!("all that are crushed, at {} each", plain(prices.sleeve));
        costs.push(cost("sleeves", "sleeves", &money.sleeves, note));
    }
    costs.push(cost("shims", "shims", &money.shims, shims.words()));
    if setup.pulls_cones() {
        costs.push(cost(
            "expected cones",
            "cones",
            &money.cones,
            format!(
                "{} % of the bearing cones pulled are spoiled, at {} each",
                plain(100.0 * setup.shop.bench.cone_spoiled),
                plain(prices.cone)
            ),
        ));
    }
    costs.push(cost(
        "expected comebacks",
        "comebacks",
        &money.comebacks,
        format!(
            "{}; {} % of these return, at {} each",
            clearly(&quote.clearly_out),
            plain(100.0 * prices.comeback_share),
            plain(prices.comeback)
        ),
    ));
    if quote.finished.value < 1.0 {
        costs.push(cost(
            "jobs given up",
            "jobs given up",
            &money.given_up,
            format!(
                "{} of jobs are given up, at {} each",
                said(&rest(&quote.finished)),
                plain(prices.given_up)
            ),
        ));
    }
    costs
}

/// What an hour counts as in the cost, and what is charged for it.
pub fn hours_in_it(choice: &Choice, assumptions: &[Assumption]) -> String {
    let prices = &choice.setup.shop.prices;
    let [hour, cost] = [prices.hour, prices.hour_cost].map(plain);
    if hour_cost_left_out(assumptions) {
        format!(
            "An hour is taken to cost the shop the {hour} that it charges (prices.hour): what an hour \
             earns by itself is not in the gain. {} what an hour really costs.",
            wording::key(
                "prices.hour_cost says",
                "The shop file can say (prices.hour_cost)"
            )
        )
    } else {
        format!(
            "An hour is charged at {hour} (prices.hour) and costs the shop {cost} \
             (prices.hour_cost)."
        )
    }
}

/// What a gain leaves out, where the shop file does not say what an hour costs.
pub fn without_hours(assumptions: &[Assumption]) -> Option<String> {
    hour_cost_left_out(assumptions).then(|| {
        format!(
            "Gains are without what the hours themselves earn: {} is not given, and an hour is taken \
             to cost what is charged for it.",
            key("prices.hour_cost")
        )
    })
}

/// Whether the shop file does not say what an hour costs.
pub fn hour_cost_left_out(assumptions: &[Assumption]) -> bool {
    assumptions.iter().any(|a| a.key == "prices.hour_cost")
}
