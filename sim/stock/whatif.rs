//! What else a drawer could do: ordered for at other intervals, with surplus kept, in a busy month.

use rayon::prelude::*;

use super::answer::{Course, Question, spares};
use super::bench::AtBench;
use super::extent::{CURVE, SETTLING_CYCLES, TRIED};
use super::found::{Aim, DrawerOption};
use super::plan::{self, Watch};
use super::service::{Service, service};
use super::shelf::Shelf;
use super::tape::{JobSteps, Jobs, Sample, Span, Stretch, Tape};
use super::targets::Targets;
use super::till::Till;
use super::trials::Levels;
use crate::chance::dice::Address;
use crate::count::estimate::Estimate;
use crate::shop::Drawer;

/// Intervals between orders that are tried, as parts of the shop's own.
const PARTS: [f64; 4] = [0.5, 1.0, 2.0, 4.0];
/// The longest of them, days.
const LONGEST: f64 = 365.0;
/// Pieces of surplus that are tried where a shop keeps none.
const SURPLUS: u32 = 2;
/// Days of a busy month.
const BUSY_DAYS: f64 = 30.0;
/// Jobs of busy months, about, and how many months at the least and at the most.
const BUSY_JOBS: f64 = 40_000.0;
const BUSY_MONTHS: [usize; 2] = [60, 2_000];

/// A drawer ordered for at some interval, planned for it.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Interval {
    /// Days between orders.
    pub days: f64,
    /// The drawer that reaches the aim then, and what it does.
    pub plan: DrawerOption,
    /// What a year costs.
    pub yearly: Estimate,
}

/// A drawer planned for another `near_enough`.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Nearness {
    /// How far a pack may be off, mm, that stands in for the wanted one.
    pub near_enough: f64,
    /// The drawer that reaches the aim then, and what it does.
    pub plan: DrawerOption,
    /// What a year of it costs.
    pub yearly: Estimate,
    /// What its packs do at the bench, against every pack as it is wanted.
    pub bench: AtBench,
}

/// Values of `near_enough` that are tried, as parts of the shop's own; and those for a shop where only
/// exact packs will do, mm.
const NEARER: [f64; 4] = [0.0, 0.5, 1.0, 2.0];
const FOR_EXACT: [f64; 3] = [0.0, 0.01, 0.02];

/// Drawers that reach the aim where packs farther off, or only nearer ones, stand in for others. Each is
/// found on a smaller sample than the plan itself, as other intervals are.
pub(super) fn nearness(asked: &Question<'_>, watch: Watch<'_>) -> Option<Vec<Nearness>> {
    let own = asked.drawer.near_enough;
    let tried = match own > 0.0 {
        true => NEARER.map(|part| part * own).to_vec(),
        false => FOR_EXACT.to_vec(),
    };
    let found: Option<Vec<Nearness>> = tried
        .into_iter()
        .map(|near_enough| {
            let shelves = asked.shelves.iter();
            let shelves: Vec<Shelf> = shelves.map(|s| s.with_near_enough(near_enough)).collect();
            let question = Question {
                shelves: &shelves,
                ..asked.alone()
            };
            let plan = found_roughly(&question, watch)?;
            Some(Nearness {
                near_enough,
                yearly: asked.drawer.yearly(&plan.service).total,
                bench: AtBench::of_stand_ins(&question, &plan.levels, watch)?,
                plan,
            })
        })
        .collect();
    // of those so near that the same packs stand in the farthest is told
    let mut found = found?;
    found.reverse();
    found.dedup_by(|next, kept| next.plan.levels == kept.plan.levels && next.bench == kept.bench);
    found.reverse();
    Some(found)
}

/// The drawer that reaches the shop's aim, found on a smaller sample than a plan.
fn found_roughly(asked: &Question<'_>, watch: Watch<'_>) -> Option<DrawerOption> {
    let course = Course::new(asked);
    let targets = Targets {
        all: match asked.aim {
            Aim::Fill(fill) => fill,
            Aim::Budget(_) => asked.drawer.job_fill,
        },
        lines: asked.own.clone(),
    };
    let sample = course.sample(6, &TRIED);
    let till = Till::empty(asked.shelves);
    let shares = (&targets, &targets.shares()[..]);
    let levels = plan::quick(asked.shelves, &course.rules, &till, &sample, shares, watch)?;
    let sample = course.sample(3, &CURVE);
    Some(DrawerOption::on(
        asked.shelves,
        &course.rules,
        &sample,
        levels,
    ))
}

