use super::close;
use crate::axle::bearings::Pair;
use crate::units::{MM_PER_INCH, NM_PER_LBF_IN};

fn pinion() -> Pair {
    Pair::new(5.4e-6 + 7.5e-6, 200.0)
}

#[test]
fn closure_by_hand() {
    // c = (5.4e-6 + 7.5e-6)·F^0.9 + F/200, in µm at these forces, rounded
    for (kilonewton, micrometre) in [(2.0, 22.0), (5.0, 53.0), (8.0, 82.0), (10.0, 101.0)] {
        close(1e3 * pinion().closure(1e3 * kilonewton), micrometre, 0.5);
    }
}

#[test]
fn force_is_the_inverse_of_closure() {
    let pair = pinion();
    for i in 1..4000 {
        let force = 0.5 * f64::from(i) * f64::from(i) / 100.0;
        let closure = pair.closure(force);
        let within = if closure < 0.01 { 1.0 } else { 1e-5 * force };
        close(pair.force(closure), force, within);
    }
    // beyond the table as well
    close(pair.force(pair.closure(2e5)), 2e5, 2.0);
    assert_eq!(pair.force(0.0), 0.0);
    assert_eq!(pair.force(-0.3), 0.0);
}

#[test]
fn stiffness_is_the_slope() {
    let pair = pinion();
    for force in [500.0, 5e3, 2e4] {
        let slope = 2.0 / (pair.closure(force + 1.0) - pair.closure(force - 1.0));
        close(pair.stiffness(force), slope, 1e-5 * slope);
    }
    assert_eq!(pair.stiffness(0.0), 0.0);
}

#[test]
fn a_shim_step_on_a_solid_spacer() {
    // one builder's reading: about 7 lbf·in for 0.001 in; 4 to 9 are accepted
    let (pair, friction, seal) = (Pair::new(6.5e-6 + 8.5e-6, 200.0), 0.26, 2.2 * NM_PER_LBF_IN);
    let middle = 19.0 * NM_PER_LBF_IN;
    let closure = pair.closure(1e3 * (middle - seal) / friction);
    let torque = |c: f64| seal + 1e-3 * friction * pair.force(c);
    let step = torque(closure + 0.001 * MM_PER_INCH) - torque(closure);
    let pound_inches = step / NM_PER_LBF_IN;
    assert!((4.0..=9.0).contains(&pound_inches), "{pound_inches}");
}
