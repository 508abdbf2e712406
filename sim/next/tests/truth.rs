//! Axles of known truth and what would be stated of them: by the model's own words, with nothing of the
//! belief's forms.

use crate::axle::{Condition, PinionSeat, PreloadBy};
use crate::bench::FittedPack;
use crate::bench::parts::{BearingSet, Parts, runout};
use crate::bench::setup::{Preload, Setup, SideStock};
use crate::bench::truth::{Assembly, Thicknesses};
use crate::chance::dice::{Address, Dice, Purpose};
use crate::next::{BenchJob, Fitted, Known};
use crate::shop::SideStart;

/// How jobs are to be made.
#[derive(Debug, Clone, Copy)]
pub(super) struct Plan {
    /// Share of what may be known that is stated.
    pub(super) stated: f64,
    /// By how much the first ring-side pack is too thick, mm.
    pub(super) thicker: f64,
    /// Chance that the ring gear is seated anew before an assembly.
    pub(super) reseated: f64,
    /// Chance that an assembly is read from another tooth.
    pub(super) other_tooth: f64,
    /// Assemblies on the first bearings, and whether one on real bearings follows.
    pub(super) assemblies: u32,
    pub(super) real: bool,
    /// Whether the torque rise is read.
    pub(super) rise: bool,
    /// Chance that the pattern of an assembly is read.
    pub(super) pattern: f64,
    /// Chance that zero end play is stated.
    pub(super) zero: f64,
    /// By how much the first far-side packs are too thin, mm.
    pub(super) loose: f64,
}

pub(super) const PLAIN: Plan = Plan {
    stated: 0.7,
    thicker: 0.0,
    reseated: 0.0,
    other_tooth: 0.0,
    assemblies: 2,
    real: false,
    rise: false,
    pattern: 0.9,
    zero: 0.7,
    loose: 0.0,
};

/// A job, the truth of its last assembly and of all of them.
pub(super) struct Made {
    pub(super) job: BenchJob,
    pub(super) truth: Assembly,
    pub(super) truths: Vec<Assembly>,
}

/// A pack that is fitted.
fn fit(
    setup: &Setup,
    place: usize,
    printed: f64,
    there: Option<FittedPack>,
    dice: &mut Dice,
) -> FittedPack {
    let (printed, sigma) = match (place, &setup.side_stock, &setup.preload) {
        (0, ..) => {
            let pack = &setup.pinion_packs.all()[setup.pinion_packs.nearest(printed)];
            (pack.printed, pack.sigma)
        }
        (3, _, Preload::Spacer { packs, .. }) => {
            let pack = &packs.all()[packs.nearest(printed)];
            (pack.printed, pack.sigma)
        }
        (_, SideStock::Packs(table), _) => {
            let pack = &table.all()[table.nearest(printed)];
            (pack.printed, pack.sigma)
        }
        (_, SideStock::Notches(notch), _) => ((printed / notch).round() * notch, 0.0),
    };
    if let Some(there) = there
        && (there.printed - printed).abs() < 1e-9
    {
        return there;
    }
    FittedPack {
        number: 0,
        printed,
        real: printed + sigma * dice.normal(),
    }
}

/// The packs that came out: pinion, ring side, far side, spacer.
fn old_packs(setup: &Setup, parts: &Parts, dice: &mut Dice) -> [f64; 4] {
    let axle = &setup.axle;
    let (pair, old, rates) = (&parts.old_pair, &parts.old_bearings, &setup.rates);
    let deeper = axle.pinion_shim.seat.depth_per_thickness();
    let mounting = axle.gears.mounting_distance + pair.mark + parts.old_depth;
    let pinion = deeper * (parts.head_seat - old.head - mounting);
    let depth = parts.old_depth + pair.mark - pair.depth;
    let opened = (parts.old_backlash
        - rates.per_depth * depth
        - rates.per_offset * parts.offset
        - rates.per_arcminute * parts.shaft_angle)
        / rates.per_ring_move;
    let place = axle.gears.ring_distance + pair.ring + opened;
    let closure = setup.shop.bench.side_preload_added + 0.03 * dice.normal();
    let ring = parts.ring_seat - old.ring - parts.shoulder_ring + axle.housing.ring_share * closure
        - place;
    let far =
        closure - old.ring - old.far - parts.shoulders + parts.ring_seat + parts.far_seat - ring;
    let spacer = match (&setup.preload, parts.spacer) {
        (Preload::Spacer { closure_wanted, .. }, Some(spacer)) => {
            gap(setup, parts, old, pinion) - closure_wanted + spacer.old_closure
        }
        _ => 0.0,
    };
    [pinion, ring, far, spacer]
}

