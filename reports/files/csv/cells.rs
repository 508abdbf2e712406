//! The cells of a text line by line, each with the place where it was read.
//!
//! The `csv` crate says where a line begins, but not where its cells are, and takes a quote that
//! is never closed without a word; so the text is divided here.

use std::ops::Range;

use crate::spreadsheet::without_apostrophe;

/// One cell.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(in crate::files) struct Cell {
    /// What it says, without quotes, the blanks around it and an apostrophe against formulas.
    pub(in crate::files) text: String,
    /// Its line, from 1.
    pub(in crate::files) line: usize,
    /// The bytes that it takes, with its quotes; where it is empty, the place between the dividers.
    pub(super) span: Range<usize>,
    /// Dividers that are missing before it, where its row ends too early.
    pub(super) missing: usize,
}

/// Most cells of a line: a hundred times what a list of anybody's has.
pub(super) const MOST_IN_A_LINE: usize = 1000;

/// The cells of a line.
pub(super) type Line = Vec<Cell>;

/// What keeps a line from being divided.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct BadLine {
    pub(super) span: Range<usize>,
    pub(super) reason: String,
    pub(super) help: &'static str,
}

/// Goes through the lines of a text that are neither blank nor remarks behind a #.
pub(super) struct Lines<'a> {
    body: &'a str,
    divider: char,
    at: usize,
    line: usize,
    /// Some quote was never closed: from there on they are looked for in their own line alone.
    open: bool,
}

impl<'a> Lines<'a> {
    pub(super) fn new(body: &'a str, divider: char) -> Self {
        Self {
            body,
            divider,
            at: 0,
            line: 1,
            open: false,
        }
    }

    /// From a place to the end of its line.
    fn rest_of_line(&self, at: usize) -> &'a str {
        self.body[at..].split('\n').next().unwrap_or("")
    }

    /// From a place to the end of its cell, where no quotes are in the way.
    fn rest_of_cell(&self, at: usize) -> &'a str {
        let ends = |c| c == self.divider || c == '\n';
        self.body[at..].split(ends).next().unwrap_or("")
    }

    fn cell(&mut self) -> Result<Cell, BadLine> {
        let whole = self.rest_of_cell(self.at);
        let text = whole.trim_start();
        let start = self.at + whole.len() - text.len();
        if text.starts_with('"') {
            return self.quoted(start);
        }
        let text = text.trim_end();
        let start = if text.is_empty() { self.at } else { start };
        self.at += whole.len();
        Ok(Cell {
            text: without_apostrophe(text).into_owned(),
            line: self.line,
            span: start..start + text.len(),
            missing: 0,
        })
    }

    /// A cell in quotes, which may hold dividers, line ends and doubled quotes.
    fn quoted(&mut self, start: usize) -> Result<Cell, BadLine> {
        let mut text = String::new();
        let mut end = start + 1;
        let limit = match self.open {
            true => start + self.rest_of_line(start).len(),
            false => self.body.len(),
        };
        while let Some(step) = self.body[end..limit].find('"') {
            text.push_str(&self.body[end..end + step]);
            end += step + 1;
            if self.body[end..limit].starts_with('"') {
                text.push('"');
                end += 1;
                continue;
            }
            let lines = self.body[start..end].matches('\n').count();
            let behind = self.rest_of_cell(end);
            if behind.trim().is_empty() {
                let line = self.line;
                self.at = end + behind.len();
                self.line += lines;
                return Ok(Cell {
                    text: without_apostrophe(text.trim()).into_owned(),
                    line,
                    span: start..end,
                    missing: 0,
                });
            }
            if lines == 0 {
                let more = behind.trim();
                let at = end + behind.len() - behind.trim_start().len();
                return Err(BadLine {
                    span: at..at + more.len(),
                    reason: format!("`{more}` follows the closing quote"),
                    help: "write a quote that belongs to the text twice: \"\"",
                });
            }
            // closed on another line, and not at the end of a cell: that was the next one's quote
            break;
        }
        self.open |= !self.body[end..].contains('"');
        Err(BadLine {
            span: start..start + self.rest_of_line(start).len(),
            reason: "this quote is never closed".to_owned(),
            help: "close it at the end of the cell, or take it out",
        })
    }
}

impl Iterator for Lines<'_> {
    type Item = Result<Line, BadLine>;

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            let line = self.rest_of_line(self.at);
            if !line.starts_with('#') && !line.trim().is_empty() {
                break;
            }
            self.at += line.len() + 1;
            self.line += 1;
            if self.at >= self.body.len() {
                self.at = self.body.len();
                return None;
            }
        }
        let mut cells = Vec::new();
        loop {
            match self.cell() {
                Ok(cell) => cells.push(cell),
                Err(bad) => {
                    // go on with the next line, so that all that is wrong is found
                    self.at = (self.at + self.rest_of_line(self.at).len() + 1).min(self.body.len());
                    self.line += 1;
                    return Some(Err(bad));
                }
            }
            if !self.body[self.at..].starts_with(self.divider) {
                break;
            }
            self.at += self.divider.len_utf8();
            if cells.len() == MOST_IN_A_LINE {
                let (from, rest) = (self.at, self.rest_of_line(self.at).len());
                self.at = (from + rest + 1).min(self.body.len());
                self.line += 1;
                return Some(Err(BadLine {
                    span: from..from + rest,
                    reason: format!("there are more than {MOST_IN_A_LINE} cells in this line"),
                    help: "check that this is the file you meant",
                }));
            }
        }
        self.at = (self.at + 1).min(self.body.len());
        self.line += 1;
        Some(Ok(cells))
    }
}
