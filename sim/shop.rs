//! One workshop as its file describes it: habits, instruments, prices, the shims it can buy and the
//! jobs it expects.

use crate::axle::shims::Series;
use crate::axle::{Condition, Indicator};

/// Everything known about one workshop. Lengths in mm, torque in N·m, times in minutes, money in
/// its own currency.
///
/// # Example
/// ```
/// use shimcast_sim::prelude::*;
///
/// let mut shop = demo::shop();
/// shop.bench.most_assemblies = 5;
/// assert_eq!(shop.bench.most_turns(), 20);
/// assert_eq!(shop.series("P-38").map(|series| series.sizes.len()), Some(15));
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Shop {
    /// What it is called.
    pub name: String,
    /// The currency its prices are in, as printed.
    pub currency: String,
    /// How the work is done.
    pub bench: Habits,
    /// One-sigma errors of what it measures with.
    pub instruments: Instruments,
    /// What each operation takes.
    pub minutes: Minutes,
    /// What things cost.
    pub prices: Prices,
    /// The shim series it can buy.
    pub shims: Vec<Series>,
    /// How the drawer is run.
    pub drawer: Drawer,
    /// The jobs it expects.
    pub jobs: Vec<Job>,
}

impl Shop {
    /// The series of that name.
    pub fn series(&self, name: &str) -> Option<&Series> {
        self.shims.iter().find(|s| s.name == name)
    }
}

/// Where the first pinion pack comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PinionStart {
    /// The old pack, corrected by the difference of the marks.
    OldPack,
    /// A depth gauge and the new mark.
    Gauge,
    /// The usual thickness and the new mark.
    Usual,
}

/// Where the first side shims come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SideStart {
    /// The old packs.
    OldPacks,
    /// The usual thicknesses.
    Usual,
    /// From the ring position of zero backlash, moved out by the wanted backlash.
    ZeroLash,
}

/// How a wrong pattern is corrected.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Correction {
    /// The move that the reading asks for.
    Measured,
    /// A fixed first move, halved at each change of direction.
    Halving,
}

/// How side preload is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SideCheck {
    /// The shims added past zero end play are trusted.
    ShimRule,
    /// The rise of the turning torque is read.
    TorqueRise,
}

/// How the work is done.
#[derive(Debug, Clone, PartialEq)]
pub struct Habits {
    /// Where the first pinion pack comes from.
    pub pinion_start: PinionStart,
    /// Where the first side shims come from.
    pub side_start: SideStart,
    /// Backlash change expected per unit of ring-gear move.
    pub ring_belief: f64,
    /// Whether the technician corrects `ring_belief` by the effect of the job's own moves.
    pub learns: bool,
    /// Pattern profile shift expected per mm of depth, share of the tooth.
    pub depth_belief: f64,
    /// How a wrong pattern is corrected.
    pub correction: Correction,
    /// First move when halving, mm.
    pub first_move: f64,
    /// Depth moves smaller than this are not made, mm.
    pub smallest_move: f64,
    /// How side preload is judged.
    pub side_check: SideCheck,
    /// Torque readings averaged for the torque rise.
    pub torque_readings: u32,
    /// Closing aimed for past zero end play, mm.
    pub side_preload_added: f64,
    /// Backlash readings round the ring.
    pub backlash_points: u32,
    /// Limit of assemblies, beyond which the job is given up. Turns of screw adjusters, which are
    /// no assemblies, are limited to four times this.
    pub most_assemblies: u32,
    /// Guard band at either end of each window, as a share of its width, 0 … 0.45.
    pub guard: f64,
    /// Probability that the sign of the marks is misread.
    pub mark_slip: f64,
    /// Whether old and new bearing heights are measured and the start corrected.
    pub measures_heights: bool,
    /// Torque aimed for with a sleeve, as a share of the window's width above its lower end.
    pub sleeve_aim: f64,
    /// Most that the nut is turned between two readings, degrees.
    pub sleeve_step: f64,
    /// Ring-gear move of one adjuster notch, mm.
    pub notch: f64,
    /// Whether slip-fit cones are used for the trials.
    pub setup_bearings: bool,
    /// Probability that pulling a pressed bearing cone spoils it.
    pub cone_spoiled: f64,
}

impl Habits {
    /// Limit of turns of screw adjusters, which are no assemblies; beyond it the job is given up.
    pub fn most_turns(&self) -> u32 {
        self.most_assemblies.saturating_mul(4)
    }
}

/// A dial indicator on a ring tooth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dial {
    /// One-sigma error, mm.
    pub sigma: f64,
    /// Graduation, mm; 0 for none.
    pub step: f64,
    /// How it is held.
    pub indicator: Indicator,
}

/// A pinion depth gauge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DepthGauge {
    /// One-sigma error, mm.
    pub sigma: f64,
    /// Graduation, mm; 0 for none.
    pub step: f64,
}

/// A torque wrench or beam scale on the pinion nut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TorqueReading {
    /// One-sigma error, N·m.
    pub sigma: f64,
    /// One-sigma error as a share of the true torque.
    pub share: f64,
    /// Graduation, N·m; 0 for none.
    pub step: f64,
}

