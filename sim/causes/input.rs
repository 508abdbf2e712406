//! What varies from job to job, input by input: one for each figure of the files that can be bettered.

use crate::axle::{Axle, Condition, PreloadBy};
use crate::bench::Source;
use crate::parts::Parts;
use crate::setup::{Preload, Setup};
use crate::shims::Thickness;
use crate::shop::{PinionStart, Shop, SideCheck, SideStart};
use crate::tolerance::Tolerance;

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
    Pattern,
    Torque,
    Nut,
    Minutes,
}

impl Input {
    /// All of them: parts as in the axle file, then the shop.
    pub const ALL: [Self; 36] = [
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
        Self::Pattern,
        Self::Torque,
        Self::Nut,
        Self::Minutes,
    ];

    /// The key of the files that says how much it varies.
    pub fn key(self, setup: &Setup) -> String {
        let key = match self {
            Self::HeadSeat => "housing.head_seat",
            Self::RingSeat => "housing.ring_seat",
            Self::FarSeat => "housing.far_seat",
            Self::Offset => "housing.offset",
            Self::ShaftAngle => "housing.shaft_angle",
            Self::Shoulders => "carrier.shoulders",
            Self::ShoulderRing => "carrier.shoulder_ring",
            Self::FaceRunout => "carrier.face_runout",
            Self::ToothRunout => "gears.tooth_runout",
            Self::HeadBearing => "bearings.head.height",
            Self::TailBearing => "bearings.tail.height",
            Self::SideBearings => "bearings.side.height",
            Self::DepthDeviation => "gears.depth_deviation",
            Self::RingDeviation => "gears.ring_deviation",
            Self::MarkError => "gears.mark.error",
            Self::ScatterLength => "gears.pattern.scatter.length",
            Self::ScatterProfile => "gears.pattern.scatter.profile",
            Self::PinionFriction => "pinion_preload.torque_per_force",
            Self::SideFriction => "side_preload.torque_per_force",
            Self::SealDrag => "pinion_preload.seal_drag",
            Self::OldDepth => "as_built.depth",
            Self::OldBacklash => "as_built.backlash",
            Self::OldClosure => "as_built.closure",
            Self::Gap => "pinion_preload.gap",
            Self::Spacer => "pinion_preload.spacer",
            Self::MarkSlip => "bench.mark_slip",
            Self::SetupBearing => "instruments.setup_bearing",
            Self::Height => "instruments.height",
            Self::Thickness if setup.shop.instruments.micrometer.is_some() => {
                "instruments.micrometer"
            }
            Self::Thickness => "shims.*.tol",
            Self::DepthGauge => "instruments.depth_gauge",
            Self::EndPlay => "instruments.end_play",
            Self::Dial => "instruments.dial",
            Self::Pattern => "instruments.pattern",
            Self::Torque => "instruments.torque",
            Self::Nut => "instruments.nut",
            Self::Minutes => "minutes",
        };
        key.into()
    }

    /// The tolerance of a part that it is; `None` for everything else.
    pub(super) fn tolerance(self, axle: &Axle) -> Option<&Tolerance> {
        let spacer = match &axle.pinion_preload.by {
            PreloadBy::Sleeve { .. } => None,
            PreloadBy::Spacer {
                gap,
                spacer,
                as_built,
                ..
            } => Some((gap, spacer, as_built)),
        };
        let (housing, carrier, gears) = (&axle.housing, &axle.carrier, &axle.gears);
        Some(match self {
            Self::HeadSeat => &housing.head_seat,
            Self::RingSeat => &housing.ring_seat,
            Self::FarSeat => &housing.far_seat,
            Self::Offset => &housing.offset,
            Self::ShaftAngle => &housing.shaft_angle,
            Self::Shoulders => &carrier.shoulders,
            Self::ShoulderRing => &carrier.shoulder_ring,
            Self::FaceRunout => &carrier.face_runout,
            Self::ToothRunout => &gears.tooth_runout,
            Self::HeadBearing => &axle.bearings.head.height,
            Self::TailBearing => &axle.bearings.tail.height,
            Self::SideBearings => &axle.bearings.side.height,
            Self::DepthDeviation => &gears.depth_deviation,
            Self::RingDeviation => &gears.ring_deviation,
            Self::MarkError => &gears.mark.error,
            Self::PinionFriction => &axle.pinion_preload.torque_per_force,
            Self::SideFriction => &axle.side_torque_per_force,
            Self::SealDrag => &axle.pinion_preload.seal_drag,
            Self::OldDepth => &axle.as_built.depth,
            Self::OldBacklash => &axle.as_built.backlash,
            Self::Gap => spacer?.0,
            Self::Spacer => spacer?.1,
            Self::OldClosure => spacer?.2,
            _ => return None,
        })
    }