fn gap(setup: &Setup, parts: &Parts, bearings: &BearingSet, shim: f64) -> f64 {
    let spacer = parts.spacer.expect("a spacer");
    let axle = &setup.axle;
    let middle = axle.bearings.head.height.middle() + axle.bearings.tail.height.middle();
    let behind = axle.pinion_shim.seat == PinionSeat::BehindHeadCup;
    let moved = if behind {
        shim - axle.pinion_shim.usual
    } else {
        0.0
    };
    spacer.gap + bearings.head + bearings.tail - middle + moved - spacer.length
}

fn known(setup: &Setup, parts: &Parts, plan: &Plan, seated: &BearingSet, dice: &mut Dice) -> Known {
    let old = old_packs(setup, parts, dice);
    let axle = &setup.axle;
    let side = axle.side_shims.stock.as_deref();
    let stocks = [
        Some(axle.pinion_shim.stock.as_str()),
        side,
        side,
        axle.pinion_preload.stock(),
    ];
    let measured: Vec<f64> = (0..4)
        .map(|i| old[i] + setup.old_pack_sigma(stocks[i], old[i]) * dice.normal())
        .collect();
    let height = setup.shop.instruments.height;
    let both = |old: f64, new: f64, dice: &mut Dice| {
        let one = old + height * dice.normal();
        let other = new + height * dice.normal();
        match setup.bearings {
            Condition::New => [one, other],
            Condition::Kept => [one, one],
        }
    };
    let (was, is) = (&parts.old_bearings, &parts.bearings);
    let heights = [
        both(was.head, is.head, dice),
        both(was.tail, is.tail, dice),
        both(was.ring, is.ring, dice),
        both(was.far, is.far, dice),
    ];
    let deeper = axle.pinion_shim.seat.depth_per_thickness();
    let room = parts.head_seat - seated.head - axle.gears.mounting_distance;
    let shown = room + setup.shop.instruments.depth_gauge.sigma * dice.normal();
    let gauge = deeper * setup.graduations.depth_gauge.round(shown);
    let state = |figure: f64, dice: &mut Dice| dice.chance(plan.stated).then_some(figure);
    let spacer = matches!(setup.preload, Preload::Spacer { .. });
    Known {
        mark_old: state(parts.old_pair.mark, dice),
        mark_new: state(parts.pair.mark, dice),
        pinion_pack: state(measured[0], dice),
        ring_pack: state(measured[1], dice),
        far_pack: state(measured[2], dice),
        preload_pack: state(measured[3], dice).filter(|_| spacer),
        head_height: dice.chance(plan.stated).then_some(heights[0]),
        tail_height: dice.chance(plan.stated).then_some(heights[1]),
        ring_height: dice.chance(plan.stated).then_some(heights[2]),
        far_height: dice.chance(plan.stated).then_some(heights[3]),
        gauge: state(gauge, dice),
    }
}

/// Backlash at every point, the first of them turned by an angle.
fn read_backlash(
    setup: &Setup,
    truth: &Assembly,
    vector: [f64; 2],
    turned: f64,
    dice: &mut Dice,
) -> Vec<f64> {
    let dial = setup.shop.instruments.dial;
    let points = setup.shop.bench.backlash_points;
    (0..points)
        .map(|point| {
            let angle = turned + std::f64::consts::TAU * f64::from(point) / f64::from(points);
            let here = truth.backlash + 0.5 * (vector[0] * angle.cos() - vector[1] * angle.sin());
            let shown = here.max(0.0) * setup.reading_factor + dial.sigma * dice.normal();
            if dial.step > 0.0 {
                ((shown / dial.step).round() * dial.step).max(0.0)
            } else {
                shown.max(0.0)
            }
        })
        .collect()
}

fn read_profile(setup: &Setup, truth: f64, dice: &mut Dice) -> f64 {
    let pattern = setup.shop.instruments.pattern;
    let shown = truth + pattern.profile * dice.normal();
    if pattern.step > 0.0 {
        (shown / pattern.step).round() * pattern.step
    } else {
        shown
    }
}

