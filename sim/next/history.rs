//! What a job's own figures say of how far it is and of what the technician has learned.

use super::BenchJob;
use crate::axle::Condition;
use crate::bench::setup::{Preload, Setup, SideStock};
use crate::next::{Fitted, Reading};
use crate::units::SLACK;

/// Smallest ring move that teaches, mm, and the limits of what is believed, as at the bench.
const LEAST_TEACHING_MOVE: f64 = 0.05;
const BELIEVABLE: (f64, f64) = (0.4, 1.5);

/// How far a job is.
#[derive(Debug, Clone)]
pub(super) struct History {
    pub(super) assemblies: u32,
    pub(super) turns: u32,
    pub(super) reseats: u32,
    /// Whether the last assembly stands on set-up bearings; before the first one, whether it will.
    pub(super) on_trial: bool,
    pub(super) final_to_come: bool,
    /// Backlash expected per mm of ring move.
    pub(super) ring_belief: f64,
    /// Both side packs together, as wanted; `None` before the first assembly.
    pub(super) wanted_total: Option<f64>,
    /// Mean backlash reading of the last assembly.
    pub(super) mean_reading: Option<f64>,
    /// Mean of the pattern readings last taken with this pinion pack.
    pub(super) pattern: Option<f64>,
    /// Whether everything was read of the last assembly, and all of it inside.
    pub(super) reads_inside: bool,
    /// The entry that last states a pinion torque, from 1, and whether the pinion pack was changed since.
    pub(super) torque: Option<(usize, bool)>,
}

impl History {
    pub(super) fn of(setup: &Setup, job: &BenchJob) -> Self {
        let entries = &job.assemblies;
        let bench = &setup.shop.bench;
        let last = entries.last();
        let on_trial = last.map_or(setup.on_setup_bearings(), |last| last.on_setup_bearings);
        let mut history = Self {
            assemblies: 0,
            turns: 0,
            reseats: 0,
            on_trial,
            final_to_come: on_trial || !final_past(setup, entries),
            ring_belief: bench.ring_belief,
            wanted_total: last.map(|last| wanted_total(setup, entries, last.on_setup_bearings)),
            mean_reading: last.and_then(|last| mean(&last.backlash)),
            pattern: None,
            reads_inside: last.is_some_and(|last| reads_inside(setup, last)),
            torque: None,
        };
        for (at, fitted) in entries.iter().enumerate() {
            let before = at.checked_sub(1).map(|before| &entries[before]);
            history.count(setup, fitted, before);
            if let Some(before) = before {
                history.learn(setup, fitted, before);
                if !same(fitted.pinion, before.pinion) {
                    history.pattern = None;
                    if let Some((_, stale)) = &mut history.torque {
                        *stale = true;
                    }
                }
            }
            let pattern: Vec<f64> = [fitted.drive, fitted.coast].into_iter().flatten().collect();
            history.pattern = mean(&pattern).or(history.pattern);
            if !fitted.torque.is_empty() {
                history.torque = Some((at + 1, false));
            }
        }
        history
    }

    fn count(&mut self, setup: &Setup, fitted: &Fitted, before: Option<&Fitted>) {
        let Some(before) = before else {
            self.assemblies = 1;
            return;
        };
        let pinion = !same(fitted.pinion, before.pinion);
        let sides = !same(fitted.ring, before.ring) || !same(fitted.far, before.far);
        let bearings = fitted.on_setup_bearings != before.on_setup_bearings;
        if fitted.reseated {
            self.reseats += 1;
        }
        if pinion || fitted.reseated {
            self.assemblies += 1;
        } else if sides && !bearings {
            if setup.has_adjusters() {
                self.turns += 1;
            } else {
                self.assemblies += 1;
            }
        }
    }

    /// Learns from a side change between two readings with nothing else changed.
    fn learn(&mut self, setup: &Setup, fitted: &Fitted, before: &Fitted) {
        let alone = same(fitted.pinion, before.pinion)
            && fitted.on_setup_bearings == before.on_setup_bearings
            && !fitted.reseated;
        // a thinner pack moves the ring gear out
        let moved = before.ring - fitted.ring;
        if let (Some(after), Some(before), true, true) = (
            mean(&fitted.backlash),
            mean(&before.backlash),
            alone && setup.shop.bench.learns,
            moved.abs() >= LEAST_TEACHING_MOVE - SLACK,
        ) {
            let rate = (after - before) / moved;
            self.ring_belief = rate.clamp(BELIEVABLE.0, BELIEVABLE.1);
        }
    }
}

impl BenchJob {
    /// How often this axle was bolted up; turns of screw adjusters count for none.
    pub(crate) fn assemblies_made(&self, setup: &Setup) -> u32 {
        History::of(setup, self).assemblies
    }
}

/// Whether two printed sums are one.
pub(crate) fn same(one: f64, other: f64) -> bool {
    (one - other).abs() <= SLACK
}

