//! Draws of one variable from its own law times what the normal approximation leaves of it: by tables, with
//! a weight for what a table rounds off.
//!
//! With all later variables drawn, a variable x has the normal density scale·φ(scale·x − left), in which its
//! own law is taken as standard normal.

use std::f64::consts::{PI, SQRT_2};
use std::sync::LazyLock;

use super::approximation::Pseudo;
use super::likelihood::Likelihood;
use super::variables::RunoutSize;
use crate::axle::density::Density;
use crate::chance::dice::Dice;

/// Cells of a table.
const CELLS: usize = 48;
/// Deviations to either side within which a figure is looked for.
const FAR: f64 = 8.0;

/// What was drawn, with the logarithm of its weight.
pub(super) struct Drawn {
    pub(super) value: f64,
    pub(super) log_weight: f64,
}

/// A cell chosen with a chance in proportion to the exponential of its logarithm.
struct Chosen {
    cell: usize,
    /// Logarithm of its chance.
    log_chance: f64,
}

fn choose(logs: &mut [f64], dice: &mut Dice) -> Chosen {
    let largest = logs
        .iter()
        .fold(f64::NEG_INFINITY, |most, log| most.max(*log));
    if largest == f64::NEG_INFINITY {
        let count = logs.len() as f64;
        return Chosen {
            cell: ((dice.uniform() * count) as usize).min(logs.len() - 1),
            log_chance: -libm::log(count),
        };
    }
    let mut sum = 0.0;
    for log in logs.iter_mut() {
        // what a table puts at next to nothing is drawn rarely, but it is drawn
        sum += libm::exp(*log - largest) + 1e-7;
        *log = sum;
    }
    let at = dice.uniform() * sum;
    let cell = logs.partition_point(|upto| *upto <= at).min(logs.len() - 1);
    let own = logs[cell] - if cell > 0 { logs[cell - 1] } else { 0.0 };
    Chosen {
        cell,
        log_chance: libm::log(own / sum),
    }
}

/// Logarithm of the normal density over that of a standard normal variable.
fn log_left(scale: f64, left: f64, x: f64) -> f64 {
    let off = scale * x - left;
    libm::log(scale) - 0.5 * off * off + 0.5 * x * x
}

/// One of listed values.
pub(super) fn listed(values: &[[f64; 2]], scale: f64, left: f64, dice: &mut Dice) -> Drawn {
    let log = |[x, chance]: [f64; 2]| libm::log(chance) + log_left(scale, left, x);
    let mut logs: Vec<f64> = values.iter().map(|value| log(*value)).collect();
    let chosen = choose(&mut logs, dice);
    let value = values[chosen.cell];
    Drawn {
        value: value[0],
        log_weight: log(value) - chosen.log_chance,
    }
}

/// A figure between two limits by a table of the logarithm of its density.
fn between(low: f64, high: f64, log: impl Fn(f64) -> f64, dice: &mut Dice) -> Drawn {
    let width = (high - low) / CELLS as f64;
    let mut logs = [0.0; CELLS];
    for (cell, value) in logs.iter_mut().enumerate() {
        *value = log(low + (cell as f64 + 0.5) * width);
    }
    let chosen = choose(&mut logs, dice);
    let value = low + (chosen.cell as f64 + dice.uniform()) * width;
    Drawn {
        value,
        log_weight: log(value) - chosen.log_chance + libm::log(width),
    }
}

/// Cosine and sine at the middle of each cell of a turn, or of half of one.
struct Angles {
    turn: f64,
    middles: LazyLock<[[f64; 2]; CELLS]>,
}

static HALF_TURN: Angles = Angles {
    turn: PI,
    middles: LazyLock::new(|| middles(PI)),
};
static WHOLE_TURN: Angles = Angles {
    turn: 2.0 * PI,
    middles: LazyLock::new(|| middles(2.0 * PI)),
};

fn middles(turn: f64) -> [[f64; 2]; CELLS] {
    std::array::from_fn(|cell| {
        let angle = (cell as f64 + 0.5) * turn / CELLS as f64;
        [libm::cos(angle), libm::sin(angle)]
    })
}

impl Angles {
    /// A direction by a table of the logarithm of its density; the weight is against an even density of
    /// the angle.
    fn draw(&self, log: impl Fn([f64; 2]) -> f64, dice: &mut Dice) -> ([f64; 2], f64) {
        let mut logs = self.middles.map(&log);
        let chosen = choose(&mut logs, dice);
        let angle = (chosen.cell as f64 + dice.uniform()) * self.turn / CELLS as f64;
        let direction = [libm::cos(angle), libm::sin(angle)];
        let even = libm::log(CELLS as f64);
        (direction, log(direction) - chosen.log_chance - even)
    }
}

/// A figure with a density.
pub(super) fn density(density: &Density, scale: f64, left: f64, dice: &mut Dice) -> Drawn {
    let (mean, deviation) = (density.mean, density.deviation);
    let (low, high) = density.range();
    let (mut low, mut high) = ((low - mean) / deviation, (high - mean) / deviation);
    let known = scale * scale - 1.0;
    if known > 1e-9 {
        // what all else says of it
        let (at, apart) = (scale * left / known, FAR / known.sqrt());
        if at + apart > low && at - apart < high {
            (low, high) = (low.max(at - apart), high.min(at + apart));
        } else if at >= high {
            low = low.max(high - apart);
        } else {
            high = high.min(low + apart);
        }
    }
    let constant = libm::log(deviation * scale);
    let log = |x: f64| {
        let off = scale * x - left;
        constant + density.log_at(mean + deviation * x) - 0.5 * off * off + 0.5 * x * x
    };
    between(low, high, log, dice)
}