/// How a contact pattern is read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PatternReading {
    /// One-sigma error, share of the tooth's depth.
    pub profile: f64,
    /// Rounded to this, share of the tooth's depth; 0 for none.
    pub step: f64,
}

/// Precision of turning the pinion nut by hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NutTurn {
    /// One-sigma error of a turn, degrees.
    pub sigma: f64,
    /// Probability that the nut slips further.
    pub slip: f64,
    /// How far it slips, degrees.
    pub slip_by: f64,
}

/// One-sigma errors of what the shop measures with.
#[derive(Debug, Clone, PartialEq)]
pub struct Instruments {
    /// Backlash dial.
    pub dial: Dial,
    /// Pinion depth gauge.
    pub depth_gauge: DepthGauge,
    /// Finding zero end play of the carrier, mm.
    pub end_play: f64,
    /// Measuring a bearing's height, mm.
    pub height: f64,
    /// Turning torque.
    pub torque: TorqueReading,
    /// Contact pattern.
    pub pattern: PatternReading,
    /// Micrometer for shims, mm; `None` trusts the size printed on them.
    pub micrometer: Option<f64>,
    /// Slip-fit cone against the bearing finally pressed on, mm.
    pub setup_bearing: f64,
    /// Turning the pinion nut.
    pub nut: NutTurn,
}

/// Time of an operation: a triangular distribution, minutes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Shortest.
    pub least: f64,
    /// Most likely.
    pub usual: f64,
    /// Longest.
    pub most: f64,
}

impl Span {
    /// Mean of the triangular distribution, minutes.
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::shop::Span;
    ///
    /// let strip = Span { least: 80.0, usual: 115.0, most: 195.0 };
    /// assert_eq!(strip.mean(), 130.0);
    /// ```
    pub fn mean(self) -> f64 {
        (self.least + self.usual + self.most) / 3.0
    }
}

/// What each operation takes, and how much a whole job varies.
#[derive(Debug, Clone, PartialEq)]
pub struct Minutes {
    /// On the lift to bare housing, cleaned and inspected.
    pub strip: Span,
    /// First assembly.
    pub first_assembly: Span,
    /// Reading backlash round the ring.
    pub read_backlash: Span,
    /// Painting and reading the pattern.
    pub read_pattern: Span,
    /// Side change by seat: outboard, behind the side bearings, screw adjusters.
    pub side_change: [Span; 3],
    /// Pinion change by seat: under the head bearing, behind the head cup, cartridge flange.
    pub pinion_change: [Span; 3],
    /// Minutes that set-up bearings take off a change that would need cones pressed.
    pub setup_bearing_saves: f64,
    /// Taking the ring gear off and seating it again.
    pub reseat_ring: Span,
    /// First sleeve.
    pub sleeve: Span,
    /// Each further sleeve.
    pub sleeve_again: Span,
    /// A change of the spacer's shims.
    pub spacer_change: Span,
    /// Pressing, seal, final checks.
    pub final_assembly: Span,
    /// Shafts, cover, oil, road test.
    pub refit: Span,
    /// One-sigma variation of the time of a whole job, as a share.
    pub job_spread: f64,
}

/// What things cost, in the shop's currency.
#[derive(Debug, Clone, PartialEq)]
pub struct Prices {
    /// An hour of labour, as charged.
    pub hour: f64,
    /// What an hour costs the shop itself.
    pub hour_cost: f64,
    /// A collapsible sleeve.
    pub sleeve: f64,
    /// A bearing cone that replaces one spoiled by pulling.
    pub cone: f64,
    /// Cost of a job that returns.
    pub comeback: f64,
    /// Share of the jobs handed over clearly outside a window that return.
    pub comeback_share: f64,
    /// Cost of a job given up: goodwill, a colleague who finishes it.
    pub given_up: f64,
}

/// How the shim drawer is run.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawer {
    /// Days between orders.
    pub order_every_days: f64,
    /// Days from order to delivery.
    pub lead_time_days: f64,
    /// Mean delay of a delivery, days; 0 for none.
    pub lead_time_spread: f64,
    /// Share of jobs to finish without waiting for a shim.
    pub job_fill: f64,
    /// A pack within this of the wanted thickness is fitted in its place, mm.
    pub near_enough: f64,
    /// Shims of each size that are kept above its level when a job leaves good ones.
    pub keep_surplus: u32,
    /// Holding cost a year, as a share of the money in the drawer.
    pub holding_share: f64,
    /// Cost of a job that waits for a shim.
    pub wait_cost: f64,
    /// Cost of one order.
    pub delivery_cost: f64,
}

/// A kind of job that the shop expects.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// The axle's file, as written.
    pub axle: String,
    /// Jobs a month.
    pub per_month: f64,
    /// Whether the gears are new.
    pub gears: Condition,
    /// Whether the bearings are new.
    pub bearings: Condition,
    /// Share of these jobs that is not to wait for a shim, beside the drawer's own.
    pub job_fill: Option<f64>,
}
