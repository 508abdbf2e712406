//! Lengths and torques as people read them, in the units of a file.

use shimcast_sim::shop::Instruments;
use shimcast_sim::units::Window;

use crate::figures::{Digits, unsigned_zero};
use crate::units::{Length, Torque, Units};

/// How lengths and torques are printed: units, and the digits that the shop's instruments justify.
///
/// - What is worked out shows a tenth of the finest step that the shop reads lengths in.
/// - What was given or read shows the digits that it was given or read in.
/// - What is held against a window never looks inside when it is outside, nor the other way round.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Printed {
    /// Of the file whose figures are shown.
    pub units: Units,
    /// Decimals of a length that is worked out.
    places: usize,
}

/// Decimals at the most, of whatever is held against a window.
const MOST: usize = 9;

impl Printed {
    /// In these units, by the steps in which this shop reads lengths.
    pub fn read_with(units: Units, instruments: &Instruments) -> Self {
        let steps = [instruments.dial.step, instruments.depth_gauge.step];
        let finest = steps.into_iter().filter(|step| *step > 0.0);
        Self::with_step(units, finest.reduce(f64::min))
    }

    /// In these units, where no instrument is known: by the steps that people read.
    pub fn plainly(units: Units) -> Self {
        Self::with_step(units, None)
    }

    fn with_step(units: Units, step: Option<f64>) -> Self {
        let print = Self { units, places: 0 };
        let step = step.unwrap_or_else(|| print.least_step());
        let tenth = 0.1 * step / units.length.mm();
        let least = print.least_places();
        let places = (-tenth.log10()).round().clamp(least as f64, 6.0) as usize;
        Self { units, places }
    }

    /// Decimals that every length has: hundredths of a millimetre, thousandths of an inch.
    fn least_places(self) -> usize {
        match self.units.length {
            Length::Millimetre => 2,
            Length::Inch => 3,
        }
    }

    fn bare(self, mm: f64, places: usize) -> String {
        unsigned_zero(format!("{:.places$}", mm / self.units.length.mm()))
    }

    fn with_unit(self, length: impl std::fmt::Display) -> String {
        format!("{length} {}", self.length_unit())
    }

    /// A length that is worked out, mm, without its unit: to a tenth of the finest step.
    pub fn bare_length(self, mm: f64) -> String {
        self.bare(mm, self.places)
    }

    /// A length that is worked out, mm: to a tenth of the finest step.
    pub fn length(self, mm: f64) -> String {
        self.with_unit(self.bare_length(mm))
    }

    /// Two lengths that are worked out, mm.
    pub fn lengths(self, low: f64, high: f64) -> String {
        format!("{} to {}", self.bare_length(low), self.length(high))
    }

    /// A length as it was read, printed on a shim or given in a file, mm, without its unit: no digit
    /// more than it has.
    pub fn bare_given(self, mm: f64) -> String {
        self.bare(mm, self.places_given(mm))
    }

    fn places_given(self, mm: f64) -> usize {
        let figure = mm / self.units.length.mm();
        let least = self.least_places();
        let most = self.places.max(least + 1);
        let whole = |places: &usize| {
            let steps = figure * 10_f64.powi(*places as i32);
            (steps.round() - steps).abs() < 1e-6
        };
        (least..most).find(whole).unwrap_or(most)
    }

    /// A length as it was read, printed on a shim or given in a file, mm.
    pub fn given(self, mm: f64) -> String {
        self.with_unit(self.bare_given(mm))
    }

    /// A window of lengths, mm, to the digits that it was given in.
    pub fn window(self, window: Window) -> String {
        let low = self.bare_given(window.low);
        format!("{low} to {}", self.given(window.high))
    }

    /// A length that is held against a window, mm, without its unit: with a digit more where rounding
    /// would move it to the other side of a limit.
    pub fn held(self, mm: f64, window: Window) -> String {
        self.bare(mm, self.places_held(mm, window, self.places))
    }

    /// A length that is held against a window, mm, as [`Self::held`].
    pub fn length_held(self, mm: f64, window: Window) -> String {
        self.with_unit(self.held(mm, window))
    }

