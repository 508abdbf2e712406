//! The question about one axle on the bench, and its answer as structures.

use crate::axle::tolerance::Tolerance;
use crate::bench::PackPlace;
use crate::bench::setup::Setup;
use crate::count::estimate::Estimate;
use crate::next::{BenchJob, Draw, PackRates, Stood};

/// Whether a pack can be built now: its place, and its number in the table of its series.
pub type CanBuild<'a> = &'a (dyn Fn(PackPlace, usize) -> bool + Sync);

/// Whether anyone still waits for the answer.
pub type GoesOn<'a> = &'a (dyn Fn() -> bool + Sync);

/// What is asked about one axle on the bench.
#[derive(Clone)]
pub struct Question<'a> {
    /// The kind of job: this axle in this shop, gears and bearings new or kept.
    pub setup: &'a Setup,
    /// What is known, fitted and read.
    pub job: &'a BenchJob,
    /// How closely the old sides had been set: their closure less `side_preload_added`, mm.
    pub old_side_closure: Tolerance,
    /// Which packs may be fitted; without it every pack of the series.
    pub can_build: Option<CanBuild<'a>>,
    /// Packs of the asker's own to judge beside the others, as printed, mm: pinion, ring side, far
    /// side; with screw adjusters the sides' travel as in the job.
    pub own_moves: &'a [[f64; 3]],
    /// The seed of its random figures.
    pub seed: u64,
    /// Asked between steps of the work; once it says no, that ends without an answer.
    pub goes_on: GoesOn<'a>,
}

impl<'a> Question<'a> {
    /// A question with every pack at hand and the sides once set to 0.03 mm, one sigma.
    pub fn of(setup: &'a Setup, job: &'a BenchJob, seed: u64) -> Self {
        Self {
            setup,
            job,
            old_side_closure: Tolerance::normal(0.0, 0.03).expect("a finite spread"),
            can_build: None,
            own_moves: &[],
            seed,
            goes_on: &|| true,
        }
    }
}

/// What is believed of an axle on the bench, and what to do next.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Next {
    /// Draws made for the belief.
    pub draws: u64,
    /// How many equally weighted draws the belief is worth: (Σw)²/Σw².
    pub effective: f64,
    /// Whether backlash and pattern of the last assembly were read and are inside, and the rise of torque
    /// where it was read.
    pub reads_inside: bool,
    /// How surprising each entry was, in order.
    pub surprises: Vec<Surprise>,
    /// The true state of the last assembly as it sits; without an assembly that of the best starting
    /// packs.
    pub belief: Belief,
    /// Where every assembly stood, oldest first, by all that is stated; the last one is that of the belief.
    pub path: Vec<Stood>,
    /// A few hundred draws of equal weight of the state that the belief tells of; none where no packs can
    /// be fitted and nothing stands.
    pub cloud: Vec<Draw>,
    /// How packs move these draws.
    pub pack_rates: PackRates,
    /// The last assembly handed over as it sits; `None` without an assembly.
    pub as_it_stands: Option<AsItStands>,
    /// Every move, best first. One that is not to be advised stands after those that are.
    pub moves: Vec<Move>,
    /// Readings to expect after the best move; `None` where it is to accept.
    pub expected: Option<Expected>,
    /// What next at the pinion preload; `None` where there is nothing to go by yet.
    pub preload: Option<PreloadNext>,
    /// What would narrow the belief most, of what is not stated.
    pub would_narrow: Option<Narrowing>,
    /// What the job and the axle's description do not agree on, and what was taken for granted.
    pub remarks: Vec<Remark>,
}

/// The true state of an assembly, as it is believed to be. Lengths in mm, pattern in shares of the
/// tooth; "+" opens the mesh.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Belief {
    /// dP: pinion depth against the pair's own best, + too shallow.
    pub depth: Figure,
    /// dG: ring position against the pair's own best, + too far out.
    pub ring: Figure,
    /// Backlash, mean of a turn, in the service manual's terms.
    pub backlash: Figure,
    /// 2V: variation of backlash round the ring.
    pub variation: Figure,
    /// Side closure past zero end play.
    pub closure: Figure,
    /// The pattern's middle up the profile on the drive side, in truth.
    pub drive: Figure,
    /// Coast side.
    pub coast: Figure,
}

