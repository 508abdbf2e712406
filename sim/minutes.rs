//! How long the work takes: each go at an operation, and the whole job.

use rand_distr::Triangular;

use crate::axle::{Axle, SideSeat};
use crate::dice::Dice;
use crate::shop::{Shop, Span};

/// What takes time. A "trial" change is one on set-up bearings, before the final assembly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the names say it")]
pub enum Operation {
    Strip,
    FirstAssembly,
    FinalAssembly,
    Refit,
    ReadBacklash,
    ReadPattern,
    TrialSideChange,
    SideChange,
    TrialPinionChange,
    PinionChange,
    ReseatRing,
    Sleeve,
    SleeveAgain,
    SpacerChange,
}

impl Operation {
    /// All of them, in the order in which their minutes are drawn.
    pub const ALL: [Self; 14] = [
        Self::Strip,
        Self::FirstAssembly,
        Self::FinalAssembly,
        Self::Refit,
        Self::ReadBacklash,
        Self::ReadPattern,
        Self::TrialSideChange,
        Self::SideChange,
        Self::TrialPinionChange,
        Self::PinionChange,
        Self::ReseatRing,
        Self::Sleeve,
        Self::SleeveAgain,
        Self::SpacerChange,
    ];
}

/// How often each operation was gone through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Goes([u16; Operation::ALL.len()]);

impl Goes {
    /// One more go at an operation.
    #[inline]
    pub fn add(&mut self, operation: Operation) {
        let goes = &mut self.0[operation as usize];
        *goes = goes.saturating_add(1);
    }

    /// Goes at an operation.
    pub fn at(&self, operation: Operation) -> u32 {
        u32::from(self.0[operation as usize])
    }
}

/// The times of one axle in one shop.
#[derive(Debug, Clone)]
pub(crate) struct Clock {
    times: [Time; Operation::ALL.len()],
    job_spread: f64,
}

/// One go.
#[derive(Debug, Clone, Copy)]
struct Time {
    /// `None` where it always takes the usual time.
    spread: Option<Triangular<f64>>,
    usual: f64,
    /// What set-up bearings save of it.
    saved: f64,
}

impl Time {
    fn new(span: Span, saved: f64) -> Self {
        Self {
            spread: (span.least < span.most)
                .then(|| Triangular::new(span.least, span.most, span.usual).ok())
                .flatten(),
            usual: span.usual,
            saved,
        }
    }

    #[inline]
    fn draw(&self, dice: &mut Dice) -> f64 {
        let taken = match &self.spread {
            Some(triangular) => dice.triangular(triangular),
            None => self.usual,
        };
        // what would take less than nothing is done on the way
        (taken - self.saved).max(0.0)
    }
}

impl Clock {
    pub(crate) fn new(axle: &Axle, shop: &Shop) -> Self {
        let minutes = &shop.minutes;
        let side = minutes.side_change[axle.side_shims.seat as usize];
        let pinion = minutes.pinion_change[axle.pinion_shim.seat as usize];
        // set-up bearings save the pressing of cones, which only these seats need
        let saved = minutes.setup_bearing_saves;
        let saved_at_side = match axle.side_shims.seat {
            SideSeat::BehindSideBearings => saved,
            SideSeat::Outboard | SideSeat::ScrewAdjusters => 0.0,
        };
        let time = |operation| match operation {
            Operation::Strip => Time::new(minutes.strip, 0.0),
            Operation::FirstAssembly => Time::new(minutes.first_assembly, 0.0),
            Operation::FinalAssembly => Time::new(minutes.final_assembly, 0.0),
            Operation::Refit => Time::new(minutes.refit, 0.0),
            Operation::ReadBacklash => Time::new(minutes.read_backlash, 0.0),
            Operation::ReadPattern => Time::new(minutes.read_pattern, 0.0),
            Operation::TrialSideChange => Time::new(side, saved_at_side),
            Operation::SideChange => Time::new(side, 0.0),
            Operation::TrialPinionChange => Time::new(pinion, saved),
            Operation::PinionChange => Time::new(pinion, 0.0),
            Operation::ReseatRing => Time::new(minutes.reseat_ring, 0.0),
            Operation::Sleeve => Time::new(minutes.sleeve, 0.0),
            Operation::SleeveAgain => Time::new(minutes.sleeve_again, 0.0),
            Operation::SpacerChange => Time::new(minutes.spacer_change, 0.0),
        };
        Self {
            times: Operation::ALL.map(time),
            job_spread: minutes.job_spread,
        }
    }

