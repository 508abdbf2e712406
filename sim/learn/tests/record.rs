//! A rebuild as it is written down.

use crate::axle::{Condition, SideSeat};
use crate::bench::setup::Setup;
use crate::bench::{Decision, Event};
use crate::chance::dice::Address;
use crate::demo;
use crate::follow::{Outcome, StoryStep, follow};
use crate::learn::recorded;
use crate::learn::shims_out::shims_out;

/// What was recorded is the rebuild that a run counts: assemblies, packs, readings and goes.
#[test]
fn a_record_is_the_rebuild_that_is_counted() {
    let setup = demo::setup();
    for number in 1..=200 {
        let address = Address::new(5, number - 1);
        let job = recorded(&setup, address);
        let story = follow(&setup, 5, number);
        let entries = &job.bench.assemblies;
        // the final assembly on the real bearings is bolted up once more, and is no further assembly
        let real = entries
            .iter()
            .filter(|entry| !entry.on_setup_bearings)
            .count();
        let finals = u32::from(real > 0);
        assert_eq!(entries.len() as u32, story.rebuild.assemblies + finals);
        assert_eq!(job.bench.assemblies_made(&setup), story.rebuild.assemblies);
        assert_eq!(job.hours, Some(story.minutes / 60.0));
        let last = entries.last().unwrap();
        let [pinion, ring, far, _] = story
            .rebuild
            .packs
            .map(|pack| pack.map(|pack| pack.printed));
        assert_eq!(
            [Some(last.pinion), Some(last.ring), Some(last.far)],
            [pinion, ring, far]
        );
        let told: Vec<f64> = (story.steps.iter())
            .filter_map(|step| match step {
                StoryStep::Event(Event::Torque { reading, .. }) => Some(*reading),
                StoryStep::Event(Event::Decision(Decision::SleeveTooFar)) => None,
                _ => None,
            })
            .collect();
        if let Some(torque) = entries.iter().rev().find(|entry| !entry.torque.is_empty()) {
            // those of the last sleeve
            assert!(told.ends_with(&torque.torque) || !last.torque.is_empty());
        }
    }
}

/// With screw adjusters the travel counts from the first assembly, and no turn is an assembly.
#[test]
fn adjusters_count_from_where_they_stood() {
    let mut axle = demo::axle();
    axle.side_shims.seat = SideSeat::ScrewAdjusters;
    let setup = Setup::new(axle, demo::shop(), Condition::New, Condition::New).unwrap();
    for number in 0..50 {
        let job = recorded(&setup, Address::new(6, number)).bench;
        let first = &job.assemblies[0];
        assert_eq!((first.ring, first.far), (0.0, 0.0));
        let total = first.zero_total.unwrap();
        assert!(total.abs() < 1.0, "{total}");
        assert_eq!((job.known.ring_pack, job.known.far_pack), (None, None));
    }
}

/// Minutes by task are those of the whole job; as many shims are spoiled as their series say, and as many
/// jobs clearly out come back as the shop says, no others.
#[test]
fn what_became_of_a_job_follows_the_shop() {
    let mut shop = demo::shop();
    shop.bench.most_assemblies = 4;
    let setup = Setup::new(demo::axle(), shop, Condition::New, Condition::New).unwrap();
    let share = |name: &str| setup.shop.series(name).unwrap().spoiled;
    let mut shims = [0.0; 2];
    let mut expected = [0.0; 2];
    let (mut back, mut clearly_out, mut given_up) = (0, 0, 0);
    for number in 1..=4_000 {
        let job = recorded(&setup, Address::new(9, number - 1));
        let minutes: f64 = job.minutes.iter().map(|(_, minutes)| minutes).sum();
        assert!((minutes / 60.0 - job.hours.unwrap()).abs() < 1e-6);
        let out = shims_out(&setup, &job.bench);
        for (i, ((name, out), (of, spoiled))) in out.iter().zip(&job.spoiled).enumerate() {
            assert_eq!(name, of);
            assert!(spoiled <= out);
            shims[i] += f64::from(*spoiled);
            expected[i] += share(name) * f64::from(*out);
        }
        if number <= 1_000 {
            let outcome = follow(&setup, 9, number).outcome;
            match job.comeback {
                None => assert_eq!(outcome, Outcome::GivenUp),
                Some(true) => assert!(outcome.is_clearly_out()),
                Some(false) => assert!(outcome != Outcome::GivenUp),
            }
            clearly_out += u32::from(outcome.is_clearly_out());
            given_up += u32::from(outcome == Outcome::GivenUp);
            back += u32::from(job.comeback == Some(true));
        }
    }
    for (shims, expected) in shims.into_iter().zip(expected) {
        // nearly a Poisson number: four standard deviations, once in ten thousand
        assert!(
            (shims - expected).abs() < 4.0 * expected.sqrt(),
            "{shims} for {expected}"
        );
    }
    assert!(back > 0 && back < clearly_out && given_up > 0);
}
