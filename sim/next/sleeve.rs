//! A collapsible sleeve that is in: friction, seal and closure by the torques that were read of it.
//!
//! Every draw is played from zero closure. Readings that are not stated were below the aim; how many they
//! were is not known, so that the stated ones may begin after any turn.

use crate::bench::setup::{Preload, Setup};
use crate::chance::dice::{Address, Dice, Purpose};
use crate::next::curved::chance_of_torque;
use crate::next::model::step_of;

/// Turns after which the stated readings may begin, at the most.
const MOST_TURNS: u32 = 60;
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

/// Draws of equal weight, and the logarithm of how likely the readings are.
#[derive(Debug, Clone)]
pub(super) struct Sleeves {
    pub(super) all: Vec<Sleeve>,
    pub(super) log_evidence: f64,
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

    /// Sleeves as these readings leave them.
    pub(super) fn after(&self, readings: &[f64], address: Address, count: usize) -> Sleeves {
        let mut dice = address.stream(Purpose::Belief);
        let mut begun = Vec::new();
        let first = readings[0];
        for _ in 0..count {
            let mut sleeve = self.fresh(&mut dice);
            for _ in 0..MOST_TURNS {
                begun.push((sleeve, self.chance(first, &sleeve)));
                let unstated = self.read(self.torque(&sleeve), &mut dice);
                if unstated >= self.aim {
                    break;
                }
                sleeve.closure += self.turned(self.asked(unstated), &mut dice);
            }
        }
        let mut log_evidence = 0.0;
        let mut all = resample(&begun, count, &mut dice, &mut log_evidence);
        for pair in readings.windows(2) {
            let degrees = self.asked(pair[0]);
            let turned: Vec<(Sleeve, f64)> = all
                .iter()
                .map(|sleeve| {
                    let closure = sleeve.closure + self.turned(degrees, &mut dice);
                    let sleeve = Sleeve { closure, ..*sleeve };
                    (sleeve, self.chance(pair[1], &sleeve))
                })
                .collect();
            all = resample(&turned, count, &mut dice, &mut log_evidence);
        }
        Sleeves { all, log_evidence }
    }
}

/// As many draws of equal weight, each as often as its weight says.
fn resample(
    weighted: &[(Sleeve, f64)],
    count: usize,
    dice: &mut Dice,
    log_evidence: &mut f64,
) -> Vec<Sleeve> {
    let total: f64 = weighted.iter().map(|(_, weight)| weight).sum();
    *log_evidence += libm::log(total / count as f64);
    let start = dice.uniform();
    let mut chosen = Vec::with_capacity(count);
    let mut sum = 0.0;
    for (sleeve, weight) in weighted {
        sum += if total > 0.0 {
            weight / total * count as f64
        } else {
            count as f64 / weighted.len() as f64
        };
        while chosen.len() < count && chosen.len() as f64 + start < sum {
            chosen.push(*sleeve);
        }
    }
    if let Some(last) = chosen
        .last()
        .copied()
        .or(weighted.last().map(|(last, _)| *last))
    {
        chosen.resize(count, last);
    }
    chosen
}
