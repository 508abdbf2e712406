//! Every key that the reader asks for, noted as it asks: what the key takes, in which unit, what holds
//! for it, and what is wrong with it.

use std::cell::RefCell;

use super::limits::Limits;
use super::load::{read_axle, read_shop};
use super::meanings::Meanings;
use super::measure::Quantity;
use super::notes::{Assumption, Notes};
use super::problem::{Problem, Problems};
use super::set::Override;
use super::tree::{Node, Value};
use super::{FileKind, LoadedShop, ShopFacts, Source, beside, load_shop};
use crate::units::{Length, Units};

/// What a key takes. Limits are in the units of its file.
#[derive(Debug, Clone, PartialEq)]
pub enum Takes {
    /// A figure.
    Figure(Quantity, Limits),
    /// A whole number from here to there.
    Whole(u32, u32),
    /// One of these words.
    Choice(Vec<&'static str>),
    /// One of these units, however it is spelt.
    Unit(Vec<&'static str>),
    /// Yes or no.
    Flag,
    /// Words.
    Words,
    /// As many figures as there are quantities, and what they are in order.
    Row(Vec<Quantity>, Limits, String),
    /// Figures in order, so many at the most.
    Figures(Quantity, Limits, usize),
    /// Figures in order, so many at the most, or a single one.
    Readings(Quantity, Limits, usize),
    /// Words in order.
    AllWords,
    /// A day of the calendar.
    Day,
    /// Names, each with a whole number from here to there.
    Counts(u32, u32),
    /// A figure, or one of these words.
    FigureOr(Quantity, Limits, Vec<&'static str>),
    /// A group that spreads a figure of this quantity: its nominal and how it varies.
    Tolerance(Quantity),
    /// A group of keys.
    Group,
    /// A group of keys, or this word in its place.
    GroupOr(&'static str),
    /// Groups of the same keys.
    Entries,
    /// Nothing: the key belongs to another kind of axle, and can only be taken out.
    Nothing,
}

impl Takes {
    /// One of the words that are matched.
    pub(super) fn of_words<T>(words: &[(&'static str, T)]) -> Self {
        Self::Choice(words.iter().map(|(word, _)| *word).collect())
    }

    /// One of the units that are matched.
    pub(super) fn of_units<T>(words: &[(&'static str, T)]) -> Self {
        Self::Unit(words.iter().map(|(word, _)| *word).collect())
    }

    /// Whether it is a group whose keys follow.
    pub fn is_group(&self) -> bool {
        let group = matches!(self, Self::Group | Self::GroupOr(_) | Self::Entries);
        group || matches!(self, Self::Tolerance(_))
    }

    /// Whether whatever the other takes is taken too.
    pub fn covers(&self, other: &Self) -> bool {
        use Takes::{Figure, Readings, Row};
        match (self, other) {
            (Figure(_, a), Figure(_, b)) => a.cover(*b),
            (Readings(_, a, most), Readings(_, b, fewer)) => a.cover(*b) && most >= fewer,
            (Row(all, a, _), Row(others, b, _)) => all.len() == others.len() && a.cover(*b),
            _ => self == other,
        }
    }

    /// What its figures measure, where it has any.
    pub fn quantity(&self) -> Option<Quantity> {
        match self {
            Self::Figure(q, _) | Self::Figures(q, ..) | Self::FigureOr(q, ..) => Some(*q),
            Self::Readings(q, ..) | Self::Tolerance(q) => Some(*q),
            Self::Row(all, ..) => all.first().copied(),
            _ => None,
        }
    }
}

/// A key as the reader asked for it.
#[derive(Debug, Clone)]
struct Asked {
    name: String,
    key: String,
    needed: bool,
    takes: Takes,
    units: Units,
}

/// What the reader has asked for.
#[derive(Debug, Default)]
pub(super) struct Record {
    asked: RefCell<Vec<Asked>>,
    unused: RefCell<Vec<(String, String)>>,
    /// How messages call the entry that is being read, and where it stands.
    entry: RefCell<Option<(String, String)>>,
}

impl Record {
    /// A key, unless it was noted before.
    pub(super) fn note(&self, name: String, needed: bool, takes: Takes, units: Units) {
        let key = self.key_of(&name);
        let mut asked = self.asked.borrow_mut();
        if asked.iter().all(|asked| asked.key != key) {
            asked.push(Asked {
                name,
                key,
                needed,
                takes,
                units,
            });
        }
    }

    /// A key that has no effect.
    pub(super) fn note_unused(&self, name: String, why: &str, units: Units) {
        self.note(name.clone(), false, Takes::Nothing, units);
        self.unused.borrow_mut().push((name, why.to_owned()));
    }

    /// Keys of an entry are read from now on.
    pub(super) fn enter(&self, name: &str, key: String) {
        self.entry.replace(Some((name.to_owned(), key)));
    }

    /// Where a key stands in its file: entries by their place from 1.
    fn key_of(&self, name: &str) -> String {
        let entry = self.entry.borrow();
        let inside = entry.as_ref().and_then(|(path, key)| {
            let rest = name.strip_prefix(path.as_str())?;
            (rest.is_empty() || rest.starts_with('.')).then(|| format!("{key}{rest}"))
        });
        inside.unwrap_or_else(|| name.to_owned())
    }
}

/// What a file states of a key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stated {
    /// As the file has it; of a group, nothing.
    pub written: String,
    /// As somebody would type it: words without quotes, figures with a space between.
    pub typed: String,
    /// The line where it stands, from 1.
    pub line: u32,
}

/// A default in use.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Assumed {
    /// As a file would state it, to the last bit.
    pub written: String,
    /// For people, with unit and reason: `33.97 mm (0.158 × ring diameter)`.
    pub shown: String,
    /// The key of the [`Assumption`] that it belongs to.
    pub assumption: String,
}

/// A key of a file, with all that is known of it.
#[derive(Debug, Clone)]
pub struct Described {
    /// Where it stands, dotted, entries by their place from 1: `shims.1.price`.
    pub key: String,
    /// What messages call it: `shims.P-38.price`.
    pub name: String,
    /// What it takes.
    pub takes: Takes,
    /// Whether the file means nothing without it.
    pub needed: bool,
    /// The unit of its figures; empty where it has none.
    pub unit: String,
    /// The units of the file, or of the entry that it belongs to.
    pub units: Units,
    /// What it means, in plain words.
    pub meaning: String,
    /// What else the full example file says of it; empty where it says no more.
    pub remark: String,
    /// What the file states.
    pub stated: Option<Stated>,
    /// What holds because the file does not state it.
    pub assumed: Option<Assumed>,
    /// Why it has no effect in this file, where it has none.
    pub unused: Option<String>,
    /// What is wrong with it.
    pub problems: Vec<Problem>,
}

/// A file, key by key.
#[derive(Debug, Clone)]
pub struct Description {
    /// Its keys in order, those of a group right behind it.
    pub keys: Vec<Described>,
    /// What is wrong and belongs to no key.
    pub problems: Vec<Problem>,
    /// What has no effect or looks odd.
    pub warnings: Vec<Problem>,
    /// Defaults in use that the file does not state.
    pub assumptions: Vec<Assumption>,
    /// Its units.
    pub units: Units,
}

impl Description {
    /// What is known of a key.
    pub fn of(&self, key: &str) -> Option<&Described> {
        self.keys.iter().find(|described| described.key == key)
    }
}

/// Describes an axle file beside its shop; without one, nobody asks whether its shims are there. What is
/// wrong with single keys is told at these.
///
/// # Errors
/// Where the file is no axle file, or no TOML.
pub fn describe_axle(source: &Source, shop: Option<&LoadedShop>) -> Result<Description, Problems> {
    describe_as(source, shop, &[])
}

/// The same with these keys in place of what the file says.
pub(super) fn describe_as(
    source: &Source,
    shop: Option<&LoadedShop>,
    set: &[Override],
) -> Result<Description, Problems> {
    let read = match shop {
        Some(shop) => read_axle(source, &beside(shop), set, true)?,
        None => {
            let stand_in = load_shop(&Source::BuiltIn, &[])?;
            let facts = ShopFacts {
                series: None,
                ..beside(&stand_in)
            };
            read_axle(source, &facts, set, true)?
        }
    };
    Ok(described(
        read.notes,
        &read.root,
        FileKind::Axle,
        read.units,
    ))
}

/// Describes a shop file, as [`describe_axle`] does an axle file.
///
/// # Errors
/// Where the file is no shop file, or no TOML.
pub fn describe_shop(source: &Source) -> Result<Description, Problems> {
    let read = read_shop(source, &[], true)?;
    Ok(described(
        read.notes,
        &read.root,
        FileKind::Shop,
        read.units,
    ))
}

/// What was noted of a file that was read.
pub(super) fn described(notes: Notes, root: &Node, kind: FileKind, units: Units) -> Description {
    let Notes {
        texts,
        problems,
        warnings,
        assumptions,
        currency,
        record,
        ..
    } = notes;
    let Record { asked, unused, .. } = record.unwrap_or_default();
    let (unused, assumptions) = (unused.into_inner(), assumptions.into_inner());
    let currency = currency.into_inner();
    let body = texts.first().map_or("", |text| &text.body);
    let meanings = Meanings::of(kind, units.length == Length::Inch);
    let asked = asked.into_inner();
    let of_tolerance = |key: &str| {
        let outer = key.rsplit_once('.').map(|(outer, _)| outer);
        let tolerance = |asked: &&Asked| matches!(asked.takes, Takes::Tolerance(_));
        asked
            .iter()
            .filter(tolerance)
            .any(|asked| Some(asked.key.as_str()) == outer)
    };
    let describe = |asked: &Asked| {
        let (meaning, remark) = meanings.of_key(&asked.key, of_tolerance(&asked.key));
        let node = node_at(root, &asked.key).filter(|node| node.place.text == 0);
        let unit = asked.takes.quantity();
        let why = unused.iter().find(|(name, _)| *name == asked.name);
        Described {
            key: asked.key.clone(),
            name: asked.name.clone(),
            takes: asked.takes.clone(),
            needed: asked.needed,
            unit: unit.map_or(String::new(), |q| q.unit_in(asked.units, &currency)),
            units: asked.units,
            meaning,
            remark,
            stated: node.map(|node| stated(node, body)),
            assumed: match node {
                Some(_) => None,
                None => assumptions
                    .iter()
                    .find_map(|assumption| assumed(assumption, asked, &currency)),
            },
            unused: why.map(|(_, why)| why.clone()),
            problems: Vec::new(),
        }
    };
    let mut keys: Vec<Described> = asked.iter().map(describe).collect();
    let problems = Problems(problems.into_inner()).tidied().0;
    let problems = placed(problems, &mut keys, root, body);
    Description {
        keys: in_groups(keys),
        problems,
        warnings: Problems(warnings.into_inner()).tidied().0,
        assumptions,
        units,
    }
}

/// The value of a key, entries and items by their place from 1.
fn node_at<'a>(root: &'a Node, key: &str) -> Option<&'a Node> {
    key.split('.')
        .try_fold(root, |node, part| match node.list() {
            Some(list) => list.get(part.parse::<usize>().ok()?.checked_sub(1)?),
            None => node.get(part),
        })
}

fn stated(node: &Node, body: &str) -> Stated {
    let group = matches!(&node.value, Value::Table(_));
    let written = body.get(node.place.start..node.place.end);
    let before = body.get(..node.place.start).unwrap_or_default();
    let written = written.filter(|_| !group).unwrap_or_default().to_owned();
    Stated {
        typed: typed(node, body),
        line: 1 + u32::try_from(before.matches('\n').count()).unwrap_or(u32::MAX),
        written,
    }
}

/// A value as somebody would type it.
fn typed(node: &Node, body: &str) -> String {
    match &node.value {
        Value::Text(text) => text.clone(),
        Value::List(items) => {
            let words = items.iter().any(|item| item.text().is_some());
            let items: Vec<String> = items.iter().map(|item| typed(item, body)).collect();
            items.join(if words { ", " } else { " " })
        }
        Value::Table(_) => String::new(),
        Value::Number { .. } | Value::Flag(_) | Value::Date(_) => {
            let written = body.get(node.place.start..node.place.end);
            written.unwrap_or_default().to_owned()
        }
    }
}

impl Assumption {
    /// The whole of what it says of its own key.
    pub(super) fn as_assumed(&self) -> Option<Assumed> {
        let shown = self.text.strip_prefix(&format!("{} = ", self.key))?;
        Some(Assumed {
            written: self.fill.first()?.1.clone(),
            shown: shown.to_owned(),
            assumption: self.key.clone(),
        })
    }
}

/// What an assumption says of a key: of itself, or of one inside it.
fn assumed(assumption: &Assumption, asked: &Asked, currency: &str) -> Option<Assumed> {
    let written = assumption.value_of(&asked.name)?;
    let own = format!("{} = ", asked.name);
    let shown = match assumption.text.strip_prefix(&own) {
        Some(shown) => shown.to_owned(),
        None => match (asked.takes.quantity(), written.parse::<f64>()) {
            (Some(q), Ok(figure)) => {
                q.told_with(figure, asked.units, &q.unit_in(asked.units, currency))
            }
            _ => written.trim_matches('"').to_owned(),
        },
    };
    Some(Assumed {
        written,
        shown,
        assumption: assumption.key.clone(),
    })
}

/// Gives each problem to its key, and returns those that belong to none.
fn placed(problems: Vec<Problem>, keys: &mut [Described], root: &Node, body: &str) -> Vec<Problem> {
    let spans: Vec<Option<(usize, usize)>> = keys
        .iter()
        .map(|described| {
            let node = node_at(root, &described.key)?;
            (node.place.text == 0).then_some((node.place.start, node.place.end))
        })
        .collect();
    let mut others = Vec::new();
    for problem in problems {
        let missing = problem.reason.strip_suffix(" is missing");
        let named = keys
            .iter()
            .position(|described| Some(described.name.as_str()) == missing);
        let around = || {
            let at = offset(body, &problem)?;
            let holds = |span: &(usize, usize)| (span.0..span.1).contains(&at);
            let spans = spans.iter().enumerate();
            let around = spans.filter_map(|(i, span)| Some((i, (*span).filter(holds)?)));
            let narrowest = around.min_by_key(|(_, (start, end))| end - start);
            narrowest.map(|(i, _)| i)
        };
        match named.or_else(around) {
            Some(at) => keys[at].problems.push(problem),
            None => others.push(problem),
        }
    }
    others
}

/// The byte at which a problem points; `None` where it means the file as a whole or another one.
fn offset(body: &str, problem: &Problem) -> Option<usize> {
    if problem.width == 0 || problem.line == 0 {
        return None;
    }
    let line = body.lines().nth(problem.line as usize - 1)?;
    if line.trim_end_matches('\r') != problem.source_line {
        return None;
    }
    let start = line.as_ptr() as usize - body.as_ptr() as usize;
    let mut chars = line.char_indices().map(|(at, _)| at);
    let column = chars.nth(problem.column as usize - 1);
    Some(start + column.unwrap_or(line.len()))
}

/// The keys in the order in which they were asked for, those of a group right behind it.
fn in_groups(keys: Vec<Described>) -> Vec<Described> {
    let outer = |key: &str| {
        key.rsplit_once('.')
            .map_or(String::new(), |(o, _)| o.to_owned())
    };
    let groups: Vec<String> = keys
        .iter()
        .filter(|described| described.takes.is_group())
        .map(|described| described.key.clone())
        .collect();
    let mut places: Vec<(Vec<usize>, Described)> = Vec::new();
    for (at, described) in keys.into_iter().enumerate() {
        let mut place = vec![at];
        let mut inside = outer(&described.key);
        while !inside.is_empty() {
            if groups.contains(&inside) {
                let found = places.iter().find(|(_, group)| group.key == inside);
                if let Some((around, _)) = found {
                    place = [around.as_slice(), &[at]].concat();
                    break;
                }
            }
            inside = outer(&inside);
        }
        places.push((place, described));
    }
    places.sort_by(|a, b| a.0.cmp(&b.0));
    places.into_iter().map(|(_, described)| described).collect()
}

#[cfg(test)]
mod tests;
