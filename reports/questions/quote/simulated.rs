//! What is simulated for quotes of one axle in one shop, whatever a price is made of.

use shimcast_sim::axle::Condition;
use shimcast_sim::bench::money::ShimsCharged;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::odds::Odds;
use shimcast_sim::pictures::{Grain, Pictures, whole};
use shimcast_sim::quote::{Quote, quote};

use super::choice::CHOICES;
use super::luck::Luck;
use super::{Choice, Quotation, preload, terms};
use crate::cli;
use crate::files::{Loaded, Problems, Source};
use crate::progress::Watch;
use crate::questions::assumed::{self, Headline, moved_most};
use crate::questions::check::doubts;
use crate::questions::context::{Failure, failure, on_threads, read_sources, set_up_as, sources};
use crate::questions::drawer::{ShimCosts, ShimsFrom, work_to_charge};
use crate::questions::jobs::jobs_a_year;
use crate::questions::report::reported::grain;

/// What is simulated besides the jobs themselves.
#[derive(Debug, Clone, Copy, Default)]
pub struct Besides {
    /// Charge the shims finally fitted, without planning the shop's drawer.
    pub no_stock: bool,
    /// Find out which assumptions move the cost most.
    pub moved_most: bool,
    /// Gather what pictures of the job show.
    pub pictures: bool,
}

/// Every job between which a customer chooses, with what was simulated of it.
#[derive(Debug)]
pub struct Simulated {
    sources: [Source; 2],
    loaded: Loaded,
    /// Those with the axle's own kind of preload come first.
    jobs: Vec<(Setup, Quote)>,
    /// The one that was asked for.
    chosen: usize,
    shims: ShimsFrom,
    of_others: String,
    seed: u64,
    /// What looks wrong in the files.
    pub doubts: Vec<String>,
    /// The assumptions that move the cost most, in a sentence.
    pub moved_most: Option<String>,
    /// What pictures of the job that was asked for show.
    pub pictures: Option<(Odds, Pictures)>,
}

impl Simulated {
    /// Reads the files and simulates every job, the one that was asked for first.
    ///
    /// # Errors
    /// Where the files can't be read or there is no such job.
    pub fn of(job: &cli::Job, besides: Besides) -> Result<Self, Failure> {
        let Besides { no_stock, .. } = besides;
        let sources = sources(&job.files)?;
        let loaded = read_sources(&sources, &job.files)?;
        let setups = set_ups(&loaded).map_err(|problems| failure(&problems))?;
        let (others, of_others) = with_other_preload(job, &sources, &loaded);
        let asked = (job.renewed.gears.into(), job.renewed.bearings.into());
        let chosen = CHOICES.iter().position(|choice| *choice == asked);
        let chosen = chosen.unwrap_or(CHOICES.len() - 1);
        let doubts = doubts(&setups[chosen], &loaded);
        let (seed, threads) = (job.effort.seed, job.effort.threads);
        let work = work_to_charge(&job.files, &loaded, no_stock, threads);
        let shim_costs = ShimCosts::of(work.as_ref(), &loaded, no_stock);
        let all: Vec<Setup> = setups.into_iter().chain(others).collect();
        let (quotes, shims, moved_most, pictures) = on_threads(&job.effort, |watch| {
            let all: Vec<&Setup> = all.iter().collect();
            let (charged, from) = shim_costs.charged(&all, seed, None, watch);
            let grain = besides.pictures.then(|| grain(loaded.axle_units));
            let (quotes, pictures) = simulate(&job.effort, &all, &charged, (chosen, grain), watch);
            let are_whole = quotes.iter().all(|quote| !quote.partial);
            let moved_most = (besides.moved_most && are_whole).then(|| {
                let job = assumed::Files {
                    sources: &sources,
                    set: &job.files.set,
                    loaded: &loaded,
                };
                moved_most(Headline::Cost, job, all[chosen], seed)
            });
            (quotes, from, moved_most.flatten(), pictures)
        })?;
        Ok(Self {
            jobs: all.into_iter().zip(quotes).collect(),
            sources,
            loaded,
            chosen,
            shims,
            of_others,
            seed,
            doubts,
            moved_most,
            pictures,
        })
    }

