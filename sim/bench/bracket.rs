//! A bracket round the right pack, from the readings of packs that were tried.

use crate::units::SLACK;

/// One end of a [`Bracket`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct End {
    /// Thickness, or depth, of the pack as printed, mm.
    pub(super) at: f64,
    /// Distance of its reading outside the window.
    pub(super) outside: f64,
}

/// The packs tried that are nearest to the right one on either side.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Bracket {
    /// The largest that read too small.
    low: Option<End>,
    /// The smallest that read too large.
    high: Option<End>,
}

impl Bracket {
    /// Notes a pack that read too small.
    pub(super) fn too_small(&mut self, at: f64, outside: f64) {
        if self.low.is_none_or(|end| at >= end.at - SLACK) {
            self.low = Some(End { at, outside });
        }
    }

    /// Notes a pack that read too large.
    pub(super) fn too_large(&mut self, at: f64, outside: f64) {
        if self.high.is_none_or(|end| at <= end.at + SLACK) {
            self.high = Some(End { at, outside });
        }
    }

    /// The largest that read too small.
    pub(super) fn low(&self) -> Option<End> {
        self.low
    }

    /// The smallest that read too large.
    pub(super) fn high(&self) -> Option<End> {
        self.high
    }

    /// Whether both ends are known and this is not between them.
    pub(super) fn excludes(&self, at: f64) -> bool {
        match (self.low, self.high) {
            (Some(low), Some(high)) => at <= low.at + SLACK || at >= high.at - SLACK,
            _ => false,
        }
    }

    /// The thickness wanted, or the middle between the ends where they exclude it.
    pub(super) fn narrowed(&self, wanted: f64) -> f64 {
        match (self.low, self.high) {
            (Some(low), Some(high)) if self.excludes(wanted) => 0.5 * (low.at + high.at),
            _ => wanted,
        }
    }
}
