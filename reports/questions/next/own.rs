//! Packs that the asker names.

use shimcast_sim::bench::PackPlace;
use shimcast_sim::bench::setup::Setup;

use super::drawer::packs_of;
use crate::cli::{PLACES, Packs};
use crate::files::LoadedJob;
use crate::printed::Printed;

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
    let one = |packs: &Packs| {
        built(packs.sums, job, setup).map_err(|wrong| {
            let help = wrong.help(job.loaded.printed());
            format!(
                "--moves {}: {}\n  help: {help}",
                packs.typed,
                wrong.reason(job.loaded.printed())
            )
        })
    };
    named.iter().map(one).collect()
}

/// Why packs can't be fitted.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Wrong {
    /// Nothing stands that what is not named could stay at.
    NothingStands,
    /// The series can't build the pack of this place, mm; the nearest that it can.
    NoSuchPack(usize, String, [f64; 2]),
}

impl Wrong {
    pub(super) fn reason(&self, print: Printed) -> String {
        match self {
            Self::NothingStands => "nothing is fitted yet that the others could stay at".to_owned(),
            Self::NoSuchPack(at, series, [wanted, _]) => {
                format!(
                    "{series} can't build {}={}",
                    PLACES[*at],
                    print.given(*wanted)
                )
            }
        }
    }

    pub(super) fn help(&self, print: Printed) -> String {
        match self {
            Self::NothingStands => "name all three: --moves pinion=…,ring=…,far=…".to_owned(),
            Self::NoSuchPack(.., [_, near]) => {
                format!("the nearest pack is {}", print.given(*near))
            }
        }
    }
}

/// Packs in the axle file's unit as they are built, mm: what is not named stays.
pub(super) fn built(
    sums: [Option<f64>; 3],
    job: &LoadedJob,
    setup: &Setup,
) -> Result<[f64; 3], Wrong> {
    let unit = job.loaded.axle_units.length.mm();
    let [pinion, ring, far] = sums.map(|sum| sum.map(|sum| sum * unit));
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
        (None, ..) => return Err(Wrong::NothingStands),
    };
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
        if sums[at].is_none() {
            built[at] = near;
            continue;
        }
        return Err(Wrong::NoSuchPack(at, series.to_owned(), [mm[at], near]));
    }
    Ok(built)
}
