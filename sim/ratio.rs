//! The choice of a gear set, before any set-up: tyres, ratios, tooth pairs, engine speed.
//!
//! Nothing here is simulated. A rolling circumference is known between limits, and every figure
//! that follows from it lies between limits too: bounds, not confidence intervals.

use std::f64::consts::PI;

use crate::units::MM_PER_INCH;

/// Most by which the ratios of the two driven axles of one vehicle may differ, as a share.
#[doc(hidden)]
pub const AXLES_AGREE: f64 = 0.01;
/// Rolling circumference of a radial tyre as a share of its free one, from and to.
#[doc(hidden)]
pub const ROLLS: (f64, f64) = (0.96, 0.97);

/// A figure with the limits between which it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between {
    /// The figure itself.
    pub value: f64,
    /// Least that it can be.
    pub low: f64,
    /// Most that it can be.
    pub high: f64,
}

impl Between {
    /// A figure known exactly.
    pub fn exactly(value: f64) -> Self {
        Self {
            value,
            low: value,
            high: value,
        }
    }

    /// A figure above zero known to within this share either way.
    pub fn within(value: f64, share: f64) -> Self {
        Self {
            value,
            low: value * (1.0 - share),
            high: value * (1.0 + share),
        }
    }

    /// Times a factor above zero.
    pub fn times(self, factor: f64) -> Self {
        Self {
            value: self.value * factor,
            low: self.low * factor,
            high: self.high * factor,
        }
    }

    /// Divided by a figure above zero with limits of its own; the limits are worst cases of both.
    pub fn over(self, other: Self) -> Self {
        Self {
            value: self.value / other.value,
            low: self.low / other.high,
            high: self.high / other.low,
        }
    }

    /// Less one: the deviation from 1, as a share.
    pub fn off(self) -> Self {
        Self {
            value: self.value - 1.0,
            low: self.low - 1.0,
            high: self.high - 1.0,
        }
    }
}

/// A tyre, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tyre {
    /// Diameter, free of load.
    pub diameter: f64,
    /// Rolling circumference: distance in one turn under load.
    pub rolling: Between,
}

impl Tyre {
    /// A tyre of this diameter, mm, whose rolling circumference was not measured.
    ///
    /// # Definition
    /// It rolls 0.96 to 0.97 of its free circumference, and the middle of that is known to within
    /// `spread` (a share) either way; without a spread, to within those limits.
    pub fn unmeasured(diameter: f64, spread: Option<f64>) -> Self {
        let free = PI * diameter;
        let middle = 0.5 * (ROLLS.0 + ROLLS.1);
        Self {
            diameter,
            rolling: match spread {
                Some(spread) => Between::within(middle * free, spread),
                None => Between {
                    value: middle * free,
                    low: ROLLS.0 * free,
                    high: ROLLS.1 * free,
                },
            },
        }
    }

    /// The same tyre with its rolling circumference measured, mm, to within a share either way.
    pub fn measured(self, rolling: f64, spread: f64) -> Self {
        Self {
            rolling: Between::within(rolling, spread),
            ..self
        }
    }

    /// Circumference free of load, mm.
    pub fn free(&self) -> f64 {
        PI * self.diameter
    }
}

/// Diameter of a tyre by its metric size code, mm: `width` in mm, `aspect` the section height in
/// percent of it, `rim` the nominal rim diameter in inches.
///
/// # Definition
/// rim + 2 · width · aspect / 100.
///
/// # Source
/// ISO 4223-1, tyre size designation and its terms; the figure is the design's, not a measurement.
///
/// # Example
/// ```
/// use shimcast_sim::ratio::metric_diameter;
///
/// // 15 in = 381 mm, and twice 75 % of 235 mm
/// assert!((metric_diameter(235.0, 75.0, 15.0) - 733.5).abs() < 1e-9);
/// ```
pub fn metric_diameter(width: f64, aspect: f64, rim: f64) -> f64 {
    rim * MM_PER_INCH + 2.0 * width * aspect / 100.0
}