    /// Lengths that were read and are held against a window, mm, without their unit, as
    /// [`Self::held`]: all with the same digits.
    pub fn read_together(self, read: &[f64], window: Window) -> Vec<String> {
        let places = |mm: &f64| self.places_held(*mm, window, self.places_given(*mm));
        let places = read.iter().map(places).max().unwrap_or_default();
        read.iter().map(|mm| self.bare(*mm, places)).collect()
    }

    /// The least and the largest length that are held against a window, mm.
    pub fn both_held(self, low: f64, high: f64, window: Window) -> String {
        self.with_unit(self.bare_both_held(low, high, window))
    }

    /// The same without their unit.
    pub fn bare_both_held(self, low: f64, high: f64, window: Window) -> String {
        let places = [low, high].map(|mm| self.places_held(mm, window, self.places));
        let [low, high] = [low, high].map(|mm| self.bare(mm, places[0].max(places[1])));
        format!("{low} to {high}")
    }

    fn places_held(self, mm: f64, window: Window, places: usize) -> usize {
        same_side(mm, window, self.units.length.mm(), places)
    }

    /// The step that people move by, mm: 0.10 mm or 0.004 in.
    pub fn step(self) -> f64 {
        match self.units.length {
            Length::Millimetre => 0.10,
            Length::Inch => 0.004 * Length::Inch.mm(),
        }
    }

    /// A length as people read it, mm, without its unit: hundredths of a millimetre, thousandths of an
    /// inch.
    pub fn bare_read(self, mm: f64) -> String {
        self.bare(mm, self.least_places())
    }

    /// The same with its unit.
    pub fn given_read(self, mm: f64) -> String {
        self.with_unit(self.bare_read(mm))
    }

    /// The same with its sign and without its unit; zero has none.
    pub fn signed_read(self, mm: f64) -> String {
        self.signed(mm, self.least_places())
    }

    /// The smallest step that people read, mm: 0.01 mm or 0.001 in.
    pub fn least_step(self) -> f64 {
        match self.units.length {
            Length::Millimetre => 0.01,
            Length::Inch => 0.001 * Length::Inch.mm(),
        }
    }

    /// "mm" or "in".
    pub fn length_unit(self) -> &'static str {
        self.units.length.name()
    }

    fn torque_places(self) -> usize {
        match self.units.torque {
            Torque::NewtonMetre => 2,
            Torque::PoundForceInch => 1,
        }
    }

    fn signed(self, mm: f64, places: usize) -> String {
        Digits::decimals(places).signed(mm / self.units.length.mm())
    }

    /// A length of either sign, mm, without its unit: zero has none.
    pub fn signed_length(self, mm: f64) -> String {
        self.signed(mm, self.places)
    }

    /// The same of a length that is held against a limit either way.
    pub fn signed_held(self, mm: f64, limit: f64) -> String {
        self.signed(
            mm,
            self.places_held(mm, Window::new(-limit, limit), self.places),
        )
    }

    /// The same of a length that was read or given.
    pub fn signed_given(self, mm: f64) -> String {
        self.signed(mm, self.places_given(mm))
    }

    /// A torque, N·m, without its unit.
    pub fn bare_torque(self, newton_metres: f64) -> String {
        let figure = newton_metres / self.units.torque.newton_metres();
        unsigned_zero(format!("{figure:.*}", self.torque_places()))
    }

    /// A torque of either sign, N·m, without its unit: zero has none.
    pub fn signed_torque(self, newton_metres: f64) -> String {
        let figure = newton_metres / self.units.torque.newton_metres();
        Digits::decimals(self.torque_places()).signed(figure)
    }

    /// A torque, N·m.
    pub fn torque(self, newton_metres: f64) -> String {
        let unit = self.units.torque.printed();
        format!("{} {unit}", self.bare_torque(newton_metres))
    }

    /// A window of torques, N·m.
    pub fn torques(self, window: Window) -> String {
        let low = self.bare_torque(window.low);
        format!("{low} to {}", self.torque(window.high))
    }

    /// A torque that is held against a window, N·m, without its unit, as [`Self::held`].
    pub fn torque_held(self, newton_metres: f64, window: Window) -> String {
        let unit = self.units.torque.newton_metres();
        let places = same_side(newton_metres, window, unit, self.torque_places());
        unsigned_zero(format!("{:.places$}", newton_metres / unit))
    }
}

