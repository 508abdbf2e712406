//! The shims that came out in a job.

use crate::axle::packs::PackTable;
use crate::bench::setup::{Preload, Setup, SideStock};
use crate::next::{BenchJob, Fitted, same};

/// How many shims of each series came out in a job, the series of the axle in the order of its places.
///
/// # Definition
/// As the drawer counts them. The packs of the old set-up come out at stripping, each the one nearest to
/// what was measured, or to the usual one where nothing was; so does every pack that another one
/// replaces, whole. Packs that leave with the axle don't count. Of packs that give one sum it is the one
/// with the fewest shims.
pub(crate) fn shims_out(setup: &Setup, job: &BenchJob) -> Vec<(String, u32)> {
    let axle = &setup.axle;
    let (known, entries) = (&job.known, &job.assemblies);
    let mut all: Vec<(String, u32)> = (axle.series().into_iter())
        .map(|name| (name.to_owned(), 0))
        .collect();
    let mut count = |series: &str, packs: &PackTable, old: f64, fitted: Vec<f64>| {
        if let Some((_, out)) = all.iter_mut().find(|(name, _)| name == series) {
            *out += of_place(packs, old, &fitted);
        }
    };
    let fitted = |place: fn(&Fitted) -> f64| entries.iter().map(place).collect();
    let pinion = &axle.pinion_shim;
    let old = known.pinion_pack.unwrap_or(pinion.usual);
    let packs = &setup.pinion_packs;
    count(&pinion.stock, packs, old, fitted(|entry| entry.pinion));
    if let (SideStock::Packs(packs), Some(series)) = (&setup.side_stock, &axle.side_shims.stock) {
        let [ring, far] = axle.side_shims.usual;
        let old = known.ring_pack.unwrap_or(ring);
        count(series, packs, old, fitted(|entry| entry.ring));
        let old = known.far_pack.unwrap_or(far);
        count(series, packs, old, fitted(|entry| entry.far));
    }
    if let (Preload::Spacer { packs, usual, .. }, Some(series)) =
        (&setup.preload, axle.pinion_preload.stock())
    {
        let tried = entries.iter().flat_map(|entry| entry.preload.iter());
        let old = known.preload_pack.unwrap_or(*usual);
        count(series, packs, old, tried.copied().collect());
    }
    all
}

/// Shims that came out at one place: the old pack, and every fitted one but the last.
fn of_place(packs: &PackTable, old: f64, fitted: &[f64]) -> u32 {
    let shims = |pack: f64| packs.all()[packs.nearest(pack)].shims.len() as u32;
    let replaced = fitted.windows(2).filter(|pair| !same(pair[0], pair[1]));
    shims(old) + replaced.map(|pair| shims(pair[0])).sum::<u32>()
}
