//! Which figures of a column are believed: by the one rule of all files.

use crate::files::limits::Limits;
use crate::files::measure::Quantity;
use crate::units::{Length, Units};

/// Which figures of a column are believed.
#[derive(Debug, Clone, Copy)]
pub(in crate::files) struct Believed {
    /// What they measure.
    pub(in crate::files) quantity: Quantity,
    /// In which units they are.
    pub(in crate::files) units: Units,
    /// What they may be.
    pub(in crate::files) limits: Limits,
}

impl Believed {
    /// Bare numbers.
    pub(in crate::files) fn plain() -> Self {
        Self {
            quantity: Quantity::Plain,
            units: Units::MODEL,
            limits: Limits::Any,
        }
    }

    /// Thicknesses in a unit of this many mm.
    pub(in crate::files) fn sizes(mm: f64) -> Self {
        let length = if mm == 1.0 {
            Length::Millimetre
        } else {
            Length::Inch
        };
        Self {
            quantity: Quantity::Length,
            units: Units {
                length,
                ..Units::MODEL
            },
            limits: Limits::Above(0.0),
        }
    }

    /// Prices.
    pub(in crate::files) fn prices() -> Self {
        Self {
            quantity: Quantity::Money,
            limits: Limits::AtLeast(0.0),
            ..Self::plain()
        }
    }

    pub(super) fn broken_by(self, figure: f64) -> Option<String> {
        self.quantity.broken_by(figure, self.units, self.limits)
    }
}
