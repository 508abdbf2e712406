//! What was known before the first assembly, as statements on parts.

use super::form::Form;
use super::likelihood::Site;
use super::model::{Heights, OldPackForms, PartForms, Told, site};
use super::variables::Variables;
use crate::axle::Condition;
use crate::axle::density::Varies;
use crate::next::Reading;

/// Everything stated before the first assembly.
pub(super) fn sites(
    told: &Told<'_>,
    parts: &PartForms,
    old: &OldPackForms,
    variables: &mut Variables,
) -> Vec<Site> {
    let mut sites = marks(told, parts, variables);
    sites.extend(old_packs(told, old));
    sites.extend(heights(told, parts));
    sites.extend(gauge(told, parts));
    sites
}

fn marks(told: &Told<'_>, parts: &PartForms, variables: &mut Variables) -> Vec<Site> {
    let (setup, known) = (told.setup, &told.job.known);
    let law = &setup.axle.gears.mark;
    let mut mark = |reading, depth: &Form, stated: f64| {
        let (form, sigma) = match law.error.varies() {
            Varies::Normal(mean, sigma) => (depth.clone().plus(&Form::of(mean)), sigma),
            _ => (depth.clone().plus(&variables.of(&law.error)), 0.0),
        };
        site(0, reading, form, stated, [sigma, law.step])
    };
    let mut sites = Vec::new();
    match setup.gears {
        Condition::New => {
            if let Some(stated) = known.mark_old {
                sites.push(mark(Reading::MarkOld, &parts.old_pair[0], stated));
            }
            if let Some(stated) = known.mark_new {
                sites.push(mark(Reading::MarkNew, &parts.pair[0], stated));
            }
        }
        Condition::Kept => {
            if let Some(stated) = known.mark_old.or(known.mark_new) {
                sites.push(mark(Reading::MarkOld, &parts.pair[0], stated));
            }
        }
    }
    sites
}

fn old_packs(told: &Told<'_>, old: &OldPackForms) -> Vec<Site> {
    let (setup, known) = (told.setup, &told.job.known);
    let axle = &setup.axle;
    let side = axle.side_shims.stock.as_deref();
    let packs = [
        (
            Reading::PinionPack,
            Some(&old.pinion),
            known.pinion_pack,
            Some(axle.pinion_shim.stock.as_str()),
        ),
        (Reading::RingPack, Some(&old.ring), known.ring_pack, side),
        (Reading::FarPack, Some(&old.far), known.far_pack, side),
        (
            Reading::PreloadPack,
            old.spacer.as_ref(),
            known.preload_pack,
            axle.pinion_preload.stock(),
        ),
    ];
    let stated = packs
        .into_iter()
        .filter_map(|(reading, form, stated, stock)| {
            let (form, stated) = (form?.clone(), stated?);
            let sigma = setup.old_pack_sigma(stock, stated);
            Some(site(0, reading, form, stated, [sigma, 0.0]))
        });
    stated.collect()
}

fn heights(told: &Told<'_>, parts: &PartForms) -> Vec<Site> {
    let (setup, known) = (told.setup, &told.job.known);
    let sigma = setup.shop.instruments.height;
    let mut sites = Vec::new();
    for (place, reading, stated) in [
        (0, Reading::HeadHeight, known.head_height),
        (1, Reading::TailHeight, known.tail_height),
        (2, Reading::RingHeight, known.ring_height),
        (3, Reading::FarHeight, known.far_height),
    ] {
        let Some([old, new]) = stated else {
            continue;
        };
        let mut measured = |heights: &Heights, stated: f64| {
            let form = heights[place].clone();
            sites.push(site(0, reading, form, stated, [sigma, 0.0]));
        };
        measured(&parts.old_bearings, old);
        // a kept bearing is measured once
        if setup.bearings == Condition::New {
            measured(&parts.bearings, new);
        }
    }
    sites
}

/// The gauge measures to the bearing as it sits: on set-up bearings where the first entry has them.
fn gauge(told: &Told<'_>, parts: &PartForms) -> Option<Site> {
    let setup = told.setup;
    let stated = told.job.known.gauge?;
    let first = told.job.assemblies.first();
    let on_trial = first.map_or(setup.on_setup_bearings(), |first| first.on_setup_bearings);
    let seated = parts.seated(on_trial);
    let deeper = setup.axle.pinion_shim.seat.depth_per_thickness();
    let mounting = Form::of(setup.axle.gears.mounting_distance);
    let form = parts.head_seat.clone().less(&seated[0]).less(&mounting);
    let gauge = setup.shop.instruments.depth_gauge;
    Some(site(
        0,
        Reading::Gauge,
        form.times(deeper),
        stated,
        [gauge.sigma, gauge.step],
    ))
}
