//! From samples to a plan, verified on a sample that had no part in the search.

use super::drawer::Rules;
use super::plan::{Samples, Search, Watch, best_for};
use super::service::{Service, service};
use super::shelf::Shelf;
use super::tape::Sample;
use super::trials::{Levels, money};

/// Limit of attempts: a plan that fails its verification is improved and verified on another
/// sample.
const MOST_ATTEMPTS: u64 = 4;

/// The aim of a drawer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Aim {
    /// This share of jobs without waiting, at least money.
    Fill(f64),
    /// As many jobs as this money can serve.
    Budget(f64),
}

/// A drawer with its money and its service.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct DrawerOption {
    /// Its levels.
    pub levels: Levels,
    /// Money in it at its levels.
    pub money: f64,
    /// Its service.
    pub service: Service,
}

impl DrawerOption {
    /// Plays levels against a sample.
    pub(super) fn on(shelves: &[Shelf], rules: &Rules, sample: &Sample, levels: Levels) -> Self {
        Self {
            money: money(shelves, &levels),
            service: service(shelves, rules, sample, &levels, &levels),
            levels,
        }
    }
}

/// A plan with the sample that verified it.
pub(super) struct VerifiedPlan {
    pub(super) plan: DrawerOption,
    /// Whether it reaches the aim, judged by the verified share.
    pub(super) held: bool,
    pub(super) verify: Sample,
    /// Jobs played to verify it and earlier plans.
    pub(super) jobs: usize,
}

/// Finds a plan and verifies it on a sample that `draw` draws, by its number from 0.
pub(super) fn found(
    shelves: &[Shelf],
    rules: &Rules,
    samples: &Samples,
    draw: &dyn Fn(u64) -> Sample,
    aim: Aim,
    watch: Watch<'_>,
) -> Option<VerifiedPlan> {
    let target = match aim {
        Aim::Fill(target) => target,
        Aim::Budget(most) => {
            let planned = best_for(shelves, rules, samples, most, watch)?;
            let verify = draw(0);
            return Some(VerifiedPlan {
                plan: DrawerOption::on(shelves, rules, &verify, planned.levels),
                held: true,
                jobs: verify.jobs,
                verify,
            });
        }
    };
    let mut search = Search::new(shelves, rules, samples, target);
    let mut jobs = 0;
    let mut attempt = 0;
    loop {
        let planned = search.find(watch)?;
        let verify = draw(attempt);
        jobs += verify.jobs;
        let plan = DrawerOption::on(shelves, rules, &verify, planned.levels);
        let missing = target - plan.service.job_fill.value;
        attempt += 1;
        if missing <= 0.0 || !planned.held || attempt == MOST_ATTEMPTS {
            return Some(VerifiedPlan {
                plan,
                held: missing <= 0.0,
                verify,
                jobs,
            });
        }
        search.raise(missing);
    }
}