fn read_rise(setup: &Setup, parts: &Parts, closure: f64, dice: &mut Dice) -> f64 {
    let gears = &setup.axle.gears;
    let ratio = f64::from(gears.pinion_teeth) / f64::from(gears.ring_teeth);
    let rise = 1e-3 * parts.side_friction * setup.side_pair.force(closure) * ratio;
    let torque = setup.shop.instruments.torque;
    let middle = setup.torque_window.middle();
    let shown = rise * (1.0 + torque.share * dice.normal()) + middle;
    let count = setup.shop.bench.torque_readings;
    let mean = |of: f64, dice: &mut Dice| {
        let read = (0..count).map(|_| {
            setup
                .graduations
                .torque
                .round(of + torque.sigma * dice.normal())
        });
        read.sum::<f64>() / f64::from(count)
    };
    mean(shown, dice) - mean(middle, dice)
}

/// An axle on the bench while a job is made of it.
struct OnBench<'a> {
    setup: &'a Setup,
    plan: &'a Plan,
    parts: Parts,
    /// Heights on set-up bearings.
    trial: BearingSet,
    /// Zero end play as found, and where adjusters stood at first, from which their travel counts.
    zero: f64,
    stood: [f64; 2],
    face: [f64; 2],
    packs: [Option<FittedPack>; 4],
    /// Pinion and ring-side pack wanted next.
    wanted: [f64; 2],
}

impl<'a> OnBench<'a> {
    fn new(setup: &'a Setup, plan: &'a Plan, number: u64, dice: &mut Dice) -> (Self, Known) {
        let parts = setup.parts(Address::new(9001, number));
        let cone = setup.shop.instruments.setup_bearing;
        let trial = BearingSet {
            head: parts.bearings.head + cone * dice.normal(),
            ring: parts.bearings.ring + cone * dice.normal(),
            far: parts.bearings.far + cone * dice.normal(),
            ..parts.bearings
        };
        let seated = if setup.on_setup_bearings() {
            trial
        } else {
            parts.bearings
        };
        let known = known(setup, &parts, plan, &seated, dice);
        let axle = &setup.axle;
        let deeper = axle.pinion_shim.seat.depth_per_thickness();
        // packs from what is stated, never from the truth
        let pinion =
            known.gauge.unwrap_or(axle.pinion_shim.usual) - deeper * known.mark_new.unwrap_or(0.0);
        let ring = known.ring_pack.unwrap_or(axle.side_shims.usual[0]) + plan.thicker;
        let mut bench = Self {
            setup,
            plan,
            face: parts.face_runout,
            parts,
            trial,
            zero: 0.0,
            stood: [0.0; 2],
            packs: [None; 4],
            wanted: [pinion, ring],
        };
        bench.find_zero(&seated, dice);
        bench.stand_adjusters(&known, dice);
        (bench, known)
    }

    fn find_zero(&mut self, seated: &BearingSet, dice: &mut Dice) {
        let parts = &self.parts;
        let room = parts.ring_seat + parts.far_seat - seated.ring - seated.far - parts.shoulders;
        self.zero = room + self.setup.shop.instruments.end_play * dice.normal();
    }

    fn stand_adjusters(&mut self, known: &Known, dice: &mut Dice) {
        let setup = self.setup;
        let SideStock::Notches(notch) = setup.side_stock else {
            return;
        };
        let old = old_packs(setup, &self.parts, &mut dice.clone())[1];
        let sigma = setup.old_pack_sigma(None, old);
        let ring = match setup.shop.bench.side_start {
            SideStart::Usual => setup.axle.side_shims.usual[0],
            _ => known.ring_pack.unwrap_or(old + sigma * dice.normal()),
        };
        let ring = (ring / notch).round() * notch;
        let total = self.zero + setup.shop.bench.side_preload_added;
        self.stood = [ring, ((total - ring) / notch).round() * notch];
        self.wanted[1] = 0.0;
    }

    /// Fits the next packs and reads; gives the truth.
    fn assemble(&mut self, at: u32, dice: &mut Dice) -> (Fitted, Assembly) {
        let (setup, plan) = (self.setup, self.plan);
        let real = !setup.on_setup_bearings() || at >= plan.assemblies;
        let bearings = if real {
            self.parts.bearings
        } else {
            self.trial
        };
        let anew = real && setup.on_setup_bearings() && at == plan.assemblies;
        if anew {
            self.find_zero(&bearings, dice);
        }
        let reseated = at > 0 && dice.chance(plan.reseated);
        if reseated {
            self.face = runout(setup.axle.carrier.face_runout.draw(dice), dice);
        }
        let zero = self.zero - self.stood[0] - self.stood[1];
        let total = zero + setup.shop.bench.side_preload_added - plan.loose;
        let pinion = fit(setup, 0, self.wanted[0], self.packs[0], dice);
        let ring = fit(setup, 1, self.wanted[1], self.packs[1], dice);
        let far = fit(setup, 2, total - ring.printed, self.packs[2], dice);
        self.packs = [Some(pinion), Some(ring), Some(far), self.packs[3]];
        let packs = Thicknesses {
            pinion: pinion.real,
            ring: ring.real + self.stood[0],
            far: far.real + self.stood[1],
        };
        let truth = Assembly::of(setup, &self.parts, &bearings, self.face, packs);
        let zero_stated = (at == 0 || anew) && dice.chance(plan.zero);
        let other_tooth = at > 0 && dice.chance(plan.other_tooth);
        let fitted = Fitted {
            on_setup_bearings: !real,
            zero_total: zero_stated.then_some(zero),
            pinion: pinion.printed,
            ring: ring.printed,
            far: far.printed,
            reseated,
            other_tooth,
            ..Fitted::default()
        };
        (self.read(fitted, &truth, dice), truth)
    }

