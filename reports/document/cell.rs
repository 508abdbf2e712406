//! A cell of a table: words, or a figure that knows its digits, its interval and its unit.

use shimcast_sim::compare::Verdict;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::ratio::Between;

use crate::figures::{
    Digits, Rounded, between, between_percent, decimals, hardly, interval, number, percent,
    percent_interval, percent_with_half, plus_minus, signed, signed_interval, signed_with_half,
    variance_share, variance_share_with_interval, with_half,
};
use crate::printed::Printed;

/// The content of a cell.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cell {
    figure: Figure,
    /// Its unit behind a blank, where it is not the figure's own.
    unit: String,
    beside: Beside,
    /// What a spreadsheet gets, where that is not what people read.
    data: Option<String>,
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

/// What is shown beside a figure.
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

/// A figure that knows how far it is to be trusted: by simulation, or between limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Known {
    /// A share, from 0 to 1, in percent.
    Share(Estimate),
    /// A chance that was worked out, from 0 to 1, in percent; near none and all no more than that.
    Chance(Estimate),
    /// A share of a variance, from 0 to 1, in percent.
    VarianceShare(Estimate),
    /// A mean or a quantile, with at most this many decimals.
    Mean(Estimate, usize),
    /// A difference, with its sign and at most this many decimals.
    Change(Estimate, usize),
    /// A difference of shares, from -1 to 1, in percentage points.
    Points(Estimate),
    /// A difference where one was seen, with at most this many decimals; half its interval behind it.
    Seen(Estimate, usize),
    /// The same of shares, from -1 to 1, in percentage points.
    SeenPoints(Estimate),
    /// A length, mm, in a file's unit.
    Length(Estimate, Printed),
    /// Between limits, and not simulated: with at most this many decimals, and its unit if it has one.
    Between(Between, usize, &'static str),
    /// A share between limits, in percent and with its sign.
    BetweenShares(Between),
    /// An amount of money, with the decimals that it carries, two at most.
    Money(Estimate),
    /// The mean of a part of a sum, rounded so that the column adds up as printed.
    Part(Estimate, Rounded),
}

/// Decimals of percentage points at the most.
const POINTS: usize = 3;
/// The same where half an interval follows them.
const SEEN_POINTS: usize = 2;

impl Known {
    /// Whether it is a difference, and none was seen.
    fn none_seen(&self) -> bool {
        match self {
            Self::Seen(e, _) | Self::SeenPoints(e) => Verdict::of(e) == Verdict::NoneSeen,
            _ => false,
        }
    }

    fn value(&self) -> String {
        match self {
            _ if self.none_seen() => "-".into(),
            Self::Chance(e) if hardly(e).is_some() => hardly(e).unwrap_or_default().into(),
            Self::Share(e) | Self::Chance(e) => percent(e),
            Self::VarianceShare(e) => variance_share(e)[0].clone(),
            Self::Mean(e, most) => number(e, *most),
            Self::Change(e, most) => signed(e, *most),
            Self::Points(e) if e.value.is_nan() => String::new(),
            Self::Points(e) => format!("{} points", signed(&e.times(100.0), POINTS)),
            Self::Seen(e, most) => signed(e, *most),
            Self::SeenPoints(e) => format!("{} pts", signed(&e.times(100.0), SEEN_POINTS)),
            Self::Length(e, print) => print.length(e.value),
            Self::Between(of, most, unit) => measured(&between(of, *most)[0], unit),
            Self::BetweenShares(of) => between_percent(of)[0].clone(),
            Self::Money(e) => Digits::decimals(cents(e)).text(e.value),
            Self::Part(_, rounded) => rounded.text(),
        }
    }

    /// Its interval; empty where that says no more than the figure itself.
    fn interval(&self) -> String {
        let interval = self.whole_interval();
        let figure = |text: &str| text.split(' ').next().unwrap_or_default().to_owned();
        let same = |(low, high): (&str, &str)| {
            figure(low) == figure(high) && figure(low) == figure(&self.value())
        };
        match interval.split_once(" to ").is_some_and(same) {
            true => String::new(),
            false => interval,
        }
    }

