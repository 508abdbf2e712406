//! A simulated rebuild as a job file would tell it.

use super::FinishedJob;
use super::shims_out::shims_out;
use crate::axle::Condition;
use crate::bench::job::Ending;
use crate::bench::minutes::{Operation, TICKS_A_MINUTE, Task, Timesheet};
use crate::bench::outcome::Outcome;
use crate::bench::parts::Parts;
use crate::bench::setup::{Preload, Setup, SideStock};
use crate::bench::{Basis, Decision, Event, OldPacks, PackPlace, SetUpCones, Witness};
use crate::chance::dice::{Address, Dice, Purpose};
use crate::next::{BenchJob, Fitted, Known};

/// The rebuild at an address as its technician would write it down: everything that was known, fitted and
/// read, zero end play found once more at every assembly, the minutes of each task, the shims that were
/// spoiled, and whether it came back.
///
/// # Definition
/// The bench is that of [`Setup::rebuild`]. What it does not draw (the packs that came out where the start
/// needs none of them, bearing heights, zero end play found once more) is drawn from a stream of its own,
/// by the same laws as where it is needed; then every shim that came out is spoiled with the chance of its
/// series, and a job handed over clearly out comes back with the chance `prices.comeback_share`.
pub fn recorded(setup: &Setup, address: Address) -> FinishedJob {
    let parts = setup.parts(address);
    let mut dice = address.stream(Purpose::Records);
    let mut recorder = Recorder::new(setup, &parts, &mut dice);
    let rebuild = setup.rebuild_of_parts(&parts, address, &mut recorder);
    let bench = recorder.into_job();
    let spoiled = spoiled(setup, &bench, &mut dice);
    FinishedJob {
        bench,
        hours: Some(setup.minutes(address, &rebuild) / 60.0),
        minutes: minutes(&setup.timesheet(address, &rebuild)),
        ended: true,
        tries: (rebuild.preload_tries > 0).then_some(rebuild.preload_tries),
        spoiled,
        comeback: match Ending::of(setup, &rebuild).outcome {
            Outcome::GivenUp => None,
            outcome => {
                let returns = dice.chance(setup.shop.prices.comeback_share);
                Some(outcome.is_clearly_out() && returns)
            }
        },
    }
}

/// Minutes of the tasks that were done.
fn minutes(sheet: &Timesheet) -> Vec<(Task, f64)> {
    let all = Task::ALL.into_iter().filter_map(|task| {
        let ticks = sheet.first[task as usize] + sheet.repeats[task as usize];
        (ticks > 0).then(|| (task, ticks as f64 / TICKS_A_MINUTE))
    });
    all.collect()
}

/// How many of the shims that came out are spoiled, by series.
fn spoiled(setup: &Setup, job: &BenchJob, dice: &mut Dice) -> Vec<(String, u32)> {
    let mut all = shims_out(setup, job);
    for (name, count) in &mut all {
        let share = setup.shop.series(name).map_or(0.0, |series| series.spoiled);
        *count = (0..*count).map(|_| u32::from(dice.chance(share))).sum();
    }
    all
}

/// Writes down what happens at the bench.
struct Recorder<'a> {
    setup: &'a Setup,
    known: Known,
    assemblies: Vec<Fitted>,
    /// What is fitted at the moment: packs, whether the ring was seated anew, zero end play.
    next: Fitted,
    /// The pack beside the spacer.
    spacer: f64,
    /// The total that truly leaves no end play.
    zero_truth: f64,
    dice: &'a mut Dice,
}

impl<'a> Recorder<'a> {
    fn new(setup: &'a Setup, parts: &Parts, dice: &'a mut Dice) -> Self {
        let sigma = setup.shop.instruments.height;
        let mut heights = |old: f64, new: f64| {
            let [old, new] = [old, new].map(|height| height + sigma * dice.normal());
            match setup.bearings {
                Condition::New => [old, new],
                Condition::Kept => [old, old],
            }
        };
        let (old, new) = (&parts.old_bearings, &parts.bearings);
        let known = Known {
            mark_old: Some(parts.old_pair.mark),
            mark_new: Some(parts.pair.mark),
            head_height: Some(heights(old.head, new.head)),
            tail_height: Some(heights(old.tail, new.tail)),
            ring_height: Some(heights(old.ring, new.ring)),
            far_height: Some(heights(old.far, new.far)),
            ..Known::default()
        };
        Self {
            setup,
            known,
            assemblies: Vec::new(),
            next: Fitted {
                on_setup_bearings: setup.on_setup_bearings(),
                ..Fitted::default()
            },
            spacer: 0.0,
            zero_truth: f64::NAN,
            dice,
        }
    }