/// A likelihood along a level.
pub(super) struct Along<'a> {
    pub(super) likelihood: &'a Likelihood,
    pub(super) pseudo: Pseudo,
    pub(super) constant: f64,
    /// The figure where the level is zero, and how much it grows with it.
    pub(super) at_zero: f64,
    pub(super) slope: f64,
}

/// A level by the likelihoods that depend on it; their weight is taken later, with all others.
pub(super) fn level(sites: &[Along<'_>], scale: f64, left: f64, dice: &mut Dice) -> Drawn {
    // what is left without the normal likelihoods of these sites
    let (mut precision, mut shift) = (scale * scale, scale * left);
    let (mut least, mut most) = (f64::NEG_INFINITY, f64::INFINITY);
    for site in sites {
        let off = site.at_zero - site.constant;
        precision -= site.pseudo.tau * site.slope * site.slope;
        shift -= site.slope * (site.pseudo.h - site.pseudo.tau * off);
        let (low, high) = site.likelihood.range();
        least = least.max((low - site.at_zero) / site.slope);
        most = most.min((high - site.at_zero) / site.slope);
    }
    let precision = precision.max(1e-3 * scale * scale);
    let (at, apart) = (shift / precision, FAR / precision.sqrt());
    let (mut low, mut high) = ((at - apart).max(least), (at + apart).min(most));
    if low >= high {
        (low, high) = (at - apart, at + apart);
    }
    let constant = libm::log(scale) - 0.918_938_533_204_672_7;
    let normal = |x: f64| {
        let off = scale * x - left;
        constant - 0.5 * off * off
    };
    let log = |x: f64| {
        let ratios = sites.iter().map(|site| {
            let truth = site.at_zero + site.slope * x;
            let off = truth - site.constant;
            let pseudo = site.pseudo;
            site.likelihood.log(truth) - (pseudo.h - 0.5 * pseudo.tau * off) * off
        });
        normal(x) + ratios.sum::<f64>()
    };
    let drawn = between(low, high, log, dice);
    Drawn {
        log_weight: drawn.log_weight - log(drawn.value) + normal(drawn.value),
        ..drawn
    }
}

/// Two variables at once: |U·x − left|² with U upper triangular.
pub(super) struct Block {
    pub(super) first: f64,
    pub(super) across: f64,
    pub(super) second: f64,
    pub(super) left: [f64; 2],
}

impl Block {
    /// U·x.
    fn times(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [self.first * x + self.across * y, self.second * y]
    }

    /// Logarithm of the normal density over the standard normal one.
    fn log_left(&self, [x, y]: [f64; 2]) -> f64 {
        let [one, other] = self.times([x, y]);
        let (one, other) = (one - self.left[0], other - self.left[1]);
        libm::log(self.first * self.second) - 0.5 * (one * one + other * other)
            + 0.5 * (x * x + y * y)
    }

    /// A runout: its angle by a table, its size from its own law and from what is known of it.
    pub(super) fn runout(&self, size: &RunoutSize, dice: &mut Dice) -> ([f64; 2], f64) {
        if size.half_normal {
            return self.half_normal(dice);
        }
        // its size in parts of the vector, as the law says
        let length = size.law.draw(dice) / size.part;
        let at = |[cosine, sine]: [f64; 2]| [length * cosine, length * sine];
        let (direction, log_weight) = WHOLE_TURN.draw(|to| self.log_left(at(to)), dice);
        (at(direction), log_weight)
    }

    /// A size that is normal about zero either way is the same as a half-normal one at twice as many angles:
    /// with the angle given it stays normal.
    fn half_normal(&self, dice: &mut Dice) -> ([f64; 2], f64) {
        let along = |[cosine, sine]: [f64; 2]| {
            let [one, other] = self.times([SQRT_2 * cosine, SQRT_2 * sine]);
            // the size's own density and the square of the standard normal parts cancel but for one
            let precision = one * one + other * other - 1.0;
            let shift = one * self.left[0] + other * self.left[1];
            (precision.max(1e-12), shift)
        };
        let [one, other] = self.left;
        let constant = libm::log(self.first * self.second) - 0.5 * (one * one + other * other);
        let log = |direction: [f64; 2]| {
            let (precision, shift) = along(direction);
            constant - 0.5 * libm::log(precision) + 0.5 * shift * shift / precision
        };
        let (direction, log_weight) = HALF_TURN.draw(log, dice);
        let (precision, shift) = along(direction);
        let length = SQRT_2 * (shift / precision + dice.normal() / precision.sqrt());
        (direction.map(|part| length * part), log_weight)
    }

    /// A runout met from any other tooth: the angle by a table.
    pub(super) fn turned(&self, [x, y]: [f64; 2], dice: &mut Dice) -> ([f64; 2], f64) {
        let at = |[cosine, sine]: [f64; 2]| [cosine * x - sine * y, sine * x + cosine * y];
        let (direction, log_weight) = WHOLE_TURN.draw(|to| self.log_left(at(to)), dice);
        (at(direction), log_weight)
    }
}
