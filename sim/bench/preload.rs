//! Pinion preload: crushing a sleeve, or shimming a solid spacer.

use super::bracket::Bracket;
use super::start::OldStart;
use super::{Bench, Decision, Event, FittedPack, Guest, PackPlace, Source, Witness};
use crate::axle::PinionSeat;
use crate::bench::graduation::above_zero;
use crate::bench::minutes::Operation;
use crate::bench::parts::{Parts, SpacerParts};
use crate::bench::setup::{Preload, Setup};
use crate::shop::PinionStart;
use crate::units::SLACK;

/// Limit of sleeves for one preload.
const MOST_SLEEVES: u32 = 6;
/// Limit of packs tried with a spacer before a compromise is accepted, and again when it is set
/// anew.
const MOST_TRIES: u32 = 8;
/// Limit of turns of the nut on one sleeve: far more than its length allows.
const MOST_TURNS: u32 = 2000;
/// Smallest turn of the nut between two readings, degrees.
const LEAST_TURN: f64 = 1.0;

impl<W: Witness, G: Guest> Bench<'_, W, G> {
    /// Sets the pinion preload at the final assembly.
    pub(super) fn pinion_preload(&mut self) {
        if let (Preload::Spacer { .. }, Some(spacer)) = (&self.setup.preload, self.parts.spacer) {
            let wanted = self.first_spacer_pack(&spacer);
            self.shim_spacer(&spacer, wanted, MOST_TRIES);
        } else {
            self.crush_sleeves();
        }
        self.preloaded_with = self.pinion.printed;
        self.preloaded_after = self.pinion_changes;
    }

    /// Sets the pinion preload again, after the pinion shim was changed once more: a new sleeve, or
    /// the spacer's pack carried over.
    pub(super) fn pinion_preload_anew(&mut self) {
        if let (Some(pack), Some(spacer)) = (self.preload, self.parts.spacer) {
            let mut wanted = pack.printed;
            if shim_opens_gap(self.setup) {
                wanted += self.pinion.printed - self.preloaded_with;
            }
            self.shim_spacer(&spacer, wanted, 1 + MOST_TRIES);
        } else {
            self.crush_sleeves();
        }
    }

    /// True torque to turn the pinion alone at a closure, mm, in N·m.
    fn torque_at(&self, closure: f64) -> f64 {
        self.parts.seal_drag
            + 1e-3 * self.parts.pinion_friction * self.setup.pinion_pair.force(closure)
    }

    /// Crushes sleeves until one reads as wanted: a sleeve can only be crushed further.
    fn crush_sleeves(&mut self) {
        for _ in 0..MOST_SLEEVES {
            self.preload_tries += 1;
            self.go(if self.preload_tries == 1 {
                Operation::Sleeve
            } else {
                Operation::SleeveAgain
            });
            if self.crush_sleeve(None) {
                return;
            }
        }
        self.compromised = true;
        self.decides(|| Decision::TorqueCannotBeBettered);
    }

    /// Turns the nut on, from a closure, mm, at which a torque was read, N·m.
    pub(super) fn crush_on(&mut self, closure: f64, reading: f64) {
        if !self.crush_sleeve(Some((closure, reading))) {
            self.crush_sleeves();
        }
    }

    /// Changes the spacer's pack for what was read with it, N·m, as long as that is outside.
    pub(super) fn shim_on(&mut self, pack: FittedPack, reading: f64, tries: u32) {
        let (Preload::Spacer { per_mm, .. }, Some(spacer)) =
            (&self.setup.preload, self.parts.spacer)
        else {
            return;
        };
        let middle = self.setup.torque_window.middle();
        let wanted = pack.printed + (reading - middle) / per_mm;
        let next = self.nearest(PackPlace::Spacer, wanted);
        if next.number == pack.number || tries >= MOST_TRIES {
            self.compromised = true;
        } else {
            self.shim_spacer(&spacer, wanted, MOST_TRIES - tries);
        }
    }

    /// Turns the nut from zero closure, or from a closure and the reading there, up to the aim; gives
    /// whether the torque stayed inside the window.
    fn crush_sleeve(&mut self, from: Option<(f64, f64)>) -> bool {
        let setup = self.setup;
        let &Preload::Sleeve {
            aim,
            degrees_per_torque,
            closure_per_degree,
        } = &setup.preload
        else {
            unreachable!("a spacer is not crushed");
        };
        let nut = setup.shop.instruments.nut;
        let largest_turn = setup.shop.bench.sleeve_step;
        let largest_missing = largest_turn / degrees_per_torque;
        let mut closure = from.map_or(0.0, |(closure, _)| closure);
        let mut read = from.map(|(_, reading)| reading);
        for _ in 0..MOST_TURNS {
            let torque = self.torque_at(closure);
            self.pinion_torque = Some(torque);
            let reading = match read.take() {
                Some(reading) => reading,
                None => self.read_torque(torque),
            };
            self.witness.hears(|| Event::Torque {
                closure,
                truth: torque,
                reading,
            });
            if reading > setup.reading_windows.torque.high + SLACK {
                self.decides(|| Decision::SleeveTooFar);
                return false;
            }
            if reading >= aim - SLACK {
                self.decides(|| Decision::TorqueAccepted);
                return true;
            }
            let missing = aim - reading;
            // far below the aim the turn is the largest one and does not depend on the reading
            let turn = if missing >= largest_missing {
                largest_turn
            } else {
                last_turns(missing * degrees_per_torque).min(largest_turn)
            };
            let mut turned = turn + nut.sigma * self.dice.normal(Source::Nut);
            if self.dice.chance(Source::Nut, nut.slip) {
                turned += nut.slip_by;
            }
            closure += above_zero(turned) * closure_per_degree;
        }
        // the nut is at its end below the wanted torque
        false
    }

    fn first_spacer_pack(&mut self, spacer: &SpacerParts) -> f64 {
        let (setup, parts) = (self.setup, self.parts);
        let Preload::Spacer {
            closure_wanted,
            usual,
            ..
        } = &setup.preload
        else {
            unreachable!("a sleeve takes no shims");
        };
        if setup.shop.bench.pinion_start == PinionStart::Usual {
            return *usual;
        }
        let old_shim = OldStart::of(setup, parts).pinion;
        let old_pack = old_spacer_pack(setup, parts, spacer, old_shim, *closure_wanted);
        // without a measuring error, which is negligible beside the deviation of the old closure
        let mut wanted = old_pack + self.heights.head + self.heights.tail;
        if shim_opens_gap(setup) {
            wanted += self.pinion.printed - old_shim;
        }
        wanted
    }

    fn shim_spacer(&mut self, spacer: &SpacerParts, wanted: f64, most_tries: u32) {
        let setup = self.setup;
        let Preload::Spacer { per_mm, .. } = &setup.preload else {
            unreachable!("a sleeve takes no shims");
        };
        let (middle, window) = (setup.torque_window.middle(), setup.reading_windows.torque);
        let bearings = &self.parts.bearings;
        let gap = gap(
            setup,
            spacer,
            bearings.head,
            bearings.tail,
            self.pinion.real,
        );
        let mut pack = self.fit(PackPlace::Spacer, wanted, self.preload);
        let mut bracket = Bracket::default();
        // the better one of two neighbouring packs is fitted again: its reading is the last
        let mut gone_back = false;
        for tries in 1.. {
            self.preload = Some(pack);
            self.preload_tries += 1;
            self.go(Operation::SpacerChange);
            let closure = gap - spacer.length - pack.real;
            let torque = self.torque_at(closure);
            self.pinion_torque = Some(torque);
            let reading = self.read_torque(torque);
            self.witness.hears(|| Event::Torque {
                closure,
                truth: torque,
                reading,
            });
            let outside = window.outside(reading);
            if outside <= SLACK {
                self.decides(|| Decision::TorqueAccepted);
                return;
            }
            // a thicker pack gives less preload
            let other = if reading > window.high {
                bracket.too_small(pack.printed, outside);
                bracket.high()
            } else {
                bracket.too_large(pack.printed, outside);
                bracket.low()
            };
            let asked = pack.printed + (reading - middle) / per_mm;
            let wanted = bracket.narrowed(asked);
            let nearest = self.nearest(PackPlace::Spacer, wanted);
            let next = if gone_back || tries == most_tries {
                None
            } else if bracket.excludes(nearest.printed) {
                gone_back = true;
                let better = other.filter(|end| end.outside < outside - SLACK);
                better.map(|end| self.nearest(PackPlace::Spacer, end.at))
            } else {
                Some(nearest).filter(|next| next.number != pack.number)
            };
            let Some(next) = next else {
                self.compromised = true;
                self.decides(|| Decision::TorqueCannotBeBettered);
                return;
            };
            self.decides(|| {
                if gone_back {
                    Decision::SpacerGoesBack
                } else {
                    Decision::ChangeSpacer {
                        asked: asked - pack.printed,
                        wanted: wanted - pack.printed,
                    }
                }
            });
            pack = self.fit_pack(PackPlace::Spacer, next, Some(pack));
        }
    }
}

