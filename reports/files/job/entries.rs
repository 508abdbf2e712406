//! The entries of a job file: what was fitted, and what was read of it.

use shimcast_sim::axle::Condition;
use shimcast_sim::next::Fitted;

use super::{Fits, most};
use crate::files::describe::Takes;
use crate::files::measure::Quantity;
use crate::files::section::{Limits, Section};
use crate::files::stock::tables;
use crate::files::tree::quoted;

/// Most readings of one kind in an entry.
const MOST_READINGS: usize = 200;
/// What an assembly stands on, as files write it.
const BEARINGS: [(&str, bool); 2] = [("set-up bearings", true), ("real bearings", false)];

/// Every entry in order; whatever is wrong is noted.
pub(super) fn read(file: &Section<'_>, fits: &Fits, bearings: Condition) -> Vec<Fitted> {
    let mut all: Vec<Fitted> = Vec::new();
    for (i, node) in tables(file, "assemblies") {
        let path = format!("assemblies.{}", i + 1);
        file.takes(&path, false, || Takes::Group);
        let s = Section::one_of(file.notes, file.units, path, node);
        let entry = one(&s, fits, bearings, &all);
        s.finish();
        all.push(entry);
    }
    all
}

fn one(s: &Section<'_>, fits: &Fits, bearings: Condition, before: &[Fitted]) -> Fitted {
    let travel = match fits.adjusters {
        true => most::either_way(s),
        false => most::pack(s),
    };
    let side = |key| s.required_number(key, Quantity::Length, travel);
    let share = |key| s.optional_number(key, Quantity::Plain, Limits::Within(-1.0, 1.0));
    let list = |key, q, limits| s.optional_list(key, q, limits, MOST_READINGS);
    let entry = Fitted {
        on_setup_bearings: on_setup_bearings(s, fits, bearings, before),
        zero_total: s.optional_number("zero_total", Quantity::Length, travel),
        pinion: s.required_number("pinion", Quantity::Length, most::pack(s)),
        ring: side("ring"),
        far: side("far"),
        reseated: s.optional_flag("reseated"),
        other_tooth: s.optional_flag("other_tooth"),
        backlash: list("backlash", Quantity::Length, most::backlash(s)),
        drive: share("drive"),
        coast: share("coast"),
        rise: s.optional_number("rise", Quantity::Torque, Limits::Any),
        preload: list("preload", Quantity::Length, most::pack(s)),
        torque: list("torque", Quantity::Torque, most::torque(s)),
    };
    preload(s, fits, &entry);
    if fits.adjusters && before.is_empty() {
        first_travel(s, &entry);
    }
    if before.is_empty() {
        s.ignore(
            &["other_tooth"],
            "nothing was read before the first assembly",
        );
    }
    entry
}

/// What it stands on; left out, by how the shop works and what came before.
fn on_setup_bearings(s: &Section<'_>, fits: &Fits, bearings: Condition, before: &[Fitted]) -> bool {
    s.takes("on", false, || Takes::of_words(&BEARINGS));
    let Some(node) = s.stated("on") else {
        let trial = fits.setup_bearings
            && bearings == Condition::New
            && before.iter().all(|entry| entry.on_setup_bearings);
        let word = |on: bool| quoted(BEARINGS[usize::from(!on)].0);
        let why = "as the shop works";
        s.assume_among("on", &word(trial), word(trial), why, vec![word(!trial)]);
        return trial;
    };
    let on = s.choice_or("on", &BEARINGS, None);
    if on && node.text() == Some(BEARINGS[0].0) && bearings == Condition::Kept {
        s.wrong(
            node.place,
            format!(
                "{} can't be \"set-up bearings\": the bearings are kept",
                s.name("on")
            ),
            Some("write on = \"real bearings\", or bearings = \"new\" at the top".to_owned()),
        );
    }
    on
}

/// Preload is set and read on real bearings, with packs beside a spacer and without beside a sleeve.
fn preload(s: &Section<'_>, fits: &Fits, entry: &Fitted) {
    let [packs, torque] = ["preload", "torque"].map(|key| (key, s.stated(key)));
    if entry.on_setup_bearings {
        for (key, node) in [packs, torque] {
            if let Some(node) = node {
                s.wrong(
                    node.place,
                    format!(
                        "{} belongs to real bearings; this entry is on set-up bearings",
                        s.name(key)
                    ),
                    Some("take it out, or write on = \"real bearings\"".to_owned()),
                );
            }
        }
        return;
    }
    match (packs.1, torque.1) {
        (Some(node), _) if fits.sleeve => s.wrong(
            node.place,
            format!(
                "{} names packs beside a spacer; this axle has a crush sleeve",
                s.name("preload")
            ),
            Some("take it out; torque is what was read after each turn of the nut".to_owned()),
        ),
        (None, Some(node)) if fits.spacer => s.wrong(
            node.place,
            format!(
                "{} does not say with which packs it was read",
                s.name("torque")
            ),
            Some(
                "add preload: the pack beside the spacer at each reading, in the same order"
                    .to_owned(),
            ),
        ),
        (Some(_), Some(node)) if entry.preload.len() != entry.torque.len() => s.wrong(
            node.place,
            format!(
                "{} has {} figures and {} has {}",
                s.name("torque"),
                entry.torque.len(),
                s.name("preload"),
                entry.preload.len()
            ),
            Some("give one torque for each pack, in the same order".to_owned()),
        ),
        _ => {}
    }
}

/// The travel of adjusters is counted from the first entry, where it is nought.
fn first_travel(s: &Section<'_>, entry: &Fitted) {
    for (key, travel) in [("ring", entry.ring), ("far", entry.far)] {
        if let Some(node) = s.stated(key)
            && travel.abs() > 1e-9
        {
            s.wrong(
                node.place,
                format!(
                    "{} counts the travel from where the adjusters stood at the first entry, so here it is 0",
                    s.name(key)
                ),
                Some(format!("write {key} = 0.0; later entries count from there, + inwards")),
            );
        }
    }
}
