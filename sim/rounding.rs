//! Rounding to a graduation.

/// What an instrument is graduated in; nothing is rounded where the step is zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Graduation {
    step: f64,
    steps_per_unit: f64,
}

impl Graduation {
    pub(crate) fn new(step: f64) -> Self {
        Self {
            step,
            steps_per_unit: if step > 0.0 { 1.0 / step } else { 0.0 },
        }
    }

    /// `value` to the nearest graduation.
    ///
    /// # Accuracy
    /// Up to 2⁵¹ steps from zero; a value halfway between two goes to either.
    #[inline]
    pub(crate) fn round(self, value: f64) -> f64 {
        if self.steps_per_unit > 0.0 {
            whole(value * self.steps_per_unit) * self.step
        } else {
            value
        }
    }
}

/// The nearest whole number.
///
/// # Accuracy
/// Up to 2⁵¹ from zero; a value halfway between two goes to either.
#[inline(always)]
pub(crate) fn whole(value: f64) -> f64 {
    // Adding and taking off 1.5·2⁵² leaves a whole number: a fraction of the cost of `round`,
    // which is a call on processors without an instruction for it.
    const WHOLE: f64 = 6_755_399_441_055_744.0;
    (value + WHOLE) - WHOLE
}

/// The value, or zero where it is below: not by `max`, which takes pains over figures that are no
/// numbers.
#[inline(always)]
pub(crate) fn above_zero(value: f64) -> f64 {
    if value > 0.0 { value } else { 0.0 }
}
