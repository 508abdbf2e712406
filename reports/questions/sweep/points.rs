//! Keys swept, with what each value comes to.

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::compare::Comparison;

use crate::document::{Column, Table};
use crate::figures::as_given;
use crate::files::Assumption;
use crate::questions::compare::measures::{Measure, OfWay};
use crate::questions::outside;

/// Said where nothing that is shown depends on what is swept.
pub const PLAYS_NO_PART: &str =
    "No difference at all: what is swept plays no part in this job, in its hours or in its cost.";

/// The whole answer.
#[derive(Debug, Clone, Copy)]
pub struct Points<'a> {
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

impl Points<'_> {
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

    /// Whether every rebuild came out the same at every point: what is swept plays no part.
    pub fn changes_nothing(&self) -> bool {
        self.comparison.differences.iter().all(|d| d.alike)
    }

    /// The shop's currency.
    pub fn currency(&self) -> &str {
        &self.setups[0].shop.currency
    }

    /// What its columns mean.
    pub fn meaning(&self) -> String {
        format!(
            "First assembly and handed over: share truly right. {}",
            outside::compared(self.setups)
        )
    }

    /// What each point comes to.
    pub fn table(&self) -> Table {
        let shown = OfWay::shown(self.comparison);
        let columns = shown.iter().map(|of| {
            let column = Column::halves(of.short(self.currency()));
            match of {
                OfWay::By(Measure::FirstAssembly | Measure::Assemblies) | OfWay::HoursP80 => {
                    column.may_go()
                }
                OfWay::By(_) => column,
            }
        });
        let keys = self.keys.iter().map(Column::figures);
        let mut table = Table::new(keys.chain(columns)).caption("What each point comes to");
        for (point, way) in self.points.iter().zip(&self.comparison.ways) {
            let values = point.iter().map(|value| as_given(*value).into());
            table.row(values.chain(shown.iter().map(|of| of.cell(way))));
        }
        table
    }
}
