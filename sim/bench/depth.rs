//! Correction of pinion depth by the contact pattern.

use super::bracket::Bracket;
use super::side::RingSearch;
use super::{Bench, CorrectionResult, Decision, GivenUp, Guest, PackPlace, Witness};
use crate::axle::PinionSeat;
use crate::bench::minutes::Operation;
use crate::shop::{Correction, Habits};
use crate::units::SLACK;

/// The search for pinion depth, from readings of the pattern. "Depth" here is that of a printed
/// pack: more is deeper.
pub(super) struct DepthSearch {
    /// From the deepest pack that read too shallow to the shallowest that read too deep.
    bracket: Bracket,
    /// Next move when halving, mm.
    step: f64,
    /// Direction of the last move when halving.
    direction: f64,
}

impl DepthSearch {
    pub(super) fn new(habits: &Habits) -> Self {
        Self {
            bracket: Bracket::default(),
            step: habits.first_move,
            direction: 0.0,
        }
    }

    /// What is wanted after a pack of this depth gave the mean reading `mean`, + too shallow.
    fn wanted(&mut self, habits: &Habits, depth: f64, mean: f64) -> WantedDepth {
        let halved = habits.correction == Correction::Halving && self.direction * mean < 0.0;
        let asked = match habits.correction {
            Correction::Measured => depth + mean / habits.depth_belief,
            Correction::Halving => {
                if halved {
                    self.step *= 0.5;
                }
                self.direction = mean.signum();
                depth + self.direction * self.step
            }
        };
        if mean > 0.0 {
            self.bracket.too_small(depth, mean);
        } else {
            self.bracket.too_large(depth, -mean);
        }
        WantedDepth {
            asked,
            halved,
            depth: self.bracket.narrowed(asked),
        }
    }
}

/// A depth that is wanted, with its reason.
struct WantedDepth {
    /// As the reading asks for it.
    asked: f64,
    /// Whether the move was halved.
    halved: bool,
    /// As it is wanted: asked for, or the middle of the bracket.
    depth: f64,
}

impl<W: Witness, G: Guest> Bench<'_, W, G> {
    /// Moves the pinion by what the profile readings ask for, and the ring gear so that backlash
    /// stays the same.
    pub(super) fn correct_depth(&mut self, profile: [f64; 2]) -> Result<CorrectionResult, GivenUp> {
        let setup = self.setup;
        let habits = &setup.shop.bench;
        let mean = 0.5 * (profile[0] + profile[1]);
        if mean.abs() <= SLACK {
            self.compromised = true;
            self.decides(|| Decision::FlanksDisagree);
            return Ok(CorrectionResult::Compromise);
        }
        let deeper = setup.axle.pinion_shim.seat.depth_per_thickness();
        let depth = deeper * self.pinion.printed;
        let want = self.depth_search.wanted(habits, depth, mean);
        let pinion = self.nearest(PackPlace::Pinion, deeper * want.depth);
        let gain = deeper * pinion.printed - depth;
        if gain.abs() < habits.smallest_move - SLACK || pinion.number == self.pinion.number {
            self.compromised = true;
            self.decides(|| Decision::MoveTooSmall {
                mean,
                move_there: gain,
            });
            return Ok(CorrectionResult::Compromise);
        }
        self.decides(|| Decision::ChangePinion {
            mean,
            asked: want.asked - depth,
            halved: want.halved,
            wanted: want.depth - depth,
            taken: gain,
        });
        self.change()?;
        self.pinion_changes += 1;
        self.go(if self.on_trial {
            Operation::TrialPinionChange
        } else {
            Operation::PinionChange
        });
        if !self.on_trial && setup.axle.pinion_shim.seat == PinionSeat::UnderHeadBearing {
            self.cones_pulled += 1;
        }
        self.pinion = self.fit_pack(PackPlace::Pinion, pinion, Some(self.pinion));
        let rates = &setup.rates;
        let moved = deeper * self.pinion.printed - depth;
        let follows = -moved * rates.per_depth / rates.per_ring_move;
        let wanted = self.ring.printed + follows;
        let sides = (self.ring.number, self.far.number);
        self.ring = self.fit(PackPlace::RingSide, wanted, Some(self.ring));
        self.fit_far();
        if (self.ring.number, self.far.number) != sides {
            self.pull_side_cones();
        }
        self.ring_search = RingSearch::default();
        self.bolted_up();
        Ok(CorrectionResult::Changed)
    }
}
