//! The odds: shares of rebuilds inside the windows, and their effort.

use std::ops::ControlFlow;

use crate::bench::Rebuild;
use crate::bench::job::{Ending, Endings};
use crate::bench::outcome::Inside;
use crate::bench::setup::{Preload, Setup, SideStock};
use crate::chance::dice::Address;
use crate::chance::run::{Gather, Progress, RunResult, Until, run};
use crate::count::counts::{Counts, FineCounts};
use crate::count::estimate::{Estimate, Moments};
use crate::count::sums::{Powers, Sums};

/// The answer.
///
/// # Example
/// What is right in everything is right in each:
/// ```
/// use shimcast_sim::prelude::*;
///
/// let odds = Study::of(demo::axle(), demo::shop()).seed(1).rebuilds(1000).odds()?;
/// let first = &odds.first_assembly;
/// assert!(first.all.value <= first.backlash.value.min(first.pattern.value));
/// assert!(odds.effort.hours.p50.value <= odds.effort.hours.p80.value);
/// # Ok::<(), Vec<Flaw>>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Odds {
    /// Rebuilds simulated.
    pub rebuilds: u64,
    /// Whether the run was broken off.
    pub partial: bool,
    /// Truth of the first assembly.
    pub first_assembly: WindowShares,
    /// Truth of the last assembly, of finished jobs.
    pub handed_over: WindowShares,
    /// Share of finished jobs whose pinion torque is inside its window.
    pub pinion_torque: Estimate,
    /// Share of finished jobs with something outside its window by more than one graduation of the
    /// instrument that reads it.
    pub clearly_out: Estimate,
    /// Effort: assemblies, changes, hours.
    pub effort: Effort,
    /// Mean and spread of the truth of the first assembly, mm.
    pub spread: Spread,
    /// Packs finally fitted to finished jobs.
    pub packs: PackShares,
}

/// Shares of assemblies inside each window.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct WindowShares {
    /// Backlash at every angle, and its variation.
    pub backlash: Estimate,
    /// Pattern on both flanks, along the tooth and up its profile.
    pub pattern: Estimate,
    /// Side closure.
    pub side_closure: Estimate,
    /// Pinion depth; counted beside the others, outside `all`.
    pub depth: Estimate,
    /// Backlash, pattern and side closure together; of finished jobs pinion torque as well.
    pub all: Estimate,
}

/// Effort of the rebuilds.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Effort {
    /// Share finished.
    pub finished: Estimate,
    /// Share with something out of its window accepted because no pack in stock improves it.
    pub compromised: Estimate,
    /// Share finished as first bolted up: nothing was changed, turned or seated again.
    pub accepted_at_once: Estimate,
    /// Mean assemblies.
    pub assemblies: Estimate,
    /// Share of rebuilds with 1, 2, 3 … assemblies.
    pub assembly_shares: Vec<f64>,
    /// Mean changes of the pinion shim.
    pub pinion_changes: Estimate,
    /// Mean changes of the side shims.
    pub side_changes: Estimate,
    /// Mean number of times that the ring gear was seated again.
    pub reseats: Estimate,
    /// Mean number of sleeves, or of packs tried with a spacer.
    pub preload_tries: Estimate,
    /// Hours of a job.
    pub hours: Hours,
}

impl Effort {
    /// The number of assemblies that this share of jobs does not exceed: the quantile of the shares
    /// as they are, without an interval.
    pub fn assemblies_within(&self, share: f64) -> usize {
        let mut done = 0.0;
        let last = self.assembly_shares.iter().position(|more| {
            done += more;
            // a sum equal to the share up to rounding has reached it
            done >= share - 1e-9
        });
        last.map_or(self.assembly_shares.len(), |place| place + 1)
    }
}

/// Distribution of the hours of a job.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Hours {
    /// Mean.
    pub mean: Estimate,
    /// Median.
    pub p50: Estimate,
    /// 80th percentile.
    pub p80: Estimate,
    /// 90th percentile.
    pub p90: Estimate,
    /// 95th percentile.
    pub p95: Estimate,
}

/// Moments of the truth of the first assembly, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Spread {
    /// Pinion depth.
    pub depth: Moments,
    /// Backlash, mean of a turn.
    pub backlash: Moments,
    /// Side closure.
    pub closure: Moments,
}