pub(crate) fn mean(figures: &[f64]) -> Option<f64> {
    (!figures.is_empty()).then(|| figures.iter().sum::<f64>() / figures.len() as f64)
}

fn final_past(setup: &Setup, entries: &[Fitted]) -> bool {
    let mut on_trial = false;
    entries.iter().any(|fitted| {
        let follows = on_trial && !fitted.on_setup_bearings;
        on_trial |= fitted.on_setup_bearings;
        let real = setup.on_setup_bearings() && !fitted.on_setup_bearings;
        follows || real || !fitted.torque.is_empty()
    })
}

/// The last zero end play of these bearings with the preload added, corrected by wrong torque rises since;
/// where none is stated, the packs of the first assembly on them.
fn wanted_total(setup: &Setup, entries: &[Fitted], on_trial: bool) -> f64 {
    let added = setup.shop.bench.side_preload_added;
    let rises = setup.rise_window;
    let mut total = None;
    for fitted in entries
        .iter()
        .filter(|fitted| fitted.on_setup_bearings == on_trial)
    {
        if let Some(found) = fitted.zero_total {
            total = Some(found + added);
        }
        let so_far = total.get_or_insert(fitted.ring + fitted.far);
        if let Some(rise) = fitted.rise
            && !setup.reading_windows.rise.holds(rise)
        {
            *so_far +=
                (rises.middle() - rise) / rises.width() * setup.axle.windows.side_closure.width();
        }
    }
    total.unwrap_or(0.0)
}

/// Whether backlash and pattern were read and are inside, and the torque rise where it was read.
fn reads_inside(setup: &Setup, last: &Fitted) -> bool {
    let windows = &setup.reading_windows;
    let ends = last
        .backlash
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), read| {
            (read.min(least), read.max(most))
        });
    let variation = setup.axle.windows.backlash_variation;
    let profile =
        |read: Option<f64>| read.is_some_and(|read| read.abs() <= windows.pattern_profile + SLACK);
    !last.backlash.is_empty()
        && windows.backlash.holds(ends.0)
        && windows.backlash.holds(ends.1)
        && ends.1 - ends.0 <= variation + SLACK
        && profile(last.drive)
        && profile(last.coast)
        && last.rise.is_none_or(|rise| windows.rise.holds(rise))
}

/// Entries at which zero end play is taken from the packs, from 1: the first on either bearings for which
/// none is stated. Adjusters count from where the first assembly stood, which says as much.
pub(super) fn zero_assumed(setup: &Setup, job: &BenchJob) -> Vec<usize> {
    let first = job.assemblies.first().map(|first| first.on_setup_bearings);
    let mut entries = Vec::new();
    for on_trial in [true, false] {
        let on_these = |fitted: &&Fitted| fitted.on_setup_bearings == on_trial;
        let stated = job
            .assemblies
            .iter()
            .filter(on_these)
            .any(|f| f.zero_total.is_some());
        let counted = matches!(setup.side_stock, SideStock::Notches(_)) && first == Some(on_trial);
        let place = job
            .assemblies
            .iter()
            .position(|f| f.on_setup_bearings == on_trial);
        if let (Some(place), false, false) = (place, stated, counted) {
            entries.push(place + 1);
        }
    }
    entries.sort_unstable();
    entries
}

/// Stated heights: new less old of head, tail and ring side.
pub(super) fn grown(setup: &Setup, job: &BenchJob) -> [Option<f64>; 3] {
    let known = &job.known;
    if setup.bearings == Condition::Kept {
        return [None; 3];
    }
    [known.head_height, known.tail_height, known.ring_height]
        .map(|heights| heights.map(|[old, new]| new - old))
}

/// Whether the pinion's preload is one by a sleeve.
pub(super) fn has_sleeve(setup: &Setup) -> bool {
    matches!(setup.preload, Preload::Sleeve { .. })
}

/// The torques stated of the sleeve that is in, and the entry.
pub(super) fn sleeve_torques<'a>(
    setup: &Setup,
    history: &History,
    job: &'a BenchJob,
) -> Option<(usize, &'a [f64])> {
    let (entry, _) = history.torque?;
    has_sleeve(setup).then(|| (entry, job.assemblies[entry - 1].torque.as_slice()))
}

/// Readings of an entry that are stated, in order.
pub(super) fn stated(fitted: &Fitted) -> Vec<(Reading, f64)> {
    let mut all: Vec<(Reading, f64)> = Vec::new();
    all.extend(fitted.zero_total.map(|total| (Reading::ZeroTotal, total)));
    let points = fitted.backlash.iter().enumerate();
    all.extend(points.map(|(point, read)| (Reading::Backlash(point), *read)));
    all.extend(fitted.drive.map(|read| (Reading::Drive, read)));
    all.extend(fitted.coast.map(|read| (Reading::Coast, read)));
    all.extend(fitted.rise.map(|read| (Reading::Rise, read)));
    let goes = fitted.torque.iter().enumerate();
    all.extend(goes.map(|(go, read)| (Reading::Torque(go), *read)));
    all
}