/// Drawers that reach the aim when ordered for at other intervals. Each is found on a smaller sample
/// than the plan itself, the shop's own interval among them, so that they are held against each other.
pub(super) fn intervals(asked: &Question<'_>, watch: Watch<'_>) -> Option<Vec<Interval>> {
    let own = asked.drawer.order_every_days;
    let mut days: Vec<f64> = PARTS
        .map(|part| (part * own).min(LONGEST.max(own)))
        .to_vec();
    days.dedup();
    days.into_iter()
        .map(|days| {
            let drawer = Drawer {
                order_every_days: days,
                ..asked.drawer.clone()
            };
            let question = Question {
                drawer: &drawer,
                ..asked.alone()
            };
            let plan = found_roughly(&question, watch)?;
            Some(Interval {
                days,
                yearly: drawer.yearly(&plan.service).total,
                plan,
            })
        })
        .collect()
}

/// Surplus kept, or not.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Surplus {
    /// Pieces of each size above its level: what the shop keeps, or what it could keep.
    pub pieces: u32,
    /// What a year costs less with these pieces than with none.
    pub spares: Estimate,
}

/// What good shims kept above their levels spare in a year, on the same years.
pub(super) fn surplus(asked: &Question<'_>, levels: &Levels) -> Surplus {
    let with = |pieces| Drawer {
        keep_surplus: pieces,
        ..asked.drawer.clone()
    };
    let pieces = match asked.drawer.keep_surplus {
        0 => SURPLUS,
        kept => kept,
    };
    let (with, without) = (with(pieces), with(0));
    let question = Question {
        drawer: &with,
        ..asked.alone()
    };
    // with surplus, since that takes longer to settle
    let sample = Course::new(&question).sample(7, &CURVE);
    let on =
        |drawer: &Drawer| DrawerOption::on(asked.shelves, &drawer.rules(), &sample, levels.clone());
    Surplus {
        pieces,
        spares: spares(asked.drawer, &on(&without), &on(&with)),
    }
}

/// The same jobs, more of them.
struct Busy<'a, J> {
    jobs: &'a J,
    per_day: Vec<f64>,
}

impl<J: Jobs> Jobs for Busy<'_, J> {
    fn per_day(&self) -> &[f64] {
        &self.per_day
    }

    fn series(&self) -> usize {
        self.jobs.series()
    }

    fn steps(&self, line: usize, address: Address, steps: &mut JobSteps) {
        self.jobs.steps(line, address, steps);
    }
}

/// What a drawer with these levels does in a month of so many times the jobs, from one day to the
/// next, after its usual months.
pub(super) fn busy(course: &Course<'_>, levels: &Levels, times: f64, root: Address) -> Service {
    let (jobs, shelves) = (&course.jobs, course.asked.shelves);
    let often = Busy {
        jobs,
        per_day: jobs.per_day().iter().map(|rate| rate * times).collect(),
    };
    let [least, most] = BUSY_MONTHS;
    let a_month = BUSY_DAYS * often.per_day.iter().sum::<f64>();
    let months = ((BUSY_JOBS / a_month) as usize).clamp(least, most);
    let settling = SETTLING_CYCLES * course.rules.cycle().unwrap_or(0.0);
    let stretch = |days| Stretch::Days(Span::plain(days));
    let tapes = (0..months as u64).into_par_iter().map(|month| {
        let [before, after] = [0, 1].map(|part| root.within(month).within(part));
        let usual = Tape::draw(jobs, shelves, before, stretch(settling));
        usual.then(Tape::draw(&often, shelves, after, stretch(BUSY_DAYS)))
    });
    let sample = Sample::of(tapes.collect());
    service(shelves, &course.rules, &sample, levels, levels)
}
