//! The bench: one simulated technician sets up one axle, reading by reading.
//!
//! The technician never sees the truth: `reading` turns it into readings of instruments, and every
//! decision here is made from readings, printed thicknesses and beliefs alone.

mod bracket;
mod depth;
mod derived;
mod event;
pub(crate) mod graduation;
pub mod job;
pub mod middle;
pub mod minutes;
pub mod money;
mod noise;
pub mod outcome;
pub mod parts;
mod preload;
mod reading;
pub(crate) mod resume;
pub mod setup;
mod side;
mod start;
pub mod truth;
mod witness;

pub use event::{Basis, Decision, Event};
pub use noise::{Guest, Source};
pub(crate) use preload::gap as preload_gap;
pub use witness::{OldPacks, PackPlace, SetUpCones, Witness};

use noise::Noise;

use crate::bench::minutes::{Operation, OperationCounts, Timesheet};
use crate::bench::parts::{BearingSet, Parts, runout};
use crate::bench::setup::{Preload, Setup, SideStock};
use crate::bench::truth::{Assembly, Loops, Thicknesses};
use crate::chance::dice::{Address, NumberedFigures, Purpose};
use crate::shop::SideCheck;
use crate::units::SLACK;

/// One simulated rebuild.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Rebuild {
    /// The truth of the first assembly, on set-up bearings where the shop uses them.
    pub first: Assembly,
    /// The truth of the last assembly.
    pub last: Assembly,
    /// True torque to turn the pinion alone, N·m; `None` for a job given up before the preload was
    /// set.
    pub pinion_torque: Option<f64>,
    /// Whether the job was finished; otherwise it was given up.
    pub finished: bool,
    /// Whether something out of its window was accepted because no pack in stock improves it.
    pub compromised: bool,
    /// Assemblies, the first one included.
    pub assemblies: u32,
    /// Changes of the pinion shim.
    pub pinion_changes: u32,
    /// Changes of the side shims or turns of the adjusters alone.
    pub side_changes: u32,
    /// Times the ring gear was seated again.
    pub reseats: u32,
    /// Sleeves used, or packs tried with a spacer.
    pub preload_tries: u32,
    /// Pressed bearing cones that had to be pulled for a change.
    pub cones_pulled: u32,
    /// Packs finally fitted: pinion, ring side, far side, spacer.
    pub packs: [Option<FittedPack>; 4],
    /// How often each operation was done.
    pub operations: OperationCounts,
    /// Time of these before the pace of the job, in ticks of the clock.
    pub(crate) ticks: f64,
}

/// A pack on the axle, or an adjuster's setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FittedPack {
    /// Its number in the series' table, or the count of notches.
    pub number: i64,
    /// Thickness as printed, mm.
    pub printed: f64,
    /// Real thickness, mm.
    pub real: f64,
}

/// The job is given up: its limit of assemblies is reached.
struct GivenUp;

/// Result of a correction.
#[derive(PartialEq, Eq)]
enum CorrectionResult {
    /// Something was changed: read again.
    Changed,
    /// No pack improves it.
    Compromise,
}

impl Setup {
    /// Simulates the rebuild at an address.
    pub fn rebuild(&self, address: Address) -> Rebuild {
        self.rebuild_observed(address, &mut ())
    }

    /// Simulates the rebuild at an address with a witness, which changes nothing.
    pub fn rebuild_observed(&self, address: Address, witness: &mut impl Witness) -> Rebuild {
        self.rebuild_of_parts(&self.parts(address), address, witness)
    }

    /// The parts that belong to an address.
    pub fn parts(&self, address: Address) -> Parts {
        Parts::draw(self, &mut address.stream(Purpose::Parts))
    }

    /// Simulates the rebuild at an address with these parts in place of its own.
    pub fn rebuild_of_parts(
        &self,
        parts: &Parts,
        address: Address,
        witness: &mut impl Witness,
    ) -> Rebuild {
        self.rebuild_with_guest(parts, address, witness, &mut ())
    }

    /// The same with a guest, which may replace figures drawn at the bench.
    pub fn rebuild_with_guest(
        &self,
        parts: &Parts,
        address: Address,
        witness: &mut impl Witness,
        guest: &mut impl Guest,
    ) -> Rebuild {
        let noise = Noise::new(address.stream(Purpose::Bench), guest);
        let times = address.numbered(Purpose::Minutes);
        Bench::new(self, parts, noise, times, witness).work()
    }

    /// Minutes that the rebuild simulated at this address takes.
    #[inline]
    pub fn minutes(&self, address: Address, rebuild: &Rebuild) -> f64 {
        rebuild.ticks * self.clock.pace(address)
    }

    /// Minutes of a rebuild simulated at another address with the times of this one.
    pub fn minutes_at(&self, address: Address, rebuild: &Rebuild) -> f64 {
        self.clock.minutes(&rebuild.operations, address)
    }

    /// The minutes of the rebuild simulated at this address, task by task.
    pub fn timesheet(&self, address: Address, rebuild: &Rebuild) -> Timesheet {
        self.clock.timesheet(&rebuild.operations, address)
    }

