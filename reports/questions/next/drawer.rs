//! What can be built of a drawer as it was counted, and of the shims that come out.

use std::collections::BTreeMap;
use std::path::Path;

use shimcast_sim::axle::packs::PackTable;
use shimcast_sim::bench::PackPlace;
use shimcast_sim::bench::setup::{Preload, Setup, SideStock};
use shimcast_sim::next::BenchJob;
use shimcast_sim::stock::{Present, Shelf, shelves};

use crate::files::have;
use crate::questions::context::{Failure, failure};

/// Sums nearer than this, mm, are the same pack.
const SAME: f64 = 1e-4;

/// Shims of one size: its place in the series, and how many.
pub(super) type Shims = Vec<(usize, u32)>;

/// The drawer as it was counted.
#[derive(Debug)]
pub(super) struct Drawer {
    shelves: Vec<Shelf>,
    counts: Vec<Vec<u32>>,
    /// For each place, in the order of [`PLACES`], which packs of its table can be built.
    built: [Vec<bool>; 4],
}

const PLACES: [PackPlace; 4] = [
    PackPlace::Pinion,
    PackPlace::RingSide,
    PackPlace::FarSide,
    PackPlace::Spacer,
];

/// The packs that a place can have, and the series they are built of.
pub(super) fn packs_of(setup: &Setup, place: PackPlace) -> Option<(&PackTable, &str)> {
    match place {
        PackPlace::Pinion => Some((&setup.pinion_packs, setup.axle.pinion_shim.stock.as_str())),
        PackPlace::RingSide | PackPlace::FarSide => match &setup.side_stock {
            SideStock::Packs(packs) => Some((packs, setup.axle.side_shims.stock.as_deref()?)),
            SideStock::Notches(_) => None,
        },
        PackPlace::Spacer => match &setup.preload {
            Preload::Spacer { packs, .. } => Some((packs, setup.axle.pinion_preload.stock()?)),
            Preload::Sleeve { .. } => None,
        },
    }
}

/// The pack of a place that stands in the axle, mm.
fn fitted(job: &BenchJob, place: PackPlace) -> Option<f64> {
    let last = job.assemblies.last()?;
    match place {
        PackPlace::Pinion => Some(last.pinion),
        PackPlace::RingSide => Some(last.ring),
        PackPlace::FarSide => Some(last.far),
        PackPlace::Spacer => last.preload.last().copied(),
    }
}

/// The shims of the packs that stand in the axle: series, size in mm, and how many.
///
/// # Errors
/// In words, where there are none, or what a pack is built of is not known.
pub(super) fn shims_fitted(
    setup: &Setup,
    job: &BenchJob,
) -> Result<Vec<(String, f64, u32)>, String> {
    let mut all: BTreeMap<(&str, usize), u32> = BTreeMap::new();
    for place in PLACES {
        let stands = packs_of(setup, place).zip(fitted(job, place));
        let Some(((packs, series), mm)) = stands else {
            continue;
        };
        let pack = &packs.all()[packs.nearest(mm)];
        if (pack.printed - mm).abs() >= SAME {
            return Err(format!(
                "no pack of {series} is as thick as one that is fitted, so what to book is not known: \
                 count the drawer in its room"
            ));
        }
        for size in &pack.shims {
            *all.entry((series, usize::from(*size))).or_default() += 1;
        }
    }
    if all.is_empty() {
        return Err("no shims are fitted, so there is nothing to book".to_owned());
    }
    let sized = all.into_iter().filter_map(|((name, size), count)| {
        let sizes = &setup.shop.series(name)?.sizes;
        Some((name.to_owned(), *sizes.get(size)?, count))
    });
    Ok(sized.collect())
}

impl Drawer {
    /// Reads what was counted.
    pub(super) fn read(path: &Path, setup: &Setup, job: &BenchJob) -> Result<Self, Failure> {
        let shelves = shelves(&setup.shop, &[setup], &|_| None).map_err(|series| {
            Failure::BadInput(format!("the sizes of series {series} make too many packs"))
        })?;
        let Present { counts, .. } =
            have(path, &shelves, &setup.shop).map_err(|problems| failure(&problems))?;
        let mut drawer = Self {
            shelves,
            counts,
            built: Default::default(),
        };
        drawer.built = PLACES.map(|place| drawer.can_be_built(setup, job, place));
        Ok(drawer)
    }