    fn tolerance_mut(self, axle: &mut Axle) -> Option<&mut Tolerance> {
        let spacer = match &mut axle.pinion_preload.by {
            PreloadBy::Sleeve { .. } => None,
            PreloadBy::Spacer {
                gap,
                spacer,
                as_built,
                ..
            } => Some((gap, spacer, as_built)),
        };
        let (housing, carrier, gears) = (&mut axle.housing, &mut axle.carrier, &mut axle.gears);
        Some(match self {
            Self::HeadSeat => &mut housing.head_seat,
            Self::RingSeat => &mut housing.ring_seat,
            Self::FarSeat => &mut housing.far_seat,
            Self::Offset => &mut housing.offset,
            Self::ShaftAngle => &mut housing.shaft_angle,
            Self::Shoulders => &mut carrier.shoulders,
            Self::ShoulderRing => &mut carrier.shoulder_ring,
            Self::FaceRunout => &mut carrier.face_runout,
            Self::ToothRunout => &mut gears.tooth_runout,
            Self::HeadBearing => &mut axle.bearings.head.height,
            Self::TailBearing => &mut axle.bearings.tail.height,
            Self::SideBearings => &mut axle.bearings.side.height,
            Self::DepthDeviation => &mut gears.depth_deviation,
            Self::RingDeviation => &mut gears.ring_deviation,
            Self::MarkError => &mut gears.mark.error,
            Self::PinionFriction => &mut axle.pinion_preload.torque_per_force,
            Self::SideFriction => &mut axle.side_torque_per_force,
            Self::SealDrag => &mut axle.pinion_preload.seal_drag,
            Self::OldDepth => &mut axle.as_built.depth,
            Self::OldBacklash => &mut axle.as_built.backlash,
            Self::Gap => spacer?.0,
            Self::Spacer => spacer?.1,
            Self::OldClosure => spacer?.2,
            _ => return None,
        })
    }

    /// Whether it varies at all and the job meets it.
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

    /// Whether no tolerance of the axle stands for it.
    fn is_no_part(self) -> bool {
        self.source().is_some()
            || matches!(
                self,
                Self::ScatterLength | Self::ScatterProfile | Self::Minutes
            )
    }

