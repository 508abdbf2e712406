//! Every key of the files as a document, which reads as it is and on a page alike.

use unicode_width::UnicodeWidthStr;

use super::words::{joined, limits, meaning, of_file, shown, unit};
use crate::files::{FileKind, KnownKey, Switch, Takes, basis, every_kind, united};
use crate::units::Units;

/// What stands above the tables.
const HEAD: &str = "\
# Every key of the files

Written by `shimcast generate reference`, from what the program reads; the tests keep it current.

- **Units.** Figures and defaults here are in mm and N·m. A file says with `length` and `torque` whether its own
  are in mm or inches, in N·m or lbf·in; defaults are the same sizes in either, but for `gears.mark.step`, which is
  0.001 in where a file is in inches. A job file is in the units of its axle file, a series of shims in its own
  `length`. Limits are those of figures in the file's own units; a job file's are told for mm and N·m.
- **Left out.** What holds where a file does not state the key. What depends on the size of the axle is given for a
  ring gear of 200 mm. Prices are the same figure in every currency. Nothing: no figure takes its place.
- **Source** of what holds then. *published*: the limits are those of the standard that is named, its class and all
  else are assumed. *worked out*: it follows from other keys. *assumed*: plausible, to replace with your own figure.
  No default was measured. A dash: there is none, it is for you to state.

The axle's own service manual rules over any figure here.
";

const COLUMNS: [&str; 7] = [
    "key", "takes", "unit", "limits", "left out", "source", "meaning",
];

type Row = [String; 7];

/// The whole document.
pub fn reference() -> String {
    let mut text = HEAD.to_owned();
    for kind in [FileKind::Axle, FileKind::Shop, FileKind::Job] {
        let (called, about) = of_file(kind);
        text.push_str(&format!("\n## {called}\n\n{about}\n"));
        let kinds = every_kind(kind, Units::MODEL);
        let switches: Vec<Option<Switch>> = kinds.iter().map(|(switch, _)| *switch).collect();
        let keys = united(&kinds);
        let all: Vec<&KnownKey> = keys
            .iter()
            .filter(|known| !in_tolerance(known, &keys))
            .collect();
        let (top, below): (Vec<&KnownKey>, Vec<&KnownKey>) = all
            .into_iter()
            .partition(|known| !known.of.key.contains('.') && !known.of.takes.is_group());
        let file = (&keys[..], &switches[..]);
        text.push_str(&table(&rows(&top, "", file)));
        let groups = below.iter().filter(|known| !known.of.key.contains('.'));
        for group in groups {
            let (name, inside) = match group.of.takes {
                Takes::Entries => (
                    format!("[[{}]]", group.of.key),
                    format!("{}.1.", group.of.key),
                ),
                _ => (format!("[{}]", group.of.key), format!("{}.", group.of.key)),
            };
            text.push_str(&format!("\n### {name}\n\n{}.\n", begun(&meaning(group))));
            if let (Some(assumed), Some((basis, _))) = (&group.of.assumed, basis(&group.of.key)) {
                let whole = shown(assumed);
                text.push_str(&format!(
                    "Left out altogether: {whole}; {}.\n",
                    basis.word()
                ));
            }
            let inner: Vec<&KnownKey> = below
                .iter()
                .filter(|known| known.of.key.starts_with(&inside))
                .copied()
                .collect();
            text.push_str(&table(&rows(&inner, &inside, file)));
        }
        if kind == FileKind::Axle {
            text.push_str(&tolerances(&keys));
        }
    }
    text
}

/// Whether a key belongs to a tolerance, all of which have the same.
fn in_tolerance(known: &KnownKey, keys: &[KnownKey]) -> bool {
    let outer = known.of.key.rsplit_once('.').map(|(outer, _)| outer);
    let mut tolerances = keys
        .iter()
        .filter(|of| matches!(of.of.takes, Takes::Tolerance(_)));
    tolerances.any(|of| Some(of.of.key.as_str()) == outer)
}

/// The keys that every tolerance has.
fn tolerances(keys: &[KnownKey]) -> String {
    let first = keys
        .iter()
        .find(|known| matches!(known.of.takes, Takes::Tolerance(_)));
    let inside = first.map_or(String::new(), |known| format!("{}.", known.of.key));
    let inner = keys
        .iter()
        .filter(|known| known.of.key.starts_with(&inside));
    let row = |known: &KnownKey| {
        let own =
            matches!(known.of.takes, Takes::Figure(q, _) | Takes::Figures(q, ..) if !q.is_plain());
        let unit = if own { "the key's" } else { "" };
        let limits = match known.of.key.ends_with(".nominal") {
            true => "the key's".to_owned(),
            false => limits(known),
        };
        let meaning = meaning(known);
        [
            named(&known.of.key[inside.len()..]),
            taken(&known.of.takes),
            unit.to_owned(),
            limits,
            "nothing".to_owned(),
            "-".to_owned(),
            joined(&[meaning.clone(), words(&known.of.takes, &meaning)]),
        ]
    };
    let rows: Vec<Row> = inner.map(row).collect();
    format!(
        "\n### Tolerances\n\nA tolerance is a group of its own, such as `{{ nominal = 121.0, tol = 0.06 }}`: a nominal \
         (0 where it is left out of an\nerror or a deviation), one way of saying how it spreads, and a shape. One of \
         `tol`, `minus` with `plus`, `sigma`,\n`cv`, `values` and `from` says how it spreads.\n{}",
        table(&rows)
    )
}

