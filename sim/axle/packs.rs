//! Packs: the sums of shims that a series can build, and the one nearest to a wanted thickness.

use std::sync::Arc;

use crate::axle::shims::Series;
use crate::units::SLACK;

/// Every thickness that a series can build, with the pack for it. Clones share their memory.
///
/// # Example
/// ```
/// use shimcast_sim::axle::packs::PackTable;
/// use shimcast_sim::axle::shims::{Series, Thickness};
///
/// let series = Series { sizes: vec![0.2, 0.5], most_in_pack: 2, ..shimcast_sim::demo::shop().shims[0].clone() };
/// let table = PackTable::new(&series, None).expect("few packs");
/// let sums: Vec<f64> = table.all().iter().map(|pack| pack.printed).collect();
/// assert_eq!(sums, [0.2, 0.4, 0.5, 0.7, 1.0]);
/// assert_eq!(table.nearest(0.62), 3);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct PackTable {
    packs: Arc<[Pack]>,
    /// Printed sum and sigma of each pack, side by side for the bench.
    figures: Arc<[[f64; 2]]>,
    /// The thickness up to which each pack is the nearest: halfway to the next; infinite for the
    /// thickest.
    bounds: Arc<[f64]>,
    /// For cells of equal thickness, the nearest pack at the start of the cell.
    cells: Arc<[u32]>,
    thinnest: f64,
    cells_per_mm: f64,
    /// Most packs between the start of a cell and any thickness in it.
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

/// Limit of the different thicknesses that a series may build.
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
        let figures: Vec<[f64; 2]> = packs.iter().map(|p| [p.printed, p.sigma]).collect();
        let (thinnest, thickest) = (figures[0][0], figures[figures.len() - 1][0]);
        // of two equally near the thinner: with some slack, up to and with the bound itself
        let mut bounds: Vec<f64> = figures
            .windows(2)
            .map(|pair| 0.5 * (pair[0][0] + pair[1][0] + SLACK))
            .collect();
        bounds.push(f64::INFINITY);
        let count = CELLS_PER_PACK * packs.len();
        let cells_per_mm = if thickest > thinnest {
            count as f64 / (thickest - thinnest)
        } else {
            0.0
        };
        // slightly before its start, so that rounding never puts a cell one pack too far
        let nearest_at = |cell: usize| {
            let start = match cells_per_mm {
                0.0 => thinnest,
                each => thinnest + cell as f64 / each - SLACK,
            };
            bounds.partition_point(|bound| *bound < start) as u32
        };
        let cells: Vec<u32> = (0..=count + 1).map(nearest_at).collect();
        let most_steps = cells.windows(2).map(|pair| pair[1] - pair[0]).max();
        Self {
            packs: packs.into(),
            figures: figures.into(),
            bounds: bounds.into(),
            cells: cells.into(),
            thinnest,
            cells_per_mm,
            steps: most_steps.unwrap_or(0).max(1),
        }
    }

    /// The same packs, with one added at every step of a grid, mm, where there is none: a series
    /// without gaps. The thickness error of an added pack is that of the nearest real one.
    ///
    /// # Panics
    /// If the grid is not above zero.
    #[doc(hidden)]
    pub fn filled(&self, grid: f64) -> Self {
        assert!(grid > 0.0);
        let thickest = self.packs.last().map_or(0.0, |p| p.printed);
        let mut packs = self.packs.to_vec();
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
        // below the thinnest, and for NaN, the cast gives 0; beyond the thickest, and for infinity,
        // the last cell is taken
        let cell = ((wanted - self.thinnest) * self.cells_per_mm) as u32 as usize;
        let mut at = self.cells[cell.min(self.cells.len() - 1)] as usize;
        // a fixed number of steps without branches, since which pack it is can't be predicted
        for _ in 0..self.steps {
            at += usize::from(self.bounds[at] < wanted);
        }
        at
    }

    /// Printed sum and sigma of the real thickness of a pack, mm.
    #[inline]
    pub(crate) fn printed_and_sigma(&self, number: usize) -> [f64; 2] {
        self.figures[number]
    }
}

/// Cells for each pack: with this many, most cells hold one bound at most.
const CELLS_PER_PACK: usize = 8;

/// Keeps the best pack of each sum, in order of sums.
fn keep_best(packs: &mut Vec<Pack>) {
    packs.sort_by(order);
    packs.dedup_by(|later, kept| (later.printed - kept.printed).abs() <= SLACK);
}

/// By sum, then fewest shims, then thickest shims first. Sums equal up to rounding count as one:
/// they are compared on a grid finer than any printed size.
fn order(a: &Pack, b: &Pack) -> std::cmp::Ordering {
    let grid = |p: &Pack| (p.printed * 1e7).round() as i64;
    grid(a)
        .cmp(&grid(b))
        .then(a.shims.len().cmp(&b.shims.len()))
        .then_with(|| b.shims.cmp(&a.shims))
}
