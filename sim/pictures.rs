//! Data of figures beside the answers: histograms, and single rebuilds as points.

use std::ops::ControlFlow;

use crate::bench::Rebuild;
use crate::bench::job::Ending;
use crate::bench::money::{PriceList, ShimsCharged};
use crate::bench::outcome::Outcome;
use crate::bench::setup::Setup;
use crate::bench::truth::Assembly;
use crate::chance::dice::Address;
use crate::chance::run::{Gather, Progress, RunResult, Until, run};
use crate::compare::Ends;
use crate::count::estimate::{Estimate, Moments};
use crate::count::histogram::Histogram;
use crate::count::sums::Sums;
use crate::odds::{self, Odds};
use crate::quote::{self, Quote};

/// Rebuilds shown one by one: the first of the run, independent of its length.
pub const SHOWN: u64 = 800;

/// Steps in which figures are counted. Bins of a picture are whole numbers of them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grain {
    /// Of lengths, mm.
    pub length: f64,
    /// Of torques, N·m.
    pub torque: f64,
}

/// Steps of where the pattern falls, share of the tooth.
const PATTERN_STEP: f64 = 0.001;
/// Steps of hours: minutes.
const HOUR_STEP: f64 = 1.0 / 60.0;

/// Data of the figures of a page.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Pictures {
    /// Rebuilds simulated.
    pub rebuilds: u64,
    /// Whether the run was broken off.
    pub partial: bool,
    /// As first bolted up, every rebuild.
    pub first: Stage,
    /// As handed over, finished jobs.
    pub handed_over: Stage,
    /// Torque to turn the pinion alone, finished jobs, N·m.
    pub pinion_torque: Histogram,
    /// Hours of a job.
    pub hours: Histogram,
    /// By number of assemblies, from 1.
    pub assemblies: Vec<EndCounts>,
    /// Single rebuilds, the first [`SHOWN`] of the run.
    pub points: Vec<RebuildPoint>,
}

impl Pictures {
    /// How all jobs ended.
    pub fn ends(&self) -> Ends {
        let at_once = self.assemblies.first().map_or(0, |ended| ended.right);
        let counted = Ends {
            jobs: self.rebuilds,
            right_at_once: at_once,
            ..Ends::default()
        };
        self.assemblies.iter().fold(counted, |ends, ended| Ends {
            right: ends.right + ended.right,
            clearly_out: ends.clearly_out + ended.clearly_out,
            given_up: ends.given_up + ended.given_up,
            ..ends
        })
    }
}

/// Distributions of the truth at one stage: first bolted up, or handed over.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Stage {
    /// Backlash, mean of a turn, mm.
    pub backlash: Histogram,
    /// Backlash at the tightest tooth, mm.
    pub tightest: Histogram,
    /// Backlash at the loosest tooth, mm.
    pub loosest: Histogram,
    /// Half the variation of backlash round the ring, mm.
    pub swing: Moments,
    /// Side closure, mm.
    pub closure: Histogram,
    /// Where the pattern falls, share of the tooth: drive side along and up it, coast side along and
    /// up it.
    pub pattern: [Histogram; 4],
    /// The same by flank: drive side, coast side.
    pub flanks: [Flank; 2],
}

/// Where the pattern falls on one flank.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Flank {
    /// Along the tooth, share of its length from the centre, + toward the heel.
    pub length: Moments,
    /// Up the profile, share of its depth from the centre, + toward the tooth's top.
    pub profile: Moments,
    /// Share inside the window along the tooth.
    pub length_inside: Estimate,
    /// Share inside the window up the profile.
    pub profile_inside: Estimate,
    /// Share inside both.
    pub inside: Estimate,
}

/// Outcomes of the rebuilds with one number of assemblies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub struct EndCounts {
    /// Finished.
    pub finished: u64,
    /// Finished, and truly in every window.
    pub right: u64,
    /// Finished, and clearly out of a window.
    pub clearly_out: u64,
    /// Given up.
    pub given_up: u64,
}

/// One rebuild.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct RebuildPoint {
    /// Its truth as first bolted up.
    pub first: Assembly,
    /// Whether that is in every window.
    pub right_first: bool,
    /// Its truth as handed over; `None` where the job was given up.
    pub handed_over: Option<Assembly>,
}

