//! A cell of a table: words, or a figure that knows its digits, its interval and its unit.

use shimcast_sim::estimate::Estimate;

use crate::figures::{
    Printed, Rounded, decimals, interval, number, percent, percent_interval, percent_with_half,
    signed, signed_interval, variance_share, variance_share_with_half, with_half,
};

/// What stands in a cell.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cell {
    figure: Figure,
    /// Its unit behind a blank, where it is not the figure's own.
    unit: String,
    beside: Beside,
}

/// Words or a figure.
#[derive(Debug, Clone, PartialEq, Default)]
enum Figure {
    #[default]
    Nothing,
    /// As it is: words, or a figure that is known exactly.
    Plain(String),
    Known(Known),
}

/// What stands beside a figure.
#[derive(Debug, Clone, PartialEq, Default)]
enum Beside {
    /// Its interval.
    #[default]
    Interval,
    /// Its interval, and words after it.
    And(String),
    /// Words, and no interval.
    Words(String),
}

/// A figure that is known by simulation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Known {
    /// A share, from 0 to 1, in percent.
    Share(Estimate),
    /// A share of a variance, from 0 to 1, in percent.
    VarianceShare(Estimate),
    /// A mean or a quantile, with at most so many decimals.
    Mean(Estimate, usize),
    /// A difference, with its sign and at most so many decimals.
    Change(Estimate, usize),
    /// A difference of shares, from -1 to 1, in percentage points.
    Points(Estimate),
    /// A length, mm, in a file's unit.
    Length(Estimate, Printed),
    /// The mean of a part of a sum, rounded so that the column adds up as printed; its interval with
    /// at most so many decimals, and no fewer than the parts have.
    Part(Estimate, Rounded, usize),
}

/// Decimals of percentage points at the most.
const POINTS: usize = 3;

impl Known {
    fn value(&self) -> String {
        match self {
            Self::Share(e) => percent(e),
            Self::VarianceShare(e) => variance_share(e)[0].clone(),
            Self::Mean(e, most) => number(e, *most),
            Self::Change(e, most) => signed(e, *most),
            Self::Points(e) if e.value.is_nan() => String::new(),
            Self::Points(e) => format!("{} points", signed(&e.times(100.0), POINTS)),
            Self::Length(e, print) => print.length(e.value),
            Self::Part(_, rounded, _) => rounded.text(),
        }
    }

    fn interval(&self) -> String {
        match self {
            Self::Share(e) => percent_interval(e),
            Self::VarianceShare(e) => variance_share(e)[1].clone(),
            Self::Mean(e, most) => interval(e, *most),
            Self::Change(e, most) => signed_interval(e, *most),
            Self::Points(e) => signed_interval(&e.times(100.0), POINTS),
            Self::Length(e, print) if e.low.is_finite() && e.high.is_finite() => {
                print.lengths(e.low, e.high)
            }
            Self::Length(..) => "too few to say".into(),
            Self::Part(e, ..) if !(e.low.is_finite() && e.high.is_finite()) => {
                "too few to say".into()
            }
            // it can't come
            Self::Part(e, ..) if e.value == 0.0 && e.half_width() == 0.0 => String::new(),
            Self::Part(e, rounded, most) => {
                let places = rounded.places.max(decimals(e.half_width(), *most));
                format!("{:.places$} to {:.places$}", e.low, e.high)
            }
        }
    }

    fn with_half(&self) -> String {
        match self {
            Self::Share(e) => percent_with_half(e),
            Self::VarianceShare(e) => variance_share_with_half(e),
            Self::Mean(e, most) => with_half(e, *most),
            Self::Change(..) | Self::Points(_) | Self::Length(..) | Self::Part(..) => {
                let (value, interval) = (self.value(), self.interval());
                format!("{value} ({interval})")
            }
        }
    }
}

impl Cell {
    /// Nothing.
    pub fn empty() -> Self {
        Self::default()
    }

    /// Nothing could be said: "-".
    pub fn none() -> Self {
        "-".into()
    }

