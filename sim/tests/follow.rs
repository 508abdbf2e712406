use super::*;
use crate::axle::Condition;
use crate::bench::job::Ending;
use crate::bench::{Decision, PackPlace};
use crate::chance::run::Until;
use crate::demo;
use crate::odds::odds;

fn on(_: Progress) -> ControlFlow<()> {
    ControlFlow::Continue(())
}

/// What the last telling of each pack, truth and torque says.
struct Ends {
    packs: [Option<f64>; 4],
    truth: Option<crate::bench::truth::Assembly>,
    torque: Option<f64>,
    first: Option<crate::bench::truth::Assembly>,
}

impl Ends {
    fn of(story: &Story) -> Self {
        let mut ends = Self {
            packs: [None; 4],
            truth: None,
            torque: None,
            first: None,
        };
        for step in &story.steps {
            match step {
                StoryStep::Event(Event::BoltedUp(truth)) => {
                    ends.truth = Some(*truth);
                    ends.first = ends.first.or(Some(*truth));
                }
                StoryStep::Event(Event::Pack { place, real, .. }) => {
                    let at = match place {
                        PackPlace::Pinion => 0,
                        PackPlace::RingSide => 1,
                        PackPlace::FarSide => 2,
                        PackPlace::Spacer => 3,
                    };
                    ends.packs[at] = Some(*real);
                }
                StoryStep::Event(Event::Torque { truth, .. }) => ends.torque = Some(*truth),
                _ => {}
            }
        }
        ends
    }
}

/// A thousand stories, each of the very rebuild that a run counts, and every count of the run is
/// found again by reading the stories alone.
#[test]
fn the_story_is_the_rebuild_that_was_counted() {
    for (gears, bearings) in [
        (Condition::New, Condition::New),
        (Condition::Kept, Condition::Kept),
    ] {
        let setup = Setup::new(demo::axle(), demo::shop(), gears, bearings).unwrap();
        let rebuilds = 1000;
        let (mut right_first, mut right, mut finished) = (0, 0, 0);
        let (mut assemblies, mut minutes) = (0, 0.0);
        for number in 1..=rebuilds {
            let story = follow(&setup, 9, number);
            let address = Address::new(9, number - 1);
            let counted = setup.rebuild(address);
            assert_eq!(story.rebuild, counted);
            let ends = Ends::of(&story);
            assert_eq!(ends.first, Some(counted.first));
            assert_eq!(ends.truth, Some(counted.last));
            assert_eq!(ends.torque, counted.pinion_torque);
            assert_eq!(ends.packs, counted.packs.map(|p| p.map(|p| p.real)));
            let goes = |wanted| {
                let steps = story.steps.iter();
                steps
                    .filter(|step| matches!(step, StoryStep::Operation(of, _) if *of == wanted))
                    .count() as u32
            };
            for operation in Operation::ALL {
                assert_eq!(goes(operation), counted.operations.at(operation));
            }
            let told: f64 = story
                .steps
                .iter()
                .map(|step| match step {
                    StoryStep::Operation(_, minutes) => *minutes,
                    StoryStep::Event(_) => 0.0,
                })
                .sum();
            assert!((told - setup.minutes(address, &counted)).abs() < 1e-9);
            let gave_up = story
                .steps
                .contains(&StoryStep::Event(Event::Decision(Decision::GiveUp)));
            assert_eq!(gave_up, !counted.finished);
            right_first += u64::from(story.first.all());
            right += u64::from(story.outcome == Outcome::Right);
            finished += u64::from(counted.finished);
            assemblies += counted.assemblies;
            minutes += story.minutes;
        }
        let odds = odds(&setup, 9, Until::Rebuilds(rebuilds), &mut on);
        let n = rebuilds as f64;
        assert_eq!(odds.first_assembly.all.value, right_first as f64 / n);
        assert_eq!(odds.handed_over.all.value, right as f64 / finished as f64);
        assert!((odds.effort.assemblies.value - f64::from(assemblies) / n).abs() < 1e-12);
        assert!((odds.effort.hours.mean.value - minutes / n / 60.0).abs() < 1e-9);
    }
}

#[test]
fn every_change_has_its_reason_before_it() {
    let setup = demo::setup();
    let mut seen = 0;
    for number in 1..=500 {
        let story = follow(&setup, 2, number);
        for (before, step) in story.steps.iter().zip(&story.steps[1..]) {
            let StoryStep::Operation(operation, _) = step else {
                continue;
            };
            let reason = match before {
                StoryStep::Event(Event::Decision(decision)) => Some(decision),
                _ => None,
            };
            let fits = match operation {
                Operation::TrialSideChange | Operation::SideChange => {
                    matches!(
                        reason,
                        Some(Decision::ChangeSides { .. } | Decision::SidesGoBack { .. })
                    )
                }
                Operation::TrialPinionChange | Operation::PinionChange => {
                    matches!(reason, Some(Decision::ChangePinion { .. }))
                }
                Operation::ReseatRing => matches!(reason, Some(Decision::Reseat { .. })),
                _ => continue,
            };
            assert!(fits, "{number}: {before:?} {step:?}");
            seen += 1;
        }
    }
    assert!(seen > 400);
}

#[test]
fn what_is_found_is_what_was_asked_for() {
    let mut shop = demo::shop();
    shop.bench.most_assemblies = 4;
    let setup = Setup::new(demo::axle(), shop, Condition::New, Condition::New).unwrap();
    for telling in [
        StoryKind::FirstTime,
        StoryKind::ManyTries,
        StoryKind::WronglyPassed,
        StoryKind::Compromise,
        StoryKind::GivenUp,
    ] {
        let found = find(&setup, 3, telling, &mut on);
        let SearchResult::Number(number) = found else {
            panic!("{telling:?}: {found:?}");
        };
        let story = follow(&setup, 3, number);
        match telling {
            StoryKind::FirstTime => {
                assert!(story.first.all() && story.rebuild.assemblies == 1);
            }
            StoryKind::ManyTries => {
                let most = (1..=MANY_AMONG)
                    .map(|n| setup.rebuild(Address::new(3, n - 1)))
                    .filter(|r| Ending::of(&setup, r).outcome == Outcome::Right)
                    .map(|r| r.assemblies)
                    .max();
                assert_eq!(Some(story.rebuild.assemblies), most);
            }
            StoryKind::WronglyPassed => {
                assert!(matches!(story.outcome, Outcome::WronglyPassed { .. }))
            }
            StoryKind::Compromise => assert!(story.rebuild.finished && story.rebuild.compromised),
            StoryKind::GivenUp => assert_eq!(story.outcome, Outcome::GivenUp),
        }
    }
}

#[test]
fn a_search_without_result_ends() {
    let mut shop = demo::shop();
    shop.bench.most_assemblies = 1_000_000;
    let setup = Setup::new(demo::axle(), shop, Condition::New, Condition::New).unwrap();
    let mut asked = 0;
    let broken_off = find(&setup, 3, StoryKind::GivenUp, &mut |_| {
        asked += 1;
        if asked > 2 {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    });
    assert_eq!(broken_off, SearchResult::BrokenOff(2048));
}
