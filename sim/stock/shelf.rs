//! One series in the drawer: the packs it can build from the shims at hand.

use std::sync::OnceLock;

use super::lanes::{Lanes, MANY, words_for};
use crate::axle::packs::{PackTable, TooManyPacks};
use crate::axle::shims::Series;
use crate::units::SLACK;

/// Limit of the shims in one pack.
pub const MOST_IN_PACK: usize = 8;

/// Limit of the sizes of one series.
pub const MOST_SIZES: usize = 64;

/// Sums that agree to this, mm, are the same sum: far finer than any printed size.
const GRID: f64 = 1e-7;

/// A series with its packs and prices for the drawer.
#[derive(Debug, Clone)]
pub struct Shelf {
    /// The series' name.
    pub name: String,
    /// Thicknesses as printed, mm, ascending.
    pub sizes: Vec<f64>,
    /// The unit that they are printed in, mm.
    pub unit: f64,
    /// Price of one shim of each size.
    pub prices: Vec<f64>,
    /// Shims in a bought pack.
    pub pack_of: u32,
    /// Bought packs of one size that are delivered at the least; one where nobody says more.
    pub least_order: u32,
    /// Most shims in one pack on the axle.
    pub most_in_pack: u32,
    /// Probability that a shim taken out can't be used again.
    pub spoiled: f64,
    /// The packs that the bench may want, by number.
    pub packs: PackTable,
    near_enough: f64,
    /// The shims of each wanted pack, as the bench would fit it from an unlimited drawer, and the
    /// same as [`Lanes`], pack after pack.
    ideals: Vec<ShimCounts>,
    ideal_lanes: Vec<u64>,
    /// Every pack that can be built at all, by sum.
    all: Vec<Candidate>,
    /// For each wanted pack those near enough, best first; worked out on first use.
    choices: Vec<OnceLock<Choices>>,
}

/// How many shims of which sizes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct ShimCounts {
    kinds: u8,
    shims: u8,
    of: [(u8, u8); MOST_IN_PACK],
}

/// A pack as fitted, by its shims.
#[derive(Debug, Clone, Copy)]
pub(super) struct PackShims<'a, const W: usize> {
    /// Its shims kind by kind, thickest first.
    pub(super) needs: &'a ShimCounts,
    /// The same as lanes.
    pub(super) lanes: Lanes<W>,
}

/// A pack with its sum.
#[derive(Debug, Clone, Copy)]
struct Candidate {
    sum: f64,
    needs: ShimCounts,
}

/// The packs near enough to a wanted one, best first.
#[derive(Debug, Clone)]
pub(super) struct Choices {
    /// Their shims as [`Lanes`], pack after pack; kept apart for the search, which skips most.
    lanes: Box<[u64]>,
    of: Box<[Choice]>,
}

/// A pack near enough to the wanted one.
#[derive(Debug, Clone, Copy)]
struct Choice {
    /// End of those equally near, equally thick and of as many shims.
    equals_to: u32,
    needs: ShimCounts,
}

impl Choices {
    /// The shims of each.
    #[inline]
    pub(super) fn lanes<const W: usize>(&self) -> impl Iterator<Item = Lanes<W>> {
        self.lanes.as_chunks().0.iter().map(Lanes::of)
    }

    /// The pack to build from what is in reach: the best there is, and among equals the one that
    /// takes most from the bench.
    #[inline]
    pub(super) fn best<const W: usize>(
        &self,
        reach: &Lanes<W>,
        bench: Lanes<W>,
    ) -> Option<PackShims<'_, W>> {
        let first = self.lanes().position(|pack| reach.holds(&pack))?;
        let equals = first..self.of[first].equals_to as usize;
        let mut best = first;
        if equals.len() > 1 {
            let mut most = i32::MIN;
            for (i, pack) in equals.clone().zip(self.lanes().skip(first)) {
                // the fewer are missing on the bench, the more come from it
                let from_bench = -pack.over(bench).sum();
                if from_bench > most && reach.holds(&pack) {
                    (best, most) = (i, from_bench);
                }
            }
        }
        Some(PackShims {
            needs: &self.of[best].needs,
            lanes: Lanes::of(&self.lanes.as_chunks().0[best]),
        })
    }
}

impl ShimCounts {
    /// From places in the series' sizes in any order.
    fn of(shims: impl Iterator<Item = usize>) -> Self {
        let mut needs = Self::default();
        for shim in shims {
            needs.shims += 1;
            let place = shim as u8;
            let kinds = usize::from(needs.kinds);
            match needs.of[..kinds]
                .iter_mut()
                .find(|(kind, _)| *kind == place)
            {
                Some((_, count)) => *count += 1,
                None => {
                    needs.of[kinds] = (place, 1);
                    needs.kinds += 1;
                }
            }
        }
        needs
    }

    /// Size and count of each kind.
    #[inline]
    pub(super) fn iter(&self) -> impl Iterator<Item = (usize, i32)> + '_ {
        self.of[..usize::from(self.kinds)]
            .iter()
            .map(|(place, count)| (usize::from(*place), i32::from(*count)))
    }

    /// How many shims in all.
    #[inline]
    pub(super) fn shims(&self) -> u32 {
        self.shims.into()
    }

    /// Appends them as lanes, for a series of `sizes` sizes.
    fn write(&self, sizes: usize, lanes: &mut Vec<u64>) {
        let mut words = [0; MANY];
        for (i, count) in self.iter() {
            words[i / 8] |= (count as u64) << (8 * (i % 8));
        }
        lanes.extend_from_slice(&words[..words_for(sizes)]);
    }
}

