//! Whoever keeps books of a drawer.

use super::events::DrawerEvent;
use super::lanes::Lanes;
use super::shelf::Choices;

/// Where a shim comes from, or goes.
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

/// Told of everything that happens to one series, in order. The rules of the drawer never ask a
/// book anything, and what a book does not keep costs nothing.
pub(super) trait Books {
    /// Shims of a size went some way.
    #[inline(always)]
    fn went(&mut self, way: Flow, size: usize, count: i32) {
        let _ = (way, size, count);
    }

    /// It is now so late, days; until now nothing in the drawer has changed.
    #[inline(always)]
    fn until(&mut self, now: f64) {
        let _ = now;
    }

    /// There are more shims of a size in the drawer, or fewer.
    #[inline(always)]
    fn changed(&mut self, size: usize, by: i32) {
        let _ = (size, by);
    }

    /// Something was ordered at the review of this number.
    #[inline(always)]
    fn ordered(&mut self, review: u64) {
        let _ = review;
    }

    /// A pack is missing: what is in reach, and what could have stood in for it.
    #[inline(always)]
    fn missing<const W: usize>(&mut self, reach: Lanes<W>, choices: &Choices) {
        let _ = (reach, choices);
    }

    /// A job, by its number on the tape, was served but for so many packs.
    #[inline(always)]
    fn served(&mut self, job: u32, missing: u8) {
        let _ = (job, missing);
    }

    /// Something happens at a time, days, in words for a day book.
    #[inline(always)]
    fn event(&mut self, at: f64, event: impl FnOnce() -> DrawerEvent) {
        let _ = (at, event);
    }
}
