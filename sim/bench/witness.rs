//! Whoever watches a rebuild.

use crate::dice::Drawn;
use crate::minutes::Operation;

/// Where a pack goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// The pinion's depth shim.
    Pinion,
    /// The carrier, ring-gear side.
    RingSide,
    /// The carrier, far side.
    FarSide,
    /// The solid spacer.
    Spacer,
}

/// Sees what happens at the bench in order, and changes nothing.
pub trait Witness {
    /// An operation is gone through.
    fn operation(&mut self, operation: Operation) {
        let _ = operation;
    }

    /// A pack that was not there before is fitted: its number in the table of its series, or the
    /// count of notches of an adjuster.
    fn fitted(&mut self, place: Place, number: i64) {
        let _ = (place, number);
    }

    /// The job is at its end; so many random figures were taken for its parts and at the bench.
    fn done(&mut self, parts: Drawn, bench: Drawn) {
        let _ = (parts, bench);
    }
}

/// Nobody watches.
impl Witness for () {}
