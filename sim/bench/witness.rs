//! Observation of a rebuild.

use super::Event;
use crate::bench::minutes::Operation;

/// Where a pack is fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PackPlace {
    /// The pinion's depth shim.
    Pinion,
    /// The carrier, ring-gear side.
    RingSide,
    /// The carrier, far side.
    FarSide,
    /// The solid spacer.
    Spacer,
}

/// Real thicknesses of the packs with which the axle was set up when it was made, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OldPacks {
    /// The pinion's depth shim.
    pub pinion: f64,
    /// Ring-gear side; with adjusters a setting instead of a pack.
    pub ring: f64,
    /// Far side; with adjusters a setting instead of a pack.
    pub far: f64,
    /// The solid spacer's; `None` with a sleeve.
    pub spacer: Option<f64>,
}

/// How much higher slip-fit cones sit on the trials than the real bearings will, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SetUpCones {
    /// Head bearing of the pinion.
    pub head: f64,
    /// Side bearing on the ring-gear side.
    pub ring: f64,
    /// Side bearing on the far side.
    pub far: f64,
}

/// Observes the bench in order, and changes nothing.
pub trait Witness {
    /// Whether it listens to events: for others nothing is kept.
    const LISTENS: bool = false;

    /// An operation is done.
    fn operation(&mut self, operation: Operation) {
        let _ = operation;
    }

    /// The axle is stripped; `old` gives the packs that came out of it.
    fn stripped(&mut self, old: impl FnOnce() -> OldPacks) {
        let _ = old;
    }

    /// Slip-fit cones go on for the trials.
    fn set_up_cones(&mut self, cones: impl FnOnce() -> SetUpCones) {
        let _ = cones;
    }

    /// A pack is looked up for a wanted thickness, mm; `number` is that of the nearest.
    fn wanted(&mut self, place: PackPlace, thickness: f64, number: i64) {
        let _ = (place, thickness, number);
    }

    /// Another pack is fitted at a place: its number in the table of its series, or the count of
    /// notches of an adjuster.
    fn fitted(&mut self, place: PackPlace, number: i64) {
        let _ = (place, number);
    }

    /// Something happened. The event is only built where a witness calls the closure.
    #[inline(always)]
    fn hears(&mut self, event: impl FnOnce() -> Event) {
        let _ = event;
    }
}

/// No witness.
impl Witness for () {}
