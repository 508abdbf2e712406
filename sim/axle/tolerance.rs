//! Tolerances as distributions.

use std::fmt;

use crate::chance::dice::Dice;

/// How a dimension varies from part to part.
///
/// Built by one of the constructors, which check their arguments; drawn by [`Tolerance::draw`].
///
/// # Example
/// ```
/// use shimcast_sim::axle::tolerance::{BadTolerance, Tolerance};
/// use shimcast_sim::chance::dice::{Address, Purpose};
///
/// let height = Tolerance::uniform(27.9, 28.1)?;
/// let mut dice = Address::new(1, 0).stream(Purpose::Parts);
/// let mean = (0..10_000).map(|_| height.draw(&mut dice)).sum::<f64>() / 1e4;
/// // one sigma of this mean is 0.2/√12/100 = 0.0006
/// assert!((mean - height.middle()).abs() < 0.0024);
/// # Ok::<(), BadTolerance>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Tolerance {
    pub(crate) law: Law,
    /// Inspection limits: values outside are drawn again.
    pub(crate) keep: Option<(f64, f64)>,
    pub(super) lot_share: f64,
    /// Half the sum and half the difference of two parts of one lot, in sigmas of one part.
    pub(super) together: [f64; 2],
    /// Stated limits, whatever the spread inside them.
    pub(crate) limits: Option<(f64, f64)>,
}

