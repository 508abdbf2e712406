//! What is in the drawer, and what a supplier offers, from CSV files.

use std::collections::BTreeMap;
use std::path::Path;

use shimcast_sim::shims::Series;
use shimcast_sim::shop::Shop;
use shimcast_sim::stock::{Levels, Shelf};

use super::problem::{Problem, Problems};
use super::rows::{Cell, Rows};
use super::words::did_you_mean;

/// Sizes nearer than this, mm, are the same size: far less than any two that are sold.
const SAME_SIZE: f64 = 1e-4;
/// Most sizes that one series may be offered in.
const MOST_SIZES: usize = 60;

/// The drawer as counted: for each shelf and size how many there are. Sizes that are not listed are
/// not there.
///
/// # Errors
/// Everything that is wrong with the file: a series or size that the shelves do not have, a count
/// that is negative or no whole number, a size listed twice.
pub fn have(path: &Path, shelves: &[Shelf], shop: &Shop) -> Result<Levels, Problems> {
    let rows = Rows::read(path, &[("series", true), ("size", true), ("count", true)])?;
    let mut counts: Levels = shelves.iter().map(|s| vec![0; s.sizes.len()]).collect();
    let mut lines: Vec<Vec<Option<u64>>> =
        shelves.iter().map(|s| vec![None; s.sizes.len()]).collect();
    let mut problems = Vec::new();
    for row in &rows.rows {
        let [Some(series), Some(size), Some(count)] = &row[..] else {
            continue;
        };
        let counted = rows.count(count, "count", 0);
        match shelves.iter().position(|s| s.name == series.text) {
            None if shop.series(&series.text).is_some() => {
                // the shop has it, though no job of its list fits it: nothing to plan
                problems.extend(counted.err());
            }
            None => {
                problems.push(no_such_series(&rows, series, shop));
                problems.extend(counted.err());
            }
            Some(place) => {
                let shelf = &shelves[place];
                let found = rows
                    .number(size, "size")
                    .and_then(|x| size_of(&rows, size, shelf, x));
                match (found, counted) {
                    (Ok(i), Ok(count)) => match lines[place][i] {
                        Some(before) => problems.push(rows.problem(
                            size,
                            format!("{} {} is in line {before} already", series.text, size.text),
                            Some("put both counts in one row".to_owned()),
                        )),
                        None => {
                            lines[place][i] = Some(size.line);
                            counts[place][i] = count;
                        }
                    },
                    (found, counted) => {
                        problems.extend(found.err());
                        problems.extend(counted.err());
                    }
                }
            }
        }
    }
    done(problems, counts)
}

fn size_of(rows: &Rows, cell: &Cell, shelf: &Shelf, size: f64) -> Result<usize, Problem> {
    let mm = size * shelf.unit;
    let found = shelf
        .sizes
        .iter()
        .position(|have| (have - mm).abs() < SAME_SIZE);
    found.ok_or_else(|| {
        let near = shelf
            .sizes
            .iter()
            .min_by(|a, b| (*a - mm).abs().total_cmp(&(*b - mm).abs()))
            .map(|near| tidy(near / shelf.unit));
        let unit = if shelf.unit == 1.0 { "mm" } else { "in" };
        rows.problem(
            cell,
            format!("{} has no size {} {unit}", shelf.name, cell.text),
            near.map(|near| format!("the nearest is {near} {unit}; sizes are in {unit} here")),
        )
    })
}

fn no_such_series(rows: &Rows, cell: &Cell, shop: &Shop) -> Problem {
    let names: Vec<&str> = shop.shims.iter().map(|s| s.name.as_str()).collect();
    let reason = if cell.text.is_empty() {
        "the series is missing".to_owned()
    } else {
        format!("{} has no series `{}`", shop.name, cell.text)
    };
    rows.problem(
        cell,
        reason,
        did_you_mean(&cell.text, names.iter().copied(), "it has"),
    )
}

/// A figure without the noise of its conversion.
fn tidy(figure: f64) -> f64 {
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
    let columns = [
        ("series", true),
        ("size", true),
        ("price", true),
        ("pack_of", false),
    ];
    let rows = Rows::read(path, &columns)?;
    let mut problems = Vec::new();
    let mut sizes: BTreeMap<String, Vec<(f64, f64)>> = BTreeMap::new();
    let mut packs: BTreeMap<String, u32> = BTreeMap::new();
    for row in &rows.rows {
        let [Some(series), Some(size), Some(price), pack_of] = &row[..] else {
            continue;
        };
        let Some(own) = shop.series(&series.text) else {
            problems.push(no_such_series(&rows, series, shop));
            continue;
        };
        let wrong = |cell: &Cell, reason: String| Err(rows.problem(cell, reason, None));
        let read = rows.number(size, "size").and_then(|x| match x * own.unit {
            mm if mm > 0.0 && mm <= 100.0 => Ok(mm),
            _ => wrong(
                size,
                format!("the size {} is no shim's thickness", size.text),
            ),
        });
        let paid = rows.number(price, "price").and_then(|x| match x {
            x if x >= 0.0 => Ok(x),
            _ => wrong(price, format!("the price {} is negative", price.text)),
        });
        if let Some(cell) = pack_of.as_ref().filter(|cell| !cell.text.is_empty()) {
            match rows.count(cell, "pack_of", 1) {
                Ok(count) => match packs.insert(own.name.clone(), count) {
                    Some(before) if before != count => problems.push(rows.problem(
                        cell,
                        format!("{} comes in packs of {before} in a row above", own.name),
                        Some("a series comes in packs of one count".to_owned()),
                    )),
                    _ => {}
                },
                Err(problem) => problems.push(problem),
            }
        }
        match (read, paid) {
            (Ok(mm), Ok(paid)) => {
                let all = sizes.entry(own.name.clone()).or_default();
                if all.iter().any(|(other, _)| (other - mm).abs() < SAME_SIZE) {
                    problems.push(rows.problem(
                        size,
                        format!(
                            "{} {} is offered in a row above already",
                            own.name, size.text
                        ),
                        Some("leave one of the rows out".to_owned()),
                    ));
                } else {
                    all.push((mm, paid));
                }
            }
            (read, paid) => {
                problems.extend(read.err());
                problems.extend(paid.err());
            }
        }
    }
    let mut offer = Offer::default();
    for (name, mut all) in sizes {
        if all.len() > MOST_SIZES {
            problems.push(rows.whole(
                format!("{} sizes of {name} are too many to choose among", all.len()),
                Some(format!("offer {MOST_SIZES} at the most")),
            ));
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
    if problems.is_empty() && offer.series.is_empty() {
        problems.push(rows.whole(
            "it offers nothing".to_owned(),
            Some("give a row for each size: series,size,price".to_owned()),
        ));
    }
    done(problems, offer)
}

impl Offer {
    /// Puts what is offered in place of a shop's own sizes.
    pub fn put_into(&self, shop: &mut Shop) {
        for offered in &self.series {
            if let Some(own) = shop.shims.iter_mut().find(|s| s.name == offered.name) {
                *own = offered.clone();
            }
        }
    }
}

fn done<T>(problems: Vec<Problem>, answer: T) -> Result<T, Problems> {
    if problems.is_empty() {
        Ok(answer)
    } else {
        Err(Problems(problems))
    }
}
