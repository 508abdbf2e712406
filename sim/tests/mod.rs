use std::ops::ControlFlow;
#[test]
fn look() {
    let setup = crate::fixture::setup();
    println!("{:?} {:?}", setup.geometry.ring_pitch_angle.to_degrees(), setup.rates);
    let t = std::time::Instant::now();
    let odds = crate::odds::odds(&setup, 1, crate::run::Until::Rebuilds(400_000), &mut |_| ControlFlow::Continue(()));
    println!("{:?}", t.elapsed());
    println!("{:#?}", odds.first_assembly);
    println!("{:#?}", odds.handed_over); println!("{:?}", odds.pinion_torque);
    let mut e = odds.effort.clone(); e.assembly_shares.clear();
    println!("{:#?}", e);
    println!("{:?}", odds.spread);
    println!("{:?}", odds.spread.depth.deviation());
    println!("{:?}", odds.spread.backlash.deviation());
    println!("{:?}", odds.spread.closure.deviation());
}
