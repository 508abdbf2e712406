//! Bookkeeping of a drawer.

use super::events::DrawerEvent;
use super::lanes::Lanes;
use super::shelf::Choices;

/// A flow of shims: where they come from, or go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Flow {
    /// Delivered into the drawer.
    Delivered,
    /// Comes specially for one job.
    Special,
    /// Comes out of an axle as part of an old pack.
    Old,
    /// Comes out again after it was fitted.
    Out,
    /// Leaves with the job's axle.
    Fitted,
    /// Spoiled when it came out.
    Spoiled,
    /// A good one for which the drawer had no room.
    Scrapped,
    /// Taken from the drawer; a negative count was put back.
    Used,
}

/// Receives everything that happens to one series, in order. The rules of the drawer never read it,
/// and methods that a book does not implement cost nothing.
pub(super) trait Books {
    /// A flow of shims of one size.
    #[inline(always)]
    fn went(&mut self, way: Flow, size: usize, count: i32) {
        let _ = (way, size, count);
    }

    /// The time advances to `now`, days, without a change in the drawer before.
    #[inline(always)]
    fn until(&mut self, now: f64) {
        let _ = now;
    }

    /// The count of a size in the drawer changes.
    #[inline(always)]
    fn changed(&mut self, size: usize, by: i32) {
        let _ = (size, by);
    }

    /// At the review of this number so many of these sizes were ordered.
    #[inline(always)]
    fn ordered(&mut self, review: u64, counts: &[(usize, i32)]) {
        let _ = (review, counts);
    }

    /// A pack is missing: the shims in reach, and the packs near enough.
    #[inline(always)]
    fn missing<const W: usize>(&mut self, reach: Lanes<W>, choices: &Choices) {
        let _ = (reach, choices);
    }

    /// A job, by its number on the tape, was served with `missing` packs missing.
    #[inline(always)]
    fn served(&mut self, job: u32, missing: u8) {
        let _ = (job, missing);
    }

    /// An event at a time, days, for a day book.
    #[inline(always)]
    fn event(&mut self, at: f64, event: impl FnOnce() -> DrawerEvent) {
        let _ = (at, event);
    }
}
