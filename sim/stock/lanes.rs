//! Small counts of every size of a series, side by side in a few words.
//!
//! Whether the shims of a pack are available is asked many times a job: here the counts of all
//! sizes are compared, added and subtracted at once.

/// Counts in one word.
const A_WORD: usize = 8;
const ONES: u64 = 0x0101_0101_0101_0101;
const TOPS: u64 = 0x80 * ONES;

/// Counts of up to 8·`W` sizes, each from 0 to 127.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Lanes<const W: usize>([u64; W]);

/// The words for a number of sizes: [`FEW`] or [`MANY`].
pub(super) const fn words_for(sizes: usize) -> usize {
    if sizes <= A_WORD * FEW { FEW } else { MANY }
}

/// Words for a series with a usual number of sizes, and for the largest one.
pub(super) const FEW: usize = 2;
pub(super) const MANY: usize = 8;

impl<const W: usize> Lanes<W> {
    /// None of any size.
    pub(super) const NONE: Self = Self([0; W]);

    /// Counts from words that hold them already.
    #[inline]
    pub(super) fn of(words: &[u64; W]) -> Self {
        Self(*words)
    }

    /// Changes the count of a size.
    #[inline]
    pub(super) fn change(&mut self, size: usize, by: i32) {
        let word = &mut self.0[size / A_WORD];
        // no borrow from the next count remains, since no count falls below zero
        *word = word.wrapping_add((i64::from(by) << (8 * (size % A_WORD))) as u64);
    }

    #[inline]
    pub(super) fn plus(mut self, other: Self) -> Self {
        for (own, other) in self.0.iter_mut().zip(other.0) {
            *own += other;
        }
        self
    }

    /// No count of `other` may be larger.
    #[inline]
    pub(super) fn minus(mut self, other: Self) -> Self {
        for (own, other) in self.0.iter_mut().zip(other.0) {
            *own -= other;
        }
        self
    }

    /// Counts above those of `other`; 0 where there are fewer.
    #[inline]
    pub(super) fn over(mut self, other: Self) -> Self {
        for (own, other) in self.0.iter_mut().zip(other.0) {
            // the top bit of each count stays set where no borrow is needed
            let less = (*own | TOPS) - other;
            let enough = less & TOPS;
            *own = less & (enough - (enough >> 7));
        }
        self
    }

    /// Whether there are at least as many of each size as in `other`.
    #[inline]
    pub(super) fn holds(&self, other: &Self) -> bool {
        let mut all = TOPS;
        for (own, other) in self.0.iter().zip(other.0) {
            all &= (own | TOPS) - other;
        }
        all & TOPS == TOPS
    }

    /// All of them together, up to 255.
    #[inline]
    pub(super) fn sum(&self) -> i32 {
        let of_word = |word: &u64| (word.wrapping_mul(ONES) >> 56) as i32;
        self.0.iter().map(of_word).sum()
    }

    /// Sizes of which there are any, with their counts, ascending.
    #[inline]
    pub(super) fn up(mut self) -> impl Iterator<Item = (usize, i32)> {
        let mut word = 0;
        std::iter::from_fn(move || {
            while word < W && self.0[word] == 0 {
                word += 1;
            }
            let left = self.0.get_mut(word)?;
            let lane = left.trailing_zeros() as usize / 8;
            let count = *left >> (8 * lane) & 0x7f;
            *left &= !(0x7f << (8 * lane));
            Some((A_WORD * word + lane, count as i32))
        })
    }

    /// The same, descending: the order of a pack's shims.
    #[inline]
    pub(super) fn down(mut self) -> impl Iterator<Item = (usize, i32)> {
        let mut words = W;
        std::iter::from_fn(move || {
            while words > 0 && self.0[words - 1] == 0 {
                words -= 1;
            }
            let left = self.0.get_mut(words.checked_sub(1)?)?;
            let lane = 7 - left.leading_zeros() as usize / 8;
            let count = *left >> (8 * lane) & 0x7f;
            *left &= !(0x7f << (8 * lane));
            Some((A_WORD * (words - 1) + lane, count as i32))
        })
    }
}

/// The sizes whose bits are set, ascending.
#[inline]
pub(super) fn sizes_in(mut bits: u64) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let next = (bits != 0).then(|| bits.trailing_zeros() as usize);
        bits &= bits.wrapping_sub(1);
        next
    })
}
