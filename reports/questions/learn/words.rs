//! What the figures of a job are called, how they are printed, and which keys they follow from.

use shimcast_sim::axle::PreloadBy;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::learn::JobFigure;

use crate::document::{Cell, Known};
use crate::figures::Digits;
use crate::printed::Printed;
use crate::units::Length;

/// How a figure is told.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Told {
    /// Its name inside a sentence; lists and sentences that begin with it write it with a capital.
    pub(super) name: &'static str,
    /// What it is called by other tools, and its picture.
    pub(super) key: &'static str,
    /// Keys of the files that it follows from before all others.
    pub(super) follows_from: &'static str,
    /// Its unit.
    pub(super) unit: Unit,
}

/// What a figure is measured in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    /// A length.
    Length,
    /// A share of the tooth.
    Tooth,
    /// A length by a length.
    Rate,
    /// A share of the tooth by a length, told for the least step that lengths are read to.
    TeethPerLength,
    /// A number.
    Number,
    /// Hours.
    Hours,
}

/// How a figure is told of this axle.
pub(super) fn told(figure: JobFigure, setup: &Setup, print: Printed) -> Told {
    let sleeve = matches!(setup.axle.pinion_preload.by, PreloadBy::Sleeve { .. });
    let (name, key, follows_from, unit) = match figure {
        JobFigure::FirstBacklash => (
            "first backlash",
            "first-backlash",
            "bench.side_start, gears.ring_deviation, as_built.backlash, bearings.side.height",
            Unit::Length,
        ),
        JobFigure::Variation => (
            "variation of the first backlash",
            "variation",
            "gears.tooth_runout, carrier.face_runout",
            Unit::Length,
        ),
        JobFigure::Drive => (
            "first pattern, drive side",
            "first-drive",
            "bench.pinion_start, gears.depth_deviation, gears.mark.error, bearings.head.height",
            Unit::Tooth,
        ),
        JobFigure::Coast => (
            "first pattern, coast side",
            "first-coast",
            "bench.pinion_start, gears.depth_deviation, gears.mark.error, bearings.head.height",
            Unit::Tooth,
        ),
        JobFigure::PerRingMove => (
            "backlash per move of the ring gear",
            "per-ring-move",
            "gears (teeth, angles and diameter), windows.indicator",
            Unit::Rate,
        ),
        JobFigure::PerDepth => (
            match print.units.length {
                Length::Millimetre => "pattern for 0.01 mm of pinion shim",
                Length::Inch => "pattern for 0.001 in of pinion shim",
            },
            "per-depth",
            "gears.pattern",
            Unit::TeethPerLength,
        ),
        JobFigure::ZeroAgain => (
            "zero end play, found again",
            "zero-again",
            "instruments.end_play",
            Unit::Length,
        ),
        JobFigure::HeadHeights => (
            "head bearings, new less old",
            "head-heights",
            "bearings.head.height, instruments.height",
            Unit::Length,
        ),
        JobFigure::TailHeights => (
            "tail bearings, new less old",
            "tail-heights",
            "bearings.tail.height, instruments.height",
            Unit::Length,
        ),
        JobFigure::RingHeights => (
            "ring-side bearings, new less old",
            "ring-heights",
            "bearings.side.height, instruments.height",
            Unit::Length,
        ),
        JobFigure::FarHeights => (
            "far-side bearings, new less old",
            "far-heights",
            "bearings.side.height, instruments.height",
            Unit::Length,
        ),
        JobFigure::OldMark => (
            "marks of the old pinions",
            "old-marks",
            "gears.depth_deviation, gears.mark.error",
            Unit::Length,
        ),
        JobFigure::NewMark => (
            "marks of the new pinions",
            "new-marks",
            "gears.depth_deviation, gears.mark.error",
            Unit::Length,
        ),
        JobFigure::Tries if sleeve => (
            "sleeves",
            "sleeves",
            "bench.sleeve_aim, bench.sleeve_step, instruments.nut, instruments.torque",
            Unit::Number,
        ),
        JobFigure::Tries => (
            "goes at the spacer",
            "goes-at-the-spacer",
            "pinion_preload.gap, pinion_preload.spacer, as_built.closure, instruments.torque",
            Unit::Number,
        ),
        JobFigure::Assemblies => (
            "assemblies",
            "assemblies",
            "whatever moves the first backlash and the first pattern",
            Unit::Number,
        ),
        JobFigure::Hours => ("hours", "hours", "minutes, minutes.job_spread", Unit::Hours),
    };
    Told {
        name,
        key,
        follows_from,
        unit,
    }
}

impl Unit {
    /// The mean of the shop's figures as a cell of a table.
    pub(super) fn cell(self, of: &Estimate, print: Printed) -> Cell {
        match self {
            Self::Length => Cell::known(Known::Length(*of, print)),
            _ => {
                let cell = Cell::mean(&of.times(self.scale(print)), self.places());
                match self.symbol(print).as_str() {
                    "" => cell,
                    symbol => cell.of_unit(symbol),
                }
            }
        }
    }

    /// A figure to the digits of the mean beside it.
    pub(super) fn beside(self, figure: f64, mean: &Estimate, print: Printed) -> String {
        match self {
            Self::Length => print.length(figure),
            _ => {
                let scale = self.scale(print);
                let digits = Digits::of(&mean.times(scale), self.places());
                let text = digits.text(scale * figure);
                format!("{text} {}", self.symbol(print))
                    .trim_end()
                    .to_owned()
            }
        }
    }

    /// Decimals at the most.
    fn places(self) -> usize {
        match self {
            Self::Length | Self::Rate | Self::Number => 2,
            Self::Tooth | Self::TeethPerLength | Self::Hours => 1,
        }
    }

    /// What a figure is multiplied by to be shown.
    pub(super) fn scale(self, print: Printed) -> f64 {
        let mm = print.units.length.mm();
        match self {
            Self::Length => 1.0 / mm,
            Self::Tooth => 100.0,
            Self::TeethPerLength => 100.0 * read_step(print) * mm,
            Self::Rate | Self::Number | Self::Hours => 1.0,
        }
    }

    /// The unit behind a figure; empty where it needs none.
    pub(super) fn symbol(self, print: Printed) -> String {
        match self {
            Self::Length => print.length_unit().to_owned(),
            Self::Tooth | Self::TeethPerLength => "%".to_owned(),
            Self::Rate | Self::Number | Self::Hours => String::new(),
        }
    }

    /// The least step by which figures of it differ, as shown.
    pub(super) fn step(self, print: Printed) -> f64 {
        match self {
            Self::Length => read_step(print),
            Self::Number | Self::Tooth => 1.0,
            Self::Rate | Self::TeethPerLength | Self::Hours => 0.01,
        }
    }
}

/// What people read lengths to: hundredths of a millimetre, thousandths of an inch.
fn read_step(print: Printed) -> f64 {
    match print.units.length {
        Length::Millimetre => 0.01,
        Length::Inch => 0.001,
    }
}
