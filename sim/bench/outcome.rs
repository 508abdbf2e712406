//! Which windows hold the truth of an assembly, and the outcome of a job for the customer.

use crate::bench::Rebuild;
use crate::bench::setup::Setup;
use crate::bench::truth::Assembly;
use crate::units::Window;

/// The windows that hold the truth of an assembly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Inside {
    /// Backlash at every angle, and its variation.
    pub backlash: bool,
    /// Pattern on both flanks.
    pub pattern: bool,
    /// Side closure.
    pub closure: bool,
    /// Pinion depth.
    pub depth: bool,
}

impl Inside {
    /// Compares an assembly's truth with the axle's windows.
    #[inline]
    pub fn of(setup: &Setup, truth: &Assembly) -> Self {
        Self::with_margins(setup, truth, Margins::default())
    }

    /// Compares an assembly's truth with windows wider by these margins.
    #[inline]
    fn with_margins(setup: &Setup, truth: &Assembly, margins: Margins) -> Self {
        let windows = &setup.axle.windows;
        let backlash = windows.backlash.widened(margins.dial);
        let limits = [windows.pattern_length, windows.pattern_profile];
        Self {
            backlash: backlash.holds(truth.backlash - truth.swing)
                && backlash.holds(truth.backlash + truth.swing)
                && 2.0 * truth.swing <= windows.backlash_variation + margins.dial,
            pattern: (0..4).all(|i| truth.pattern[i].abs() <= limits[i % 2] + margins.pattern),
            closure: windows
                .side_closure
                .widened(margins.dial)
                .holds(truth.closure),
            depth: truth.depth.abs() <= windows.depth,
        }
    }

    /// Backlash, pattern and side closure together.
    pub fn all(self) -> bool {
        self.backlash && self.pattern && self.closure
    }
}

/// Margins outside the windows that still count as inside.
#[derive(Debug, Clone, Copy, Default)]
struct Margins {
    /// Backlash, its variation and side closure, mm.
    dial: f64,
    /// Pattern, share of the tooth.
    pattern: f64,
    /// Pinion torque, N·m.
    torque: f64,
}

/// Outcome of a job for the customer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Given up: nothing was handed over.
    GivenUp,
    /// Accepted and handed over, though its truth is outside a window.
    WronglyPassed {
        /// Whether it is outside by more than one graduation of the instrument that reads it: only
        /// such a job may return.
        clearly: bool,
    },
    /// Handed over with backlash, pattern, side closure and pinion torque inside their windows.
    Right,
}

impl Outcome {
    /// Compares the truth of a rebuild's last assembly with the windows.
    ///
    /// # Definition
    /// Clearly out: backlash at any angle, its variation or the side closure is outside its window
    /// by more than the step of the dial, a pattern figure by more than the step of the pattern, or
    /// the pinion torque by more than the step of the torque instrument; steps as the shop's file
    /// states them.
    ///
    /// `right` is whether the last assembly is inside every window.
    #[inline]
    pub(crate) fn of(setup: &Setup, rebuild: &Rebuild, right: bool) -> Self {
        if !rebuild.finished {
            return Self::GivenUp;
        }
        if right {
            return Self::Right;
        }
        Self::wrongly_passed(setup, &rebuild.last, rebuild.pinion_torque)
    }

    /// The same of an assembly as it sits, with the true torque of its pinion where it is known.
    pub(crate) fn as_it_sits(setup: &Setup, truth: &Assembly, torque: Option<f64>) -> Self {
        match inside(setup, truth, torque, Margins::default()) {
            true => Self::Right,
            false => Self::wrongly_passed(setup, truth, torque),
        }
    }

    /// Outside a window: by more than one graduation, or by less.
    #[inline]
    fn wrongly_passed(setup: &Setup, truth: &Assembly, torque: Option<f64>) -> Self {
        let instruments = &setup.shop.instruments;
        let graduations = Margins {
            dial: instruments.dial.step,
            pattern: instruments.pattern.step,
            torque: instruments.torque.step,
        };
        Self::WronglyPassed {
            clearly: !inside(setup, truth, torque, graduations),
        }
    }

    /// Whether the job was finished with its truth clearly outside a window.
    pub fn is_clearly_out(self) -> bool {
        self == Self::WronglyPassed { clearly: true }
    }
}

/// Whether an assembly, and its pinion torque where that is known, lie inside windows wider by these
/// margins.
#[inline]
fn inside(setup: &Setup, truth: &Assembly, torque: Option<f64>, margins: Margins) -> bool {
    let window: Window = setup.torque_window.widened(margins.torque);
    torque.is_none_or(|torque| window.holds(torque))
        && Inside::with_margins(setup, truth, margins).all()
}