/// A share that is held against a limit either way, in percent with its sign, as [`Printed::held`].
pub fn percent_held(share: f64, limit: f64) -> String {
    let places = same_side(share, Window::new(-limit, limit), 0.01, 0);
    format!("{} %", Digits::decimals(places).signed(100.0 * share))
}

/// Decimals of a figure, no fewer than so many, with which it is seen in this unit on its own side of a
/// window's limits.
fn same_side(figure: f64, window: Window, unit: f64, places: usize) -> usize {
    let (figure, window) = (
        figure / unit,
        Window::new(window.low / unit, window.high / unit),
    );
    let inside = window.holds(figure);
    let seen = |places: &usize| {
        let shown: Result<f64, _> = format!("{figure:.*}", *places).parse();
        shown.is_ok_and(|shown| window.holds(shown) == inside)
    };
    (places..MOST).find(seen).unwrap_or(MOST)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Length, Torque};

    fn inches() -> Units {
        Units {
            length: Length::Inch,
            torque: Torque::PoundForceInch,
        }
    }

    fn with(units: Units, dial: f64, gauge: f64) -> Printed {
        let mut instruments = shimcast_sim::demo::shop().instruments;
        instruments.dial.step = dial;
        instruments.depth_gauge.step = gauge;
        Printed::read_with(units, &instruments)
    }

    #[test]
    fn a_length_shows_a_tenth_of_the_finest_step() {
        let read = |step, mm| with(Units::MODEL, step, 0.0).bare_length(mm);
        assert_eq!(read(0.01, 0.0456), "0.046");
        assert_eq!(read(0.02, 0.0456), "0.046");
        assert_eq!(read(0.1, 0.0456), "0.05");
        assert_eq!(read(0.001, 0.0456), "0.0456");
        // the finer of two counts, and without any the usual ones do
        assert_eq!(with(Units::MODEL, 0.01, 0.001).bare_length(1.0), "1.0000");
        assert_eq!(with(Units::MODEL, 0.0, 0.0).bare_length(1.0), "1.000");
        let thou = 0.001 * Length::Inch.mm();
        assert_eq!(with(inches(), thou, 0.0).bare_length(8.5 * thou), "0.0085");
        assert_eq!(with(inches(), 0.01, 0.0).bare_length(8.5 * thou), "0.0085");
        assert_eq!(with(Units::MODEL, thou, 0.0).bare_length(0.046), "0.046");
    }

    #[test]
    fn what_was_given_keeps_its_digits() {
        let print = Printed::plainly(Units::MODEL);
        assert_eq!(print.given(0.1), "0.10 mm");
        assert_eq!(print.given(0.125), "0.125 mm");
        let print = Printed::plainly(inches());
        let thou = 0.001 * Length::Inch.mm();
        let window = Window::new(5.0 * thou, 9.5 * thou);
        assert_eq!(print.window(window), "0.005 to 0.0095 in");
    }

    #[test]
    fn nothing_is_rounded_to_the_other_side_of_a_limit() {
        let print = Printed::plainly(Units::MODEL);
        let window = Window::new(0.13, 0.2);
        assert_eq!(print.held(0.1304, window), "0.130");
        assert_eq!(print.held(0.1296, window), "0.1296");
        assert_eq!(print.held(0.20004, window), "0.20004");
        assert_eq!(print.both_held(0.1296, 0.15, window), "0.1296 to 0.1500 mm");
        assert_eq!(print.torque_held(2.803, Window::new(1.7, 2.8)), "2.803");
        assert_eq!(percent_held(0.124, 0.12), "+12.4 %");
        assert_eq!(percent_held(-0.12, 0.12), "-12 %");
        assert_eq!(percent_held(0.001, 0.12), "0 %");
    }
}
