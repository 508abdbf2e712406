//! What is in a drawer, as a CSV file that changes as shims come and go: each change is written whole, with
//! the columns, remarks and order of rows that the file has, or not at all.

use std::path::{Path, PathBuf};

use shimcast_sim::axle::shims::Series;
use shimcast_sim::shop::Shop;
use shimcast_sim::stock::{Levels, Present, Shelf};

use super::csv::{Believed, Cell, Table};
use super::drawer::{MOST_PIECES, SAME_SIZE, no_such_series, tidy};
use super::fingerprint;
use super::open::{whole, without_mark};
use super::problem::{Problems, Text};
use crate::printable::Shown;
use crate::spreadsheet::{Decimal, Entry};
use crate::units::printed_size;
use crate::written::OutputFile;

/// One size of a series, with how many there are.
#[derive(Debug, Clone, PartialEq)]
pub struct CountedSize {
    /// Its series.
    pub series: String,
    /// Thickness as printed, mm.
    pub size: f64,
    /// The unit of its series, mm.
    pub unit: f64,
    /// Pieces in the drawer.
    pub count: u32,
    /// Pieces ordered and not yet delivered.
    pub on_order: u32,
}

impl CountedSize {
    /// What it is called: `P-38 0.10 mm`.
    pub fn name(&self) -> String {
        let unit = if self.unit == 1.0 { "mm" } else { "in" };
        format!(
            "{} {} {unit}",
            self.series,
            printed_size(self.size, self.unit)
        )
    }

    /// Whether it is this size of this series.
    pub fn is(&self, series: &str, size: f64) -> bool {
        self.series == series && (self.size - size).abs() < SAME_SIZE
    }
}

/// What happened to the shims of one size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Booking {
    /// So many were taken out, for a job or because they are spoiled.
    TakenOut(u32),
    /// So many were put in.
    PutIn(u32),
    /// So many were ordered.
    Ordered(u32),
    /// So many came that may have been on order.
    Delivered(u32),
    /// So many were found by counting.
    Counted(u32),
}

/// Why nothing was written.
#[derive(Debug)]
pub enum NotBooked {
    /// The file can't be read, or something is wrong with it.
    Unread(Problems),
    /// There are not as many as are to be taken, or a size is not known: a sentence for each.
    Short(Vec<String>),
    /// The file is not the one that was seen.
    Meanwhile(String),
    /// It can't be written.
    Unwritten(String),
}

impl NotBooked {
    /// What is said of it.
    pub fn message(&self) -> String {
        match self {
            Self::Unread(problems) => problems.to_string(),
            Self::Short(all) => format!("Nothing was booked.\n{}", all.join("\n")),
            Self::Meanwhile(why) | Self::Unwritten(why) => why.clone(),
        }
    }
}

/// A count of a drawer as its file has it: every size of every series of a shop, those that the file does
/// not list with none.
#[derive(Debug)]
pub struct Counts {
    path: PathBuf,
    /// The text on disk.
    text: String,
    table: Table<4>,
    sizes: Vec<CountedSize>,
    /// The row of each size, where it has one.
    rows: Vec<Option<usize>>,
}

/// Places of the columns.
const COUNT: usize = 2;
const ON_ORDER: usize = 3;

impl Counts {
    /// Reads a count. An empty `on_order` is none, and the list of sizes is taken as well, with what was
    /// counted in its column `have`.
    ///
    /// # Errors
    /// Everything that is wrong with the file: a series or size that the shop does not have, a count or
    /// an order that is negative or no whole number, a size listed twice.
    pub fn open(path: &Path, shop: &Shop) -> Result<Self, Problems> {
        let read = whole(path)?;
        let text = read.body.clone();
        let (mut table, counted) = table(without_mark(read))?;
        if counted == "have" && table.rows.iter().all(|row| row[COUNT].text.is_empty()) {
            let help =
                "write into its column have how many there are of each size, 0 where there is none";
            table.nothing("nothing was counted yet", Some(help.to_owned()));
            table = table.checked()?;
        }
        let mut sizes: Vec<CountedSize> = shop.shims.iter().flat_map(none_of).collect();
        let mut rows = vec![None; sizes.len()];
        for (at, row) in table.rows.iter().enumerate() {
            let Some((place, count, on_order)) = of_row(&table, row, shop, &sizes) else {
                continue;
            };
            if let Some(before) = rows[place].replace(at) {
                let [series, size, ..] = row;
                let line = table.rows[before][1].line;
                table.wrong(
                    size,
                    format!("{} {} is in line {line} already", series.text, size.text),
                    Some("put both counts in one row".to_owned()),
                );
                rows[place] = Some(before);
                continue;
            }
            (sizes[place].count, sizes[place].on_order) = (count, on_order);
        }
        let table = table.checked()?;
        Ok(Self {
            path: path.to_owned(),
            text,
            table,
            sizes,
            rows,
        })
    }

