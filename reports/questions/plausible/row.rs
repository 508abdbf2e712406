//! One figure against what is usual for it.

use std::ops::RangeInclusive;

use shimcast_sim::axle::tolerance::Tolerance;
use shimcast_sim::units::SLACK;

use crate::asking::figure::Measure;
use crate::units::Units;

/// Which of a key's figures a row is about: an end of a window.
pub const LOWER: &str = ", its lower end";
/// The other end.
pub const UPPER: &str = ", its upper end";
/// How far a tolerance spreads.
pub const SPREAD: &str = ", its spread to either side";
/// The same as a share of its nominal.
pub const SPREAD_SHARE: &str = ", its spread over its nominal";
/// How well its limits are kept.
pub const CAPABILITY: &str = ", its cpk";
/// The usual minutes of an operation.
pub const USUAL_MINUTES: &str = ", the usual";

/// What is said behind a remedy where a figure is refused that no axle has.
pub const ANYWAY: &str = " --anyway takes it as it is";

/// A figure that no axle has.
#[derive(Debug, Clone, PartialEq)]
pub struct Impossible {
    /// Its key.
    pub key: String,
    /// What is wrong with it.
    pub reason: String,
    /// What to do.
    pub remedy: String,
}

/// How a doubtful figure is shown.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum As {
    Length,
    /// A share of the tooth per length.
    PerLength,
    Torque,
    /// With this behind it.
    Plain(String),
}

/// What is usual for a figure.
#[derive(Debug, Clone)]
pub struct Row {
    /// Its key in the file.
    pub key: String,
    /// Which of the key's figures it is, where there are several, as said behind the key.
    part: &'static str,
    /// What to look at where no axle has it.
    remedy: &'static str,
    figure: f64,
    usual: RangeInclusive<f64>,
    /// Outside of this no axle is.
    possible: RangeInclusive<f64>,
    /// Zero means that there is none, which is no slip.
    none: bool,
    shown: As,
}

/// Digits of a figure that somebody gave, and of what is usual for it.
const GIVEN: usize = 6;
const USUAL: usize = 2;

/// A figure as people read it: so many digits, no trailing zeros.
fn digits(figure: f64, most: usize) -> String {
    if figure == 0.0 || !figure.is_finite() {
        return format!("{figure}");
    }
    let places = most - 1;
    let short: f64 = format!("{figure:.places$e}").parse().unwrap_or(figure);
    if short.abs() < 1e-5 {
        format!("{short:e}")
    } else {
        format!("{short}")
    }
}

impl Row {
    /// Says which of the key's figures it is: ", its lower end".
    pub(super) fn part(&mut self, part: &'static str) -> &mut Self {
        self.part = part;
        self
    }

    /// Zero means that there is none, which is no slip.
    pub(super) fn or_none(&mut self) -> &mut Self {
        self.none = true;
        self
    }

    /// What to look at where no axle has it.
    pub(super) fn remedy(&mut self, remedy: &'static str) -> &mut Self {
        self.remedy = remedy;
        self
    }

    /// No axle is outside of this.
    pub(super) fn possible(&mut self, possible: RangeInclusive<f64>) -> &mut Self {
        self.possible = possible;
        self
    }

    /// The figure as it is called.
    fn name(&self) -> String {
        format!("{}{}", self.key, self.part)
    }

