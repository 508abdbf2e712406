//! From samples to a plan, verified on a sample that had no part in the search.

use super::drawer::Rules;
use super::plan::{Samples, Search, Watch, best_for};
use super::service::{Service, service};
use super::shelf::Shelf;
use super::tape::Sample;
use super::targets::Targets;
use super::till::{Till, to_pay};
use super::trials::Levels;

/// Limit of attempts: a plan that fails its verification is improved and verified on another
/// sample.
const MOST_ATTEMPTS: u64 = 4;

/// The aim of a drawer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Aim {
    /// This share of jobs, or of trips, without waiting, at least money.
    Fill(f64),
    /// As many jobs as can be served for this money, spent at the till today.
    Budget(f64),
}

/// A drawer with its money and its service.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct DrawerOption {
    /// Its levels.
    pub levels: Levels,
    /// What it costs to fill an empty one, in whole packs.
    pub money: f64,
    /// The price of its shims at its levels.
    pub worth: f64,
    /// Its service.
    pub service: Service,
}

impl DrawerOption {
    /// Plays levels against a sample.
    pub(super) fn on(shelves: &[Shelf], rules: &Rules, sample: &Sample, levels: Levels) -> Self {
        Self {
            money: to_pay(shelves, &levels, None),
            worth: worth(shelves, &levels),
            service: service(shelves, rules, sample, &levels, &levels),
            levels,
        }
    }
}

/// The price of all shims at their levels.
fn worth(shelves: &[Shelf], levels: &Levels) -> f64 {
    let of = |(shelf, levels): (&Shelf, &Vec<u32>)| -> f64 {
        let each = levels.iter().zip(&shelf.prices);
        each.map(|(level, price)| f64::from(*level) * price).sum()
    };
    shelves.iter().zip(levels).map(of).sum()
}

/// A plan with the sample that verified it.
pub(super) struct VerifiedPlan {
    pub(super) plan: DrawerOption,
    /// Whether it reaches the aim, judged by the verified share.
    pub(super) held: bool,
    pub(super) verify: Sample,
    /// Jobs of all samples drawn for it.
    pub(super) jobs: usize,
}

/// Finds a plan and verifies it on a sample that `draw` draws, by its number from 0.
pub(super) fn found(
    shelves: &[Shelf],
    rules: &Rules,
    samples: &Samples<'_>,
    draw: &dyn Fn(u64) -> Sample,
    (aim, lines, till): (Aim, &[(usize, f64)], Till<'_>),
    watch: Watch<'_>,
) -> Option<VerifiedPlan> {
    let searched = samples.rough.played + samples.fit.played;
    let target = match aim {
        Aim::Fill(target) => target,
        Aim::Budget(most) => {
            let planned = best_for(shelves, rules, samples, (&till, most), watch)?;
            let verify = draw(0);
            return Some(VerifiedPlan {
                plan: DrawerOption::on(shelves, rules, &verify, planned.levels),
                held: true,
                jobs: searched + verify.played,
                verify,
            });
        }
    };
    let targets = Targets {
        all: target,
        lines: lines.to_vec(),
    };
    let mut search = Search::new(shelves, rules, samples, till, &targets);
    let mut jobs = searched;
    let mut attempt = 0;
    loop {
        let planned = search.find(watch)?;
        let verify = draw(attempt);
        jobs += planned.jobs + verify.played;
        let plan = DrawerOption::on(shelves, rules, &verify, planned.levels);
        let reached = targets.reached(&plan.service, verify.unit);
        let both = targets.shares().into_iter().zip(&reached);
        let missing: Vec<f64> = both
            .map(|(target, reached)| target - reached.value)
            .collect();
        let held = missing.iter().all(|missing| *missing <= 0.0);
        attempt += 1;
        if held || !planned.held || attempt == MOST_ATTEMPTS {
            return Some(VerifiedPlan {
                plan,
                held,
                verify,
                jobs,
            });
        }
        search.raise(&missing);
    }
}
