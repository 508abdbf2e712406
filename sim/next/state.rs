//! A draw of the belief as an axle on the bench, for the simulated technician to work on.

use super::form::Form;
use super::history::{History, grown, same};
use super::model::{Heights, Model};
use super::sleeve::{Nut, Sleeve, Sleeves};
use crate::axle::Condition;
use crate::bench::FittedPack;
use crate::bench::parts::{BearingSet, GearPair, Parts, SpacerParts, runout};
use crate::bench::resume::{PreloadSoFar, Standing};
use crate::bench::setup::{Preload, Setup, SideStock};
use crate::bench::truth::{Assembly, Thicknesses};
use crate::chance::dice::{Address, Purpose};
use crate::next::BenchJob;

/// One draw as an axle on the bench.
#[derive(Debug, Clone)]
pub(super) struct State {
    pub(super) parts: Parts,
    pub(super) standing: Standing,
    /// The truth of the last assembly; of no meaning before the first one.
    pub(super) truth: Assembly,
    /// The true pinion torque, where one is stated that still holds.
    pub(super) torque: Option<f64>,
    /// The sleeve that is in, where torques of it are stated and still hold.
    pub(super) sleeve: Option<Sleeve>,
}

/// Everything that states of one job have in common.
pub(super) struct States<'a> {
    pub(super) setup: &'a Setup,
    pub(super) job: &'a BenchJob,
    pub(super) history: &'a History,
    pub(super) model: &'a Model,
    /// Sleeves as they may be, where torques of one are stated.
    pub(super) sleeves: Option<&'a Sleeves>,
}

