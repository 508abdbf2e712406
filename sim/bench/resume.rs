//! A job taken up where it stands: an axle on the bench with its packs, and the next thing to do.

use super::depth::DepthSearch;
use super::noise::Noise;
use super::side::RingSearch;
use super::{Bench, FittedPack, GivenUp, Guest, Nearest, PackPlace, Rebuild, Witness};
use crate::axle::PinionSeat;
use crate::bench::minutes::Operation;
use crate::bench::parts::{BearingSet, Parts};
use crate::bench::setup::{Preload, Setup, SideStock};
use crate::bench::truth::Loops;
use crate::chance::dice::{Address, Purpose};

/// An axle as it stands on the bench, in truth and in the technician's head. Lengths in mm, torque in
/// N·m.
#[derive(Debug, Clone)]
pub(crate) struct Standing {
    /// Bearing heights as they sit.
    pub(crate) seated: BearingSet,
    pub(crate) on_trial: bool,
    /// Whether the final assembly is still to come.
    pub(crate) final_to_come: bool,
    /// Runout of the face as a vector, peak to peak.
    pub(crate) face: [f64; 2],
    /// Pinion, ring side, far side.
    pub(crate) packs: [FittedPack; 3],
    pub(crate) preload: PreloadSoFar,
    /// Whether the pinion pack was changed since the last pinion preload.
    pub(crate) preload_stale: bool,
    /// Both side packs together, as wanted.
    pub(crate) wanted_total: f64,
    /// Backlash expected per mm of ring move.
    pub(crate) ring_belief: f64,
    /// Mean backlash reading, where it was read.
    pub(crate) mean_reading: Option<f64>,
    /// New less old bearing heights as stated: head, tail, ring side; `None` where they are not.
    pub(crate) heights: [Option<f64>; 3],
    /// What counts towards the limits of a job.
    pub(crate) assemblies: u32,
    pub(crate) turns: u32,
    pub(crate) reseats: u32,
}

/// How far the pinion preload is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum PreloadSoFar {
    /// It is made at the final assembly.
    ToCome,
    /// It was made; how it came out is not stated.
    Made,
    /// It was made, with this true torque; the spacer's pack.
    Known(f64, Option<FittedPack>),
    /// The nut is to be turned on from this closure, where this was read; the true torque is there.
    Turning(f64, f64),
    /// The spacer's pack gave this reading, outside its window, after so many tries; the true torque.
    Shimming(FittedPack, f64, u32, f64),
}

/// What is done next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Step {
    /// The axle is accepted as it stands.
    Accept,
    /// Packs, by their numbers: pinion, ring side, far side.
    Fit([i64; 3]),
    /// A first assembly with these packs: pinion, ring side; the far side follows from zero end play.
    Start([i64; 2]),
}

impl Setup {
    /// Does a job to its end from where it stands. What was done before is not counted, and packs that
    /// stay are left out of those finally fitted.
    pub(crate) fn carry_on(
        &self,
        parts: &Parts,
        standing: &Standing,
        step: Step,
        address: Address,
        witness: &mut impl Witness,
        guest: &mut impl Guest,
    ) -> Rebuild {
        let noise = Noise::new(address.stream(Purpose::Onwards), guest);
        let times = address.numbered(Purpose::Minutes);
        let mut bench = Bench::new(self, parts, noise, times, witness);
        bench.take_up(standing);
        let made = bench.preload_tries;
        let changed = bench.pinion_changes;
        let first = bench.truth;
        let there = [
            Some(bench.pinion),
            Some(bench.ring),
            Some(bench.far),
            bench.preload,
        ];
        let finished = bench.go_on(standing, step).is_ok();
        let mut rebuild = bench.end(first, finished);
        rebuild.assemblies -= standing.assemblies;
        rebuild.reseats -= standing.reseats;
        rebuild.side_changes -= standing.turns;
        rebuild.pinion_changes -= changed;
        rebuild.preload_tries -= made;
        for (pack, there) in rebuild.packs.iter_mut().zip(there) {
            let number = there.map(|there| there.number);
            *pack = pack.filter(|pack| Some(pack.number) != number);
        }
        rebuild
    }
}