/// The rows of some keys of a file, named from their group on; all keys of the file, and what makes its
/// kinds, are beside them.
fn rows(
    some: &[&KnownKey],
    inside: &str,
    (keys, switches): (&[KnownKey], &[Option<Switch>]),
) -> Vec<Row> {
    let row = |known: &&KnownKey| {
        let (key, takes) = (&known.of.key, &known.of.takes);
        let meaning = meaning(known);
        let name = key.strip_prefix(inside).unwrap_or(key);
        let (left_out, source) = left_out(known, switches);
        [
            named(name),
            taken(takes),
            unit(takes),
            limits_among(known, keys),
            left_out,
            source,
            joined(&[meaning.clone(), words(takes, &meaning)]),
        ]
    };
    some.iter().map(row).collect()
}

/// The limits of a key's figures; of a tolerance, those of its nominal.
fn limits_among(known: &KnownKey, keys: &[KnownKey]) -> String {
    if !matches!(known.of.takes, Takes::Tolerance(_)) {
        return limits(known);
    }
    let nominal = format!("{}.nominal", known.of.key);
    let nominal = keys.iter().find(|known| known.of.key == nominal);
    let limits = nominal.map_or(String::new(), limits);
    match limits.is_empty() {
        true => limits,
        false => format!("nominal {limits}"),
    }
}

/// What holds where a key is left out, and what that rests on.
fn left_out(known: &KnownKey, switches: &[Option<Switch>]) -> (String, String) {
    let nobody = || "-".to_owned();
    let stated: Vec<bool> = known
        .in_kinds
        .iter()
        .flatten()
        .map(|(_, needed)| *needed)
        .collect();
    if stated.iter().all(|needed| *needed) {
        return ("must be given".to_owned(), nobody());
    }
    // usual kinds come first, one that a word makes after them
    let by_word = |wanted: bool| {
        let kinds = switches.iter().zip(&known.in_kinds);
        let mut found = kinds.filter_map(|(switch, asked)| {
            let (takes, needed) = asked.as_ref()?;
            (*needed == wanted || (!wanted && *takes == Takes::Nothing)).then_some((*switch)?)
        });
        found
            .next()
            .map(|(key, word)| format!("`{key} = \"{word}\"`"))
    };
    if stated[0]
        && let Some(but) = by_word(false)
    {
        return (format!("must be given, not with {but}"), nobody());
    }
    if let Some(with) = by_word(true) {
        return (format!("must be given with {with}"), nobody());
    }
    match (&known.of.assumed, basis(&known.of.key)) {
        (Some(assumed), Some((basis, note))) => {
            let source = match (basis, note) {
                (basis, "") => basis.word().to_owned(),
                (basis, note) => format!("{}: {note}", basis.word()),
            };
            (shown(assumed), source)
        }
        _ if known.of.takes.is_group() => (String::new(), String::new()),
        _ => ("nothing".to_owned(), nobody()),
    }
}

/// A sentence with a capital letter.
fn begun(sentence: &str) -> String {
    let mut chars = sentence.chars();
    let first = chars.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + chars.as_str()
}

/// The words that a key takes, where they are not named already.
fn words(takes: &Takes, said: &str) -> String {
    let (Takes::Choice(words) | Takes::Unit(words) | Takes::FigureOr(_, _, words)) = takes else {
        return String::new();
    };
    let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
    match quoted.iter().all(|word| said.contains(word)) {
        true => String::new(),
        false => quoted.join(", "),
    }
}

fn taken(takes: &Takes) -> String {
    let words = match takes {
        Takes::Figure(..) => "figure",
        Takes::Whole(..) => "whole number",
        Takes::Choice(_) | Takes::Unit(_) => "word",
        Takes::Flag => "true or false",
        Takes::Words => "text",
        Takes::Row(all, ..) => return format!("{} figures", all.len()),
        Takes::Figures(..) => "figures",
        Takes::Readings(..) => "figure or figures",
        Takes::AllWords => "texts",
        Takes::Day => "day",
        Takes::Counts(..) => "whole numbers by name",
        Takes::FigureOr(..) => "figure or word",
        Takes::Tolerance(_) => "tolerance",
        Takes::Group => "group",
        Takes::GroupOr(word) => return format!("group or \"{word}\""),
        Takes::Entries => "groups",
        Takes::Nothing => "",
    };
    words.to_owned()
}

/// A key as a file writes it.
fn named(key: &str) -> String {
    let part = |part: &str| match part.contains(' ') {
        true => format!("\"{part}\""),
        false => part.to_owned(),
    };
    let parts: Vec<String> = key.split('.').map(part).collect();
    format!("`{}`", parts.join("."))
}

/// A table whose columns stand below each other, the last one as wide as it comes.
fn table(rows: &[Row]) -> String {
    let head = COLUMNS.map(str::to_owned);
    let cell = |text: &str| text.replace('|', "\\|");
    let all: Vec<Row> = std::iter::once(&head)
        .chain(rows)
        .map(|row| row.each_ref().map(|text| cell(text)))
        .collect();
    let last = COLUMNS.len() - 1;
    let widths: Vec<usize> = (0..last)
        .map(|column| all.iter().map(|row| row[column].width()).max().unwrap_or(0))
        .collect();
    let line = |row: &Row| {
        let mut line = String::from("|");
        for (text, width) in row.iter().zip(&widths) {
            line.push_str(&format!(" {text}{} |", " ".repeat(width - text.width())));
        }
        format!("{line} {} |\n", row[last])
    };
    let rule: String = widths
        .iter()
        .map(|width| format!("{}|", "-".repeat(width + 2)))
        .collect();
    let mut lines = all.iter().map(line);
    let head = lines.next().unwrap_or_default();
    format!("\n{head}|{rule}---|\n{}", lines.collect::<String>())
}