impl States<'_> {
    /// The state of a draw of all variables; `address` is where the rest is drawn, and `number` which
    /// sleeve is taken.
    pub(super) fn of(&self, variables: &[f64], number: usize, address: Address) -> State {
        let sleeve = self
            .sleeves
            .map(|sleeves| sleeves.all[number % sleeves.all.len()]);
        let parts = self.parts(variables, sleeve, address);
        let last = self.model.assemblies.last();
        let at = |form: &Form| form.at(variables);
        let seated = set(&self.model.parts.seated(self.history.on_trial), variables);
        let face = last.map_or(parts.face_runout, |last| [0, 1].map(|i| at(&last.face[i])));
        let packs = self.packs(variables);
        let truth = Assembly::of(
            self.setup,
            &parts,
            &seated,
            face,
            Thicknesses {
                pinion: packs[0].real,
                ring: packs[1].real,
                far: packs[2].real,
            },
        );
        let (preload, torque) = self.preload(variables, &parts, sleeve);
        let history = self.history;
        let standing = Standing {
            seated,
            on_trial: history.on_trial,
            final_to_come: history.final_to_come,
            face,
            packs,
            preload,
            preload_stale: history.torque.is_some_and(|(_, stale)| stale),
            wanted_total: history.wanted_total.unwrap_or(0.0),
            ring_belief: history.ring_belief,
            mean_reading: history.mean_reading,
            heights: grown(self.setup, self.job),
            assemblies: history.assemblies,
            turns: history.turns,
            reseats: history.reseats,
        };
        State {
            parts,
            standing,
            truth,
            torque,
            sleeve: sleeve.filter(|_| torque.is_some()),
        }
    }

    fn parts(&self, variables: &[f64], sleeve: Option<Sleeve>, address: Address) -> Parts {
        let forms = &self.model.parts;
        let at = |form: &Form| form.at(variables);
        let gears = &self.setup.axle.gears;
        let mut dice = address.stream(Purpose::Belief);
        let length = [(); 2].map(|()| gears.pattern.scatter_length * dice.normal());
        let face = &self.setup.axle.carrier.face_runout;
        let face = runout(face.draw(&mut dice), &mut dice);
        let pair = |[depth, ring]: &[Form; 2], mark: f64| GearPair {
            depth: at(depth),
            ring: at(ring),
            mark,
            mark_error: 0.0,
        };
        let error = gears.mark.error.draw(&mut dice);
        let etched = self
            .setup
            .graduations
            .mark
            .round(at(&forms.pair[0]) + error);
        let new_mark = match self.setup.gears {
            Condition::New => self.job.known.mark_new.unwrap_or(etched),
            Condition::Kept => at(&forms.old_mark),
        };
        let [drive, coast] = [0, 1].map(|flank| at(&forms.scatter[flank]));
        Parts {
            head_seat: at(&forms.head_seat),
            ring_seat: at(&forms.ring_seat),
            far_seat: at(&forms.far_seat),
            offset: at(&forms.offset),
            shaft_angle: at(&forms.shaft_angle),
            shoulders: at(&forms.shoulders),
            shoulder_ring: at(&forms.shoulder_ring),
            face_runout: face,
            tooth_runout: [0, 1].map(|i| at(&forms.teeth[i])),
            bearings: set(&forms.bearings, variables),
            old_bearings: set(&forms.old_bearings, variables),
            pair: pair(&forms.pair, new_mark),
            old_pair: pair(&forms.old_pair, at(&forms.old_mark)),
            scatter: [length[0], drive, length[1], coast],
            pinion_friction: sleeve
                .map_or_else(|| at(&forms.pinion_friction), |sleeve| sleeve.friction),
            side_friction: at(&forms.side_friction),
            seal_drag: sleeve.map_or_else(|| at(&forms.seal_drag), |sleeve| sleeve.drag),
            old_depth: at(&forms.old_depth),
            old_backlash: at(&forms.old_backlash),
            spacer: forms.spacer.as_ref().map(|spacer| SpacerParts {
                gap: at(&spacer[0]),
                length: at(&spacer[1]),
                old_closure: at(&spacer[2]),
            }),
        }
    }

    /// The packs of the last assembly.
    fn packs(&self, variables: &[f64]) -> [FittedPack; 3] {
        let none = FittedPack {
            number: -1,
            printed: 0.0,
            real: 0.0,
        };
        let (Some(fitted), Some(forms)) =
            (self.job.assemblies.last(), self.model.assemblies.last())
        else {
            return [none; 3];
        };
        let setup = self.setup;
        let side = |printed: f64| match &setup.side_stock {
            SideStock::Packs(table) => table.nearest(printed) as i64,
            SideStock::Notches(notch) => (printed / notch).round() as i64,
        };
        let numbers = [
            setup.pinion_packs.nearest(fitted.pinion) as i64,
            side(fitted.ring),
            side(fitted.far),
        ];
        let printed = [fitted.pinion, fitted.ring, fitted.far];
        [0, 1, 2].map(|i| FittedPack {
            number: numbers[i],
            printed: printed[i],
            real: forms.packs[i].at(variables),
        })
    }

    /// How far the pinion preload is, and the true torque where one is stated that still holds.
    fn preload(
        &self,
        variables: &[f64],
        parts: &Parts,
        sleeve: Option<Sleeve>,
    ) -> (PreloadSoFar, Option<f64>) {
        let setup = self.setup;
        let Some((entry, stale)) = self.history.torque else {
            let so_far = if self.history.final_to_come {
                PreloadSoFar::ToCome
            } else {
                PreloadSoFar::Made
            };
            return (so_far, None);
        };
        let stated = &self.job.assemblies[entry - 1];
        let reading = stated.torque[stated.torque.len() - 1];
        let window = &setup.reading_windows.torque;
        if let (Some(nut), Some(sleeve)) = (Nut::of(setup), sleeve) {
            let torque = nut.torque(&sleeve);
            let ended = reading >= nut.aim && window.outside(reading.max(window.low)) <= 0.0;
            let so_far = if stale || ended {
                PreloadSoFar::Known(torque, None)
            } else {
                PreloadSoFar::Turning(sleeve.closure, reading)
            };
            return (so_far, (!stale).then_some(torque));
        }
        let forms = &self.model.assemblies[entry - 1];
        let gap = self
            .model
            .parts
            .gap(setup, &self.model.parts.bearings, &forms.packs[0]);
        let (Preload::Spacer { packs, .. }, Some(gap), Some(real), Some(printed)) = (
            &setup.preload,
            gap,
            &forms.preload,
            self.last_spacer_pack(entry),
        ) else {
            return (PreloadSoFar::Made, None);
        };
        let real = real.at(variables);
        let closure = gap.at(variables) - real;
        let torque =
            parts.seal_drag + 1e-3 * parts.pinion_friction * setup.pinion_pair.force(closure);
        let pack = FittedPack {
            number: packs.nearest(printed) as i64,
            printed,
            real,
        };
        let so_far = if stale || window.holds(reading) {
            PreloadSoFar::Known(torque, Some(pack))
        } else {
            let tries = stated.torque.len() as u32;
            PreloadSoFar::Shimming(pack, reading, tries, torque)
        };
        (so_far, (!stale).then_some(torque))
    }

    /// The pack beside the spacer as of an entry.
    pub(super) fn last_spacer_pack(&self, entry: usize) -> Option<f64> {
        let entries = self.job.assemblies[..entry].iter().rev();
        entries
            .filter_map(|fitted| fitted.preload.last().copied())
            .next()
    }
}

fn set([head, tail, ring, far]: &Heights, variables: &[f64]) -> BearingSet {
    BearingSet {
        head: head.at(variables),
        tail: tail.at(variables),
        ring: ring.at(variables),
        far: far.at(variables),
    }
}

/// Whether these packs are those of the last assembly.
pub(super) fn is_fitted(job: &BenchJob, packs: [f64; 3]) -> bool {
    job.assemblies.last().is_some_and(|last| {
        let fitted = [last.pinion, last.ring, last.far];
        packs
            .iter()
            .zip(fitted)
            .all(|(one, other)| same(*one, other))
    })
}
