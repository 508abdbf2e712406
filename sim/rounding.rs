//! Rounding to a graduation.

/// `value` to the nearest whole multiple of `step`; unchanged where `step` is zero.
///
/// # Accuracy
/// Exact ties go to the even multiple. Up to 2⁵¹ steps.
#[inline]
pub(crate) fn to_step(value: f64, step: f64) -> f64 {
    if step > 0.0 {
        // Adding and taking off 1.5·2⁵² leaves a whole number: a fraction of the cost of `round`,
        // which is a call on processors without an instruction for it.
        const WHOLE: f64 = 6_755_399_441_055_744.0;
        ((value / step + WHOLE) - WHOLE) * step
    } else {
        value
    }
}
