//! What the figures of a job are called, how they are printed, and which keys they follow from.

use shimcast_sim::axle::PreloadBy;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::learn::JobFigure;

use crate::document::Known;
use crate::printed::Printed;

/// How a figure is told.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Told {
    /// Its name inside a sentence.
    pub(super) name: &'static str,
    /// What it is called by other tools, and its picture.
    pub(super) key: &'static str,
    /// Whether the name is of several.
    pub(super) several: bool,
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
    /// A share of the tooth by a length.
    TeethPerLength,
    /// A number.
    Number,
    /// Hours.
    Hours,
}

/// How a figure is told of this axle.
pub(super) fn told(figure: JobFigure, setup: &Setup) -> Told {
    let sleeve = matches!(setup.axle.pinion_preload.by, PreloadBy::Sleeve { .. });
    let (name, key, several, follows_from, unit) = match figure {
        JobFigure::FirstBacklash => (
            "first backlash",
            "first-backlash",
            false,
            "bench.side_start, gears.ring_deviation, as_built.backlash, bearings.side.height",
            Unit::Length,
        ),
        JobFigure::Variation => (
            "variation of the first backlash",
            "variation",
            false,
            "gears.tooth_runout, carrier.face_runout",
            Unit::Length,
        ),
        JobFigure::Drive => (
            "first pattern on the drive side",
            "first-drive",
            false,
            "bench.pinion_start, gears.depth_deviation, gears.mark.error, bearings.head.height",
            Unit::Tooth,
        ),
        JobFigure::Coast => (
            "first pattern on the coast side",
            "first-coast",
            false,
            "bench.pinion_start, gears.depth_deviation, gears.mark.error, bearings.head.height",
            Unit::Tooth,
        ),
        JobFigure::PerRingMove => (
            "backlash for a move of the ring gear",
            "per-ring-move",
            false,
            "gears (teeth, angles and diameter), windows.indicator",
            Unit::Rate,
        ),
        JobFigure::PerDepth => (
            "pattern for a change of the pinion pack",
            "per-depth",
            false,
            "gears.pattern",
            Unit::TeethPerLength,
        ),
        JobFigure::ZeroAgain => (
            "zero end play found again",
            "zero-again",
            false,
            "instruments.end_play",
            Unit::Length,
        ),
        JobFigure::HeadHeights => (
            "new against old head bearings",
            "head-heights",
            true,
            "bearings.head.height, instruments.height",
            Unit::Length,
        ),
        JobFigure::TailHeights => (
            "new against old tail bearings",
            "tail-heights",
            true,
            "bearings.tail.height, instruments.height",
            Unit::Length,
        ),
        JobFigure::RingHeights => (
            "new against old side bearings, ring side",
            "ring-heights",
            true,
            "bearings.side.height, instruments.height",
            Unit::Length,
        ),
        JobFigure::FarHeights => (
            "new against old side bearings, far side",
            "far-heights",
            true,
            "bearings.side.height, instruments.height",
            Unit::Length,
        ),
        JobFigure::OldMark => (
            "old marks",
            "old-marks",
            true,
            "gears.depth_deviation, gears.mark.error",
            Unit::Length,
        ),
        JobFigure::NewMark => (
            "new marks",
            "new-marks",
            true,
            "gears.depth_deviation, gears.mark.error",
            Unit::Length,
        ),
        JobFigure::Tries if sleeve => (
            "sleeves",
            "sleeves",
            true,
            "bench.sleeve_aim, bench.sleeve_step, instruments.nut, instruments.torque",
            Unit::Number,
        ),
        JobFigure::Tries => (
            "goes at the spacer",
            "goes-at-the-spacer",
            true,
            "pinion_preload.gap, pinion_preload.spacer, as_built.closure, instruments.torque",
            Unit::Number,
        ),
        JobFigure::Assemblies => (
            "assemblies",
            "assemblies",
            true,
            "whatever moves the first backlash and the first pattern",
            Unit::Number,
        ),
        JobFigure::Hours => (
            "hours",
            "hours",
            true,
            "minutes, minutes.job_spread",
            Unit::Hours,
        ),
    };
    Told {
        name,
        key,
        several,
        follows_from,
        unit,
    }
}

impl Unit {
    /// A figure as a cell of a table.
    pub(super) fn known(self, of: &Estimate, print: Printed) -> Known {
        match self {
            Self::Length => Known::Length(*of, print),
            Self::Tooth | Self::Rate | Self::Number => Known::Mean(*of, 2),
            Self::Hours => Known::Mean(*of, 1),
            // per mm, or per inch
            Self::TeethPerLength => Known::Mean(of.times(print.units.length.mm()), 2),
        }
    }

    /// A figure without an interval.
    pub(super) fn plain(self, figure: f64, print: Printed) -> String {
        match self {
            Self::Length => print.length(figure),
            Self::Tooth | Self::Rate | Self::Number => format!("{figure:.2}"),
            Self::Hours => format!("{figure:.1}"),
            Self::TeethPerLength => format!("{:.2}", self.shown(figure, print)),
        }
    }

    /// A figure in the unit that is shown.
    pub(super) fn shown(self, figure: f64, print: Printed) -> f64 {
        let mm = print.units.length.mm();
        match self {
            Self::Length => figure / mm,
            Self::TeethPerLength => figure * mm,
            Self::Tooth | Self::Rate | Self::Number | Self::Hours => figure,
        }
    }

    /// The unit that is shown.
    pub(super) fn name(self, print: Printed) -> String {
        let length = print.length_unit();
        match self {
            Self::Length => length.to_owned(),
            Self::Tooth => "share of the tooth".to_owned(),
            Self::Rate => format!("{length} for each {length}"),
            Self::TeethPerLength => format!("share of the tooth for each {length}"),
            Self::Number => "number".to_owned(),
            Self::Hours => "hours".to_owned(),
        }
    }

    /// The least step by which figures of it differ, in the unit that is shown.
    pub(super) fn step(self, print: Printed) -> f64 {
        match self {
            Self::Length => print.step() / print.units.length.mm(),
            Self::Number => 1.0,
            Self::Tooth | Self::Rate | Self::TeethPerLength | Self::Hours => 0.01,
        }
    }
}
