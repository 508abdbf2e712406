//! Times: of each operation, and of the whole job.

use crate::axle::{Axle, SideSeat};
use crate::bench::graduation::whole;
use crate::chance::dice::{Address, NumberedFigures, Purpose};
use crate::shop::{Shop, Span};

/// An operation that takes time. A "trial" change is one on set-up bearings, before the final
/// assembly.
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

/// How often each operation was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct OperationCounts([u16; Operation::ALL.len()]);

impl OperationCounts {
    /// Counts an operation once more; gives how often it was done before.
    #[inline]
    pub fn add(&mut self, operation: Operation) -> u16 {
        let count = &mut self.0[operation as usize];
        let before = *count;
        *count = before.saturating_add(1);
        before
    }

    /// How often an operation was done.
    pub fn at(&self, operation: Operation) -> u32 {
        u32::from(self.0[operation as usize])
    }
}

/// The times of one axle in one shop.
///
/// # Definition
/// The time of an operation is addressed by the operation and by how often it was done before in
/// the job; it is a whole number of ticks, so that the sum of a job is exact in any order. The pace
/// of the job scales them all.
#[derive(Debug, Clone)]
pub(crate) struct Clock {
    times: [Time; Operation::ALL.len()],
    job_spread: f64,
}

/// Minutes that set-up bearings take off an operation: pressing cones, which only these seats need.
pub(crate) fn saved_at(axle: &Axle, shop: &Shop, operation: Operation) -> f64 {
    match (operation, axle.side_shims.seat) {
        (Operation::TrialPinionChange, _)
        | (Operation::TrialSideChange, SideSeat::BehindSideBearings) => {
            shop.minutes.setup_bearing_saves
        }
        _ => 0.0,
    }
}

/// Ticks of the clock in a minute.
const TICKS: f64 = 1_048_576.0;

/// The time of one operation, in ticks: triangular.
#[derive(Debug, Clone, Copy)]
struct Time {
    /// The least, less what set-up bearings save.
    least: f64,
    /// Most less usual, and usual less least, as weights of figures up to 2³².
    over: f64,
    under: f64,
}

impl Time {
    fn new(span: Span, saved: f64) -> Self {
        const OF_ONE: f64 = TICKS / 4_294_967_296.0;
        Self {
            least: (span.least - saved) * TICKS,
            over: (span.most - span.usual) * OF_ONE,
            under: (span.usual - span.least) * OF_ONE,
        }
    }

    /// Ticks of the operation of this number.
    ///
    /// # Source
    /// Stein and Keblis, "A new method to simulate the triangular distribution", Mathematical and
    /// Computer Modelling 49 (2009) 1143–1147: the smaller and the larger of two uniform figures,
    /// weighted.
    #[inline(always)]
    fn draw(&self, figures: NumberedFigures, number: u64) -> f64 {
        let [smaller, larger] = figures.two(number);
        let taken = self.least + self.over * f64::from(smaller) + self.under * f64::from(larger);
        // no operation takes less than no time
        if taken > 0.0 { whole(taken) } else { 0.0 }
    }
}

impl Clock {
    pub(crate) fn new(axle: &Axle, shop: &Shop) -> Self {
        let minutes = &shop.minutes;
        let side = minutes.side_change[axle.side_shims.seat as usize];
        let pinion = minutes.pinion_change[axle.pinion_shim.seat as usize];
        let saved = |operation| saved_at(axle, shop, operation);
        let time = |operation| match operation {
            Operation::Strip => Time::new(minutes.strip, 0.0),
            Operation::FirstAssembly => Time::new(minutes.first_assembly, 0.0),
            Operation::FinalAssembly => Time::new(minutes.final_assembly, 0.0),
            Operation::Refit => Time::new(minutes.refit, 0.0),
            Operation::ReadBacklash => Time::new(minutes.read_backlash, 0.0),
            Operation::ReadPattern => Time::new(minutes.read_pattern, 0.0),
            Operation::TrialSideChange => Time::new(side, saved(operation)),
            Operation::SideChange => Time::new(side, 0.0),
            Operation::TrialPinionChange => Time::new(pinion, saved(operation)),
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

    /// Ticks of an operation that was done `before` times already.
    #[inline(always)]
    pub(crate) fn ticks(&self, figures: NumberedFigures, operation: Operation, before: u16) -> f64 {
        let number = (operation as u64) << 16 | u64::from(before);
        self.times[operation as usize].draw(figures, number)
    }

    /// Minutes of a tick at the pace of the job at this address.
    #[inline]
    pub(crate) fn pace(&self, address: Address) -> f64 {
        let spread = self.job_spread;
        let normal = address.stream(Purpose::Minutes).normal();
        libm::exp(spread * normal - 0.5 * spread * spread) / TICKS
    }

    /// Minutes of a whole job.
    pub(crate) fn minutes(&self, done: &OperationCounts, address: Address) -> f64 {
        self.pass(done, address, |_, _| {})
    }

    /// The same minutes, task by task.
    pub(crate) fn timesheet(&self, done: &OperationCounts, address: Address) -> Timesheet {
        let mut sheet = Timesheet::default();
        let mut done_before = [false; Task::ALL.len()];
        let mut before = 0;
        sheet.minutes = self.pass(done, address, |operation, so_far| {
            // differences of the time passed, so that they add up to the whole
            let ticks = whole(so_far * TICKS_A_MINUTE) as i64;
            let task = Task::of(operation) as usize;
            let side = if done_before[task] {
                &mut sheet.repeats
            } else {
                &mut sheet.first
            };
            side[task] += ticks - before;
            done_before[task] = true;
            before = ticks;
        });
        sheet
    }

    /// The same minutes for every single operation, in the order of [`Operation::ALL`].
    pub(crate) fn minutes_of_operations(
        &self,
        done: &OperationCounts,
        address: Address,
    ) -> Vec<(Operation, f64)> {
        let mut minutes = Vec::new();
        let mut before = 0.0;
        self.pass(done, address, |operation, so_far| {
            minutes.push((operation, so_far - before));
            before = so_far;
        });
        minutes
    }

    /// Sums the times of all operations; `passed` gets each with the minutes passed so far.
    #[inline]
    fn pass(
        &self,
        done: &OperationCounts,
        address: Address,
        mut passed: impl FnMut(Operation, f64),
    ) -> f64 {
        let pace = self.pace(address);
        let figures = address.numbered(Purpose::Minutes);
        let mut sum = 0.0;
        for operation in Operation::ALL {
            for before in 0..done.0[operation as usize] {
                sum += self.ticks(figures, operation, before);
                passed(operation, sum * pace);
            }
        }
        sum * pace
    }
}

/// One line of work on an invoice: operations that differ only in when they are done count as one.
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

/// Ticks in a minute of a timesheet: times are whole ticks, so that their sums are exact.
pub const TICKS_A_MINUTE: f64 = 4_294_967_296.0;

/// The minutes of one job by task.
///
/// The ticks of all tasks, first times and repeats, add up to the minutes of the job in ticks,
/// rounded once.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
pub struct Timesheet {
    /// The whole job, minutes, as [`crate::bench::setup::Setup::minutes`] gives it.
    pub minutes: f64,
    /// Ticks of the first time of each of [`Task::ALL`].
    pub first: [i64; Task::ALL.len()],
    /// Ticks of all further times.
    pub repeats: [i64; Task::ALL.len()],
}

#[cfg(test)]
#[path = "../tests/minutes.rs"]
mod tests;
