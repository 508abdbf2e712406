//! Tables for other tools: one line of names, figures in full. Shares from 0 to 1; a name ends in the
//! unit or currency of its figures; what is not known is left empty.

use crate::document::{Column, Made, Shown, Table};
use crate::spreadsheet::{Decimal, Entry};

/// What a table is made from, in lines that readers of CSV pass over: each begins with `#`.
pub fn head(made: &Made) -> String {
    made.lines().iter().map(|line| remark(line)).collect()
}

/// A line that readers of CSV pass over.
fn remark(line: &str) -> String {
    let printable = line.replace(char::is_control, " ");
    format!("# {printable}\n")
}

/// A table as a file of its own, with its head.
pub fn file(made: &Made, table: &Table, decimal: Decimal) -> String {
    file_with(made, &[], table, decimal)
}

/// The same with remarks behind its head, a line each.
pub fn file_with(made: &Made, remarks: &[String], table: &Table, decimal: Decimal) -> String {
    let remarks: String = remarks.iter().map(|line| remark(line)).collect();
    head(made) + &remarks + &text(table, decimal)
}

/// The columns that have a key (RFC 4180, but lines end in a line feed, and with a decimal comma
/// semicolons divide the cells). What stands below a column of words stays as it is.
pub fn text(table: &Table, decimal: Decimal) -> String {
    let keyed = |column: &&Column| column.key.is_some();
    let mut head = Vec::new();
    for column in table.columns.iter().filter(keyed) {
        let key = column.key.as_deref().unwrap_or_default();
        head.push(key.to_owned());
        if has_ends(column) {
            head.extend([format!("{key}_low"), format!("{key}_high")]);
        }
    }
    let mut text = decimal.names(head);
    for row in &table.rows {
        let mut entries = Vec::new();
        for (column, cell) in table.under_columns(row).filter(|(column, _)| keyed(column)) {
            entries.push(match column.words {
                true => Entry::Words(cell.in_full()),
                false => Entry::Figure(cell.in_full()),
            });
            if has_ends(column) {
                entries.extend(cell.ends_in_full().map(Entry::Figure));
            }
        }
        text.push_str(&decimal.line(entries));
    }
    text
}

fn has_ends(column: &Column) -> bool {
    matches!(column.shown, Shown::Interval | Shown::Half)
}
