//! What a technician remembers of packs that were tried: no pack is tried twice to no purpose.

use super::close;
use crate::axle::{Condition, SideSeat};
use crate::bench::job::Ending;
use crate::bench::minutes::Operation;
use crate::bench::outcome::Inside;
use crate::bench::setup::Setup;
use crate::bench::{Decision, Event, PackPlace, Rebuild, Witness};
use crate::chance::dice::Address;
use crate::demo;
use crate::shop::{Shop, SideCheck};
use crate::units::Window;

/// One job as it was heard.
#[derive(Default)]
pub(super) struct Diary(Vec<Entry>);

#[derive(Debug, Clone, PartialEq)]
pub(super) enum Entry {
    Event(Event),
    Operation(Operation),
    Wanted(PackPlace, i64),
}

impl Witness for Diary {
    const LISTENS: bool = true;

    fn operation(&mut self, operation: Operation) {
        self.0.push(Entry::Operation(operation));
    }

    fn wanted(&mut self, place: PackPlace, _: f64, number: i64) {
        self.0.push(Entry::Wanted(place, number));
    }

    fn hears(&mut self, event: impl FnOnce() -> Event) {
        self.0.push(Entry::Event(event()));
    }
}

pub(super) fn told(setup: &Setup, index: u64) -> (Rebuild, Vec<Entry>) {
    let mut diary = Diary::default();
    let rebuild = setup.rebuild_observed(Address::new(12, index), &mut diary);
    (rebuild, diary.0)
}

/// The demo with a narrow backlash window and coarse side shims: often nothing fits.
fn narrow() -> (crate::axle::Axle, Shop) {
    let (mut axle, mut shop) = (demo::axle(), demo::shop());
    axle.windows.backlash = Window::new(0.15, 0.19);
    axle.windows.pattern_profile = 0.09;
    shop.shims[1].sizes = vec![0.5, 0.65, 1.0, 1.5];
    (axle, shop)
}

fn set_up(axle: crate::axle::Axle, shop: Shop) -> Setup {
    Setup::new(axle, shop, Condition::New, Condition::New).unwrap()
}

/// Ring-side packs read in one bracket, each with its mean and worst reading; a bracket ends where
/// anything but the side packs changes.
fn brackets(setup: &Setup, entries: &[Entry]) -> Vec<Vec<(f64, f64, f64)>> {
    let window = setup.reading_windows.backlash;
    let mut all = vec![Vec::new()];
    let mut ring = f64::NAN;
    for entry in entries {
        match entry {
            Entry::Event(Event::Pack {
                place: PackPlace::RingSide,
                printed,
                ..
            }) => ring = *printed,
            Entry::Event(Event::Backlash { readings, .. }) => {
                let mean = readings.iter().sum::<f64>() / readings.len() as f64;
                let worst = readings.iter().map(|r| window.outside(*r));
                let worst = worst.fold(f64::NEG_INFINITY, f64::max);
                all.last_mut().unwrap().push((ring, mean, worst));
            }
            Entry::Operation(
                Operation::TrialPinionChange
                | Operation::PinionChange
                | Operation::ReseatRing
                | Operation::FinalAssembly,
            ) => all.push(Vec::new()),
            _ => {}
        }
    }
    all
}

#[test]
fn a_ring_side_pack_is_tried_again_once_only_and_only_the_better_one() {
    let (axle, shop) = narrow();
    let setup = set_up(axle, shop);
    let (mut went_back, mut stayed) = (0, 0);
    for index in 0..3000 {
        let (_, entries) = told(&setup, index);
        for bracket in brackets(&setup, &entries) {
            let mut tried: Vec<(f64, f64, f64)> = Vec::new();
            let mut gone_back = false;
            for (place, now) in bracket.iter().enumerate() {
                assert!(!gone_back, "{index}: {bracket:?} goes on after going back");
                if let Some(before) = tried.iter().find(|t| (t.0 - now.0).abs() < 1e-9) {
                    gone_back = true;
                    // it had read outside by less than the one it takes the place of
                    assert!(before.2 < tried[place - 1].2, "{bracket:?}");
                }
                tried.push(*now);
            }
            went_back += u32::from(gone_back);
            stayed +=
                u32::from(!gone_back && bracket.len() > 1 && bracket[bracket.len() - 1].2 > 1e-9);
        }
    }
    assert!(went_back > 300 && stayed > 300, "{went_back} {stayed}");
}

#[test]
fn packs_in_a_bracket_close_in_on_the_right_one() {
    let (axle, mut shop) = narrow();
    shop.shims[1].sizes = demo::shop().shims[1].sizes.clone();
    // a belief that is far off makes the first moves far too large
    shop.bench.ring_belief = 0.45;
    shop.bench.learns = false;
    let setup = set_up(axle, shop);
    let middle = setup.axle.windows.backlash.middle();
    let mut closed_in = 0;
    for index in 0..2000 {
        let (_, entries) = told(&setup, index);
        for bracket in brackets(&setup, &entries) {
            let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
            for (place, (ring, mean, worst)) in bracket.iter().enumerate() {
                let back = bracket[..place].iter().any(|b| (b.0 - ring).abs() < 1e-9);
                assert!(back || (low < *ring && *ring < high), "{bracket:?}");
                if *worst > 1e-9 && *mean < middle - 1e-9 {
                    high = *ring;
                } else if *worst > 1e-9 && *mean > middle + 1e-9 {
                    low = *ring;
                }
                closed_in += u32::from(low.is_finite() && high.is_finite());
            }
        }
    }
    assert!(closed_in > 200, "{closed_in}");
}

