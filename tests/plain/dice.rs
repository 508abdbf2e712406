//! The one source of chance of a run.

use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;

pub struct Dice {
    rng: Xoshiro256PlusPlus,
}

impl Dice {
    pub fn new(seed: u64) -> Self {
        Dice {
            rng: Xoshiro256PlusPlus::seed_from_u64(seed),
        }
    }

    /// Uniform between 0 and 1.
    pub fn unit(&mut self) -> f64 {
        self.rng.random::<f64>()
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// N(0, sigma).
    pub fn normal(&mut self, sigma: f64) -> f64 {
        let standard: f64 = StandardNormal.sample(&mut self.rng);
        sigma * standard
    }

    pub fn chance(&mut self, p: f64) -> bool {
        self.unit() < p
    }

    /// Triangular over [least, most] with its peak at `usual`.
    pub fn triangular(&mut self, [least, usual, most]: [f64; 3]) -> f64 {
        if most <= least {
            return usual;
        }
        let u = self.unit();
        let split = (usual - least) / (most - least);
        if u < split {
            least + (u * (most - least) * (usual - least)).sqrt()
        } else {
            most - ((1.0 - u) * (most - least) * (most - usual)).sqrt()
        }
    }
}

/// Rounded to the nearest multiple of `step`; a step of zero does not round.
pub fn round_to(x: f64, step: f64) -> f64 {
    if step > 0.0 {
        (x / step).round() * step
    } else {
        x
    }
}
