//! The rules of a drawer to the letter, and its books to the piece.

use super::*;
use crate::demo;
use crate::stock::answer::shelves;
use crate::stock::books::{Books, Flow};
use crate::stock::demand::BenchJobs;
use crate::stock::drawer::play_from;
use crate::stock::equal::of_each;
use crate::stock::events::DrawerEvent;
use crate::stock::pieces::Pieces;
use crate::stock::plan::{Samples, Search};
use crate::stock::service::service;
use crate::stock::spoiling::Spoiling;
use crate::stock::tape::{KeptStep, Reel, SeriesJob, SeriesTape};
use crate::stock::targets::Targets;
use crate::stock::till::Till;
use crate::stock::trials::Levels;

/// Keeps everything there is to keep.
pub(super) struct Book {
    events: Vec<(f64, DrawerEvent)>,
    pub(super) missed: Vec<u8>,
    pieces: Pieces,
}

impl Book {
    fn new(start: &[u32]) -> Self {
        Self {
            events: Vec::new(),
            missed: Vec::new(),
            pieces: Pieces::new(start),
        }
    }
}

impl Books for Book {
    fn went(&mut self, way: Flow, size: usize, count: i32) {
        self.pieces.went(way, size, count);
    }

    fn served(&mut self, _: u32, missing: u8) {
        self.missed.push(missing);
    }

    fn event(&mut self, at: f64, event: impl FnOnce() -> DrawerEvent) {
        self.events.push((at, event()));
    }
}

/// Jobs of one series at given times.
fn tape(shelf: &Shelf, jobs: &[(f64, &[JobStep])]) -> SeriesTape {
    let mut tape = SeriesTape::default();
    for (number, (_, steps)) in jobs.iter().enumerate() {
        tape.steps
            .extend(steps.iter().map(|step| KeptStep::from(*step)));
        let figures = Address::new(31, number as u64).numbered(Purpose::Spoiling);
        tape.jobs.push(SeriesJob {
            number: number as u32,
            end: tape.steps.len() as u32,
            spoiling: Spoiling::draw(figures, shelf.spoiled, 20),
        });
    }
    tape
}

pub(super) fn lived(
    shelf: &Shelf,
    rules: &Rules,
    jobs: &[(f64, &[JobStep])],
    levels: &[u32],
    start: &[u32],
) -> Book {
    lived_from(shelf, rules, jobs, levels, (start, &[]))
}

/// The same with something on order at the start.
fn lived_from(
    shelf: &Shelf,
    rules: &Rules,
    jobs: &[(f64, &[JobStep])],
    levels: &[u32],
    (start, on_order): (&[u32], &[u32]),
) -> Book {
    let mut book = Book::new(start);
    let arrivals: Vec<(f64, usize)> = jobs.iter().map(|(at, _)| (*at, 0)).collect();
    let reel = Reel {
        series: &tape(shelf, jobs),
        arrivals: &arrivals,
        address: Address::new(31, 0),
        span: Span::plain(100.0),
    };
    play_from(shelf, rules, reel, levels, (start, on_order), &mut book);
    assert!(book.pieces.unaccounted().iter().all(|n| *n == 0));
    book
}

/// The number of a pack by its printed sum, mm.
fn pack(shelf: &Shelf, sum: f64) -> u32 {
    shelf.packs.nearest(sum) as u32
}

#[test]
fn what_is_on_order_at_the_start_is_not_ordered_again() {
    let mut two = series(&[0.1, 0.2], 1.0, 2, 0.0);
    two.pack_of = 2;
    let shelf = Shelf::new(&two, vec![1.0, 1.0], 0.0, None).unwrap();
    let mut rules = rules(Review::Every(14.0), 4.0, Shortage::ComesSpecially);
    // what was ordered before the start comes on its day, however late other orders are
    rules.late_days = 3.0;
    let want = [JobStep::Want(0, pack(&shelf, 0.2))];
    // of 0.1 three are wanted: one is there, two are coming; of 0.2 one of two is coming
    let from = (&[1, 0][..], &[2, 1][..]);
    let book = lived_from(&shelf, &rules, &[(6.0, &want)], &[3, 2], from);
    let (at_once, later) = book.events.split_at(2);
    assert_eq!(
        at_once,
        [
            (0.0, DrawerEvent::Ordered(vec![0, 2])),
            (4.0, DrawerEvent::Delivered(vec![2, 1])),
        ]
    );
    let delivered = |(_, event): &&(f64, DrawerEvent)| matches!(event, DrawerEvent::Delivered(_));
    let (at, event) = later.iter().find(delivered).expect("the order comes");
    assert_eq!(*event, DrawerEvent::Delivered(vec![0, 2]));
    assert!(*at > 4.0, "{at}");
    // and what came first served the job
    assert_eq!(book.missed, [0]);
}

