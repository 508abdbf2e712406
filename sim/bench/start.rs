//! The start: the old set-up and the first packs.

use super::{
    Basis, Bench, Event, FittedPack, Guest, Noise, OldPacks, PackPlace, SetUpCones, Source,
    Witness, depth, preload, side,
};
use crate::axle::Condition;
use crate::bench::minutes::{Operation, OperationCounts};
use crate::bench::parts::{BearingSet, Parts};
use crate::bench::setup::{Preload, Setup};
use crate::bench::truth::{Assembly, Distances, Loops};
use crate::chance::dice::NumberedFigures;
use crate::shop::{PinionStart, SideStart};

/// Placeholder for packs before the first ones are fitted.
const NO_PACK: FittedPack = FittedPack {
    number: -1,
    printed: 0.0,
    real: 0.0,
};
/// Placeholder for the truth before the first assembly.
const NOTHING_YET: Assembly = Assembly {
    depth: 0.0,
    ring: 0.0,
    backlash: 0.0,
    swing: 0.0,
    closure: 0.0,
    pattern: [0.0; 4],
};

/// New less old bearing heights as the shop measured them, mm; zero where it does not.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Heights {
    pub(super) head: f64,
    pub(super) tail: f64,
    pub(super) ring: f64,
}

impl Heights {
    fn measure(setup: &Setup, parts: &Parts, dice: &mut Noise<'_, impl Guest>) -> Self {
        if !setup.shop.bench.measures_heights || setup.bearings == Condition::Kept {
            return Self::default();
        }
        let sigma = setup.shop.instruments.height;
        let (new, old) = (parts.bearings, parts.old_bearings);
        let mut grown = |new: f64, old: f64| {
            (new + sigma * dice.normal(Source::Height))
                - (old + sigma * dice.normal(Source::Height))
        };
        Self {
            head: grown(new.head, old.head),
            tail: grown(new.tail, old.tail),
            ring: grown(new.ring, old.ring),
        }
    }
}

/// The old set-up, from when the axle was made: real thicknesses of the old packs that the start
/// uses, mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct OldStart {
    pub(super) pinion: f64,
    pub(super) ring: f64,
}

impl OldStart {
    pub(super) fn of(setup: &Setup, parts: &Parts) -> Self {
        let axle = &setup.axle;
        let gears = &axle.gears;
        let (old, pair) = (&parts.old_bearings, &parts.old_pair);
        // set to its own mark, with the maker's error
        let mounting = gears.mounting_distance + pair.mark + parts.old_depth;
        let pinion =
            axle.pinion_shim.seat.depth_per_thickness() * (parts.head_seat - old.head - mounting);
        let depth = parts.old_depth + pair.mark - pair.depth;
        let rates = &setup.rates;
        let opened = parts.old_backlash
            - rates.per_depth * depth
            - rates.per_offset * parts.offset
            - rates.per_arcminute * parts.shaft_angle;
        let position = gears.ring_distance + pair.ring + opened / rates.per_ring_move;
        let closing = axle.housing.ring_share * setup.shop.bench.side_preload_added;
        Self {
            pinion,
            ring: parts.ring_seat - old.ring - parts.shoulder_ring + closing - position,
        }
    }
}

impl OldPacks {
    /// All old packs: those of the start, the far side, which closed the side bearings by
    /// `side_preload_added`, and the spacer's.
    fn of(setup: &Setup, parts: &Parts, start: &OldStart) -> Self {
        let old = &parts.old_bearings;
        let closed = setup.shop.bench.side_preload_added;
        let spacer = match (&setup.preload, &parts.spacer) {
            (Preload::Spacer { closure_wanted, .. }, Some(spacer)) => Some(
                preload::old_spacer_pack(setup, parts, spacer, start.pinion, *closure_wanted),
            ),
            _ => None,
        };
        Self {
            pinion: start.pinion,
            ring: start.ring,
            far: Distances::room(parts, old) + closed - start.ring,
            spacer,
        }
    }
}

impl<'a, W: Witness, G: Guest> Bench<'a, W, G> {
    /// A job before anything is done.
    #[inline(always)]
    pub(super) fn new(
        setup: &'a Setup,
        parts: &'a Parts,
        mut dice: Noise<'a, G>,
        times: NumberedFigures,
        witness: &'a mut W,
    ) -> Self {
        let shop = &setup.shop;
        // what holds for the whole job is drawn first, needed or not, so that ways of working that
        // differ only in habits share it
        let marks_slipped = dice.chance(Source::MarkSlip, shop.bench.mark_slip);
        let cone = shop.instruments.setup_bearing;
        let [head, ring, far] = [0, 1, 2].map(|_| cone * dice.normal(Source::SetupBearing));
        let seated = if setup.on_setup_bearings() {
            BearingSet {
                head: parts.bearings.head + head,
                ring: parts.bearings.ring + ring,
                far: parts.bearings.far + far,
                ..parts.bearings
            }
        } else {
            parts.bearings
        };
        let heights = Heights::measure(setup, parts, &mut dice);
        Self {
            setup,
            parts,
            dice,
            witness,
            truth: NOTHING_YET,
            seated,
            on_trial: setup.on_setup_bearings(),
            loops: Loops::new(setup, parts, &seated),
            runout: [0.0; 2],
            swing: 0.0,
            pinion: NO_PACK,
            ring: NO_PACK,
            far: NO_PACK,
            preload: None,
            wanted_total: 0.0,
            heights,
            marks_slipped,
            ring_belief: shop.bench.ring_belief,
            before_side_change: None,
            ring_search: side::RingSearch::default(),
            depth_search: depth::DepthSearch::new(&shop.bench),
            pinion_torque: None,
            preloaded_with: f64::NAN,
            preloaded_after: 0,
            compromised: false,
            assemblies: 1,
            pinion_changes: 0,
            side_changes: 0,
            reseats: 0,
            preload_tries: 0,
            cones_pulled: 0,
            operations: OperationCounts::default(),
            times,
            ticks: 0.0,
        }
    }

