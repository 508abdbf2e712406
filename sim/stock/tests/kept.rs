//! Drawers as a job finds them: what jobs use up is what a year uses, and what they are given stands in
//! for what they want.

use super::*;
use crate::axle::Condition;
use crate::bench::setup::{Setup, SideStock};
use crate::demo;
use crate::stock::answer::{Course, Question, plan, shelves};
use crate::stock::found::Aim;
use crate::stock::kept::KeptDrawer;
use crate::stock::service::service;

fn job(gears: Condition, bearings: Condition) -> Setup {
    Setup::new(demo::axle(), demo::shop(), gears, bearings).expect("the built-in job")
}

fn ask<'a>(lines: &'a [(&'a Setup, f64)], shelves: &'a [Shelf], seed: u64) -> Question<'a> {
    let drawer = &lines[0].0.shop.drawer;
    Question {
        lines,
        shelves,
        drawer,
        aim: Aim::Fill(drawer.job_fill),
        own: Vec::new(),
        have: None,
        intervals: false,
        nearness: false,
        busy: None,
        seed,
    }
}

/// False alarms: 5 % for an interval of 95 % held against one of 95 %, less since both err.
#[test]
fn what_jobs_use_up_is_what_the_plan_of_the_shop_uses_in_a_year() {
    let [renewed, kept] = [Condition::New, Condition::Kept].map(|of| job(of, of));
    let lines = [(&renewed, 6.0), (&kept, 3.0)];
    let shelves = shelves(&renewed.shop, &[&renewed, &kept], &|_| None).expect("few packs");
    let asked = ask(&lines, &shelves, 3);
    let planned = plan(&asked, &mut |_| true).expect("not broken off");
    let drawer = KeptDrawer::of(&asked, &planned.levels);
    let jobs: Vec<f64> = lines
        .iter()
        .map(|(_, per_month)| 12.0 * per_month)
        .collect();
    let used: Vec<Estimate> = lines
        .iter()
        .zip(&jobs)
        .map(|((setup, _), jobs)| drawer.used_by(setup, 3).times(*jobs))
        .collect();
    let used_up: f64 = used.iter().map(|used| used.value).sum();
    // counted on the years that verified it
    let bought = planned.service.mean(|year| year.bought);
    let apart = used
        .iter()
        .map(Estimate::half_width)
        .fold(bought.half_width(), f64::hypot);
    assert!(
        (used_up - bought.value).abs() < apart && apart < 0.025 * used_up,
        "{used_up} ± {apart}: {used:?}, {bought:?}"
    );
    // kept bearings are set up again with much of what they came with
    assert!(used[1].value / jobs[1] < used[0].value / jobs[0]);
}

#[test]
fn a_drawer_for_no_job_gives_nothing_but_what_is_bought_for_it() {
    let setup = job(Condition::New, Condition::New);
    let shelves = shelves(&setup.shop, &[&setup], &|_| None).expect("few packs");
    let used = KeptDrawer::for_none(&shelves, &setup.shop.drawer).used_by(&setup, 5);
    // trips of one job with an empty box
    let lines = [(&setup, 1.0)];
    let asked = ask(&lines, &shelves, 5);
    let course = Course::new(&asked);
    let root = Address::new(5, 77);
    let trips = 20_000;
    let sample = Sample::draw(&course.jobs, &shelves, root, trips, Stretch::Tour(1));
    let none: Vec<Vec<u32>> = shelves.iter().map(|s| vec![0; s.sizes.len()]).collect();
    let rules = Rules {
        review: Review::Never,
        ..setup.shop.drawer.rules()
    };
    let pieces = service(&shelves, &rules, &sample, &none, &none).pieces;
    let special = pieces.iter().zip(&shelves).map(|(pieces, shelf)| {
        let sizes = pieces.special.iter().zip(&shelf.prices);
        sizes
            .map(|(count, price)| *count as f64 * price)
            .sum::<f64>()
    });
    let mean = special.sum::<f64>() / trips as f64;
    assert!(
        (used.value - mean).abs() < 2.5 * used.half_width(),
        "{used:?} {mean}"
    );
}

#[test]
fn packs_near_enough_stand_in_and_none_where_all_must_be_exact() {
    let setup = job(Condition::New, Condition::New);
    let near = shelves(&setup.shop, &[&setup], &|_| None).expect("few packs");
    let exact: Vec<Shelf> = near
        .iter()
        .map(|shelf| shelf.with_near_enough(0.0))
        .collect();
    let lines = [(&setup, 4.0)];
    let SideStock::Packs(side) = &setup.side_stock else {
        panic!("the built-in axle has side shims");
    };
    let tables = [&setup.pinion_packs, side, side];
    let stood_in = |shelves: &[Shelf]| {
        let asked = ask(&lines, shelves, 9);
        let planned = plan(&asked, &mut |_| true).expect("not broken off");
        let drawer = KeptDrawer::of(&asked, &planned.levels);
        let jobs = drawer.jobs_of(&[&setup]);
        let mut others = 0;
        for index in 0..2_000 {
            let address = Address::new(9, index);
            let given = drawer.rebuilt(&jobs, 0, address);
            let wanted = setup.rebuild(address);
            others += u32::from(given != wanted);
            for (pack, table) in given.packs.iter().flatten().zip(tables) {
                let asked_for = table.all()[pack.number as usize].printed;
                let off = (pack.printed - asked_for).abs();
                assert!(off <= setup.shop.drawer.near_enough + 1e-9, "{off}");
            }
        }
        others
    };
    assert_eq!(stood_in(&exact), 0);
    assert!(stood_in(&near) > 20);
}
