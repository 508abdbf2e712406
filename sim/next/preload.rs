//! What next at the pinion preload: the pack beside a spacer, or the nut on a sleeve.

use super::answer::{Go, PreloadNext, Quantiles};
use super::candidates::Packs;
use super::figures::quantiles;
use super::sleeve::{Nut, Sleeve};
use super::state::{State, States};
use crate::axle::packs::PackTable;
use crate::bench::resume::PreloadSoFar;
use crate::bench::setup::{Preload, Setup};
use crate::bench::{PackPlace, preload_gap};
use crate::chance::dice::{Address, Purpose};
use crate::count::estimate::Estimate;

/// Packs beside the likeliest one that are tried on either side.
const NEIGHBOURS: usize = 6;

/// What next, on real bearings; `None` on set-up bearings and before the first assembly.
pub(super) fn preload_next(
    states: &States<'_>,
    stock: &Packs<'_>,
    told: &[State],
    address: Address,
) -> Option<PreloadNext> {
    if states.history.on_trial || states.job.assemblies.is_empty() {
        return None;
    }
    match (&states.setup.preload, Nut::of(states.setup)) {
        (Preload::Spacer { packs, .. }, _) => spacer(states, stock, packs, told, address),
        (_, Some(nut)) => Some(sleeve(states, &nut, told, address)),
        _ => None,
    }
}

/// The pack that is likeliest to bring the torque inside its window.
fn spacer(
    states: &States<'_>,
    stock: &Packs<'_>,
    packs: &PackTable,
    told: &[State],
    address: Address,
) -> Option<PreloadNext> {
    let setup = states.setup;
    let stated = states.history.torque.map(|(entry, _)| entry);
    let fitted = stated.and_then(|entry| states.last_spacer_pack(entry));
    let fitted = fitted.map(|printed| packs.nearest(printed));
    let pair = &setup.pinion_pair;
    // the closure wanted, by the middle of the window, of every draw
    let gaps: Vec<f64> = told.iter().filter_map(|state| gap(setup, state)).collect();
    if gaps.len() != told.len() {
        return None;
    }
    let middle = setup.torque_window.middle();
    let wanted = told.iter().zip(&gaps).map(|(state, gap)| {
        let force = 1000.0 * (middle - state.parts.seal_drag) / state.parts.pinion_friction;
        gap - pair.closure(force.max(0.0))
    });
    let centre = packs.nearest(wanted.sum::<f64>() / told.len() as f64);
    let torques = |number: usize| -> Vec<f64> {
        let [printed, sigma] = packs.printed_and_sigma(number);
        let of = |(i, (state, gap)): (usize, (&State, &f64))| {
            let there = real_pack(state).filter(|_| Some(number) == fitted);
            let error = address.within(i as u64).stream(Purpose::Readings).normal();
            let real = there.unwrap_or(printed + sigma * error);
            torque(setup, state, gap - real)
        };
        told.iter().zip(&gaps).enumerate().map(of).collect()
    };
    let inside = |torques: &[f64]| {
        let window = setup.torque_window;
        torques
            .iter()
            .filter(|torque| window.holds(**torque))
            .count()
    };
    let near = centre.saturating_sub(NEIGHBOURS)..(centre + NEIGHBOURS + 1).min(packs.all().len());
    let allowed =
        |number: &usize| Some(*number) == fitted || stock.allowed(PackPlace::Spacer, *number);
    let tried = near.filter(allowed).map(|number| (number, torques(number)));
    let (number, torques) = tried.max_by_key(|(number, torques)| {
        // of equals the one that is fitted
        (inside(torques), Some(*number) == fitted)
    })?;
    let even = vec![1.0; torques.len()];
    Some(PreloadNext::Spacer {
        pack: packs.all()[number].printed,
        fitted: Some(number) == fitted,
        torque: quantiles(&torques, &even),
        inside: Estimate::share(inside(&torques) as u64, torques.len() as u64),
    })
}

fn gap(setup: &Setup, state: &State) -> Option<f64> {
    let shim = state.standing.packs[0].real;
    let spacer = state.parts.spacer?;
    let bearings = &state.parts.bearings;
    Some(preload_gap(setup, &spacer, bearings.head, bearings.tail, shim) - spacer.length)
}

fn real_pack(state: &State) -> Option<f64> {
    match state.standing.preload {
        PreloadSoFar::Known(_, pack) => pack.map(|pack| pack.real),
        PreloadSoFar::Shimming(pack, ..) => Some(pack.real),
        _ => None,
    }
}

fn torque(setup: &Setup, state: &State, closure: f64) -> f64 {
    state.parts.seal_drag + 1e-3 * state.parts.pinion_friction * setup.pinion_pair.force(closure)
}

/// The nut on the sleeve that is in, or on a fresh one where no torque is stated of one.
fn sleeve(states: &States<'_>, nut: &Nut<'_>, told: &[State], address: Address) -> PreloadNext {
    let setup = states.setup;
    let (pair, window) = (&setup.pinion_pair, setup.torque_window);
    let fresh = |state: &State| Sleeve {
        friction: state.parts.pinion_friction,
        drag: state.parts.seal_drag,
        closure: 0.0,
    };
    let sleeves: Vec<Sleeve> = told
        .iter()
        .map(|state| state.sleeve.unwrap_or_else(|| fresh(state)))
        .collect();
    let n = sleeves.len() as u64;
    let left: Vec<f64> = sleeves
        .iter()
        .map(|sleeve| {
            let force = 1000.0 * (nut.aim - sleeve.drag) / sleeve.friction;
            let missing = pair.closure(force.max(0.0)) - sleeve.closure;
            (missing / nut.closure_per_degree).max(0.0)
        })
        .collect();
    let even = vec![1.0; left.len()];
    let degrees: Quantiles = quantiles(&left, &even);
    let inside_now = sleeves
        .iter()
        .filter(|sleeve| window.holds(nut.torque(sleeve)))
        .count();
    let largest = setup.shop.bench.sleeve_step.ceil().max(1.0) as u32;
    let goes = (1..=largest).map(|go| {
        let degrees = f64::from(go).min(setup.shop.bench.sleeve_step);
        let (mut past, mut inside) = (0, 0);
        for (number, sleeve) in sleeves.iter().enumerate() {
            let mut dice = address.within(number as u64).stream(Purpose::Readings);
            let turned = Sleeve {
                closure: sleeve.closure + nut.turned(degrees, &mut dice),
                ..*sleeve
            };
            let torque = nut.torque(&turned);
            past += u64::from(torque > window.high);
            inside += u64::from(window.holds(torque));
        }
        Go {
            degrees,
            past: Estimate::share(past, n),
            inside: Estimate::share(inside, n),
        }
    });
    PreloadNext::Sleeve {
        degrees,
        inside: Estimate::share(inside_now as u64, n),
        goes: goes.collect(),
    }
}
