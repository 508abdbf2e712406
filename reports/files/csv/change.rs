//! A CSV file with other words in some of its cells and with more rows; all else stays as it is, to the
//! byte.

use std::ops::Range;

use super::Table;
use super::cells::Cell;
use crate::spreadsheet::{Decimal, Entry};

/// What takes the place of a piece of text.
type Change = (Range<usize>, String);

impl<const N: usize> Table<N> {
    /// The decimal mark of its figures; where none has decimals, the one that what divides the cells leaves.
    pub(in crate::files) fn decimal(&self) -> Decimal {
        match (self.divider, self.marks.point, self.marks.comma) {
            (',', ..) | (_, true, false) => Decimal::Point,
            _ => Decimal::Comma,
        }
    }

    /// Whether the first line names this one of the wanted columns.
    pub(in crate::files) fn has(&self, column: usize) -> bool {
        self.columns[column].is_some()
    }

    /// The text with other words in these cells, and with new rows, each behind the row of a cell or at the
    /// end. A name is that of one more column, which has the last place.
    pub(in crate::files) fn changed(
        &self,
        cells: &[(&Cell, String)],
        rows: &[(Option<&Cell>, [Entry; N])],
        more: Option<&str>,
    ) -> String {
        let named = more.map(|name| (&self.beyond, name.to_owned()));
        let cells = cells.iter().cloned().chain(named);
        let mut changes: Vec<Change> = cells
            .map(|(cell, text)| self.in_cell(cell, &text))
            .collect();
        changes.extend(
            rows.iter()
                .map(|(behind, row)| self.new_row(*behind, row, more.is_some())),
        );
        // rows at one place keep their order
        changes.sort_by_key(|(place, _)| place.start);
        let (mut text, mut at) = (String::new(), 0);
        for (place, new) in changes {
            text.push_str(&self.text.body[at..place.start]);
            text.push_str(&new);
            at = place.end;
        }
        text + &self.text.body[at..]
    }

    fn in_cell(&self, cell: &Cell, text: &str) -> Change {
        let missing = self.divider.to_string().repeat(cell.missing);
        (cell.span.clone(), missing + text)
    }

    fn new_row(&self, behind: Option<&Cell>, row: &[Entry; N], more: bool) -> Change {
        let body = &self.text.body;
        let end_of_line = if body.contains("\r\n") { "\r\n" } else { "\n" };
        let mut cells = vec![String::new(); self.width + usize::from(more)];
        for (column, entry) in self.columns.iter().zip(row) {
            if let Some(cell) = cells.get_mut(column.unwrap_or(self.width)) {
                *cell = self.written(entry);
            }
        }
        let row = cells.join(&self.divider.to_string());
        let line = behind.and_then(|cell| {
            body[cell.span.end..]
                .find('\n')
                .map(|to| cell.span.end + to + 1)
        });
        let place = line.unwrap_or(body.len());
        let text = match body[..place].ends_with('\n') {
            true => format!("{row}{end_of_line}"),
            // the last line ends with the file
            false => format!("{end_of_line}{row}"),
        };
        (place..place, text)
    }

    /// A cell, in quotes where it has to be.
    fn written(&self, entry: &Entry) -> String {
        match entry {
            Entry::Figure(figure) => self.decimal().figure(figure),
            Entry::Words(words) => {
                let text = Decimal::Point.names([words.as_str()]);
                let text = text.trim_end_matches('\n');
                match text.contains(self.divider) && !text.starts_with('"') {
                    true => format!("\"{text}\""),
                    false => text.to_owned(),
                }
            }
        }
    }
}