#[test]
fn a_corrected_total_starts_the_bracket_anew() {
    let (axle, mut shop) = narrow();
    shop.bench.side_check = SideCheck::TorqueRise;
    let setup = set_up(axle, shop);
    let mut after = 0;
    for index in 0..3000 {
        let (_, entries) = told(&setup, index);
        // once a total was corrected after going back, going back may happen again
        let decisions: Vec<&Decision> = entries
            .iter()
            .filter_map(|entry| match entry {
                Entry::Event(Event::Decision(decision)) => Some(decision),
                _ => None,
            })
            .collect();
        for pair in decisions.windows(2) {
            if let [
                Decision::SidesGoBack { .. },
                Decision::ChangeSides { preload, .. },
            ] = pair
            {
                assert!(
                    *preload,
                    "{index}: a change for backlash alone after going back"
                );
                after += 1;
            }
        }
    }
    assert!(after > 5, "{after}");
}

/// Sorrel's way of preloading on the demo: a solid spacer with shims too coarse for its window.
fn with_coarse_spacer_shims() -> Setup {
    let (mut axle, mut shop) = (demo::axle(), demo::shop());
    let mut coarse = shop.shims[0].clone();
    coarse.name = "T-11".into();
    coarse.sizes = vec![0.2, 0.25, 0.3];
    coarse.most_in_pack = 4;
    shop.shims.push(coarse);
    axle.windows.pinion_torque = Window::new(2.0, 2.3);
    axle.pinion_preload.by = crate::axle::PreloadBy::Spacer {
        stock: "T-11".into(),
        usual: 1.0,
        gap: demo::about(60.0, 0.05),
        spacer: demo::about(58.95, 0.025),
        as_built: crate::axle::tolerance::Tolerance::normal(0.0, 0.015).unwrap(),
    };
    set_up(axle, shop)
}

#[test]
fn a_spacer_pack_is_tried_again_once_only_and_only_the_better_one() {
    let setup = with_coarse_spacer_shims();
    let (mut went_back, mut ended) = (0, 0);
    for index in 0..2000 {
        let (rebuild, entries) = told(&setup, index);
        let mut read: Vec<(f64, f64)> = Vec::new();
        let mut printed = f64::NAN;
        let mut last = None;
        for entry in &entries {
            match entry {
                Entry::Event(Event::Pack {
                    place: PackPlace::Spacer,
                    printed: pack,
                    ..
                }) => printed = *pack,
                Entry::Event(Event::Torque { reading, .. }) => {
                    read.push((printed, setup.reading_windows.torque.outside(*reading)));
                }
                Entry::Event(Event::Decision(decision)) => last = Some(*decision),
                Entry::Operation(Operation::PinionChange) => read.clear(),
                _ => {}
            }
            if last == Some(Decision::SpacerGoesBack) {
                last = None;
                went_back += 1;
            }
        }
        assert!(rebuild.preload_tries <= 17);
        for (place, now) in read.iter().enumerate() {
            if let Some(before) = read[..place].iter().find(|b| (b.0 - now.0).abs() < 1e-9) {
                assert!(before.1 < read[place - 1].1, "{index}: {read:?}");
                assert_eq!(place, read.len() - 1, "{index}: {read:?}");
                ended += 1;
            }
        }
    }
    assert!(went_back > 50 && ended > 50, "{went_back} {ended}");
}

#[test]
fn adjusters_are_turned_without_an_assembly_and_have_a_limit_of_their_own() {
    let (mut axle, mut shop) = narrow();
    axle.side_shims.seat = SideSeat::ScrewAdjusters;
    axle.side_shims.stock = None;
    axle.windows.backlash = Window::new(0.155, 0.175);
    shop.instruments.dial.step = 0.0;
    shop.bench.notch = 0.0001;
    shop.bench.most_assemblies = 2;
    let setup = set_up(axle, shop);
    let (mut at_limit, mut turned_often) = (0, 0);
    for index in 0..2000 {
        let (rebuild, entries) = told(&setup, index);
        assert_eq!(
            rebuild.assemblies,
            1 + rebuild.pinion_changes + rebuild.reseats
        );
        assert!(rebuild.assemblies <= 2 && rebuild.side_changes <= 8);
        let turns = entries.iter().filter(|entry| {
            matches!(
                entry,
                Entry::Operation(Operation::SideChange | Operation::TrialSideChange)
            )
        });
        assert_eq!(turns.count() as u32, rebuild.side_changes);
        if !rebuild.finished && rebuild.side_changes == 8 {
            at_limit += 1;
        }
        turned_often += u32::from(rebuild.finished && rebuild.side_changes > 2);
    }
    assert!(
        at_limit > 20 && turned_often > 20,
        "{at_limit} {turned_often}"
    );
}