    fn can_be_built(&self, setup: &Setup, job: &BenchJob, place: PackPlace) -> Vec<bool> {
        let Some((packs, _)) = packs_of(setup, place) else {
            return Vec::new();
        };
        let Some((shelf, there)) = self.there(setup, job, &[place]) else {
            return vec![false; packs.all().len()];
        };
        let sums = sums(&self.shelves[shelf], &there);
        let fits = |mm: f64| sums.contains_key(&grid(mm));
        packs.all().iter().map(|pack| fits(pack.printed)).collect()
    }

    /// The shelf of these places, which share one, and what there is of each size once their packs are
    /// out.
    fn there(
        &self,
        setup: &Setup,
        job: &BenchJob,
        places: &[PackPlace],
    ) -> Option<(usize, Vec<u32>)> {
        let (packs, name) = packs_of(setup, *places.first()?)?;
        let shelf = self.shelves.iter().position(|shelf| shelf.name == name)?;
        let mut there = self.counts[shelf].clone();
        for place in places {
            let Some(mm) = fitted(job, *place) else {
                continue;
            };
            let pack = &packs.all()[packs.nearest(mm)];
            if (pack.printed - mm).abs() < SAME {
                for size in &pack.shims {
                    there[usize::from(*size)] += 1;
                }
            }
        }
        Some((shelf, there))
    }

    /// Whether a pack of a place's table can be built of what is there.
    pub(super) fn builds(&self, place: PackPlace, pack: usize) -> bool {
        let at = PLACES.iter().position(|other| *other == place);
        at.is_some_and(|at| self.built[at].get(pack) == Some(&true))
    }

    /// Shims for packs of these places, which are built together, of what is there; where it is short, the
    /// pack that can't be built.
    pub(super) fn build(
        &self,
        setup: &Setup,
        job: &BenchJob,
        wanted: &[(PackPlace, f64)],
    ) -> Result<Vec<(PackPlace, Shims)>, (PackPlace, f64)> {
        let mut built: Vec<(PackPlace, Shims)> = Vec::new();
        let Some(first) = wanted.first() else {
            return Ok(built);
        };
        let names = |place| packs_of(setup, place).map(|(_, name)| name.to_owned());
        let (same, rest): (Vec<_>, Vec<_>) = wanted
            .iter()
            .copied()
            .partition(|(place, _)| names(*place) == names(first.0));
        let places: Vec<PackPlace> = same.iter().map(|(place, _)| *place).collect();
        let Some((shelf, there)) = self.there(setup, job, &places) else {
            return Err(*first);
        };
        let shelf = &self.shelves[shelf];
        let mut order = same.clone();
        // what one pack takes the other may lack: the order decides, so each is tried
        for _ in 0..same.len() {
            let mut left = there.clone();
            let all: Option<Vec<(PackPlace, Shims)>> = order
                .iter()
                .map(|(place, mm)| Some((*place, taken(shelf, &mut left, *mm)?)))
                .collect();
            if let Some(all) = all {
                built.extend(all);
                built.extend(self.build(setup, job, &rest)?);
                return Ok(built);
            }
            order.rotate_left(1);
        }
        let short = |(_, mm): &&(PackPlace, f64)| taken(shelf, &mut there.clone(), *mm).is_none();
        Err(*same.iter().find(short).unwrap_or(first))
    }

    /// How many of a size there are in the drawer.
    pub(super) fn count(&self, series: &str, size: usize) -> u32 {
        let shelf = self.shelves.iter().position(|shelf| shelf.name == series);
        shelf.map_or(0, |shelf| self.counts[shelf][size])
    }
}

/// Takes a pack out of what is there; `None` where that is too little.
fn taken(shelf: &Shelf, there: &mut [u32], mm: f64) -> Option<Shims> {
    let shims = sums(shelf, there).remove(&grid(mm))?;
    for (size, count) in &shims {
        there[*size] -= count;
    }
    Some(shims)
}

/// A sum on a grid far finer than any printed size.
fn grid(mm: f64) -> i64 {
    (mm / SAME).round() as i64
}

