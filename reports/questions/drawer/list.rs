//! The list of sizes: what to keep, what to order, what there is too much of.

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::stock::{Levels, Present, Shelf};

use crate::document::{Cell, Column, Table};
use crate::files::Supply;
pub use crate::units::printed_size as printed;

/// A quarter in years.
pub const QUARTER: f64 = 0.25;

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
    /// How many are ordered and not yet delivered, where that is known.
    pub on_order: Option<u32>,
    /// Where its series is bought, where that was asked for.
    pub supply: Option<&'a Supply>,
    /// Shims a year taken from the drawer, less those put back.
    pub used: Estimate,
}

impl<'a> Row<'a> {
    /// Money in the drawer at its level.
    pub fn money(&self) -> f64 {
        f64::from(self.keep) * self.price
    }

    /// Packs that bring the size to its level now, with what is on order; from an empty drawer where it
    /// is not known what is in it.
    fn packs_missing(&self) -> u32 {
        let there = self.have.unwrap_or(0) + self.on_order.unwrap_or(0);
        self.keep.saturating_sub(there).div_ceil(self.shelf.pack_of)
    }

    /// How many there are once everything is delivered: at its level where nothing was counted.
    pub fn then(&self) -> u32 {
        match self.have {
            Some(have) => have + self.on_order.unwrap_or(0) + self.pieces(),
            None => self.keep,
        }
    }

    /// Packs to order now: those missing, and at least as many as are delivered of a size.
    pub fn packs(&self) -> u32 {
        match self.packs_missing() {
            0 => 0,
            missing => missing.max(self.least_order()),
        }
    }

    /// Packs of a size that are delivered at least.
    pub fn least_order(&self) -> u32 {
        self.supply.map_or(1, |supply| supply.least_order)
    }

    /// Shims in these packs.
    pub fn pieces(&self) -> u32 {
        self.packs() * self.shelf.pack_of
    }

    /// What these packs cost, to the cent, so that a sum is that of the rows as shown.
    pub fn order_money(&self) -> f64 {
        to_the_cent(f64::from(self.pieces()) * self.price)
    }

    /// What of it is paid only because so many packs are delivered at least.
    pub fn least_order_money(&self) -> f64 {
        let missing = self.packs_missing() * self.shelf.pack_of;
        self.order_money() - to_the_cent(f64::from(missing) * self.price)
    }

    /// Who sells it, where the shop says so.
    pub fn supplier(&self) -> Option<&'a str> {
        self.supply?.supplier.as_deref()
    }

    /// The supplier's part number, where the shop says so.
    pub fn part_number(&self) -> Option<&'a str> {
        self.supply?.part_number(self.size)
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

/// Rounded to a hundredth of the currency.
fn to_the_cent(amount: f64) -> f64 {
    (amount * 100.0).round() / 100.0
}

/// "mm" or "in".
pub fn unit(shelf: &Shelf) -> &'static str {
    if shelf.unit == 1.0 { "mm" } else { "in" }
}

/// A thickness, mm, in a series' own unit and with it: `0.10 mm`.
pub fn thickness(size: f64, shelf: &Shelf) -> String {
    format!("{} {}", printed(size, shelf.unit), unit(shelf))
}

/// Every size of every series.
pub fn rows<'a>(
    shelves: &'a [Shelf],
    levels: &Levels,
    have: Option<&Present>,
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
                have: have.map(|have| have.counts[s][i]),
                on_order: have.map(|have| have.on_order[s][i]),
                supply: None,
                used: used[s][i],
            });
        }
    }
    all
}

/// The same rows with where each series is bought.
pub fn bought_from<'a>(mut rows: Vec<Row<'a>>, supplies: &'a [Supply]) -> Vec<Row<'a>> {
    for row in &mut rows {
        let of_series = |supply: &&Supply| supply.series == row.shelf.name;
        row.supply = supplies.iter().find(of_series);
    }
    rows
}

/// What a list of sizes is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum List {
    /// A box for the road: nothing is used in a year.
    Road,
    /// What to keep in a drawer: what is ordered and used stands in tables of its own.
    Levels,
    /// A drawer that is empty, or whose content is not known.
    Drawer,
    /// A drawer whose content was counted.
    Counted,
}

