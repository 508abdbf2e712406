//! The choices among what can be moved: what is renewed, habits, how the dial is held, how shims are made.

use shimcast_sim::axle::Condition;
use shimcast_sim::axle::shims::Thickness;

use super::Base;
use super::knob::{Kind, Knob, series_key, series_of};
use super::words::Part;
use crate::asking;
use crate::document::ControlKind;

/// Names in place of keys: whether gears and bearings are new or kept.
pub(super) const GEARS: &str = "gears";
/// The same.
pub(super) const BEARINGS: &str = "bearings";

/// What is sent, and what is shown.
type Options = Vec<(String, String)>;

/// What a file may say, and how that is put.
type Words = [(&'static str, &'static str)];

/// Habits that are a choice: the key, what it is called, and what there is to choose from where the
/// questions of a shop file do not say it.
const HABITS: [(&str, &str, &Words); 5] = [
    (
        "bench.pinion_start",
        "the first pinion pack comes from",
        &[],
    ),
    ("bench.side_start", "the first side packs come from", &[]),
    (
        "bench.correction",
        "a wrong pattern is corrected",
        &[
            ("measured", "by the move that the reading asks for"),
            ("halving", "by a fixed move, halved at each turn-back"),
        ],
    ),
    (
        "bench.side_check",
        "side preload is judged",
        &[
            ("shim rule", "by the shims added"),
            ("torque rise", "by the rise of the turning torque"),
        ],
    ),
    (
        "bench.bearing_heights",
        "heights of old and new bearings",
        &[
            ("ignored", "are not measured"),
            ("measured", "are measured, and the start corrected"),
        ],
    ),
];

/// Habits that are there or not.
const YES_OR_NO: [(&str, &str); 2] = [
    ("bench.learns", "learns from what its own moves did"),
    ("bench.setup_bearings", "set-up bearings for the trials"),
];

const DIAL: &str = "instruments.dial.indicator";
const MICROMETER: &str = "instruments.micrometer";
const NONE: &str = "none";

/// All choices of a job.
pub(super) fn choices(base: &Base) -> Vec<Knob> {
    let mut all = renewed(base);
    let habits = HABITS.into_iter().filter_map(|(key, label, options)| {
        let options = match options {
            [] => asking::options(key),
            own => own,
        };
        choice(base, Part::Work, key, label, owned(options))
    });
    all.extend(habits);
    let flags = YES_OR_NO.into_iter().filter_map(|(key, label)| {
        let own = base.value_of(key)?;
        let said = if own == "true" { "yes" } else { "no" };
        Some(Knob {
            kind: Kind::of_words(ControlKind::Tick),
            ..Knob::new(base, Part::Work, key, label, own.clone(), said.to_owned())
        })
    });
    all.extend(flags);
    let held = owned(asking::options(DIAL));
    all.extend(choice(
        base,
        Part::Instruments,
        DIAL,
        "the dial is held",
        held,
    ));
    all.push(micrometer(base));
    all.extend(strips(base));
    all
}

fn owned(options: &[(&str, &str)]) -> Options {
    let options = options.iter();
    options
        .map(|(sent, shown)| ((*sent).to_owned(), (*shown).to_owned()))
        .collect()
}

/// One of a few words of a file.
fn choice(base: &Base, part: Part, key: &str, label: &str, options: Options) -> Option<Knob> {
    let own = base.word_of(key)?;
    Some(one_of(base, part, key, label, own, options))
}

fn one_of(base: &Base, part: Part, key: &str, label: &str, own: String, options: Options) -> Knob {
    let shown = options.iter().find(|(sent, _)| *sent == own);
    let said = shown.map_or(&own, |(_, shown)| shown).clone();
    Knob {
        kind: Kind::of_words(ControlKind::Choice(options)),
        ..Knob::new(base, part, key, label, own, said)
    }
}

/// Whether gears and bearings are new or kept, which no file says.
fn renewed(base: &Base) -> Vec<Knob> {
    let of = [
        (GEARS, "gears", base.setup.gears),
        (BEARINGS, "bearings", base.setup.bearings),
    ];
    let words = [Condition::New, Condition::Kept].map(|of| (of.word(), of.word()));
    of.into_iter()
        .map(|(key, label, own)| {
            let own = own.word().to_owned();
            one_of(base, Part::Job, key, label, own, owned(&words))
        })
        .collect()
}

/// Whether shims are measured at all.
fn micrometer(base: &Base) -> Knob {
    let sigma = base.setup.shop.instruments.micrometer;
    let measured = base.value_of(MICROMETER);
    let measured = measured.filter(|value| sigma.is_some() && value.starts_with('{'));
    let measured = measured.unwrap_or_else(|| {
        // what a shop file in millimetres commonly says, in this one's unit
        let common = 0.003 / base.loaded.shop_units.length.mm();
        format!("{{ sigma = {common:.5} }}")
    });
    let own = match sigma {
        Some(_) => measured.clone(),
        None => NONE.to_owned(),
    };
    let options = [
        (measured.as_str(), "measured by micrometer"),
        (NONE, "taken by the size printed on them"),
    ];
    one_of(
        base,
        Part::Instruments,
        MICROMETER,
        "shims are",
        own,
        owned(&options),
    )
}

/// How closely the strip is rolled that the shims of this axle are made of.
fn strips(base: &Base) -> Vec<Knob> {
    let classes = ["normal", "fine", "precision"].map(|class| (class, class));
    let rolled = series_of(base).into_iter().filter_map(|series| {
        let Thickness::Strip(_) = series.tolerance else {
            return None;
        };
        let key = format!("{}.tol", series_key(base, series));
        let label = format!("strip that {} is made of", series.name);
        choice(base, Part::Shims, &key, &label, owned(&classes))
    });
    rolled.collect()
}
