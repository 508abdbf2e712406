//! What a price is made of, so that it can be added up by hand.

use shimcast_sim::quote::{Flat, Terms};

use super::{Choice, costs};
use crate::document::{Column, Table};
use crate::figures::{Rounded, plain};
use crate::files::Assumption;

/// The parts of a price, each in whole units of the currency. They add up as printed.
pub fn table(choice: &Choice, flat: &Flat, assumptions: &[Assumption]) -> Table {
    let Choice { setup, terms, .. } = choice;
    let Terms {
        margin,
        tax,
        parts,
        parts_margin,
    } = *terms;
    let hour = setup.shop.prices.hour;
    let costs = costs::costs(choice, assumptions);
    let mut rows = vec![(
        format!("{:.2} flat hours", flat.hours),
        flat.hours * hour,
        format!("at {} an hour, as charged", plain(hour)),
    )];
    for cost in &costs[1..] {
        let from = "of a mean job".to_owned();
        rows.push((cost.in_price.to_owned(), cost.mean.value, from));
    }
    let work = flat.price - terms.parts_charged();
    if margin > 0.0 {
        let of_work = format!("{} % of the price without parts", plain(100.0 * margin));
        rows.push(("margin".into(), margin * work, of_work));
    }
    if parts > 0.0 {
        let what = match parts_margin > 0.0 {
            true => "at what they cost the shop",
            false => "passed on at cost",
        };
        rows.push(("parts".into(), parts, what.into()));
    }
    if parts > 0.0 && parts_margin > 0.0 {
        let of_parts = format!("{} % of what they cost", plain(100.0 * parts_margin));
        rows.push(("put on the parts".into(), terms.parts_gain(), of_parts));
    }
    let exact: Vec<f64> = rows.iter().map(|(_, amount, _)| *amount).collect();
    let rounded = Rounded::together(&exact, 0);
    let mut table = Table::new([Column::words(""), Column::figures(""), Column::words("")])
        .caption(format!(
            "What the price is made of, {}",
            setup.shop.currency
        ));
    for ((name, _, from), amount) in rows.into_iter().zip(&rounded) {
        table.row([name.into(), (*amount).into(), from.into()]);
    }
    let price = Rounded::sum(&rounded);
    let without = match parts > 0.0 {
        true => "",
        false => "new gears and bearings not included",
    };
    table.row(["price before tax".into(), price.into(), without.into()]);
    if tax > 0.0 {
        let with_tax = Rounded::alone(choice.with_tax(flat), 0);
        let taxed = format!("{} % of the price before it", plain(100.0 * tax));
        table.row(["tax".into(), price.rest_of(with_tax).into(), taxed.into()]);
        table.name("price with tax", with_tax);
    }
    table
}
