//! What the answers are with the figures that jobs teach.

use shimcast_sim::axle::Axle;
use shimcast_sim::bench::money::ShimsCharged;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::chance::run::Until;
use shimcast_sim::compare::{Differences, compare};
use shimcast_sim::learn::{Learnable, Lesson};
use shimcast_sim::quote::{Terms, quote};
use shimcast_sim::shop::Shop;
use shimcast_sim::stock::{Question, plan, shelves};

use crate::cli::{Files, ShopFiles};
use crate::progress::{Watch, goes_on, unseen};
use crate::questions::drawer::{self, Work};

/// Rebuilds that each figure is tried in, on common parts.
const REBUILDS: u64 = 20_000;
/// Share of the jobs that may overrun the hours of the price.
const RISK: f64 = 0.2;
/// A price of the work alone.
const TERMS: Terms = Terms {
    margin: 0.0,
    tax: 0.0,
    parts: 0.0,
    parts_margin: 0.0,
};

/// How the answers of a job change with one figure, or with all of them.
#[derive(Debug, Clone)]
pub(super) struct Moves {
    /// Chance, hours and cost of a job: with the figure, less as they are.
    pub(super) job: Differences,
    /// Price of a job, without margin, tax and parts.
    pub(super) price: f64,
    /// Money in the drawer; `None` where the shop's jobs can't all be read, or the figure has no say in it.
    pub(super) drawer: Option<f64>,
}

/// What each of these lessons moves, and all of them together, the last; `None` where it was broken off.
pub(super) fn moves(
    lessons: &[&Lesson],
    setup: &Setup,
    files: &Files,
    seed: u64,
    watch: &mut Watch,
) -> Option<Vec<Moves>> {
    let one_by_one = lessons.iter().map(|lesson| vec![*lesson]);
    // a single one is all of them already
    let together = (lessons.len() > 1).then(|| lessons.to_vec());
    let groups: Vec<Vec<&Lesson>> = one_by_one.chain(together).collect();
    let mut ways = vec![setup.clone()];
    for group in &groups {
        ways.push(with(group, setup)?);
    }
    let comparison = compare(&ways, seed, Until::Rebuilds(REBUILDS), &mut unseen);
    let price = |setup: &Setup| {
        let charged = ShimsCharged::FinallyFitted;
        let quote = quote(setup, charged, seed, Until::Rebuilds(REBUILDS), &mut unseen);
        let hours = quote.hours_for(RISK)?;
        Some(quote.flat(hours, TERMS).price)
    };
    let before = price(setup)?;
    let any_stocks = lessons.iter().any(|lesson| stocks(&lesson.of));
    let work = any_stocks.then(|| work(files)).flatten();
    let in_drawer = match &work {
        Some(work) => Some(money(work, &[], setup, seed, watch)?),
        None => None,
    };
    let mut all = Vec::new();
    for ((group, way), job) in groups.iter().zip(&ways[1..]).zip(comparison.differences) {
        let drawer = match (&work, in_drawer) {
            (Some(work), Some(before)) if group.iter().any(|lesson| stocks(&lesson.of)) => {
                Some(money(work, group, setup, seed, watch)? - before)
            }
            _ => None,
        };
        all.push(Moves {
            job,
            price: price(way)? - before,
            drawer,
        });
    }
    (goes_on() && !comparison.partial).then_some(all)
}

/// Whether a figure has a say in which shims are used.
fn stocks(of: &Learnable) -> bool {
    !matches!(
        of,
        Learnable::Minutes(_) | Learnable::JobSpread | Learnable::ComebackShare
    )
}

fn with(lessons: &[&Lesson], setup: &Setup) -> Option<Setup> {
    let (mut axle, mut shop) = (setup.axle.clone(), setup.shop.clone());
    adopt(lessons, &mut axle, &mut shop);
    Setup::new(axle, shop, setup.gears, setup.bearings).ok()
}

/// An axle and a shop with these figures.
fn adopt(lessons: &[&Lesson], axle: &mut Axle, shop: &mut Shop) {
    lessons.iter().for_each(|lesson| lesson.adopt(axle, shop));
}

/// The shop with all its jobs, for the drawer; `None` where one of them can't be read.
fn work(files: &Files) -> Option<Work> {
    let of_shop = ShopFiles {
        shop: files.shop.clone(),
        set: files.set.clone(),
        sizes_from: None,
        without: Vec::new(),
        anyway: files.anyway,
    };
    drawer::read_and_tell(&of_shop, &mut |_| {}).ok()
}

/// Money in the drawer that serves the shop's jobs as its file asks, with these figures; `None` where the
/// search was broken off.
fn money(
    work: &Work,
    lessons: &[&Lesson],
    setup: &Setup,
    seed: u64,
    watch: &mut Watch,
) -> Option<f64> {
    let (mut axle, mut shop) = (setup.axle.clone(), work.shop.shop.clone());
    adopt(lessons, &mut axle, &mut shop);
    let mut setups = Vec::new();
    for line in &work.setups {
        let same = line.axle.name == axle.name;
        let own = if same { &axle } else { &line.axle }.clone();
        setups.push(Setup::new(own, shop.clone(), line.gears, line.bearings).ok()?);
    }
    let of_lines: Vec<&Setup> = setups.iter().collect();
    let mut shelves = shelves(&shop, &of_lines, &|_| None).ok()?;
    for (shelf, before) in shelves.iter_mut().zip(&work.shelves) {
        shelf.least_order = before.least_order;
    }
    let per_month = shop.jobs.iter().map(|job| job.per_month);
    let lines: Vec<(&Setup, f64)> = of_lines.iter().copied().zip(per_month).collect();
    let question = Question {
        lines: &lines,
        shelves: &shelves,
        drawer: &shop.drawer,
        ..work.question(&lines, seed)
    };
    let found = plan(&question, &mut |step| {
        watch.see_step(step.doing, step.served)
    })?;
    Some(found.money)
}
