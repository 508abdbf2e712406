//! Rounding to a graduation.

/// Graduation of an instrument. A step of zero means a negligibly fine one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Graduation {
    step: f64,
    steps_per_unit: f64,
}

/// A power of two near 10⁻¹², of a millimetre, of a tooth or of a newton metre.
const FINEST: f64 = 1.0 / 1_099_511_627_776.0;

impl Graduation {
    pub(crate) fn new(step: f64) -> Self {
        let step = if step > 0.0 { step } else { FINEST };
        Self {
            step,
            steps_per_unit: 1.0 / step,
        }
    }

    /// `value` to the nearest graduation.
    ///
    /// # Accuracy
    /// Up to 2⁵¹ steps from zero; a value halfway between two goes to either.
    #[inline]
    pub(crate) fn round(self, value: f64) -> f64 {
        whole(value * self.steps_per_unit) * self.step
    }
}

/// The nearest whole number.
///
/// # Accuracy
/// Up to 2⁵¹ from zero; a value halfway between two goes to either.
#[inline(always)]
pub(crate) fn whole(value: f64) -> f64 {
    // Adding and subtracting 1.5·2⁵² leaves a whole number: a fraction of the cost of `round`,
    // which is a call on processors without an instruction for it.
    const WHOLE: f64 = 6_755_399_441_055_744.0;
    (value + WHOLE) - WHOLE
}

/// The value, or zero where it is below: not by `max`, whose handling of NaN costs time.
#[inline(always)]
pub(crate) fn above_zero(value: f64) -> f64 {
    if value > 0.0 { value } else { 0.0 }
}