#[test]
fn orders_go_out_at_reviews_up_to_the_level_in_whole_packs() {
    let mut two = series(&[0.1, 0.2], 1.0, 2, 0.0);
    two.pack_of = 4;
    let shelf = Shelf::new(&two, vec![1.0, 1.0], 0.0, None).unwrap();
    let rules = rules(Review::Every(14.0), 4.0, Shortage::ComesSpecially);
    let want = [JobStep::Want(0, pack(&shelf, 0.4))];
    let book = lived(
        &shelf,
        &rules,
        &[(3.0, &want), (30.0, &want)],
        &[1, 3],
        &[1, 3],
    );
    assert_eq!(book.missed, [0, 0]);
    let expected = [
        (3.0, DrawerEvent::Job(0)),
        (3.0, DrawerEvent::Built(0, 0.4, vec![(1, 2)], 0)),
        (3.0, DrawerEvent::Left(0, 0)),
        // one is left of three: two are missing, four come
        (14.0, DrawerEvent::Ordered(vec![0, 4])),
        (18.0, DrawerEvent::Delivered(vec![0, 4])),
        (30.0, DrawerEvent::Job(1)),
        (30.0, DrawerEvent::Built(0, 0.4, vec![(1, 2)], 0)),
        (30.0, DrawerEvent::Left(0, 0)),
        // three are left: nothing to order at day 42 or later
    ];
    assert_eq!(book.events, expected);
}

#[test]
fn what_is_on_order_counts_and_a_start_below_the_levels_orders_at_once() {
    let shelf = shelf(&[0.1], 1.0, 1, 0.0);
    let rules = rules(Review::Every(5.0), 20.0, Shortage::ComesSpecially);
    let want = [JobStep::Want(0, 0)];
    let book = lived(&shelf, &rules, &[(2.0, &want), (11.0, &want)], &[2], &[1]);
    assert_eq!(book.missed, [0, 1]);
    let orders: Vec<(f64, DrawerEvent)> = book
        .events
        .into_iter()
        .filter(|(_, e)| {
            matches!(
                e,
                DrawerEvent::Ordered(_) | DrawerEvent::Delivered(_) | DrawerEvent::Missing(..)
            )
        })
        .collect();
    let expected = [
        (0.0, DrawerEvent::Ordered(vec![1])),
        (5.0, DrawerEvent::Ordered(vec![1])),
        // both are on order, none is there: it comes specially, and the drawer orders nothing for it
        (11.0, DrawerEvent::Missing(0, 0.1, vec![(0, 1)])),
        (20.0, DrawerEvent::Delivered(vec![1])),
        (25.0, DrawerEvent::Delivered(vec![1])),
    ];
    assert_eq!(orders, expected);
}

