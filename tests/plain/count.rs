//! What is counted over all rebuilds.

use super::bench::Outcome;
use super::packs::Fitted;
use super::truth::is_inside;
use std::collections::BTreeMap;

/// A mean with the standard deviation of the single rebuild.
#[derive(Clone, Copy, Debug, Default)]
pub struct Mean {
    pub mean: f64,
    pub sd: f64,
}

/// Shares of the first assemblies (`pinion_torque` and `clearly_out` are 0) or of the finished
/// jobs.
#[derive(Clone, Copy, Debug, Default)]
pub struct Shares {
    pub n: u64,
    pub backlash: f64,
    pub pattern: f64,
    pub side_closure: f64,
    pub depth: f64,
    pub pinion_torque: f64,
    pub all: f64,
    pub clearly_out: f64,
}

#[derive(Clone, Copy, Debug, Default)]
pub struct Hours {
    pub mean: f64,
    pub p50: f64,
    pub p80: f64,
    pub p90: f64,
    pub p95: f64,
}

/// Packs as (thickness, share), thinnest first.
pub type PackShares = Vec<(f64, f64)>;

#[derive(Clone, Debug, Default)]
pub struct Tally {
    rebuilds: u64,
    finished: u64,
    compromised: u64,
    first: [u64; 5],
    handed: [u64; 7],
    assemblies: Vec<f64>,
    pinion_changes: Vec<f64>,
    side_changes: Vec<f64>,
    reseats: Vec<f64>,
    preload_tries: Vec<f64>,
    minutes: Vec<f64>,
    cones_pulled: Vec<f64>,
    cost: Vec<f64>,
    first_depth: Vec<f64>,
    first_backlash: Vec<f64>,
    first_closure: Vec<f64>,
    packs: [BTreeMap<i64, u64>; 4],
}

impl Tally {
    pub fn add(&mut self, outcome: &Outcome) {
        let job = &outcome.job;
        let windows = &job.axle.windows;
        self.rebuilds += 1;

        let first = &outcome.first;
        let backlash = first.backlash_is_right(windows);
        let pattern = first.pattern_is_right(windows);
        let closure = first.closure_is_right(windows);
        let depth = first.depth_is_right(windows);
        let all = backlash && pattern && closure;
        count(&mut self.first, &[backlash, pattern, closure, depth, all]);
        self.first_depth.push(first.depth);
        self.first_backlash.push(first.backlash);
        self.first_closure.push(first.closure);

        if job.finished {
            self.finished += 1;
            let last = &outcome.last;
            let backlash = last.backlash_is_right(windows);
            let pattern = last.pattern_is_right(windows);
            let closure = last.closure_is_right(windows);
            let depth = last.depth_is_right(windows);
            let torque = is_inside(outcome.torque, job.torque_window());
            let all = backlash && pattern && closure && torque;
            let clearly_out = outcome.clearly_out();
            count(
                &mut self.handed,
                &[backlash, pattern, closure, depth, torque, all, clearly_out],
            );
            let packs = [
                Some(job.pinion),
                Some(job.ring),
                Some(job.far),
                job.spacer_pack,
            ];
            for (counts, pack) in self.packs.iter_mut().zip(packs) {
                if let Some(Fitted { printed, .. }) = pack {
                    // Packs of one printed sum differ by rounding only.
                    let key = (printed * 1e6).round() as i64;
                    *counts.entry(key).or_insert(0) += 1;
                }
            }
        }
        self.compromised += u64::from(job.compromised);
        self.assemblies.push(job.assemblies as f64);
        self.pinion_changes.push(job.pinion_changes as f64);
        self.side_changes.push(job.side_changes as f64);
        self.reseats.push(job.reseats as f64);
        self.preload_tries.push(job.preload_tries as f64);
        self.minutes.push(job.minutes);
        self.cones_pulled.push(job.cones_pulled as f64);
        self.cost.push(outcome.cost());
    }

