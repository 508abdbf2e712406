//! The shim series that a shop can buy, and the jobs that it expects.

use shimcast_sim::axle::Condition;
use shimcast_sim::axle::shims::{Series, StripClass, Thickness};
use shimcast_sim::shop::Job;

use super::describe::Takes;
use super::file_units::{LENGTHS, length};
use super::measure::Quantity;
use super::section::{FigureDefault, Limits, Section};
use super::supply::{Supply, supply};
use super::tree::{Node, Value, quoted};
use super::words::did_you_mean;
use crate::units::Units;

/// Most series, and most jobs.
const MOST_GROUPS: usize = 200;
/// Most thicknesses of one series.
const MOST_SIZES: usize = 60;
/// Most shims in one pack.
const MOST_IN_PACK: u32 = 8;
/// Most packs that one series may build: each is looked at for every wanted thickness.
const MOST_PACKS: f64 = 2e6;

/// The groups under `[[key]]`; empty where there are none or they are wrong.
fn groups<'a>(file: &Section<'a>, key: &'static str) -> &'a [Node] {
    file.takes(key, false, || Takes::Entries);
    let Some(node) = file.stated(key) else {
        return &[];
    };
    match node.list() {
        Some(list) => {
            for other in list.iter().filter(|n| !matches!(n.value, Value::Table(_))) {
                file.wrong(
                    other.place,
                    format!("{key} should be groups of keys; this is {}", other.kind()),
                    Some(format!("begin each with a line [[{key}]]")),
                );
            }
            if let Some(extra) = list.get(MOST_GROUPS) {
                file.wrong(
                    extra.place,
                    format!("there are more than {MOST_GROUPS} groups [[{key}]]"),
                    Some("take those out that are not needed".to_owned()),
                );
            }
            &list[..list.len().min(MOST_GROUPS)]
        }
        None => {
            file.wrong(
                node.place,
                format!("{key} should be groups of keys; this is {}", node.kind()),
                Some(format!(
                    "begin each with a line [[{key}]], in double brackets"
                )),
            );
            &[]
        }
    }
}

/// Those under `[[key]]` that are groups indeed, with their places in the list.
pub(super) fn tables<'a>(
    file: &Section<'a>,
    key: &'static str,
) -> impl Iterator<Item = (usize, &'a Node)> {
    groups(file, key)
        .iter()
        .enumerate()
        .filter(|(_, n)| matches!(n.value, Value::Table(_)))
}

/// The series of a shop file, each with where it is bought.
pub(super) fn series(file: &Section<'_>) -> Vec<(Series, Supply)> {
    let mut all: Vec<(Series, Supply)> = Vec::new();
    for (i, node) in tables(file, "shims") {
        // a series is called by its name, or by its number while it has none
        let called = node.get("series").and_then(Node::text).unwrap_or_default();
        let path = match called {
            "" => format!("shims.{}", i + 1),
            name if name.contains('.') => format!("shims.{}", quoted(name)),
            name => format!("shims.{name}"),
        };
        if let Some(record) = &file.notes.record {
            record.enter(&path, format!("shims.{}", i + 1));
            if node.place.text == 0 {
                record.note(path.clone(), false, Takes::Group, file.units);
            }
        }
        let mut s = Section::one_of(file.notes, file.units, path, node);
        s.takes("length", false, || Takes::of_units(&LENGTHS));
        if s.entry("length").is_some() {
            s.units = Units {
                length: length(&s),
                ..s.units
            };
        }
        let one = one_series(&s);
        let bought = supply(&s, &one);
        s.finish();
        if all
            .iter()
            .any(|(other, _)| !one.name.is_empty() && other.name == one.name)
        {
            let place = s.stated("series").map_or(node.place, |n| n.place);
            s.wrong(
                place,
                format!("there is a series `{}` already", one.name),
                Some("give each series a name of its own".to_owned()),
            );
        }
        all.push((one, bought));
    }
    all
}

fn one_series(s: &Section<'_>) -> Series {
    let instead = |figure| Some(FigureDefault::new(figure, "usual"));
    let name = s.text("series", "give the series a name, e.g. series = \"P-38\"");
    let sizes = s.sizes("sizes", MOST_SIZES);
    let series = Series {
        name,
        unit: s.units.length.mm(),
        price: s.number_or("price", Quantity::Money, Limits::AtLeast(0.0), instead(4.0)),
        pack_of: s.whole("pack_of", 1, 1000, Some(1)),
        tolerance: thickness(s),
        most_in_pack: s.whole("most_in_pack", 1, MOST_IN_PACK, Some(3)),
        spoiled: s.number_or("spoiled", Quantity::Plain, Limits::SHARE, instead(0.06)),
        sizes,
    };
    let packs = (1..=series.most_in_pack).fold(1.0, |n, k| {
        n * (series.sizes.len() as f64 + f64::from(k)) / f64::from(k)
    });
    if packs > MOST_PACKS {
        let place = s.stated("most_in_pack").map_or(s.place(), |n| n.place);
        s.wrong(
            place,
            format!(
                "{} sizes in packs of up to {} make {packs:.0} packs, too many to go through",
                series.sizes.len(),
                series.most_in_pack
            ),
            Some("give fewer sizes or a smaller most_in_pack".to_owned()),
        );
    }
    series
}

/// A strip class, or one limit for all sizes.
fn thickness(s: &Section<'_>) -> Thickness {
    const CLASSES: [(&str, StripClass); 3] = [
        ("normal", StripClass::Normal),
        ("fine", StripClass::Fine),
        ("precision", StripClass::Precision),
    ];
    s.takes("tol", false, || {
        Takes::FigureOr(
            Quantity::Length,
            Limits::AtLeast(0.0),
            CLASSES.map(|(word, _)| word).to_vec(),
        )
    });
    match s.stated("tol") {
        Some(node) if matches!(node.value, Value::Number { .. }) => {
            Thickness::Limit(s.required_number("tol", Quantity::Length, Limits::AtLeast(0.0)))
        }
        _ => Thickness::Strip(s.choice_or("tol", &CLASSES, Some("fine"))),
    }
}

/// The jobs of a shop file.
pub(super) fn jobs(file: &Section<'_>) -> Vec<Job> {
    let condition = [("new", Condition::New), ("kept", Condition::Kept)];
    tables(file, "jobs")
        .map(|(i, node)| {
            let path = format!("jobs.{}", i + 1);
            file.takes(&path, false, || Takes::Group);
            let s = Section::one_of(file.notes, file.units, path, node);
            let job = Job {
                axle: s.text(
                    "axle",
                    "name the axle file, e.g. axle = \"front.axle.toml\"",
                ),
                per_month: s.required_number("per_month", Quantity::Plain, Limits::Above(0.0)),
                gears: s.choice_or("gears", &condition, Some("new")),
                bearings: s.choice_or("bearings", &condition, Some("new")),
                job_fill: s.optional_number("job_fill", Quantity::Plain, Limits::Between(0.0, 1.0)),
            };
            s.finish();
            job
        })
        .collect()
}

/// What to say of a series that a shop does not have.
pub(super) fn no_such_series(name: &str, series: &[&str]) -> Option<String> {
    did_you_mean(name, series.iter().copied(), "it has")
        .or_else(|| Some("add it to the shop file under [[shims]]".to_owned()))
}
