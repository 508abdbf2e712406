//! What is read off a job, simulated or real.

use super::FinishedJob;
use crate::axle::Condition;
use crate::bench::setup::Setup;
use crate::next::{Fitted, mean, same};
use crate::units::SLACK;

/// Least move that tells a rate, mm: below it, readings say more of their own errors. For the ring it is
/// also the least from which a technician learns (`learns`).
const LEAST_MOVE: f64 = 0.05;

/// A figure of a job by which shop and simulation are held against each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum JobFigure {
    /// Mean backlash reading of the first assembly, mm.
    FirstBacklash,
    /// Largest less smallest of its readings, mm.
    Variation,
    /// Profile of the first pattern read with the first pinion pack, drive side, share of the tooth.
    Drive,
    /// The same on the coast side.
    Coast,
    /// Change of the mean backlash reading for a move of the ring gear by its pack, mm per mm.
    PerRingMove,
    /// Change of the mean profile for a change of the pinion pack, share of the tooth per mm.
    PerDepth,
    /// Zero end play found again on the same bearings, less as it was found before, mm.
    ZeroAgain,
    /// New less old bearing height as measured, mm: head.
    HeadHeights,
    /// Tail.
    TailHeights,
    /// Side bearing on the ring-gear side.
    RingHeights,
    /// Side bearing on the far side.
    FarHeights,
    /// Mark of the pinion that came out, in the sense "+ is farther", mm.
    OldMark,
    /// Mark of the pinion that went in.
    NewMark,
    /// Crush sleeves used, or goes at the solid spacer.
    Tries,
    /// Assemblies.
    Assemblies,
    /// Hours of the whole job.
    Hours,
}

impl JobFigure {
    /// All of them, in the order of the work.
    pub const ALL: [Self; 16] = [
        Self::OldMark,
        Self::NewMark,
        Self::HeadHeights,
        Self::TailHeights,
        Self::RingHeights,
        Self::FarHeights,
        Self::FirstBacklash,
        Self::Variation,
        Self::Drive,
        Self::Coast,
        Self::PerRingMove,
        Self::PerDepth,
        Self::ZeroAgain,
        Self::Tries,
        Self::Assemblies,
        Self::Hours,
    ];

    /// Whether it is a count, whose scatter follows from its mean.
    pub fn is_count(self) -> bool {
        matches!(self, Self::Tries | Self::Assemblies)
    }

    /// The figure of a job; `None` where the job does not state what it takes, or nothing of the kind
    /// happened.
    pub fn of(self, setup: &Setup, job: &FinishedJob) -> Option<f64> {
        let (known, entries) = (&job.bench.known, &job.bench.assemblies);
        let new_bearings = setup.bearings == Condition::New;
        let grown = |heights: Option<[f64; 2]>| {
            heights.filter(|_| new_bearings).map(|[old, new]| new - old)
        };
        match self {
            Self::OldMark => known.mark_old,
            Self::NewMark => known.mark_new.filter(|_| setup.gears == Condition::New),
            Self::HeadHeights => grown(known.head_height),
            Self::TailHeights => grown(known.tail_height),
            Self::RingHeights => grown(known.ring_height),
            Self::FarHeights => grown(known.far_height),
            Self::FirstBacklash => mean(&entries.first()?.backlash),
            Self::Variation => variation(&entries.first()?.backlash),
            Self::Drive => first_pattern(entries)?.drive,
            Self::Coast => first_pattern(entries)?.coast,
            Self::PerRingMove => slope(ring_moves(entries)),
            Self::PerDepth => slope(depth_moves(setup, entries)),
            Self::ZeroAgain => zero_again(entries).next(),
            Self::Tries => job.tries.map(f64::from),
            Self::Assemblies => {
                let ended = job.ended && !entries.is_empty();
                ended.then(|| job.bench.assemblies_made(setup).into())
            }
            Self::Hours => job.hours,
        }
    }
}

/// Largest less smallest of two or more.
fn variation(figures: &[f64]) -> Option<f64> {
    let most = figures.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let least = figures.iter().copied().fold(f64::INFINITY, f64::min);
    (figures.len() > 1).then_some(most - least)
}

/// The first entry at which a pattern was read, if the pinion pack is still the first one.
fn first_pattern(entries: &[Fitted]) -> Option<&Fitted> {
    let first = entries.first()?;
    let with_it = entries
        .iter()
        .take_while(|entry| same(entry.pinion, first.pinion));
    with_it
        .into_iter()
        .find(|entry| entry.drive.is_some() || entry.coast.is_some())
}

/// Moves of the ring gear alone, mm, + away from the pinion, with the change of the mean reading.
pub(super) fn ring_moves(entries: &[Fitted]) -> impl Iterator<Item = (f64, f64)> {
    entries.windows(2).filter_map(|pair| {
        let [before, after] = pair else { return None };
        let alone = same(before.pinion, after.pinion)
            && !after.reseated
            && before.on_setup_bearings == after.on_setup_bearings;
        let moved = before.ring - after.ring;
        let change = mean(&after.backlash)? - mean(&before.backlash)?;
        (alone && moved.abs() > LEAST_MOVE - SLACK).then_some((moved, change))
    })
}

/// Moves of the pinion by its pack, mm, + shallower, with the change of the mean profile: from the last
/// pattern read before to the first after.
pub(super) fn depth_moves(setup: &Setup, entries: &[Fitted]) -> Vec<(f64, f64)> {
    let deeper = setup.axle.pinion_shim.seat.depth_per_thickness();
    let read = entries.iter().filter_map(|entry| {
        let profile = mean(&[entry.drive?, entry.coast?])?;
        Some((entry, profile))
    });
    let read: Vec<(&Fitted, f64)> = read.collect();
    let pairs = read.windows(2).filter_map(|pair| {
        let [(before, was), (after, is)] = pair else {
            return None;
        };
        let moved = -deeper * (after.pinion - before.pinion);
        let alike = before.on_setup_bearings == after.on_setup_bearings;
        (alike && moved.abs() > LEAST_MOVE - SLACK).then_some((moved, is - was))
    });
    pairs.collect()
}

/// The rate through all moves of a job, by least squares.
fn slope(moves: impl IntoIterator<Item = (f64, f64)>) -> Option<f64> {
    let mut sums = [0.0; 2];
    for (moved, change) in moves {
        sums[0] += moved * moved;
        sums[1] += moved * change;
    }
    (sums[0] > 0.0).then(|| sums[1] / sums[0])
}

/// Every time zero end play was found again on the same bearings: by how much it differs.
pub(super) fn zero_again(entries: &[Fitted]) -> impl Iterator<Item = f64> {
    entries.windows(2).filter_map(|pair| {
        let [before, after] = pair else { return None };
        let alike = before.on_setup_bearings == after.on_setup_bearings;
        let (was, is) = (before.zero_total?, after.zero_total?);
        alike.then_some(is - was)
    })
}
