//! What jobs say of minutes.

use super::jobs;
use super::shims_out::{with, with_spacer};
use crate::axle::Condition;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::demo;
use crate::learn::minutes::times;
use crate::learn::operations::operations;
use crate::learn::recorded;

/// Counts read off what was written down are those of the rebuild, with a sleeve and with a spacer.
#[test]
fn operations_are_counted_as_they_were_done() {
    for setup in [demo::setup(), with(with_spacer)] {
        let mut given_up = 0;
        for number in 0..300 {
            let address = Address::new(9, number);
            let rebuild = setup.rebuild(address);
            let counted = operations(&setup, &recorded(&setup, address)).unwrap();
            assert_eq!(counted, rebuild.operations, "rebuild {number}");
            given_up += u32::from(!rebuild.finished);
        }
        println!("{given_up} given up");
    }
}

#[test]
fn look() {
    let (axle, mut shop) = (demo::axle(), demo::shop());
    shop.minutes.job_spread = 0.2;
    let s = &mut shop.minutes.strip;
    (s.least, s.usual, s.most) = (1.4 * s.least, 1.4 * s.usual, 1.4 * s.most);
    let other = Setup::new(axle, shop, Condition::New, Condition::New).unwrap();
    for tasks in [true, false] {
        let mut all = jobs(&other, 100, 3);
        for (_, job) in &mut all {
            if !tasks {
                job.minutes.clear();
            }
        }
        let found = times(&[demo::setup()], &all, 10.0);
        for (timed, of) in &found.minutes {
            println!("{timed:?} {of:?}");
        }
        println!("{:?}", found.job_spread);
    }
}
