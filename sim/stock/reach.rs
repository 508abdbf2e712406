//! The thicknesses that a series can build, on a fine lattice.

use crate::axle::shims::Series;
use crate::units::SLACK;

/// Steps of the lattice in a millimetre: 0.01 mm and 0.0005 in are both on it.
const PER_MM: f64 = 10_000.0;

/// The sums of up to a number of shims, as bits of the lattice.
#[derive(Debug, Clone)]
pub(super) struct Reach {
    /// For 0, 1, … shims, every sum of exactly that number.
    layers: Vec<Bits>,
}

#[derive(Debug, Clone, PartialEq)]
struct Bits(Vec<u64>);

impl Bits {
    fn empty(length: usize) -> Self {
        Self(vec![0; length / 64 + 1])
    }

    fn set(&mut self, place: usize) {
        self.0[place / 64] |= 1 << (place % 64);
    }

    /// Adds every bit of another set, moved up by some places; bits beyond the end are dropped.
    fn add_moved(&mut self, other: &Self, by: usize) {
        let (words, bits) = (by / 64, by % 64);
        for i in (words..self.0.len()).rev() {
            let from = i - words;
            let mut word = other.0[from] << bits;
            if bits > 0 && from > 0 {
                word |= other.0[from - 1] >> (64 - bits);
            }
            self.0[i] |= word;
        }
    }

    /// Whether any bit from one place to another, both with, is set.
    fn any(&self, from: usize, to: usize) -> bool {
        let to = to.min(self.0.len() * 64 - 1);
        if from > to {
            return false;
        }
        let (first, last) = (from / 64, to / 64);
        (first..=last).any(|i| {
            let mut word = self.0[i];
            if i == first {
                word &= u64::MAX << (from % 64);
            }
            if i == last {
                word &= u64::MAX >> (63 - to % 64);
            }
            word != 0
        })
    }
}

fn place(mm: f64) -> usize {
    (mm * PER_MM).round() as usize
}

impl Reach {
    pub(super) fn of(series: &Series) -> Self {
        Self::with(&series.sizes, series.most_in_pack, place(thickest(series)))
    }

    fn with(sizes: &[f64], most: u32, length: usize) -> Self {
        let mut layers = vec![Bits::empty(length)];
        layers[0].set(0);
        for k in 0..most as usize {
            let mut next = Bits::empty(length);
            for size in sizes {
                next.add_moved(&layers[k], place(*size));
            }
            layers.push(next);
        }
        Self { layers }
    }

    /// With one more size.
    pub(super) fn and(&self, size: f64) -> Self {
        let by = place(size);
        let mut layers = self.layers.clone();
        // ascending, so that the layer below includes packs with the new size already
        for k in 1..layers.len() {
            let (below, own) = layers.split_at_mut(k);
            own[0].add_moved(&below[k - 1], by);
        }
        Self { layers }
    }

    /// Every sum of one shim and more.
    pub(super) fn sums(&self) -> BuildableSums {
        let mut all = Bits::empty(self.layers[0].0.len() * 64 - 1);
        for layer in &self.layers[1..] {
            all.add_moved(layer, 0);
        }
        BuildableSums(all)
    }
}

/// Sums that can be built.
#[derive(Debug, Clone)]
pub(super) struct BuildableSums(Bits);

impl BuildableSums {
    /// Whether any is within `near`, mm, of a thickness, mm.
    pub(super) fn reach(&self, thickness: f64, near: f64) -> bool {
        let (low, high) = (thickness - near - SLACK, thickness + near + SLACK);
        if high < 0.0 {
            return false;
        }
        // a printed size is on the lattice up to rounding in its conversion
        let from = (low * PER_MM - 1e-4).ceil().max(0.0) as usize;
        let to = (high * PER_MM + 1e-4).floor() as usize;
        self.0.any(from, to)
    }
}

/// The thickest pack of a series, mm.
pub(super) fn thickest(series: &Series) -> f64 {
    let thickest = series.sizes.last().copied().unwrap_or(0.0);
    thickest * f64::from(series.most_in_pack)
}