    /// Which of the key's figures it is: [`LOWER`] and the like; empty where there is but one.
    pub fn of_key(&self) -> &'static str {
        self.part
    }

    /// Whether zero means that there is none.
    pub fn may_be_none(&self) -> bool {
        self.none
    }

    /// What it measures, where people say its unit.
    pub fn measure(&self) -> Measure {
        match self.shown {
            As::Length => Measure::Length,
            As::Torque => Measure::Torque,
            As::PerLength | As::Plain(_) => Measure::Plain,
        }
    }

    /// The figure in the units of a file, the least and the most that is usual for it, and its unit.
    pub fn in_units(&self, units: Units) -> ([f64; 3], String) {
        let (times, unit) = self.scale(units);
        let (low, high) = (*self.usual.start(), *self.usual.end());
        let figures = [self.figure, low, high].map(|x| x * times);
        (figures, unit.trim_start().to_owned())
    }

    /// What a figure of the model is taken times for a file, and the unit to put behind it.
    fn scale(&self, units: Units) -> (f64, String) {
        match &self.shown {
            As::Length => (1.0 / units.length.mm(), format!(" {}", units.length.name())),
            As::PerLength => (units.length.mm(), format!(" per {}", units.length.name())),
            As::Torque => (
                1.0 / units.torque.newton_metres(),
                format!(" {}", units.torque.printed()),
            ),
            As::Plain(unit) => (1.0, unit.clone()),
        }
    }

    /// The figure, a lower and an upper limit as said, and the unit to put behind them.
    fn shown(&self, limits: [f64; 2], units: Units) -> ([String; 3], String) {
        let (times, unit) = self.scale(units);
        let [low, high] = limits.map(|x| digits(x * times, USUAL));
        ([digits(self.figure * times, GIVEN), low, high], unit)
    }

    /// Whether some axle or shop has such a figure.
    pub fn is_usual(&self) -> bool {
        let (low, high) = self.usual.clone().into_inner();
        (self.none && self.figure == 0.0) || (low - SLACK..=high + SLACK).contains(&self.figure)
    }

    /// A word on the figure where it is far outside what is usual.
    pub(super) fn doubt(&self, units: Units) -> Option<String> {
        if self.is_usual() {
            return None;
        }
        let (low, high) = (*self.usual.start(), *self.usual.end());
        let ([figure, low, high], unit) = self.shown([low, high], units);
        Some(format!(
            "{} is {figure}{unit}; {low} to {high}{unit} is usual. Wrong unit or misplaced decimal \
             point?",
            self.name()
        ))
    }

    /// Why no axle has it, and what to do.
    pub(super) fn impossible(&self, units: Units) -> Option<Impossible> {
        let (low, high) = (*self.possible.start(), *self.possible.end());
        let ([figure, low_shown, high_shown], unit) = self.shown([low, high], units);
        let limit = if self.figure < low {
            format!("less than {low_shown}{unit}")
        } else if self.figure > high {
            format!("more than {high_shown}{unit}")
        } else {
            return None;
        };
        Some(Impossible {
            key: self.key.clone(),
            reason: format!("{} is {figure}{unit}; no axle has {limit}", self.name()),
            remedy: format!("{}{ANYWAY}", self.remedy),
        })
    }
}

/// Rows as they are listed.
#[derive(Debug, Default)]
pub(super) struct Rows(pub(super) Vec<Row>);

impl Rows {
    fn add(
        &mut self,
        key: impl Into<String>,
        figure: f64,
        usual: RangeInclusive<f64>,
        shown: As,
    ) -> &mut Row {
        self.0.push(Row {
            key: key.into(),
            part: "",
            remedy: "look at the unit (`length`, `torque`) and the decimal point;",
            figure,
            usual,
            possible: f64::NEG_INFINITY..=f64::INFINITY,
            none: false,
            shown,
        });
        self.0.last_mut().expect("one was just listed")
    }

    /// A length, mm.
    pub(super) fn length(
        &mut self,
        key: impl Into<String>,
        figure: f64,
        usual: RangeInclusive<f64>,
    ) -> &mut Row {
        self.add(key, figure, usual, As::Length)
    }

    /// A share of the tooth per mm.
    pub(super) fn per_length(
        &mut self,
        key: impl Into<String>,
        figure: f64,
        usual: RangeInclusive<f64>,
    ) -> &mut Row {
        self.add(key, figure, usual, As::PerLength)
    }

    /// A torque, N·m.
    pub(super) fn torque(
        &mut self,
        key: impl Into<String>,
        figure: f64,
        usual: RangeInclusive<f64>,
    ) -> &mut Row {
        self.add(key, figure, usual, As::Torque)
    }