impl List {
    /// These sizes: what to keep, what to order, what there is too much of, where it is bought. Everything
    /// is in CSV.
    pub fn table<'a>(self, rows: impl IntoIterator<Item = &'a Row<'a>>, currency: &str) -> Table {
        let rows: Vec<&Row<'_>> = rows.into_iter().collect();
        let mut table = Table::new(self.columns(&rows, currency));
        for row in rows {
            table.row(self.cells(row));
        }
        table
    }

    /// What has a place on the screen only where it is of use has it by these rows. New columns of CSV come
    /// last.
    fn columns(self, rows: &[&Row<'_>], currency: &str) -> Vec<Column> {
        let counted = self == Self::Counted;
        let (drawer, levels) = (self != Self::Road, self == Self::Levels);
        let ordered = drawer && !levels;
        let any = |of: fn(&Row<'_>) -> bool| rows.iter().any(|row| of(row));
        let shown = |yes: bool, column: Column| if yes { column } else { column.hidden() };
        let mut columns = vec![
            Column::words("series").key("series"),
            Column::figures("size").key("size"),
            Column::data("unit"),
            Column::figures(if drawer { "keep" } else { "take" }).key("keep"),
            Column::figures(format!("{currency} each"))
                .key_in("price", currency)
                .may_go(),
            Column::figures(currency).key_in("money", currency).may_go(),
            shown(ordered, Column::halves("used a year").may_go()),
            Column::data("used_per_year"),
            shown(counted, Column::figures("have").key("have")),
            shown(
                any(|row| row.on_order > Some(0)),
                Column::figures("on order"),
            ),
            shown(counted, Column::figures("too many").key("too_many")),
            shown(counted, Column::figures("worth").may_go()),
            shown(ordered, Column::figures("order").key("order_packs")),
            shown(ordered, Column::figures("packs of").key("pack_of")),
            Column::data("order_pieces"),
            shown(
                ordered,
                Column::figures("to pay").key_in("order_money", currency),
            ),
            shown(
                !levels && any(|row| row.supplier().is_some()),
                Column::words("supplier").key("supplier").may_go(),
            ),
            shown(
                !levels && any(|row| row.part_number().is_some()),
                Column::words("part number").key("part_number").may_go(),
            ),
        ];
        if drawer {
            let key = |key: &str| Column::data(format!("{key}_{currency}"));
            columns.extend([
                Column::data("on_order"),
                Column::data("used_per_quarter"),
                key("used_money_per_quarter"),
                key("used_money_per_year"),
            ]);
        }
        columns
    }

    fn cells(self, row: &Row<'_>) -> Vec<Cell> {
        let unless_none = |n: u32, text: String| match n {
            0 => Cell::none().as_data(text),
            _ => text.into(),
        };
        let money = |money: f64| format!("{money:.2}");
        let text = |count: Option<u32>| count.map(|n| n.to_string()).unwrap_or_default();
        let drawer = self != Self::Road;
        let (used, over, packs) = (row.used(), row.over(), row.packs());
        let a_year = drawer.then(|| format!("{:.1}", used.value));
        let coming = row.on_order.unwrap_or(0);
        let mut cells = vec![
            row.shelf.name.as_str().into(),
            Cell::from(row.thickness()).as_data(row.printed()),
            row.unit().into(),
            Cell::count(row.keep),
            money(row.price).into(),
            money(row.money()).into(),
            Cell::mean(&used, 1),
            a_year.unwrap_or_default().into(),
            text(row.have).into(),
            unless_none(coming, coming.to_string()),
            unless_none(over, over.to_string()),
            unless_none(over, money(row.worth_over())),
            unless_none(packs, packs.to_string()),
            Cell::count(row.shelf.pack_of),
            Cell::count(row.pieces()),
            unless_none(packs, money(row.order_money())),
            row.supplier().unwrap_or_default().into(),
            row.part_number().unwrap_or_default().into(),
        ];
        if drawer {
            let [quarter, year] = [QUARTER, 1.0].map(|part| part * used.value);
            cells.extend([
                text(row.on_order).into(),
                format!("{quarter:.2}").into(),
                money(quarter * row.price).into(),
                money(year * row.price).into(),
            ]);
        }
        cells
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
