use super::*;
use crate::axle::Condition;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::demo;
use crate::shop::{Shop, Span};
use crate::tests::close;

fn set_up(shop: Shop) -> Setup {
    Setup::new(demo::axle(), shop, Condition::New, Condition::New).unwrap()
}

fn fixed(usual: f64) -> Span {
    Span {
        least: usual,
        usual,
        most: usual,
    }
}

#[test]
fn a_timesheet_adds_up_to_the_minutes_to_the_last_digit() {
    for bearings in [Condition::New, Condition::Kept] {
        let setup = Setup::new(demo::axle(), demo::shop(), Condition::New, bearings).unwrap();
        for index in 0..3000 {
            let address = Address::new(4, index);
            let rebuild = setup.rebuild(address);
            let sheet = setup.timesheet(address, &rebuild);
            assert_eq!(sheet.minutes, setup.minutes(address, &rebuild));
            let ticks: i64 = sheet.first.iter().chain(&sheet.repeats).sum();
            assert_eq!(
                ticks as f64,
                (sheet.minutes * TICKS_A_MINUTE).round_ties_even()
            );
        }
    }
}

#[test]
fn first_goes_and_repeats_are_told_apart() {
    let mut shop = demo::shop();
    let minutes = &mut shop.minutes;
    minutes.job_spread = 0.0;
    minutes.strip = fixed(100.0);
    minutes.read_backlash = fixed(8.0);
    minutes.sleeve = fixed(25.0);
    minutes.sleeve_again = fixed(40.0);
    let setup = set_up(shop);
    let mut seen_again = false;
    for index in 0..300 {
        let address = Address::new(4, index);
        let rebuild = setup.rebuild(address);
        let sheet = setup.timesheet(address, &rebuild);
        let told = |task: Task| {
            [sheet.first, sheet.repeats].map(|side| side[task as usize] as f64 / TICKS_A_MINUTE)
        };
        let goes = |operation| f64::from(rebuild.operations.at(operation));
        let reads = goes(Operation::ReadBacklash);
        let again = goes(Operation::SleeveAgain);
        for (task, wanted) in [
            (Task::Strip, [100.0, 0.0]),
            (Task::ReadBacklash, [8.0, 8.0 * (reads - 1.0)]),
            (Task::Sleeve, [25.0, 40.0 * again]),
            (Task::SpacerChange, [0.0, 0.0]),
        ] {
            for (told, wanted) in told(task).into_iter().zip(wanted) {
                // the sums before it are rounded to ticks of 2⁻⁴⁰ minutes
                assert!((told - wanted).abs() < 1e-11, "{task:?} {told} {wanted}");
            }
        }
        seen_again |= again > 0.0;
    }
    assert!(seen_again);
}

#[test]
fn minutes_are_those_of_the_goes() {
    let mut shop = demo::shop();
    shop.minutes.job_spread = 0.0;
    let m = &mut shop.minutes;
    for (span, minutes) in [
        (&mut m.strip, 100.0),
        (&mut m.first_assembly, 70.0),
        (&mut m.read_backlash, 8.0),
        (&mut m.read_pattern, 10.0),
        (&mut m.reseat_ring, 45.0),
        (&mut m.sleeve, 25.0),
        (&mut m.sleeve_again, 40.0),
        (&mut m.final_assembly, 75.0),
        (&mut m.refit, 50.0),
    ] {
        *span = fixed(minutes);
    }
    m.side_change[0] = fixed(20.0);
    m.pinion_change[0] = fixed(65.0);
    let setup = set_up(shop);
    for index in 0..300 {
        let address = Address::new(5, index);
        let rebuild = setup.rebuild(address);
        let goes = |operation| f64::from(rebuild.operations.at(operation));
        use Operation::*;
        let expected = 100.0 + 70.0 + 50.0
            + 75.0 * goes(FinalAssembly)
            + 8.0 * goes(ReadBacklash)
            + 10.0 * goes(ReadPattern)
            + 20.0 * f64::from(rebuild.side_changes)
            + 65.0 * goes(PinionChange)
            // set-up bearings save 20 minutes of pressing
            + 45.0 * goes(TrialPinionChange)
            + 45.0 * f64::from(rebuild.reseats)
            + 25.0 * goes(Sleeve)
            + 40.0 * goes(SleeveAgain);
        close(setup.minutes(address, &rebuild), expected, 1e-9);
    }
}

#[test]
fn no_go_takes_less_than_nothing() {
    let mut shop = demo::shop();
    shop.minutes.setup_bearing_saves = 1000.0;
    let with = set_up(shop.clone());
    shop.minutes.pinion_change[0] = fixed(0.0);
    let free = set_up(shop);
    let mut changed = 0;
    for index in 0..300 {
        let address = Address::new(5, index);
        let rebuild = with.rebuild(address);
        if rebuild.operations.at(Operation::TrialPinionChange) > 0
            && rebuild.operations.at(Operation::PinionChange) == 0
        {
            changed += 1;
            assert!(with.minutes(address, &rebuild) > 0.5 * free.minutes(address, &rebuild));
        }
    }
    assert!(changed > 30);
}

#[test]
fn a_go_is_triangular() {
    use statrs::distribution::{ContinuousCDF, Triangular};
    const DRAWS: u64 = 40_000;
    for (least, usual, most) in [(5.0, 8.0, 15.0), (0.0, 4.0, 4.0), (3.0, 3.0, 9.0)] {
        let time = Time::new(Span { least, usual, most }, 0.0);
        let figures = Address::new(9, 0).numbered(Purpose::Minutes);
        let mut minutes: Vec<f64> = (0..DRAWS)
            .map(|number| time.draw(figures, number) / TICKS)
            .collect();
        minutes.sort_by(f64::total_cmp);
        let cdf = Triangular::new(least, most, usual).unwrap();
        let distance = minutes
            .iter()
            .zip(0..)
            .map(|(x, i)| (cdf.cdf(*x) - f64::from(i) / DRAWS as f64).abs())
            .fold(0.0, f64::max);
        // Kolmogorov and Smirnov's test: by chance alone it fails once in 100 000
        assert!(distance < 2.47 / (DRAWS as f64).sqrt(), "{distance}");
    }
}