#[test]
fn good_old_shims_are_used_and_fill_the_drawer_up_to_its_levels() {
    let shelf = shelf(&[0.1, 0.2], 1.0, 3, 0.0);
    let rules = rules(Review::Never, 0.0, Shortage::ComesSpecially);
    let steps = [
        // 0.2 + 0.2 + 0.1 come out
        JobStep::Old(pack(&shelf, 0.5)),
        // 0.2 is there once in the drawer, twice on the bench
        JobStep::Want(0, pack(&shelf, 0.4)),
        JobStep::Out(0),
        JobStep::Want(0, pack(&shelf, 0.1)),
    ];
    let book = lived(&shelf, &rules, &[(1.0, &steps)], &[1, 2], &[1, 1]);
    assert_eq!(book.missed, [0]);
    let expected = [
        (1.0, DrawerEvent::Job(0)),
        (1.0, DrawerEvent::Old(0.5, 3, 3)),
        (1.0, DrawerEvent::Built(0, 0.4, vec![(1, 2)], 2)),
        (1.0, DrawerEvent::Out(0, 2, 2)),
        (1.0, DrawerEvent::Built(0, 0.1, vec![(0, 1)], 1)),
        // two of 0.2 on the bench, room for one
        (1.0, DrawerEvent::Left(1, 1)),
    ];
    assert_eq!(book.events.len(), expected.len());
    for ((at, event), (when, what)) in book.events.iter().zip(&expected) {
        assert_eq!(at, when);
        match (event, what) {
            (DrawerEvent::Old(a, g, n), DrawerEvent::Old(b, h, m)) => {
                assert!((a - b).abs() < 1e-9);
                assert_eq!((g, n), (h, m));
            }
            _ => assert_eq!(event, what),
        }
    }
}

#[test]
fn good_shims_above_the_level_are_kept_as_far_as_the_shop_keeps_any() {
    let shelf = shelf(&[0.1, 0.2], 1.0, 3, 0.0);
    // 0.2 three times comes out and nothing goes in
    let steps = [JobStep::Old(pack(&shelf, 0.6))];
    for (surplus, kept) in [(0, 1), (1, 2), (2, 3), (5, 3)] {
        let rules = Rules {
            keep_surplus: surplus,
            ..rules(Review::Never, 0.0, Shortage::ComesSpecially)
        };
        let book = lived(&shelf, &rules, &[(1.0, &steps)], &[1, 2], &[1, 1]);
        assert_eq!(
            book.events.last(),
            Some(&(1.0, DrawerEvent::Left(kept, 3 - kept)))
        );
    }
}

#[test]
fn a_missing_pack_takes_what_is_there_and_the_rest_comes_specially() {
    let shelf = shelf(&[0.1, 0.3], 1.0, 2, 0.0);
    let rules = rules(Review::Never, 0.0, Shortage::ComesSpecially);
    let want = [
        JobStep::Want(0, pack(&shelf, 0.4)),
        JobStep::Want(1, pack(&shelf, 0.1)),
    ];
    let book = lived(&shelf, &rules, &[(1.0, &want)], &[1, 0], &[1, 0]);
    // 0.1 went into the first pack, so it is missing in the second
    assert_eq!(book.missed, [2]);
    assert_eq!(book.events[1].1, DrawerEvent::Missing(0, 0.4, vec![(1, 1)]));
    assert_eq!(book.events[2].1, DrawerEvent::Missing(1, 0.1, vec![(0, 1)]));
}

/// The best pack by looking at every one there is.
fn by_hand(
    shelf: &Shelf,
    near: f64,
    wanted: f64,
    drawer: &[u32],
    bench: &[u32],
) -> Option<(f64, usize, u32)> {
    let n = shelf.sizes.len();
    let mut best: Option<((i64, i64, usize, i64), f64)> = None;
    let most = shelf.most_in_pack as usize;
    let mut pick = vec![0_u32; n];
    loop {
        let mut place = 0;
        while place < n {
            pick[place] += 1;
            if pick[place] <= most as u32 {
                break;
            }
            pick[place] = 0;
            place += 1;
        }
        if place == n {
            break;
        }
        let shims: u32 = pick.iter().sum();
        let there = (0..n).all(|i| pick[i] <= drawer[i] + bench[i]);
        if shims as usize > most || !there {
            continue;
        }
        let sum: f64 = (0..n).map(|i| f64::from(pick[i]) * shelf.sizes[i]).sum();
        let off = ((sum - wanted) * 1e6).round() as i64;
        if off.abs() > (near * 1e6).round() as i64 {
            continue;
        }
        let from_bench: u32 = (0..n).map(|i| pick[i].min(bench[i])).sum();
        let key = (off.abs(), off, shims as usize, -i64::from(from_bench));
        if best.is_none_or(|(least, _)| key < least) {
            best = Some((key, sum));
        }
    }
    best.map(|((_, _, shims, bench), sum)| (sum, shims, (-bench) as u32))
}

