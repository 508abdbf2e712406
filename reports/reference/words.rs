//! What is said of a key, in the schema and in the reference.

use crate::files::{Assumed, FileKind, KnownKey, Quantity, Takes};
use crate::units::Units;

/// What a kind of file is called, and what it holds.
pub fn of_file(kind: FileKind) -> (&'static str, &'static str) {
    match kind {
        FileKind::Axle => (
            "Axle file",
            "One axle family: its parts, how much each of them varies, and the windows to land in.",
        ),
        FileKind::Shop => (
            "Shop file",
            "One workshop: its habits, instruments, minutes and prices, the shims that it can buy, the jobs that it \
             expects.",
        ),
        FileKind::Job => (
            "Job file",
            "One axle on the bench: what is known of it, what was fitted and read, how it ended.",
        ),
        FileKind::Counts | FileKind::Table => ("Table", "Figures in columns."),
    }
}

/// A key in a line, with its default where that is wanted.
pub fn explained(known: &KnownKey, with_default: bool) -> String {
    let unit = unit(&known.of.takes);
    let unit = match unit.is_empty() {
        true => unit,
        false => format!("in {unit}"),
    };
    let assumed = known.of.assumed.as_ref().filter(|_| with_default);
    let assumed = assumed.map_or(String::new(), |assumed| {
        let size = match by_axle(assumed) {
            true => "with a ring gear of 200 mm ",
            false => "",
        };
        format!("left out: {size}{}", shown(assumed))
    });
    joined(&[meaning(known), unit, limits(known), assumed])
}

/// What a key means, with what the examples say beside it.
pub fn meaning(known: &KnownKey) -> String {
    let of = &known.of;
    let order = match &of.takes {
        Takes::Row(_, _, order) => order.as_str(),
        _ => "",
    };
    let mut said = of.meaning.clone();
    for more in [of.remark.as_str(), order] {
        // nothing is said twice
        let new = |word: &str| !word.is_empty() && !said.contains(word) && word != unit(&of.takes);
        if more.split([' ', ',', ';']).any(new) {
            said = joined(&[said.as_str(), more]);
        }
    }
    said
}

/// A default for people, without what its source says.
pub fn shown(assumed: &Assumed) -> String {
    let shown = assumed.shown.replace("built-in, scaled", "scaled");
    let shown = shown.replace("; spread: built-in", "");
    let shown = shown.trim_end_matches(" (built-in)");
    shown.trim_end_matches(" (usual)").to_owned()
}

/// Whether a default depends on the axle's other figures.
pub fn by_axle(assumed: &Assumed) -> bool {
    let of = [
        "ring diameter",
        "closes the",
        "half of",
        "side_preload_added",
    ];
    of.iter().any(|of| assumed.shown.contains(of))
}

/// The unit of a key's figures in files of either kind of units; empty where it has none.
pub fn unit(takes: &Takes) -> String {
    let measured = takes.quantity().filter(|quantity| !quantity.is_plain());
    measured.map_or(String::new(), |quantity| {
        match quantity {
            Quantity::Length | Quantity::Distance => "mm or in",
            Quantity::PerLength => "per mm or in",
            Quantity::Torque => "N·m or lbf·in",
            Quantity::Money => "currency",
            other => return other.unit(Units::MODEL),
        }
        .to_owned()
    })
}

/// The limits of a key's figures; empty where there are none.
pub fn limits(known: &KnownKey) -> String {
    let mut all: Vec<String> = known.ways().into_iter().map(within).collect();
    all.retain(|limits| !limits.is_empty());
    all.join(" or ")
}

fn within(takes: &Takes) -> String {
    match takes {
        Takes::Figure(_, limits)
        | Takes::Row(_, limits, _)
        | Takes::Figures(_, limits, _)
        | Takes::Readings(_, limits, _)
        | Takes::FigureOr(_, limits, _) => limits.told_whole(),
        Takes::Whole(low, high) | Takes::Counts(low, high) => format!("{low} to {high}"),
        _ => String::new(),
    }
}

/// Those parts that say anything.
pub fn joined<T: AsRef<str>>(parts: &[T]) -> String {
    let parts = parts
        .iter()
        .map(AsRef::as_ref)
        .filter(|part| !part.is_empty());
    parts.collect::<Vec<&str>>().join("; ")
}