/// A pair of tooth counts.
///
/// # Example
/// ```
/// use shimcast_sim::ratio::Teeth;
///
/// let pair = Teeth { ring: 40, pinion: 12 };
/// assert!(!pair.hunting());
/// assert_eq!(pair.turns_to_repeat(), 3);
/// assert!(Teeth { ring: 41, pinion: 11 }.hunting());
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Teeth {
    /// On the ring gear.
    pub ring: u32,
    /// On the pinion.
    pub pinion: u32,
}

impl Teeth {
    /// Ring teeth / pinion teeth.
    pub fn ratio(self) -> f64 {
        f64::from(self.ring) / f64::from(self.pinion)
    }

    /// Whether every pinion tooth meets every ring tooth: no common factor.
    pub fn hunting(self) -> bool {
        common_factor(self.ring, self.pinion) == 1
    }

    /// Turns of the ring gear after which the same teeth meet again.
    pub fn turns_to_repeat(self) -> u32 {
        self.pinion / common_factor(self.ring, self.pinion)
    }
}

/// Largest common factor.
///
/// # Source
/// Euclid, Elements, book VII, proposition 2.
fn common_factor(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { common_factor(b, a % b) }
}

/// Engine speed at a road speed, revolutions a minute.
///
/// # Definition
/// Road speed, mm a minute, · overall ratio / rolling circumference, mm; no slip anywhere.
///
/// # Example
/// ```
/// use shimcast_sim::ratio::{Between, engine_speed};
///
/// // 25 m/s are 750 turns a minute of a wheel that rolls 2 m a turn
/// let speed = engine_speed(25.0, 4.0, Between::exactly(2000.0));
/// assert!((speed.value - 3000.0).abs() < 1e-9);
/// ```
pub fn engine_speed(metres_per_second: f64, overall_ratio: f64, rolling: Between) -> Between {
    Between::exactly(60_000.0 * metres_per_second * overall_ratio).over(rolling)
}

/// New rolling circumference over the old one. Exactly 1 for the same tyre: its own uncertainty
/// cancels.
pub fn growth(old: &Tyre, new: &Tyre) -> Between {
    if old == new {
        Between::exactly(1.0)
    } else {
        new.rolling.over(old.rolling)
    }
}

/// A vehicle's gearing now, and what its new tyres do to it.
///
/// # Example
/// Tyres 10 % larger ask for a ratio 10 % longer:
/// ```
/// use shimcast_sim::ratio::{Gearing, Tyre, growth};
///
/// let tyre = |diameter| Tyre::unmeasured(diameter, Some(0.01));
/// let growth = growth(&tyre(700.0), &tyre(770.0));
/// let wanted = Gearing { ratio: 4.1, target: 4.1, growth }.wanted();
/// assert!((wanted.value - 4.51).abs() < 1e-9);
/// // both circumferences off by 1 %, against each other
/// assert!((wanted.high - 4.51 * 1.01 / 0.99).abs() < 1e-9);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gearing {
    /// Axle ratio now; the speedometer is right with it on the old tyres.
    pub ratio: f64,
    /// Effective ratio wanted, as on the old tyres; `ratio` itself to restore the gearing.
    pub target: f64,
    /// New rolling circumference over the old one, as [`growth`] gives it.
    pub growth: Between,
}

impl Gearing {
    /// Effective ratio of an axle ratio on the new tyres: ratio · old / new.
    pub fn effective(&self, ratio: f64) -> Between {
        Between::exactly(ratio).over(self.growth)
    }

    /// Axle ratio that gives the target on the new tyres: target · new / old.
    pub fn wanted(&self) -> Between {
        self.growth.times(self.target)
    }

    /// Deviation of a gear set's effective ratio from the target, as a share of the target.
    pub fn off_target(&self, ratio: f64) -> Between {
        self.effective(ratio).times(1.0 / self.target).off()
    }

    /// Error of the speedometer with this axle ratio on the new tyres, as a share of the true
    /// speed; + reads high. It is driven from the gearbox, before the axle.
    ///
    /// # Definition
    /// ratio · old / (ratio now · new) − 1. A speedometer that counts wheel turns has the error old
    /// / new − 1, which is this one at the ratio now.
    pub fn speedometer(&self, ratio: f64) -> Between {
        self.effective(ratio).times(1.0 / self.ratio).off()
    }

