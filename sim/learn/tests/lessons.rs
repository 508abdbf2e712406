//! All that is learned, and put into the files.

use super::shims_out::with_spacer;
use super::{TRUST, changed, jobs};
use crate::axle::{Axle, Condition, SideSeat};
use crate::bench::minutes::Task;
use crate::bench::setup::Setup;
use crate::demo;
use crate::learn::lessons::{Learnable, Lesson, Taught, lessons};
use crate::shop::Shop;

fn taught(kinds: &[Setup], by: &Setup, count: u64) -> Vec<Lesson> {
    lessons(&Taught {
        kinds,
        jobs: &jobs(by, count, 2),
        trust: TRUST,
        seed: 1,
    })
}

/// With a sleeve and with a spacer, by packs and by adjusters: what is adopted is that figure, as it is believed
/// now, and every other line of the files is as it was.
#[test]
fn a_lesson_changes_the_figure_that_it_names() {
    let adjusters = |axle: &mut Axle| {
        axle.side_shims.seat = SideSeat::ScrewAdjusters;
        axle.side_shims.stock = None;
    };
    let mut shop = demo::shop();
    let mut beside = shop.shims[0].clone();
    beside.name = "T-11".into();
    shop.shims.push(beside);
    let changes: [&dyn Fn(&mut Axle); 3] = [&|_| (), &with_spacer, &adjusters];
    for change in changes {
        let mut axle = demo::axle();
        change(&mut axle);
        let kinds = [Setup::new(axle, shop.clone(), Condition::New, Condition::New).unwrap()];
        let all = taught(&kinds, &kinds[0], 30);
        assert!(all.len() > 30, "{}", all.len());
        for lesson in &all {
            adopts(&kinds[0], lesson, &all);
        }
    }
}

fn adopts(setup: &Setup, lesson: &Lesson, all: &[Lesson]) {
    let (mut axle, mut shop) = (setup.axle.clone(), setup.shop.clone());
    assert_eq!(
        Some(lesson.before),
        lesson.of.read(&axle, &shop),
        "{lesson:?}"
    );
    lesson.adopt(&mut axle, &mut shop);
    for other in all {
        let found = other.of.read(&axle, &shop).unwrap();
        let expected = if other.of == lesson.of {
            lesson.now.learned.value
        } else {
            other.before
        };
        assert!(
            (found - expected).abs() <= 1e-9 * expected.abs(),
            "{:?} of {:?}: {found} {expected}",
            other.of,
            lesson.of
        );
    }
    let lines = |axle: &Axle, shop: &Shop| format!("{axle:#?}\n{shop:#?}");
    let [before, after] = [lines(&setup.axle, &setup.shop), lines(&axle, &shop)];
    let moved: Vec<usize> = (before.lines().zip(after.lines()).enumerate())
        .filter_map(|(at, (before, after))| (before != after).then_some(at))
        .collect();
    let most = match lesson.of {
        // mean and sigma, limits, what an inspection lets pass
        Learnable::Spread(_) => 10,
        Learnable::Minutes(_) => 3,
        _ => 1,
    };
    let learned = lesson.now.learned.value != lesson.before;
    assert_eq!(moved.is_empty(), !learned, "{lesson:?}: {moved:?}");
    assert!(moved.len() <= most, "{lesson:?}: {moved:?}");
    if let [first, .., last] = moved[..] {
        // all in one tolerance, or in one triple
        assert!(last - first < 25, "{lesson:?}: {moved:?}");
    }
    assert!(
        Setup::new(axle, shop, Condition::New, Condition::New).is_ok(),
        "{lesson:?}"
    );
}

/// It changes where the file's figure is outside the interval.
#[test]
fn a_lesson_is_a_change_where_the_file_lies_outside() {
    let slow = changed(|_, shop| {
        let strip = &mut shop.minutes.strip;
        (strip.least, strip.usual, strip.most) =
            (2.0 * strip.least, 2.0 * strip.usual, 2.0 * strip.most);
    });
    for lesson in taught(&[demo::setup()], &slow, 60) {
        let of = &lesson.now.learned;
        let inside = (of.low..=of.high).contains(&lesson.before);
        assert_eq!(lesson.changes(), !inside);
        if lesson.of == Learnable::Minutes(crate::learn::Timed::Task(Task::Strip)) {
            assert!(lesson.changes(), "{lesson:?}");
        }
    }
}

#[test]
fn no_jobs_teach_nothing() {
    let kinds = [demo::setup()];
    assert_eq!(taught(&kinds, &kinds[0], 0), []);
    assert_eq!(taught(&[], &kinds[0], 0), []);
}
