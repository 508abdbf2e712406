//! The bench procedure: one rebuild from the strip-down to the refit.

use super::Task;
use super::axle::{Axle, PinionSeat, SideSeat, middle};
use super::chance::{Chance, Figure, Runout, TorqueOf};
use super::dice::round_to;
use super::packs::{Fitted, Stock};
use super::parts::{Heights, OldPacks, Parts, packs_as_built};
use super::ring::RingBracket;
use super::shop::Shop;
use super::truth::Truth;
use super::work::{Goes, Work};
use std::f64::consts::TAU;

const NEAR: f64 = 1e-9;

pub struct Stocks {
    pub pinion: Stock,
    pub side: Stock,
    pub preload: Option<Stock>,
}

/// What the backlash was before a side change, to learn from.
struct BeforeMove {
    mean: f64,
    printed: f64,
}

/// What the pattern readings have told of the depth so far.
#[derive(Default)]
struct Search {
    deepest_too_shallow: Option<f64>,
    shallowest_too_deep: Option<f64>,
    /// For halving: the direction and size of the last move.
    last_move: Option<(f64, f64)>,
}

pub struct Job<'a> {
    pub axle: &'a Axle,
    pub shop: &'a Shop,
    pub stocks: &'a Stocks,
    pub chance: &'a mut dyn Chance,
    pub bearings_new: bool,
    pub parts: &'a Parts,
    pub old_packs: OldPacks,
    /// The rises of torque that the ends of the closure window should give.
    pub rises: [f64; 2],
    /// Whether the technician reads the marks' signs the wrong way round.
    pub marks_turned: bool,
    /// New less old height as the shop measured it, 0 where there is nothing to correct.
    pub measured_growth: Heights,
    /// How the ring gear's face runs out as it is seated.
    pub face: Runout,
    /// Heights as they sit at the moment.
    pub sits: Heights,
    pub pinion: Fitted,
    pub ring: Fitted,
    pub far: Fitted,
    pub spacer_pack: Option<Fitted>,
    /// The printed pinion pack that the last preload was set with.
    pub preloaded_with: f64,
    /// How often the pinion pack had been changed by then.
    pub changes_at_preload: usize,
    pub sleeve_closure: f64,
    /// Printed side packs together that the technician holds right.
    pub wanted_total: f64,
    pub ring_belief: f64,
    pub assemblies: usize,
    pub pinion_changes: usize,
    pub side_changes: usize,
    pub reseats: usize,
    pub preload_tries: usize,
    /// Pressed bearings pulled to get at a pack.
    pub cones_pulled: usize,
    pub compromised: bool,
    pub finished: bool,
    pub goes: Goes,
    pub minutes: f64,
}

pub struct Outcome<'a> {
    pub first: Truth,
    pub last: Truth,
    pub torque: f64,
    pub job: Job<'a>,
}