    /// What tells this text from another.
    pub fn fingerprint(&self) -> String {
        fingerprint(&self.text)
    }

    /// Every size of every series, in the order of the shop.
    pub fn sizes(&self) -> &[CountedSize] {
        &self.sizes
    }

    /// The mark before the decimals of its figures.
    pub fn decimal(&self) -> Decimal {
        self.table.decimal()
    }

    /// What lies on these shelves and is on order for them.
    pub fn present(&self, shelves: &[Shelf]) -> Present {
        let of = |pieces: fn(&CountedSize) -> u32| -> Levels {
            let on = |shelf: &Shelf| {
                let size = |mm: &f64| {
                    self.sizes
                        .iter()
                        .find(|size| size.is(&shelf.name, *mm))
                        .map_or(0, pieces)
                };
                shelf.sizes.iter().map(size).collect()
            };
            shelves.iter().map(on).collect()
        };
        Present {
            counts: of(|size| size.count),
            on_order: of(|size| size.on_order),
        }
    }

    /// Books what happened, in this order, each to a series and a size, mm, and writes the file: all of it or
    /// nothing. `seen` is the fingerprint of the file that was looked at.
    ///
    /// # Errors
    /// Where one size is short, the file was changed meanwhile, or it can't be written.
    pub fn book(self, seen: &str, bookings: &[(String, f64, Booking)]) -> Result<(), NotBooked> {
        let changed = || {
            NotBooked::Meanwhile(format!(
                "{} was changed by something else meanwhile, and was left alone: nothing was booked. What it \
                 says now is shown; book again what still holds.",
                self.path.shown()
            ))
        };
        if self.fingerprint() != seen {
            return Err(changed());
        }
        let after = self.after(bookings).map_err(NotBooked::Short)?;
        let text = self.with(&after);
        if text == self.text {
            return Ok(());
        }
        let place = OutputFile::claim_again(&self.path).map_err(NotBooked::Unwritten)?;
        let now = whole(&self.path).map_err(|problem| NotBooked::Unread(problem.into()))?;
        if now.body != self.text {
            return Err(changed());
        }
        place.fill_with(&text).map_err(NotBooked::Unwritten)?;
        Ok(())
    }

    /// The sizes after what happened.
    fn after(&self, bookings: &[(String, f64, Booking)]) -> Result<Vec<CountedSize>, Vec<String>> {
        let mut after = self.sizes.clone();
        let mut wrong = Vec::new();
        for (series, size, booking) in bookings {
            match after.iter_mut().find(|of| of.is(series, *size)) {
                Some(of) => wrong.extend(booking.to(of).err()),
                None => wrong.push(format!("{series}: there is no size {} mm", tidy(*size))),
            }
        }
        if wrong.is_empty() {
            Ok(after)
        } else {
            Err(wrong)
        }
    }

    /// The text of the file with these sizes.
    fn with(&self, after: &[CountedSize]) -> String {
        let all = || self.sizes.iter().zip(after).zip(&self.rows);
        let adds_column = !self.table.has(ON_ORDER) && after.iter().any(|size| size.on_order > 0);
        let orders = self.table.has(ON_ORDER) || adds_column;
        let (mut cells, mut rows): (Vec<(&Cell, String)>, Vec<_>) = Default::default();
        for ((before, now), row) in all() {
            let ordered = |none: &str| match now.on_order {
                0 => none.to_owned(),
                some => some.to_string(),
            };
            if let Some(row) = row {
                let row = &self.table.rows[*row];
                if now.count != before.count {
                    cells.push((&row[COUNT], now.count.to_string()));
                }
                if adds_column {
                    cells.push((&row[ON_ORDER], ordered("")));
                } else if now.on_order != before.on_order {
                    cells.push((&row[ON_ORDER], ordered("0")));
                }
            } else if now.count + now.on_order > 0 {
                let above = all().filter(|((other, _), _)| other.series == now.series);
                let above = above.filter_map(|(_, row)| *row).max();
                let figure = |text: String| Entry::Figure(text);
                let row = [
                    Entry::Words(now.series.clone()),
                    figure(printed_size(now.size, now.unit)),
                    figure(now.count.to_string()),
                    figure(if orders { ordered("0") } else { String::new() }),
                ];
                rows.push((above.map(|above| &self.table.rows[above][1]), row));
            }
        }
        let text = self
            .table
            .changed(&cells, &rows, adds_column.then_some("on_order"));
        self.as_on_disk(text)
    }