/// One figure of a belief.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Figure {
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
    /// 5 % quantile.
    pub p05: f64,
    /// Median.
    pub p50: f64,
    /// 95 % quantile.
    pub p95: f64,
    /// Mean and standard deviation with the same packs, given no more than what was known before the
    /// first assembly.
    pub before: [f64; 2],
}

/// An axle handed over as it sits.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct AsItStands {
    /// Probability that backlash, pattern and side closure are inside their windows, and the pinion
    /// torque where one is stated.
    pub right: Estimate,
    /// Probability that one of them is outside by more than a graduation of what reads it.
    pub clearly_out: Estimate,
}

/// One thing to do next, and how it goes on from there.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Move {
    /// Pinion pack as printed, mm; that of the last assembly where it stays.
    pub pinion: f64,
    /// Ring-side pack, or travel from where the first assembly stood.
    pub ring: f64,
    /// Far-side pack, or travel. Before the first assembly it is found at the bench, with zero end
    /// play; this one is then the most likely.
    pub far: f64,
    /// Whether it is to accept what stands on the bench.
    pub accept: bool,
    /// Whether the asker named these packs.
    pub own: bool,
    /// Whether the axle has to come apart for it; screw adjusters are turned with the axle together.
    pub takes_apart: bool,
    /// Shims of packs that are fitted anew.
    pub shims: Vec<ShimsOf>,
    /// Probability that the readings of the next assembly are all inside; `None` where none follows.
    pub reads_inside: Option<Estimate>,
    /// Probability that the job ends handed over with everything inside its window.
    pub right: Estimate,
    /// Probability that it is handed over clearly out of a window.
    pub clearly_out: Estimate,
    /// Assemblies still to come.
    pub assemblies: Estimate,
    /// Hours still to come.
    pub hours: Estimate,
    /// Cost still to come: hours, sleeves, shims of packs fitted anew, expected cones and comebacks,
    /// and the price of giving up.
    pub cost: Estimate,
    /// Cost less that of the best move, paired.
    pub dearer: Estimate,
    /// Whether it is seen to be worse than the best move (95 %), or is not to be advised: accepting
    /// what does not read inside.
    pub less_than_best: bool,
}

/// Shims of one size in a pack.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ShimsOf {
    /// Where they go.
    pub place: PackPlace,
    /// The series.
    pub series: String,
    /// Thickness as printed, mm.
    pub size: f64,
    /// How many.
    pub count: u32,
}

/// Readings to expect.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Expected {
    /// Smallest backlash reading, mm.
    pub smallest: Quantiles,
    /// Largest.
    pub largest: Quantiles,
    /// Pattern up the profile, share of the tooth: drive.
    pub drive: Quantiles,
    /// Coast.
    pub coast: Quantiles,
}

/// Three quantiles of a figure.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Quantiles {
    /// 5 % quantile.
    pub p05: f64,
    /// Median.
    pub p50: f64,
    /// 95 % quantile.
    pub p95: f64,
}

/// How surprising the readings of an entry are, given all before it.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Surprise {
    /// 0: what was known before; from 1: the assembly of this number.
    pub entry: usize,
    /// P(f(Y) ≤ f(y)): probability of readings that are no more likely than these.
    pub chance: Estimate,
    /// What would make it all at least 100 times likelier, likeliest first; looked for below
    /// [`SURPRISING`] only.
    pub suspects: Vec<Suspect>,
}

/// Below this chance readings are told to be surprising.
pub const SURPRISING: f64 = 0.001;

/// A slip that would explain surprising readings.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Suspect {
    /// What it is.
    pub slip: Slip,
    /// How many times likelier all readings are with it.
    pub times: f64,
}

/// What may have gone wrong.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Slip {
    /// The old mark has the other sign.
    OldMarkSign,
    /// The new mark has the other sign.
    NewMarkSign,
    /// Both have.
    BothMarkSigns,
    /// The side packs of this assembly are swapped.
    SidePacksSwapped,
    /// This reading is off by a decimal; what it would be.
    Decimal(Reading, f64),
    /// The ring gear is not seated, from this assembly to the next reseat.
    RingNotSeated,
    /// This assembly stood on real bearings.
    OnRealBearings,
    /// This assembly stood on set-up bearings.
    OnSetUpBearings,
    /// The pack is thicker than stated by this much, or thinner if below zero, mm: the thinnest shim of
    /// its series.
    PackOff(PackPlace, f64),
}