impl<'a> Job<'a> {
    /// One rebuild with these parts; `rises` as by [`Task::rise_window`].
    pub fn run(
        task: &'a Task,
        parts: &'a Parts,
        rises: [f64; 2],
        chance: &'a mut dyn Chance,
    ) -> Outcome<'a> {
        let mut job = Job::new(task, parts, rises, chance);
        job.look_over();
        job.goes(Work::Strip);
        job.first_assembly();
        let first = job.truth();
        job.finished = job.set_up();
        job.goes(Work::Refit);
        job.minutes *= job.chance.pace(task.shop.minutes.job_spread);
        Outcome {
            first,
            last: job.truth(),
            torque: job.pinion_torque(),
            job,
        }
    }

    fn new(task: &'a Task, parts: &'a Parts, rises: [f64; 2], chance: &'a mut dyn Chance) -> Self {
        let nothing = Fitted {
            printed: 0.0,
            real: 0.0,
            shims: 0,
        };
        Job {
            axle: &task.axle,
            shop: &task.shop,
            stocks: &task.stocks,
            chance,
            bearings_new: task.bearings_new,
            parts,
            old_packs: packs_as_built(parts, &task.axle, &task.shop),
            rises,
            marks_turned: false,
            measured_growth: Heights {
                head: 0.0,
                tail: 0.0,
                ring: 0.0,
                far: 0.0,
            },
            face: parts.face_runout,
            sits: parts.heights,
            pinion: nothing,
            ring: nothing,
            far: nothing,
            spacer_pack: None,
            preloaded_with: 0.0,
            changes_at_preload: 0,
            sleeve_closure: 0.0,
            wanted_total: 0.0,
            ring_belief: task.shop.ring_belief,
            assemblies: 0,
            pinion_changes: 0,
            side_changes: 0,
            reseats: 0,
            preload_tries: 0,
            cones_pulled: 0,
            compromised: false,
            finished: false,
            goes: Goes::default(),
            minutes: 0.0,
        }
    }

    /// Whether another assembly is allowed; counts it.
    fn assemble_again(&mut self) -> bool {
        if self.assemblies >= self.shop.most_assemblies {
            return false;
        }
        self.assemblies += 1;
        true
    }

    /// Whether another side change is allowed; adjusters are turned with the axle together.
    fn change_sides_again(&mut self) -> bool {
        let turned = self.axle.side_seat == SideSeat::ScrewAdjusters;
        let allowed = if turned {
            self.side_changes < 4 * self.shop.most_assemblies
        } else {
            self.assemble_again()
        };
        self.side_changes += usize::from(allowed);
        allowed
    }

    /// From the first reading to the finished job; false where the job is given up.
    fn set_up(&mut self) -> bool {
        let axle = self.axle;
        let setup_bearings = self.shop.setup_bearings && self.bearings_new;
        let mut final_to_come = true;
        let mut search = Search::default();
        let mut bracket = RingBracket::default();
        let mut learn_from: Option<BeforeMove> = None;
        loop {
            let readings = self.read_backlash();
            let mean = readings.iter().sum::<f64>() / readings.len() as f64;
            let smallest = readings.iter().copied().fold(f64::INFINITY, f64::min);
            let largest = readings.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            if let Some(before) = learn_from.take() {
                self.learn(&before, mean);
            }
            let rise = self.shop.reads_torque_rise.then(|| self.read_torque_rise());

            if largest - smallest > axle.windows.variation + NEAR && self.reseats < 2 {
                if !self.assemble_again() {
                    return false;
                }
                self.reseats += 1;
                self.face = self.chance.reseat(&axle.face_runout);
                self.goes(Work::ReseatRing);
                bracket = RingBracket::default();
                continue;
            }

            let on_setup_bearings = setup_bearings && final_to_come;
            let [low, high] = guarded(axle.windows.backlash, self.shop.guard);
            let worst = (low - smallest).max(largest - high);
            let outside = (worst > NEAR).then_some(worst);
            let [rise_low, rise_high] = self.rises;
            let held = guarded([rise_low, rise_high], self.shop.guard);
            let wrong_rise = rise.filter(|r| *r < held[0] - NEAR || *r > held[1] + NEAR);
            if outside.is_some() || wrong_rise.is_some() {
                if let Some(r) = wrong_rise {
                    let [closure_low, closure_high] = axle.windows.closure;
                    self.wanted_total += (middle([rise_low, rise_high]) - r)
                        / (rise_high - rise_low)
                        * (closure_high - closure_low);
                    bracket = RingBracket::default();
                }
                let ring = self.choose_ring_pack(&mut bracket, mean, outside, wrong_rise.is_some());
                let far = self.stocks.side.nearest(self.wanted_total - ring.printed);
                if !self.ring.is_same(&ring) || !self.far.is_same(&far) {
                    if !self.change_sides_again() {
                        return false;
                    }
                    learn_from = Some(BeforeMove {
                        mean,
                        printed: self.ring.printed,
                    });
                    self.ring.replace(ring, self.chance);
                    self.far.replace(far, self.chance);
                    self.goes(if on_setup_bearings {
                        Work::TrialSideChange
                    } else {
                        Work::SideChange
                    });
                    if axle.side_seat == SideSeat::BehindSideBearings && !on_setup_bearings {
                        self.cones_pulled += 2;
                    }
                    continue;
                }
                self.compromised = true;
            }

            if let Some(thickness) = self.check_pattern(&mut search) {
                if !self.assemble_again() {
                    return false;
                }
                self.pinion_changes += 1;
                let sides_changed = self.change_pinion_pack(thickness);
                self.goes(if on_setup_bearings {
                    Work::TrialPinionChange
                } else {
                    Work::PinionChange
                });
                if !on_setup_bearings {
                    self.pull_cones_for_pinion(sides_changed);
                }
                bracket = RingBracket::default();
                continue;
            }

            if final_to_come {
                final_to_come = false;
                self.sits = self.parts.heights;
                if setup_bearings {
                    self.find_wanted_total();
                    let wanted = self.wanted_total - self.ring.printed;
                    self.far
                        .replace(self.stocks.side.nearest(wanted), self.chance);
                }
                self.goes(Work::FinalAssembly);
                self.set_pinion_preload();
                search = Search::default();
                bracket = RingBracket::default();
                if setup_bearings {
                    continue;
                }
                return true;
            }
            // A change there and back counts too: the pinion was out.
            if self.pinion_changes > self.changes_at_preload {
                self.set_pinion_preload();
            }
            return true;
        }
    }

    fn read_backlash(&mut self) -> Vec<f64> {
        let truth = self.truth();
        let square = self.axle.geometry.square_factor;
        let of = |is_square: bool| if is_square { square } else { 1.0 };
        let factor = of(self.shop.dial_square) / of(self.axle.windows.book_square);
        let points = self.shop.backlash_points;
        let dial = &self.shop.dial;
        self.goes(Work::ReadBacklash);
        (0..points)
            .map(|point| {
                let angle = TAU * point as f64 / points as f64;
                let seen = truth.backlash_at(angle).max(0.0) * factor;
                round_to(
                    seen + self.chance.normal(Figure::Dial, dial.sigma),
                    dial.step,
                )
                .max(0.0)
            })
            .collect()
    }

    /// The belief becomes what the last move did.
    fn learn(&mut self, before: &BeforeMove, mean: f64) {
        let moved_in = before.printed - self.ring.printed;
        if self.shop.learns && moved_in.abs() >= 0.05 - NEAR {
            self.ring_belief = ((mean - before.mean) / moved_in).clamp(0.4, 1.5);
        }
    }

    /// The side pair's torque at the pinion nut, as the difference of two averaged readings.
    fn read_torque_rise(&mut self) -> f64 {
        let rise = self.parts.side_friction * self.axle.side_pair.force(self.closure()) / 1000.0
            * self.axle.teeth_ratio;
        let base = middle(self.torque_window());
        let torque = &self.shop.torque;
        let scale = 1.0 + self.chance.normal(Figure::Torque, self.shop.torque_share);
        let n = self.shop.torque_readings;
        let [both, alone] = [(); 2].map(|()| -> Vec<f64> {
            (0..n)
                .map(|_| self.chance.normal(Figure::Torque, torque.sigma))
                .collect()
        });
        let mean_of = |torque_there: f64, errors: &[f64]| {
            let readings = errors
                .iter()
                .map(|e| round_to(torque_there + e, torque.step));
            readings.sum::<f64>() / n as f64
        };
        self.chance.read_torque(TorqueOf::SideRise, rise, &|rise| {
            mean_of(rise * scale + base, &both) - mean_of(base, &alone)
        })
    }

    /// Reads the pattern. Some(thickness) is the pinion pack to change to; None accepts.
    fn check_pattern(&mut self, search: &mut Search) -> Option<f64> {
        let truth = self.truth();
        let instrument = &self.shop.pattern;
        self.goes(Work::ReadPattern);
        let mut read = |true_profile: f64| {
            let seen = true_profile + self.chance.normal(Figure::Pattern, instrument.sigma);
            round_to(seen, instrument.step)
        };
        let drive = read(truth.pattern[1]);
        let coast = read(truth.pattern[3]);
        let profile = self.axle.windows.pattern_profile;
        let [_, limit] = guarded([-profile, profile], self.shop.guard);
        let limit = limit + NEAR;
        if drive.abs() <= limit && coast.abs() <= limit {
            return None;
        }
        let mean = (drive + coast) / 2.0;
        if mean.abs() <= NEAR {
            self.compromised = true;
            return None;
        }

        // Depths are counted so that more is deeper.
        let deeper = self.axle.deeper_by_thicker();
        let depth = deeper * self.pinion.printed;
        let mut want = if self.shop.halving {
            let direction = mean.signum();
            let size = match search.last_move {
                None => self.shop.first_move,
                Some((last, size)) if last != direction => size / 2.0,
                Some((_, size)) => size,
            };
            search.last_move = Some((direction, size));
            depth + direction * size
        } else {
            depth + mean / self.shop.depth_belief
        };
        if mean > 0.0 {
            let end = search.deepest_too_shallow.unwrap_or(depth);
            search.deepest_too_shallow = Some(end.max(depth));
        } else {
            let end = search.shallowest_too_deep.unwrap_or(depth);
            search.shallowest_too_deep = Some(end.min(depth));
        }
        if let (Some(shallow), Some(deep)) =
            (search.deepest_too_shallow, search.shallowest_too_deep)
        {
            let between = want > shallow + NEAR && want < deep - NEAR;
            if !between {
                want = (shallow + deep) / 2.0;
            }
        }
        let thickness = deeper * want;
        let nearest = self.stocks.pinion.nearest(thickness);
        if (nearest.printed - self.pinion.printed).abs() < self.shop.smallest_move - NEAR {
            self.compromised = true;
            return None;
        }
        Some(thickness)
    }

    /// Changes the pinion pack; the ring follows so that the backlash stays. True where a side
    /// pack had to change too.
    fn change_pinion_pack(&mut self, thickness: f64) -> bool {
        let deeper = self.axle.deeper_by_thicker();
        let before = self.pinion.printed;
        let pack = self.stocks.pinion.nearest(thickness);
        self.pinion.replace(pack, self.chance);
        let depth_change = -deeper * (self.pinion.printed - before);
        let rates = &self.axle.geometry;
        let wanted = self.ring.printed + depth_change * rates.per_depth / rates.per_ring;
        let ring = self.stocks.side.nearest(wanted);
        let far = self.stocks.side.nearest(self.wanted_total - ring.printed);
        let sides_changed = !self.ring.is_same(&ring) || !self.far.is_same(&far);
        self.ring.replace(ring, self.chance);
        self.far.replace(far, self.chance);
        sides_changed
    }

    /// What a pinion change pulls off where the bearings are pressed on.
    fn pull_cones_for_pinion(&mut self, sides_changed: bool) {
        if self.axle.pinion_seat == PinionSeat::UnderHeadBearing {
            self.cones_pulled += 1;
        }
        if sides_changed && self.axle.side_seat == SideSeat::BehindSideBearings {
            self.cones_pulled += 2;
        }
    }
}

impl Task {
    /// The rises of torque that the ends of the closure window give at nominal friction.
    pub fn rise_window(&self) -> [f64; 2] {
        let axle = &self.axle;
        let share = if self.bearings_new {
            1.0
        } else {
            axle.used_friction
        };
        let friction = axle.side_friction.mean() * share;
        let rise = |closure| friction * axle.side_pair.force(closure) / 1000.0 * axle.teeth_ratio;
        axle.windows.closure.map(rise)
    }
}

/// A window as readings are held against it: narrower by the guard on each side.
pub fn guarded([low, high]: [f64; 2], guard: f64) -> [f64; 2] {
    let margin = guard * (high - low);
    [low + margin, high - margin]
}