    fn whole_interval(&self) -> String {
        match self {
            _ if self.none_seen() => String::new(),
            Self::Chance(e) if hardly(e).is_some() => String::new(),
            Self::Share(e) | Self::Chance(e) => percent_interval(e),
            Self::VarianceShare(e) => variance_share(e)[1].clone(),
            Self::Mean(e, most) => interval(e, *most),
            Self::Change(e, most) => signed_interval(e, *most),
            Self::Points(e) => signed_interval(&e.times(100.0), POINTS),
            Self::Seen(e, most) => signed_interval(e, *most),
            Self::SeenPoints(e) => signed_interval(&e.times(100.0), SEEN_POINTS),
            Self::Length(e, print) if e.low.is_finite() && e.high.is_finite() => {
                print.lengths(e.low, e.high)
            }
            Self::Money(e) if e.low.is_finite() && e.high.is_finite() => {
                Digits::decimals(cents(e)).ends(e)
            }
            // it can't come
            Self::Part(e, ..) if e.value == 0.0 && e.half_width() == 0.0 => String::new(),
            Self::Part(e, rounded) if e.low.is_finite() && e.high.is_finite() => {
                Digits::decimals(rounded.places).ends(e)
            }
            Self::Length(..) | Self::Money(_) | Self::Part(..) => "too few to say".into(),
            Self::Between(of, most, unit) => measured(&between(of, *most)[1], unit),
            Self::BetweenShares(of) => between_percent(of)[1].clone(),
        }
    }

    /// The figure, and the ends of its interval or its limits.
    fn figures(&self) -> [f64; 3] {
        match self {
            Self::Share(e)
            | Self::Chance(e)
            | Self::VarianceShare(e)
            | Self::Mean(e, _)
            | Self::Change(e, _)
            | Self::Points(e)
            | Self::Seen(e, _)
            | Self::SeenPoints(e)
            | Self::Length(e, _)
            | Self::Money(e)
            | Self::Part(e, ..) => [e.value, e.low, e.high],
            Self::Between(of, ..) | Self::BetweenShares(of) => [of.value, of.low, of.high],
        }
    }

    fn with_half(&self) -> String {
        match self {
            Self::Chance(e) if hardly(e).is_some() => self.value(),
            Self::Share(e) | Self::Chance(e) => percent_with_half(e),
            Self::VarianceShare(e) => variance_share_with_interval(e),
            Self::Mean(e, most) => with_half(e, *most),
            Self::Change(e, most) => signed_with_half(e, *most),
            Self::Seen(e, most) if !self.none_seen() => signed_with_half(e, *most),
            Self::Money(e) => {
                let half = Digits::decimals(cents(e)).text(e.half_width());
                plus_minus(self.value(), &half)
            }
            Self::SeenPoints(e) if !self.none_seen() => {
                format!("{} pts", signed_with_half(&e.times(100.0), SEEN_POINTS))
            }
            _ => match (self.value(), self.interval()) {
                (value, interval) if interval.is_empty() => value,
                (value, interval) => format!("{value} ({interval})"),
            },
        }
    }
}

/// With its unit, where there is a figure and a unit.
fn measured(figure: &str, unit: &str) -> String {
    match (figure, unit) {
        ("", _) | (_, "") => figure.into(),
        _ => format!("{figure} {unit}"),
    }
}

/// Decimals of an amount of money.
fn cents(amount: &Estimate) -> usize {
    decimals(amount.half_width(), 2)
}

impl Cell {
    /// Nothing.
    pub const fn empty() -> Self {
        Self {
            figure: Figure::Nothing,
            unit: String::new(),
            beside: Beside::Interval,
            data: None,
        }
    }

    /// Nothing could be said: "-".
    pub fn none() -> Self {
        "-".into()
    }

    /// A figure that knows how far it is to be trusted.
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

    /// A mean or a quantile, with at most this many decimals.
    pub fn mean(mean: &Estimate, most: usize) -> Self {
        Self::known(Known::Mean(*mean, most))
    }

    /// A difference, with at most this many decimals.
    pub fn change(change: &Estimate, most: usize) -> Self {
        Self::known(Known::Change(*change, most))
    }

    /// A figure known exactly, to this many decimals.
    pub fn exact(figure: f64, places: usize) -> Self {
        Self::shown(Digits::decimals(places).text(figure), figure)
    }

    /// A figure known exactly, as people read it and in full.
    pub fn shown(text: impl Into<String>, figure: f64) -> Self {
        Self::from(text.into()).as_data(in_full(figure))
    }

    /// A count.
    pub fn count(count: impl ToString) -> Self {
        count.to_string().into()
    }

    /// A figure for spreadsheets alone, in full; empty where it is not finite.
    pub fn data(figure: f64) -> Self {
        Self::empty().as_data(in_full(figure))
    }