#[test]
fn of_two_settings_equally_near_the_thinner() {
    let (mut axle, mut shop) = (demo::axle(), demo::shop());
    axle.side_shims.seat = SideSeat::ScrewAdjusters;
    axle.side_shims.stock = None;
    shop.bench.side_start = crate::shop::SideStart::Usual;
    shop.bench.notch = 0.02;
    for (usual, expected) in [
        (2.01, 2.00),
        (2.03, 2.02),
        (2.010_001, 2.02),
        (2.009_999, 2.00),
        (2.01 + 0.9e-9, 2.00),
    ] {
        axle.side_shims.usual = [usual, 2.10];
        let setup = set_up(axle.clone(), shop.clone());
        let (_, entries) = told(&setup, 0);
        let first = entries.iter().find_map(|entry| match entry {
            Entry::Event(Event::Pack {
                place: PackPlace::RingSide,
                printed,
                ..
            }) => Some(*printed),
            _ => None,
        });
        close(first.unwrap(), expected, 1e-9);
    }
}

#[test]
fn a_guard_holds_readings_against_narrower_windows_and_leaves_the_truth_alone() {
    let mut shop = demo::shop();
    shop.bench.guard = 0.2;
    shop.bench.side_check = SideCheck::TorqueRise;
    let setup = set_up(demo::axle(), shop);
    let held = &setup.reading_windows;
    // a fifth of 0.07, of twice 0.12 and of 1.1 off at either end
    close(held.backlash.low, 0.144, 1e-12);
    close(held.backlash.high, 0.186, 1e-12);
    close(held.pattern_profile, 0.072, 1e-12);
    close(held.torque.low, 1.92, 1e-12);
    close(held.torque.high, 2.58, 1e-12);
    let rise = setup.rise_window;
    close(held.rise.low, rise.low + 0.2 * rise.width(), 1e-12);
    close(held.rise.high, rise.high - 0.2 * rise.width(), 1e-12);
    let (mut backlash, mut patterns, mut sleeves, mut below) = (0, 0, 0, 0);
    for index in 0..1500 {
        let (_, entries) = told(&setup, index);
        let (mut read, mut torque) = (Vec::new(), f64::NAN);
        for entry in &entries {
            match entry {
                Entry::Event(Event::Backlash { readings, .. }) => read = readings.clone(),
                Entry::Event(Event::Pattern { readings, .. }) => {
                    read.extend(readings.map(f64::abs));
                }
                Entry::Event(Event::Torque { reading, .. }) => torque = *reading,
                Entry::Event(Event::Decision(Decision::Accept)) => {
                    let (points, pattern) = read.split_at(read.len() - 2);
                    assert!(pattern.iter().all(|p| *p <= 0.072 + 1e-9));
                    patterns += 1;
                    // one that stays for want of a better pack is accepted outside
                    backlash += u32::from(points.iter().all(|p| held.backlash.holds(*p)));
                }
                Entry::Event(Event::Decision(Decision::TorqueAccepted)) => {
                    // the aim ends the turning, below the narrowed window as well
                    assert!((1.975 - 1e-9..=2.58 + 1e-9).contains(&torque), "{torque}");
                    below += u32::from(torque < 2.05);
                }
                Entry::Event(Event::Decision(Decision::SleeveTooFar)) => {
                    assert!(torque > 2.58);
                    sleeves += u32::from(torque <= 2.8);
                }
                _ => {}
            }
        }
    }
    let seen = [backlash, patterns, sleeves, below];
    assert!(seen.iter().all(|count| *count > 20), "{seen:?}");
    // the truth is held against the windows themselves
    let open = set_up(demo::axle(), demo::shop());
    let rebuild = open.rebuild(Address::new(12, 1));
    assert_eq!(
        Inside::of(&setup, &rebuild.last),
        Inside::of(&open, &rebuild.last)
    );
    assert_eq!(
        Ending::of(&setup, &rebuild).outcome,
        Ending::of(&open, &rebuild).outcome
    );
}

#[test]
fn the_aim_ends_a_sleeve_below_the_narrowed_window() {
    let mut shop = demo::shop();
    shop.bench.guard = 0.4;
    shop.bench.sleeve_aim = 0.1;
    let setup = set_up(demo::axle(), shop);
    let mut below = 0;
    for index in 0..200 {
        let (_, entries) = told(&setup, index);
        let mut torque = f64::NAN;
        for entry in &entries {
            match entry {
                Entry::Event(Event::Torque { reading, .. }) => torque = *reading,
                Entry::Event(Event::Decision(Decision::TorqueAccepted)) => {
                    below += u32::from(torque < setup.reading_windows.torque.low - 1e-9);
                }
                _ => {}
            }
        }
    }
    assert!(below > 100, "{below}");
}