    /// Strips the axle, chooses the first packs and bolts it up for the first time.
    pub(super) fn start(&mut self) {
        let (setup, parts) = (self.setup, self.parts);
        self.seat_ring(parts.face_runout);
        if self.on_trial {
            let (sits, real) = (self.seated, parts.bearings);
            self.witness.set_up_cones(|| SetUpCones {
                head: sits.head - real.head,
                ring: sits.ring - real.ring,
                far: sits.far - real.far,
            });
        }
        self.go(Operation::Strip);
        self.go(Operation::FirstAssembly);
        let old = OldStart::of(setup, parts);
        self.witness.stripped(|| OldPacks::of(setup, parts, &old));
        let wanted = self.first_pinion_pack(&old);
        self.pinion = self.fit(PackPlace::Pinion, wanted, None);
        self.find_wanted_total();
        let wanted = self.first_ring_pack(&old);
        self.ring = self.fit(PackPlace::RingSide, wanted, None);
        let wanted = self.wanted_total - self.ring.printed;
        self.far = self.fit(PackPlace::FarSide, wanted, None);
        self.bolted_up();
    }

    fn first_pinion_pack(&mut self, old: &OldStart) -> f64 {
        // misread, both marks change sign
        let sign = if self.marks_slipped { -1.0 } else { 1.0 };
        let old_mark = sign * self.parts.old_pair.mark;
        let new_mark = sign * self.parts.pair.mark;
        let setup = self.setup;
        let shim = &setup.axle.pinion_shim;
        let deeper = shim.seat.depth_per_thickness();
        let (basis, wanted) = match setup.shop.bench.pinion_start {
            PinionStart::OldPack => {
                let sigma = setup.old_pack_sigma(Some(&shim.stock), old.pinion);
                let measured = old.pinion + sigma * self.dice.normal(Source::Thickness);
                let basis = Basis::OldPack {
                    real: old.pinion,
                    measured,
                    heights: self.heights.head,
                };
                let by = deeper * (old_mark - new_mark - self.heights.head);
                (basis, measured + by)
            }
            PinionStart::Gauge => {
                let sigma = setup.shop.instruments.depth_gauge.sigma;
                let truth =
                    self.parts.head_seat - self.seated.head - setup.axle.gears.mounting_distance;
                let shown = truth + sigma * self.dice.normal(Source::DepthGauge);
                let reading = setup.graduations.depth_gauge.round(shown);
                (
                    Basis::Gauge { truth, reading },
                    deeper * (reading - new_mark),
                )
            }
            PinionStart::Usual => {
                let basis = Basis::Usual { usual: shim.usual };
                (basis, shim.usual - deeper * new_mark)
            }
        };
        self.witness.hears(|| Event::PinionStart {
            basis,
            marks: [old_mark, new_mark],
            slipped: self.marks_slipped,
            wanted,
        });
        wanted
    }

    fn first_ring_pack(&mut self, old: &OldStart) -> f64 {
        let (setup, parts) = (self.setup, self.parts);
        let axle = &setup.axle;
        let (basis, wanted) = match setup.shop.bench.side_start {
            SideStart::OldPacks => {
                let sigma = setup.old_pack_sigma(axle.side_shims.stock.as_deref(), old.ring);
                let measured = old.ring + sigma * self.dice.normal(Source::Thickness);
                let basis = Basis::OldPack {
                    real: old.ring,
                    measured,
                    heights: self.heights.ring,
                };
                (basis, measured - self.heights.ring)
            }
            SideStart::Usual => {
                let usual = axle.side_shims.usual[0];
                (Basis::Usual { usual }, usual)
            }
            SideStart::ZeroLash => {
                let rates = &setup.rates;
                let middle = axle.windows.backlash.middle();
                // the ring position at which the tightest tooth binds
                let bound = (self.swing
                    - middle
                    - rates.per_depth * self.loops.depth(setup, self.pinion.real)
                    - rates.per_offset * parts.offset
                    - rates.per_arcminute * parts.shaft_angle)
                    / rates.per_ring_move
                    + axle.gears.ring_distance
                    + parts.pair.ring;
                let wanted = bound
                    + middle / self.ring_belief
                    + setup.shop.instruments.end_play * self.dice.normal(Source::EndPlay);
                let closing = axle.housing.ring_share * setup.shop.bench.side_preload_added;
                let pack =
                    parts.ring_seat - self.seated.ring - parts.shoulder_ring + closing - wanted;
                (Basis::ZeroLash, pack)
            }
        };
        self.witness.hears(|| Event::RingStart { basis, wanted });
        wanted
    }

    /// Finds the wanted total of both side packs: that of zero end play, as the technician finds
    /// it, with the preload added, mm.
    pub(super) fn find_wanted_total(&mut self) {
        let truth = Distances::room(self.parts, &self.seated);
        let found =
            truth + self.setup.shop.instruments.end_play * self.dice.normal(Source::EndPlay);
        let wanted = found + self.setup.shop.bench.side_preload_added;
        self.wanted_total = wanted;
        self.witness.hears(|| Event::Total {
            truth,
            found,
            wanted,
        });
    }
}
