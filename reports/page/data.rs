//! Observations behind a figure, for people who bring their own tools: one row an observation,
//! units in the header, lengths in mm, torque in N·m, shares from 0 to 1.

use shimcast_sim::estimate::Estimate;

use crate::spreadsheet::line;

/// A table of observations.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Observations {
    /// Its name; its file is called by it.
    pub name: &'static str,
    head: Vec<&'static str>,
    rows: Vec<Vec<String>>,
}

impl Observations {
    /// No rows yet.
    pub fn new(name: &'static str, head: &[&'static str]) -> Self {
        Self {
            name,
            head: head.to_vec(),
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    ///
    /// # Panics
    /// If it has not a cell for every column.
    pub fn row(&mut self, cells: Vec<String>) {
        assert_eq!(cells.len(), self.head.len(), "{}", self.name);
        self.rows.push(cells);
    }

    /// As CSV (RFC 4180, but lines end in a line feed).
    pub fn csv(&self) -> String {
        let mut text = line(&self.head);
        for row in &self.rows {
            text.push_str(&line(row));
        }
        text
    }
}

/// A figure with what it carries; empty where there is none.
pub fn cell(figure: f64) -> String {
    if !figure.is_finite() {
        return String::new();
    }
    // far finer than anything that is measured, and no tails of binary fractions
    let text = format!("{figure:.9}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}

/// Value, low and high of an estimate.
pub fn cells(estimate: &Estimate) -> [String; 3] {
    [estimate.value, estimate.low, estimate.high].map(cell)
}
