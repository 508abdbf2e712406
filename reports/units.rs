//! Units in which people give and read lengths and torques.

use shimcast_sim::units::{MM_PER_INCH, NM_PER_LBF_IN};

/// Unit of every length in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Length {
    /// Millimetres, "mm".
    Millimetre,
    /// Inches, "in".
    Inch,
}

impl Length {
    /// As files write it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Millimetre => "mm",
            Self::Inch => "in",
        }
    }

    /// Millimetres in one of it.
    pub fn mm(self) -> f64 {
        match self {
            Self::Millimetre => 1.0,
            Self::Inch => MM_PER_INCH,
        }
    }
}

/// Unit of every torque in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Torque {
    /// Newton metres, "N.m".
    NewtonMetre,
    /// Pound-force inches, "lbf.in".
    PoundForceInch,
}

impl Torque {
    /// As files write it.
    pub fn name(self) -> &'static str {
        match self {
            Self::NewtonMetre => "N.m",
            Self::PoundForceInch => "lbf.in",
        }
    }

    /// As printed for people.
    pub fn printed(self) -> &'static str {
        match self {
            Self::NewtonMetre => "N·m",
            Self::PoundForceInch => "lbf·in",
        }
    }

    /// Newton metres in one of it.
    pub fn newton_metres(self) -> f64 {
        match self {
            Self::NewtonMetre => 1.0,
            Self::PoundForceInch => NM_PER_LBF_IN,
        }
    }
}

/// The units that a file uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Units {
    /// Of every length.
    pub length: Length,
    /// Of every torque.
    pub torque: Torque,
}

impl Units {
    /// The units that the model computes in.
    pub(crate) const MODEL: Self = Self {
        length: Length::Millimetre,
        torque: Torque::NewtonMetre,
    };
}
