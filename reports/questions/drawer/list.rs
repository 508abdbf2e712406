//! The list of sizes: what to keep, what to order, what there is too much of.

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::stock::{Levels, Shelf};

use crate::document::{Cell, Column, Table};

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

    /// Shims a year as they are shown: some sizes are put back more often than taken, and the drawer
    /// only loses them by spoiling.
    pub fn used(&self) -> Estimate {
        let above = |figure: f64| figure.max(0.0);
        Estimate {
            value: above(self.used.value),
            low: above(self.used.low),
            high: above(self.used.high),
            n: self.used.n,
        }
    }

    /// Money in shims beyond the level.
    pub fn worth_over(&self) -> f64 {
        f64::from(self.over()) * self.price
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

/// What a list of sizes is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum List {
    /// A box for the road: nothing is used in a year.
    Road,
    /// A drawer that is empty, or whose content is not known.
    Drawer,
    /// A drawer whose content was counted.
    Counted,
}

impl List {
    /// These sizes: what to keep, what to order, what there is too much of. Everything is in CSV.
    pub fn table<'a>(self, rows: impl IntoIterator<Item = &'a Row<'a>>, currency: &str) -> Table {
        let counted = self == Self::Counted;
        let drawer = self != Self::Road;
        let shown = |yes: bool, column: Column| if yes { column } else { column.hidden() };
        let mut table = Table::new([
            Column::words("series").key("series"),
            Column::figures("size").key("size"),
            Column::data("unit"),
            Column::figures(if drawer { "keep" } else { "take" }).key("keep"),
            Column::figures(format!("{currency} each"))
                .key_in("price", currency)
                .may_go(),
            Column::figures(currency).key_in("money", currency).may_go(),
            shown(drawer, Column::halves("used a year").may_go()),
            Column::data("used_per_year"),
            shown(counted, Column::figures("have").key("have")),
            shown(counted, Column::figures("too many").key("too_many")),
            shown(counted, Column::figures("worth").may_go()),
            shown(drawer, Column::figures("order").key("order_packs")),
            shown(drawer, Column::figures("packs of").key("pack_of")),
            Column::data("order_pieces"),
            shown(
                drawer,
                Column::figures("to pay").key_in("order_money", currency),
            ),
        ]);
        let unless_none = |n: u32, text: String| match n {
            0 => Cell::none().as_data(text),
            _ => text.into(),
        };
        let money = |money: f64| format!("{money:.2}");
        for row in rows {
            let (used, over, packs) = (row.used(), row.over(), row.packs());
            let a_year = drawer.then(|| format!("{:.1}", used.value));
            let have = row.have.map(|n| n.to_string());
            table.row([
                row.shelf.name.as_str().into(),
                Cell::from(row.thickness()).as_data(row.printed()),
                row.unit().into(),
                Cell::count(row.keep),
                money(row.price).into(),
                money(row.money()).into(),
                Cell::mean(&used, 1),
                a_year.unwrap_or_default().into(),
                have.unwrap_or_default().into(),
                unless_none(over, over.to_string()),
                unless_none(over, money(row.worth_over())),
                unless_none(packs, packs.to_string()),
                Cell::count(row.shelf.pack_of),
                Cell::count(row.pieces()),
                unless_none(packs, money(row.order_money())),
            ]);
        }
        table
    }
}

/// Every size of a drawer in full, for spreadsheets.
pub fn in_full(rows: &[Row<'_>], currency: &str) -> Table {
    let mut table = Table::new([
        Column::names("series"),
        Column::data("size_mm"),
        Column::data("printed"),
        Column::data("printed_unit"),
        Column::data("keep"),
        Column::data(format!("price_{currency}")),
        Column::data(format!("money_{currency}")),
        Column::intervals("").key("used_per_year"),
        Column::data("pack_of"),
    ]);
    for row in rows {
        table.row([
            row.shelf.name.as_str().into(),
            Cell::data(row.size),
            row.printed().into(),
            row.unit().into(),
            Cell::count(row.keep),
            Cell::data(row.price),
            Cell::data(row.money()),
            Cell::mean(&row.used, 1),
            Cell::count(row.shelf.pack_of),
        ]);
    }
    table
}
