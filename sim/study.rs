//! Studies: from an axle and a shop to the answers, step by step.

use std::ops::ControlFlow;

use crate::axle::{Axle, Condition};
use crate::bench::money::ShimsCharged;
use crate::causes::{Causes, causes};
use crate::chance::run::{Progress, Until};
use crate::compare::{Comparison, compare};
use crate::follow::{Story, follow};
use crate::odds::{Odds, odds};
use crate::quote::{Quote, quote};
use crate::shop::Shop;

pub use crate::bench::setup::{Flaw, Setup};

/// One kind of job: an axle in a shop, gears and bearings new unless said otherwise.
///
/// # Example
/// How much a coarser dial changes the share of jobs that are right when handed over:
/// ```
/// use shimcast_sim::prelude::*;
///
/// let mut shop = demo::shop();
/// shop.instruments.dial.step = 0.05;
/// let coarse = Study::of(demo::axle(), shop).setup()?;
/// let study = Study::of(demo::axle(), demo::shop());
/// let both = study.seed(1).rebuilds(8_000).compare(&[coarse])?;
/// assert!(both.differences[0].handed_over.high < 0.0);
/// # Ok::<(), Vec<Flaw>>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[must_use]
pub struct Study {
    axle: Axle,
    shop: Shop,
    gears: Condition,
    bearings: Condition,
}

impl Study {
    /// A study of an axle in a shop, gears and bearings new.
    pub fn of(axle: Axle, shop: Shop) -> Self {
        Self {
            axle,
            shop,
            gears: Condition::New,
            bearings: Condition::New,
        }
    }

    /// Whether the ring gear and pinion are new.
    pub fn gears(self, gears: Condition) -> Self {
        Self { gears, ..self }
    }

    /// Whether the bearings are new.
    ///
    /// # Example
    /// Used bearings are held to a torque window of their own:
    /// ```
    /// use shimcast_sim::prelude::*;
    ///
    /// let study = Study::of(demo::axle(), demo::shop());
    /// let kept = study.bearings(Condition::Kept).setup()?;
    /// assert_eq!(kept.torque_window, Window::new(0.80, 1.40));
    /// # Ok::<(), Vec<Flaw>>(())
    /// ```
    pub fn bearings(self, bearings: Condition) -> Self {
        Self { bearings, ..self }
    }

    /// Works out the job: geometry, packs, windows.
    ///
    /// # Errors
    /// A [`Flaw`] for every figure with which no job can be simulated.
    pub fn setup(self) -> Result<Setup, Vec<Flaw>> {
        Setup::new(self.axle, self.shop, self.gears, self.bearings)
    }

    /// The seed of its random figures: the same one gives the same answers, to the last bit.
    pub fn seed(self, seed: u64) -> SeededStudy {
        SeededStudy { study: self, seed }
    }
}

/// A study with a seed.
///
/// # Example
/// The same seed gives the same answer, to the last bit:
/// ```
/// use shimcast_sim::prelude::*;
///
/// let odds = || Study::of(demo::axle(), demo::shop()).seed(7).rebuilds(500).odds();
/// assert_eq!(odds()?, odds()?);
/// # Ok::<(), Vec<Flaw>>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[must_use]
pub struct SeededStudy {
    study: Study,
    seed: u64,
}

impl SeededStudy {
    /// Simulates this many rebuilds.
    pub fn rebuilds(self, number: u64) -> Plan {
        self.until(Until::Rebuilds(number))
    }

    /// Simulates until the 95 % interval of every headline share is at most this much to either
    /// side.
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::prelude::*;
    ///
    /// let study = Study::of(demo::axle(), demo::shop());
    /// let odds = study.seed(1).within(0.01).odds()?;
    /// assert!(odds.first_assembly.all.half_width() <= 0.01);
    /// # Ok::<(), Vec<Flaw>>(())
    /// ```
    pub fn within(self, half_width: f64) -> Plan {
        self.until(Until::Within(half_width))
    }

    fn until(self, until: Until) -> Plan {
        Plan {
            study: self.study,
            seed: self.seed,
            until,
        }
    }

    /// Rebuild `number`, from 1, step by step.
    ///
    /// # Errors
    /// A [`Flaw`] for every figure with which no job can be simulated.
    ///
    /// # Panics
    /// If `number` is zero.
    ///
    /// # Example
    /// Rebuild 1 is the one that a run of one rebuild counts:
    /// ```
    /// use shimcast_sim::prelude::*;
    ///
    /// let study = || Study::of(demo::axle(), demo::shop()).seed(1);
    /// let story = study().follow(1)?;
    /// let odds = study().rebuilds(1).odds()?;
    /// assert_eq!(odds.effort.assemblies.value, f64::from(story.rebuild.assemblies));
    /// # Ok::<(), Vec<Flaw>>(())
    /// ```
    pub fn follow(self, number: u64) -> Result<Story, Vec<Flaw>> {
        Ok(follow(&self.study.setup()?, self.seed, number))
    }
}

/// A study with a seed and a number of rebuilds, or a precision, to reach.
#[derive(Debug, Clone, PartialEq)]
#[must_use]
pub struct Plan {
    study: Study,
    seed: u64,
    until: Until,
}

impl Plan {
    /// The odds: how a set-up goes.
    ///
    /// # Errors
    /// A [`Flaw`] for every figure with which no job can be simulated.
    pub fn odds(self) -> Result<Odds, Vec<Flaw>> {
        Ok(odds(
            &self.study.setup()?,
            self.seed,
            self.until,
            &mut go_on,
        ))
    }

    /// What to quote: the distribution of hours, and the cost of a job, with the shims finally fitted.
    ///
    /// # Errors
    /// A [`Flaw`] for every figure with which no job can be simulated.
    pub fn quote(self) -> Result<Quote, Vec<Flaw>> {
        Ok(quote(
            &self.study.setup()?,
            ShimsCharged::FinallyFitted,
            self.seed,
            self.until,
            &mut go_on,
        ))
    }

    /// Why jobs differ, input by input.
    ///
    /// # Errors
    /// A [`Flaw`] for every figure with which no job can be simulated.
    ///
    /// # Example
    /// No stack at its worst is smaller than its root-sum-square:
    /// ```
    /// use shimcast_sim::prelude::*;
    ///
    /// let study = Study::of(demo::axle(), demo::shop());
    /// let causes = study.seed(1).rebuilds(100).causes()?;
    /// let stacks = causes.loops.iter().map(|of| &of.stack);
    /// assert!(stacks.into_iter().all(|stack| stack.worst() >= stack.root_sum_square()));
    /// # Ok::<(), Vec<Flaw>>(())
    /// ```
    pub fn causes(self) -> Result<Causes, Vec<Flaw>> {
        Ok(causes(
            &self.study.setup()?,
            self.seed,
            self.until,
            &mut go_on,
        ))
    }

    /// This job and others on the same parts, pair by pair.
    ///
    /// # Errors
    /// A [`Flaw`] for every figure with which no job can be simulated.
    pub fn compare(self, others: &[Setup]) -> Result<Comparison, Vec<Flaw>> {
        let mut ways = vec![self.study.setup()?];
        ways.extend_from_slice(others);
        Ok(compare(&ways, self.seed, self.until, &mut go_on))
    }
}

/// A study is never broken off.
fn go_on(_: Progress) -> ControlFlow<()> {
    ControlFlow::Continue(())
}
