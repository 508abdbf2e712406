//! Packs: which shims of a series go together, and the pack nearest to a wanted thickness.

use crate::shims::Series;
use crate::units::SLACK;

/// Every thickness that a series can build, with the pack for it.
#[derive(Debug, Clone, PartialEq)]
pub struct PackTable {
    packs: Vec<Pack>,
    /// The printed sums alone, for the search, and an endless one.
    printed: Vec<f64>,
    /// For equal cells of thickness, the last pack below the cell's start.
    cells: Vec<u32>,
    cells_per_mm: f64,
    /// Packs that the search goes on from there at the most.
    steps: u32,
}

/// One pack of a series.
#[derive(Debug, Clone, PartialEq)]
pub struct Pack {
    /// Sum of the printed thicknesses, mm.
    pub printed: f64,
    /// Its shims as places in the series' sizes, thickest first.
    pub shims: Vec<u16>,
    /// One sigma of its real thickness about the printed sum, mm.
    pub sigma: f64,
}

/// A series that can build more different thicknesses than this is refused.
pub const MOST_PACKS: usize = 200_000;

/// The series can build more than [`MOST_PACKS`] thicknesses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TooManyPacks;

impl PackTable {
    /// All packs of 1 … `most_in_pack` shims, sizes may repeat; for each sum the one with the
    /// fewest shims, and among those the one with the thickest shims.
    ///
    /// `micrometer` is the one-sigma error of one shim where the shop measures and re-labels them,
    /// mm; without it each shim is off by a third of its own tolerance.
    ///
    /// # Errors
    /// [`TooManyPacks`] beyond [`MOST_PACKS`] different sums.
    ///
    /// # Panics
    /// If the series has no sizes or allows no shim in a pack.
    pub fn new(series: &Series, micrometer: Option<f64>) -> Result<Self, TooManyPacks> {
        assert!(!series.sizes.is_empty() && series.most_in_pack > 0);
        let mut packs: Vec<Pack> = Vec::new();
        let mut layer: Vec<Pack> = vec![Pack {
            printed: 0.0,
            shims: Vec::new(),
            sigma: 0.0,
        }];
        for _ in 0..series.most_in_pack {
            let mut grown: Vec<Pack> = Vec::with_capacity(layer.len() * series.sizes.len());
            for pack in &layer {
                for (i, size) in series.sizes.iter().enumerate() {
                    let mut shims = pack.shims.clone();
                    let place = shims.partition_point(|have| usize::from(*have) > i);
                    shims.insert(place, i as u16);
                    grown.push(Pack {
                        printed: pack.printed + size,
                        shims,
                        sigma: 0.0,
                    });
                }
            }
            keep_best(&mut grown);
            if grown.len() > MOST_PACKS {
                return Err(TooManyPacks);
            }
            packs.extend(grown.iter().cloned());
            layer = grown;
        }
        keep_best(&mut packs);
        if packs.len() > MOST_PACKS {
            return Err(TooManyPacks);
        }
        for pack in &mut packs {
            let variance: f64 = pack
                .shims
                .iter()
                .map(|i| {
                    let size = series.sizes[usize::from(*i)];
                    let sigma = micrometer.unwrap_or_else(|| series.tolerance.limit(size) / 3.0);
                    sigma * sigma
                })
                .sum();
            pack.sigma = variance.sqrt();
        }
        Ok(Self::indexed(packs))
    }

    fn indexed(packs: Vec<Pack>) -> Self {
        let mut printed: Vec<f64> = packs.iter().map(|p| p.printed).collect();
        let (thinnest, thickest) = (printed[0], printed[printed.len() - 1]);
        let cells_per_mm = if thickest > thinnest {
            4.0 * packs.len() as f64 / (thickest - thinnest)
        } else {
            0.0
        };
        // a hair short of its start, so that rounding never puts a cell one pack too far
        let below = |cell: usize| {
            let start = match cells_per_mm {
                0.0 => thinnest,
                each => thinnest + cell as f64 / each - SLACK,
            };
            printed.partition_point(|p| *p <= start).saturating_sub(1) as u32
        };
        let cells: Vec<u32> = (0..=4 * packs.len() + 1).map(below).collect();
        let most_steps = cells.windows(2).map(|pair| pair[1] - pair[0]).max();
        printed.push(f64::INFINITY);
        Self {
            packs,
            printed,
            cells,
            cells_per_mm,
            steps: most_steps.unwrap_or(0) + 1,
        }
    }

    /// The same packs, and one for every step of a grid, mm, where there is none: what a series
    /// without gaps would build. What the real thickness of such a pack is off by is taken from the
    /// nearest real one.
    ///
    /// # Panics
    /// If the grid is not above zero.
    pub fn filled(&self, grid: f64) -> Self {
        assert!(grid > 0.0);
        let thickest = self.packs.last().map_or(0.0, |p| p.printed);
        let mut packs = self.packs.clone();
        for step in 1..=(thickest / grid + SLACK) as u32 {
            let printed = f64::from(step) * grid;
            let near = &self.packs[self.nearest(printed)];
            if (near.printed - printed).abs() > SLACK {
                packs.push(Pack {
                    printed,
                    ..near.clone()
                });
            }
        }
        packs.sort_by(|a, b| a.printed.total_cmp(&b.printed));
        Self::indexed(packs)
    }

    /// Every pack, thinnest first.
    pub fn all(&self) -> &[Pack] {
        &self.packs
    }

    /// The place of the pack nearest to a wanted thickness, mm; among equals the thinner.
    #[inline]
    pub fn nearest(&self, wanted: f64) -> usize {
        let printed = self.printed.as_slice();
        // an endless wish is one for the thickest
        let wanted = wanted.min(printed[printed.len() - 2]);
        // below the thinnest, and for a figure that is no number, the cast gives 0
        let cell = ((wanted - printed[0]) * self.cells_per_mm) as usize;
        let mut below = self.cells[cell.min(self.cells.len() - 1)] as usize;
        // a fixed count of steps and sums of conditions: which pack it will be is anyone's guess,
        // a branch predictor's too
        for _ in 0..self.steps {
            below += usize::from(printed[below + 1] <= wanted);
        }
        let nearer = printed[below + 1] - wanted < (wanted - printed[below]).abs() - SLACK;
        below + usize::from(nearer)
    }
}

/// Leaves the best pack of each sum, in order of sums.
fn keep_best(packs: &mut Vec<Pack>) {
    packs.sort_by(order);
    packs.dedup_by(|later, kept| (later.printed - kept.printed).abs() <= SLACK);
}

/// By sum, then fewest shims, then thickest shims first. Sums that are the same but for rounding
/// count as one, so they are compared on a grid finer than any printed size.
fn order(a: &Pack, b: &Pack) -> std::cmp::Ordering {
    let grid = |p: &Pack| (p.printed * 1e7).round() as i64;
    grid(a)
        .cmp(&grid(b))
        .then(a.shims.len().cmp(&b.shims.len()))
        .then_with(|| b.shims.cmp(&a.shims))
}
