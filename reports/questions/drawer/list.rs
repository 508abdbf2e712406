//! The list of sizes: what to keep, what to order, what there is too much of.

use shimcast_sim::estimate::Estimate;
use shimcast_sim::stock::{Levels, Shelf};

use crate::spreadsheet::line;

/// One size of one series.
#[derive(Debug, Clone)]
pub struct Row<'a> {
    /// Its series.
    pub shelf: &'a Shelf,
    /// Thickness as printed, mm.
    pub size: f64,
    /// Price of one shim.
    pub price: f64,
    /// Level to keep.
    pub keep: u32,
    /// How many there are, where that is known.
    pub have: Option<u32>,
    /// Shims a year taken from the drawer, less those put back.
    pub used: Estimate,
}

impl Row<'_> {
    /// Money in the drawer at its level.
    pub fn money(&self) -> f64 {
        f64::from(self.keep) * self.price
    }

    /// Packs to order now; from an empty drawer where it is not known what is in it.
    pub fn packs(&self) -> u32 {
        let missing = self.keep.saturating_sub(self.have.unwrap_or(0));
        missing.div_ceil(self.shelf.pack_of)
    }

    /// Shims in these packs.
    pub fn pieces(&self) -> u32 {
        self.packs() * self.shelf.pack_of
    }

    /// What these packs cost.
    pub fn order_money(&self) -> f64 {
        f64::from(self.pieces()) * self.price
    }

    /// Shims beyond the level.
    pub fn over(&self) -> u32 {
        self.have.unwrap_or(0).saturating_sub(self.keep)
    }

    /// The size in its series' own unit: `0.10`, `0.0015`.
    pub fn printed(&self) -> String {
        printed(self.size, self.shelf.unit)
    }

    /// The same with its unit: `0.10 mm`.
    pub fn thickness(&self) -> String {
        thickness(self.size, self.shelf)
    }

    /// "mm" or "in".
    pub fn unit(&self) -> &'static str {
        unit(self.shelf)
    }
}

/// "mm" or "in".
pub fn unit(shelf: &Shelf) -> &'static str {
    if shelf.unit == 1.0 { "mm" } else { "in" }
}

/// A thickness, mm, in a series' own unit: two decimals in mm and three in inches, more where the
/// size has them.
pub fn printed(size: f64, unit: f64) -> String {
    let figure = size / unit;
    let least = if unit == 1.0 { 2 } else { 3 };
    (least..6)
        .map(|places| format!("{figure:.places$}"))
        .find(|text| {
            text.parse::<f64>()
                .is_ok_and(|shown| (shown - figure).abs() < 1e-7)
        })
        .unwrap_or_else(|| format!("{figure:.6}"))
}

/// A thickness, mm, in a series' own unit and with it: `0.10 mm`.
pub fn thickness(size: f64, shelf: &Shelf) -> String {
    format!("{} {}", printed(size, shelf.unit), unit(shelf))
}

/// Every size of every series.
pub fn rows<'a>(
    shelves: &'a [Shelf],
    levels: &Levels,
    have: Option<&Levels>,
    used: &[Vec<Estimate>],
) -> Vec<Row<'a>> {
    let mut all = Vec::new();
    for (s, shelf) in shelves.iter().enumerate() {
        for (i, size) in shelf.sizes.iter().enumerate() {
            all.push(Row {
                shelf,
                size: *size,
                price: shelf.prices[i],
                keep: levels[s][i],
                have: have.map(|have| have[s][i]),
                used: used[s][i],
            });
        }
    }
    all
}

/// The rows as CSV, for a spreadsheet; what is used in a year is left empty for a box that is packed
/// for a number of jobs.
pub fn csv(rows: &[Row<'_>], for_a_year: bool) -> String {
    let mut text = line(&[
        "series",
        "size",
        "unit",
        "keep",
        "price",
        "money",
        "used_per_year",
        "have",
        "too_many",
        "order_packs",
        "pack_of",
        "order_pieces",
        "order_money",
    ]);
    for row in rows {
        let have = row.have.map_or(String::new(), |n| n.to_string());
        text.push_str(&line(&[
            row.shelf.name.clone(),
            row.printed(),
            row.unit().to_owned(),
            row.keep.to_string(),
            format!("{:.2}", row.price),
            format!("{:.2}", row.money()),
            match for_a_year {
                true => format!("{:.1}", row.used.value.max(0.0)),
                false => String::new(),
            },
            have,
            row.over().to_string(),
            row.packs().to_string(),
            row.shelf.pack_of.to_string(),
            row.pieces().to_string(),
            format!("{:.2}", row.order_money()),
        ]));
    }
    text
}
