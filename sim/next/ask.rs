//! From a question to its answer: the belief, the moves from there, and what else is to be told.

use super::advice::{Judged, judge};
use super::answer::{AsItStands, Belief, Expected, Figure, Move, Next, Question, ShimsOf};
use super::candidates::{Means, Numbered, Packs, moves, starts};
use super::expected::expected;
use super::figures::{figure, moments};
use super::flaws;
use super::form::Form;
use super::history::{History, sleeve_torques, zero_assumed};
use super::model::Told;
use super::narrowing::would_narrow;
use super::path::{PackRates, cloud, path};
use super::play::Played;
use super::population::{Population, Wanted};
use super::preload::preload_next;
use super::remarks::remarks;
use super::sleeve::Nut;
use super::state::{State, States};
use super::surprise::surprises;
use crate::bench::PackPlace;
use crate::bench::outcome::Outcome;
use crate::bench::resume::Step;
use crate::bench::setup::{Flaw, Setup, SideStock};
use crate::chance::dice::Address;
use crate::count::estimate::Estimate;

/// Draws of the belief: at least so many, until they are worth so many.
const WANTED: Wanted = Wanted {
    draws: 8192,
    effective: 4000.0,
    most: 1 << 17,
};
/// Draws of what was believed before any reading.
const BEFORE: Wanted = Wanted {
    draws: 4096,
    effective: 2000.0,
    most: 1 << 15,
};
/// Draws that choose the best move, and draws that tell of it, at the most.
const CHOOSING: usize = 2048;
const TELLING: usize = 4096;
/// Draws that are made for either, at the least, however little the belief is worth.
const FEWEST: usize = 256;
/// A belief worth less than this is told to be rough.
const FEW: f64 = 1000.0;
/// Sleeves that each of the draws that tell must be worth, so that they count as independent.
const SLEEVES_EACH: f64 = 4.0;

/// What separate figures of an answer are drawn for.
#[derive(Clone, Copy)]
pub(super) enum Part {
    Belief,
    Before,
    Even,
    Sleeves,
    States,
    Play,
    Expected,
    Preload,
    Surprise,
}

/// What the readings of an axle say of it, and which packs to fit next.
///
/// # Definition
/// The belief is what the laws of parts, instruments and old set-ups say, given everything stated:
/// weighted draws of all of it. Every move is played on from draws of that belief by the same
/// technician as in every other answer, all moves with the same figures; the best is chosen by some draws
/// and told by others.
///
/// # Errors
/// A [`Flaw`] for every figure of the job with which no belief can be formed; none at all where
/// [`Question::goes_on`] ended the work.
///
/// # Example
/// On real bearings, and tight all round:
/// ```
/// use shimcast_sim::next::{BenchJob, Fitted, Question, next};
///
/// let setup = shimcast_sim::demo::setup();
/// let fitted = Fitted {
///     pinion: 0.90,
///     ring: 2.00,
///     far: 2.10,
///     backlash: vec![0.08, 0.09, 0.10, 0.09],
///     drive: Some(0.0),
///     coast: Some(0.0),
///     ..Fitted::default()
/// };
/// let job = BenchJob { assemblies: vec![fitted], ..BenchJob::default() };
/// let next = next(&Question::of(&setup, &job, 1))?;
/// // a thinner pack moves the ring gear out
/// assert!(!next.moves[0].accept && next.moves[0].ring < 2.00);
/// assert!((next.belief.backlash.mean - 0.09).abs() < 0.01);
/// # Ok::<(), Vec<shimcast_sim::study::Flaw>>(())
/// ```
pub fn next(question: &Question<'_>) -> Result<Next, Vec<Flaw>> {
    let job = question.job;
    let heed = || match (question.goes_on)() {
        true => Ok(()),
        false => Err(Vec::new()),
    };
    let setup = &flaws::setup_for(question.setup, job)?;
    heed()?;
    let history = History::of(setup, job);
    let assumed = zero_assumed(setup, job);
    let address = |part: Part| Address::new(question.seed, part as u64).partner();
    let told = Told {
        setup,
        old_side_closure: &question.old_side_closure,
        job,
        entries: job.assemblies.len(),
        read: job.assemblies.len(),
        assumed: &assumed,
        amiss: None,
    };
    let sleeves = sleeve_torques(setup, &history, job).and_then(|(_, torques)| {
        let nut = Nut::of(setup)?;
        Some(nut.after_enough(torques, address(Part::Sleeves)))
    });
    let believed = Population::new(&told, address(Part::Belief), WANTED);
    heed()?;
    let means = means(setup, &believed);
    // what is believed of the sleeve is drawn by itself
    let effective = sleeves.as_ref().map_or(believed.effective, |sleeves| {
        believed.effective.min(sleeves.worth)
    });
    let states = States {
        setup,
        job,
        history: &history,
        model: &believed.model,
        sleeves: sleeves.as_ref(),
    };
    let [choosing, telling] = even_states(&states, &believed, address);
    heed()?;
    let packs = Packs::of(question, setup);
    let candidates = match job.assemblies.last() {
        Some(_) => moves(question, &packs, &history, numbered(&telling[0]), &means),
        None => starts(question, &packs, &means),
    };
    let both = [choosing.as_slice(), telling.as_slice()];
    let inside = history.reads_inside;
    let judged = judge(
        question.goes_on,
        setup,
        candidates,
        both,
        inside,
        address(Part::Play),
    );
    let (judged, of_best) = judged.ok_or_else(Vec::new)?;
    let surprises = surprises(&told, address(Part::Surprise));
    heed()?;
    Ok(Next {
        draws: believed.len() as u64,
        effective,
        reads_inside: inside,
        surprises,
        belief: belief(&told, &believed, &of_best, address(Part::Before)),
        path: path(&believed),
        cloud: cloud(
            setup,
            (!job.assemblies.is_empty()).then_some(telling.as_slice()),
            &of_best,
        ),
        pack_rates: PackRates::of(setup),
        as_it_stands: (!job.assemblies.is_empty()).then(|| as_it_stands(setup, &telling)),
        expected: expected_of(setup, &judged, &of_best, address(Part::Expected)),
        preload: preload_next(&states, &packs, &telling, address(Part::Preload)),
        would_narrow: would_narrow(&told, &believed),
        remarks: remarks(&told, &history, effective < FEW),
        moves: judged
            .into_iter()
            .map(|judged| told_move(setup, &telling[0], judged))
            .collect(),
    })
}