    /// As a spreadsheet gets it.
    pub fn as_data(mut self, data: impl Into<String>) -> Self {
        self.data = Some(data.into());
        self
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

    /// What is shown beside it.
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

    /// As a spreadsheet gets it.
    pub fn in_full(&self) -> String {
        match (&self.data, &self.figure) {
            (Some(data), _) => data.clone(),
            (None, Figure::Known(known)) => in_full(known.figures()[0]),
            (None, _) => self.value(),
        }
    }

    /// The ends of its interval as a spreadsheet gets them; empty where it has none.
    pub fn ends_in_full(&self) -> [String; 2] {
        match &self.figure {
            Figure::Known(known) => {
                let [_, low, high] = known.figures();
                [low, high].map(in_full)
            }
            _ => Default::default(),
        }
    }

    /// Its words, to be put otherwise.
    pub(super) fn texts_mut(&mut self) -> impl Iterator<Item = &mut String> {
        let figure = match &mut self.figure {
            Figure::Plain(text) => Some(text),
            Figure::Nothing | Figure::Known(_) => None,
        };
        let beside = match &mut self.beside {
            Beside::And(words) | Beside::Words(words) => Some(words),
            Beside::Interval => None,
        };
        figure.into_iter().chain(beside)
    }

    /// Whether an interval is shown beside it, and whether words are.
    pub fn has_beside(&self) -> [bool; 2] {
        let (interval, words) = match &self.beside {
            Beside::Interval => (true, ""),
            Beside::And(words) => (true, words.as_str()),
            Beside::Words(words) => (false, words.as_str()),
        };
        let interval = match &self.figure {
            Figure::Known(known) if interval => known.interval(),
            _ => String::new(),
        };
        [!interval.is_empty(), !words.is_empty()]
    }

    /// The figure with half the width of its interval.
    pub fn with_half(&self) -> String {
        match &self.figure {
            Figure::Known(known) => known.with_half() + &self.unit,
            _ => self.value(),
        }
    }
}

/// A figure with what it carries: far finer than anything that is measured, and no tails of binary
/// fractions; empty where it is not finite.
pub fn in_full(figure: f64) -> String {
    if !figure.is_finite() {
        return String::new();
    }
    let text = format!("{figure:.9}");
    match text.trim_end_matches('0').trim_end_matches('.') {
        "-0" => "0".into(),
        text => text.into(),
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
    fn a_difference_is_told_only_where_one_was_seen() {
        let hours = |value| Cell::known(Known::Seen(about(value, 0.04), 3));
        assert_eq!(hours(-0.31).with_half(), "-0.31 ±0.04");
        assert_eq!(hours(-0.31).range(), "-0.35 to -0.27");
        assert_eq!(hours(-0.03).with_half(), "-");
        assert_eq!(hours(-0.03).range(), "");
        let points = Cell::known(Known::SeenPoints(about(0.044, 0.009)));
        assert_eq!(points.with_half(), "+4.4 ±0.9 pts");
    }

    #[test]
    fn what_lies_between_limits_has_none_where_it_is_exact() {
        let rolling = Between {
            value: 2224.0,
            low: 2212.4,
            high: 2235.4,
        };
        let cell = |of| Cell::known(Known::Between(of, 0, "mm"));
        assert_eq!(cell(rolling).value(), "2224 mm");
        assert_eq!(cell(rolling).range(), "2212 to 2235 mm");
        let exact = cell(Between::exactly(2224.0)).and("measured");
        assert_eq!(exact.value(), "2224 mm");
        assert_eq!(exact.range(), "measured");
        assert_eq!(exact.with_half(), "2224 mm");
        let off = Cell::known(Known::BetweenShares(Between::exactly(0.034)));
        assert_eq!(off.value(), "+3.4 %");
    }

    #[test]
    fn parts_add_up_as_printed_and_keep_intervals_of_their_own() {
        let means = [about(64.4, 3.0), about(9.4, 0.06), about(0.0, 0.0)];
        let parts = Rounded::together(&means.map(|mean| mean.value), 0);
        let cells: Vec<Cell> = means
            .iter()
            .zip(&parts)
            .map(|(mean, part)| Cell::known(Known::Part(*mean, *part)))
            .collect();
        let told = [("65", "61 to 67"), ("9", ""), ("0", "")];
        for (cell, (value, range)) in cells.iter().zip(told) {
            assert_eq!(
                (cell.value().as_str(), cell.range().as_str()),
                (value, range)
            );
        }
        assert_eq!(Cell::from(Rounded::sum(&parts)).value(), "74");
        let endless = Cell::known(Known::Part(about(64.4, f64::INFINITY), parts[0]));
        assert_eq!(endless.range(), "too few to say");
    }

    #[test]
    fn a_unit_stands_behind_the_figure_and_not_in_its_interval() {
        let saved = Cell::change(&about(86.0, 4.0), 3).of_unit("EUR");
        assert_eq!(saved.value(), "+86 EUR");
        assert_eq!(saved.range(), "+82 to +90");
    }
}
