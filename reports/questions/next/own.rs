//! Packs that the asker names.

use shimcast_sim::bench::PackPlace;
use shimcast_sim::bench::setup::Setup;

use super::drawer::packs_of;
use crate::cli::{PLACES, Packs};
use crate::files::LoadedJob;

/// Sums nearer than this, mm, are the same pack.
const SAME: f64 = 1e-4;
const AT: [PackPlace; 3] = [PackPlace::Pinion, PackPlace::RingSide, PackPlace::FarSide];

/// The packs of each `--moves`, mm.
///
/// # Errors
/// In words, where a pack can't be built, or nothing stands that what is not named could stay at.
pub(super) fn moves(
    named: &[Packs],
    job: &LoadedJob,
    setup: &Setup,
) -> Result<Vec<[f64; 3]>, String> {
    named.iter().map(|packs| one(packs, job, setup)).collect()
}

fn one(packs: &Packs, job: &LoadedJob, setup: &Setup) -> Result<[f64; 3], String> {
    let unit = job.loaded.axle_units.length.mm();
    let typed = &packs.typed;
    let [pinion, ring, far] = packs.sums.map(|sum| sum.map(|sum| sum * unit));
    let stands = job.bench.assemblies.last();
    let mm = match (stands, pinion, ring, far) {
        (_, Some(pinion), Some(ring), Some(far)) => [pinion, ring, far],
        (Some(last), ..) => {
            let stays = match ring {
                // both sides together stay
                Some(ring) => last.far + last.ring - ring,
                None => last.far,
            };
            [
                pinion.unwrap_or(last.pinion),
                ring.unwrap_or(last.ring),
                far.unwrap_or(stays),
            ]
        }
        (None, ..) => {
            return Err(format!(
                "--moves {typed}: nothing is fitted yet that the others could stay at\n  \
                 help: name all three: --moves pinion=…,ring=…,far=…"
            ));
        }
    };
    let print = job.loaded.printed();
    let mut built = mm;
    for (at, place) in AT.into_iter().enumerate() {
        let Some((table, series)) = packs_of(setup, place) else {
            continue;
        };
        let near = table.all()[table.nearest(mm[at])].printed;
        if (near - mm[at]).abs() <= SAME {
            continue;
        }
        // what merely stays, or makes up for a ring side, takes the nearest pack
        if packs.sums[at].is_none() {
            built[at] = near;
            continue;
        }
        return Err(format!(
            "--moves {typed}: {series} can't build {}={}\n  help: the nearest pack is {}",
            PLACES[at],
            print.given(mm[at]),
            print.given(near)
        ));
    }
    Ok(built)
}