    /// The files as they were read: axle and shop.
    pub fn sources(&self) -> &[Source; 2] {
        &self.sources
    }

    /// What they say.
    pub fn loaded(&self) -> &Loaded {
        &self.loaded
    }

    /// The job that was asked for.
    pub fn setup(&self) -> &Setup {
        &self.jobs[self.chosen].0
    }

    /// The job that was asked for, at a price made of this.
    pub fn choice(&self, of: &cli::PriceTerms) -> Choice {
        self.choice_at(self.chosen, of)
    }

    fn choice_at(&self, place: usize, of: &cli::PriceTerms) -> Choice {
        let (setup, quote) = &self.jobs[place];
        Choice {
            terms: terms(of, setup),
            setup: setup.clone(),
            quote: quote.clone(),
            shims: self.shims,
        }
    }

    /// The answer at a price made of this, for so many jobs a year, or those that the shop file expects.
    pub fn quoted(&self, of: &cli::PriceTerms, jobs: Option<f64>, files: &cli::Files) -> Quotation {
        let mut choices: Vec<Choice> = (0..self.jobs.len())
            .map(|place| self.choice_at(place, of))
            .collect();
        let others = choices.split_off(CHOICES.len());
        let risk = of.risk / 100.0;
        let chosen = &choices[self.chosen];
        let renewed = (chosen.setup.gears, chosen.setup.bearings);
        let jobs = jobs.or_else(|| jobs_a_year(&self.loaded.shop, files, renewed));
        Quotation {
            luck: Luck::of(chosen, risk, jobs),
            choices,
            chosen: self.chosen,
            others,
            of_others: self.of_others.clone(),
            seed: self.seed,
            risk,
            assumptions: self.loaded.assumptions.clone(),
        }
    }
}

/// Every job between which a customer chooses.
fn set_ups(loaded: &Loaded) -> Result<Vec<Setup>, Problems> {
    let set_up = |(gears, bearings): (Condition, Condition)| set_up_as(loaded, gears, bearings);
    CHOICES.into_iter().map(set_up).collect()
}

/// The same jobs with the other kind of preload, and what is said of them; none where there is no such
/// axle.
fn with_other_preload(
    job: &cli::Job,
    sources: &[Source; 2],
    loaded: &Loaded,
) -> (Vec<Setup>, String) {
    let no_axle = |reason: String| {
        let reason = reason.lines().next().unwrap_or_default().to_owned();
        let text = format!("The other kind of pinion preload is not among them: {reason}.");
        (Vec::new(), text)
    };
    match preload::other_kind(sources, &job.files.set, loaded) {
        Ok(other) => match set_ups(&other.loaded) {
            Ok(setups) => (setups, other.assumed),
            Err(problems) => no_axle(problems.to_string()),
        },
        Err(reason) => no_axle(reason),
    }
}

/// A quote of each job, on common figures; of the chosen one also what its pictures show, where they are
/// wanted, in this grain.
fn simulate(
    effort: &cli::Effort,
    all: &[&Setup],
    charged: &[ShimsCharged],
    (chosen, grain): (usize, Option<Grain>),
    watch: &mut Watch,
) -> (Vec<Quote>, Option<(Odds, Pictures)>) {
    let (seed, until) = (effort.seed, effort.until());
    // the one that was asked for comes first, so that whoever breaks off has that
    let (first, pictures) = match grain {
        Some(grain) => {
            let whole = whole(
                all[chosen],
                charged[chosen],
                grain,
                seed,
                until,
                &mut |progress| watch.see(progress),
            );
            (whole.quote, Some((whole.odds, whole.pictures)))
        }
        None => (
            quote(all[chosen], charged[chosen], seed, until, &mut |p| {
                watch.see(p)
            }),
            None,
        ),
    };
    let each = 0..all.len();
    let quotes = each.map(|i| match i == chosen {
        true => first.clone(),
        false => quote(all[i], charged[i], seed, until, &mut |p| watch.see(p)),
    });
    (quotes.collect(), pictures)
}
