//! Units: everything in this library is in millimetres, newtons and newton metres; angles are in
//! degrees where a workshop states them and in radians inside the geometry.

/// Millimetres in one inch, exact.
///
/// Source: ISO 31-1, international inch.
pub const MM_PER_INCH: f64 = 25.4;

/// Newton metres in one pound-force inch.
///
/// Source: 0.45359237 kg × 9.80665 m/s² × 0.0254 m.
pub const NM_PER_LBF_IN: f64 = 0.112_984_829_027_616_7;

/// Arc-minutes in one radian, as the backlash rates use it.
#[doc(hidden)]
pub const ARCMIN_PER_RADIAN: f64 = 3437.75;

/// Slack in every comparison of printed or rounded figures, mm or N·m: a figure on a limit is
/// inside.
pub const SLACK: f64 = 1e-9;

/// A closed interval of readings or of true values.
///
/// # Example
/// ```
/// use shimcast_sim::units::Window;
///
/// let backlash = Window::new(0.13, 0.20);
/// // on the limit is inside, up to rounding
/// assert!(backlash.holds(0.1 + 0.1) && !backlash.holds(0.2001));
/// assert!((backlash.narrowed(0.1).width() - 0.8 * backlash.width()).abs() < 1e-12);
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Window {
    /// The interval from `low` to `high`.
    pub const fn new(low: f64, high: f64) -> Self {
        Self { low, high }
    }

    /// Halfway between the ends.
    pub fn middle(self) -> f64 {
        0.5 * (self.low + self.high)
    }

    /// Upper end less lower end.
    pub fn width(self) -> f64 {
        self.high - self.low
    }

    /// Whether a value lies inside, ends included with [`SLACK`].
    pub fn holds(self, value: f64) -> bool {
        value >= self.low - SLACK && value <= self.high + SLACK
    }

    /// Distance of a value outside the nearer end; negative inside.
    pub fn outside(self, value: f64) -> f64 {
        (self.low - value).max(value - self.high)
    }

    /// The window with this share of its width removed at each end.
    pub fn narrowed(self, share: f64) -> Self {
        let off = share * self.width();
        Self::new(self.low + off, self.high - off)
    }

    /// The window with this much added at each end.
    pub fn widened(self, by: f64) -> Self {
        Self::new(self.low - by, self.high + by)
    }
}
