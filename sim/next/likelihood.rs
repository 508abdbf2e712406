//! How likely stated figures are, as functions of one true figure each.

use super::form::Form;
use super::tails::{log_bell, log_between};
use crate::bench::graduation::Graduation;
use crate::chance::dice::Dice;
use crate::next::Reading;

/// A stated figure that depends on one linear form.
#[derive(Debug, Clone)]
pub(super) struct Site {
    /// The true figure.
    pub(super) form: Form,
    /// The same without a level in it.
    pub(super) direct: Form,
    /// The assembly whose side closure, where it is below zero, moves the figure, and by how much for a
    /// ring position.
    pub(super) moved: Option<(usize, f64)>,
    pub(super) likelihood: Likelihood,
    /// The step it was rounded to; `None` where it is taken as exact.
    pub(super) step: Option<f64>,
    /// The entry that states it, 0 for what was known before.
    pub(super) entry: usize,
    /// What it is; `None` for what is taken for granted.
    pub(super) reading: Option<Reading>,
}

impl Site {
    /// The same with another figure read of a true one.
    pub(super) fn read_again(&self, truth: f64, dice: &mut Dice) -> Self {
        let round = |x: f64| match self.step {
            Some(step) if step > 0.0 => Graduation::new(step).round(x),
            _ => x,
        };
        let likelihood = match &self.likelihood {
            Likelihood::Exact { sigma, .. } | Likelihood::Between { sigma, .. } => {
                Likelihood::rounded(round(truth + sigma * dice.normal()), *sigma, self.step)
            }
            Likelihood::Backlash { sigma, factor, .. }
            | Likelihood::ExactBacklash { sigma, factor, .. } => {
                let shown = factor * truth.max(0.0) + sigma * dice.normal();
                Likelihood::backlash(round(shown).max(0.0), *sigma, self.step, *factor)
            }
        };
        Self {
            likelihood,
            ..self.clone()
        }
    }
}

/// How likely a stated figure is for a true one.
#[derive(Debug, Clone)]
pub(super) enum Likelihood {
    /// The density of a normal error.
    Exact { stated: f64, sigma: f64 },
    /// The chance that the figure with a normal error lies between limits.
    Between { low: f64, high: f64, sigma: f64 },
    /// The same of backlash, which is never below zero, times a factor.
    Backlash {
        low: f64,
        high: f64,
        sigma: f64,
        factor: f64,
    },
    /// The density of backlash.
    ExactBacklash {
        stated: f64,
        sigma: f64,
        factor: f64,
    },
}

/// The least error of a figure that is taken as exact, mm or as the figure is.
const LEAST_ERROR: f64 = 1e-5;

impl Likelihood {
    /// Of a figure with a normal error, rounded to a step; a step of 0 or a figure off the step has the
    /// density.
    pub(super) fn rounded(stated: f64, sigma: f64, step: Option<f64>) -> Self {
        match step {
            Some(step) => Self::Between {
                low: stated - 0.5 * step,
                high: stated + 0.5 * step,
                sigma,
            },
            None => Self::Exact {
                stated,
                sigma: sigma.max(LEAST_ERROR),
            },
        }
    }

    /// Of a backlash reading; `step` as for [`Self::rounded`].
    pub(super) fn backlash(stated: f64, sigma: f64, step: Option<f64>, factor: f64) -> Self {
        if stated <= 0.0 {
            return Self::Backlash {
                low: f64::NEG_INFINITY,
                high: 0.5 * step.unwrap_or(0.0),
                sigma,
                factor,
            };
        }
        match step {
            Some(step) => Self::Backlash {
                low: stated - 0.5 * step,
                high: stated + 0.5 * step,
                sigma,
                factor,
            },
            None => Self::ExactBacklash {
                stated,
                sigma: sigma.max(LEAST_ERROR),
                factor,
            },
        }
    }

    /// That of nothing read.
    pub(super) fn unread() -> Self {
        Self::Between {
            low: f64::NEG_INFINITY,
            high: f64::INFINITY,
            sigma: 0.0,
        }
    }

