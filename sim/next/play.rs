//! Moves played on to the end of the job, all of them with the same figures.

use rayon::prelude::*;

use super::candidates::Candidate;
use super::state::State;
use crate::bench::job::Ending;
use crate::bench::money::PriceList;
use crate::bench::outcome::Outcome;
use crate::bench::setup::Setup;
use crate::bench::truth::Assembly;
use crate::bench::{Event, Guest, Source, Witness};
use crate::chance::dice::{Address, Dice, Purpose};
use crate::units::SLACK;

/// What a move came to from one draw of the belief.
#[derive(Debug, Clone, Copy)]
pub(super) struct Played {
    /// Whether the next assembly read inside; `None` where there was none.
    pub(super) reads_inside: Option<bool>,
    pub(super) outcome: Outcome,
    pub(super) assemblies: u32,
    pub(super) hours: f64,
    pub(super) cost: f64,
    /// The truth of the next assembly.
    pub(super) next: Option<Assembly>,
}

/// Plays a move on from every state.
pub(super) fn play(
    setup: &Setup,
    states: &[State],
    candidate: &Candidate,
    address: Address,
) -> Vec<Played> {
    let prices = PriceList::new(setup);
    let one = |(number, state): (usize, &State)| {
        play_one(
            setup,
            &prices,
            state,
            candidate,
            address.within(number as u64),
        )
    };
    states.par_iter().enumerate().map(one).collect()
}

fn play_one(
    setup: &Setup,
    prices: &PriceList<'_>,
    state: &State,
    candidate: &Candidate,
    address: Address,
) -> Played {
    let mut seen = NextReadings {
        setup,
        bolted: 0,
        backlash: None,
        rise: true,
        pattern: None,
        next: None,
    };
    let mut figures = Aligned::at(address);
    let rebuild = setup.carry_on(
        &state.parts,
        &state.standing,
        candidate.step,
        address,
        &mut seen,
        &mut figures,
    );
    let ending = Ending::of(setup, &rebuild);
    let minutes = setup.minutes(address, &rebuild);
    let outcome = ending.outcome;
    Played {
        reads_inside: seen.next.map(|_| seen.inside()),
        outcome,
        assemblies: rebuild.assemblies,
        hours: minutes / 60.0,
        cost: prices.bill(&rebuild, minutes, outcome).cost(),
        next: seen.next,
    }
}

/// Watches the readings of the first assembly that follows.
struct NextReadings<'a> {
    setup: &'a Setup,
    /// Times the axle was bolted up, the assembly that stands already included.
    bolted: u32,
    backlash: Option<bool>,
    rise: bool,
    pattern: Option<bool>,
    next: Option<Assembly>,
}

impl NextReadings<'_> {
    fn inside(&self) -> bool {
        self.backlash == Some(true) && self.rise && self.pattern == Some(true)
    }
}

impl Witness for NextReadings<'_> {
    const LISTENS: bool = true;

    fn hears(&mut self, event: impl FnOnce() -> Event) {
        if self.bolted > 2 {
            return;
        }
        let windows = &self.setup.reading_windows;
        match event() {
            Event::BoltedUp(truth) => {
                self.bolted += 1;
                if self.bolted == 2 {
                    self.next = Some(truth);
                }
            }
            Event::Backlash { readings, .. } if self.bolted == 2 && self.backlash.is_none() => {
                let least = readings.iter().fold(f64::INFINITY, |a, b| a.min(*b));
                let most = readings.iter().fold(f64::NEG_INFINITY, |a, b| a.max(*b));
                let variation = self.setup.axle.windows.backlash_variation;
                self.backlash = Some(
                    windows.backlash.holds(least)
                        && windows.backlash.holds(most)
                        && most - least <= variation + SLACK,
                );
            }
            Event::TorqueRise { reading, .. } if self.bolted == 2 && self.pattern.is_none() => {
                self.rise = windows.rise.holds(reading);
            }
            Event::Pattern { readings, .. } if self.bolted == 2 && self.pattern.is_none() => {
                let inside = |read: &f64| read.abs() <= windows.pattern_profile + SLACK;
                self.pattern = Some(readings.iter().all(inside));
            }
            _ => {}
        }
    }
}

/// Figures purpose by purpose, so that what one move needs more of shifts no others.
struct Aligned {
    dice: [Dice; Source::ALL.len()],
    seating: Dice,
}

impl Aligned {
    fn at(address: Address) -> Self {
        let of = |source: Source| address.within(source as u64).stream(Purpose::Onwards);
        Self {
            dice: Source::ALL.map(of),
            seating: address
                .within(Source::ALL.len() as u64)
                .stream(Purpose::Onwards),
        }
    }
}

impl Guest for Aligned {
    fn normal(&mut self, source: Source, _: impl FnOnce() -> f64) -> f64 {
        self.dice[source as usize].normal()
    }

    fn uniform(&mut self, source: Source, _: impl FnOnce() -> f64) -> f64 {
        self.dice[source as usize].uniform()
    }

    fn reseating(&mut self) -> Option<&mut Dice> {
        Some(&mut self.seating)
    }
}