    /// Deviation of another driven axle's ratio from this one, as a share.
    pub fn apart(ratio: f64, other: f64) -> f64 {
        other / ratio - 1.0
    }
}

/// Whether the ratios of both driven axles of one vehicle agree within 1 %.
pub fn axles_agree(ratio: f64, other: f64) -> bool {
    Gearing::apart(ratio, other).abs() <= AXLES_AGREE + 1e-12
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: f64, b: f64) {
        assert!((a - b).abs() <= 1e-9 * b.abs().max(1.0), "{a} is not {b}");
    }

    #[test]
    fn a_metric_size_by_hand() {
        // 15 in = 381.0 mm; 235 · 0.75 = 176.25 mm of section height, twice
        near(metric_diameter(235.0, 75.0, 15.0), 733.5);
        // 17 in = 431.8 mm; 285 · 0.70 = 199.5 mm
        near(metric_diameter(285.0, 70.0, 17.0), 830.8);
    }

    #[test]
    fn tooth_counts_by_hand() {
        near(
            Teeth {
                ring: 41,
                pinion: 11,
            }
            .ratio(),
            3.727_272_727_272_727,
        );
        assert!(
            Teeth {
                ring: 41,
                pinion: 11
            }
            .hunting()
        );
        // 40/12 share 4: the same teeth meet every 3 turns of the ring gear
        let pair = Teeth {
            ring: 40,
            pinion: 12,
        };
        assert!(!pair.hunting());
        assert_eq!(pair.turns_to_repeat(), 3);
        assert_eq!(
            Teeth {
                ring: 41,
                pinion: 11
            }
            .turns_to_repeat(),
            11
        );
    }

    #[test]
    fn larger_tyres_by_hand() {
        // 700 to 770 mm is 10 % more: 4.10 feels like 4.10/1.1, and 4.51 restores it
        let tyre = |d| Tyre::unmeasured(d, Some(0.0));
        let gearing = Gearing {
            ratio: 4.10,
            target: 4.10,
            growth: growth(&tyre(700.0), &tyre(770.0)),
        };
        near(gearing.effective(4.10).value, 4.10 / 1.1);
        near(gearing.wanted().value, 4.51);
        near(gearing.speedometer(4.10).value, 1.0 / 1.1 - 1.0);
        near(gearing.speedometer(4.51).value, 0.0);
        near(gearing.off_target(4.60).value, 4.60 / 4.51 - 1.0);
    }

    #[test]
    fn engine_speed_by_hand() {
        // 90 km/h = 25 m/s = 1500 m a minute; at 2 m a turn 750 turns, times 4.00 · 0.80
        let rolling = Between::exactly(2000.0);
        near(engine_speed(25.0, 4.0 * 0.8, rolling).value, 2400.0);
    }

    #[test]
    fn limits_are_worst_cases() {
        // both circumferences off by 1 %, the wrong way at once: 1.01/0.99
        let old = Tyre::unmeasured(700.0, Some(0.01));
        let new = Tyre::unmeasured(770.0, Some(0.01));
        let gearing = Gearing {
            ratio: 4.0,
            target: 4.0,
            growth: growth(&old, &new),
        };
        near(gearing.wanted().high, 4.4 * 1.01 / 0.99);
        near(gearing.wanted().low, 4.4 * 0.99 / 1.01);
        assert_eq!(growth(&old, &old), Between::exactly(1.0));
    }

    #[test]
    fn a_tyre_nobody_measured_rolls_less_than_its_free_circumference() {
        let tyre = Tyre::unmeasured(1000.0 / PI, None);
        near(tyre.free(), 1000.0);
        near(tyre.rolling.low, 960.0);
        near(tyre.rolling.value, 965.0);
        near(tyre.rolling.high, 970.0);
    }

    #[test]
    fn axles_may_differ_by_one_percent() {
        assert!(axles_agree(4.0, 4.04));
        assert!(!axles_agree(4.0, 4.041));
        // 41/11 and 41/12 never go together
        assert!(!axles_agree(41.0 / 11.0, 41.0 / 12.0));
    }
}
