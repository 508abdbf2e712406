//! What is in the drawer, and what a supplier offers, from CSV files.

use std::collections::BTreeMap;
use std::path::Path;

use shimcast_sim::axle::shims::Series;
use shimcast_sim::shop::Shop;
use shimcast_sim::stock::{Present, Shelf};

use super::counts::Counts;
use super::csv::{Believed, Cell, Table};
use super::open::open;
use super::problem::Problems;
use super::words::did_you_mean;

/// Sizes nearer than this, mm, are the same size: far less than any two that are sold.
pub(super) const SAME_SIZE: f64 = 1e-4;
/// Most sizes that one series may be offered in.
const MOST_SIZES: usize = 60;
/// Most pieces of one size, more than any drawer holds.
pub(super) const MOST_PIECES: u32 = 100_000;

/// The drawer as counted: for each shelf and size how many there are. Sizes that are not listed are
/// not there.
///
/// # Errors
/// As [`Counts::open`].
pub fn have(path: &Path, shelves: &[Shelf], shop: &Shop) -> Result<Present, Problems> {
    // what the shop has, though no job of its list fits it, is nothing to plan
    Ok(Counts::open(path, shop)?.present(shelves))
}

pub(super) fn no_such_series<const N: usize>(table: &Table<N>, cell: &Cell, shop: &Shop) {
    let names = shop.shims.iter().map(|s| s.name.as_str());
    let reason = if cell.text.is_empty() {
        "the series is missing".to_owned()
    } else {
        format!("{} has no series `{}`", shop.name, cell.text)
    };
    table.wrong(cell, reason, did_you_mean(&cell.text, names, "it has"));
}

/// A figure without the noise of its conversion.
pub(super) fn tidy(figure: f64) -> f64 {
    (figure * 1e7).round() / 1e7
}

/// What a supplier offers: series with other sizes, and the price of each size.
#[derive(Debug, Clone, Default)]
pub struct Offer {
    /// Series as offered, in place of the shop's own of that name.
    pub series: Vec<Series>,
    /// Price of one shim of each size, by the series' name.
    pub prices: BTreeMap<String, Vec<f64>>,
}

/// Reads an offer. Tolerance, spoiling and packs of each series stay as the shop file says.
///
/// # Errors
/// Everything that is wrong with the file: a series that the shop does not have, a size that is not
/// above zero or listed twice, a negative price, packs of less than one.
pub fn offer(path: &Path, shop: &Shop) -> Result<Offer, Problems> {
    let text = open(path)?;
    // the list of sizes names the currency as well
    let with_currency = format!("price_{}", shop.currency);
    let price = match Table::<1>::names(&text, &with_currency) {
        true => with_currency.as_str(),
        false => "price",
    };
    let columns = [
        ("series", true),
        ("size", true),
        (price, true),
        ("pack_of", false),
    ];
    let table = Table::read(text, columns)?;
    let mut sizes: BTreeMap<String, Vec<(f64, f64)>> = BTreeMap::new();
    let mut packs: BTreeMap<String, u32> = BTreeMap::new();
    for [series, size, price, pack_of] in &table.rows {
        let own = shop.series(&series.text);
        if own.is_none() {
            no_such_series(&table, series, shop);
        }
        let unit = own.map_or(1.0, |own| own.unit);
        let size_read = table.number(size, "size", Believed::sizes(unit));
        let paid = table.number(price, "price", Believed::prices());
        let packed = match pack_of.text.as_str() {
            "" => None,
            _ => table.whole(pack_of, "pack_of", (1, MOST_PIECES)),
        };
        let Some(own) = own else {
            continue;
        };
        if let Some(count) = packed
            && let Some(before) = packs.insert(own.name.clone(), count)
            && before != count
        {
            table.wrong(
                pack_of,
                format!("{} comes in packs of {before} in a row above", own.name),
                Some("a series comes in packs of one count".to_owned()),
            );
        }
        let mut thickness = size_read.map(|x| x * own.unit);
        if thickness.take_if(|mm| *mm <= 0.0 || *mm > 100.0).is_some() {
            let reason = format!("the size {} is no shim's thickness", size.text);
            table.wrong(size, reason, None);
        }
        let (Some(mm), Some(paid)) = (thickness, paid) else {
            continue;
        };
        let all = sizes.entry(own.name.clone()).or_default();
        if all.iter().any(|(other, _)| (other - mm).abs() < SAME_SIZE) {
            let again = format!(
                "{} {} is offered in a row above already",
                own.name, size.text
            );
            table.wrong(size, again, Some("leave one of the rows out".to_owned()));
        } else {
            all.push((mm, paid));
        }
    }
    let mut offer = Offer::default();
    for (name, mut all) in sizes {
        if all.len() > MOST_SIZES {
            table.wrong_as_a_whole(
                format!("{} sizes of {name} are too many to choose among", all.len()),
                Some(format!("offer {MOST_SIZES} at the most")),
            );
            continue;
        }
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let own = shop.series(&name).expect("only the shop's series are read");
        offer.series.push(Series {
            sizes: all.iter().map(|(mm, _)| *mm).collect(),
            pack_of: packs.get(&name).copied().unwrap_or(own.pack_of),
            ..own.clone()
        });
        offer
            .prices
            .insert(name, all.iter().map(|(_, price)| *price).collect());
    }
    if offer.series.is_empty() {
        let help = "give a row for each size: series,size,price".to_owned();
        table.nothing("it offers nothing", Some(help));
    }
    table.done(offer)
}

impl Offer {
    /// Takes a size away, in the unit of its series: of what is offered, or of a shop's own where the series
    /// is not.
    ///
    /// # Errors
    /// In words, where there is no such series or size, or no other size of it.
    pub fn leave_out(&mut self, shop: &Shop, name: &str, size: f64) -> Result<(), String> {
        let Some(own) = shop.series(name) else {
            let names = shop.shims.iter().map(|s| s.name.as_str());
            let help = did_you_mean(name, names, "it has").unwrap_or_default();
            return Err(format!(
                "{} has no series `{name}`\n  help: {help}",
                shop.name
            ));
        };
        if !self.series.iter().any(|offered| offered.name == name) {
            self.series.push(own.clone());
        }
        let offered = self.series.iter_mut().find(|offered| offered.name == name);
        let sizes = &mut offered.expect("it was put there").sizes;
        let near = (sizes.iter().enumerate())
            .map(|(i, mm)| (i, tidy(mm / own.unit)))
            .min_by(|a, b| (a.1 - size).abs().total_cmp(&(b.1 - size).abs()));
        match near {
            Some((i, near)) if (near - size).abs() * own.unit < SAME_SIZE => {
                if sizes.len() == 1 {
                    return Err(format!(
                        "{name} has no other size\n  help: leave one at least"
                    ));
                }
                sizes.remove(i);
                if let Some(prices) = self.prices.get_mut(name) {
                    prices.remove(i);
                }
                Ok(())
            }
            Some((_, near)) => Err(format!(
                "{name} has no size {size}\n  help: the nearest is {near}; sizes are in {} here",
                if own.unit == 1.0 { "mm" } else { "in" }
            )),
            None => Err(format!("{name} has no size {size} any more")),
        }
    }

    /// Puts what is offered in place of a shop's own sizes.
    pub fn put_into(&self, shop: &mut Shop) {
        for offered in &self.series {
            if let Some(own) = shop.shims.iter_mut().find(|s| s.name == offered.name) {
                *own = offered.clone();
            }
        }
    }
}
