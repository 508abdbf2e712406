//! Flows of the pieces of a series, to the piece.

use super::books::Flow;

/// Pieces of one series, by size: what went in is what went out and what is left.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
#[non_exhaustive]
pub struct Pieces {
    /// In the drawer at the start.
    pub start: Vec<i64>,
    /// Delivered into the drawer.
    pub delivered: Vec<i64>,
    /// Come specially for one job.
    pub special: Vec<i64>,
    /// Come out of the jobs' axles as old packs.
    pub old: Vec<i64>,
    /// Come out again after they were fitted.
    pub out: Vec<i64>,
    /// Gone with the jobs' axles.
    pub fitted: Vec<i64>,
    /// Spoiled when they came out.
    pub spoiled: Vec<i64>,
    /// Good ones for which the drawer had no room.
    pub scrapped: Vec<i64>,
    /// In the drawer at the end.
    pub left: Vec<i64>,
    /// Taken from the drawer less put back.
    pub used: Vec<i64>,
}

impl Pieces {
    /// Adds those of another tape.
    pub(super) fn add(&mut self, more: &Self) {
        for (own, more) in [
            (&mut self.start, &more.start),
            (&mut self.delivered, &more.delivered),
            (&mut self.special, &more.special),
            (&mut self.old, &more.old),
            (&mut self.out, &more.out),
            (&mut self.fitted, &more.fitted),
            (&mut self.spoiled, &more.spoiled),
            (&mut self.scrapped, &more.scrapped),
            (&mut self.left, &more.left),
            (&mut self.used, &more.used),
        ] {
            for (own, more) in own.iter_mut().zip(more) {
                *own += more;
            }
        }
    }

    /// Pieces in less pieces out and left, by size: zero.
    pub fn unaccounted(&self) -> Vec<i64> {
        (0..self.start.len())
            .map(|i| {
                let came = self.start[i] + self.delivered[i] + self.special[i] + self.old[i];
                let went = self.fitted[i] + self.spoiled[i] + self.scrapped[i] + self.left[i];
                came - went
            })
            .collect()
    }

    /// Before anything has happened.
    pub(super) fn new(start: &[u32]) -> Self {
        let none = || vec![0; start.len()];
        Self {
            start: start.iter().map(|n| i64::from(*n)).collect(),
            delivered: none(),
            special: none(),
            old: none(),
            out: none(),
            fitted: none(),
            spoiled: none(),
            scrapped: none(),
            left: start.iter().map(|n| i64::from(*n)).collect(),
            used: none(),
        }
    }

    /// Counts a flow of shims of one size.
    #[inline]
    pub(super) fn went(&mut self, way: Flow, size: usize, count: i32) {
        let count = i64::from(count);
        let of = match way {
            Flow::Delivered => &mut self.delivered,
            Flow::Special => &mut self.special,
            Flow::Old => &mut self.old,
            Flow::Out => &mut self.out,
            Flow::Fitted => &mut self.fitted,
            Flow::Spoiled => &mut self.spoiled,
            Flow::Scrapped => &mut self.scrapped,
            Flow::Used => &mut self.used,
        };
        of[size] += count;
        match way {
            Flow::Delivered => self.left[size] += count,
            Flow::Used => self.left[size] -= count,
            _ => {}
        }
    }
}
