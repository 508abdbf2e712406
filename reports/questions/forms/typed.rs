//! What was typed into the fields of a form, as changes of its file.

use crate::asking::figure::{Measure, figures, short_figures};
use crate::asking::typed::as_typed;
use crate::files::{Change, Described, Description, Quantity, Said, Takes};

use super::fields::{STAYS, is_entry};

/// What was typed, as far as it can be understood.
#[derive(Debug, Default)]
pub(super) struct Meant {
    /// Changes of the file.
    pub changes: Vec<Change>,
    /// What can't be understood, by key.
    pub wrong: Vec<(String, String)>,
}

/// What a field stands at while nobody has typed into it.
pub(super) fn as_it_is(of: &Described) -> &str {
    match &of.stated {
        Some(stated) => &stated.typed,
        None => "",
    }
}

/// The changes that are meant by what was typed, a key each.
pub(super) fn meant(
    description: &Description,
    blank: &[Described],
    typed: &[(String, String)],
) -> Meant {
    let mut meant = Meant::default();
    for (key, text) in typed {
        let text = text.trim();
        let of = description.of(key);
        let Some(of) = of.or_else(|| blank.iter().find(|of| of.key == *key)) else {
            let said = format!("the file has no key `{key}`, so nothing can be typed into it");
            meant.wrong.push((String::new(), said));
            continue;
        };
        if is_entry(of) {
            if text != STAYS {
                meant.changes.push(Change::TakeOut(key.clone()));
            }
            continue;
        }
        if text == as_it_is(of).trim() {
            continue;
        }
        if text.is_empty() {
            meant.changes.push(Change::TakeOut(key.clone()));
            continue;
        }
        match said(of, text) {
            Ok(said) => meant.changes.push(Change::State(key.clone(), said)),
            Err(why) => meant.wrong.push((key.clone(), why)),
        }
    }
    let rest = rest_of_spreads(description, &meant.changes);
    meant.changes.extend(rest);
    meant
}

/// Where a figure of a spread is changed that the file leaves out altogether, the rest of what was assumed
/// of that spread, so that it still holds.
fn rest_of_spreads(description: &Description, changes: &[Change]) -> Vec<Change> {
    let stated = |key: &str| {
        let mut changes = changes.iter();
        changes.any(|change| matches!(change, Change::State(changed, _) if changed == key))
    };
    let mut rest = Vec::new();
    let tolerances = description.keys.iter().filter(|of| {
        let tolerance = matches!(of.takes, Takes::Tolerance(_));
        tolerance && of.stated.is_none() && of.assumed.is_some()
    });
    for of in tolerances {
        let inside = |other: &&Described| {
            let inner = other.key.strip_prefix(of.key.as_str());
            let spreads = inner.and_then(|inner| inner.strip_prefix('.'));
            spreads.is_some_and(|inner| inner != "nominal") && other.assumed.is_some()
        };
        let spread: Vec<&Described> = description.keys.iter().filter(inside).collect();
        let way = |inner: &&&Described| {
            let ways = [".tol", ".minus", ".plus", ".sigma", ".cv"];
            ways.iter().any(|way| inner.key.ends_with(way))
        };
        if !spread.iter().filter(way).any(|inner| stated(&inner.key)) {
            continue;
        }
        let others = spread.into_iter().filter(|inner| !stated(&inner.key));
        rest.extend(others.filter_map(|inner| {
            let said = exactly(&inner.assumed.as_ref()?.written);
            Some(Change::State(inner.key.clone(), said))
        }));
    }
    rest
}

/// What is assumed of a spread, to the last bit.
fn exactly(written: &str) -> Said {
    match (written.parse(), written.parse()) {
        (Ok(flag), _) => Said::Flag(flag),
        (_, Ok(figure)) => Said::Figure(figure),
        _ => Said::Text(written.trim_matches('"').to_owned()),
    }
}

