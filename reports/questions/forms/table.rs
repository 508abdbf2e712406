//! A CSV file that axles and shops read figures from, to be looked at.

use std::path::Path;

use crate::document::{Block, Cell, Column, Section, Table};
use crate::files::{Problems, cells_of};

/// Rows that are shown: nobody reads more of them on a page.
const MOST_ROWS: usize = 500;

/// What stands in a CSV file.
///
/// # Errors
/// Where it can't be read.
pub fn table(path: &Path) -> Result<Section, Problems> {
    let lines = cells_of(path)?;
    let (names, rows) = lines
        .split_first()
        .map_or((&[][..], &[][..]), |(first, rest)| (first, rest));
    let width = lines.iter().map(Vec::len).max().unwrap_or_default();
    let names = names
        .iter()
        .cloned()
        .chain(std::iter::repeat(String::new()));
    let mut table = Table::new(names.take(width).map(Column::words));
    for row in rows.iter().take(MOST_ROWS) {
        table.row(row.iter().map(|text| Cell::from(text.clone())));
    }
    let count = match rows.len() {
        more if more > MOST_ROWS => format!("The first {MOST_ROWS} of {more} rows."),
        1 => "1 row.".to_owned(),
        rows => format!("{rows} rows."),
    };
    Ok(Section::at(
        "",
        "",
        vec![Block::Table(table), Block::Note(count)],
    ))
}
