//! Ways of working with what each comes to.

use shimcast_sim::compare::{Comparison, Differences, Verdict, Way};
use shimcast_sim::estimate::Estimate;
use shimcast_sim::setup::Setup;

use crate::files::Assumption;

/// What a way costs once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Investment {
    /// The way's place.
    pub way: usize,
    /// In its shop's currency.
    pub amount: f64,
    /// Such jobs in a year, where its shop's file tells.
    pub jobs_a_year: Option<f64>,
}

/// The whole answer.
#[derive(Debug, Clone, Copy)]
pub struct Compared<'a> {
    /// What the ways are called, the first one first.
    pub names: &'a [String],
    /// The job in each way.
    pub setups: &'a [Setup],
    /// What was simulated.
    pub comparison: &'a Comparison,
    /// What ways cost once.
    pub costs: &'a [Investment],
    /// Seed of the run.
    pub seed: u64,
    /// Defaults in use in any way.
    pub assumptions: &'a [Assumption],
}

impl Compared<'_> {
    /// The currency of every way; `None` where they have not one in common.
    pub fn currency(&self) -> Option<&str> {
        let first = self.setups[0].shop.currency.as_str();
        self.setups
            .iter()
            .all(|setup| setup.shop.currency == first)
            .then_some(first)
    }

    /// The measures that can be held against each other.
    pub fn measures(&self) -> Vec<Measure> {
        Measure::ALL
            .into_iter()
            .filter(|measure| *measure != Measure::Money || self.currency().is_some())
            .collect()
    }

    /// Those worth telling: whether a job is finished only where some are not.
    pub fn told(&self) -> Vec<Measure> {
        let given_up = some_given_up(self.comparison);
        let mut measures = self.measures();
        measures.retain(|measure| *measure != Measure::Finished || given_up);
        measures
    }
}

/// Whether in some way so many jobs are given up that it is worth a word.
pub fn some_given_up(comparison: &Comparison) -> bool {
    comparison.ways.iter().any(|way| way.finished.value < 0.995)
}

/// What ways are compared by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// Right as first bolted up.
    FirstAssembly,
    /// Right when handed over.
    HandedOver,
    /// Finished at all.
    Finished,
    /// Assemblies.
    Assemblies,
    /// Hours.
    Hours,
    /// What a job costs.
    Money,
}

impl Measure {
    /// All of them, in the order shown.
    pub const ALL: [Self; 6] = [
        Self::FirstAssembly,
        Self::HandedOver,
        Self::Finished,
        Self::Assemblies,
        Self::Hours,
        Self::Money,
    ];

    /// Its name in answers.
    pub fn key(self) -> &'static str {
        match self {
            Self::FirstAssembly => "first_assembly",
            Self::HandedOver => "handed_over",
            Self::Finished => "finished",
            Self::Assemblies => "assemblies",
            Self::Hours => "hours",
            Self::Money => "money",
        }
    }

    /// Of a way.
    pub fn of(self, way: &Way) -> &Estimate {
        match self {
            Self::FirstAssembly => &way.first_assembly,
            Self::HandedOver => &way.handed_over,
            Self::Finished => &way.finished,
            Self::Assemblies => &way.assemblies,
            Self::Hours => &way.hours,
            Self::Money => &way.money,
        }
    }

    /// Of a difference.
    pub fn difference(self, differences: &Differences) -> &Estimate {
        match self {
            Self::FirstAssembly => &differences.first_assembly,
            Self::HandedOver => &differences.handed_over,
            Self::Finished => &differences.finished,
            Self::Assemblies => &differences.assemblies,
            Self::Hours => &differences.hours,
            Self::Money => &differences.money,
        }
    }

    /// Whether it is a share, whose differences are in percentage points.
    pub fn is_share(self) -> bool {
        matches!(
            self,
            Self::FirstAssembly | Self::HandedOver | Self::Finished
        )
    }

    /// What it is, in a sentence.
    pub fn words(self) -> &'static str {
        match self {
            Self::FirstAssembly => "right at the first assembly",
            Self::HandedOver => "right when handed over",
            Self::Finished => "finished at all",
            Self::Assemblies => "assemblies",
            Self::Hours => "hours",
            Self::Money => "cost of a job",
        }
    }

    /// A difference as it is read, shares in percentage points, and its unit.
    pub fn as_read(self, difference: &Estimate, currency: &str) -> (Estimate, String) {
        match self {
            _ if self.is_share() => (difference.times(100.0), " points".into()),
            Self::Money => (*difference, format!(" {currency}")),
            _ => (*difference, String::new()),
        }
    }

    /// What a difference says, in words.
    pub fn verdict(self, difference: &Estimate) -> String {
        if difference.value.is_nan() {
            return "not to be told: a way finishes no job".into();
        }
        let seen = match (self, Verdict::of(difference)) {
            (_, Verdict::NoneSeen) => {
                return format!("no difference seen at {} rebuilds", difference.n);
            }
            (Self::FirstAssembly | Self::HandedOver, Verdict::More) => "more often right",
            (Self::FirstAssembly | Self::HandedOver, Verdict::Less) => "less often right",
            (Self::Finished, Verdict::More) => "more often finished",
            (Self::Finished, Verdict::Less) => "less often finished",
            (Self::Assemblies, Verdict::More) => "more assemblies",
            (Self::Assemblies, Verdict::Less) => "fewer assemblies",
            (Self::Hours, Verdict::More) => "slower",
            (Self::Hours, Verdict::Less) => "quicker",
            (Self::Money, Verdict::More) => "dearer",
            (Self::Money, Verdict::Less) => "cheaper",
        };
        seen.to_owned()
    }
}
