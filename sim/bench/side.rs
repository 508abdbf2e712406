//! Correcting backlash and side preload by the side shims.

use super::{Bench, Correction, Decision, Event, GivenUp, Place, Witness};
use crate::minutes::Operation;
use crate::units::SLACK;

/// A ring move smaller than this teaches nothing, mm.
const LEAST_TEACHING_MOVE: f64 = 0.05;
/// What a technician believes of the rate stays in here.
const BELIEVABLE: (f64, f64) = (0.4, 1.5);

impl<W: Witness> Bench<'_, W> {
    /// Moves the ring gear by what the mean reading asks for, and the total by what a wrong torque
    /// rise, N·m, asks for; `backlash` says whether a reading lay outside its window.
    pub(super) fn correct_side(
        &mut self,
        mean_reading: f64,
        backlash: bool,
        wrong_rise: Option<f64>,
    ) -> Result<Correction, GivenUp> {
        let windows = &self.setup.axle.windows;
        let missing = windows.backlash.middle() - mean_reading;
        if let Some(rise) = wrong_rise {
            let rises = self.setup.rise_window;
            self.wanted_total +=
                (rises.middle() - rise) / rises.width() * windows.side_closure.width();
        }
        let ring = self.nearest(
            Place::RingSide,
            self.ring.printed - missing / self.ring_belief,
        );
        let far = self.nearest(Place::FarSide, self.wanted_total - ring.printed);
        if ring.number == self.ring.number && far.number == self.far.number {
            self.compromised = true;
            self.decides(|| Decision::SidesCannotBeBettered { mean: mean_reading });
            return Ok(Correction::Compromise);
        }
        let before = (mean_reading, self.ring.printed);
        let belief = self.ring_belief;
        self.decides(|| Decision::ChangeSides {
            mean: mean_reading,
            belief,
            backlash,
            preload: wrong_rise.is_some(),
        });
        self.change()?;
        self.side_changes += 1;
        self.go(if self.on_trial {
            Operation::TrialSideChange
        } else {
            Operation::SideChange
        });
        self.ring = self.fit_pack(Place::RingSide, ring, Some(self.ring));
        self.far = self.fit_pack(Place::FarSide, far, Some(self.far));
        self.before_side_change = Some(before);
        self.bolted_up();
        Ok(Correction::Changed)
    }

    /// The far side takes the wanted total less the printed ring-side pack.
    pub(super) fn fit_far(&mut self) {
        let wanted = self.wanted_total - self.ring.printed;
        self.far = self.fit(Place::FarSide, wanted, Some(self.far));
    }

    /// Corrects the believed backlash per ring move by what the last side change did.
    pub(super) fn learn(&mut self, mean_reading: f64) {
        let Some((reading_before, ring_before)) = self.before_side_change.take() else {
            return;
        };
        // a thinner pack lets the ring gear move away
        let moved = ring_before - self.ring.printed;
        if self.setup.shop.bench.learns && moved.abs() >= LEAST_TEACHING_MOVE - SLACK {
            let rate = (mean_reading - reading_before) / moved;
            let before = self.ring_belief;
            let after = rate.clamp(BELIEVABLE.0, BELIEVABLE.1);
            self.ring_belief = after;
            self.witness.hears(|| Event::Learned { before, after });
        }
    }
}