/// Every sum that can be built of what is there, each with the fewest shims, thickest first.
fn sums(shelf: &Shelf, there: &[u32]) -> BTreeMap<i64, Shims> {
    let number = |shims: &Shims| shims.iter().map(|(_, count)| count).sum::<u32>();
    let mut all: BTreeMap<i64, (f64, Shims)> = BTreeMap::from([(0, (0.0, Shims::new()))]);
    for (size, mm) in shelf.sizes.iter().enumerate().rev() {
        let before: Vec<(f64, Shims)> = all.values().cloned().collect();
        for (sum, shims) in before {
            let room = shelf.most_in_pack.saturating_sub(number(&shims));
            for count in 1..=room.min(there[size]) {
                let sum = sum + f64::from(count) * mm;
                let mut more = shims.clone();
                more.push((size, count));
                let fewer = |known: &(f64, Shims)| number(&known.1) <= number(&more);
                if !all.get(&grid(sum)).is_some_and(fewer) {
                    all.insert(grid(sum), (sum, more));
                }
            }
        }
    }
    let packs = all.into_iter().filter(|(sum, _)| *sum > 0);
    packs.map(|(sum, (_, shims))| (sum, shims)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn demo() -> (Setup, BenchJob) {
        let condition = shimcast_sim::axle::Condition::New;
        let (axle, shop) = (shimcast_sim::demo::axle(), shimcast_sim::demo::shop());
        let setup = Setup::new(axle, shop, condition, condition).expect("the demo");
        (setup, BenchJob::default())
    }

    fn drawer(setup: &Setup, job: &BenchJob, of_pinion: &[(f64, u32)]) -> Drawer {
        let shelves = shelves(&setup.shop, &[setup], &|_| None).expect("few packs");
        let count = |shelf: &Shelf, size: f64| {
            let own = shelf.name == setup.axle.pinion_shim.stock;
            let of = of_pinion.iter().find(|(mm, _)| (mm - size).abs() < SAME);
            of.filter(|_| own).map_or(0, |(_, count)| *count)
        };
        let counts = shelves
            .iter()
            .map(|shelf| shelf.sizes.iter().map(|size| count(shelf, *size)).collect())
            .collect();
        let mut drawer = Drawer {
            shelves,
            counts,
            built: Default::default(),
        };
        drawer.built = PLACES.map(|place| drawer.can_be_built(setup, job, place));
        drawer
    }

    /// Held against every choice of shims, tried one by one.
    #[test]
    fn a_sum_is_built_exactly_where_some_choice_of_shims_gives_it() {
        let (setup, job) = demo();
        let there = [(0.30, 2), (0.20, 1), (0.40, 1), (0.50, 1)];
        let drawer = drawer(&setup, &job, &there);
        let mut possible = std::collections::BTreeSet::new();
        for a in 0..=2u32 {
            for rest in 0..8u32 {
                let bits = [rest & 1, rest >> 1 & 1, rest >> 2 & 1];
                let number = a + bits.iter().sum::<u32>();
                let rest: f64 = bits
                    .iter()
                    .zip([0.20, 0.40, 0.50])
                    .map(|(n, mm)| f64::from(*n) * mm)
                    .sum();
                if (1..=3).contains(&number) {
                    possible.insert(grid(0.30 * f64::from(a) + rest));
                }
            }
        }
        for (at, pack) in setup.pinion_packs.all().iter().enumerate() {
            let wanted = possible.contains(&grid(pack.printed));
            assert_eq!(
                drawer.builds(PackPlace::Pinion, at),
                wanted,
                "{}",
                pack.printed
            );
        }
        assert!(!drawer.builds(PackPlace::RingSide, 0));
    }

    #[test]
    fn what_comes_out_can_go_in_again_and_no_shim_goes_in_twice() {
        let (setup, mut job) = demo();
        let own = shimcast_sim::next::Fitted {
            pinion: 0.80,
            ring: 1.0,
            far: 1.0,
            ..Default::default()
        };
        job.assemblies.push(own);
        let drawer = drawer(&setup, &job, &[(0.30, 1)]);
        let built = drawer.build(&setup, &job, &[(PackPlace::Pinion, 0.80)]);
        assert!(built.is_ok(), "{built:?}");
        let short = drawer.build(&setup, &job, &[(PackPlace::Pinion, 0.60)]);
        assert_eq!(short, Err((PackPlace::Pinion, 0.60)));
        // of the two side packs that come out each shim is there once
        let both = [(PackPlace::RingSide, 1.0), (PackPlace::FarSide, 1.0)];
        assert!(drawer.build(&setup, &job, &both).is_ok());
        assert!(
            drawer
                .build(&setup, &job, &[both[0], (PackPlace::FarSide, 2.0)])
                .is_err()
        );
    }
}
