//! Readings to expect of the next assembly.

use super::answer::{Expected, Quantiles};
use super::figures::quantiles;
use super::play::Played;
use crate::bench::setup::Setup;
use crate::bench::truth::Assembly;
use crate::chance::dice::{Address, Dice, Purpose};

/// What is to be read of the assemblies that a move came to: once each.
pub(super) fn expected(setup: &Setup, played: &[Played], address: Address) -> Expected {
    let mut columns: [Vec<f64>; 4] = Default::default();
    for (number, truth) in played.iter().filter_map(|one| one.next).enumerate() {
        let mut dice = address.within(number as u64).stream(Purpose::Readings);
        for (column, read) in columns.iter_mut().zip(read(setup, &truth, &mut dice)) {
            column.push(read);
        }
    }
    let even = vec![1.0; columns[0].len()];
    let [smallest, largest, drive, coast] =
        columns.map(|column| -> Quantiles { quantiles(&column, &even) });
    Expected {
        smallest,
        largest,
        drive,
        coast,
    }
}

/// The smallest and the largest backlash reading round the ring, and the pattern on drive and coast.
fn read(setup: &Setup, truth: &Assembly, dice: &mut Dice) -> [f64; 4] {
    let instruments = &setup.shop.instruments;
    let graduations = &setup.graduations;
    let [cosine, sine] = dice.direction();
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for [x, y] in &setup.round_the_ring {
        let here = truth.backlash + truth.swing * (x * cosine - y * sine);
        let shown = here.max(0.0) * setup.reading_factor + instruments.dial.sigma * dice.normal();
        let read = graduations.dial.round(shown).max(0.0);
        (least, most) = (read.min(least), read.max(most));
    }
    let [_, drive, _, coast] = truth.pattern;
    let [drive, coast] = [drive, coast].map(|profile| {
        let shown = profile + instruments.pattern.profile * dice.normal();
        graduations.pattern.round(shown)
    });
    [least, most, drive, coast]
}
