//! Properties of a tolerance: whether it varies, its worst case, and the same with half the spread.

use crate::axle::tolerance::{Law, Tolerance};

/// Worst case where no limits are stated, in sigmas.
const WORST_SIGMAS: f64 = 3.0;

/// Upper limits of at least this mean "unlimited".
const ENDLESS: f64 = 1e300;

impl Tolerance {
    /// Whether every part has the same value.
    pub fn is_exact(&self) -> bool {
        match &self.law {
            Law::Normal { sigma, .. }
            | Law::HalfNormal { sigma, .. }
            | Law::Lognormal { sigma, .. } => *sigma == 0.0,
            Law::Uniform { low, high } | Law::Triangular { low, high } => low == high,
            Law::Listed { values, .. } => values.iter().all(|value| *value == values[0]),
        }
    }

    /// Largest deviation of a part from the middle: by the limits stated or inspected to; three
    /// sigmas where there are none.
    pub fn worst(&self) -> f64 {
        let middle = self.middle();
        let farther = |low: f64, high: f64| (middle - low).max(high - middle);
        if let Some((low, high)) = self.limits {
            return farther(low, high);
        }
        if let Some((low, high)) = self.keep.filter(|(_, high)| *high < ENDLESS) {
            return farther(low, high);
        }
        match &self.law {
            Law::Normal { sigma, .. } => WORST_SIGMAS * sigma,
            Law::Uniform { low, high } | Law::Triangular { low, high } => farther(*low, *high),
            Law::HalfNormal { nominal, sigma } => farther(*nominal, nominal + WORST_SIGMAS * sigma),
            Law::Lognormal { mu, sigma, .. } => {
                let end = |sigmas: f64| libm::exp(mu + sigmas * sigma);
                farther(end(-WORST_SIGMAS), end(WORST_SIGMAS))
            }
            Law::Listed { values, .. } => values
                .iter()
                .map(|value| (value - middle).abs())
                .fold(0.0, f64::max),
        }
    }

    /// How well the limits stated are kept: the half-width between them over three sigmas; `None`
    /// where no limits are stated or the shape is not a normal one.
    pub fn capability(&self) -> Option<f64> {
        match (&self.law, self.limits) {
            (Law::Normal { sigma, .. }, Some((low, high))) if *sigma > 0.0 => {
                Some((high - low) / (2.0 * WORST_SIGMAS * sigma))
            }
            _ => None,
        }
    }

    /// The sigma of a law that has one, or the deviation between limits; `None` for listed values.
    pub(crate) fn deviation(&self) -> Option<f64> {
        Some(match &self.law {
            Law::Normal { sigma, .. } | Law::HalfNormal { sigma, .. } => *sigma,
            Law::Uniform { low, high } => (high - low) / 12.0_f64.sqrt(),
            Law::Triangular { low, high } => (high - low) / 24.0_f64.sqrt(),
            Law::Lognormal { mean, sigma, .. } => mean * libm::expm1(sigma * sigma).sqrt(),
            Law::Listed { .. } => return None,
        })
    }

    /// The same middle with half the spread, limits included. A half-normal figure keeps its
    /// nominal, where it begins.
    pub fn halved(&self) -> Self {
        self.scaled(0.5)
    }

    /// The same middle with so many times the spread, limits included. A half-normal figure keeps its
    /// nominal, where it begins.
    pub(crate) fn scaled(&self, times: f64) -> Self {
        let middle = self.middle();
        let mut scaled = self.clone();
        let about = |x: &mut f64| *x = middle + times * (*x - middle);
        let mut centre = middle;
        match &mut scaled.law {
            Law::Normal { sigma, .. } => *sigma *= times,
            Law::Uniform { low, high } | Law::Triangular { low, high } => {
                about(low);
                about(high);
            }
            Law::HalfNormal { nominal, sigma } => {
                *sigma *= times;
                centre = *nominal;
            }
            Law::Lognormal { mean, mu, sigma } => {
                // sigma² = ln(1 + cv²)
                let cv2 = libm::expm1(*sigma * *sigma);
                let variance = libm::log1p(times * times * cv2);
                *mu = libm::log(*mean) - 0.5 * variance;
                *sigma = libm::sqrt(variance);
            }
            Law::Listed { values, .. } => values.iter_mut().for_each(about),
        }
        // "above zero" is not a limit to be moved
        for (low, high) in [&mut scaled.keep, &mut scaled.limits].into_iter().flatten() {
            if *high < ENDLESS {
                *low = centre + times * (*low - centre);
                *high = centre + times * (*high - centre);
            }
        }
        scaled
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_worst_is_the_limit_stated_whatever_the_capability() {
        let bearing = Tolerance::normal_between(28.0, 28.2, 1.33).unwrap();
        assert!((bearing.worst() - 0.10).abs() < 1e-12);
        let plain = Tolerance::normal(0.0, 0.02).unwrap();
        assert!((plain.worst() - 0.06).abs() < 1e-15);
        let listed = Tolerance::measured(vec![1.0, 1.1, 1.5]).unwrap();
        assert!((listed.worst() - 0.3).abs() < 1e-12);
        assert!(Tolerance::exact(3.0).is_exact() && !plain.is_exact());
        let cpk = bearing.capability().expect("limits are stated");
        assert!((cpk - 1.33).abs() < 1e-9, "{cpk}");
        assert_eq!(plain.capability().or(listed.capability()), None);
    }

    #[test]
    fn half_of_a_spread_is_what_half_the_tolerance_says() {
        let between = |half: f64| Tolerance::normal_between(28.1 - half, 28.1 + half, 1.33);
        let halved = between(0.10).unwrap().halved();
        let wanted = between(0.05).unwrap();
        assert!((halved.worst() - wanted.worst()).abs() < 1e-12);
        let mut dice = [1, 1].map(|seed| {
            crate::chance::dice::Address::new(seed, 0).stream(crate::chance::dice::Purpose::Parts)
        });
        for _ in 0..100 {
            let [one, two] = &mut dice;
            assert!((halved.draw(one) - wanted.draw(two)).abs() < 1e-12);
        }
        let runout = Tolerance::half_normal(0.0, 0.022).unwrap().halved();
        assert_eq!(runout, Tolerance::half_normal(0.0, 0.011).unwrap());
        let cv = Tolerance::lognormal(0.28, 0.12).unwrap().halved();
        let wanted = Tolerance::lognormal(0.28, 0.06).unwrap();
        assert!((cv.worst() - wanted.worst()).abs() < 1e-12);
        let kept = Tolerance::normal_cv(0.28, 0.12).unwrap().halved();
        assert_eq!(kept, Tolerance::normal_cv(0.28, 0.06).unwrap());
    }
}
