//! The shims of one series that a technician can reach: in the drawer and on the bench.

use super::lanes::Lanes;
use super::shelf::{MOST_IN_PACK, MOST_SIZES};
use super::tape::PLACES;

/// Counts in the drawer above this make no difference to the choice of a pack.
const PLENTY: i32 = 63;

// on the bench are old shims and those of packs taken out: with those in the drawer they must fit
// into a lane
const _: () = assert!(2 * PLACES * MOST_IN_PACK + PLENTY as usize <= 127);

/// How many there are of each size.
#[derive(Debug, Clone)]
pub(super) struct AtHand<const W: usize> {
    /// In the drawer; negative where shims are owed from the next delivery.
    drawer: [i32; MOST_SIZES],
    bench: Lanes<W>,
    /// On the bench and in the drawer together, [`PLENTY`] of the drawer at the most.
    reach: Lanes<W>,
}

impl<const W: usize> AtHand<W> {
    /// No shims.
    pub(super) fn nothing() -> Self {
        Self {
            drawer: [0; MOST_SIZES],
            bench: Lanes::NONE,
            reach: Lanes::NONE,
        }
    }

    /// In the drawer, of a size.
    #[inline]
    pub(super) fn in_drawer(&self, size: usize) -> i32 {
        self.drawer[size]
    }

    /// On the bench, by size.
    #[inline]
    pub(super) fn bench(&self) -> Lanes<W> {
        self.bench
    }

    /// On the bench and in the drawer together, by size; counts far above what a pack takes may be
    /// given as fewer.
    #[inline]
    pub(super) fn reach(&self) -> Lanes<W> {
        self.reach
    }

    /// Puts shims into the drawer, or takes them out where the count is negative; gives the change
    /// of the count there, where owed shims count as none.
    #[inline]
    pub(super) fn put(&mut self, size: usize, count: i32) -> i32 {
        let (before, after) = (self.drawer[size], self.drawer[size] + count);
        self.drawer[size] = after;
        self.reach
            .change(size, after.clamp(0, PLENTY) - before.clamp(0, PLENTY));
        after.max(0) - before.max(0)
    }

    /// Puts shims on the bench.
    #[inline]
    pub(super) fn lay(&mut self, shims: Lanes<W>) {
        self.bench = self.bench.plus(shims);
        self.reach = self.reach.plus(shims);
    }

    /// Takes shims from the bench.
    #[inline]
    pub(super) fn pick_up(&mut self, shims: Lanes<W>) {
        self.bench = self.bench.minus(shims);
        self.reach = self.reach.minus(shims);
    }
}
