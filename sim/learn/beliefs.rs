//! What a shop's own moves say of the technician's beliefs: how much backlash a move of the ring gear is
//! expected to bring, and how much profile a change of the pinion pack.
//!
//! # Definition
//! The first move of a job for either reason, before any bracket is closed or anything was learned from a
//! move, is what the reading asks for over the belief, and a rounding to the packs that can be built. So one
//! over the belief is the slope of the moves on the readings; the file's is worth as many such moves as it
//! is to be trusted for.

use super::FinishedJob;
use super::posterior::Posterior;
use crate::bench::setup::Setup;
use crate::count::matrix::dot;
use crate::next::{Fitted, mean, same};
use crate::shop::Correction;

/// What is asked for by a reading, and the move that was made, mm.
type Move = [f64; 2];

/// What the moves for backlash say of `bench.ring_belief`; `None` where there are none.
pub fn ring_belief(
    kinds: &[Setup],
    jobs: &[(usize, FinishedJob)],
    trust: f64,
) -> Option<Posterior> {
    let moves = jobs
        .iter()
        .filter_map(|(kind, job)| ring_move(&kinds[*kind], &job.bench.assemblies));
    belief(
        &moves.collect::<Vec<_>>(),
        kinds.first()?.shop.bench.ring_belief,
        trust,
    )
}

/// What the moves for the pattern say of `bench.depth_belief`; `None` where there are none, or the shop goes
/// by halves.
pub fn depth_belief(
    kinds: &[Setup],
    jobs: &[(usize, FinishedJob)],
    trust: f64,
) -> Option<Posterior> {
    let bench = &kinds.first()?.shop.bench;
    if bench.correction == Correction::Halving {
        return None;
    }
    let moves = jobs
        .iter()
        .filter_map(|(kind, job)| depth_move(&kinds[*kind], &job.bench.assemblies));
    belief(&moves.collect::<Vec<_>>(), bench.depth_belief, trust)
}

/// The first move of a job for backlash: of the ring gear outwards, as its pack is thinner.
fn ring_move(setup: &Setup, entries: &[Fitted]) -> Option<Move> {
    let middle = setup.axle.windows.backlash.middle();
    for pair in entries.windows(2) {
        let [before, after] = pair else { continue };
        let alone = same(before.pinion, after.pinion) && !after.reseated;
        if !alone || before.on_setup_bearings != after.on_setup_bearings {
            return None;
        }
        // adjusters are counted inwards, packs are thick where the ring gear stands in
        if !same(before.ring, after.ring) {
            let asked = middle - mean(&before.backlash)?;
            return Some([asked, before.ring - after.ring]);
        }
    }
    None
}

/// The first change of the pinion pack for the pattern: deeper.
fn depth_move(setup: &Setup, entries: &[Fitted]) -> Option<Move> {
    let deeper = setup.axle.pinion_shim.seat.depth_per_thickness();
    let pair = entries
        .windows(2)
        .find(|pair| !same(pair[0].pinion, pair[1].pinion))?;
    let [before, after] = pair else { return None };
    let asked = 0.5 * (before.drive? + before.coast?);
    Some([asked, deeper * (after.pinion - before.pinion)])
}

/// One over the slope of moves on what is asked for.
fn belief(moves: &[Move], before: f64, trust: f64) -> Option<Posterior> {
    let (asked, made): (Vec<f64>, Vec<f64>) =
        moves.iter().map(|[asked, made]| (*asked, *made)).unzip();
    let squares = dot(&asked, &asked);
    if squares <= 0.0 {
        return None;
    }
    let count = moves.len() as f64;
    let of_file = 1.0 / before;
    let alone = dot(&asked, &made) / squares;
    let slope = (trust * of_file + count * alone) / (trust + count);
    let left = moves
        .iter()
        .map(|[asked, made]| (made - slope * asked).powi(2));
    // the file's own moves are taken to stray as these do
    let variance = left.sum::<f64>() / (count - 1.0).max(1.0);
    let precision = (trust + count) / count * squares / variance.max(f64::MIN_POSITIVE);
    let of_slope = Posterior::of_mean(of_file, slope, precision, [trust, count]);
    Some(of_slope.one_over(alone))
}