    pub fn first_assembly(&self) -> Shares {
        let [backlash, pattern, side_closure, depth, all] =
            self.first.map(|n| share(n, self.rebuilds));
        Shares {
            n: self.rebuilds,
            backlash,
            pattern,
            side_closure,
            depth,
            pinion_torque: 0.0,
            all,
            clearly_out: 0.0,
        }
    }

    pub fn handed_over(&self) -> Shares {
        let [
            backlash,
            pattern,
            side_closure,
            depth,
            pinion_torque,
            all,
            clearly_out,
        ] = self.handed.map(|n| share(n, self.finished));
        Shares {
            n: self.finished,
            backlash,
            pattern,
            side_closure,
            depth,
            pinion_torque,
            all,
            clearly_out,
        }
    }

    pub fn effort(&self) -> Effort {
        let most = self.assemblies.iter().copied().fold(0.0, f64::max) as usize;
        let shares = (1..=most)
            .map(|number| {
                let with = self.assemblies.iter().filter(|n| **n == number as f64);
                share(with.count() as u64, self.rebuilds)
            })
            .collect();
        let mut sorted = self.minutes.clone();
        sorted.sort_by(f64::total_cmp);
        let at = |q: f64| {
            let index = (q * sorted.len() as f64).ceil() as usize;
            sorted[index.clamp(1, sorted.len()) - 1] / 60.0
        };
        let minutes = mean_of(&self.minutes);
        Effort {
            n: self.rebuilds,
            finished: share(self.finished, self.rebuilds),
            compromised: share(self.compromised, self.rebuilds),
            assemblies: mean_of(&self.assemblies),
            assembly_shares: shares,
            pinion_changes: mean_of(&self.pinion_changes),
            side_changes: mean_of(&self.side_changes),
            reseats: mean_of(&self.reseats),
            preload_tries: mean_of(&self.preload_tries),
            minutes,
            cones_pulled: mean_of(&self.cones_pulled),
            cost: mean_of(&self.cost),
            hours: Hours {
                mean: minutes.mean / 60.0,
                p50: at(0.50),
                p80: at(0.80),
                p90: at(0.90),
                p95: at(0.95),
            },
        }
    }

    pub fn spread(&self) -> Spread {
        Spread {
            first_depth: mean_of(&self.first_depth),
            first_backlash: mean_of(&self.first_backlash),
            first_closure: mean_of(&self.first_closure),
        }
    }

    pub fn packs(&self) -> Packs {
        let [pinion, ring_side, far_side, preload] = self.packs.each_ref().map(|counts| {
            let total: u64 = counts.values().sum();
            counts
                .iter()
                .map(|(key, n)| (*key as f64 / 1e6, share(*n, total)))
                .collect()
        });
        Packs {
            pinion,
            ring_side,
            far_side,
            preload,
        }
    }
}

#[derive(Clone, Debug, Default)]
pub struct Effort {
    pub n: u64,
    pub finished: f64,
    pub compromised: f64,
    pub assemblies: Mean,
    /// Share with 1, with 2, … assemblies.
    pub assembly_shares: Vec<f64>,
    pub pinion_changes: Mean,
    pub side_changes: Mean,
    pub reseats: Mean,
    pub preload_tries: Mean,
    pub minutes: Mean,
    pub cones_pulled: Mean,
    pub cost: Mean,
    pub hours: Hours,
}

#[derive(Clone, Copy, Debug, Default)]
pub struct Spread {
    pub first_depth: Mean,
    pub first_backlash: Mean,
    pub first_closure: Mean,
}

#[derive(Clone, Debug, Default)]
pub struct Packs {
    pub pinion: PackShares,
    pub ring_side: PackShares,
    pub far_side: PackShares,
    pub preload: PackShares,
}

fn count(counts: &mut [u64], right: &[bool]) {
    for (n, is_right) in counts.iter_mut().zip(right) {
        *n += u64::from(*is_right);
    }
}

fn share(n: u64, of: u64) -> f64 {
    if of == 0 { 0.0 } else { n as f64 / of as f64 }
}

fn mean_of(values: &[f64]) -> Mean {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|x| (x - mean).powi(2)).sum();
    Mean {
        mean,
        sd: (squares / (n - 1.0).max(1.0)).sqrt(),
    }
}