#[test]
fn packs_are_the_nearest_then_thinner_then_fewest_then_most_from_the_bench() {
    let sizes = [0.08, 0.10, 0.12, 0.15, 0.20, 0.25, 0.30];
    let near = 0.02;
    let shelf = Shelf::new(&series(&sizes, 1.0, 3, 0.0), vec![1.0; 7], near, None).unwrap();
    let rules = rules(Review::Never, 0.0, Shortage::ComesSpecially);
    let mut dice = Address::new(32, 0).stream(Purpose::Parts);
    let (mut missing, mut stood_in) = (0, 0);
    for _ in 0..3_000 {
        let mut draw = |most: f64| (most * dice.uniform()) as u32;
        let drawer: Vec<u32> = sizes.iter().map(|_| draw(2.2)).collect();
        let old: Vec<u32> = (0..2)
            .map(|_| draw(shelf.packs.all().len() as f64))
            .collect();
        let wanted = draw(shelf.packs.all().len() as f64);
        let mut bench = vec![0; sizes.len()];
        for pack in &old {
            for shim in &shelf.packs.all()[*pack as usize].shims {
                bench[usize::from(*shim)] += 1;
            }
        }
        let steps = [
            JobStep::Old(old[0]),
            JobStep::Old(old[1]),
            JobStep::Want(0, wanted),
        ];
        let book = lived(&shelf, &rules, &[(1.0, &steps)], &drawer, &drawer);
        let printed = shelf.packs.all()[wanted as usize].printed;
        match (
            &book.events[3].1,
            by_hand(&shelf, near, printed, &drawer, &bench),
        ) {
            (DrawerEvent::Missing(..), None) => missing += 1,
            (DrawerEvent::Built(_, _, needs, from_bench), Some((sum, shims, most))) => {
                let built: f64 = needs.iter().map(|(i, n)| f64::from(*n) * sizes[*i]).sum();
                let count: u32 = needs.iter().map(|(_, n)| n).sum();
                assert!((built - sum).abs() < 1e-9, "{built} for {sum}");
                assert_eq!((count as usize, *from_bench), (shims, most));
                stood_in += u32::from((built - printed).abs() > 1e-9);
            }
            (event, best) => panic!("{event:?} where the best is {best:?}"),
        }
    }
    assert!(missing > 20 && stood_in > 50, "{missing} {stood_in}");
}

/// The demo axle's shop.
fn demo() -> (crate::bench::setup::Setup, Vec<Shelf>) {
    let setup = demo::setup();
    let shelves = shelves(&demo::shop(), &[&setup], &|_| None).unwrap();
    (setup, shelves)
}

#[test]
fn nothing_is_lost_and_nothing_appears_out_of_nowhere() {
    let (setup, shelves) = demo();
    let names = shelves.iter().map(|s| s.name.clone()).collect();
    let jobs = BenchJobs::new(&[(&setup, 6.0)], names);
    let mut rules = setup.shop.drawer.rules();
    rules.late_days = 3.0;
    let sample = sample(&jobs, &shelves, 33, 20, 2_000.0);
    let levels: Levels = shelves
        .iter()
        .map(|s| (0..s.sizes.len() as u32).map(|i| i % 4).collect())
        .collect();
    let served = service(&shelves, &rules, &sample, &levels, &of_each(&shelves, 2));
    for pieces in &served.pieces {
        assert!(pieces.unaccounted().iter().all(|n| *n == 0), "{pieces:?}");
        let sum = |of: &[i64]| of.iter().sum::<i64>();
        // everything that can happen to a shim did happen
        for of in [
            &pieces.delivered,
            &pieces.special,
            &pieces.old,
            &pieces.out,
            &pieces.fitted,
            &pieces.spoiled,
            &pieces.scrapped,
        ] {
            assert!(sum(of) > 100);
        }
        // what the drawer lost is what was taken from it
        let lost = sum(&pieces.start) + sum(&pieces.delivered) - sum(&pieces.left);
        assert_eq!(lost, sum(&pieces.used));
    }
}

