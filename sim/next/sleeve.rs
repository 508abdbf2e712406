//! A collapsible sleeve that is in: friction, seal and closure by the torques that were read of it.
//!
//! Every draw is played from zero closure. Readings that are not stated were below the aim; how many they
//! were is not known, so that the stated ones may begin after any turn.

use rayon::prelude::*;

use crate::bench::setup::{Preload, Setup};
use crate::chance::dice::{Address, Dice, Purpose};
use crate::next::curved::chance_of_torque;
use crate::next::model::step_of;

/// Turns after which the stated readings may begin, at the most.
const MOST_TURNS: u32 = 60;
/// Sleeves that are played at first, and at the most, until they are worth so many; and how many are hopeless
/// where they are worth so few.
const FEWEST: usize = 1 << 15;
const MOST: usize = 1 << 19;
const WORTH: f64 = 16_384.0;
const MANY: usize = 1 << 17;
const HARDLY_ANY: f64 = 20.0;
/// Sleeves in one block.
const BLOCK: usize = 1 << 8;
/// A smaller chance than this is none.
const NO_CHANCE: f64 = 1e-12;
/// The smallest turn of the nut, degrees.
const LEAST_TURN: f64 = 1.0;

/// A sleeve as it may be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Sleeve {
    /// μ of the pinion bearings, N·m per kN.
    pub(super) friction: f64,
    /// Seal drag, N·m.
    pub(super) drag: f64,
    /// Closure of the pinion bearings, mm.
    pub(super) closure: f64,
}

/// Draws of equal weight, in an order that has nothing to do with them.
#[derive(Debug, Clone)]
pub(super) struct Sleeves {
    pub(super) all: Vec<Sleeve>,
    /// Logarithm of how likely the readings are.
    pub(super) log_evidence: f64,
    /// How many independent draws they are worth.
    pub(super) worth: f64,
}

/// The nut on a sleeve, as the shop turns it.
#[derive(Clone, Copy)]
pub(super) struct Nut<'a> {
    setup: &'a Setup,
    pub(super) aim: f64,
    degrees_per_torque: f64,
    pub(super) closure_per_degree: f64,
}

impl<'a> Nut<'a> {
    pub(super) fn of(setup: &'a Setup) -> Option<Self> {
        match setup.preload {
            Preload::Sleeve {
                aim,
                degrees_per_torque,
                closure_per_degree,
            } => Some(Self {
                setup,
                aim,
                degrees_per_torque,
                closure_per_degree,
            }),
            Preload::Spacer { .. } => None,
        }
    }

    /// True torque of a sleeve, N·m.
    pub(super) fn torque(&self, sleeve: &Sleeve) -> f64 {
        sleeve.drag + 1e-3 * sleeve.friction * self.setup.pinion_pair.force(sleeve.closure)
    }

    /// A sleeve before the first turn.
    fn fresh(&self, dice: &mut Dice) -> Sleeve {
        let preload = &self.setup.axle.pinion_preload;
        let worn = self.setup.axle.friction_of(self.setup.bearings);
        Sleeve {
            friction: worn * preload.torque_per_force.draw(dice),
            drag: preload.seal_drag.draw(dice),
            closure: 0.0,
        }
    }

    /// The turn that a reading asks for, degrees.
    pub(super) fn asked(&self, reading: f64) -> f64 {
        let needed = (self.aim - reading) * self.degrees_per_torque;
        needed
            .max(LEAST_TURN)
            .min(self.setup.shop.bench.sleeve_step)
    }

    /// What a turn gives, mm.
    pub(super) fn turned(&self, degrees: f64, dice: &mut Dice) -> f64 {
        let nut = self.setup.shop.instruments.nut;
        let mut turned = degrees + nut.sigma * dice.normal();
        if dice.chance(nut.slip) {
            turned += nut.slip_by;
        }
        turned.max(0.0) * self.closure_per_degree
    }

    pub(super) fn read(&self, torque: f64, dice: &mut Dice) -> f64 {
        let instrument = self.setup.shop.instruments.torque;
        let sigma = (instrument.share * torque).hypot(instrument.sigma);
        self.setup
            .graduations
            .torque
            .round(torque + sigma * dice.normal())
    }

    fn chance(&self, reading: f64, sleeve: &Sleeve) -> f64 {
        let instrument = self.setup.shop.instruments.torque;
        let step = step_of(reading, instrument.step);
        let log = chance_of_torque(
            reading,
            self.torque(sleeve),
            [instrument.sigma, instrument.share],
            step,
        );
        libm::exp(log)
    }

    /// Plays a sleeve until a reading ends the turning; gives all readings.
    pub(super) fn play(&self, dice: &mut Dice) -> Vec<f64> {
        let mut sleeve = self.fresh(dice);
        let mut readings = Vec::new();
        for _ in 0..MOST_TURNS {
            let reading = self.read(self.torque(&sleeve), dice);
            readings.push(reading);
            if reading >= self.aim {
                break;
            }
            sleeve.closure += self.turned(self.asked(reading), dice);
        }
        readings
    }

