//! What moves and counts say.

use super::jobs;
use crate::axle::Condition;
use crate::bench::setup::Setup;
use crate::demo;
use crate::learn::beliefs::{depth_belief, ring_belief};
use crate::learn::shares::{comebacks, spoiled};

#[test]
fn look() {
    let (axle, mut shop) = (demo::axle(), demo::shop());
    println!("{} {}", shop.bench.ring_belief, shop.bench.depth_belief);
    shop.bench.ring_belief = 0.9;
    shop.bench.depth_belief = 1.8;
    shop.shims
        .iter_mut()
        .for_each(|series| series.spoiled = 0.15);
    let other = Setup::new(axle, shop, Condition::New, Condition::New).unwrap();
    for count in [30, 100, 1000] {
        let all = jobs(&other, count, 3);
        let kinds = [demo::setup()];
        println!("{:?}", ring_belief(&kinds, &all, 10.0));
        println!("{:?}", depth_belief(&kinds, &all, 10.0));
        println!("{:?}", spoiled(&kinds, &all, 10.0));
        println!("{:?}", comebacks(&kinds, &all, 10.0, 1));
    }
}
