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

/// A job, and the truth of its last assembly.
pub(super) struct Made {
    pub(super) job: BenchJob,
    pub(super) truth: Assembly,
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

/// Makes a job of this number.
pub(super) fn make(setup: &Setup, plan: &Plan, number: u64) -> Made {
    let mut dice = Address::new(9000, number).stream(Purpose::Bench);
    let dice = &mut dice;
    let parts = setup.parts(Address::new(9001, number));
    let cone = setup.shop.instruments.setup_bearing;
    let trial = BearingSet {
        head: parts.bearings.head + cone * dice.normal(),
        ring: parts.bearings.ring + cone * dice.normal(),
        far: parts.bearings.far + cone * dice.normal(),
        ..parts.bearings
    };
    let on_setup = setup.on_setup_bearings();
    let seated = if on_setup { trial } else { parts.bearings };
    let known = known(setup, &parts, plan, &seated, dice);
    let room = |seated: &BearingSet| {
        parts.ring_seat + parts.far_seat - seated.ring - seated.far - parts.shoulders
    };
    let end_play = setup.shop.instruments.end_play;
    let added = setup.shop.bench.side_preload_added;
    let axle = &setup.axle;
    let deeper = axle.pinion_shim.seat.depth_per_thickness();
    // packs from what is stated, never from the truth
    let mut wanted =
        known.gauge.unwrap_or(axle.pinion_shim.usual) - deeper * known.mark_new.unwrap_or(0.0);
    let mut ring_wanted = known.ring_pack.unwrap_or(axle.side_shims.usual[0]) + plan.thicker;
    // adjusters count from where they stood first
    let mut stood = [0.0; 2];
    let mut zero = room(&seated) + end_play * dice.normal();
    if let SideStock::Notches(notch) = setup.side_stock {
        let old = old_packs(setup, &parts, &mut dice.clone())[1];
        let ring = match setup.shop.bench.side_start {
            SideStart::Usual => axle.side_shims.usual[0],
            _ => known
                .ring_pack
                .unwrap_or(old + setup.old_pack_sigma(None, old) * dice.normal()),
        };
        let ring = (ring / notch).round() * notch;
        stood = [ring, ((zero + added - ring) / notch).round() * notch];
        ring_wanted = 0.0;
    }
    let mut face = parts.face_runout;
    let mut packs: [Option<FittedPack>; 4] = [None; 4];
    let mut job = BenchJob {
        known,
        assemblies: Vec::new(),
    };
    let mut made = None;
    let last = plan.assemblies + u32::from(plan.real);
    for at in 0..last {
        let real = !on_setup || at >= plan.assemblies;
        let bearings = if real { parts.bearings } else { trial };
        let anew = real && on_setup && at == plan.assemblies;
        if anew {
            zero = room(&bearings) + end_play * dice.normal();
        }
        let reseated = at > 0 && dice.chance(plan.reseated);
        if reseated {
            face = runout(axle.carrier.face_runout.draw(dice), dice);
        }
        let pinion = fit(setup, 0, wanted, packs[0], dice);
        let ring = fit(setup, 1, ring_wanted, packs[1], dice);
        let total = zero - stood[0] - stood[1] + added;
        let far = fit(setup, 2, total - ring.printed - plan.loose, packs[2], dice);
        packs[0] = Some(pinion);
        packs[1] = Some(ring);
        packs[2] = Some(far);
        let real_packs = Thicknesses {
            pinion: pinion.real,
            ring: ring.real + stood[0],
            far: far.real + stood[1],
        };
        let truth = Assembly::of(setup, &parts, &bearings, face, real_packs);
        let vector = [0, 1].map(|i| {
            setup.rates.tangential * parts.tooth_runout[i] + setup.rates.per_ring_move * face[i]
        });
        let other_tooth = at > 0 && dice.chance(plan.other_tooth);
        let turned = if other_tooth {
            6.283 * dice.uniform()
        } else {
            0.0
        };
        let backlash = read_backlash(setup, &truth, vector, turned, dice);
        let [_, drive, _, coast] = truth.pattern;
        let mut fitted = Fitted {
            on_setup_bearings: !real,
            zero_total: (at == 0 || anew)
                .then(|| zero - stood[0] - stood[1])
                .filter(|_| dice.chance(plan.zero)),
            pinion: pinion.printed,
            ring: ring.printed,
            far: far.printed,
            reseated,
            other_tooth,
            backlash,
            drive: dice
                .chance(plan.pattern)
                .then(|| read_profile(setup, drive, dice)),
            coast: dice
                .chance(plan.pattern)
                .then(|| read_profile(setup, coast, dice)),
            rise: plan
                .rise
                .then(|| read_rise(setup, &parts, truth.closure, dice)),
            ..Fitted::default()
        };
        if let (true, PreloadBy::Spacer { usual, .. }) = (real, &axle.pinion_preload.by) {
            // two goes, the second by the first
            let open = gap(setup, &parts, &parts.bearings, pinion.real);
            let mut printed = *usual;
            for _ in 0..2 {
                let pack = fit(setup, 3, printed, packs[3], dice);
                packs[3] = Some(pack);
                let truth = parts.seal_drag
                    + 1e-3 * parts.pinion_friction * setup.pinion_pair.force(open - pack.real);
                let instrument = setup.shop.instruments.torque;
                let sigma = (instrument.share * truth).hypot(instrument.sigma);
                let read = setup
                    .graduations
                    .torque
                    .round(truth + sigma * dice.normal());
                fitted.preload.push(pack.printed);
                fitted.torque.push(read);
                printed = pack.printed + (read - setup.torque_window.middle()) / 40.0;
            }
        }
        let mean = fitted.backlash.iter().sum::<f64>() / fitted.backlash.len() as f64;
        // the next packs by these readings, at times by nothing but whim
        if dice.chance(0.7) {
            wanted = pinion.printed + deeper * fitted.drive.unwrap_or(0.05) / 1.45;
        }
        if dice.chance(0.7) {
            ring_wanted = ring.printed - (axle.windows.backlash.middle() - mean) / 0.85;
        }
        job.assemblies.push(fitted);
        made = Some(truth);
    }
    Made {
        job,
        truth: made.expect("an assembly"),
    }
}
