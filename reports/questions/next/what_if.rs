//! Packs that somebody thinks of fitting: fields that hold what can be built, and what comes of it.

use shimcast_sim::bench::PackPlace;
use shimcast_sim::bench::setup::{Setup, SideStock};
use shimcast_sim::next::Move;

use super::OnTheBench;
use super::drawer::packs_of;
use super::own::{Wrong, built};
use crate::asking::figure::{Measure, figure};
use crate::document::{Block, Control, ControlKind, Controls, Section};
use crate::files::LoadedJob;

/// Sums nearer than this, mm, are the same pack.
const SAME: f64 = 1e-4;
/// Packs on either side of the one that is fitted, and notches.
const AROUND: usize = 12;
const PLACES: [PackPlace; 3] = [PackPlace::Pinion, PackPlace::RingSide, PackPlace::FarSide];
/// The fields.
const NAMES: [&str; 3] = ["packs.pinion", "packs.ring", "packs.far"];

/// What was set in the fields.
#[derive(Debug, Clone, Default)]
pub(super) struct WhatIf {
    typed: [String; 3],
    /// What is wrong with it, field by field.
    refused: [Option<String>; 3],
    /// All three packs, mm, where something was set and can be built.
    pub(super) packs: Option<[f64; 3]>,
}

impl WhatIf {
    /// What the fields say of packs; what is left empty stays as it is.
    pub(super) fn read(pairs: &[(String, String)], job: &LoadedJob, setup: &Setup) -> Self {
        let typed = NAMES.map(|name| {
            let mut named = pairs.iter().filter(|(of, _)| of == name);
            named
                .next_back()
                .map_or("", |(_, typed)| typed.trim())
                .to_owned()
        });
        let mut all = Self {
            typed,
            ..Self::default()
        };
        let mut sums = [None; 3];
        let units = job.loaded.axle_units;
        let fields = all.typed.iter().zip(&mut all.refused).zip(&mut sums);
        for ((typed, refused), sum) in fields.filter(|((typed, _), _)| !typed.is_empty()) {
            match figure(typed, Measure::Length, units) {
                Ok(said) => *sum = Some(said),
                Err(why) => *refused = Some(why),
            }
        }
        if sums.iter().all(Option::is_none) || all.refused.iter().any(Option::is_some) {
            return all;
        }
        if job.bench.assemblies.is_empty() && sums[2].is_none() {
            // it is found at the bench, whatever is said here
            let [_, far] = setup.axle.side_shims.usual;
            sums[2] = Some(far / job.loaded.axle_units.length.mm());
        }
        match built(sums, job, setup) {
            Ok(packs) => all.packs = Some(packs),
            Err(wrong) => all.refuse(&wrong, job),
        }
        all
    }

    fn refuse(&mut self, wrong: &Wrong, job: &LoadedJob) {
        let print = job.loaded.printed();
        match wrong {
            Wrong::NoSuchPack(at, ..) => {
                let words = format!("{}: {}", wrong.reason(print), wrong.help(print));
                self.refused[*at] = Some(words);
            }
            Wrong::NothingStands => {
                for at in 0..2 {
                    if self.typed[at].is_empty() {
                        self.refused[at] = Some(wrong.reason(print));
                    }
                }
            }
        }
    }
}

/// A sum as a file writes it, without the noise of a conversion.
fn written(mm: f64, unit: f64) -> String {
    let tidy = (mm / unit * 1e6).round() / 1e6 + 0.0;
    format!("{tidy}")
}

impl OnTheBench {
    /// The move of the packs that were set, where they are not those that stand.
    pub(super) fn thought_of(&self) -> Option<&Move> {
        self.answer.moves.iter().find(|one| one.own)
    }

    /// What is fitted, or what the best start would fit, mm.
    fn stands(&self) -> Option<[f64; 3]> {
        let last = self.last().map(|last| [last.pinion, last.ring, last.far]);
        last.or_else(|| {
            let best = self.best()?;
            Some([best.pinion, best.ring, best.far])
        })
    }

