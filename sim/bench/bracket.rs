//! What earlier readings have taught about a pack: the right one lies between two that were tried.

use crate::units::SLACK;

/// One end of a [`Bracket`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct End {
    /// Thickness, or depth, of the pack as printed, mm.
    pub(super) at: f64,
    /// By how much its reading lay outside the window.
    pub(super) outside: f64,
}

/// The packs nearest to the right one that were tried, on either side of it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Bracket {
    /// The largest that turned out too small.
    low: Option<End>,
    /// The smallest that turned out too large.
    high: Option<End>,
}

impl Bracket {
    /// A pack turned out too small.
    pub(super) fn too_small(&mut self, at: f64, outside: f64) {
        if self.low.is_none_or(|end| at >= end.at - SLACK) {
            self.low = Some(End { at, outside });
        }
    }

    /// A pack turned out too large.
    pub(super) fn too_large(&mut self, at: f64, outside: f64) {
        if self.high.is_none_or(|end| at <= end.at + SLACK) {
            self.high = Some(End { at, outside });
        }
    }

    /// The largest that turned out too small.
    pub(super) fn low(&self) -> Option<End> {
        self.low
    }

    /// The smallest that turned out too large.
    pub(super) fn high(&self) -> Option<End> {
        self.high
    }

    /// Whether both ends stand and this does not lie strictly between them.
    pub(super) fn excludes(&self, at: f64) -> bool {
        match (self.low, self.high) {
            (Some(low), Some(high)) => at <= low.at + SLACK || at >= high.at - SLACK,
            _ => false,
        }
    }

    /// What is wanted, or the middle between the ends where they exclude it.
    pub(super) fn narrowed(&self, wanted: f64) -> f64 {
        match (self.low, self.high) {
            (Some(low), Some(high)) if self.excludes(wanted) => 0.5 * (low.at + high.at),
            _ => wanted,
        }
    }
}
