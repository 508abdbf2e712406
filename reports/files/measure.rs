//! What figures of the files measure, and the one place where they are converted.

use super::limits::Limits;
use crate::units::{Length, Torque, Units};

/// The least figure but 0 that is believed, in any unit: far below what anything measures, and far enough from
/// the least floating-point number that figures can be squared and divided by.
const LEAST: f64 = 1e-30;

/// What a figure measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// A length.
    Length,
    /// A nominal distance or height: a length on a grid twice as fine, so that half of a limit
    /// never falls between two of its points and a loop closes the same way whatever is stated.
    Distance,
    /// Share of the tooth per length.
    PerLength,
    /// A torque.
    Torque,
    /// An angle in degrees.
    Degrees,
    /// An angle in arc-minutes.
    ArcMinutes,
    /// A stiffness, N/µm.
    Stiffness,
    /// What a bearing gives, mm/N^0.9.
    Deflection,
    /// Turning torque per load, N·m per kN.
    TorquePerForce,
    /// A time in minutes.
    Minutes,
    /// A time in days.
    Days,
    /// A price.
    Money,
    /// Jobs a month, factors, shares.
    Plain,
}

impl Quantity {
    /// A figure of a file in the units of the model.
    pub(super) fn to_model(self, figure: f64, units: Units) -> f64 {
        match self {
            Self::Length | Self::Distance => figure * units.length.mm(),
            Self::PerLength => figure / units.length.mm(),
            Self::Torque => figure * units.torque.newton_metres(),
            _ => figure,
        }
    }

    /// A figure of the model in the units of a file, on a grid far finer than any reading: what a
    /// file leaves out is then the same number as when it is written in.
    pub(super) fn to_file(self, figure: f64, units: Units) -> f64 {
        let exact = match self {
            Self::Length => figure / units.length.mm(),
            Self::Distance => return on_grid(figure / units.length.mm(), 1e12),
            Self::PerLength => figure * units.length.mm(),
            Self::Torque => figure / units.torque.newton_metres(),
            _ => return figure,
        };
        on_grid(exact, 5e11)
    }

    /// The largest figure that is believed, in the model's units: far beyond any axle and any workshop, so
    /// that a slip of the point or the unit is told where it is read.
    pub(super) fn most(self) -> f64 {
        match self {
            Self::Length | Self::Distance => 10_000.0,
            Self::PerLength | Self::Minutes | Self::Days => 10_000.0,
            Self::Torque => 1_000.0,
            Self::Degrees => 3_600.0,
            Self::ArcMinutes => 21_600.0,
            Self::Stiffness => 1e6,
            Self::Deflection | Self::TorquePerForce => 1_000.0,
            Self::Money | Self::Plain => 1e9,
        }
    }

    /// The same in the units of a file, rounded for people.
    pub(super) fn most_in(self, units: Units) -> f64 {
        let most = self.to_file(self.most(), units);
        format!("{most:.1e}").parse().unwrap_or(most)
    }

    /// The largest of these figures over the units that files have.
    pub fn most_in_any_unit(self) -> f64 {
        let in_inches = Units {
            length: Length::Inch,
            torque: Torque::PoundForceInch,
        };
        self.most_in(Units::MODEL).max(self.most_in(in_inches))
    }

    /// What a figure of a file breaks, whichever way it is given: typed in, in a list of measured values, or
    /// set for one answer.
    pub(super) fn broken_by(self, figure: f64, units: Units, limits: Limits) -> Option<String> {
        let most = self.most_in(units);
        let [_, high] = limits.ends();
        if !figure.is_finite() {
            Some("is not a finite number".to_owned())
        } else if figure != 0.0 && figure.abs() < LEAST {
            Some("is nearer to 0 than anything measured: check the point, or write 0".to_owned())
        } else if figure.abs() > most && high.is_none() {
            let most = self.told_with(most, units, &self.unit(units));
            let check = "check the point and the unit";
            Some(format!("is larger than {most}: {check}"))
        } else {
            limits.broken_by(figure)
        }
    }

    /// What the nominal of a tolerance in this quantity is.
    pub(super) fn of_nominal(self) -> Self {
        match self {
            Self::Length => Self::Distance,
            other => other,
        }
    }