    /// The same minutes for every single operation, in the order of [`Operation::ALL`].
    pub fn minutes_of_operations(
        &self,
        address: Address,
        rebuild: &Rebuild,
    ) -> Vec<(Operation, f64)> {
        self.clock
            .minutes_of_operations(&rebuild.operations, address)
    }
}

/// The state of one job.
struct Bench<'a, W, G> {
    setup: &'a Setup,
    parts: &'a Parts,
    dice: Noise<'a, G>,
    witness: &'a mut W,
    /// The truth as last bolted up.
    truth: Assembly,
    /// Bearing heights as they sit: slip-fit cones until the final assembly.
    seated: BearingSet,
    on_trial: bool,
    loops: Loops,
    /// Backlash variation round the ring as a vector, peak to peak, and half its length.
    runout: [f64; 2],
    swing: f64,
    pinion: FittedPack,
    ring: FittedPack,
    far: FittedPack,
    preload: Option<FittedPack>,
    /// Both side packs together, as wanted.
    wanted_total: f64,
    /// New less old bearing heights as measured; zero where they are not.
    heights: start::Heights,
    /// Whether the sign of the marks is misread.
    marks_slipped: bool,
    ring_belief: f64,
    /// Mean reading and printed ring-side pack before the last side change.
    before_side_change: Option<(f64, f64)>,
    ring_search: side::RingSearch,
    depth_search: depth::DepthSearch,
    pinion_torque: Option<f64>,
    /// Printed pinion pack at the last pinion preload, and the pinion changes before it.
    preloaded_with: f64,
    preloaded_after: u32,
    compromised: bool,
    assemblies: u32,
    pinion_changes: u32,
    side_changes: u32,
    reseats: u32,
    preload_tries: u32,
    cones_pulled: u32,
    operations: OperationCounts,
    /// Source of the times of operations, and the ticks so far.
    times: NumberedFigures,
    ticks: f64,
}

