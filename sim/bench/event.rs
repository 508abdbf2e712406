//! Events at the bench with their reasons: truth and readings side by side.

use crate::bench::PackPlace;
use crate::bench::truth::Assembly;

/// An event at the bench. Lengths in mm, torque in N·m, pattern in shares of the tooth.
#[derive(Debug, Clone, PartialEq)]
pub enum Event {
    /// The first pinion pack was calculated.
    PinionStart {
        /// Basis of the calculation.
        basis: Basis,
        /// Old and new mark as the technician takes them, in the sense "+ is farther".
        marks: [f64; 2],
        /// Whether the sign was misread.
        slipped: bool,
        /// Wanted thickness.
        wanted: f64,
    },
    /// The total of both side packs was found.
    Total {
        /// The total that truly leaves no end play.
        truth: f64,
        /// As the technician found it.
        found: f64,
        /// With the preload to be added.
        wanted: f64,
    },
    /// The first ring-side pack was calculated.
    RingStart {
        /// Basis of the calculation.
        basis: Basis,
        /// Wanted thickness.
        wanted: f64,
    },
    /// A pack was chosen for a wanted thickness.
    Pack {
        /// Where it goes.
        place: PackPlace,
        /// Wanted thickness.
        wanted: f64,
        /// Thickness as printed.
        printed: f64,
        /// Real thickness.
        real: f64,
        /// Whether the same pack was fitted there already.
        kept: bool,
    },
    /// The axle was bolted up, with this truth.
    BoltedUp(Assembly),
    /// Backlash was read round the ring.
    Backlash {
        /// The reading at each point.
        readings: Vec<f64>,
        /// True least and largest of a turn, as the service manual reads them.
        truth: [f64; 2],
    },
    /// The believed backlash rate of ring moves was corrected by the effect of the last move.
    Learned {
        /// Before.
        before: f64,
        /// From now on.
        after: f64,
    },
    /// The rise of the turning torque with the carrier in was read.
    TorqueRise {
        /// In truth.
        truth: f64,
        /// As read.
        reading: f64,
    },
    /// The pattern's profile was read: drive and coast.
    Pattern {
        /// In truth.
        truth: [f64; 2],
        /// As read.
        readings: [f64; 2],
    },
    /// The technician decided.
    Decision(Decision),
    /// The torque to turn the pinion alone was read.
    Torque {
        /// Closure of the pinion bearings past zero end play.
        closure: f64,
        /// In truth.
        truth: f64,
        /// As read.
        reading: f64,
    },
}

/// Basis of a first pack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Basis {
    /// The old pack.
    OldPack {
        /// Its real thickness.
        real: f64,
        /// As measured.
        measured: f64,
        /// New less old bearing height as measured; zero where it was not.
        heights: f64,
    },
    /// A depth gauge.
    Gauge {
        /// The distance in truth, less the nominal mounting distance.
        truth: f64,
        /// As read.
        reading: f64,
    },
    /// The usual thickness.
    Usual {
        /// That thickness.
        usual: f64,
    },
    /// The ring position of zero backlash.
    ZeroLash,
}

/// A decision and its reason.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Decision {
    /// The backlash varies too much: seat the ring gear again.
    Reseat {
        /// Largest less smallest reading.
        variation: f64,
    },
    /// Change the side shims.
    ChangeSides {
        /// Mean of the backlash readings.
        mean: f64,
        /// Backlash expected per mm of ring move.
        belief: f64,
        /// Whether a backlash reading was outside its window.
        backlash: bool,
        /// Whether the side preload read outside its window.
        preload: bool,
    },
    /// Backlash reads outside its window with either of two neighbouring packs: the better one is
    /// fitted again.
    SidesGoBack {
        /// Mean of the backlash readings.
        mean: f64,
    },
    /// Backlash or side preload reads outside its window, and no pack improves it.
    SidesCannotBeBettered {
        /// Mean of the backlash readings.
        mean: f64,
    },
    /// Change the pinion shim.
    ChangePinion {
        /// Mean of the two profile readings.
        mean: f64,
        /// Move that the reading asks for, or the next one when halving, + deeper.
        asked: f64,
        /// Whether the move was halved because its direction turned.
        halved: bool,
        /// Move wanted, + deeper: the one asked for, or to the middle of the bracket.
        wanted: f64,
        /// Move that the nearest pack gives, + deeper.
        taken: f64,
    },
    /// Drive and coast side read equally far off in opposite directions, which depth can't correct.
    FlanksDisagree,
    /// The pattern reads outside its window, but the move would be too small.
    MoveTooSmall {
        /// Mean of the two profile readings.
        mean: f64,
        /// Move that the nearest pack would give, + deeper.
        move_there: f64,
    },
    /// Everything reads inside its window.
    Accept,
    /// The limit of assemblies is reached.
    GiveUp,
    /// The torque reads above its window: the sleeve is spoiled.
    SleeveTooFar,
    /// The torque reads as wanted.
    TorqueAccepted,
    /// The torque reads outside its window: change the spacer's pack.
    ChangeSpacer {
        /// By how much thicker a pack the reading asks for, mm.
        asked: f64,
        /// By how much thicker a pack is wanted, mm: the one asked for, or the middle of the bracket.
        wanted: f64,
    },
    /// The torque reads outside its window with either of two neighbouring packs: the better one is
    /// fitted again.
    SpacerGoesBack,
    /// The torque reads outside its window, and no pack or further sleeve improves it.
    TorqueCannotBeBettered,
}
