//! Measured values from a column of a CSV file.

use std::ops::Range;
use std::path::Path;

use super::open::open;
use super::problem::{Kind, Problem, Text};
use super::section::number_in_text;
use super::words::did_you_mean;

/// The values of a column; without a name, of the only column.
///
/// Lines that begin with # and empty cells are passed over. The first line may name the columns.
///
/// # Errors
/// The first flaw found, with its line in the CSV file.
pub(super) fn read(path: &Path, column: Option<&str>) -> Result<Vec<f64>, Problem> {
    let text = open(path)?;
    let mut reader = reader(&text.body, divider(&text.body));
    let mut wanted: Option<usize> = None;
    let mut values = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|e| whole(&text, format!("not readable as CSV: {e}")))?;
        let line = record.position().map_or(1, csv::Position::line);
        let Some(index) = wanted else {
            let index = heading(&text, &record, line, column)?;
            wanted = Some(index);
            // a lone column needs no heading
            if column.is_none()
                && let Ok(x) = record[index].parse::<f64>()
            {
                values.push(finite(&text, line, &record[index], x)?);
            }
            continue;
        };
        match record.get(index) {
            None | Some("") => {}
            Some(cell) => match cell.parse::<f64>() {
                Ok(x) => values.push(finite(&text, line, cell, x)?),
                Err(_) => {
                    return Err(at(
                        &text,
                        line,
                        cell,
                        format!("`{cell}` is not a number"),
                        number_in_text(cell),
                    ));
                }
            },
        }
    }
    if values.is_empty() {
        return Err(whole(&text, "there are no values in it".to_owned()));
    }
    Ok(values)
}

/// Reads the cells of a text as they stand, line by line; lines that begin with # are passed over.
pub(super) fn reader(body: &str, divider: u8) -> csv::Reader<&[u8]> {
    csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .delimiter(divider)
        .from_reader(body.as_bytes())
}

/// What divides the cells of a text; spreadsheets of many countries take semicolons.
pub(super) fn divider(body: &str) -> u8 {
    let first = body
        .lines()
        .find(|l| !l.trim().is_empty() && !l.starts_with('#'));
    match first {
        Some(line) if !line.contains(',') && line.contains(';') => b';',
        Some(line) if !line.contains(',') && line.contains('\t') => b'\t',
        _ => b',',
    }
}

fn heading(
    text: &Text,
    record: &csv::StringRecord,
    line: u64,
    column: Option<&str>,
) -> Result<usize, Problem> {
    match column {
        Some(name) => record.iter().position(|c| c == name).ok_or_else(|| {
            at(
                text,
                line,
                record.get(0).unwrap_or(""),
                format!("the first line names no column `{name}`"),
                did_you_mean(name, record.iter().filter(|c| !c.is_empty()), "it names"),
            )
        }),
        None if record.len() == 1 => Ok(0),
        None => Err(at(
            text,
            line,
            record.get(0).unwrap_or(""),
            format!("there are {} columns", record.len()),
            Some("say which one is meant: column = \"…\", as named in the first line".to_owned()),
        )),
    }
}

fn finite(text: &Text, line: u64, cell: &str, x: f64) -> Result<f64, Problem> {
    if x.is_finite() {
        Ok(x)
    } else {
        Err(at(
            text,
            line,
            cell,
            format!("`{cell}` is not a finite number"),
            None,
        ))
    }
}

pub(super) fn whole(text: &Text, reason: String) -> Problem {
    Problem::whole(Kind::BadInput, text.origin.clone(), reason, None)
}

/// A problem at a cell of a line.
pub(super) fn at(
    text: &Text,
    line: u64,
    cell: &str,
    reason: String,
    help: Option<String>,
) -> Problem {
    let skip = usize::try_from(line.saturating_sub(1)).unwrap_or(0);
    let start: usize = text
        .body
        .split_inclusive('\n')
        .take(skip)
        .map(str::len)
        .sum();
    let found = text.body[start..].find(cell).unwrap_or(0);
    let span: Range<usize> = start + found..start + found + cell.len().max(1);
    text.problem(Kind::BadInput, span, reason, help)
}
