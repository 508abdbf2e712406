//! What happens at the bench, told with its reasons: truth and readings side by side.

use crate::bench::PackPlace;
use crate::bench::truth::Assembly;

/// Something that happened at the bench. Lengths in mm, torque in N·m, pattern in shares of the
/// tooth.
#[derive(Debug, Clone, PartialEq)]
pub enum Event {
    /// The first pinion pack was reckoned.
    PinionStart {
        /// What it comes from.
        basis: Basis,
        /// Old and new mark as the technician takes them, in the sense "+ is farther".
        marks: [f64; 2],
        /// Whether the sign was taken the wrong way round.
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
    /// The first ring-side pack was reckoned.
    RingStart {
        /// What it comes from.
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
        /// Whether that very pack stood there already.
        kept: bool,
    },
    /// The axle was bolted up: this is how it truly stands.
    BoltedUp(Assembly),
    /// Backlash was read round the ring.
    Backlash {
        /// The reading at each point.
        readings: Vec<f64>,
        /// Least and largest of a turn in truth, in the book's terms.
        truth: [f64; 2],
    },
    /// The believed backlash for a ring move was corrected by what the last move did.
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
    /// The technician made up his mind.
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

/// What a first pack comes from.
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
    /// The point where backlash vanishes.
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
        /// Whether a backlash reading lay outside its window.
        backlash: bool,
        /// Whether the side preload read outside its window.
        preload: bool,
    },
    /// Backlash reads wrong either way, and nothing in between can be built: the pack that was
    /// nearer goes in again.
    SidesGoBack {
        /// Mean of the backlash readings.
        mean: f64,
    },
    /// Backlash or side preload reads wrong, and nothing better can be built.
    SidesCannotBeBettered {
        /// Mean of the backlash readings.
        mean: f64,
    },
    /// Change the pinion shim.
    ChangePinion {
        /// Mean of the two profile readings.
        mean: f64,
        /// Move asked for, + deeper.
        wanted: f64,
        /// Move that the nearest pack gives, + deeper.
        taken: f64,
    },
    /// Drive and coast read equally far off to either side: depth can't mend that.
    FlanksDisagree,
    /// The pattern reads wrong, but the move would be too small to make.
    MoveTooSmall {
        /// Mean of the two profile readings.
        mean: f64,
        /// Move that the nearest pack would give, + deeper.
        move_there: f64,
    },
    /// Everything reads inside its window.
    Accept,
    /// One assembly more would be too many.
    GiveUp,
    /// The torque reads above its window: this sleeve is spoiled.
    SleeveTooFar,
    /// The torque is where it should be.
    TorqueAccepted,
    /// The torque reads wrong: change the spacer's pack.
    ChangeSpacer,
    /// The torque reads wrong either way, and nothing in between can be built: the pack that was
    /// nearer goes in again.
    SpacerGoesBack,
    /// The torque reads wrong, and no pack or no further try betters it.
    TorqueCannotBeBettered,
}
