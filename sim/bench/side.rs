//! Correction of backlash and side preload by the side shims.

use super::bracket::Bracket;
use super::reading::Backlash;
use super::{
    Bench, CorrectionResult, Decision, Event, GivenUp, Guest, Nearest, PackPlace, Witness,
};
use crate::axle::SideSeat;
use crate::bench::minutes::Operation;
use crate::bench::setup::SideStock;
use crate::units::SLACK;

/// Smallest ring move from which the technician learns, mm.
const LEAST_TEACHING_MOVE: f64 = 0.05;
/// Limits of the believed backlash rate.
const BELIEVABLE: (f64, f64) = (0.4, 1.5);

/// The search for the ring-side pack, from backlash readings since anything else was changed.
#[derive(Default)]
pub(super) struct RingSearch {
    bracket: Bracket,
    /// Whether the better one of two neighbouring packs was fitted again: then it stays.
    gone_back: bool,
}

/// The ring-side pack that a backlash reading asks for.
struct RingChoice {
    pack: Nearest,
    /// Whether that is one tried before, since no pack lies between.
    goes_back: bool,
}

impl<W: Witness, G: Guest> Bench<'_, W, G> {
    /// Moves the ring gear by what the mean reading asks for, and the total by what a wrong torque
    /// rise, N·m, asks for.
    pub(super) fn correct_side(
        &mut self,
        backlash: &Backlash,
        wrong_rise: Option<f64>,
    ) -> Result<CorrectionResult, GivenUp> {
        if let Some(rise) = wrong_rise {
            let rises = self.setup.rise_window;
            self.wanted_total += (rises.middle() - rise) / rises.width()
                * self.setup.axle.windows.side_closure.width();
            self.ring_search = RingSearch::default();
        }
        let mean = backlash.mean;
        let ring = self.choose_ring(backlash, wrong_rise.is_some());
        let far = self.nearest(PackPlace::FarSide, self.wanted_total - ring.pack.printed);
        if ring.pack.number == self.ring.number && far.number == self.far.number {
            self.compromised = true;
            self.decides(|| Decision::SidesCannotBeBettered { mean });
            return Ok(CorrectionResult::Compromise);
        }
        let before = (mean, self.ring.printed);
        let belief = self.ring_belief;
        self.decides(|| {
            if ring.goes_back {
                Decision::SidesGoBack { mean }
            } else {
                Decision::ChangeSides {
                    mean,
                    belief,
                    backlash: !backlash.inside(),
                    preload: wrong_rise.is_some(),
                }
            }
        });
        self.change_sides()?;
        self.ring = self.fit_pack(PackPlace::RingSide, ring.pack, Some(self.ring));
        self.far = self.fit_pack(PackPlace::FarSide, far, Some(self.far));
        self.before_side_change = Some(before);
        self.bolted_up();
        Ok(CorrectionResult::Changed)
    }

    /// The ring-side pack to fit after a reading: between those that read too tight and too loose;
    /// where no pack lies between, the better one of the two.
    fn choose_ring(&mut self, backlash: &Backlash, rise_is_wrong: bool) -> RingChoice {
        let missing = self.setup.axle.windows.backlash.middle() - backlash.mean;
        let (fitted, outside) = (self.ring.printed, backlash.outside);
        if !backlash.inside() {
            // a thicker pack moves the ring gear in
            if missing > SLACK {
                self.ring_search.bracket.too_large(fitted, outside);
            } else if missing < -SLACK {
                self.ring_search.bracket.too_small(fitted, outside);
            }
        }
        let bracket = self.ring_search.bracket;
        let wanted = bracket.narrowed(fitted - missing / self.ring_belief);
        let pack = self.nearest(PackPlace::RingSide, wanted);
        let for_backlash_alone = !backlash.inside() && !rise_is_wrong;
        let stuck = self.ring_search.gone_back || bracket.excludes(pack.printed);
        if !(for_backlash_alone && stuck) {
            return RingChoice {
                pack,
                goes_back: false,
            };
        }
        let other = match missing {
            tight if tight > SLACK => bracket.low(),
            loose if loose < -SLACK => bracket.high(),
            _ => None,
        };
        let better = other.filter(|end| end.outside < outside - SLACK);
        let goes_back = !self.ring_search.gone_back && better.is_some();
        self.ring_search.gone_back |= goes_back;
        let at = better.filter(|_| goes_back).map_or(fitted, |end| end.at);
        RingChoice {
            pack: self.nearest(PackPlace::RingSide, at),
            goes_back,
        }
    }

    /// One change of the side shims: an assembly more. Screw adjusters are turned with the axle
    /// together, and have their own limit.
    pub(super) fn change_sides(&mut self) -> Result<(), GivenUp> {
        match self.setup.side_stock {
            SideStock::Packs(_) => self.change()?,
            SideStock::Notches(_) => {
                self.unless(self.side_changes >= self.setup.shop.bench.most_turns())?;
            }
        }
        self.side_changes += 1;
        self.go(if self.on_trial {
            Operation::TrialSideChange
        } else {
            Operation::SideChange
        });
        self.pull_side_cones();
        Ok(())
    }

    /// Packs behind the side bearings come out with both cones, which are pressed on unless they
    /// are slip-fit ones.
    pub(super) fn pull_side_cones(&mut self) {
        let seat = self.setup.axle.side_shims.seat;
        if !self.on_trial && seat == SideSeat::BehindSideBearings {
            self.cones_pulled += 2;
        }
    }

    /// The far side takes the wanted total less the printed ring-side pack.
    pub(super) fn fit_far(&mut self) {
        let wanted = self.wanted_total - self.ring.printed;
        self.far = self.fit(PackPlace::FarSide, wanted, Some(self.far));
    }

    /// Corrects the believed backlash per ring move by the effect of the last side change.
    pub(super) fn learn(&mut self, mean_reading: f64) {
        let Some((reading_before, ring_before)) = self.before_side_change.take() else {
            return;
        };
        // a thinner pack moves the ring gear out
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
