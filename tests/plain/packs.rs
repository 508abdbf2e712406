//! Shim packs: what can be built from a series, and how true it is.

use super::chance::{Chance, Figure};

/// How exactly a shim has the thickness printed on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShimTolerance {
    Normal,
    Fine,
    Precision,
    Length(f64),
}

/// Cold-rolled strip, ± mm for normal, fine and precision, from the given thickness on.
const STRIP: [(f64, [f64; 3]); 14] = [
    (0.10, [0.010, 0.008, 0.006]),
    (0.15, [0.015, 0.010, 0.008]),
    (0.20, [0.015, 0.012, 0.008]),
    (0.25, [0.017, 0.012, 0.009]),
    (0.30, [0.020, 0.015, 0.010]),
    (0.40, [0.025, 0.020, 0.012]),
    (0.50, [0.030, 0.020, 0.014]),
    (0.60, [0.030, 0.025, 0.015]),
    (0.80, [0.030, 0.025, 0.018]),
    (1.00, [0.035, 0.030, 0.020]),
    (1.20, [0.040, 0.030, 0.020]),
    (1.50, [0.050, 0.035, 0.025]),
    (2.00, [0.050, 0.035, 0.025]),
    (2.50, [0.060, 0.045, 0.030]),
];

impl ShimTolerance {
    /// Half the width of the tolerance field at this thickness.
    pub fn at(self, thickness: f64) -> f64 {
        let class = match self {
            ShimTolerance::Normal => 0,
            ShimTolerance::Fine => 1,
            ShimTolerance::Precision => 2,
            ShimTolerance::Length(length) => return length,
        };
        let row = STRIP
            .iter()
            .rev()
            .find(|(from, _)| *from <= thickness + 1e-9);
        match row {
            Some((_, tolerances)) => tolerances[class],
            None => [0.10, 0.06, 0.04][class] * thickness.max(0.0),
        }
    }
}

#[derive(Clone, Debug)]
pub struct Series {
    pub sizes: Vec<f64>,
    pub tolerance: ShimTolerance,
    pub most_in_pack: usize,
    /// Of one shim.
    pub price: f64,
}

/// A pack that can be built: its printed sum, and the sigma of its real thickness.
#[derive(Clone, Copy, Debug)]
pub struct Pack {
    pub printed: f64,
    pub sigma: f64,
    pub shims: usize,
}

/// What a seat can be set with.
#[derive(Clone, Debug)]
pub enum Stock {
    /// Every pack of a series, thinnest first, one for each printed sum.
    Shims {
        packs: Vec<Pack>,
        tolerance: ShimTolerance,
        price: f64,
    },
    /// Screw adjusters: whole multiples of a notch.
    Notches(f64),
}

impl Stock {
    pub fn of_series(series: &Series, micrometer: Option<f64>) -> Self {
        let mut sizes = series.sizes.clone();
        sizes.sort_by(f64::total_cmp);
        let mut packs = Vec::new();
        let mut chosen = Vec::new();
        add_packs(&sizes, 0, series, micrometer, &mut chosen, &mut packs);
        // Of equal sums the fewest shims; of as few, the pack built first, which holds the
        // thinnest shim.
        let mut by_sum: Vec<usize> = (0..packs.len()).collect();
        by_sum.sort_by(|a, b| packs[*a].printed.total_cmp(&packs[*b].printed));
        let mut kept: Vec<usize> = Vec::new();
        for index in by_sum {
            match kept.last_mut() {
                Some(last) if (packs[*last].printed - packs[index].printed).abs() < 1e-9 => {
                    if (packs[index].shims, index) < (packs[*last].shims, *last) {
                        *last = index;
                    }
                }
                _ => kept.push(index),
            }
        }
        let packs = kept.into_iter().map(|index| packs[index]).collect();
        Stock::Shims {
            packs,
            tolerance: series.tolerance,
            price: series.price,
        }
    }

    /// What one shim costs.
    pub fn price(&self) -> f64 {
        match self {
            Stock::Shims { price, .. } => *price,
            Stock::Notches(_) => 0.0,
        }
    }

    /// The pack whose printed sum is nearest; of two as near the thinner.
    pub fn nearest(&self, wanted: f64) -> Pack {
        match self {
            Stock::Shims { packs, .. } => {
                let mut best = packs[0];
                for pack in packs {
                    if (pack.printed - wanted).abs() < (best.printed - wanted).abs() - 1e-9 {
                        best = *pack;
                    }
                }
                best
            }
            Stock::Notches(notch) => {
                let below = (wanted / notch).floor() * notch;
                let above = below + notch;
                let printed = if above - wanted < wanted - below - 1e-9 {
                    above
                } else {
                    below
                };
                Pack {
                    printed,
                    sigma: 0.0,
                    shims: 0,
                }
            }
        }
    }

    /// The sigma with which an old pack of this thickness is measured.
    pub fn measuring_sigma(&self, thickness: f64, micrometer: Option<f64>) -> f64 {
        micrometer.unwrap_or_else(|| {
            let tolerance = match self {
                Stock::Shims { tolerance, .. } => *tolerance,
                Stock::Notches(_) => ShimTolerance::Normal,
            };
            tolerance.at(thickness) / 3.0
        })
    }
}

/// Adds every pack that extends `chosen` by sizes from `first` on.
fn add_packs(
    sizes: &[f64],
    first: usize,
    series: &Series,
    micrometer: Option<f64>,
    chosen: &mut Vec<f64>,
    packs: &mut Vec<Pack>,
) {
    if chosen.len() == series.most_in_pack {
        return;
    }
    for (index, size) in sizes.iter().enumerate().skip(first) {
        chosen.push(*size);
        let variance: f64 = chosen
            .iter()
            .map(|thickness| match micrometer {
                Some(sigma) => sigma * sigma,
                None => (series.tolerance.at(*thickness) / 3.0).powi(2),
            })
            .sum();
        packs.push(Pack {
            printed: chosen.iter().sum(),
            sigma: variance.sqrt(),
            shims: chosen.len(),
        });
        add_packs(sizes, index, series, micrometer, chosen, packs);
        chosen.pop();
    }
}

/// A pack in its place, with the error it really has.
#[derive(Clone, Copy, Debug)]
pub struct Fitted {
    pub printed: f64,
    pub real: f64,
    pub shims: usize,
}

impl Fitted {
    pub fn new(pack: Pack, chance: &mut dyn Chance) -> Self {
        // Adjusters have no thickness to be off.
        let error = if pack.shims > 0 {
            chance.normal(Figure::Thickness, pack.sigma)
        } else {
            0.0
        };
        Fitted {
            printed: pack.printed,
            real: pack.printed + error,
            shims: pack.shims,
        }
    }

    pub fn is_same(&self, pack: &Pack) -> bool {
        (self.printed - pack.printed).abs() < 1e-9
    }

    /// Puts `pack` in place of this one; the same printed sum keeps its error.
    pub fn replace(&mut self, pack: Pack, chance: &mut dyn Chance) {
        if !self.is_same(&pack) {
            *self = Fitted::new(pack, chance);
        }
    }
}