impl<W: Witness, G: Guest> Bench<'_, W, G> {
    /// Puts what stands on the bench in the place of an axle not begun.
    fn take_up(&mut self, standing: &Standing) {
        self.seated = standing.seated;
        self.on_trial = standing.on_trial;
        self.loops = Loops::new(self.setup, self.parts, &self.seated);
        self.seat_ring(standing.face);
        [self.pinion, self.ring, self.far] = standing.packs;
        self.wanted_total = standing.wanted_total;
        if self.setup.shop.bench.measures_heights {
            let [head, tail, ring] = standing.heights;
            let heights = &mut self.heights;
            heights.head = head.unwrap_or(heights.head);
            heights.tail = tail.unwrap_or(heights.tail);
            heights.ring = ring.unwrap_or(heights.ring);
        }
        self.ring_belief = standing.ring_belief;
        self.assemblies = standing.assemblies;
        self.side_changes = standing.turns;
        self.reseats = standing.reseats;
        self.ring_search = RingSearch::default();
        self.depth_search = DepthSearch::new(&self.setup.shop.bench);
        self.pinion_changes = u32::from(standing.preload_stale);
        self.preloaded_with = self.pinion.printed;
        self.bolted_up();
        match standing.preload {
            PreloadSoFar::ToCome => {}
            PreloadSoFar::Made => {
                self.pinion_preload();
                self.ticks = 0.0;
                self.operations = Default::default();
                self.compromised = false;
                self.cones_pulled = 0;
            }
            PreloadSoFar::Known(torque, pack) => {
                self.pinion_torque = Some(torque);
                self.preload = pack;
                self.preload_tries = 1;
            }
            PreloadSoFar::Turning(..) => self.preload_tries = 1,
            PreloadSoFar::Shimming(pack, _, tries, torque) => {
                self.pinion_torque = Some(torque);
                self.preload = Some(pack);
                self.preload_tries = tries;
            }
        }
        // a pack changed since then asks for another preload in the end
        self.preloaded_after = 0;
    }

    fn go_on(&mut self, standing: &Standing, step: Step) -> Result<(), GivenUp> {
        match standing.preload {
            PreloadSoFar::Turning(closure, reading) => self.crush_on(closure, reading),
            PreloadSoFar::Shimming(pack, reading, tries, _) => self.shim_on(pack, reading, tries),
            _ => {}
        }
        match step {
            Step::Accept => {}
            Step::Fit(packs) => {
                self.change_to(packs, standing)?;
                self.until_accepted()?;
            }
            Step::Start(packs) => {
                self.first_assembly(packs);
                self.until_accepted()?;
            }
        }
        if standing.final_to_come {
            self.final_assembly();
            self.pinion_preload();
            if self.setup.on_setup_bearings() {
                self.until_accepted()?;
                if self.pinion_changes > self.preloaded_after {
                    self.pinion_preload_anew();
                }
            }
        } else if self.pinion_changes > self.preloaded_after {
            self.pinion_preload_anew();
        }
        Ok(())
    }

    /// Changes the axle to other packs.
    fn change_to(&mut self, numbers: [i64; 3], standing: &Standing) -> Result<(), GivenUp> {
        let [pinion, ring, far] = [
            self.numbered(PackPlace::Pinion, numbers[0]),
            self.numbered(PackPlace::RingSide, numbers[1]),
            self.numbered(PackPlace::FarSide, numbers[2]),
        ];
        let sides = (self.ring.number, self.far.number);
        if pinion.number == self.pinion.number {
            let before = self.ring.printed;
            self.change_sides()?;
            self.before_side_change = standing.mean_reading.map(|mean| (mean, before));
        } else {
            self.change()?;
            self.pinion_changes += 1;
            self.go(if self.on_trial {
                Operation::TrialPinionChange
            } else {
                Operation::PinionChange
            });
            let seat = self.setup.axle.pinion_shim.seat;
            if !self.on_trial && seat == PinionSeat::UnderHeadBearing {
                self.cones_pulled += 1;
            }
            if sides != (ring.number, far.number) {
                self.pull_side_cones();
            }
        }
        self.pinion = self.fit_pack(PackPlace::Pinion, pinion, Some(self.pinion));
        self.ring = self.fit_pack(PackPlace::RingSide, ring, Some(self.ring));
        self.far = self.fit_pack(PackPlace::FarSide, far, Some(self.far));
        self.bolted_up();
        Ok(())
    }

    /// A first assembly with a pinion pack and a ring-side pack; the far side takes what zero end play
    /// leaves.
    fn first_assembly(&mut self, [pinion, ring]: [i64; 2]) {
        self.go(Operation::FirstAssembly);
        let pinion = self.numbered(PackPlace::Pinion, pinion);
        self.pinion = self.fit_pack(PackPlace::Pinion, pinion, None);
        self.find_wanted_total();
        let ring = self.numbered(PackPlace::RingSide, ring);
        self.ring = self.fit_pack(PackPlace::RingSide, ring, None);
        let wanted = self.wanted_total - self.ring.printed;
        self.far = self.fit(PackPlace::FarSide, wanted, None);
        self.assemblies += 1;
        self.bolted_up();
    }

    /// The pack of a number.
    fn numbered(&self, place: PackPlace, number: i64) -> Nearest {
        let table = match (place, &self.setup.side_stock, &self.setup.preload) {
            (PackPlace::Pinion, ..) => &self.setup.pinion_packs,
            (PackPlace::Spacer, _, Preload::Spacer { packs, .. }) => packs,
            (_, SideStock::Packs(table), _) => table,
            (_, SideStock::Notches(notch), _) => {
                let printed = number as f64 * notch;
                return Nearest {
                    wanted: printed,
                    number,
                    printed,
                    sigma: 0.0,
                };
            }
        };
        let [printed, sigma] = table.printed_and_sigma(number as usize);
        Nearest {
            wanted: printed,
            number,
            printed,
            sigma,
        }
    }
}
