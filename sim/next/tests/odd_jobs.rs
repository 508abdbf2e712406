//! Jobs at the edges: next to nothing stated, every kind of axle, long ones; and what is remarked on.

use super::belief::demo_job;
use super::coverage::with_spacer;
use super::truth::{PLAIN, Plan, make};
use crate::axle::{Axle, Condition, SideSeat};
use crate::bench::PackPlace;
use crate::bench::setup::Setup;
use crate::demo;
use crate::next::{BenchJob, Fitted, Next, PreloadNext, Question, Reading, Remark, next};
use crate::shop::{Shop, SideCheck, SideStart};

fn ask(setup: &Setup, job: &BenchJob) -> Next {
    let found = next(&Question::of(setup, job, 1)).expect("no flaw");
    for one in &found.moves {
        for share in [one.right, one.clearly_out] {
            assert!((0.0..=1.0).contains(&share.value), "{one:?}");
        }
        assert!(
            one.cost.value.is_finite() && one.hours.value > 0.0,
            "{one:?}"
        );
        assert!(one.cost.low <= one.cost.value && one.cost.value <= one.cost.high);
    }
    assert!(!found.moves.is_empty() && !found.moves[0].less_than_best);
    let depth = found.belief.depth;
    assert!(
        depth.p05 <= depth.p50 && depth.p50 <= depth.p95 && depth.sd > 0.0,
        "{depth:?}"
    );
    found
}

fn set_up(axle: Axle, shop: Shop, gears: Condition, bearings: Condition) -> Setup {
    Setup::new(axle, shop, gears, bearings).expect("no flaw")
}

