//! Rows of a CSV file with named columns, each cell with its place.

use std::ops::Range;
use std::path::Path;

use super::csv_column::reader;
use super::open::open;
use super::problem::{Kind, Problem, Problems, Text};
use super::section::number_in_text;
use super::words::nearest;

/// A CSV file by its named columns.
pub(super) struct Rows {
    text: Text,
    /// For each row the cells of the wanted columns; `None` where an optional column is missing.
    pub(super) rows: Vec<Vec<Option<Cell>>>,
}

/// One cell.
#[derive(Debug, Clone)]
pub(super) struct Cell {
    pub(super) text: String,
    /// Its line, from 1.
    pub(super) line: u64,
    span: Range<usize>,
}

impl Rows {
    /// Reads a file whose first line names the columns; others than the wanted ones are passed
    /// over, as are empty lines and those that begin with #.
    ///
    /// # Errors
    /// The file can't be read, or a column that is `true` in `wanted` is not named.
    pub(super) fn read(path: &Path, wanted: &[(&str, bool)]) -> Result<Self, Problems> {
        let text = open(path)?;
        let whole = |reason: String, help: Option<String>| {
            Problem::whole(Kind::BadInput, text.origin.clone(), reason, help)
        };
        let first = text
            .body
            .lines()
            .find(|l| !l.trim().is_empty() && !l.starts_with('#'));
        // spreadsheets of many countries divide by semicolons
        let divider = match first {
            Some(line) if line.contains(';') => b';',
            Some(line) if !line.contains(',') && line.contains('\t') => b'\t',
            _ => b',',
        };
        let mut reader = reader(&text.body, divider);
        let mut records = Vec::new();
        for record in reader.records() {
            let record = record.map_err(|e| whole(format!("not readable as CSV: {e}"), None))?;
            let (line, start) = record
                .position()
                .map_or((1, 0), |p| (p.line(), p.byte() as usize));
            records.push(cells(&text.body, line, start, &record));
        }
        let names: Vec<&str> = wanted.iter().map(|(name, _)| *name).collect();
        let Some(heading) = records.first() else {
            return Err(whole(
                "there is nothing in the file".to_owned(),
                Some(format!(
                    "its first line names the columns: {}",
                    names.join(",")
                )),
            )
            .into());
        };
        let mut columns = Vec::new();
        let mut problems = Vec::new();
        for (name, needed) in wanted {
            let found = heading
                .iter()
                .position(|cell| cell.text.eq_ignore_ascii_case(name));
            if found.is_none() && *needed {
                let there = heading.iter().map(|c| c.text.as_str());
                let near = nearest(name, there.filter(|c| !names.contains(c)));
                problems.push(text.problem(
                    Kind::BadInput,
                    heading.first().map_or(0..0, |cell| cell.span.clone()),
                    format!("the first line names no column `{name}`"),
                    Some(match near {
                        Some(near) => format!("is it `{near}`? Then name it {name}"),
                        None => format!("begin the file with a line {}", names.join(",")),
                    }),
                ));
            }
            columns.push(found);
        }
        if !problems.is_empty() {
            return Err(Problems(problems));
        }
        let rows = records
            .iter()
            .skip(1)
            .filter(|record| record.iter().any(|cell| !cell.text.is_empty()))
            .map(|record| {
                let end = record.last().cloned();
                let cell = |column: &Option<usize>| {
                    let cell = (*column).and_then(|c| record.get(c).cloned());
                    // a row that ends too early lacks its cell at its end
                    let lacking = || column.and(end.clone()).map(|end| end.emptied());
                    cell.or_else(lacking)
                };
                columns.iter().map(cell).collect()
            })
            .collect();
        Ok(Self { text, rows })
    }

    /// A problem at a cell.
    pub(super) fn problem(&self, cell: &Cell, reason: String, help: Option<String>) -> Problem {
        self.text
            .problem(Kind::BadInput, cell.span.clone(), reason, help)
    }

    /// A problem of the file as a whole.
    pub(super) fn whole(&self, reason: String, help: Option<String>) -> Problem {
        Problem::whole(Kind::BadInput, self.text.origin.clone(), reason, help)
    }

    /// The number in a cell.
    ///
    /// # Errors
    /// Where it is none, or not a finite one.
    pub(super) fn number(&self, cell: &Cell, what: &str) -> Result<f64, Problem> {
        if cell.text.is_empty() {
            return Err(self.problem(cell, format!("the {what} is missing"), None));
        }
        match cell.text.parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(number),
            _ => Err(self.problem(
                cell,
                format!("the {what} `{}` is not a number", cell.text),
                number_in_text(&cell.text),
            )),
        }
    }

    /// The whole number in a cell, from `least` on.
    ///
    /// # Errors
    /// Where it is none.
    pub(super) fn count(&self, cell: &Cell, what: &str, least: u32) -> Result<u32, Problem> {
        let number = self.number(cell, what)?;
        if number < f64::from(least) {
            let reason = match least {
                0 => format!("the {what} {number} is negative"),
                _ => format!("the {what} {number} is below {least}"),
            };
            return Err(self.problem(cell, reason, Some("count the shims again".to_owned())));
        }
        if number.fract() != 0.0 {
            return Err(self.problem(
                cell,
                format!("the {what} {number} is no whole number"),
                Some("shims are counted in whole pieces".to_owned()),
            ));
        }
        if number > 100_000.0 {
            return Err(self.problem(
                cell,
                format!("the {what} {number} is more than any drawer holds"),
                Some("100000 at the most".to_owned()),
            ));
        }
        Ok(number as u32)
    }
}

impl Cell {
    fn emptied(&self) -> Self {
        Self {
            text: String::new(),
            line: self.line,
            span: self.span.end..self.span.end,
        }
    }
}

/// The cells of a record, found again in the text one behind the other.
fn cells(body: &str, line: u64, start: usize, record: &csv::StringRecord) -> Vec<Cell> {
    let mut from = start.min(body.len());
    record
        .iter()
        .map(|cell| {
            let at = body[from..].find(cell).map_or(from, |found| from + found);
            let span = at..at + cell.len();
            // past the divider, so that an empty cell does not stay where the last one ended
            let next = body[span.end..].find([',', ';', '\t', '\n']);
            from = next.map_or(span.end, |step| span.end + step + 1);
            Cell {
                text: cell.to_owned(),
                line,
                span,
            }
        })
        .collect()
}
