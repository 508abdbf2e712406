//! From samples to a plan that is verified on years of which nothing was asked before.

use super::drawer::Rules;
use super::plan::{Samples, Search, Watch, best_for};
use super::service::{Service, service};
use super::shelf::Shelf;
use super::tape::Sample;
use super::trials::{Levels, money};

/// A plan that its verification does not bear out is searched on, and verified on yet another
/// sample; so often at the most.
const MOST_ATTEMPTS: u64 = 4;

/// What a drawer is to be good for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Aim {
    /// This share of jobs never waits, at least money.
    Fill(f64),
    /// As many jobs as this money can serve.
    Budget(f64),
}

/// A drawer, what it costs and what it does.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct DrawerOption {
    /// Its levels.
    pub levels: Levels,
    /// Money in it at its levels.
    pub money: f64,
    /// What it does.
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
    /// Whether it is good for what was asked, judged by the verified share.
    pub(super) held: bool,
    pub(super) verify: Sample,
    /// Jobs played to verify it, and plans before it.
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
