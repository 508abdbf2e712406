//! Readings of instruments, from the truth.

use super::{Bench, Event, Guest, Source, Witness};
use crate::bench::graduation::above_zero;
use crate::bench::minutes::Operation;
use crate::units::SLACK;

/// Backlash read round the ring, mm, in the shop indicator's terms.
pub(super) struct Backlash {
    pub(super) least: f64,
    pub(super) most: f64,
    pub(super) mean: f64,
    /// Distance of the worst point outside the technician's window; negative inside.
    pub(super) outside: f64,
}

impl Backlash {
    /// Whether every point lies inside.
    pub(super) fn inside(&self) -> bool {
        self.outside <= SLACK
    }

    pub(super) fn variation(&self) -> f64 {
        self.most - self.least
    }
}

impl<W: Witness, G: Guest> Bench<'_, W, G> {
    /// Reads backlash at equally spaced points: each max(0, true)·factor + N(0, dial), rounded,
    /// not below zero.
    pub(super) fn read_backlash(&mut self) -> Backlash {
        self.go(Operation::ReadBacklash);
        let setup = self.setup;
        let dial = setup.shop.instruments.dial;
        let [x, y] = self.runout;
        let (mut least, mut most, mut sum) = (f64::INFINITY, f64::NEG_INFINITY, 0.0);
        let backlash = self.truth.backlash;
        let mut readings = Vec::new();
        for [cosine, sine] in &setup.round_the_ring {
            let here = backlash + 0.5 * (x * cosine - y * sine);
            let shown = above_zero(here) * setup.reading_factor
                + dial.sigma * self.dice.normal(Source::Dial);
            let reading = above_zero(setup.graduations.dial.round(shown));
            // not by `min` and `max`, whose handling of NaN costs time
            if reading < least {
                least = reading;
            }
            if reading > most {
                most = reading;
            }
            sum += reading;
            // no witness listens in a run
            if W::LISTENS {
                readings.push(reading);
            }
        }
        let swing = self.truth.swing;
        self.witness.hears(|| Event::Backlash {
            readings,
            truth: [backlash - swing, backlash + swing],
        });
        Backlash {
            least,
            most,
            mean: sum / setup.round_the_ring.len() as f64,
            outside: (setup.reading_windows.backlash.low - least)
                .max(most - setup.reading_windows.backlash.high),
        }
    }

    /// Paints the teeth and reads the pattern's profile on drive and coast side.
    pub(super) fn read_pattern(&mut self) -> [f64; 2] {
        self.go(Operation::ReadPattern);
        let sigma = self.setup.shop.instruments.pattern.profile;
        let rounding = self.setup.graduations.pattern;
        let [_, drive, _, coast] = self.truth.pattern;
        let readings = [drive, coast]
            .map(|profile| rounding.round(profile + sigma * self.dice.normal(Source::Pattern)));
        self.witness.hears(|| Event::Pattern {
            truth: [drive, coast],
            readings,
        });
        readings
    }

    /// Reads the rise of the turning torque with the carrier in, N·m: the mean of several readings
    /// with it less the mean of as many without.
    pub(super) fn read_torque_rise(&mut self) -> f64 {
        let setup = self.setup;
        let gears = &setup.axle.gears;
        let rise = 1e-3
            * self.parts.side_friction
            * setup.side_pair.force(self.truth.closure)
            * f64::from(gears.pinion_teeth)
            / f64::from(gears.ring_teeth);
        let instrument = setup.shop.instruments.torque;
        let rounding = setup.graduations.torque;
        let shown = rise * (1.0 + instrument.share * self.dice.normal(Source::Torque));
        let middle = setup.torque_window.middle();
        let readings = setup.shop.bench.torque_readings;
        let mut mean_of = |torque: f64| {
            (0..readings)
                .map(|_| {
                    rounding.round(torque + instrument.sigma * self.dice.normal(Source::Torque))
                })
                .sum::<f64>()
                / f64::from(readings)
        };
        let reading = mean_of(shown + middle) - mean_of(middle);
        self.witness.hears(|| Event::TorqueRise {
            truth: rise,
            reading,
        });
        reading
    }

    /// Reads the torque that turns the pinion alone, N·m.
    pub(super) fn read_torque(&mut self, truth: f64) -> f64 {
        let instrument = self.setup.shop.instruments.torque;
        // the sum of two independent normal errors is one normal error
        let of_truth = instrument.share * truth;
        let sigma = (of_truth * of_truth + instrument.sigma * instrument.sigma).sqrt();
        let shown = truth + sigma * self.dice.normal(Source::Torque);
        self.setup.graduations.torque.round(shown)
    }
}