/// Packs finally fitted: printed thickness, mm, and share, thinnest first.
#[derive(Debug, Clone, PartialEq, Default)]
#[allow(missing_docs, reason = "the names say it")]
#[non_exhaustive]
pub struct PackShares {
    pub pinion: Vec<(f64, f64)>,
    pub ring_side: Vec<(f64, f64)>,
    pub far_side: Vec<(f64, f64)>,
    pub preload: Vec<(f64, f64)>,
}

/// Simulates rebuilds and returns their odds; see [`run`] for the arguments.
#[doc(hidden)]
pub fn odds(
    setup: &Setup,
    seed: u64,
    until: Until,
    watch: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Odds {
    let rebuild = |address: Address, sums: &mut OddsSums| {
        let rebuild = setup.rebuild(address);
        let minutes = setup.minutes(address, &rebuild);
        sums.add(&rebuild, &Ending::of(setup, &rebuild), minutes);
    };
    run(seed, until, OddsSums::default, rebuild, watch).into_odds(setup)
}

/// Counts of one block of rebuilds, or of all of them.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct OddsSums {
    endings: Endings,
    compromised: u64,
    accepted_at_once: u64,
    first: [u64; 4],
    handed_over: [u64; 4],
    pinion_torque: u64,
    assemblies: Counts,
    pinion_changes: Counts,
    side_changes: Counts,
    reseats: Counts,
    preload_tries: Counts,
    minutes: Sums,
    hours: FineCounts,
    depth: Powers,
    backlash: Powers,
    closure: Powers,
    packs: [Counts; 4],
}

impl OddsSums {
    #[inline]
    pub(crate) fn add(&mut self, rebuild: &Rebuild, ending: &Ending, minutes: f64) {
        self.endings.add(ending);
        self.compromised += u64::from(rebuild.compromised);
        count(&mut self.first, ending.first);
        if rebuild.finished {
            let changes = rebuild.pinion_changes + rebuild.side_changes + rebuild.reseats;
            self.accepted_at_once += u64::from(changes == 0);
            self.pinion_torque += u64::from(ending.torque == Some(true));
            count(&mut self.handed_over, ending.last);
            for (counts, pack) in self.packs.iter_mut().zip(rebuild.packs) {
                if let Some(pack) = pack {
                    counts.add(pack.number);
                }
            }
        }
        self.assemblies.add(rebuild.assemblies.into());
        self.pinion_changes.add(rebuild.pinion_changes.into());
        self.side_changes.add(rebuild.side_changes.into());
        self.reseats.add(rebuild.reseats.into());
        self.preload_tries.add(rebuild.preload_tries.into());
        self.minutes.add(minutes);
        self.hours.add(minutes / 60.0);
        self.depth.add(rebuild.first.depth);
        self.backlash.add(rebuild.first.backlash);
        self.closure.add(rebuild.first.closure);
    }
}

fn count(counts: &mut [u64; 4], inside: Inside) {
    let inside = [
        inside.backlash,
        inside.pattern,
        inside.closure,
        inside.depth,
    ];
    for (count, inside) in counts.iter_mut().zip(inside) {
        *count += u64::from(inside);
    }
}

impl Gather for OddsSums {
    fn merge(&mut self, later: Self) {
        self.endings.merge(&later.endings);
        self.compromised += later.compromised;
        self.accepted_at_once += later.accepted_at_once;
        self.pinion_torque += later.pinion_torque;
        let shares = self.first.iter_mut().chain(&mut self.handed_over);
        for (own, more) in shares.zip(later.first.iter().chain(&later.handed_over)) {
            *own += more;
        }
        for (own, more) in [
            (&mut self.assemblies, &later.assemblies),
            (&mut self.pinion_changes, &later.pinion_changes),
            (&mut self.side_changes, &later.side_changes),
            (&mut self.reseats, &later.reseats),
            (&mut self.preload_tries, &later.preload_tries),
        ] {
            own.merge(more);
        }
        self.hours.merge(&later.hours);
        for (own, more) in self.packs.iter_mut().zip(&later.packs) {
            own.merge(more);
        }
        self.minutes.merge(&later.minutes);
        for (own, more) in [
            (&mut self.depth, &later.depth),
            (&mut self.backlash, &later.backlash),
            (&mut self.closure, &later.closure),
        ] {
            own.merge(more);
        }
    }

