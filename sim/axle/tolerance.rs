//! Tolerances as distributions.

use std::fmt;

use rand_distr::{Distribution, Triangular};

use crate::chance::dice::Dice;

/// How a dimension varies from part to part.
///
/// Built by one of the constructors, which check what they are given; drawn by
/// [`Tolerance::draw`].
#[derive(Debug, Clone, PartialEq)]
pub struct Tolerance {
    pub(crate) law: Law,
    /// Values outside were thrown out and drawn again.
    pub(crate) keep: Option<(f64, f64)>,
    lot_share: f64,
    /// Half the sum and half the difference of two parts of one lot, in sigmas of one part.
    together: [f64; 2],
    /// The limits that were stated, whatever the spread inside them.
    pub(crate) limits: Option<(f64, f64)>,
}

/// The distribution before anything is thrown out.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Law {
    Normal {
        mean: f64,
        sigma: f64,
    },
    Uniform {
        low: f64,
        high: f64,
    },
    Triangular {
        low: f64,
        high: f64,
    },
    HalfNormal {
        nominal: f64,
        sigma: f64,
    },
    Lognormal {
        mean: f64,
        mu: f64,
        sigma: f64,
    },
    Listed {
        values: Vec<f64>,
        cumulative: Vec<f64>,
    },
}

/// Why a tolerance can't be built.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum BadTolerance {
    /// A figure is not finite.
    NotFinite,
    /// A spread is negative.
    NegativeSpread,
    /// The upper limit lies below the lower one.
    LimitsCrossed,
    /// `cpk` is zero or less.
    BadCpk,
    /// A coefficient of variation needs a nominal above zero.
    NominalNotPositive,
    /// The list of values is empty.
    NoValues,
    /// Weights are negative, sum to zero or are not as many as the values.
    BadWeights,
    /// Nearly everything lies outside the limits that an inspection keeps.
    NothingPasses,
    /// A lot share lies outside 0 … 1.
    BadLotShare,
    /// Lots are for the normal shape.
    LotNeedsNormal,
}

impl fmt::Display for BadTolerance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NotFinite => "every figure of a tolerance must be a finite number",
            Self::NegativeSpread => "a spread can't be negative",
            Self::LimitsCrossed => "the upper limit lies below the lower one",
            Self::BadCpk => "cpk must be above zero",
            Self::NominalNotPositive => "a coefficient of variation needs a nominal above zero",
            Self::NoValues => "the list of values is empty",
            Self::BadWeights => {
                "weights must be as many as the values, none negative, not all zero"
            }
            Self::NothingPasses => {
                "almost no part would pass the inspection: the limits and the spread don't fit"
            }
            Self::BadLotShare => "lot_share must lie between 0 and 1",
            Self::LotNeedsNormal => "lot_share goes with the normal shape only",
        })
    }
}

impl std::error::Error for BadTolerance {}

/// Mean of |N(0, 1)|: √(2/π).
const MEAN_OF_ABSOLUTE: f64 = 0.797_884_560_802_865_4;

fn finite(figures: &[f64]) -> Result<(), BadTolerance> {
    if figures.iter().all(|x| x.is_finite()) {
        Ok(())
    } else {
        Err(BadTolerance::NotFinite)
    }
}

fn spread(figure: f64) -> Result<(), BadTolerance> {
    finite(&[figure])?;
    if figure < 0.0 {
        Err(BadTolerance::NegativeSpread)
    } else {
        Ok(())
    }
}

fn limits(low: f64, high: f64) -> Result<(), BadTolerance> {
    finite(&[low, high])?;
    if high < low {
        Err(BadTolerance::LimitsCrossed)
    } else {
        Ok(())
    }
}

impl Tolerance {
    fn of(law: Law) -> Self {
        Self {
            law,
            keep: None,
            lot_share: 0.0,
            together: together(0.0),
            limits: None,
        }
    }