    /// A text with the byte-order mark and the ends of lines that the file has.
    fn as_on_disk(&self, mut text: String) -> String {
        if self.text.contains('\r') && !self.text.contains('\n') {
            text = text.replace('\n', "\r");
        }
        match self.text.starts_with('\u{feff}') {
            true => format!("\u{feff}{text}"),
            false => text,
        }
    }
}

impl Booking {
    /// Books it to a size.
    fn to(self, of: &mut CountedSize) -> Result<(), String> {
        let name = of.name();
        let more = |before: u32, pieces: u32| match before.saturating_add(pieces) {
            sum if sum <= MOST_PIECES => Ok(sum),
            _ => Err(format!(
                "{name}: more than {MOST_PIECES} are more than any drawer holds"
            )),
        };
        match self {
            Self::TakenOut(pieces) => {
                of.count = of
                    .count
                    .checked_sub(pieces)
                    .ok_or_else(|| short(&name, pieces, of.count))?;
            }
            Self::PutIn(pieces) => of.count = more(of.count, pieces)?,
            Self::Ordered(pieces) => of.on_order = more(of.on_order, pieces)?,
            Self::Delivered(pieces) => {
                of.count = more(of.count, pieces)?;
                of.on_order = of.on_order.saturating_sub(pieces);
            }
            Self::Counted(pieces) => of.count = more(0, pieces)?,
        }
        Ok(())
    }
}

fn short(name: &str, pieces: u32, there: u32) -> String {
    let be = |count: u32| if count == 1 { "is" } else { "are" };
    let there_are = match there {
        0 => "there is none".to_owned(),
        there => format!("there {} {there}", be(there)),
    };
    format!(
        "{name}: {pieces} {} to be taken out and {there_are}; count it again, or take fewer",
        be(pieces)
    )
}

/// The columns of a count, and what the one of the pieces is called.
fn table(text: Text) -> Result<(Table<4>, &'static str), Problems> {
    let names = |name| Table::<1>::names(&text, name);
    // the list of sizes has what was counted by another name
    let counted = match !names("count") && names("have") {
        true => "have",
        false => "count",
    };
    let columns = [
        ("series", true),
        ("size", true),
        (counted, true),
        ("on_order", false),
    ];
    Ok((Table::read(text, columns)?, counted))
}

/// The sizes of a series, with none of each.
fn none_of(series: &Series) -> impl Iterator<Item = CountedSize> {
    series.sizes.iter().map(|size| CountedSize {
        series: series.name.clone(),
        size: *size,
        unit: series.unit,
        count: 0,
        on_order: 0,
    })
}

/// Which size a row is of, how many there are and how many are on order; what is wrong with it is noted.
fn of_row(
    table: &Table<4>,
    [series, size, count, on_order]: &[Cell; 4],
    shop: &Shop,
    sizes: &[CountedSize],
) -> Option<(usize, u32, u32)> {
    let counted = table.whole(count, "count", (0, MOST_PIECES));
    let coming = match on_order.text.as_str() {
        "" => Some(0),
        _ => table.whole(on_order, "on_order", (0, MOST_PIECES)),
    };
    let Some(of) = shop.series(&series.text) else {
        no_such_series(table, series, shop);
        return None;
    };
    let mm = table.number(size, "size", Believed::sizes(of.unit))? * of.unit;
    let place = sizes.iter().position(|known| known.is(&of.name, mm));
    if place.is_none() {
        no_such_size(table, size, of, mm);
    }
    Some((place?, counted?, coming?))
}

fn no_such_size(table: &Table<4>, cell: &Cell, of: &Series, mm: f64) {
    let off = |size: &f64| (size - mm).abs();
    let near = of.sizes.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    let unit = if of.unit == 1.0 { "mm" } else { "in" };
    let near = near.map(|near| tidy(near / of.unit));
    table.wrong(
        cell,
        format!("{} has no size {} {unit}", of.name, cell.text),
        near.map(|near| format!("the nearest is {near} {unit}; sizes are in {unit} here")),
    );
}

/// Writes a new count of every size of a shop's series, where there is no file yet.
///
/// # Errors
/// In words, where there is a file of that name, or it can't be written.
pub fn new_counts(
    path: &Path,
    shop: &Shop,
    decimal: Decimal,
    count: impl Fn(&str, f64) -> u32,
) -> Result<(), String> {
    let mut text = decimal.names(["series", "size", "count", "on_order"]);
    for of in shop.shims.iter().flat_map(none_of) {
        let pieces = count(&of.series, of.size).to_string();
        text.push_str(&decimal.line([
            Entry::Words(of.series),
            Entry::Figure(printed_size(of.size, of.unit)),
            Entry::Figure(pieces),
            Entry::Figure("0".to_owned()),
        ]));
    }
    OutputFile::claim_new(path, "choose another name")?.fill_with(&text)?;
    Ok(())
}

#[cfg(test)]
mod tests;