/// Odds, quote and pictures of the same rebuilds, gathered in one pass.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Whole {
    /// The odds.
    pub odds: Odds,
    /// The quote.
    pub quote: Quote,
    /// Data of the figures beside them.
    pub pictures: Pictures,
}

/// Simulates rebuilds and returns everything that a page shows of a job, with its shims charged like
/// this; see [`run`] for the further arguments.
pub fn whole(
    setup: &Setup,
    charged: ShimsCharged,
    grain: Grain,
    seed: u64,
    until: Until,
    watch: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Whole {
    let prices = PriceList::new(setup).charging(charged);
    let shown: Vec<Address> = (0..SHOWN).map(|i| Address::new(seed, i)).collect();
    let rebuild = |address: Address, all: &mut WholeSums| {
        let rebuild = setup.rebuild(address);
        let sheet = setup.timesheet(address, &rebuild);
        let ending = Ending::of(setup, &rebuild);
        let bill = prices.bill(&rebuild, sheet.minutes, ending.outcome);
        all.odds.add(&rebuild, &ending, sheet.minutes);
        all.quote.add(&ending, &sheet, &bill);
        all.pictures.add(setup, &rebuild, &ending, sheet.minutes);
        // blocks start empty, so only the first block collects these addresses
        let points = &mut all.pictures.points;
        if points.len() < shown.len() && shown[points.len()] == address {
            points.push(RebuildPoint::of(&rebuild, &ending));
        }
    };
    let empty = || WholeSums {
        odds: odds::OddsSums::default(),
        quote: quote::QuoteSums::default(),
        pictures: PictureSums::new(grain),
    };
    let ran = run(seed, until, empty, rebuild, watch);
    let all = ran.gathered;
    let (rebuilds, partial) = (ran.rebuilds, ran.partial);
    Whole {
        odds: RunResult {
            gathered: all.odds,
            rebuilds,
            partial,
        }
        .into_odds(setup),
        quote: RunResult {
            gathered: all.quote,
            rebuilds,
            partial,
        }
        .into_quote(setup, charged),
        pictures: all.pictures.into_pictures(rebuilds, partial),
    }
}

impl RebuildPoint {
    fn of(rebuild: &Rebuild, ending: &Ending) -> Self {
        Self {
            first: rebuild.first,
            right_first: ending.right_first(),
            handed_over: rebuild.finished.then_some(rebuild.last),
        }
    }
}

/// Counts of one state.
#[derive(Debug, Clone, PartialEq)]
struct StageSums {
    n: u64,
    backlash: Histogram,
    tightest: Histogram,
    loosest: Histogram,
    swing: Sums,
    closure: Histogram,
    fallen: [Histogram; 4],
    pattern: [Sums; 4],
    pattern_inside: [u64; 4],
    flank_inside: [u64; 2],
}

impl StageSums {
    fn new(grain: Grain) -> Self {
        Self {
            n: 0,
            backlash: Histogram::new(grain.length),
            tightest: Histogram::new(grain.length),
            loosest: Histogram::new(grain.length),
            swing: Sums::default(),
            closure: Histogram::new(grain.length),
            fallen: std::array::from_fn(|_| Histogram::new(PATTERN_STEP)),
            pattern: Default::default(),
            pattern_inside: [0; 4],
            flank_inside: [0; 2],
        }
    }

    fn add(&mut self, setup: &Setup, truth: &Assembly) {
        let windows = &setup.axle.windows;
        let limits = [windows.pattern_length, windows.pattern_profile];
        self.n += 1;
        self.backlash.add(truth.backlash);
        self.tightest.add(truth.backlash - truth.swing);
        self.loosest.add(truth.backlash + truth.swing);
        self.swing.add(truth.swing);
        self.closure.add(truth.closure);
        let mut flank_inside = [true; 2];
        for (i, at) in truth.pattern.into_iter().enumerate() {
            let inside = at.abs() <= limits[i % 2];
            self.fallen[i].add(at);
            self.pattern[i].add(at);
            self.pattern_inside[i] += u64::from(inside);
            flank_inside[i / 2] &= inside;
        }
        for (count, inside) in self.flank_inside.iter_mut().zip(flank_inside) {
            *count += u64::from(inside);
        }
    }

    fn merge(&mut self, later: &Self) {
        self.n += later.n;
        self.backlash.merge(&later.backlash);
        self.tightest.merge(&later.tightest);
        self.loosest.merge(&later.loosest);
        self.swing.merge(&later.swing);
        self.closure.merge(&later.closure);
        for i in 0..4 {
            self.fallen[i].merge(&later.fallen[i]);
            self.pattern[i].merge(&later.pattern[i]);
            self.pattern_inside[i] += later.pattern_inside[i];
        }
        for i in 0..2 {
            self.flank_inside[i] += later.flank_inside[i];
        }
    }

    fn into_stage(self) -> Stage {
        let share = |hits| Estimate::share(hits, self.n);
        let flank = |i: usize| Flank {
            length: self.pattern[2 * i].moments(),
            profile: self.pattern[2 * i + 1].moments(),
            length_inside: share(self.pattern_inside[2 * i]),
            profile_inside: share(self.pattern_inside[2 * i + 1]),
            inside: share(self.flank_inside[i]),
        };
        Stage {
            swing: self.swing.moments(),
            flanks: [flank(0), flank(1)],
            backlash: self.backlash,
            tightest: self.tightest,
            loosest: self.loosest,
            closure: self.closure,
            pattern: self.fallen,
        }
    }
}

/// Counts of one block of rebuilds, or of all of them.
#[derive(Debug, Clone, PartialEq)]
struct PictureSums {
    first: StageSums,
    handed_over: StageSums,
    pinion_torque: Histogram,
    hours: Histogram,
    assemblies: Vec<EndCounts>,
    points: Vec<RebuildPoint>,
}

impl PictureSums {
    fn new(grain: Grain) -> Self {
        Self {
            first: StageSums::new(grain),
            handed_over: StageSums::new(grain),
            pinion_torque: Histogram::new(grain.torque),
            hours: Histogram::new(HOUR_STEP),
            assemblies: Vec::new(),
            points: Vec::new(),
        }
    }

    fn add(&mut self, setup: &Setup, rebuild: &Rebuild, ending: &Ending, minutes: f64) {
        self.first.add(setup, &rebuild.first);
        self.hours.add(minutes / 60.0);
        let place = rebuild.assemblies as usize - 1;
        if place >= self.assemblies.len() {
            self.assemblies.resize(place + 1, EndCounts::default());
        }
        let ended = &mut self.assemblies[place];
        if rebuild.finished {
            self.handed_over.add(setup, &rebuild.last);
            let torque = rebuild.pinion_torque;
            if let Some(torque) = torque {
                self.pinion_torque.add(torque);
            }
            ended.finished += 1;
            ended.right += u64::from(ending.outcome == Outcome::Right);
            ended.clearly_out += u64::from(ending.outcome.is_clearly_out());
        } else {
            ended.given_up += 1;
        }
    }
}

impl PictureSums {
    fn merge(&mut self, later: Self) {
        self.first.merge(&later.first);
        self.handed_over.merge(&later.handed_over);
        self.pinion_torque.merge(&later.pinion_torque);
        self.hours.merge(&later.hours);
        let most = self.assemblies.len().max(later.assemblies.len());
        self.assemblies.resize(most, EndCounts::default());
        for (own, more) in self.assemblies.iter_mut().zip(&later.assemblies) {
            own.finished += more.finished;
            own.right += more.right;
            own.clearly_out += more.clearly_out;
            own.given_up += more.given_up;
        }
        self.points.extend(later.points);
    }

    fn into_pictures(self, rebuilds: u64, partial: bool) -> Pictures {
        Pictures {
            rebuilds,
            partial,
            first: self.first.into_stage(),
            handed_over: self.handed_over.into_stage(),
            pinion_torque: self.pinion_torque,
            hours: self.hours,
            assemblies: self.assemblies,
            points: self.points,
        }
    }
}

/// What one pass gathers.
struct WholeSums {
    odds: odds::OddsSums,
    quote: quote::QuoteSums,
    pictures: PictureSums,
}

impl Gather for WholeSums {
    fn merge(&mut self, later: Self) {
        self.odds.merge(later.odds);
        self.quote.merge(later.quote);
        self.pictures.merge(later.pictures);
    }

    fn half_width(&self) -> f64 {
        // the quote's headlines are the same
        self.odds.half_width()
    }
}

#[cfg(test)]
#[path = "tests/pictures.rs"]
mod tests;
