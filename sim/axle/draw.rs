//! Drawing parts from their tolerances.

use rand_distr::{Distribution, Triangular};

use crate::axle::tolerance::{Law, Tolerance};
use crate::chance::dice::Dice;

/// Draws until one passes, at the most; `inspected` makes sure that some do.
const MOST_REDRAWS: u32 = 100_000;
/// Parts of one lot that are drawn before another lot is opened.
const MOST_OF_A_LOT: u32 = 100;

fn passes((low, high): (f64, f64), value: f64) -> bool {
    low <= value && value <= high
}

impl Tolerance {
    /// The value of one part.
    #[inline(always)]
    pub fn draw(&self, dice: &mut Dice) -> f64 {
        // the usual distribution first, which saves most parts a call
        let value = match self.law {
            Law::Normal { mean, sigma } => mean + sigma * dice.normal(),
            _ => self.law.draw(dice),
        };
        match self.keep {
            Some(keep) if !passes(keep, value) => self.again(dice, keep),
            _ => value,
        }
    }

    /// The values of two parts of one lot.
    #[inline]
    pub fn draw_pair(&self, dice: &mut Dice) -> [f64; 2] {
        let Law::Normal { mean, sigma } = self.law else {
            return [self.draw(dice), self.draw(dice)];
        };
        let Some(keep) = self.keep else {
            // two correlated figures from two: their sum and their difference are independent
            let [sum, difference] = self.together.map(|sigmas| sigmas * dice.normal());
            return [
                mean + sigma * (sum + difference),
                mean + sigma * (sum - difference),
            ];
        };
        let own = libm::sqrt(1.0 - self.lot_share);
        let lot = libm::sqrt(self.lot_share) * dice.normal();
        let pair = [0, 1].map(|_| mean + sigma * (lot + own * dice.normal()));
        if pair.iter().all(|part| passes(keep, *part)) {
            pair
        } else {
            self.pair_again(dice, keep, lot, pair)
        }
    }

    /// Draws from a separate stream until a value passes, so that rejected parts shift no other
    /// part.
    #[cold]
    fn again(&self, dice: &mut Dice, keep: (f64, f64)) -> f64 {
        let mut aside = dice.aside();
        for _ in 0..MOST_REDRAWS {
            let value = self.law.draw(&mut aside);
            if passes(keep, value) {
                return value;
            }
        }
        self.middle().clamp(keep.0, keep.1)
    }

    /// Draws parts of the same lot until they pass; where none of a lot passes, another lot is
    /// opened.
    #[cold]
    fn pair_again(&self, dice: &mut Dice, keep: (f64, f64), lot: f64, pair: [f64; 2]) -> [f64; 2] {
        let Law::Normal { mean, sigma } = self.law else {
            unreachable!("only a normal figure shares a lot");
        };
        let mut aside = dice.aside();
        let own = libm::sqrt(1.0 - self.lot_share);
        let (mut lot, mut pair) = (lot, pair);
        for _ in 0..MOST_REDRAWS / MOST_OF_A_LOT {
            for part in &mut pair {
                for _ in 0..MOST_OF_A_LOT {
                    if passes(keep, *part) {
                        break;
                    }
                    *part = mean + sigma * (lot + own * aside.normal());
                }
            }
            if pair.iter().all(|part| passes(keep, *part)) {
                return pair;
            }
            lot = libm::sqrt(self.lot_share) * aside.normal();
            pair = [0, 1].map(|_| mean + sigma * (lot + own * aside.normal()));
        }
        pair.map(|part| part.clamp(keep.0, keep.1))
    }
}

impl Law {
    #[inline(never)]
    pub(super) fn draw(&self, dice: &mut Dice) -> f64 {
        match self {
            Self::Normal { mean, sigma } => mean + sigma * dice.normal(),
            Self::Uniform { low, high } => low + (high - low) * dice.uniform(),
            Self::Triangular { low, high } => Triangular::new(*low, *high, 0.5 * (low + high))
                .expect("limits in order, the peak between them")
                .sample(dice),
            Self::HalfNormal { nominal, sigma } => nominal + (sigma * dice.normal()).abs(),
            Self::Lognormal { mu, sigma, .. } => libm::exp(mu + sigma * dice.normal()),
            Self::Listed { values, cumulative } => {
                let u = dice.uniform();
                let i = cumulative.partition_point(|upto| *upto <= u);
                values[i.min(values.len() - 1)]
            }
        }
    }
}