    /// A figure that is known by simulation.
    pub fn known(known: Known) -> Self {
        Self {
            figure: Figure::Known(known),
            ..Self::default()
        }
    }

    /// A share, from 0 to 1.
    pub fn share(share: &Estimate) -> Self {
        Self::known(Known::Share(*share))
    }

    /// A mean or a quantile, with at most so many decimals.
    pub fn mean(mean: &Estimate, most: usize) -> Self {
        Self::known(Known::Mean(*mean, most))
    }

    /// A difference, with at most so many decimals.
    pub fn change(change: &Estimate, most: usize) -> Self {
        Self::known(Known::Change(*change, most))
    }

    /// A figure that is agreed or counted, to so many decimals.
    pub fn exact(figure: f64, places: usize) -> Self {
        format!("{figure:.places$}").into()
    }

    /// A part of a whole of means, from 0 to 1, in percent.
    pub fn part_of_whole(part: f64) -> Self {
        format!("{:.1} %", 100.0 * part).into()
    }

    /// A unit behind the figure; its interval goes without.
    pub fn of_unit(mut self, unit: &str) -> Self {
        self.unit = format!(" {unit}");
        self
    }

    /// Words after the interval.
    pub fn and(mut self, words: impl Into<String>) -> Self {
        self.beside = Beside::And(words.into());
        self
    }

    /// Words in place of the interval.
    pub fn beside(mut self, words: impl Into<String>) -> Self {
        self.beside = Beside::Words(words.into());
        self
    }

    /// The figure by itself, or the words.
    pub fn value(&self) -> String {
        match &self.figure {
            Figure::Nothing => String::new(),
            Figure::Plain(text) => text.clone(),
            Figure::Known(known) => known.value() + &self.unit,
        }
    }

    /// What stands beside it.
    pub fn range(&self) -> String {
        let interval = match &self.figure {
            Figure::Known(known) => known.interval(),
            _ => String::new(),
        };
        match &self.beside {
            Beside::Interval => interval,
            Beside::And(words) if interval.is_empty() => words.clone(),
            Beside::And(words) => format!("{interval}, {words}"),
            Beside::Words(words) => words.clone(),
        }
    }

    /// The figure with half the width of its interval.
    pub fn with_half(&self) -> String {
        match &self.figure {
            Figure::Known(known) => known.with_half() + &self.unit,
            _ => self.value(),
        }
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self {
            figure: Figure::Plain(text),
            ..Self::default()
        }
    }
}

impl From<Rounded> for Cell {
    fn from(rounded: Rounded) -> Self {
        rounded.text().into()
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn about(value: f64, half: f64) -> Estimate {
        Estimate {
            value,
            low: value - half,
            high: value + half,
            n: 100,
        }
    }

    #[test]
    fn parts_add_up_as_printed_and_keep_intervals_of_their_own() {
        let means = [about(64.4, 3.0), about(9.4, 0.06), about(0.0, 0.0)];
        let parts = Rounded::together(&means.map(|mean| mean.value), 0);
        let cells: Vec<Cell> = means
            .iter()
            .zip(&parts)
            .map(|(mean, part)| Cell::known(Known::Part(*mean, *part, 1)))
            .collect();
        let told = [("65", "61 to 67"), ("9", "9.3 to 9.5"), ("0", "")];
        for (cell, (value, range)) in cells.iter().zip(told) {
            assert_eq!(
                (cell.value().as_str(), cell.range().as_str()),
                (value, range)
            );
        }
        assert_eq!(Cell::from(Rounded::sum(&parts)).value(), "74");
        let endless = Cell::known(Known::Part(about(64.4, f64::INFINITY), parts[0], 1));
        assert_eq!(endless.range(), "too few to say");
    }

    #[test]
    fn a_unit_stands_behind_the_figure_and_not_in_its_interval() {
        let saved = Cell::change(&about(86.0, 4.0), 3).of_unit("EUR");
        assert_eq!(saved.value(), "+86 EUR");
        assert_eq!(saved.range(), "+82 to +90");
    }
}
