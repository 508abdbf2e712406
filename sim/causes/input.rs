//! The inputs: what varies from job to job, one for each figure of the files that can be improved.

use super::part::Part;
use crate::axle::shims::Thickness;
use crate::axle::tolerance::Tolerance;
use crate::axle::{Axle, Condition};
use crate::bench::Source;
use crate::bench::parts::Parts;
use crate::bench::setup::{Preload, Setup};
use crate::shop::{PinionStart, Shop, SideCheck, SideStart};

/// Something that varies from job to job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(
    missing_docs,
    reason = "each is the key of the files that it belongs to"
)]
pub enum Input {
    HeadSeat,
    RingSeat,
    FarSeat,
    Offset,
    ShaftAngle,
    Shoulders,
    ShoulderRing,
    FaceRunout,
    ToothRunout,
    HeadBearing,
    TailBearing,
    SideBearings,
    DepthDeviation,
    RingDeviation,
    MarkError,
    MarkStep,
    ScatterLength,
    ScatterProfile,
    PinionFriction,
    SideFriction,
    SealDrag,
    OldDepth,
    OldBacklash,
    OldClosure,
    Gap,
    Spacer,
    MarkSlip,
    SetupBearing,
    Height,
    Thickness,
    DepthGauge,
    EndPlay,
    Dial,
    DialStep,
    Pattern,
    Torque,
    Nut,
    Minutes,
}

impl Input {
    /// All of them: parts as in the axle file, then the shop.
    pub const ALL: [Self; 38] = [
        Self::HeadSeat,
        Self::RingSeat,
        Self::FarSeat,
        Self::Offset,
        Self::ShaftAngle,
        Self::Shoulders,
        Self::ShoulderRing,
        Self::FaceRunout,
        Self::ToothRunout,
        Self::HeadBearing,
        Self::TailBearing,
        Self::SideBearings,
        Self::DepthDeviation,
        Self::RingDeviation,
        Self::MarkError,
        Self::MarkStep,
        Self::ScatterLength,
        Self::ScatterProfile,
        Self::PinionFriction,
        Self::SideFriction,
        Self::SealDrag,
        Self::OldDepth,
        Self::OldBacklash,
        Self::OldClosure,
        Self::Gap,
        Self::Spacer,
        Self::MarkSlip,
        Self::SetupBearing,
        Self::Height,
        Self::Thickness,
        Self::DepthGauge,
        Self::EndPlay,
        Self::Dial,
        Self::DialStep,
        Self::Pattern,
        Self::Torque,
        Self::Nut,
        Self::Minutes,
    ];

    /// The key of the files that says how much it varies.
    pub fn key(self, setup: &Setup) -> String {
        let key = match self {
            Self::MarkStep => "gears.mark.step",
            Self::ScatterLength => "gears.pattern.scatter.length",
            Self::ScatterProfile => "gears.pattern.scatter.profile",
            Self::MarkSlip => "bench.mark_slip",
            Self::SetupBearing => "instruments.setup_bearing",
            Self::Height => "instruments.height",
            Self::Thickness if setup.shop.instruments.micrometer.is_some() => {
                "instruments.micrometer"
            }
            Self::Thickness => "shims.*.tol",
            Self::DepthGauge => "instruments.depth_gauge",
            Self::EndPlay => "instruments.end_play",
            Self::Dial => "instruments.dial.sigma",
            Self::DialStep => "instruments.dial.step",
            Self::Pattern => "instruments.pattern",
            Self::Torque => "instruments.torque",
            Self::Nut => "instruments.nut",
            Self::Minutes => "minutes",
            part => Part::of(part).map_or("", |part| part.key),
        };
        key.into()
    }

    /// Its tolerance in the axle; `None` where it is not a part.
    pub(crate) fn tolerance(self, axle: &Axle) -> Option<&Tolerance> {
        (Part::of(self)?.tolerance)(axle)
    }

    pub(crate) fn tolerance_mut(self, axle: &mut Axle) -> Option<&mut Tolerance> {
        (Part::of(self)?.tolerance_mut)(axle)
    }

    /// Whether it varies and affects this job at all.
    pub fn matters(self, setup: &Setup) -> bool {
        let (bench, instruments) = (&setup.shop.bench, &setup.shop.instruments);
        let scatter = &setup.axle.gears.pattern;
        let met = match self {
            // the height of the tail bearing only fills the gap that a spacer is cut for
            Self::TailBearing => matches!(setup.preload, Preload::Spacer { .. }),
            Self::SideFriction => bench.side_check == SideCheck::TorqueRise,
            Self::ScatterLength => scatter.scatter_length > 0.0,
            Self::ScatterProfile => scatter.scatter_profile > 0.0,
            Self::MarkSlip => bench.mark_slip > 0.0,
            Self::SetupBearing => setup.on_setup_bearings() && instruments.setup_bearing > 0.0,
            Self::Height => {
                bench.measures_heights
                    && setup.bearings == Condition::New
                    && instruments.height > 0.0
            }
            Self::Thickness => instruments.micrometer.is_none_or(|sigma| sigma > 0.0),
            Self::DepthGauge => {
                bench.pinion_start == PinionStart::Gauge && instruments.depth_gauge.sigma > 0.0
            }
            Self::EndPlay => instruments.end_play > 0.0,
            Self::Dial => instruments.dial.sigma > 0.0,
            Self::MarkStep => setup.axle.gears.mark.step > 0.0,
            Self::DialStep => instruments.dial.step > 0.0,
            Self::Pattern => instruments.pattern.profile > 0.0,
            Self::Torque => instruments.torque.sigma > 0.0 || instruments.torque.share > 0.0,
            Self::Nut => {
                let nut = instruments.nut;
                matches!(setup.preload, Preload::Sleeve { .. })
                    && (nut.sigma > 0.0 || nut.slip > 0.0)
            }
            Self::OldBacklash => bench.side_start == SideStart::OldPacks,
            _ => true,
        };
        met && self
            .tolerance(&setup.axle)
            .map_or(self.is_no_part(), |tolerance| !tolerance.is_exact())
    }