    /// What it is among the figures drawn at the bench.
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
        match self {
            Self::HeadSeat => to.head_seat = from.head_seat,
            Self::RingSeat => to.ring_seat = from.ring_seat,
            Self::FarSeat => to.far_seat = from.far_seat,
            Self::Offset => to.offset = from.offset,
            Self::ShaftAngle => to.shaft_angle = from.shaft_angle,
            Self::Shoulders => to.shoulders = from.shoulders,
            Self::ShoulderRing => to.shoulder_ring = from.shoulder_ring,
            Self::FaceRunout => to.face_runout = from.face_runout,
            Self::ToothRunout => to.tooth_runout = from.tooth_runout,
            Self::HeadBearing => {
                to.bearings.head = from.bearings.head;
                to.old_bearings.head = from.old_bearings.head;
            }
            Self::TailBearing => {
                to.bearings.tail = from.bearings.tail;
                to.old_bearings.tail = from.old_bearings.tail;
            }
            Self::SideBearings => {
                for (to, from) in [
                    (&mut to.bearings, &from.bearings),
                    (&mut to.old_bearings, &from.old_bearings),
                ] {
                    to.ring = from.ring;
                    to.far = from.far;
                }
            }
            Self::DepthDeviation | Self::RingDeviation | Self::MarkError => {
                for (to, from) in [
                    (&mut to.pair, &from.pair),
                    (&mut to.old_pair, &from.old_pair),
                ] {
                    match self {
                        Self::DepthDeviation => to.depth = from.depth,
                        Self::RingDeviation => to.ring = from.ring,
                        _ => to.mark_error = from.mark_error,
                    }
                    to.etch(setup);
                }
            }
            Self::ScatterLength => {
                to.scatter[0] = from.scatter[0];
                to.scatter[2] = from.scatter[2];
            }
            Self::ScatterProfile => {
                to.scatter[1] = from.scatter[1];
                to.scatter[3] = from.scatter[3];
            }
            Self::PinionFriction => to.pinion_friction = from.pinion_friction,
            Self::SideFriction => to.side_friction = from.side_friction,
            Self::SealDrag => to.seal_drag = from.seal_drag,
            Self::OldDepth => to.old_depth = from.old_depth,
            Self::OldBacklash => to.old_backlash = from.old_backlash,
            Self::OldClosure | Self::Gap | Self::Spacer => {
                if let (Some(to), Some(from)) = (&mut to.spacer, &from.spacer) {
                    match self {
                        Self::OldClosure => to.old_closure = from.old_closure,
                        Self::Gap => to.gap = from.gap,
                        _ => to.length = from.length,
                    }
                }
            }
            _ => {}
        }
    }

    /// Where it stands among its bins: one figure, or two where it comes new and old or on two
    /// flanks. Of the side bearings the ring-side ones stand for all four: what the far ones are
    /// off, the total found on the bench takes up. Of a runout its size stands: no angle is
    /// preferred. `None` where it is drawn at the bench.
    pub(super) fn coordinates(self, setup: &Setup, parts: &Parts) -> Option<Coordinates> {
        let renewed = |condition: Condition, new: f64, old: f64| match condition {
            Condition::New => Coordinates([new, old], 2),
            Condition::Kept => Coordinates([old, 0.0], 1),
        };
        let one = |figure: f64| Coordinates([figure, 0.0], 1);
        let two = |a: f64, b: f64| Coordinates([a, b], 2);
        let size = |[x, y]: [f64; 2]| (x * x + y * y).sqrt();
        let (new, old) = (&parts.bearings, &parts.old_bearings);
        let (pair, old_pair) = (&parts.pair, &parts.old_pair);
        let spacer = parts.spacer.as_ref();
        Some(match self {
            Self::HeadSeat => one(parts.head_seat),
            Self::RingSeat => one(parts.ring_seat),
            Self::FarSeat => one(parts.far_seat),
            Self::Offset => one(parts.offset),
            Self::ShaftAngle => one(parts.shaft_angle),
            Self::Shoulders => one(parts.shoulders),
            Self::ShoulderRing => one(parts.shoulder_ring),
            Self::FaceRunout => one(size(parts.face_runout)),
            Self::ToothRunout => one(size(parts.tooth_runout)),
            Self::HeadBearing => renewed(setup.bearings, new.head, old.head),
            Self::TailBearing => renewed(setup.bearings, new.tail, old.tail),
            Self::SideBearings => renewed(setup.bearings, new.ring, old.ring),
            Self::DepthDeviation => renewed(setup.gears, pair.depth, old_pair.depth),
            Self::RingDeviation => renewed(setup.gears, pair.ring, old_pair.ring),
            Self::MarkError => renewed(setup.gears, pair.mark_error, old_pair.mark_error),
            Self::ScatterLength => two(parts.scatter[0], parts.scatter[2]),
            Self::ScatterProfile => two(parts.scatter[1], parts.scatter[3]),
            Self::PinionFriction => one(parts.pinion_friction),
            Self::SideFriction => one(parts.side_friction),
            Self::SealDrag => one(parts.seal_drag),
            Self::OldDepth => one(parts.old_depth),
            Self::OldBacklash => one(parts.old_backlash),
            Self::OldClosure => one(spacer?.old_closure),
            Self::Gap => one(spacer?.gap),
            Self::Spacer => one(spacer?.length),
            _ => return None,
        })
    }

    /// Halves how much it varies, in an axle and a shop; the graduation of an instrument with its
    /// error.
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
            Self::Dial => {
                instruments.dial.sigma *= 0.5;
                instruments.dial.step *= 0.5;
            }
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

/// Where an input stands: one figure or two.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Coordinates([f64; 2], usize);

impl Coordinates {
    pub(super) fn of(&self) -> &[f64] {
        &self.0[..self.1]
    }
}