/// The distribution before inspection.
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
    /// Nearly everything lies outside the limits of the inspection.
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
    ///
    /// # Errors
    /// [`BadTolerance::NotFinite`], [`BadTolerance::NegativeSpread`].
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::axle::tolerance::{BadTolerance, Tolerance};
    ///
    /// let seat = Tolerance::normal(121.0, 0.02)?;
    /// // without stated limits the worst case is three sigmas
    /// assert!((seat.worst() - 0.06).abs() < 1e-12);
    /// assert_eq!(Tolerance::normal(121.0, -0.02), Err(BadTolerance::NegativeSpread));
    /// # Ok::<(), BadTolerance>(())
    /// ```
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
    ///
    /// # Errors
    /// [`BadTolerance::NotFinite`], [`BadTolerance::LimitsCrossed`], [`BadTolerance::BadCpk`].
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::axle::tolerance::{BadTolerance, Tolerance};
    ///
    /// let seat = Tolerance::normal_between(120.9, 121.1, 1.33)?;
    /// assert!((seat.middle() - 121.0).abs() < 1e-12);
    /// assert!((seat.worst() - 0.1).abs() < 1e-12);
    /// # Ok::<(), BadTolerance>(())
    /// ```
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

    /// Normal with sigma = `cv` · `nominal`, drawn again until above zero.
    ///
    /// # Errors
    /// [`BadTolerance::NotFinite`], [`BadTolerance::NegativeSpread`],
    /// [`BadTolerance::NominalNotPositive`].
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::axle::tolerance::{BadTolerance, Tolerance};
    ///
    /// let friction = Tolerance::normal_cv(0.28, 0.12)?;
    /// assert!((friction.worst() - 3.0 * 0.12 * 0.28).abs() < 1e-12);
    /// assert_eq!(Tolerance::normal_cv(0.0, 0.12), Err(BadTolerance::NominalNotPositive));
    /// # Ok::<(), BadTolerance>(())
    /// ```
    pub fn normal_cv(nominal: f64, cv: f64) -> Result<Self, BadTolerance> {
        positive_with_cv(nominal, cv)?;
        Ok(Self {
            keep: Some((f64::MIN_POSITIVE, f64::INFINITY)),
            ..Self::normal(nominal, cv * nominal)?
        })
    }

    /// Uniform between limits.
    ///
    /// # Errors
    /// [`BadTolerance::NotFinite`], [`BadTolerance::LimitsCrossed`].
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::axle::tolerance::{BadTolerance, Tolerance};
    ///
    /// let gap = Tolerance::uniform(0.4, 0.6)?;
    /// assert!((gap.middle() - 0.5).abs() < 1e-12);
    /// assert_eq!(Tolerance::uniform(0.6, 0.4), Err(BadTolerance::LimitsCrossed));
    /// # Ok::<(), BadTolerance>(())
    /// ```
    pub fn uniform(low: f64, high: f64) -> Result<Self, BadTolerance> {
        limits(low, high)?;
        Ok(Self {
            limits: Some((low, high)),
            ..Self::of(Law::Uniform { low, high })
        })
    }

    /// Triangular between limits, peak in the middle.
    ///
    /// # Errors
    /// [`BadTolerance::NotFinite`], [`BadTolerance::LimitsCrossed`].
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::axle::tolerance::{BadTolerance, Tolerance};
    ///
    /// let gap = Tolerance::triangular(0.4, 0.6)?;
    /// assert!((gap.worst() - 0.1).abs() < 1e-12);
    /// # Ok::<(), BadTolerance>(())
    /// ```
    pub fn triangular(low: f64, high: f64) -> Result<Self, BadTolerance> {
        limits(low, high)?;
        Ok(Self {
            limits: Some((low, high)),
            ..Self::of(Law::Triangular { low, high })
        })
    }

    /// `nominal` + |N(0, sigma)|.
    ///
    /// # Errors
    /// [`BadTolerance::NotFinite`], [`BadTolerance::NegativeSpread`].
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::axle::tolerance::{BadTolerance, Tolerance};
    ///
    /// let runout = Tolerance::half_normal(0.0, 0.02)?;
    /// let mean = 0.02 * (2.0 / std::f64::consts::PI).sqrt();
    /// assert!((runout.middle() - mean).abs() < 1e-12);
    /// # Ok::<(), BadTolerance>(())
    /// ```
    pub fn half_normal(nominal: f64, sigma: f64) -> Result<Self, BadTolerance> {
        finite(&[nominal])?;
        spread(sigma)?;
        Ok(Self::of(Law::HalfNormal { nominal, sigma }))
    }

    /// Lognormal with mean `nominal` and coefficient of variation `cv`.
    ///
    /// # Definition
    /// ln x is normal with sigma² = ln(1 + cv²) and mean ln(nominal) − sigma²/2.
    ///
    /// # Errors
    /// [`BadTolerance::NotFinite`], [`BadTolerance::NegativeSpread`],
    /// [`BadTolerance::NominalNotPositive`].
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::axle::tolerance::{BadTolerance, Tolerance};
    ///
    /// let friction = Tolerance::lognormal(0.28, 0.12)?;
    /// assert_eq!(friction.middle(), 0.28);
    /// # Ok::<(), BadTolerance>(())
    /// ```
    pub fn lognormal(nominal: f64, cv: f64) -> Result<Self, BadTolerance> {
        positive_with_cv(nominal, cv)?;
        let variance = libm::log1p(cv * cv);
        Ok(Self::of(Law::Lognormal {
            mean: nominal,
            mu: libm::log(nominal) - 0.5 * variance,
            sigma: libm::sqrt(variance),
        }))
    }

    /// One of `values`, with probabilities proportional to the weights.
    ///
    /// # Errors
    /// [`BadTolerance::NoValues`], [`BadTolerance::NotFinite`], [`BadTolerance::BadWeights`].
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::axle::tolerance::{BadTolerance, Tolerance};
    ///
    /// let lots = Tolerance::discrete(vec![1.0, 2.0], &[3.0, 1.0])?;
    /// assert!((lots.middle() - 1.25).abs() < 1e-12);
    /// # Ok::<(), BadTolerance>(())
    /// ```
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
    ///
    /// # Errors
    /// [`BadTolerance::NoValues`], [`BadTolerance::NotFinite`].
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::axle::tolerance::{BadTolerance, Tolerance};
    ///
    /// let heights = Tolerance::measured(vec![28.02, 28.05, 28.11])?;
    /// assert!((heights.middle() - 28.06).abs() < 1e-12);
    /// assert_eq!(Tolerance::measured(Vec::new()), Err(BadTolerance::NoValues));
    /// # Ok::<(), BadTolerance>(())
    /// ```
    pub fn measured(values: Vec<f64>) -> Result<Self, BadTolerance> {
        let weights = vec![1.0; values.len()];
        Self::discrete(values, &weights)
    }

    /// The same, inspected: values outside the limits are drawn again.
    ///
    /// # Errors
    /// [`BadTolerance::NotFinite`], [`BadTolerance::LimitsCrossed`],
    /// [`BadTolerance::NothingPasses`].
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::axle::tolerance::{BadTolerance, Tolerance};
    ///
    /// let seat = Tolerance::normal(0.0, 0.05)?.inspected(-0.1, 0.1)?;
    /// assert!((seat.worst() - 0.1).abs() < 1e-12);
    /// let missed = Tolerance::normal(0.0, 0.05)?.inspected(1.0, 2.0);
    /// assert_eq!(missed, Err(BadTolerance::NothingPasses));
    /// # Ok::<(), BadTolerance>(())
    /// ```
    pub fn inspected(mut self, low: f64, high: f64) -> Result<Self, BadTolerance> {
        limits(low, high)?;
        self.keep = Some((low, high));
        // tested on a fixed stream, so that no draw can loop for ever
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
    ///
    /// # Errors
    /// [`BadTolerance::BadLotShare`], [`BadTolerance::LotNeedsNormal`].
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::axle::tolerance::{BadTolerance, Tolerance};
    ///
    /// use shimcast_sim::chance::dice::{Address, Purpose};
    ///
    /// // of one lot, parts are alike
    /// let height = Tolerance::normal(28.0, 0.05)?.with_lot_share(1.0)?;
    /// let [one, other] = height.draw_pair(&mut Address::new(1, 0).stream(Purpose::Parts));
    /// assert!((one - other).abs() < 1e-12);
    /// # Ok::<(), BadTolerance>(())
    /// ```
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

    /// The same, drawn again until above zero: for what can't be zero or less, whatever its spread.
    ///
    /// # Errors
    /// [`BadTolerance::NothingPasses`].
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