    /// Sleeves as these readings leave them: more of them, until they are worth enough.
    pub(super) fn after_enough(&self, readings: &[f64], address: Address) -> Sleeves {
        let mut count = FEWEST;
        loop {
            let sleeves = self.after(readings, address, count);
            // where hardly any fits, more of them say no more
            let hopeless = count >= MANY && sleeves.worth < HARDLY_ANY;
            if sleeves.worth >= WORTH || count >= MOST || hopeless {
                return sleeves;
            }
            count *= 4;
        }
    }

    /// Sleeves as these readings leave them, of so many that are played.
    pub(super) fn after(&self, readings: &[f64], address: Address, count: usize) -> Sleeves {
        let (first, others) = (readings[0], readings.windows(2));
        let blocks = count.div_ceil(BLOCK);
        let begun: Vec<Vec<Weighted>> = (0..blocks)
            .into_par_iter()
            .map(|block| self.begun(first, address, block))
            .collect();
        let mut dice = address.stream(Purpose::Belief);
        let mut pool = Pool::of(&begun.concat(), blocks * BLOCK, &mut dice);
        for pair in others {
            let degrees = self.asked(pair[0]);
            let turned: Vec<Weighted> = pool
                .all
                .iter()
                .map(|(sleeve, number)| {
                    let closure = sleeve.closure + self.turned(degrees, &mut dice);
                    let sleeve = Sleeve { closure, ..*sleeve };
                    (sleeve, *number, self.chance(pair[1], &sleeve))
                })
                .collect();
            let before = pool.log_evidence;
            pool = Pool::of(&turned, turned.len(), &mut dice);
            pool.log_evidence += before;
        }
        let worth = pool.worth();
        let mut all: Vec<Sleeve> = pool.all.into_iter().map(|(sleeve, _)| sleeve).collect();
        // those that are alike lie side by side
        dice.shuffle(&mut all);
        Sleeves {
            all,
            log_evidence: pool.log_evidence,
            worth,
        }
    }

    /// A block of sleeves, after every turn at which the stated readings may begin, with the chance of the
    /// first of them.
    fn begun(&self, first: f64, address: Address, block: usize) -> Vec<Weighted> {
        let mut dice = address.within(block as u64).stream(Purpose::Belief);
        let mut begun = Vec::new();
        for number in block * BLOCK..(block + 1) * BLOCK {
            let mut sleeve = self.fresh(&mut dice);
            for _ in 0..MOST_TURNS {
                let chance = self.chance(first, &sleeve);
                let unstated = self.read(self.torque(&sleeve), &mut dice);
                let ends = unstated >= self.aim;
                // the last one in any case: something stands on the bench, however unlikely it reads
                if chance > NO_CHANCE || ends {
                    begun.push((sleeve, number as u32, chance));
                }
                if ends {
                    break;
                }
                sleeve.closure += self.turned(self.asked(unstated), &mut dice);
            }
        }
        begun
    }
}

/// A sleeve, its number among those that were begun, and its weight.
type Weighted = (Sleeve, u32, f64);

/// Draws of equal weight, on the way through the readings.
struct Pool {
    all: Vec<(Sleeve, u32)>,
    log_evidence: f64,
}

impl Pool {
    /// So many of weighted draws, each as often as its weight says.
    fn of(weighted: &[Weighted], count: usize, dice: &mut Dice) -> Self {
        let total: f64 = weighted.iter().map(|(.., weight)| weight).sum();
        let start = dice.uniform();
        let mut all = Vec::with_capacity(count);
        let mut sum = 0.0;
        for (sleeve, number, weight) in weighted {
            sum += match total > 0.0 {
                true => weight / total * count as f64,
                false => count as f64 / weighted.len() as f64,
            };
            while all.len() < count && all.len() as f64 + start < sum {
                all.push((*sleeve, *number));
            }
        }
        if let Some((sleeve, number, _)) = weighted.last() {
            all.resize(count, (*sleeve, *number));
        }
        Self {
            all,
            log_evidence: libm::log(total / count as f64),
        }
    }

    /// How many independent draws they are worth: (Σn)²/Σn², n those that were one sleeve at the beginning.
    fn worth(&self) -> f64 {
        let mut numbers: Vec<u32> = self.all.iter().map(|(_, number)| *number).collect();
        numbers.sort_unstable();
        let counts = numbers.chunk_by(|a, b| a == b).map(|of| of.len() as f64);
        let squares: f64 = counts.map(|count| count * count).sum();
        let all = self.all.len() as f64;
        if squares > 0.0 {
            all * all / squares
        } else {
            0.0
        }
    }
}
