//! Which of the shims that come out of a job are spoiled.

use crate::chance::dice::NumberedFigures;

/// Shims whose spoiling is drawn before a tape is played.
const KNOWN: u32 = u32::BITS;

/// The shims of one series that come out of one job, by their number in the order in which they
/// come out: the same for every drawer that is played.
#[derive(Debug, Clone)]
pub(super) struct Spoiling {
    /// A bit for each spoiled one of the first that were drawn.
    spoiled: u32,
    drawn: u8,
    figures: NumberedFigures,
}

impl Spoiling {
    /// Draws which of the first `about` shims are spoiled; those beyond are drawn when they come
    /// out, with the same result.
    pub(super) fn draw(figures: NumberedFigures, share: f64, about: u32) -> Self {
        let drawn = about.min(KNOWN);
        let bit = |i: u32| u32::from(figures.uniform(i.into()) < share) << i;
        Self {
            spoiled: (0..drawn).map(bit).sum(),
            drawn: drawn as u8,
            figures,
        }
    }

    /// How many of `count` shims from number `from` on are spoiled, of a series of which this share is.
    #[inline]
    pub(super) fn among(&self, from: u32, count: u32, share: f64) -> u32 {
        if count == 0 {
            return 0;
        }
        if from + count > self.drawn.into() {
            return self.looked_up(from, from + count, share);
        }
        match self.spoiled >> from & (u32::MAX >> (KNOWN - count)) {
            0 => 0,
            some => some.count_ones(),
        }
    }

    #[cold]
    fn looked_up(&self, from: u32, to: u32, share: f64) -> u32 {
        let spoiled = |i: &u32| self.figures.uniform((*i).into()) < share;
        (from..to).filter(spoiled).count() as u32
    }
}