/// States of equal weight: those that choose and those that tell.
fn even_states(
    states: &States<'_>,
    believed: &Population,
    address: impl Fn(Part) -> Address,
) -> [Vec<State>; 2] {
    let worth = (believed.effective as usize).max(4 * FEWEST);
    let choosing = CHOOSING.min(worth / 4);
    let sleeves = states
        .sleeves
        .map_or(f64::INFINITY, |sleeves| sleeves.worth / SLEEVES_EACH);
    let telling = TELLING
        .min(worth - choosing)
        .min((sleeves as usize).max(FEWEST));
    let numbers = believed.even(choosing + telling, address(Part::Even));
    let mut all: Vec<State> = numbers
        .into_iter()
        .enumerate()
        .map(|(at, number)| {
            let place = address(Part::States).within(at as u64);
            states.of(believed.row(number), at, place)
        })
        .collect();
    let telling = all.split_off(choosing);
    [all, telling]
}

fn numbered(state: &State) -> [Numbered; 3] {
    state.standing.packs.map(|pack| (pack.number, pack.printed))
}

/// Means of the belief that moves are looked for near.
fn means(setup: &Setup, believed: &Population) -> Means {
    let mean = |form: &Form| moments(&believed.values(form), &believed.weights)[0];
    let parts = &believed.model.parts;
    let seated = parts.seated(setup.on_setup_bearings());
    let deeper = setup.axle.pinion_shim.seat.depth_per_thickness();
    let added = setup.shop.bench.side_preload_added;
    let skew = parts.skew(setup).times(1.0 / setup.rates.per_ring_move);
    let ring = parts.bare_ring(setup, &seated).plus(&skew);
    let last = believed.model.assemblies.last();
    let profile = |flank: usize| last.map_or(0.0, |last| mean(&last.profile[flank]));
    Means {
        profile: 0.5 * (profile(0) + profile(1)),
        backlash: last.map_or(0.0, |last| setup.reading_factor * mean(&last.backlash)),
        pinion: deeper * mean(&parts.bare_depth(setup, &seated)),
        ring: mean(&ring) + setup.axle.housing.ring_share * added,
        total: mean(&parts.room(&seated)) + added,
    }
}