impl Shelf {
    /// The shelf of a series whose sizes cost `prices` each; a pack within `near_enough`, mm, of
    /// the wanted one is fitted in its place. `micrometer` is the shop's, as for
    /// [`PackTable::new`].
    ///
    /// # Errors
    /// [`TooManyPacks`] as for [`PackTable::new`].
    ///
    /// # Panics
    /// If there are not as many prices as sizes, more than [`MOST_SIZES`], or more than
    /// [`MOST_IN_PACK`] shims in a pack.
    pub fn new(
        series: &Series,
        prices: Vec<f64>,
        near_enough: f64,
        micrometer: Option<f64>,
    ) -> Result<Self, TooManyPacks> {
        assert_eq!(series.sizes.len(), prices.len());
        assert!(series.sizes.len() <= MOST_SIZES && series.most_in_pack as usize <= MOST_IN_PACK);
        let packs = PackTable::new(series, micrometer)?;
        let mut all = Vec::new();
        let mut shims = Vec::new();
        build_on(
            &series.sizes,
            series.most_in_pack,
            0,
            0.0,
            &mut shims,
            &mut all,
        );
        all.sort_by(|a, b| a.sum.total_cmp(&b.sum));
        let choices = packs.all().iter().map(|_| OnceLock::new()).collect();
        let mut ideals = Vec::with_capacity(packs.all().len());
        let mut ideal_lanes = Vec::new();
        for pack in packs.all() {
            let needs = ShimCounts::of(pack.shims.iter().map(|shim| usize::from(*shim)));
            needs.write(series.sizes.len(), &mut ideal_lanes);
            ideals.push(needs);
        }
        Ok(Self {
            name: series.name.clone(),
            sizes: series.sizes.clone(),
            unit: series.unit,
            prices,
            pack_of: series.pack_of,
            least_order: 1,
            most_in_pack: series.most_in_pack,
            spoiled: series.spoiled,
            packs,
            near_enough,
            ideals,
            ideal_lanes,
            all,
            choices,
        })
    }

    /// The same where a pack within this, mm, stands in for the wanted one.
    pub(super) fn with_near_enough(&self, near_enough: f64) -> Self {
        let none = self.choices.iter().map(|_| OnceLock::new());
        Self {
            near_enough,
            choices: none.collect(),
            ..self.clone()
        }
    }

    /// Pieces of one size that are bought at the least.
    pub fn least_bought(&self) -> u32 {
        self.least_order * self.pack_of
    }

    /// The pack that the bench would fit from an unlimited drawer.
    #[inline]
    pub(super) fn ideal(&self, pack: u32) -> &ShimCounts {
        &self.ideals[pack as usize]
    }

    /// The same with its lanes.
    #[inline]
    pub(super) fn ideal_pack<const W: usize>(&self, pack: u32) -> PackShims<'_, W> {
        PackShims {
            needs: self.ideal(pack),
            lanes: Lanes::of(&self.ideal_lanes.as_chunks().0[pack as usize]),
        }
    }

    /// The printed sum of a wanted pack, mm.
    pub(super) fn printed(&self, pack: u32) -> f64 {
        self.packs.all()[pack as usize].printed
    }

    /// The packs near enough to a wanted one: nearest first, then thinner, then of fewest shims.
    #[inline]
    pub(super) fn choices(&self, pack: u32) -> &Choices {
        self.choices[pack as usize].get_or_init(|| self.work_out(pack))
    }

    #[cold]
    fn work_out(&self, pack: u32) -> Choices {
        let wanted = self.printed(pack);
        let reach = self.near_enough + SLACK;
        let from = self.all.partition_point(|b| b.sum < wanted - reach);
        let to = self.all.partition_point(|b| b.sum <= wanted + reach);
        let grid = |mm: f64| (mm / GRID).round() as i64;
        let key = |b: &Candidate| {
            let off = grid(b.sum) - grid(wanted);
            (off.abs(), off, b.needs.shims())
        };
        let mut near: Vec<&Candidate> = self.all[from..to].iter().collect();
        // among equals thickest shims first, as in the table of wanted packs
        near.sort_by(|a, b| {
            let thick = |n: &ShimCounts| std::cmp::Reverse((n.of, n.kinds));
            (key(a), thick(&a.needs)).cmp(&(key(b), thick(&b.needs)))
        });
        let mut of: Vec<Choice> = Vec::with_capacity(near.len());
        let mut lanes = Vec::new();
        for equals in near.chunk_by(|a, b| key(a) == key(b)) {
            let equals_to = (of.len() + equals.len()) as u32;
            for Candidate { needs, .. } in equals.iter().copied() {
                needs.write(self.sizes.len(), &mut lanes);
                of.push(Choice {
                    equals_to,
                    needs: *needs,
                });
            }
        }
        Choices {
            lanes: lanes.into(),
            of: of.into(),
        }
    }
}

/// Adds every pack that extends `shims` by sizes no thicker than its thinnest.
fn build_on(
    sizes: &[f64],
    left: u32,
    thinner: usize,
    sum: f64,
    shims: &mut Vec<usize>,
    all: &mut Vec<Candidate>,
) {
    if left == 0 {
        return;
    }
    // thickest first, so that a pack's kinds are in descending order
    for i in thinner..sizes.len() {
        let place = sizes.len() - 1 - i;
        shims.push(place);
        let sum = sum + sizes[place];
        all.push(Candidate {
            sum,
            needs: ShimCounts::of(shims.iter().copied()),
        });
        build_on(sizes, left - 1, i, sum, shims, all);
        shims.pop();
    }
}