    /// Always exactly `value`.
    ///
    /// # Panics
    /// If `value` is not finite.
    pub fn exact(value: f64) -> Self {
        Self::normal(value, 0.0).expect("an exact value is finite")
    }

    /// Normal about `mean`.
    pub fn normal(mean: f64, sigma: f64) -> Result<Self, BadTolerance> {
        finite(&[mean])?;
        spread(sigma)?;
        Ok(Self::of(Law::Normal { mean, sigma }))
    }

    /// Normal, centred between limits.
    ///
    /// # Definition
    /// sigma = half-width / (3·cpk).
    ///
    /// # Source
    /// ISO 22514-2, capability index of a centred process.
    pub fn normal_between(low: f64, high: f64, cpk: f64) -> Result<Self, BadTolerance> {
        limits(low, high)?;
        finite(&[cpk])?;
        if cpk <= 0.0 {
            return Err(BadTolerance::BadCpk);
        }
        let normal = Self::normal(0.5 * (low + high), (high - low) / (6.0 * cpk))?;
        Ok(Self {
            limits: Some((low, high)),
            ..normal
        })
    }

    /// Normal with sigma = `cv` · `nominal`, redrawn until above zero.
    pub fn normal_cv(nominal: f64, cv: f64) -> Result<Self, BadTolerance> {
        positive_with_cv(nominal, cv)?;
        Ok(Self {
            keep: Some((f64::MIN_POSITIVE, f64::INFINITY)),
            ..Self::normal(nominal, cv * nominal)?
        })
    }

    /// Uniform between limits.
    pub fn uniform(low: f64, high: f64) -> Result<Self, BadTolerance> {
        limits(low, high)?;
        Ok(Self {
            limits: Some((low, high)),
            ..Self::of(Law::Uniform { low, high })
        })
    }

    /// Triangular between limits, peak in the middle.
    pub fn triangular(low: f64, high: f64) -> Result<Self, BadTolerance> {
        limits(low, high)?;
        Ok(Self {
            limits: Some((low, high)),
            ..Self::of(Law::Triangular { low, high })
        })
    }

    /// `nominal` + |N(0, sigma)|.
    pub fn half_normal(nominal: f64, sigma: f64) -> Result<Self, BadTolerance> {
        finite(&[nominal])?;
        spread(sigma)?;
        Ok(Self::of(Law::HalfNormal { nominal, sigma }))
    }

    /// Lognormal with mean `nominal` and coefficient of variation `cv`.
    ///
    /// # Definition
    /// ln x is normal with sigma² = ln(1 + cv²) and mean ln(nominal) − sigma²/2.
    pub fn lognormal(nominal: f64, cv: f64) -> Result<Self, BadTolerance> {
        positive_with_cv(nominal, cv)?;
        let variance = libm::log1p(cv * cv);
        Ok(Self::of(Law::Lognormal {
            mean: nominal,
            mu: libm::log(nominal) - 0.5 * variance,
            sigma: libm::sqrt(variance),
        }))
    }

    /// One of `values`, each as likely as its weight says.
    pub fn discrete(values: Vec<f64>, weights: &[f64]) -> Result<Self, BadTolerance> {
        if values.is_empty() {
            return Err(BadTolerance::NoValues);
        }
        finite(&values)?;
        finite(weights)?;
        let total: f64 = weights.iter().sum();
        if weights.len() != values.len()
            || weights.iter().any(|w| *w < 0.0)
            || !(total > 0.0 && total.is_finite())
        {
            return Err(BadTolerance::BadWeights);
        }
        let mut sum = 0.0;
        let cumulative = weights
            .iter()
            .map(|w| {
                sum += w;
                sum / total
            })
            .collect();
        Ok(Self::of(Law::Listed { values, cumulative }))
    }

    /// One of the measured `values`, drawn with replacement.
    pub fn measured(values: Vec<f64>) -> Result<Self, BadTolerance> {
        let weights = vec![1.0; values.len()];
        Self::discrete(values, &weights)
    }

