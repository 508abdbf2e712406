use std::f64::consts::{FRAC_PI_4, TAU};

use super::*;
use crate::tests::close;

#[test]
fn directions_are_exact_and_uniform() {
    let mut dice = Address::new(3, 0).stream(Purpose::Parts);
    let draws = 400_000;
    let mut counts = [0_u32; 64];
    for _ in 0..draws {
        let [cosine, sine] = dice.direction();
        let angle = libm::atan2(sine, cosine);
        close(cosine, libm::cos(angle), 2e-15);
        close(sine, libm::sin(angle), 2e-15);
        counts[((angle / TAU + 0.5) * 64.0) as usize % 64] += 1;
    }
    let expected = f64::from(draws) / 64.0;
    let squares: f64 = counts
        .iter()
        .map(|count| (f64::from(*count) - expected).powi(2) / expected)
        .sum();
    // chi-squared of 63 degrees of freedom: above 130 once in 10⁶ by chance
    assert!(squares < 130.0, "{squares}");
}

#[test]
fn directions_are_known_at_their_ends() {
    // no mirroring: bits of the share alone, from an eighth of a turn back to one on
    let [cosine, sine] = direction(0);
    close(cosine, libm::cos(FRAC_PI_4), 1e-15);
    close(sine, -libm::sin(FRAC_PI_4), 1e-15);
    assert_eq!(direction(1 << 63), [1.0, 0.0]);
    // swapped and mirrored
    assert_eq!(direction((1 << 63) | 0b101), [0.0, -1.0]);
    assert_eq!(direction((1 << 63) | 0b010), [-1.0, 0.0]);
}

#[test]
fn a_stream_aside_belongs_to_its_place() {
    let mut dice = Address::new(3, 1).stream(Purpose::Parts);
    let first = dice.aside().uniform();
    assert_eq!(dice.aside().uniform(), first);
    let drawn = dice.uniform();
    assert_ne!(drawn, first);
    assert_ne!(dice.aside().uniform(), first);
}

#[test]
fn two_figures_of_a_number_are_in_order_and_uniform() {
    let figures = Address::new(4, 0).numbered(Purpose::Minutes);
    let (mut smaller, mut larger) = (0.0, 0.0);
    let n = 100_000;
    for number in 0..n {
        let [least, most] = figures.two(number);
        assert!(least <= most);
        smaller += f64::from(least);
        larger += f64::from(most);
    }
    // of two uniform figures the smaller has mean 1/3, the larger 2/3, both variance 1/18
    let scale = n as f64 * 4_294_967_296.0;
    let error = crate::tests::SIGMAS / (18.0 * n as f64).sqrt();
    close(smaller / scale, 1.0 / 3.0, error);
    close(larger / scale, 2.0 / 3.0, error);
}
