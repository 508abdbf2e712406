//! The outcome, time and cost of jobs: the record of one, and the sums of many for every answer.

use crate::bench::Rebuild;
use crate::bench::money::PriceList;
use crate::bench::outcome::{Inside, Outcome};
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::count::counts::Counts;
use crate::count::estimate::Estimate;
use crate::count::paired::Trial;
use crate::count::sums::Sums;

/// The outcome of one rebuild.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub struct Ending {
    /// Windows in which the first assembly lies.
    pub first: Inside,
    /// Windows in which the last assembly lies.
    pub last: Inside,
    /// Whether the pinion torque lies in its window; `None` for a job given up before its preload.
    pub torque: Option<bool>,
    /// Outcome for the customer.
    pub outcome: Outcome,
}

impl Ending {
    /// Compares the truth of a rebuild with the windows.
    #[inline]
    pub fn of(setup: &Setup, rebuild: &Rebuild) -> Self {
        let last = Inside::of(setup, &rebuild.last);
        let torque = rebuild
            .pinion_torque
            .map(|torque| setup.torque_window.holds(torque));
        Self {
            first: Inside::of(setup, &rebuild.first),
            last,
            torque,
            outcome: Outcome::of(setup, rebuild, last.all() && torque == Some(true)),
        }
    }

    /// Whether the first assembly lies in all its windows.
    pub fn right_first(&self) -> bool {
        self.first.all()
    }

    pub(crate) fn counts_first(&self) -> Trial {
        Trial::of(self.right_first())
    }

    pub(crate) fn counts_finished(&self) -> Trial {
        Trial::of(self.outcome != Outcome::GivenUp)
    }

    pub(crate) fn counts_handed_over(&self) -> Trial {
        match self.outcome {
            Outcome::GivenUp => Trial::NotCounted,
            outcome => Trial::of(outcome == Outcome::Right),
        }
    }

    pub(crate) fn counts_clearly_out(&self) -> Trial {
        match self.outcome {
            Outcome::GivenUp => Trial::NotCounted,
            outcome => Trial::of(outcome.is_clearly_out()),
        }
    }
}

/// Counts of endings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct Endings {
    pub(crate) rebuilds: u64,
    pub(crate) right_first: u64,
    pub(crate) finished: u64,
    pub(crate) right: u64,
    pub(crate) clearly_out: u64,
}

impl Endings {
    #[inline]
    pub(crate) fn add(&mut self, ending: &Ending) {
        self.rebuilds += 1;
        self.right_first += u64::from(ending.right_first());
        self.finished += u64::from(ending.outcome != Outcome::GivenUp);
        self.right += u64::from(ending.outcome == Outcome::Right);
        self.clearly_out += u64::from(ending.outcome.is_clearly_out());
    }

    pub(crate) fn merge(&mut self, later: &Self) {
        self.rebuilds += later.rebuilds;
        self.right_first += later.right_first;
        self.finished += later.finished;
        self.right += later.right;
        self.clearly_out += later.clearly_out;
    }

    /// Share right as first bolted up.
    pub(crate) fn first_assembly(&self) -> Estimate {
        Estimate::share(self.right_first, self.rebuilds)
    }

    /// Share finished.
    pub(crate) fn finished(&self) -> Estimate {
        Estimate::share(self.finished, self.rebuilds)
    }

    /// Share of finished jobs right when handed over.
    pub(crate) fn handed_over(&self) -> Estimate {
        Estimate::share(self.right, self.finished)
    }

    /// Share of finished jobs whose readings are inside every window and whose truth is not.
    pub(crate) fn wrongly_passed(&self) -> Estimate {
        Estimate::share(self.finished - self.right, self.finished)
    }

    /// Share of finished jobs clearly outside a window.
    pub(crate) fn clearly_out(&self) -> Estimate {
        Estimate::share(self.clearly_out, self.finished)
    }

    /// Half-width of the less precise headline: the share right at the first assembly, of all
    /// rebuilds, and the share right when handed over, of finished ones.
    pub(crate) fn half_width(&self) -> f64 {
        let first = self.first_assembly().half_width();
        if self.finished == 0 {
            first
        } else {
            first.max(self.handed_over().half_width())
        }
    }
}

/// One rebuild with its time and cost.
#[derive(Debug, Clone, Copy)]
pub(crate) struct JobRecord {
    pub(crate) ending: Ending,
    pub(crate) assemblies: u32,
    pub(crate) hours: f64,
    pub(crate) cost: f64,
}

impl JobRecord {
    /// Of the rebuild at an address.
    pub(crate) fn at(setup: &Setup, prices: &PriceList<'_>, address: Address) -> Self {
        let rebuild = setup.rebuild(address);
        let minutes = setup.minutes(address, &rebuild);
        Self::of(setup, prices, &rebuild, minutes)
    }

    /// Whether it was finished after one assembly and is in every window.
    pub(crate) fn right_at_once(&self) -> bool {
        self.assemblies == 1 && self.ending.outcome == Outcome::Right
    }

    /// Of a rebuild with its minutes.
    pub(crate) fn of(
        setup: &Setup,
        prices: &PriceList<'_>,
        rebuild: &Rebuild,
        minutes: f64,
    ) -> Self {
        let ending = Ending::of(setup, rebuild);
        Self {
            ending,
            assemblies: rebuild.assemblies,
            hours: minutes / 60.0,
            cost: prices.bill(rebuild, minutes, ending.outcome).cost(),
        }
    }
}

/// Sums of job records.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct JobSums {
    pub(crate) endings: Endings,
    pub(crate) assemblies: Counts,
    pub(crate) hours: Sums,
    pub(crate) cost: Sums,
}

impl JobSums {
    #[inline]
    pub(crate) fn add(&mut self, job: &JobRecord) {
        self.endings.add(&job.ending);
        self.assemblies.add(job.assemblies.into());
        self.hours.add(job.hours);
        self.cost.add(job.cost);
    }

    pub(crate) fn merge(&mut self, later: &Self) {
        self.endings.merge(&later.endings);
        self.assemblies.merge(&later.assemblies);
        self.hours.merge(&later.hours);
        self.cost.merge(&later.cost);
    }
}
