//! Packs: which shims of a series go together, and the pack nearest to a wanted thickness.

use crate::shims::Series;
use crate::units::SLACK;

/// Every thickness that a series can build, with the pack for it.
#[derive(Debug, Clone, PartialEq)]
pub struct PackTable {
    packs: Vec<Pack>,
    /// For equal steps of thickness, the last pack not above the step's start.
    cells: Vec<u32>,
    cells_per_mm: f64,
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
        let first = packs[0].printed;
        let range = packs[packs.len() - 1].printed - first;
        let cells = (2 * packs.len()).max(2);
        let cells_per_mm = if range > 0.0 {
            cells as f64 / range
        } else {
            0.0
        };
        let cells = (0..=cells)
            .map(|i| {
                let start = if cells_per_mm > 0.0 {
                    first + i as f64 / cells_per_mm
                } else {
                    first
                };
                packs
                    .partition_point(|p| p.printed <= start)
                    .saturating_sub(1) as u32
            })
            .collect();
        Self {
            packs,
            cells,
            cells_per_mm,
        }
    }

    /// Every pack, thinnest first.
    pub fn all(&self) -> &[Pack] {
        &self.packs
    }

    /// The place of the pack nearest to a wanted thickness, mm; among equals the thinner.
    #[inline]
    pub fn nearest(&self, wanted: f64) -> usize {
        let packs = &self.packs;
        // below the thinnest, and for a figure that is no number, the cast gives 0
        let cell = ((wanted - packs[0].printed) * self.cells_per_mm) as usize;
        let mut i = self.cells[cell.min(self.cells.len() - 1)] as usize;
        while i + 1 < packs.len() && packs[i + 1].printed <= wanted {
            i += 1;
        }
        // rounding of the cell's start may have put it one pack too far
        while i > 0 && packs[i].printed > wanted {
            i -= 1;
        }
        match packs.get(i + 1) {
            Some(above)
                if above.printed - wanted < (wanted - packs[i].printed).abs() - SLACK =>
            {
                i + 1
            }
            _ => i,
        }
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
