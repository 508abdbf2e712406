//! The shims of one series that a technician can reach: in the drawer and on the bench.

use super::shelf::{MOST_SIZES, Needs};

/// How many there are of each size.
#[derive(Debug, Clone)]
pub(super) struct AtHand {
    /// In the drawer; below nothing where shims are owed out of the next delivery.
    drawer: [i32; MOST_SIZES],
    bench: [i32; MOST_SIZES],
    /// A bit for each size of which there is none.
    none: u64,
    /// A bit for each size that lies on the bench.
    on_bench: u64,
}

impl AtHand {
    /// A drawer with these counts, and a bench with nothing on it.
    pub(super) fn new(start: &[u32]) -> Self {
        let mut new = Self {
            drawer: [0; MOST_SIZES],
            bench: [0; MOST_SIZES],
            none: u64::MAX,
            on_bench: 0,
        };
        for (i, count) in start.iter().enumerate() {
            new.put(i, *count as i32);
        }
        new
    }

    /// In the drawer, of a size.
    #[inline]
    pub(super) fn in_drawer(&self, size: usize) -> i32 {
        self.drawer[size]
    }

    /// On the bench, of a size.
    #[inline]
    pub(super) fn on_bench(&self, size: usize) -> i32 {
        self.bench[size]
    }

    /// Both together, of a size.
    #[inline]
    pub(super) fn of(&self, size: usize) -> i32 {
        self.bench[size] + self.drawer[size].max(0)
    }

    /// A bit for each size of which there is none.
    #[inline]
    pub(super) fn none(&self) -> u64 {
        self.none
    }

    /// A bit for each size that lies on the bench.
    #[inline]
    pub(super) fn sizes_on_bench(&self) -> u64 {
        self.on_bench
    }

    /// Puts shims into the drawer, or takes them out where the count is negative; by how much what
    /// lies there has changed: what is owed does not lie there.
    #[inline]
    pub(super) fn put(&mut self, size: usize, count: i32) -> i32 {
        let before = self.drawer[size];
        self.drawer[size] = before + count;
        self.note(size);
        (before + count).max(0) - before.max(0)
    }

    /// Puts shims on the bench, or takes them away where the count is negative.
    #[inline]
    pub(super) fn lay(&mut self, size: usize, count: i32) {
        self.bench[size] += count;
        let bit = 1 << size;
        if self.bench[size] > 0 {
            self.on_bench |= bit;
        } else {
            self.on_bench &= !bit;
        }
        self.note(size);
    }

    #[inline]
    fn note(&mut self, size: usize) {
        let bit = 1 << size;
        if self.of(size) > 0 {
            self.none &= !bit;
        } else {
            self.none |= bit;
        }
    }

    /// How many shims of a pack there are not.
    #[inline]
    pub(super) fn lacks(&self, pack: &Needs) -> i32 {
        let lacking = pack.iter().map(|(i, n)| (n - self.of(i)).max(0));
        lacking.sum()
    }
}