/// What a text means for a key.
///
/// # Errors
/// In words, where it means nothing.
fn said(of: &Described, text: &str) -> Result<Said, String> {
    let words = || Said::Text(text.to_owned());
    Ok(match &of.takes {
        Takes::Figure(q, _) => one(of, *q, text)?,
        Takes::Whole(..) => match text.parse() {
            Ok(whole) => Said::Whole(whole),
            Err(_) => one(of, Quantity::Plain, text)?,
        },
        Takes::Choice(_) | Takes::Unit(_) | Takes::Words | Takes::GroupOr(_) => words(),
        Takes::Day => words(),
        Takes::Flag => match text.to_lowercase().as_str() {
            "true" | "yes" => Said::Flag(true),
            "false" | "no" => Said::Flag(false),
            _ => return Err("yes or no is wanted".to_owned()),
        },
        Takes::Row(all, ..) => {
            let q = all.first().copied().unwrap_or(Quantity::Plain);
            several(of, q, text)?
        }
        Takes::Figures(q, ..) | Takes::Readings(q, ..) => several(of, *q, text)?,
        Takes::AllWords => {
            let all = text.split([',', ';']);
            Said::Words(all.map(|word| word.trim().to_owned()).collect())
        }
        Takes::FigureOr(q, _, all) => match one(of, *q, text) {
            Ok(figure) if !all.contains(&text) => figure,
            _ => words(),
        },
        Takes::Nothing => return Err(format!("{} can only be taken out here", of.name)),
        Takes::Tolerance(_) | Takes::Group | Takes::Entries | Takes::Counts(..) => {
            return Err(format!("{} is a group: fill in its own fields", of.name));
        }
    })
}

/// What people may say a figure of a quantity in.
fn measure(q: Quantity) -> Measure {
    match q {
        Quantity::Length | Quantity::Distance => Measure::Length,
        Quantity::Torque => Measure::Torque,
        _ => Measure::Plain,
    }
}

/// One figure, in the unit of the file.
fn one(of: &Described, q: Quantity, text: &str) -> Result<Said, String> {
    let text = without_unit(text, &of.unit);
    if measure(q) == Measure::Plain {
        let (bare, scale) = match text.strip_suffix('%').filter(|_| q == Quantity::Plain) {
            Some(bare) => (bare.trim(), 0.01),
            None => (text, 1.0),
        };
        let point = bare.replacen(',', ".", 1);
        if let Some(figure) = point.parse::<f64>().ok().filter(|x| x.is_finite()) {
            // 95 % is 0.95 to the last digit
            let share = format!("{:.12}", figure * scale).parse();
            let figure = share.ok().filter(|_| scale != 1.0).unwrap_or(figure);
            return Ok(as_typed(text, vec![figure], false));
        }
    }
    let all = heard(of, q, text)?;
    match all.len() {
        1 => Ok(as_typed(text, all, false)),
        more => Err(format!("one figure is wanted; these are {more}")),
    }
}

/// Figures in order, in the unit of the file; `5 to 9 thou` are two.
fn several(of: &Described, q: Quantity, text: &str) -> Result<Said, String> {
    let text = without_unit(text, &of.unit).replace(" to ", " ");
    Ok(as_typed(&text, heard(of, q, &text)?, true))
}

/// What steps and sizes are has to be known again in what is read: it keeps every digit.
const EXACT: [&str; 2] = [".step", ".sizes"];

fn heard(of: &Described, q: Quantity, text: &str) -> Result<Vec<f64>, String> {
    match EXACT.iter().any(|key| of.key.ends_with(key)) {
        true => figures(text, measure(q), of.units),
        false => short_figures(text, measure(q), of.units),
    }
}

/// A text without the unit of the file behind it.
fn without_unit<'a>(text: &'a str, unit: &str) -> &'a str {
    let bare = text.strip_suffix(unit).filter(|_| !unit.is_empty());
    bare.unwrap_or(text).trim_end()
}