    /// The unit as printed behind a figure; empty for a bare number.
    pub fn unit(self, units: Units) -> String {
        match self {
            Self::Length | Self::Distance => units.length.name().to_owned(),
            Self::PerLength => format!("per {}", units.length.name()),
            Self::Torque => units.torque.printed().to_owned(),
            Self::Degrees => "degrees".to_owned(),
            Self::ArcMinutes => "arc-minutes".to_owned(),
            Self::Stiffness => "N/µm".to_owned(),
            Self::Deflection => "mm/N^0.9".to_owned(),
            Self::TorquePerForce => "N·m per kN".to_owned(),
            Self::Minutes => "minutes".to_owned(),
            Self::Days => "days".to_owned(),
            Self::Money | Self::Plain => String::new(),
        }
    }

    /// The same with the currency of prices.
    pub(super) fn unit_in(self, units: Units, currency: &str) -> String {
        match self {
            Self::Money => currency.to_owned(),
            _ => self.unit(units),
        }
    }

    /// A figure of a file for people: to a tenth of what instruments read, two digits at least.
    pub(super) fn told(self, figure: f64, units: Units) -> String {
        let decimals: i32 = match (self, units.length) {
            (Self::Length | Self::Distance, Length::Millimetre) => 3,
            (Self::Length | Self::Distance, Length::Inch) => 4,
            (Self::Torque, _) => 2,
            _ => return show(figure),
        };
        let leading = match figure.abs().log10() {
            log if log.is_finite() => log.floor() as i32,
            _ => 0,
        };
        let decimals = decimals.max(1 - leading) as usize;
        show(format!("{figure:.decimals$}").parse().unwrap_or(figure))
    }

    /// The same with its unit.
    pub(super) fn told_with(self, figure: f64, units: Units, unit: &str) -> String {
        let told = self.told(figure, units);
        match unit {
            "" => told,
            unit => format!("{told} {unit}"),
        }
    }

    /// Whether its figures are others in other units of a file.
    pub fn is_by_units(self) -> bool {
        let length = matches!(self, Self::Length | Self::Distance | Self::PerLength);
        length || self == Self::Torque
    }

    /// Whether it is a bare number.
    pub fn is_plain(self) -> bool {
        self == Self::Plain
    }

    /// What an error asks for: "a number of mm".
    pub(super) fn wanted(self, units: Units) -> String {
        match self {
            Self::PerLength => format!("a number (share of the tooth per {})", units.length.name()),
            Self::Stiffness | Self::Deflection | Self::TorquePerForce => {
                format!("a number in {}", self.unit(units))
            }
            Self::Money => "a price".to_owned(),
            Self::Plain => "a number".to_owned(),
            Self::Length | Self::Distance if units.length == Length::Inch => {
                "a number of inches".to_owned()
            }
            _ => format!("a number of {}", self.unit(units)),
        }
    }
}

fn on_grid(figure: f64, cells: f64) -> f64 {
    let rounded = (figure * cells).round() / cells;
    if rounded.is_finite() {
        // no negative zero in what is printed
        rounded + 0.0
    } else {
        figure
    }
}

/// A figure for people: five digits, no trailing zeros.
pub(super) fn show(figure: f64) -> String {
    let short: f64 = format!("{figure:.4e}").parse().unwrap_or(figure);
    if short != 0.0 && short.abs() < 1e-4 {
        format!("{short:e}")
    } else {
        format!("{short}")
    }
}

/// A figure as an example: the digits that a person would write.
pub(super) fn short(figure: f64) -> f64 {
    let digits = if figure.abs() < 1.0 { 1 } else { 3 };
    format!("{figure:.digits$e}").parse().unwrap_or(figure)
}

/// A figure as a file would write it, to the last bit.
pub(super) fn written(figure: f64) -> String {
    format!("{figure:?}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn people_are_told_as_many_digits_as_instruments_read() {
        let inch = Units {
            length: Length::Inch,
            ..Units::MODEL
        };
        for (figure, told) in [
            (1.244_094, "1.2441"),
            (0.002_362_2, "0.0024"),
            (0.000_866_14, "0.00087"),
            (0.0, "0"),
            (-3.25, "-3.25"),
        ] {
            assert_eq!(Quantity::Length.told(figure, inch), told);
        }
        let millimetres = Units::MODEL;
        assert_eq!(Quantity::Distance.told(85.581_39, millimetres), "85.581");
        assert_eq!(
            Quantity::Torque.told_with(2.2127, inch, "lbf·in"),
            "2.21 lbf·in"
        );
        assert_eq!(Quantity::Stiffness.told(45.678_9, inch), "45.679");
    }
}