    /// Minutes of a whole job.
    pub(crate) fn minutes(&self, goes: &Goes, dice: &mut Dice) -> f64 {
        self.pass(goes, dice, |_, _| {})
    }

    /// The same minutes, told task by task.
    pub(crate) fn timesheet(&self, goes: &Goes, dice: &mut Dice) -> Timesheet {
        let mut sheet = Timesheet::default();
        let mut gone = [false; Task::ALL.len()];
        let mut told = 0;
        sheet.minutes = self.pass(goes, dice, |operation, so_far| {
            // differences of what has passed so far, so that they add up to the whole
            let ticks = (so_far * TICKS_A_MINUTE).round() as i64;
            let task = Task::of(operation) as usize;
            let side = if gone[task] {
                &mut sheet.repeats
            } else {
                &mut sheet.first
            };
            side[task] += ticks - told;
            gone[task] = true;
            told = ticks;
        });
        sheet
    }

    /// The same minutes go by go, in the order of [`Operation::ALL`].
    pub(crate) fn minutes_of_goes(&self, goes: &Goes, dice: &mut Dice) -> Vec<(Operation, f64)> {
        let mut told = Vec::new();
        let mut before = 0.0;
        self.pass(goes, dice, |operation, so_far| {
            told.push((operation, so_far - before));
            before = so_far;
        });
        told
    }

    /// Lets the time of every go pass; `tell` hears of each, with the minutes passed so far.
    #[inline]
    fn pass(&self, goes: &Goes, dice: &mut Dice, mut tell: impl FnMut(Operation, f64)) -> f64 {
        let spread = self.job_spread;
        let pace = libm::exp(spread * dice.normal() - 0.5 * spread * spread);
        let mut sum = 0.0;
        for ((time, goes), operation) in self.times.iter().zip(goes.0).zip(Operation::ALL) {
            for _ in 0..goes {
                sum += time.draw(dice);
                tell(operation, sum * pace);
            }
        }
        sum * pace
    }
}

/// What a service writer calls one line of work: operations that differ only in when they are done
/// count as one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "the names say it")]
pub enum Task {
    Strip,
    FirstAssembly,
    ReadBacklash,
    SideChange,
    ReadPattern,
    PinionChange,
    ReseatRing,
    FinalAssembly,
    Sleeve,
    SpacerChange,
    Refit,
}

impl Task {
    /// All of them, in the order of a job.
    pub const ALL: [Self; 11] = [
        Self::Strip,
        Self::FirstAssembly,
        Self::ReadBacklash,
        Self::SideChange,
        Self::ReadPattern,
        Self::PinionChange,
        Self::ReseatRing,
        Self::FinalAssembly,
        Self::Sleeve,
        Self::SpacerChange,
        Self::Refit,
    ];

    /// The task that an operation belongs to.
    pub fn of(operation: Operation) -> Self {
        match operation {
            Operation::Strip => Self::Strip,
            Operation::FirstAssembly => Self::FirstAssembly,
            Operation::FinalAssembly => Self::FinalAssembly,
            Operation::Refit => Self::Refit,
            Operation::ReadBacklash => Self::ReadBacklash,
            Operation::ReadPattern => Self::ReadPattern,
            Operation::TrialSideChange | Operation::SideChange => Self::SideChange,
            Operation::TrialPinionChange | Operation::PinionChange => Self::PinionChange,
            Operation::ReseatRing => Self::ReseatRing,
            Operation::Sleeve | Operation::SleeveAgain => Self::Sleeve,
            Operation::SpacerChange => Self::SpacerChange,
        }
    }
}

/// Ticks in a minute: times are told in whole ticks, so that sums of them are exact.
pub const TICKS_A_MINUTE: f64 = 1_099_511_627_776.0;

/// Where the minutes of one job went.
///
/// The ticks of all tasks, first goes and repeats, add up to the minutes of the job in ticks,
/// rounded once.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Timesheet {
    /// The whole job, minutes: the very figure that [`crate::setup::Setup::minutes`] gives.
    pub minutes: f64,
    /// Ticks of the first go at each of [`Task::ALL`].
    pub first: [i64; Task::ALL.len()],
    /// Ticks of every further go.
    pub repeats: [i64; Task::ALL.len()],
}

#[cfg(test)]
#[path = "tests/minutes.rs"]
mod tests;
