//! What is charged for the shims of a job: what it uses up of the drawer that the shop keeps.

use std::borrow::Cow;

use shimcast_sim::bench::money::ShimsCharged;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::stock::{KeptDrawer, Levels, Question, SearchProgress, Shelf, plan, shelves};

use super::{Work, large_shop, read_and_tell};
use crate::cli::{Files, ShopFiles};
use crate::document::wording;
use crate::files::{Loaded, Target};
use crate::progress::Watch;
use crate::questions::context::{Failure, warn};

/// Where the shims of a job come from, as far as its cost is concerned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShimsFrom {
    /// The drawer planned for all jobs of the shop.
    Drawer,
    /// A shop without jobs keeps none: they are bought as they are needed.
    NoDrawer,
    /// Those finally fitted are charged, as if all were bought.
    FinallyFitted,
}

impl ShimsFrom {
    /// What a job is charged for, in words.
    pub fn words(self) -> String {
        match self {
            Self::Drawer => {
                "used up of the drawer planned for the shop's jobs: old and left-over ones serve again"
                    .to_owned()
            }
            Self::NoDrawer => format!(
                "bought as needed, since no {} are stated to keep a drawer for; old ones serve again",
                wording::key("[[jobs]]", "kinds of job")
            ),
            Self::FinallyFitted => "those finally fitted, all bought".to_owned(),
        }
    }

    /// The same in a word, for other tools.
    pub fn key(self) -> &'static str {
        match self {
            Self::Drawer => "used up of the drawer",
            Self::NoDrawer => "bought as needed",
            Self::FinallyFitted => "finally fitted",
        }
    }
}

/// The drawer behind the cost of a shop's jobs.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ShimCosts<'a> {
    /// All jobs of the shop, where a drawer is planned for them.
    work: Option<&'a Work>,
    /// Where shims come from.
    from: ShimsFrom,
}

/// All jobs of the shop that a job's files name. Keys of the axle that `--set` changes are those of this
/// job alone.
///
/// # Errors
/// Where the shop or one of its jobs can't be read, there are none, or too many to plan for.
pub(crate) fn work_beside(files: &Files, threads: Option<usize>) -> Result<Work, Failure> {
    let of_shop = files.set.iter().filter(|o| o.target() == Target::Shop);
    let files = ShopFiles {
        shop: files.shop.clone(),
        set: of_shop.cloned().collect(),
        sizes_from: None,
        without: Vec::new(),
        anyway: files.anyway,
    };
    // the shop's own oddities have been reported
    let work = read_and_tell(&files, &mut |_| {})?;
    large_shop(&work.question(&work.lines(), 0), threads)?;
    Ok(work)
}

/// All jobs of the shop, to plan its drawer for; `None` where it is not to be planned (`without`), where there
/// are none, or where they can't be read, which is said on stderr.
pub(crate) fn work_to_charge(
    files: &Files,
    loaded: &Loaded,
    without: bool,
    threads: Option<usize>,
) -> Option<Work> {
    if without || loaded.shop.jobs.is_empty() {
        return None;
    }
    match work_beside(files, threads) {
        Ok(work) => Some(work),
        Err(failure) => {
            warn(format!(
                "shims are charged as those finally fitted, all bought: {}",
                failure.message()
            ));
            None
        }
    }
}

impl<'a> ShimCosts<'a> {
    /// From the drawer of these jobs; where it is not planned (`without`), by the shims finally fitted.
    pub(crate) fn of(work: Option<&'a Work>, loaded: &Loaded, without: bool) -> Self {
        let from = match work {
            _ if without => ShimsFrom::FinallyFitted,
            Some(_) => ShimsFrom::Drawer,
            None if loaded.shop.jobs.is_empty() => ShimsFrom::NoDrawer,
            None => ShimsFrom::FinallyFitted,
        };
        Self { work, from }
    }

    /// What is charged for each of these jobs, with the levels of the drawer where they are known already,
    /// and where their shims come from then: not from a drawer where planning that was broken off.
    pub fn charged(
        &self,
        setups: &[&Setup],
        seed: u64,
        levels: Option<&Levels>,
        watch: &mut Watch,
    ) -> (Vec<ShimsCharged>, ShimsFrom) {
        match self.used_up(setups, seed, levels, watch) {
            Some(used_up) => (used_up, self.from),
            None => {
                let fitted = vec![ShimsCharged::FinallyFitted; setups.len()];
                (fitted, ShimsFrom::FinallyFitted)
            }
        }
    }

    /// What each of these jobs uses up; `None` where that is not what is charged.
    fn used_up(
        &self,
        setups: &[&Setup],
        seed: u64,
        levels: Option<&Levels>,
        watch: &mut Watch,
    ) -> Option<Vec<ShimsCharged>> {
        let used_by = |drawer: KeptDrawer<'_>| {
            let used = setups.iter().map(|setup| drawer.used_by(setup, seed));
            used.map(ShimsCharged::UsedUp).collect()
        };
        match (self.from, self.work) {
            (ShimsFrom::Drawer, Some(work)) => {
                let lines = work.lines();
                let question = work.question(&lines, seed);
                let mut levels = match levels {
                    Some(levels) => levels.clone(),
                    None => {
                        let mut see =
                            |step: SearchProgress| watch.see_step(step.doing, step.served);
                        plan(&question, &mut see)?.levels
                    }
                };
                // nothing is kept for what no job of the shop takes
                let shelves = with_all_of(Cow::Borrowed(&work.shelves), setups);
                let more = shelves.iter().skip(levels.len());
                levels.extend(more.map(|s| vec![0; s.sizes.len()]).collect::<Levels>());
                let question = Question {
                    shelves: &shelves,
                    ..question
                };
                Some(used_by(KeptDrawer::of(&question, &levels)))
            }
            (ShimsFrom::NoDrawer, _) => {
                let shelves = with_all_of(Cow::Owned(Vec::new()), setups);
                let drawer = &setups.first()?.shop.drawer;
                Some(used_by(KeptDrawer::for_none(&shelves, drawer)))
            }
            _ => None,
        }
    }
}

/// These shelves, and behind them those of further series that the jobs take.
fn with_all_of<'a>(mut all: Cow<'a, [Shelf]>, setups: &[&Setup]) -> Cow<'a, [Shelf]> {
    for setup in setups {
        // a job that was set up has no series with too many packs
        let own = shelves(&setup.shop, &[setup], &|_| None).unwrap_or_default();
        for shelf in own {
            if all.iter().all(|known| known.name != shelf.name) {
                all.to_mut().push(shelf);
            }
        }
    }
    all
}