    /// What is read of an assembly, and which packs are wanted next.
    fn read(&mut self, mut fitted: Fitted, truth: &Assembly, dice: &mut Dice) -> Fitted {
        let (setup, plan) = (self.setup, self.plan);
        let rates = &setup.rates;
        let vector = [0, 1].map(|i| {
            rates.tangential * self.parts.tooth_runout[i] + rates.per_ring_move * self.face[i]
        });
        let turned = if fitted.other_tooth {
            std::f64::consts::TAU * dice.uniform()
        } else {
            0.0
        };
        fitted.backlash = read_backlash(setup, truth, vector, turned, dice);
        let [_, drive, _, coast] = truth.pattern;
        let mut profile = |truth: f64| {
            let stated = dice.chance(plan.pattern);
            stated.then(|| read_profile(setup, truth, dice))
        };
        (fitted.drive, fitted.coast) = (profile(drive), profile(coast));
        if plan.rise {
            fitted.rise = Some(read_rise(setup, &self.parts, truth.closure, dice));
        }
        if !fitted.on_setup_bearings {
            self.shim_spacer(&mut fitted, dice);
        }
        // the next packs by these readings, at times by nothing but whim
        let deeper = setup.axle.pinion_shim.seat.depth_per_thickness();
        if dice.chance(0.7) {
            self.wanted[0] = fitted.pinion + deeper * fitted.drive.unwrap_or(0.05) / 1.45;
        }
        if dice.chance(0.7) {
            let mean = fitted.backlash.iter().sum::<f64>() / fitted.backlash.len() as f64;
            let middle = setup.axle.windows.backlash.middle();
            self.wanted[1] = fitted.ring - (middle - mean) / 0.85;
        }
        fitted
    }

    /// Two goes at a spacer, the second by the first.
    fn shim_spacer(&mut self, fitted: &mut Fitted, dice: &mut Dice) {
        let (setup, parts) = (self.setup, &self.parts);
        let PreloadBy::Spacer { usual, .. } = &setup.axle.pinion_preload.by else {
            return;
        };
        let shim = self.packs[0].expect("a pinion pack").real;
        let open = gap(setup, parts, &parts.bearings, shim);
        let mut printed = *usual;
        for _ in 0..2 {
            let pack = fit(setup, 3, printed, self.packs[3], dice);
            self.packs[3] = Some(pack);
            let force = setup.pinion_pair.force(open - pack.real);
            let truth = parts.seal_drag + 1e-3 * parts.pinion_friction * force;
            let instrument = setup.shop.instruments.torque;
            let sigma = (instrument.share * truth).hypot(instrument.sigma);
            let shown = truth + sigma * dice.normal();
            let read = setup.graduations.torque.round(shown);
            fitted.preload.push(pack.printed);
            fitted.torque.push(read);
            printed = pack.printed + (read - setup.torque_window.middle()) / 40.0;
        }
    }
}

/// Makes a job of this number.
pub(super) fn make(setup: &Setup, plan: &Plan, number: u64) -> Made {
    let mut dice = Address::new(9000, number).stream(Purpose::Bench);
    let (mut bench, known) = OnBench::new(setup, plan, number, &mut dice);
    let all: Vec<(Fitted, Assembly)> = (0..plan.assemblies + u32::from(plan.real))
        .map(|at| bench.assemble(at, &mut dice))
        .collect();
    let (assemblies, truths): (Vec<Fitted>, Vec<Assembly>) = all.into_iter().unzip();
    Made {
        job: BenchJob { known, assemblies },
        truth: *truths.last().expect("an assembly"),
        truths,
    }
}