    /// Logarithm of the chance or density for a true figure.
    #[inline]
    pub(super) fn log(&self, truth: f64) -> f64 {
        match self {
            Self::Exact { stated, sigma } => log_bell((stated - truth) / sigma) - libm::log(*sigma),
            Self::Between { low, high, sigma } => chance(*low, *high, *sigma, truth),
            Self::Backlash {
                low,
                high,
                sigma,
                factor,
            } => chance(*low, *high, *sigma, factor * truth.max(0.0)),
            Self::ExactBacklash {
                stated,
                sigma,
                factor,
            } => log_bell((stated - factor * truth.max(0.0)) / sigma) - libm::log(*sigma),
        }
    }

    /// Mean and variance of the true figure where the likelihood is that of a normal one.
    pub(super) fn normal(&self) -> Option<(f64, f64)> {
        match self {
            Self::Exact { stated, sigma } => Some((*stated, sigma * sigma)),
            _ => None,
        }
    }

    /// The largest precision of a normal likelihood in its place.
    pub(super) fn sharpest(&self) -> f64 {
        /// Of a step without any other error, in parts of it.
        const EDGE: f64 = 0.1;
        let (error, factor) = match self {
            Self::Exact { sigma, .. } => (*sigma, 1.0),
            Self::ExactBacklash { sigma, factor, .. } => (*sigma, *factor),
            Self::Between { low, high, sigma } if (high - low).is_finite() => {
                (sigma.max(EDGE * (high - low)), 1.0)
            }
            Self::Between { sigma, .. } => (*sigma, 1.0),
            Self::Backlash {
                low,
                high,
                sigma,
                factor,
            } => (sigma.max(EDGE * (high - low.max(0.0))), *factor),
        };
        (factor / error.max(LEAST_ERROR)).powi(2)
    }

    /// Outside these the likelihood is next to nothing.
    pub(super) fn range(&self) -> (f64, f64) {
        const FAR: f64 = 8.0;
        match self {
            Self::Exact { stated, sigma } => (stated - FAR * sigma, stated + FAR * sigma),
            Self::Between { low, high, sigma } => (low - FAR * sigma, high + FAR * sigma),
            Self::Backlash {
                low,
                high,
                sigma,
                factor,
            } => below_zero(low - FAR * sigma, high + FAR * sigma, *factor),
            Self::ExactBacklash {
                stated,
                sigma,
                factor,
            } => below_zero(stated - FAR * sigma, stated + FAR * sigma, *factor),
        }
    }

    /// Whether it is far from that of a normal figure: a reading that backlash below zero may give, or one
    /// whose rounding is all there is of its error.
    pub(super) fn is_odd(&self) -> bool {
        match self {
            Self::Backlash {
                low, high, sigma, ..
            } => *low <= 3.0 * sigma || *sigma < 0.3 * (high - low),
            Self::ExactBacklash { stated, sigma, .. } => *stated <= 3.0 * sigma,
            _ => false,
        }
    }

    /// Whether it goes on without end to either side.
    pub(super) fn is_endless(&self) -> bool {
        let (low, high) = self.range();
        low == f64::NEG_INFINITY || high == f64::INFINITY
    }
}

/// Where the likelihood of backlash is more than nothing; a reading that no backlash may give leaves all
/// below zero open.
fn below_zero(low: f64, high: f64, factor: f64) -> (f64, f64) {
    let low = if low <= 0.0 {
        f64::NEG_INFINITY
    } else {
        low / factor
    };
    (low, high / factor)
}

/// Logarithm of the chance that a figure with a normal error lies between limits.
#[inline]
fn chance(low: f64, high: f64, sigma: f64, truth: f64) -> f64 {
    if sigma > 0.0 {
        let one_over = 1.0 / sigma;
        log_between((low - truth) * one_over, (high - truth) * one_over)
    } else if low <= truth && truth <= high {
        0.0
    } else {
        f64::NEG_INFINITY
    }
}