    /// Whether it is a graduation: it rounds what others draw and draws nothing, so it has a part in
    /// a stack and can be halved, but it has no share of a variance.
    pub fn rounds(self) -> bool {
        matches!(self, Self::MarkStep | Self::DialStep)
    }

    /// Whether it is not a tolerance of the axle.
    fn is_no_part(self) -> bool {
        self.source().is_some()
            || self.rounds()
            || matches!(
                self,
                Self::ScatterLength | Self::ScatterProfile | Self::Minutes
            )
    }

    /// Its source among the figures drawn at the bench; `None` for parts and minutes.
    pub(super) fn source(self) -> Option<Source> {
        Some(match self {
            Self::MarkSlip => Source::MarkSlip,
            Self::SetupBearing => Source::SetupBearing,
            Self::Height => Source::Height,
            Self::Thickness => Source::Thickness,
            Self::DepthGauge => Source::DepthGauge,
            Self::EndPlay => Source::EndPlay,
            Self::Dial => Source::Dial,
            Self::Pattern => Source::Pattern,
            Self::Torque => Source::Torque,
            Self::Nut => Source::Nut,
            _ => return None,
        })
    }

    /// Takes this input, and nothing else, from other parts.
    pub(super) fn take(self, setup: &Setup, from: &Parts, to: &mut Parts) {
        let flanks: [usize; 2] = match self {
            Self::ScatterLength => [0, 2],
            Self::ScatterProfile => [1, 3],
            _ => {
                if let Some(part) = Part::of(self) {
                    (part.take)(setup, to, from);
                }
                return;
            }
        };
        for i in flanks {
            to.scatter[i] = from.scatter[i];
        }
    }

    /// Its coordinates for the bins: one figure, or two where there is a new and an old part or two
    /// flanks. `None` where it is drawn at the bench.
    pub(super) fn coordinates(self, setup: &Setup, parts: &Parts) -> Option<Coordinates> {
        let scatter = parts.scatter;
        match self {
            Self::ScatterLength => Some(Coordinates::two(scatter[0], scatter[2])),
            Self::ScatterProfile => Some(Coordinates::two(scatter[1], scatter[3])),
            _ => (Part::of(self)?.coordinates)(setup, parts),
        }
    }

    /// Halves how much it varies, in an axle and a shop; the graduation of an instrument with its
    /// error, but for the dial, whose graduation does something of its own.
    pub(super) fn halve(self, axle: &mut Axle, shop: &mut Shop) {
        if let Some(tolerance) = self.tolerance_mut(axle) {
            *tolerance = tolerance.halved();
        }
        let pattern = &mut axle.gears.pattern;
        let instruments = &mut shop.instruments;
        match self {
            Self::ScatterLength => pattern.scatter_length *= 0.5,
            Self::ScatterProfile => pattern.scatter_profile *= 0.5,
            Self::MarkSlip => shop.bench.mark_slip *= 0.5,
            Self::SetupBearing => instruments.setup_bearing *= 0.5,
            Self::Height => instruments.height *= 0.5,
            Self::Thickness => match &mut instruments.micrometer {
                Some(sigma) => *sigma *= 0.5,
                None => {
                    for series in &mut shop.shims {
                        series.tolerance = match series.tolerance {
                            Thickness::Limit(limit) => Thickness::Limit(0.5 * limit),
                            Thickness::Strip(class) => Thickness::HalfStrip(class),
                            half @ Thickness::HalfStrip(_) => half,
                        };
                    }
                }
            },
            Self::DepthGauge => {
                instruments.depth_gauge.sigma *= 0.5;
                instruments.depth_gauge.step *= 0.5;
            }
            Self::EndPlay => instruments.end_play *= 0.5,
            Self::MarkStep => axle.gears.mark.step *= 0.5,
            Self::Dial => instruments.dial.sigma *= 0.5,
            Self::DialStep => instruments.dial.step *= 0.5,
            Self::Pattern => {
                instruments.pattern.profile *= 0.5;
                instruments.pattern.step *= 0.5;
            }
            Self::Torque => {
                instruments.torque.sigma *= 0.5;
                instruments.torque.share *= 0.5;
                instruments.torque.step *= 0.5;
            }
            Self::Nut => {
                instruments.nut.sigma *= 0.5;
                instruments.nut.slip *= 0.5;
            }
            Self::Minutes => shop.minutes.job_spread *= 0.5,
            _ => {}
        }
    }
}

/// Coordinates of an input: one figure or two.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Coordinates([f64; 2], usize);

impl Coordinates {
    pub(super) fn one(figure: f64) -> Self {
        Self([figure, 0.0], 1)
    }

    pub(super) fn two(a: f64, b: f64) -> Self {
        Self([a, b], 2)
    }

    pub(super) fn of(&self) -> &[f64] {
        &self.0[..self.1]
    }
}
