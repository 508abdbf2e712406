//! Keys swept, with what each value comes to.

use shimcast_sim::compare::{Comparison, Way};
use shimcast_sim::estimate::Estimate;
use shimcast_sim::setup::Setup;

use crate::files::Assumption;

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
        let ways = &self.comparison.ways;
        let given_up = ways.iter().any(|way| way.finished.value < 0.995);
        Column::ALL
            .into_iter()
            .filter(|column| *column != Column::Finished || given_up)
            .collect()
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
    pub const ALL: [Self; 7] = [
        Self::FirstAssembly,
        Self::HandedOver,
        Self::Finished,
        Self::Assemblies,
        Self::Hours,
        Self::HoursP80,
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
            Self::HoursP80 => "hours_p80",
            Self::Money => "money",
        }
    }

    /// What it is, in words.
    pub fn title(self, currency: &str) -> String {
        match self {
            Self::FirstAssembly => "Right at the first assembly".into(),
            Self::HandedOver => "Right when handed over, of finished jobs".into(),
            Self::Finished => "Finished at all".into(),
            Self::Assemblies => "Assemblies".into(),
            Self::Hours => "Hours, mean".into(),
            Self::HoursP80 => "Hours within which 4 jobs in 5 are done".into(),
            Self::Money => format!("What a job costs, {currency}"),
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
            Self::HoursP80 => &way.hours_p80,
            Self::Money => &way.money,
        }
    }

    /// Whether it is a share.
    pub fn is_share(self) -> bool {
        matches!(
            self,
            Self::FirstAssembly | Self::HandedOver | Self::Finished
        )
    }
}
