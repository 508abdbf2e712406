//! Screw adjusters: where they stood at the first assembly, from which their travel counts.

use super::form::Form;
use super::model::{OldPackForms, PartForms, Told};
use super::variables::Variables;
use crate::axle::Condition;
use crate::bench::setup::SideStock;
use crate::shop::SideStart;

/// Takes what the adjusters stood at first off the seats, so that travel counts like packs do: as
/// uncertain as the shop's start leaves it.
pub(super) fn take_off(
    told: &Told<'_>,
    parts: &mut PartForms,
    old: &OldPackForms,
    variables: &mut Variables,
) {
    let setup = told.setup;
    let SideStock::Notches(notch) = setup.side_stock else {
        return;
    };
    if told.entries == 0 {
        return;
    }
    let ring = ring_side(told, parts, old, variables, notch);
    let seated = parts.seated(told.job.assemblies[0].on_setup_bearings);
    let total = parts
        .room(&seated)
        .plus(&variables.normal(0.0, setup.shop.instruments.end_play))
        .plus(&Form::of(setup.shop.bench.side_preload_added))
        .plus(&variables.within(0.5 * notch));
    let far = total.less(&ring);
    parts.ring_seat = parts.ring_seat.clone().less(&ring);
    parts.far_seat = parts.far_seat.clone().less(&far);
}

fn ring_side(
    told: &Told<'_>,
    parts: &PartForms,
    old: &OldPackForms,
    variables: &mut Variables,
    notch: f64,
) -> Form {
    let (setup, known) = (told.setup, &told.job.known);
    let axle = &setup.axle;
    let bench = &setup.shop.bench;
    let end_play = setup.shop.instruments.end_play;
    let wanted = match bench.side_start {
        SideStart::Usual => {
            let usual = axle.side_shims.usual[0];
            return Form::of((usual / notch).round() * notch);
        }
        SideStart::OldPacks => {
            let measured = match known.ring_pack {
                Some(stated) => Form::of(stated),
                None => {
                    let sigma = setup.old_pack_sigma(None, old.ring.constant);
                    old.ring.clone().plus(&variables.normal(0.0, sigma))
                }
            };
            if bench.measures_heights && setup.bearings == Condition::New {
                measured.less(&grown(told, parts, variables))
            } else {
                measured
            }
        }
        SideStart::ZeroLash => {
            let rates = &setup.rates;
            let middle = axle.windows.backlash.middle();
            let first = &told.job.assemblies[0];
            let seated = parts.seated(first.on_setup_bearings);
            let pack = axle.pinion_shim.seat.depth_per_thickness() * first.pinion;
            let depth = parts.bare_depth(setup, &seated).less(&Form::of(pack));
            // the tightest tooth, by mean and deviation of its distance from the mean one
            let runout = 0.5
                * Form::of(0.0)
                    .and(&parts.teeth[0], rates.tangential)
                    .deviation()
                    .hypot(rates.per_ring_move * face_part(told));
            let tightest = variables.normal(1.253_314 * runout, 0.655_136 * runout);
            let bound = tightest
                .less(&Form::of(middle))
                .and(&depth, -rates.per_depth)
                .less(&parts.skew(setup))
                .times(1.0 / rates.per_ring_move);
            let backed_off = Form::of(middle / bench.ring_belief);
            // what is bare without the pack, and dG as wanted
            parts
                .bare_ring(setup, &seated)
                .plus(&Form::of(
                    axle.housing.ring_share * bench.side_preload_added,
                ))
                .less(&bound)
                .less(&backed_off)
                .plus(&variables.normal(0.0, end_play))
        }
    };
    wanted.plus(&variables.within(0.5 * notch))
}

/// Deviation of one part of the runout of the face.
fn face_part(told: &Told<'_>) -> f64 {
    let [part, _] = Variables::default().runout(&told.setup.axle.carrier.face_runout, 1.0);
    part.deviation()
}

/// New less old height of the ring-side bearing as the shop measured it.
fn grown(told: &Told<'_>, parts: &PartForms, variables: &mut Variables) -> Form {
    match told.job.known.ring_height {
        Some([old, new]) => Form::of(new - old),
        None => {
            let sigma = told.setup.shop.instruments.height;
            let error = variables.normal(0.0, std::f64::consts::SQRT_2 * sigma);
            let new = parts.bearings[2].clone();
            new.less(&parts.old_bearings[2]).plus(&error)
        }
    }
}
