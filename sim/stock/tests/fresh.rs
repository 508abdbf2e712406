//! Plans on years that they have not seen.

use super::*;
use crate::demo;
use crate::stock::answer::{Course, Question, shelves};
use crate::stock::demand::BenchJobs;
use crate::stock::found::{Aim, VerifiedPlan, found};
use crate::stock::plan::Samples;
use crate::stock::service::service;
use crate::stock::till::Till;

const TARGET: f64 = 0.95;

/// How plans did on fresh years.
#[derive(Default)]
struct Plans {
    asked: u32,
    held: u32,
    reached: u32,
    apart: u32,
}

impl Plans {
    fn add(&mut self, shelves: &[Shelf], rules: &Rules, fresh: &Sample, found: &VerifiedPlan) {
        assert!(found.held);
        let levels = &found.plan.levels;
        let fill = service(shelves, rules, fresh, levels, levels).job_fill;
        self.asked += 1;
        self.held += u32::from(fill.high >= TARGET);
        self.reached += u32::from(fill.value >= TARGET);
        // the verified figure is an honest one: both intervals reach 95 % each, so that they are
        // apart by chance in fewer than one plan of a hundred
        let verified = found.plan.service.job_fill;
        self.apart += u32::from(fill.low > verified.high || fill.high < verified.low);
        // and no plan overpays for its target by more than a few shims
        assert!(fill.value < TARGET + 0.01, "{fill:?}");
    }
}

/// A plan holds its target if in truth it serves that share; one sample of 200 000 jobs knows it to
/// ± 0.12 points, so a plan that only just holds reads below as often as above. Of 40 plans two may
/// be below by more than the sample is in doubt, and six at all: were each below with chance 1/2,
/// as without any care for fresh years, that would come by luck once in 200 000 runs.
///
/// The shop is one that is quick to plan: ten series with one size each, so that the few levels of
/// each are soon known, and prices of which hardly two sums are the same, so that some drawer lies
/// near every share. The samples are a quarter of those behind an answer and leave twice as much in
/// doubt.
#[test]
#[cfg_attr(debug_assertions, ignore = "forty plans: long without optimisation")]
fn the_target_holds_on_fresh_years_for_19_of_20_seeds() {
    let prices = [1.00, 1.13, 1.29, 1.47, 1.61, 1.83, 2.03, 2.27, 2.51, 2.79];
    let needs = [0.40, 0.34, 0.29, 0.25, 0.21, 0.17, 0.14, 0.11, 0.08, 0.05];
    let shelves = prices.map(|price| shelf(&[1.0], price, 8, 0.05));
    let jobs = ShimCounts {
        per_day: vec![0.3],
        series: needs.len(),
        of: vec![
            (0..)
                .zip(needs)
                .map(|(s, mean)| Need::Poisson(s, mean))
                .collect(),
        ],
    };
    let rules = rules(Review::Every(14.0), 4.0, Shortage::ComesSpecially);
    let draw = |seed: u64, number: u64, jobs_about: f64, tapes: usize| {
        let stretch = Stretch::Days(Span::plain(jobs_about / 0.3 / tapes as f64));
        let address = Address::new(seed, number);
        Sample::draw(&jobs, &shelves, address, tapes, stretch)
    };
    let fresh = draw(4_711, 0, 200_000.0, 200);
    let mut plans = Plans::default();
    for seed in 1..=40 {
        let samples = Samples {
            rough: draw(seed, 1, 1_000.0, 4),
            fit: &draw(seed, 2, 3_500.0, 7),
            check: &|| draw(seed, 3, 30_000.0, 60),
        };
        let verify = |attempt| draw(seed, 4 + attempt, 32_000.0, 64);
        let aim = Aim::Fill(TARGET);
        let plan = found(
            &shelves,
            &rules,
            &samples,
            &verify,
            (aim, &[], Till::empty(&shelves)),
            &mut |_| true,
        )
        .unwrap();
        plans.add(&shelves, &rules, &fresh, &plan);
    }
    let Plans {
        asked,
        held,
        reached,
        apart,
    } = plans;
    println!("{held} of {asked} held, {reached} read at least their target");
    assert!(held >= 38, "{held} of {asked}");
    assert!(reached >= 34, "{reached} of {asked}");
    assert!(apart <= 3, "{apart} of {asked}");
}

/// The same of the demo's bench and drawer, with all of an answer's jobs: without any care, each of
/// two plans would be below with chance 1/2.
#[test]
#[cfg_attr(
    debug_assertions,
    ignore = "whole plans: seconds with optimisation, minutes without"
)]
fn the_demos_target_holds_on_fresh_years() {
    let setup = demo::setup();
    let shelves = shelves(&demo::shop(), &[&setup], &|_| None).unwrap();
    let lines = [(&setup, 6.0)];
    let names = shelves.iter().map(|s| s.name.clone()).collect();
    let jobs = BenchJobs::new(&lines, names);
    let rules = setup.shop.drawer.rules();
    let fresh = sample(&jobs, &shelves, 4_711, 200, 5_000.0);
    let mut plans = Plans::default();
    for seed in 1..=2 {
        let question = Question {
            lines: &lines,
            shelves: &shelves,
            drawer: &setup.shop.drawer,
            aim: Aim::Fill(TARGET),
            own: Vec::new(),
            have: None,
            intervals: false,
            nearness: false,
            busy: None,
            seed,
        };
        let course = Course::new(&question);
        let plan = course.found(&course.fit(), &mut |_| true).unwrap();
        plans.add(&shelves, &rules, &fresh, &plan);
    }
    let Plans {
        asked,
        held,
        reached,
        apart,
    } = plans;
    assert_eq!((held, reached, apart), (asked, asked, 0));
}

/// A plan for a share of jobs does not depend on what is in the drawer, so only the look ahead is played
/// again when that changes.
#[test]
fn a_plan_stays_when_the_drawer_is_counted_again() {
    let setup = crate::demo::setup();
    let shelves = crate::stock::shelves(&setup.shop, &[&setup], &|_| None).expect("few packs");
    let lines = [(&setup, 4.0)];
    let asked = |each: Option<u32>| crate::stock::Question {
        lines: &lines,
        shelves: &shelves,
        drawer: &setup.shop.drawer,
        aim: crate::stock::Aim::Fill(0.6),
        own: Vec::new(),
        have: each.map(|each| {
            let counts = shelves.iter().map(|shelf| vec![each; shelf.sizes.len()]);
            crate::stock::Present::in_drawer(counts.collect())
        }),
        intervals: false,
        nearness: false,
        busy: None,
        seed: 3,
    };
    let whole = |each| crate::stock::stock(&asked(each), &mut |_| true).expect("not broken off");
    let (empty, counted) = (whole(None), whole(Some(2)));
    assert!(empty.ahead.is_none() && counted.ahead.is_some());
    let same = |one: &crate::stock::Stock, other: &crate::stock::Stock| {
        assert_eq!(format!("{one:?}"), format!("{other:?}"))
    };
    let beside = |stock: &crate::stock::Stock, each| stock.clone().beside(&asked(each));
    same(&beside(&empty, Some(2)), &counted);
    same(&beside(&beside(&empty, Some(1)), Some(2)), &counted);
    same(&beside(&counted, None), &empty);
}