    /// The job; with screw adjusters the travel counts from the first assembly.
    fn into_job(mut self) -> BenchJob {
        if !self.has_side_packs()
            && let Some(first) = self.assemblies.first()
        {
            let (ring, far) = (first.ring, first.far);
            for entry in &mut self.assemblies {
                entry.ring -= ring;
                entry.far -= far;
                entry.zero_total = entry.zero_total.map(|total| total - ring - far);
            }
        }
        BenchJob {
            known: self.known,
            assemblies: self.assemblies,
        }
    }

    fn has_side_packs(&self) -> bool {
        matches!(self.setup.side_stock, SideStock::Packs(_))
    }

    fn bolted_up(&mut self) {
        let end_play = self.setup.shop.instruments.end_play;
        let again = self.zero_truth + end_play * self.dice.normal();
        let mut entry = self.next.clone();
        entry.zero_total.get_or_insert(again);
        self.assemblies.push(entry);
        self.next.zero_total = None;
        self.next.reseated = false;
    }

    /// A pack that came out, as measured.
    fn measured(&mut self, series: Option<&str>, real: f64) -> f64 {
        real + self.setup.old_pack_sigma(series, real) * self.dice.normal()
    }
}

impl Witness for Recorder<'_> {
    const LISTENS: bool = true;

    fn operation(&mut self, operation: Operation) {
        match operation {
            Operation::FinalAssembly => self.next.on_setup_bearings = false,
            // what a spoiled sleeve read is no longer on the axle
            Operation::Sleeve | Operation::SleeveAgain => {
                if let Some(entry) = self.assemblies.last_mut() {
                    entry.torque.clear();
                }
            }
            _ => {}
        }
    }

    fn stripped(&mut self, old: impl FnOnce() -> OldPacks) {
        let (old, axle) = (old(), &self.setup.axle);
        let side = axle.side_shims.stock.as_deref();
        self.known.pinion_pack = Some(self.measured(Some(&axle.pinion_shim.stock), old.pinion));
        if self.has_side_packs() {
            self.known.ring_pack = Some(self.measured(side, old.ring));
            self.known.far_pack = Some(self.measured(side, old.far));
        }
        if let (Preload::Spacer { .. }, Some(pack)) = (&self.setup.preload, old.spacer) {
            let measured = self.measured(axle.pinion_preload.stock(), pack);
            self.known.preload_pack = Some(measured);
        }
    }

    fn set_up_cones(&mut self, _: impl FnOnce() -> SetUpCones) {}

    fn hears(&mut self, event: impl FnOnce() -> Event) {
        let deeper = self.setup.axle.pinion_shim.seat.depth_per_thickness();
        match event() {
            Event::PinionStart { basis, .. } => match basis {
                Basis::OldPack { measured, .. } => self.known.pinion_pack = Some(measured),
                Basis::Gauge { reading, .. } => self.known.gauge = Some(deeper * reading),
                Basis::Usual { .. } | Basis::ZeroLash => {}
            },
            Event::RingStart {
                basis: Basis::OldPack { measured, .. },
                ..
            } if self.has_side_packs() => self.known.ring_pack = Some(measured),
            Event::Total { truth, found, .. } => {
                self.zero_truth = truth;
                self.next.zero_total = Some(found);
            }
            Event::Pack { place, printed, .. } => match place {
                PackPlace::Pinion => self.next.pinion = printed,
                PackPlace::RingSide => self.next.ring = printed,
                PackPlace::FarSide => self.next.far = printed,
                PackPlace::Spacer => self.spacer = printed,
            },
            Event::BoltedUp(_) => self.bolted_up(),
            Event::Decision(Decision::Reseat { .. }) => self.next.reseated = true,
            told => self.reads(told),
        }
    }
}

impl Recorder<'_> {
    /// Readings belong to the assembly that stands.
    fn reads(&mut self, told: Event) {
        let Some(entry) = self.assemblies.last_mut() else {
            return;
        };
        match told {
            Event::Backlash { readings, .. } => entry.backlash = readings,
            Event::TorqueRise { reading, .. } => entry.rise = Some(reading),
            Event::Pattern { readings, .. } => {
                let [drive, coast] = readings;
                (entry.drive, entry.coast) = (Some(drive), Some(coast));
            }
            Event::Torque { reading, .. } => {
                entry.torque.push(reading);
                if matches!(self.setup.preload, Preload::Spacer { .. }) {
                    entry.preload.push(self.spacer);
                }
            }
            _ => {}
        }
    }
}