    /// A bare number.
    pub(super) fn plain(
        &mut self,
        key: impl Into<String>,
        figure: f64,
        usual: RangeInclusive<f64>,
    ) -> &mut Row {
        self.add(key, figure, usual, As::Plain(String::new()))
    }

    /// A number with its unit.
    pub(super) fn with_unit(
        &mut self,
        key: impl Into<String>,
        figure: f64,
        usual: RangeInclusive<f64>,
        unit: &str,
    ) -> &mut Row {
        self.add(key, figure, usual, As::Plain(format!(" {unit}")))
    }

    /// The spread of a tolerance to either side, in whatever form it is stated; none is no slip.
    pub(super) fn spread(
        &mut self,
        key: &'static str,
        tolerance: &Tolerance,
        usual: RangeInclusive<f64>,
        shown: As,
    ) {
        let spread = tolerance.worst();
        self.add(key, spread, usual, shown).part(SPREAD).or_none();
        if let Some(cpk) = tolerance.capability() {
            self.add(key, cpk, 0.4..=3.0, As::Plain(String::new()))
                .part(CAPABILITY);
        }
    }

    /// The middle of a tolerance that has a nominal, as a length, and its spread.
    pub(super) fn distance(
        &mut self,
        key: &'static str,
        tolerance: &Tolerance,
        middle: RangeInclusive<f64>,
        spread: RangeInclusive<f64>,
    ) {
        self.length(format!("{key}.nominal"), tolerance.middle(), middle);
        self.spread(key, tolerance, spread, As::Length);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_said_in_few_digits_of_the_files_own_unit() {
        let mut rows = Rows::default();
        rows.length("windows.backlash", 5.08, 0.03..=0.5)
            .possible(0.0..=2.0);
        let inch = Units {
            length: crate::units::Length::Inch,
            ..Units::MODEL
        };
        let row = &rows.0[0];
        let doubt = row.doubt(inch).expect("far outside");
        assert!(doubt.starts_with("windows.backlash is 0.2 in; 0.0012 to 0.02 in is usual."));
        let impossible = row.impossible(Units::MODEL).expect("far outside");
        assert_eq!(
            impossible.reason,
            "windows.backlash is 5.08 mm; no axle has more than 2 mm"
        );
        rows.length("instruments.height.sigma", 0.0, 0.001..=0.06)
            .or_none();
        assert_eq!(rows.0[1].doubt(Units::MODEL), None);
        assert_eq!(digits(5.4e-6, USUAL), "5.4e-6");
        assert_eq!(digits(3.94e-5, USUAL), "0.000039");
    }

    #[test]
    fn every_form_of_a_spread_is_held_against_the_same_range() {
        let usual = 0.02..=0.3;
        let doubts = |tolerance: Tolerance| {
            let mut rows = Rows::default();
            rows.spread("housing.head_seat", &tolerance, usual.clone(), As::Length);
            rows.0
                .iter()
                .filter_map(|row| row.doubt(Units::MODEL))
                .count()
        };
        let normal = |half: f64, cpk: f64| Tolerance::normal_between(-half, half, cpk).unwrap();
        assert_eq!(doubts(normal(0.06, 0.85)), 0);
        assert_eq!(doubts(normal(0.6, 0.85)), 1);
        assert_eq!(doubts(normal(0.06, 8.5)), 1);
        assert_eq!(doubts(Tolerance::exact(0.0)), 0);
        assert_eq!(doubts(Tolerance::normal(0.0, 0.2).unwrap()), 1);
        assert_eq!(doubts(Tolerance::uniform(-0.001, 0.001).unwrap()), 1);
        assert_eq!(doubts(Tolerance::measured(vec![1.0, 1.1, 3.5]).unwrap()), 1);
        assert_eq!(doubts(Tolerance::half_normal(0.0, 0.022).unwrap()), 0);
    }
}