fn belief(told: &Told<'_>, believed: &Population, of_best: &[Played], address: Address) -> Belief {
    let setup = told.setup;
    let truths = |population: &Population| -> Vec<[f64; 7]> {
        let rows = (0..population.len()).map(|i| population.row(i));
        rows.filter_map(|row| population.model.truth(setup, row))
            .collect()
    };
    let column =
        |all: &[[f64; 7]], at: usize| -> Vec<f64> { all.iter().map(|one| one[at]).collect() };
    let figures: [Figure; 7] = if told.entries > 0 {
        let nothing_read = Told {
            read: 0,
            assumed: &[],
            ..told.clone()
        };
        let before = Population::new(&nothing_read, address, BEFORE);
        let (now, then) = (truths(believed), truths(&before));
        std::array::from_fn(|at| {
            let before = moments(&column(&then, at), &before.weights);
            figure(&column(&now, at), &believed.weights, before)
        })
    } else {
        let first: Vec<[f64; 7]> = of_best
            .iter()
            .filter_map(|played| played.next)
            .map(|truth| {
                let [_, drive, _, coast] = truth.pattern;
                let variation = 2.0 * truth.swing;
                let (depth, ring, closure) = (truth.depth, truth.ring, truth.closure);
                [
                    depth,
                    ring,
                    truth.backlash,
                    variation,
                    closure,
                    drive,
                    coast,
                ]
            })
            .collect();
        let even = vec![1.0 / first.len().max(1) as f64; first.len()];
        std::array::from_fn(|at| {
            let values = column(&first, at);
            figure(&values, &even, moments(&values, &even))
        })
    };
    let [depth, ring, backlash, variation, closure, drive, coast] = figures;
    Belief {
        depth,
        ring,
        backlash,
        variation,
        closure,
        drive,
        coast,
    }
}

fn as_it_stands(setup: &Setup, states: &[State]) -> AsItStands {
    let outcomes: Vec<Outcome> = states
        .iter()
        .map(|state| Outcome::as_it_sits(setup, &state.truth, state.torque))
        .collect();
    let n = outcomes.len() as u64;
    let count = |is: &dyn Fn(&Outcome) -> bool| outcomes.iter().filter(|one| is(one)).count();
    AsItStands {
        right: Estimate::share(count(&|one| *one == Outcome::Right) as u64, n),
        clearly_out: Estimate::share(count(&|one| one.is_clearly_out()) as u64, n),
    }
}

fn expected_of(
    setup: &Setup,
    judged: &[Judged],
    of_best: &[Played],
    address: Address,
) -> Option<Expected> {
    let best = judged.first()?;
    // a job that is given up before the next assembly has no readings to expect
    let follows = best.candidate.step != Step::Accept && best.reads_inside.is_some();
    follows.then(|| expected(setup, of_best, address))
}

fn told_move(setup: &Setup, state: &State, judged: Judged) -> Move {
    let candidate = judged.candidate;
    let fitted = state.standing.packs.map(|pack| pack.number);
    let step = candidate.step;
    let takes_apart = match step {
        Step::Accept => false,
        Step::Start(_) => true,
        Step::Fit([pinion, ..]) => pinion != fitted[0] || !setup.has_adjusters(),
    };
    let [pinion, ring, far] = candidate.packs;
    Move {
        pinion,
        ring,
        far,
        accept: step == Step::Accept,
        own: candidate.own,
        takes_apart,
        shims: shims(setup, step, candidate.packs, fitted),
        reads_inside: judged.reads_inside,
        right: judged.right,
        clearly_out: judged.clearly_out,
        assemblies: judged.assemblies,
        hours: judged.hours,
        cost: judged.cost,
        dearer: judged.dearer,
        less_than_best: judged.less_than_best,
    }
}

/// Shims of the packs that a move fits anew.
fn shims(setup: &Setup, step: Step, packs: [f64; 3], fitted: [i64; 3]) -> Vec<ShimsOf> {
    let axle = &setup.axle;
    let side = match &setup.side_stock {
        SideStock::Packs(table) => axle.side_shims.stock.as_ref().map(|name| (name, table)),
        SideStock::Notches(_) => None,
    };
    let pinion = Some((&axle.pinion_shim.stock, &setup.pinion_packs));
    let places = [
        (PackPlace::Pinion, pinion),
        (PackPlace::RingSide, side),
        (PackPlace::FarSide, side),
    ];
    let mut list: Vec<ShimsOf> = Vec::new();
    for (i, (place, stock)) in places.into_iter().enumerate() {
        let number = match step {
            Step::Accept => fitted[i],
            Step::Fit(numbers) => numbers[i],
            Step::Start(_) => -1,
        };
        let Some((name, table)) = stock.filter(|_| number < 0 || number != fitted[i]) else {
            continue;
        };
        let Some(series) = setup.shop.series(name) else {
            continue;
        };
        for shim in &table.all()[table.nearest(packs[i])].shims {
            let size = series.sizes[usize::from(*shim)];
            match list
                .last_mut()
                .filter(|last| last.place == place && last.size == size)
            {
                Some(last) => last.count += 1,
                None => list.push(ShimsOf {
                    place,
                    series: name.clone(),
                    size,
                    count: 1,
                }),
            }
        }
    }
    list
}