    /// The same, with everything outside the limits thrown out.
    pub fn inspected(mut self, low: f64, high: f64) -> Result<Self, BadTolerance> {
        limits(low, high)?;
        self.keep = Some((low, high));
        // a fixed trial of its own, so that no draw can loop for ever
        let mut dice = Dice::for_trial();
        let passes = (0..2000).any(|_| {
            let x = self.law.draw(&mut dice);
            low <= x && x <= high
        });
        if passes {
            Ok(self)
        } else {
            Err(BadTolerance::NothingPasses)
        }
    }

    /// The same, with parts bought together sharing a lot.
    pub fn with_lot_share(mut self, share: f64) -> Result<Self, BadTolerance> {
        if !(0.0..=1.0).contains(&share) {
            return Err(BadTolerance::BadLotShare);
        }
        if share > 0.0 && !matches!(self.law, Law::Normal { .. }) {
            return Err(BadTolerance::LotNeedsNormal);
        }
        self.lot_share = share;
        self.together = together(share);
        Ok(self)
    }

    /// The same, redrawn until above zero: for what can't be zero or less, whatever its spread.
    pub fn above_zero(self) -> Result<Self, BadTolerance> {
        let (low, high) = self.keep.unwrap_or((0.0, f64::MAX));
        self.inspected(low.max(f64::MIN_POSITIVE), high.min(f64::MAX))
    }

    /// The mean before any inspection: the centre between the limits where there are any.
    pub fn middle(&self) -> f64 {
        match &self.law {
            Law::Normal { mean, .. } | Law::Lognormal { mean, .. } => *mean,
            Law::Uniform { low, high } | Law::Triangular { low, high } => 0.5 * (low + high),
            Law::HalfNormal { nominal, sigma } => nominal + sigma * MEAN_OF_ABSOLUTE,
            Law::Listed { values, cumulative } => {
                let mut before = 0.0;
                values
                    .iter()
                    .zip(cumulative)
                    .map(|(value, upto)| value * (upto - std::mem::replace(&mut before, *upto)))
                    .sum()
            }
        }
    }

    /// One part's value.
    #[inline(always)]
    pub fn draw(&self, dice: &mut Dice) -> f64 {
        // the usual law, tried here first, saves most parts a call
        let value = match self.law {
            Law::Normal { mean, sigma } => mean + sigma * dice.normal(),
            _ => self.law.draw(dice),
        };
        match self.keep {
            Some(keep) if !passes(keep, value) => self.again(dice, keep),
            _ => value,
        }
    }

    /// Two parts bought together: they share a lot.
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

    /// Draws from a stream aside until a value passes, so that what was thrown out shifts no other
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

    /// Draws parts of the same lot until they pass; a lot of which nothing passes is not on sale,
    /// and another one is opened.
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

/// Draws before what is kept is taken as it is: `inspected` has seen to it that something passes.
const MOST_REDRAWS: u32 = 100_000;
/// Parts of one lot that are tried before another lot is opened.
const MOST_OF_A_LOT: u32 = 100;

fn passes((low, high): (f64, f64), value: f64) -> bool {
    low <= value && value <= high
}

/// Sigmas of half the sum and half the difference of two parts whose correlation is `lot_share`.
fn together(lot_share: f64) -> [f64; 2] {
    [1.0 + lot_share, 1.0 - lot_share].map(|twice| libm::sqrt(0.5 * twice))
}

fn positive_with_cv(nominal: f64, cv: f64) -> Result<(), BadTolerance> {
    finite(&[nominal])?;
    spread(cv)?;
    if nominal <= 0.0 {
        return Err(BadTolerance::NominalNotPositive);
    }
    Ok(())
}

impl Law {
    #[inline(never)]
    fn draw(&self, dice: &mut Dice) -> f64 {
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