/// The turn near the aim, degrees. Not inlined, so that earlier turns do not depend on it.
#[inline(never)]
fn last_turns(needed: f64) -> f64 {
    needed.max(LEAST_TURN)
}

/// Whether the pinion shim changes the gap that a spacer fills: one behind the head cup does.
fn shim_opens_gap(setup: &Setup) -> bool {
    setup.axle.pinion_shim.seat == PinionSeat::BehindHeadCup
}

/// The gap between the cones at zero end play, with the heights of these two bearings and this
/// depth shim, mm.
pub(crate) fn gap(setup: &Setup, spacer: &SpacerParts, head: f64, tail: f64, shim: f64) -> f64 {
    let bearings = &setup.axle.bearings;
    let mut gap = spacer.gap
        + (head - bearings.head.height.middle())
        + (tail - bearings.tail.height.middle());
    if shim_opens_gap(setup) {
        gap += shim - setup.axle.pinion_shim.usual;
    }
    gap
}

/// The old pack of the spacer, from when the axle was made with this old depth shim, mm.
pub(super) fn old_spacer_pack(
    setup: &Setup,
    parts: &Parts,
    spacer: &SpacerParts,
    old_shim: f64,
    closure_wanted: f64,
) -> f64 {
    let old = &parts.old_bearings;
    gap(setup, spacer, old.head, old.tail, old_shim) - spacer.length - closure_wanted
        + spacer.old_closure
}
