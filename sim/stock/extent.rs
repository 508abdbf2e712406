//! How long a drawer is played: several cycles of order and delivery after it has settled, whatever
//! the shop's size.

use super::drawer::{Review, Rules};
use super::tape::Span;

/// How much is played for one purpose: about so many jobs, in so many spells; in fewer where a spell
/// would be short against what a drawer remembers, but not in fewer than `least`.
#[derive(Debug, Clone, Copy)]
pub(super) struct Extent {
    pub(super) jobs: f64,
    spells: usize,
    least: usize,
}

/// Jobs on which levels are found: few for speed; the resulting error is compensated by raising the
/// target.
pub(super) const FIT: Extent = Extent {
    jobs: 14_000.0,
    spells: 28,
    least: 10,
};
/// Those of the small sample on which the search begins.
pub(super) const ROUGH: Extent = Extent {
    jobs: 4_000.0,
    spells: 8,
    least: 4,
};
/// Those on which shims are taken out down to an empty drawer: many jobs wait on the way, so few
/// suffice to rank the shims.
pub(super) const DESCENT: Extent = Extent {
    jobs: 2_000.0,
    spells: 8,
    least: 4,
};
/// Those on which levels are found that are only held against each other.
pub(super) const TRIED: Extent = Extent {
    jobs: 7_000.0,
    spells: 14,
    least: 6,
};
/// Those on which they are checked.
pub(super) const CHECK: Extent = Extent {
    jobs: 120_000.0,
    spells: 120,
    least: 40,
};
/// Those behind each point of the curve.
pub(super) const CURVE: Extent = Extent {
    jobs: 16_000.0,
    spells: 64,
    least: 20,
};
/// Those behind the figure that is reported.
pub(super) const VERIFIED: Extent = Extent {
    jobs: 128_000.0,
    spells: 128,
    least: 40,
};
/// Cycles in a spell, at the least: a drawer remembers no more than the last one.
const SPELL_CYCLES: f64 = 3.0;
/// Cycles in which a full drawer settles.
pub(super) const SETTLING_CYCLES: f64 = 2.0;
/// Jobs, for each piece of surplus kept, in which that gathers; and the most that are waited for, more
/// than most shops do in ten years.
const SURPLUS_JOBS: f64 = 100.0;
const MOST_SURPLUS_JOBS: f64 = 3_000.0;
/// Share of a tape for settling, at the most, where there is a choice.
const SETTLING_SHARE: f64 = 0.1;
/// Tapes at the least: so many processors are busy.
const LEAST_TAPES: usize = 4;

/// All that a plan takes.
const ALL: [Extent; 6] = [ROUGH, FIT, DESCENT, CHECK, CURVE, VERIFIED];

/// About how long a plan takes on one usual processor, seconds: as it was measured over shops from
/// nine jobs a month to nine hundred, to a factor of two.
pub(super) fn seconds(rules: &Rules, per_day: f64, sizes: usize) -> f64 {
    /// Of a job that is drawn.
    const DRAWN: f64 = 6e-6;
    /// Of a job that levels are found on, for one size in the drawer: few jobs in a cycle, and more
    /// for many.
    const SEARCHED: [f64; 2] = [2e-6, 12e-6];
    /// Jobs in a cycle that are many.
    const MANY: f64 = 500.0;
    let many = (rules.cycle().unwrap_or(0.0) * per_day / MANY).min(1.0);
    let [few, more] = SEARCHED;
    let search = (few + many * more) * sizes as f64;
    let drawn: f64 = ALL.iter().map(|extent| extent.played(rules, per_day)).sum();
    DRAWN * drawn + search * FIT.played(rules, per_day)
}

/// Jobs of all samples that a plan holds at once: the one that checks it is gone before the one that verifies it
/// is drawn.
pub(super) fn held(rules: &Rules, per_day: f64) -> f64 {
    let held = [ROUGH, FIT, DESCENT, CURVE, VERIFIED];
    held.iter()
        .map(|extent| extent.played(rules, per_day))
        .sum()
}

impl Extent {
    /// Jobs on all tapes.
    fn played(&self, rules: &Rules, per_day: f64) -> f64 {
        let (tapes, span) = self.tapes(rules, per_day);
        tapes as f64 * span.days() * per_day
    }

    /// The number of tapes, and the days of each, for so many jobs a day.
    pub(super) fn tapes(&self, rules: &Rules, per_day: f64) -> (usize, Span) {
        let cycle = rules.cycle().unwrap_or(0.0);
        let days = self.jobs / per_day;
        let shortest = SPELL_CYCLES * cycle;
        let spells = ((days / shortest) as usize).clamp(self.least, self.spells);
        // of whole intervals between orders: part of one would count its order or not
        let interval = match rules.review {
            Review::Every(days) => days,
            Review::AtOnce | Review::Never => 0.0,
        };
        let spell = shortest.max(days / spells as f64);
        let spell = match interval > 0.0 {
            true => (spell / interval).ceil() * interval,
            false => spell,
        };
        let gathers = f64::from(rules.keep_surplus) * SURPLUS_JOBS;
        let surplus = gathers.min(MOST_SURPLUS_JOBS) / per_day;
        let settling = SETTLING_CYCLES * cycle + surplus;
        let counted = spell * spells as f64;
        let tapes = (SETTLING_SHARE * counted / settling).ceil() as usize;
        let tapes = tapes.clamp(LEAST_TAPES.min(spells), spells);
        let span = Span {
            settling,
            spell,
            spells: spells.div_ceil(tapes) as u32,
        };
        (tapes, span)
    }
}