#[test]
fn the_spoiled_share_is_the_series_own() {
    let (setup, shelves) = demo();
    let names = shelves.iter().map(|s| s.name.clone()).collect();
    let jobs = BenchJobs::new(&[(&setup, 6.0)], names);
    let sample = sample(&jobs, &shelves, 34, 20, 2_000.0);
    let levels = of_each(&shelves, 3);
    let served = service(
        &shelves,
        &setup.shop.drawer.rules(),
        &sample,
        &levels,
        &levels,
    );
    for (pieces, spoiled) in served.pieces.iter().zip([0.06, 0.05]) {
        let sum = |of: &[i64]| of.iter().sum::<i64>() as u64;
        // every shim that came out went on to be fitted, spoiled, scrapped or put back
        let came_out = sum(&pieces.old) + sum(&pieces.out);
        let share = Estimate::share(sum(&pieces.spoiled), came_out);
        // 4.5 sigma: a false alarm once in 150 000
        let sigma = share.half_width() / Z95;
        assert!((share.value - spoiled).abs() < 4.5 * sigma, "{share:?}");
    }
}

#[test]
fn late_deliveries_are_late_by_their_mean() {
    let shelf = shelf(&[0.1], 1.0, 1, 0.0);
    let mut rules = rules(Review::Every(1.0), 2.0, Shortage::ComesSpecially);
    rules.late_days = 5.0;
    let want: &[JobStep] = &[JobStep::Want(0, 0)];
    let jobs: Vec<(f64, &[JobStep])> = (0..4_000).map(|i| (0.5 + f64::from(i), want)).collect();
    let arrivals: Vec<(f64, usize)> = jobs.iter().map(|(at, _)| (*at, 0)).collect();
    let mut book = Book::new(&[9_000]);
    let reel = Reel {
        series: &tape(&shelf, &jobs),
        arrivals: &arrivals,
        address: Address::new(35, 0),
        span: Span::plain(1e6),
    };
    play_from(&shelf, &rules, reel, &[9_000], (&[9_000], &[]), &mut book);
    let times = |wanted: fn(&DrawerEvent) -> bool| {
        let of = book.events.iter().filter(|(_, event)| wanted(event));
        of.map(|(at, _)| *at).collect::<Vec<f64>>()
    };
    let ordered = times(|event| matches!(event, DrawerEvent::Ordered(_)));
    let delivered = times(|event| matches!(event, DrawerEvent::Delivered(_)));
    let sum = |times: &[f64]| times.iter().sum::<f64>();
    let mean_late = (sum(&delivered) - sum(&ordered)) / ordered.len() as f64 - 2.0;
    // an exponential figure's sigma is its mean; 4.5 sigma
    assert_eq!(ordered.len(), 4_000);
    assert!(
        (mean_late - 5.0).abs() < 4.5 * 5.0 / 4_000_f64.sqrt(),
        "{mean_late}"
    );
}

#[test]
fn the_same_plan_on_any_number_of_threads() {
    let (setup, shelves) = demo();
    let names: Vec<String> = shelves.iter().map(|s| s.name.clone()).collect();
    let planned = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        pool.install(|| {
            let jobs = BenchJobs::new(&[(&setup, 6.0)], names.clone());
            let rules = setup.shop.drawer.rules();
            let draw = |number, tapes| sample(&jobs, &shelves, number, tapes, 1_500.0);
            let samples = Samples {
                rough: draw(36, 2),
                fit: &draw(37, 6),
                check: &|| draw(38, 20),
            };
            let targets = Targets::all(0.9);
            let mut search =
                Search::new(&shelves, &rules, &samples, Till::empty(&shelves), &targets);
            let plan = search.find(&mut |_| true).unwrap();
            let served = service(&shelves, &rules, &draw(38, 20), &plan.levels, &plan.levels);
            (plan.levels, served)
        })
    };
    let alone = planned(1);
    assert_eq!(alone, planned(2));
    assert_eq!(alone, planned(3));
}