/// One stated figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reading {
    /// Mark on the pinion that came out.
    MarkOld,
    /// Mark on the pinion that goes in.
    MarkNew,
    /// Pinion pack that came out.
    PinionPack,
    /// Ring-side pack that came out.
    RingPack,
    /// Far-side pack that came out.
    FarPack,
    /// Spacer's pack that came out.
    PreloadPack,
    /// Old and new height of the head bearing.
    HeadHeight,
    /// Tail bearing.
    TailHeight,
    /// Ring-side bearing.
    RingHeight,
    /// Far-side bearing.
    FarHeight,
    /// Depth gauge.
    Gauge,
    /// Zero end play.
    ZeroTotal,
    /// Backlash at the point of this number, from 0.
    Backlash(usize),
    /// Pattern on the drive side.
    Drive,
    /// Pattern on the coast side.
    Coast,
    /// Torque rise.
    Rise,
    /// Pinion torque at the go of this number, from 0.
    Torque(usize),
}

/// What next at the pinion preload.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum PreloadNext {
    /// The pack beside a solid spacer.
    Spacer {
        /// The next pack as printed, mm.
        pack: f64,
        /// Whether it is the one fitted.
        fitted: bool,
        /// True torque to expect with it, N·m.
        torque: Quantiles,
        /// Probability that the true torque is inside its window with it.
        inside: Estimate,
    },
    /// The nut on the sleeve that is in.
    Sleeve {
        /// Degrees of the nut believed to be left to the aim; 0 where it is reached.
        degrees: Quantiles,
        /// Probability that the true torque is inside its window as it is.
        inside: Estimate,
        /// Goes of a chosen size, small ones first.
        goes: Vec<Go>,
    },
}

/// One go at the nut.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Go {
    /// How far the nut is turned, degrees.
    pub degrees: f64,
    /// Probability that the true torque is past its window after it.
    pub past: Estimate,
    /// Probability that the true torque is inside its window after it.
    pub inside: Estimate,
}

/// What would narrow the belief, were it stated.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Narrowing {
    /// 0: of what was known before; from 1: of the assembly of this number.
    pub entry: usize,
    /// The figure.
    pub reading: Reading,
    /// Standard deviation of depth with it, as a share of that without it.
    pub depth: f64,
    /// The same of backlash.
    pub backlash: f64,
    /// The same of side closure.
    pub closure: f64,
}

/// What the job and the axle's description do not agree on, or what was taken for granted. Entries as
/// in [`Surprise`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Remark {
    /// A figure is no multiple of its step: it is taken as exact as written.
    OffStep {
        /// The entry.
        entry: usize,
        /// The figure.
        reading: Reading,
        /// As stated.
        stated: f64,
        /// The step, mm, share of the tooth or N·m.
        step: f64,
    },
    /// No pack of the series gives this sum: the error of the nearest is taken.
    NoSuchPack {
        /// The entry.
        entry: usize,
        /// Where.
        place: PackPlace,
        /// As stated, mm.
        stated: f64,
        /// The nearest sum, mm.
        nearest: f64,
    },
    /// Backlash was read at another number of points than at the last assembly where it was read.
    PointsDiffer {
        /// The entry.
        entry: usize,
        /// Points here.
        points: usize,
        /// Points before.
        before: usize,
    },
    /// With kept bearings a height is one figure; two that differ are stated, and the first is taken.
    HeightsDiffer(Reading),
    /// No zero end play is stated for these bearings: both side packs of the first assembly on them, less
    /// the preload added, are taken for it.
    ZeroTotalAssumed {
        /// The first assembly on them.
        entry: usize,
        /// What is taken for zero end play, mm.
        total: f64,
    },
    /// A reading at or above the aim is followed by others: the turning went on all the same.
    TurnedPastAim {
        /// The entry.
        entry: usize,
    },
    /// The belief rests on few draws: its figures are rough.
    FewEffective,
}