    /// Sums that can be built near one, mm, thin ones first.
    fn near(&self, place: PackPlace, mm: f64) -> Vec<f64> {
        let Some((table, _)) = packs_of(&self.setup, place) else {
            let SideStock::Notches(notch) = self.setup.side_stock else {
                return Vec::new();
            };
            let reach = AROUND as i64;
            let centre = (mm / notch).round() as i64;
            return (centre - reach..=centre + reach)
                .map(|n| n as f64 * notch)
                .collect();
        };
        let all = table.all();
        let centre = table.nearest(mm);
        let there = |number: &usize| {
            let fitted = *number == centre && self.last().is_some();
            let drawer = self.drawer.as_ref();
            fitted || drawer.is_none_or(|(drawer, _)| drawer.builds(place, *number))
        };
        let below = (0..centre).rev().filter(there).take(AROUND);
        let above = (centre..all.len()).filter(there).take(AROUND + 1);
        let mut numbers: Vec<usize> = below.chain(above).collect();
        numbers.sort_unstable();
        numbers
            .into_iter()
            .map(|number| all[number].printed)
            .collect()
    }

    fn stop(&self, place: PackPlace, mm: f64) -> (String, String) {
        let print = self.print();
        let sent = written(mm, print.units.length.mm());
        if packs_of(&self.setup, place).is_none() {
            return (sent, print.signed_given(mm));
        }
        let sum = self.shims_of(place, mm);
        let shown = match sum.contains('+') {
            true => format!("{} = {sum}", print.bare_given(mm)),
            false => print.bare_given(mm),
        };
        (sent, shown)
    }
}

/// The fields.
pub(super) fn stops(of: &OnTheBench) -> Controls {
    let labels = match of.has_adjusters() {
        true => [
            "Pinion pack",
            "Ring-gear side adjuster",
            "Far side adjuster",
        ],
        false => [
            "Pinion pack",
            "Side pack, ring-gear side",
            "Side pack, far side",
        ],
    };
    let fields = (0..3).filter_map(|at| {
        // before the first assembly the far side is found at the bench
        if at == 2 && of.last().is_none() {
            return None;
        }
        Some(field(of, at, labels[at]))
    });
    Controls {
        heading: "What if I fit …".to_owned(),
        fields: fields.collect(),
        ..Controls::default()
    }
}

fn field(of: &OnTheBench, at: usize, label: &str) -> Control {
    let print = of.print();
    let unit = print.units.length.mm();
    let place = PLACES[at];
    let stands = of.stands().map(|packs| packs[at]);
    let (typed, refused) = (&of.what_if.typed[at], &of.what_if.refused[at]);
    let wanted = of.what_if.packs.map(|packs| packs[at]);
    let mut sums = stands.map_or_else(Vec::new, |mm| of.near(place, mm));
    if let Some(mm) = wanted.filter(|_| !typed.is_empty())
        && !sums.iter().any(|sum| (sum - mm).abs() < SAME)
    {
        sums.push(mm);
        sums.sort_by(f64::total_cmp);
    }
    let mut stops: Vec<(String, String)> = sums.into_iter().map(|mm| of.stop(place, mm)).collect();
    let follows = at == 2;
    if follows {
        let both = "takes what the ring side gains, so that both together stay";
        stops.insert(0, (String::new(), both.to_owned()));
    }
    let value = match (typed.is_empty(), wanted) {
        (false, Some(mm)) => written(mm, unit),
        (false, None) => typed.clone(),
        (true, _) if follows => String::new(),
        (true, _) => stands.map_or_else(String::new, |mm| written(mm, unit)),
    };
    let field = Control::new(NAMES[at], label, ControlKind::Stops(stops));
    Control {
        problem: refused.clone(),
        ..field.at(value).unit(print.length_unit())
    }
}

/// What comes of the packs that were set, beside the best move.
pub(super) fn told(of: &OnTheBench) -> Option<Section> {
    of.what_if.packs?;
    let blocks = match of.thought_of() {
        Some(own) => {
            let best = of.best().filter(|best| !std::ptr::eq(*best, own));
            let said = format!("{}{}.", of.to_do(own), super::tell::chances(own));
            vec![
                Block::Text(said),
                of.rows(std::iter::once(own).chain(best)).into(),
            ]
        }
        None => {
            let stands = of.answer.moves.iter().find(|one| one.accept)?;
            let said = format!(
                "These packs are fitted already{}.",
                super::tell::chances(stands)
            );
            vec![Block::Text(said), of.rows([stands]).into()]
        }
    };
    Some(Section::at("what-if", "What if I fit these?", blocks))
}
