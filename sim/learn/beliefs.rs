//! What a shop's own moves say of the technician's beliefs: how much backlash a move of the ring gear is
//! expected to bring, and how much profile a change of the pinion pack.
//!
//! # Definition
//! The first move of a job for either reason, before any bracket is closed or anything was learned from a
//! move, is what the reading asks for over the belief, and a rounding to the packs that can be built. So one
//! over the belief is the slope of the moves on the readings; the file's is worth as many such moves as it
//! is to be trusted for, and these stray by the rounding alone.

use super::FinishedJob;
use super::posterior::Posterior;
use crate::axle::packs::PackTable;
use crate::bench::setup::{Setup, SideStock};
use crate::next::{Fitted, mean, same};
use crate::shop::Correction;

/// A move that a reading asked for.
struct Move {
    /// How far the reading is off: mm of backlash, or share of the tooth.
    asked: f64,
    /// How far it went, mm.
    made: f64,
    /// Variance of what was rounded, mm².
    rounding: f64,
}

impl Move {
    /// Whether the same was asked for, and made of it.
    fn is_like(&self, other: &Self) -> bool {
        same(self.asked, other.asked) && same(self.made, other.made)
    }
}

/// Variance of a figure that is rounded to even steps.
fn rounded(step: f64) -> f64 {
    step * step / 12.0
}

/// Variance of what was rounded to this pack.
fn rounded_to(packs: &PackTable, printed: f64) -> f64 {
    let (all, at) = (packs.all(), packs.nearest(printed));
    let [thinner, thicker] = [at.saturating_sub(1), (at + 1).min(all.len() - 1)];
    rounded(0.5 * (all[thicker].printed - all[thinner].printed))
}

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
            return Some(Move {
                asked: middle - mean(&before.backlash)?,
                made: before.ring - after.ring,
                rounding: match &setup.side_stock {
                    SideStock::Packs(packs) => rounded_to(packs, after.ring),
                    SideStock::Notches(step) => rounded(*step),
                },
            });
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
    Some(Move {
        asked: 0.5 * (before.drive? + before.coast?),
        made: deeper * (after.pinion - before.pinion),
        rounding: rounded_to(&setup.pinion_packs, after.pinion),
    })
}

/// One over the slope of moves on what is asked for.
fn belief(moves: &[Move], before: f64, trust: f64) -> Option<Posterior> {
    let sum = |of: &dyn Fn(&Move) -> f64| moves.iter().map(of).sum::<f64>();
    let squares = sum(&|of| of.asked * of.asked);
    if squares <= 0.0 {
        return None;
    }
    let count = moves.len() as f64;
    let of_file = 1.0 / before;
    let alone = sum(&|of| of.asked * of.made) / squares;
    let slope = (trust * of_file + count * alone) / (trust + count);
    let left = sum(&|of| (of.made - alone * of.asked).powi(2));
    let rounding = sum(&|of| of.rounding) / count;
    let variance = (trust * rounding + left) / (trust + (count - 1.0));
    // what was rounded alike is off alike, however often
    let alike = |of: &Move| moves.iter().filter(|other| of.is_like(other)).count() as f64;
    let of_alone = sum(&|of| alike(of) * of.asked * of.asked) / (squares * squares);
    let of_prior = count / (trust * squares);
    let [own, file] = [count, trust].map(|worth| worth / (trust + count));
    let scatter = variance * (own * own * of_alone + file * file * of_prior);
    let precision = 1.0 / scatter.max(f64::MIN_POSITIVE);
    let of_slope = Posterior::of_mean(of_file, slope, precision, [trust, count]);
    Some(of_slope.one_over(alone))
}