fn adjusters() -> Axle {
    let mut axle = demo::axle();
    axle.side_shims.seat = SideSeat::ScrewAdjusters;
    axle.side_shims.stock = None;
    axle
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn next_to_nothing_stated() {
    let kinds = [
        (demo::axle(), demo::shop()),
        (adjusters(), demo::shop()),
        with_spacer(),
    ];
    for (axle, shop) in kinds {
        for (gears, bearings) in [
            (Condition::New, Condition::New),
            (Condition::Kept, Condition::Kept),
        ] {
            let setup = set_up(axle.clone(), shop.clone(), gears, bearings);
            let begun = std::time::Instant::now();
            let empty = ask(&setup, &BenchJob::default());
            assert!(empty.as_it_stands.is_none() && empty.moves.iter().all(|one| !one.accept));
            let fitted = Fitted {
                on_setup_bearings: bearings == Condition::New,
                pinion: 0.90,
                ring: if setup.has_adjusters() { 0.0 } else { 2.00 },
                far: if setup.has_adjusters() { 0.0 } else { 2.10 },
                ..Fitted::default()
            };
            let job = BenchJob {
                assemblies: vec![fitted],
                ..BenchJob::default()
            };
            let bare = ask(&setup, &job);
            println!(
                "{:?} worth {} of {}",
                begun.elapsed(),
                bare.effective,
                bare.draws
            );
            assert!(bare.surprises.is_empty() && bare.would_narrow.is_some());
        }
    }
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn every_kind_of_axle_and_shop() {
    let mut checked = demo::shop();
    checked.bench.side_check = SideCheck::TorqueRise;
    checked.bench.side_start = SideStart::ZeroLash;
    checked.bench.guard = 0.1;
    for (axle, shop) in [
        (adjusters(), checked.clone()),
        with_spacer(),
        (demo::axle(), checked),
    ] {
        let setup = set_up(axle, shop, Condition::New, Condition::New);
        for (number, real) in [(1, false), (2, true)] {
            let plan = Plan {
                real,
                rise: true,
                ..PLAIN
            };
            let begun = std::time::Instant::now();
            let found = ask(&setup, &make(&setup, &plan, number).job);
            println!(
                "{:?} worth {} of {}, {} moves",
                begun.elapsed(),
                found.effective,
                found.draws,
                found.moves.len()
            );
            assert_eq!(found.preload.is_some(), real);
            if let Some(PreloadNext::Sleeve { goes, degrees, .. }) = &found.preload {
                assert_eq!(goes.len(), 4);
                assert!(
                    goes.windows(2)
                        .all(|pair| pair[0].past.value <= pair[1].past.value)
                );
                assert!(degrees.p50 > 5.0, "a fresh sleeve: {degrees:?}");
            }
        }
    }
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn a_long_job() {
    let setup = set_up(adjusters(), demo::shop(), Condition::New, Condition::New);
    let plan = Plan {
        assemblies: 12,
        ..PLAIN
    };
    let begun = std::time::Instant::now();
    let found = ask(&setup, &make(&setup, &plan, 3).job);
    println!(
        "{:?} worth {} of {}",
        begun.elapsed(),
        found.effective,
        found.draws
    );
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn what_is_remarked_on() {
    let setup = demo::setup();
    let mut job = demo_job();
    job.known.mark_new = Some(0.047);
    job.assemblies[0].zero_total = None;
    job.assemblies[1].far = 2.137;
    job.assemblies[2].backlash = vec![0.17, 0.181];
    let remarks = ask(&setup, &job).remarks;
    let has = |wanted: Remark| assert!(remarks.contains(&wanted), "{remarks:?}");
    has(Remark::OffStep {
        entry: 0,
        reading: Reading::MarkNew,
        stated: 0.047,
        step: 0.01,
    });
    has(Remark::OffStep {
        entry: 3,
        reading: Reading::Backlash(1),
        stated: 0.181,
        step: 0.01,
    });
    has(Remark::PointsDiffer {
        entry: 3,
        points: 2,
        before: 4,
    });
    let assumed = remarks.iter().any(|remark| {
        matches!(remark, Remark::ZeroTotalAssumed { entry: 1, total } if (total - 3.93).abs() < 1e-9)
    });
    let no_pack = remarks.iter().any(|remark| {
        matches!(remark, Remark::NoSuchPack { entry: 2, place: PackPlace::FarSide, stated, .. } if *stated == 2.137)
    });
    assert!(assumed && no_pack, "{remarks:?}");
    assert!(ask(&setup, &demo_job()).remarks.is_empty());
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn what_no_belief_can_be_formed_from() {
    let refused = |setup: &Setup, job: &BenchJob| -> Vec<String> {
        let flaws = next(&Question::of(setup, job, 1)).expect_err("a flaw");
        flaws.into_iter().map(|flaw| flaw.key).collect()
    };
    let kept = set_up(demo::axle(), demo::shop(), Condition::Kept, Condition::Kept);
    let keys = refused(&kept, &demo_job());
    let expected = [
        "known.mark_new",
        "assemblies.1.on",
        "assemblies.2.on",
        "assemblies.3.on",
    ];
    assert_eq!(keys, expected);
    let mut job = demo_job();
    job.assemblies[2].torque = vec![2.0];
    assert_eq!(refused(&demo::setup(), &job), ["assemblies.3.torque"]);
    let (axle, shop) = with_spacer();
    let spacer = set_up(axle, shop, Condition::New, Condition::New);
    job.assemblies[2].on_setup_bearings = false;
    assert_eq!(refused(&spacer, &job), ["assemblies.3.torque"]);
    job.assemblies[2].preload = vec![1.0];
    assert_eq!(refused(&demo::setup(), &job), ["assemblies.3.preload"]);
    assert!(next(&Question::of(&spacer, &job, 1)).is_ok());
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn packs_of_the_askers_own_and_packs_that_cannot_be_built() {
    let setup = demo::setup();
    let job = demo_job();
    let odd = |place: PackPlace, number: usize| place != PackPlace::RingSide || number % 2 == 1;
    let own = [[0.95, 1.90, 2.21]];
    let question = Question {
        can_build: Some(&odd),
        own_moves: &own,
        ..Question::of(&setup, &job, 1)
    };
    let found = next(&question).unwrap();
    let mine: Vec<_> = found.moves.iter().filter(|one| one.own).collect();
    assert_eq!(mine.len(), 1);
    assert!((mine[0].pinion - 0.95).abs() < 1e-9 && mine[0].takes_apart);
    let crate::bench::setup::SideStock::Packs(table) = &setup.side_stock else {
        unreachable!();
    };
    for one in found.moves.iter().filter(|one| !one.own && !one.accept) {
        let number = table.nearest(one.ring);
        assert!((one.ring - 1.97).abs() < 1e-9 || number % 2 == 1, "{one:?}");
        let sum: f64 = one
            .shims
            .iter()
            .map(|shims| shims.size * f64::from(shims.count))
            .sum();
        let anew = [(one.pinion, 0.88), (one.ring, 1.97), (one.far, 2.14)];
        let changed = anew
            .iter()
            .filter(|(pack, there)| (pack - there).abs() > 1e-9);
        let expected: f64 = changed.map(|(pack, _)| pack).sum();
        assert!((sum - expected).abs() < 1e-9, "{one:?}");
    }
}