impl<W: Witness, G: Guest> Bench<'_, W, G> {
    /// Does the job to its end.
    fn work(&mut self) -> Rebuild {
        self.start();
        let first = self.truth;
        let finished = self.procedure().is_ok();
        self.end(first, finished)
    }

    /// Puts the axle back and sums up.
    fn end(&mut self, first: Assembly, finished: bool) -> Rebuild {
        self.go(Operation::Refit);
        Rebuild {
            first,
            last: self.truth,
            pinion_torque: self.pinion_torque,
            finished,
            compromised: self.compromised,
            assemblies: self.assemblies,
            pinion_changes: self.pinion_changes,
            side_changes: self.side_changes,
            reseats: self.reseats,
            preload_tries: self.preload_tries,
            cones_pulled: self.cones_pulled,
            packs: [
                Some(self.pinion),
                Some(self.ring),
                Some(self.far),
                self.preload,
            ],
            operations: self.operations,
            ticks: self.ticks,
        }
    }

    fn procedure(&mut self) -> Result<(), GivenUp> {
        self.until_accepted()?;
        self.final_assembly();
        self.pinion_preload();
        if self.setup.on_setup_bearings() {
            self.until_accepted()?;
            if self.pinion_changes > self.preloaded_after {
                self.pinion_preload_anew();
            }
        }
        Ok(())
    }

    /// Reads and corrects until backlash, side preload and pattern are accepted.
    fn until_accepted(&mut self) -> Result<(), GivenUp> {
        let setup = self.setup;
        let windows = &setup.axle.windows;
        loop {
            let backlash = self.read_backlash();
            self.learn(backlash.mean);
            let rise = match setup.shop.bench.side_check {
                SideCheck::ShimRule => None,
                SideCheck::TorqueRise => Some(self.read_torque_rise())
                    .filter(|rise| !setup.reading_windows.rise.holds(*rise)),
            };
            if backlash.variation() > windows.backlash_variation + SLACK
                && self.reseats < MOST_RESEATS
            {
                let variation = backlash.variation();
                self.decides(|| Decision::Reseat { variation });
                self.reseat_ring()?;
                continue;
            }
            if (!backlash.inside() || rise.is_some())
                && self.correct_side(&backlash, rise)? == CorrectionResult::Changed
            {
                continue;
            }
            let pattern = self.read_pattern();
            let far_off = pattern
                .iter()
                .any(|profile| profile.abs() > setup.reading_windows.pattern_profile + SLACK);
            if far_off && self.correct_depth(pattern)? == CorrectionResult::Changed {
                continue;
            }
            if !far_off {
                self.decides(|| Decision::Accept);
            }
            return Ok(());
        }
    }

    /// Counts one more assembly.
    fn change(&mut self) -> Result<(), GivenUp> {
        self.unless(self.assemblies >= self.setup.shop.bench.most_assemblies)?;
        self.assemblies += 1;
        Ok(())
    }

    /// Gives the job up where its limit is reached.
    fn unless(&mut self, limit_reached: bool) -> Result<(), GivenUp> {
        if limit_reached {
            self.decides(|| Decision::GiveUp);
            return Err(GivenUp);
        }
        Ok(())
    }

    /// Takes the ring gear off its flange and seats it again: the runout of the face is drawn anew,
    /// that of the teeth stays.
    fn reseat_ring(&mut self) -> Result<(), GivenUp> {
        self.change()?;
        self.reseats += 1;
        self.go(Operation::ReseatRing);
        let face = &self.setup.axle.carrier.face_runout;
        let face = self.dice.reseat(|dice| runout(face.draw(dice), dice));
        self.seat_ring(face);
        self.ring_search = side::RingSearch::default();
        self.bolted_up();
        Ok(())
    }

    /// Seats the ring gear with this runout of its face.
    fn seat_ring(&mut self, face: [f64; 2]) {
        self.runout = truth::runout(self.setup, self.parts, face);
        self.swing = truth::swing(self.runout);
    }

    /// Real bearings on, seal and final checks.
    fn final_assembly(&mut self) {
        self.go(Operation::FinalAssembly);
        if self.setup.on_setup_bearings() {
            self.on_trial = false;
            self.seated = self.parts.bearings;
            self.loops = Loops::new(self.setup, self.parts, &self.seated);
            self.find_wanted_total();
            self.fit_far();
            self.ring_search = side::RingSearch::default();
            self.bolted_up();
        }
        self.depth_search = depth::DepthSearch::new(&self.setup.shop.bench);
    }

    /// Works out the truth of the assembly as it is now.
    fn bolted_up(&mut self) {
        self.truth = self.loops.with(
            self.setup,
            self.swing,
            Thicknesses {
                pinion: self.pinion.real,
                ring: self.ring.real,
                far: self.far.real,
            },
        );
        let truth = self.truth;
        self.witness.hears(|| Event::BoltedUp(truth));
    }

    /// Reports a decision to the witness.
    #[inline(always)]
    fn decides(&mut self, decision: impl FnOnce() -> Decision) {
        self.witness.hears(|| Event::Decision(decision()));
    }

    fn go(&mut self, operation: Operation) {
        let before = self.operations.add(operation);
        self.ticks += self.setup.clock.ticks(self.times, operation, before);
        self.witness.operation(operation);
    }

    /// Fits the pack nearest to a wanted thickness.
    #[inline(always)]
    fn fit(&mut self, place: PackPlace, wanted: f64, there: Option<FittedPack>) -> FittedPack {
        let pack = self.nearest(place, wanted);
        self.fit_pack(place, pack, there)
    }

    /// Fits a pack. Its error is drawn here, unless the same pack is fitted already.
    #[inline(always)]
    fn fit_pack(
        &mut self,
        place: PackPlace,
        pack: Nearest,
        there: Option<FittedPack>,
    ) -> FittedPack {
        if let Some(there) = there.filter(|there| there.number == pack.number) {
            self.witness.hears(|| Event::Pack {
                place,
                wanted: pack.wanted,
                printed: there.printed,
                real: there.real,
                kept: true,
            });
            return there;
        }
        let error = if pack.sigma > 0.0 {
            pack.sigma * self.dice.normal(Source::Thickness)
        } else {
            0.0
        };
        self.witness.fitted(place, pack.number);
        let fitted = FittedPack {
            number: pack.number,
            printed: pack.printed,
            real: pack.printed + error,
        };
        self.witness.hears(|| Event::Pack {
            place,
            wanted: pack.wanted,
            printed: fitted.printed,
            real: fitted.real,
            kept: false,
        });
        fitted
    }

    // inlined, so that the place is a constant when compiled
    #[inline(always)]
    fn nearest(&mut self, place: PackPlace, wanted: f64) -> Nearest {
        let nearest = self.looked_up(place, wanted);
        self.witness.wanted(place, wanted, nearest.number);
        nearest
    }

    #[inline(always)]
    fn looked_up(&self, place: PackPlace, wanted: f64) -> Nearest {
        let setup = self.setup;
        let table = match place {
            PackPlace::Pinion => &setup.pinion_packs,
            PackPlace::RingSide | PackPlace::FarSide => match &setup.side_stock {
                SideStock::Packs(table) => table,
                SideStock::Notches(notch) => {
                    // of two settings equally near, the thinner: half a notch is rounded down
                    let number = ((wanted - SLACK) / notch - 0.5).ceil();
                    return Nearest {
                        wanted,
                        number: number as i64,
                        printed: number * notch,
                        sigma: 0.0,
                    };
                }
            },
            PackPlace::Spacer => match &setup.preload {
                Preload::Spacer { packs, .. } => packs,
                Preload::Sleeve { .. } => unreachable!("a sleeve takes no shims"),
            },
        };
        let number = table.nearest(wanted);
        let [printed, sigma] = table.printed_and_sigma(number);
        Nearest {
            wanted,
            number: number as i64,
            printed,
            sigma,
        }
    }
}

/// The pack chosen for a wanted thickness, not yet fitted.
#[derive(Clone, Copy)]
struct Nearest {
    wanted: f64,
    number: i64,
    printed: f64,
    sigma: f64,
}

/// Limit of how often the ring gear is seated again in one job.
const MOST_RESEATS: u32 = 2;