    fn half_width(&self) -> f64 {
        self.endings.half_width()
    }
}

impl RunResult<OddsSums> {
    pub(crate) fn into_odds(self, setup: &Setup) -> Odds {
        let sums = &self.gathered;
        let endings = &sums.endings;
        let landed = |counts: &[u64; 4], all: Estimate| {
            let [backlash, pattern, side_closure, depth] =
                counts.map(|hits| Estimate::share(hits, all.n));
            WindowShares {
                backlash,
                pattern,
                side_closure,
                depth,
                all,
            }
        };
        let hours = |q| sums.hours.quantile(q);
        let mean = |counts: &Counts| counts.mean().not_below(0.0);
        let share = |hits| Estimate::share(hits, endings.rebuilds);
        Odds {
            rebuilds: self.rebuilds,
            partial: self.partial,
            first_assembly: landed(&sums.first, endings.first_assembly()),
            handed_over: landed(&sums.handed_over, endings.handed_over()),
            pinion_torque: Estimate::share(sums.pinion_torque, endings.finished),
            clearly_out: endings.clearly_out(),
            effort: Effort {
                finished: endings.finished(),
                compromised: share(sums.compromised),
                accepted_at_once: share(sums.accepted_at_once),
                assemblies: mean(&sums.assemblies).not_below(1.0),
                assembly_shares: assembly_shares(&sums.assemblies),
                pinion_changes: mean(&sums.pinion_changes),
                side_changes: mean(&sums.side_changes),
                reseats: mean(&sums.reseats),
                preload_tries: mean(&sums.preload_tries),
                hours: Hours {
                    mean: sums
                        .minutes
                        .moments()
                        .estimate()
                        .not_below(0.0)
                        .times(1.0 / 60.0),
                    p50: hours(0.50),
                    p80: hours(0.80),
                    p90: hours(0.90),
                    p95: hours(0.95),
                },
            },
            spread: Spread {
                depth: sums.depth.moments(),
                backlash: sums.backlash.moments(),
                closure: sums.closure.moments(),
            },
            packs: fitted_packs(setup, &sums.packs),
        }
    }
}

fn assembly_shares(assemblies: &Counts) -> Vec<f64> {
    let total = assemblies.total() as f64;
    let most = assemblies.iter().last().map_or(0, |(number, _)| number);
    let mut shares = vec![0.0; most as usize];
    for (number, count) in assemblies.iter() {
        shares[number as usize - 1] = count as f64 / total;
    }
    shares
}

fn fitted_packs(setup: &Setup, counts: &[Counts; 4]) -> PackShares {
    let shares = |counts: &Counts, printed: &dyn Fn(i64) -> f64| {
        let total = counts.total() as f64;
        let pairs = counts.iter();
        pairs
            .map(|(number, count)| (printed(number), count as f64 / total))
            .collect()
    };
    let side = |number| match &setup.side_stock {
        SideStock::Packs(table) => table.all()[number as usize].printed,
        SideStock::Notches(notch) => number as f64 * notch,
    };
    let [pinion, ring_side, far_side, preload] = counts;
    PackShares {
        pinion: shares(pinion, &|number| {
            setup.pinion_packs.all()[number as usize].printed
        }),
        ring_side: shares(ring_side, &side),
        far_side: shares(far_side, &side),
        preload: match &setup.preload {
            Preload::Spacer { packs, .. } => {
                shares(preload, &|number| packs.all()[number as usize].printed)
            }
            Preload::Sleeve { .. } => Vec::new(),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo;

    #[test]
    fn a_share_of_jobs_is_done_within_so_many_assemblies() {
        let mut watch = |_| ControlFlow::Continue(());
        let odds = odds(&demo::setup(), 1, Until::Rebuilds(100), &mut watch);
        let mut effort = odds.effort;
        // 0.1 + 0.7 is a little less than 0.8
        effort.assembly_shares = vec![0.1, 0.7, 0.0, 0.2];
        for (share, most) in [(0.05, 1), (0.1, 1), (0.5, 2), (0.8, 2), (0.81, 4), (1.0, 4)] {
            assert_eq!(effort.assemblies_within(share), most, "{share}");
        }
    }
}
