//! Keys swept, with what each value comes to.

use shimcast_sim::compare::{Comparison, Way};
use shimcast_sim::estimate::Estimate;
use shimcast_sim::setup::Setup;

use crate::files::Assumption;
use crate::questions::compare::measures::{Measure, some_given_up};

/// Said where nothing that is told depends on what is swept.
pub const PLAYS_NO_PART: &str =
    "No difference at all: what is swept plays no part in this job, in its hours or in its cost.";

/// The whole answer.
#[derive(Debug, Clone, Copy)]
pub struct Swept<'a> {
    /// The keys, one or two.
    pub keys: &'a [String],
    /// The values at each point, in the order of the keys; the last key runs fastest.
    pub points: &'a [Vec<f64>],
    /// The job at each point.
    pub setups: &'a [Setup],
    /// What was simulated: a way for each point.
    pub comparison: &'a Comparison,
    /// Seed of the run.
    pub seed: u64,
    /// Defaults in use.
    pub assumptions: &'a [Assumption],
}

impl Swept<'_> {
    /// Whether two keys are swept, which makes a map.
    pub fn two_keys(&self) -> bool {
        self.keys.len() == 2
    }

    /// The values of the second key; none where one key is swept.
    pub fn across(&self) -> Vec<f64> {
        let first = self.points.first().and_then(|point| point.first());
        self.points
            .iter()
            .take_while(|point| point.first() == first)
            .filter_map(|point| point.get(1).copied())
            .collect()
    }

    /// What is told of each point: whether a job is finished at all only where some are not.
    pub fn columns(&self) -> Vec<Column> {
        let given_up = some_given_up(self.comparison);
        Column::ALL
            .into_iter()
            .filter(|column| *column != Column::Finished || given_up)
            .collect()
    }

    /// What is told of the difference between two points.
    pub fn measures(&self) -> Vec<Measure> {
        let given_up = some_given_up(self.comparison);
        Measure::ALL
            .into_iter()
            .filter(|measure| *measure != Measure::Finished || given_up)
            .collect()
    }

    /// Whether every rebuild came out the same at every point: what is swept plays no part.
    pub fn changes_nothing(&self) -> bool {
        self.comparison.differences.iter().all(|d| d.alike)
    }

    /// The shop's currency.
    pub fn currency(&self) -> &str {
        &self.setups[0].shop.currency
    }
}

/// What is told of each point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// Right as first bolted up.
    FirstAssembly,
    /// Right when handed over.
    HandedOver,
    /// Handed over clearly out.
    ClearlyOut,
    /// Finished at all.
    Finished,
    /// Assemblies.
    Assemblies,
    /// Mean hours.
    Hours,
    /// Hours within which 4 jobs in 5 are done.
    HoursP80,
    /// Mean cost.
    Money,
}

impl Column {
    /// All of them, in the order shown.
    pub const ALL: [Self; 8] = [
        Self::FirstAssembly,
        Self::HandedOver,
        Self::ClearlyOut,
        Self::Finished,
        Self::Assemblies,
        Self::Hours,
        Self::HoursP80,
        Self::Money,
    ];

    /// What it is compared by; `None` where it is not.
    fn measure(self) -> Option<Measure> {
        match self {
            Self::FirstAssembly => Some(Measure::FirstAssembly),
            Self::HandedOver => Some(Measure::HandedOver),
            Self::ClearlyOut => Some(Measure::ClearlyOut),
            Self::Finished => Some(Measure::Finished),
            Self::Assemblies => Some(Measure::Assemblies),
            Self::Hours => Some(Measure::Hours),
            Self::HoursP80 => None,
            Self::Money => Some(Measure::Money),
        }
    }

    /// Its name in answers.
    pub fn key(self) -> &'static str {
        self.measure().map_or("hours_p80", Measure::key)
    }

    /// What it is, in words.
    pub fn title(self, currency: &str) -> String {
        match self {
            Self::FirstAssembly => "Right at the first assembly".into(),
            Self::HandedOver => "Right when handed over, of finished jobs".into(),
            Self::ClearlyOut => "Handed over clearly out, of finished jobs".into(),
            Self::Finished => "Finished at all".into(),
            Self::Assemblies => "Assemblies".into(),
            Self::Hours => "Hours, mean".into(),
            Self::HoursP80 => "Hours within which 4 jobs in 5 are done".into(),
            Self::Money => format!("What a job costs, {currency}"),
        }
    }

    /// Of a way.
    pub fn of(self, way: &Way) -> &Estimate {
        match self.measure() {
            Some(measure) => measure.of(way),
            None => &way.hours_p80,
        }
    }

    /// Whether it is a share.
    pub fn is_share(self) -> bool {
        self.measure().is_some_and(Measure::is_share)
    }
}
