//! One key set from the command line.

use std::ops::Range;
use std::str::FromStr;

use toml::de::DeValue;

use super::problem::{Kind, Origin, Place, Problem, Text};
use super::section::{OWN_MARK, names_a_mark};
use super::tree::{Entry, Node, Value};
use super::words::did_you_mean;
use super::{BUILT_IN_AXLE, BUILT_IN_SHOP, syntax};

/// Which file a key belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// The axle file.
    Axle,
    /// The shop file.
    Shop,
}

/// First parts of the keys of each file.
const AXLE: [&str; 10] = [
    "gears",
    "housing",
    "carrier",
    "bearings",
    "pinion_shim",
    "side_shims",
    "pinion_preload",
    "side_preload",
    "as_built",
    "windows",
];
const SHOP: [&str; 8] = [
    "bench",
    "instruments",
    "minutes",
    "prices",
    "shims",
    "drawer",
    "jobs",
    "currency",
];

/// Which file a dotted key belongs to, by its first part, and that key without `axle.` or `shop.`.
pub(super) fn target(key: &str) -> Option<(Target, &str)> {
    if let Some(rest) = key.strip_prefix("axle.") {
        return Some((Target::Axle, rest));
    }
    if let Some(rest) = key.strip_prefix("shop.") {
        return Some((Target::Shop, rest));
    }
    let first = key.split('.').next().unwrap_or(key);
    if AXLE.contains(&first) {
        Some((Target::Axle, key))
    } else if SHOP.contains(&first) {
        Some((Target::Shop, key))
    } else {
        None
    }
}

/// One `--set KEY=VALUE`: a key of a file and the value that takes its place.
///
/// # Example
/// ```
/// use shimcast::files::Override;
/// let closer: Override = "housing.head_seat.tol=0.04".parse().unwrap();
/// assert_eq!(closer.key(), "housing.head_seat.tol");
/// assert!("housing.head_seat.tol".parse::<Override>().is_err());
/// ```
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Override {
    typed: String,
    key: Range<usize>,
    value: Range<usize>,
    /// The parts of the key without the file's prefix.
    parts: Vec<(String, Range<usize>)>,
    target: Target,
}

/// The groups of the built-in files that have this key.
fn homes(key: &str) -> Vec<String> {
    [BUILT_IN_AXLE, BUILT_IN_SHOP]
        .into_iter()
        .filter_map(|built_in| syntax::parse(&built_in.as_text(), 0).ok())
        .flat_map(|tree| tree.homes_of(key))
        .collect()
}

impl FromStr for Override {
    type Err = Problem;

    fn from_str(typed: &str) -> Result<Self, Problem> {
        let text = Text {
            origin: Origin::Set,
            body: typed.to_owned(),
        };
        let bad = |span: Range<usize>, reason: String, help: Option<String>| {
            text.problem(Kind::BadInput, span, reason, help)
        };
        let Some(equals) = typed.find('=') else {
            return Err(bad(
                0..typed.len(),
                "there is no `=` in it".to_owned(),
                Some("write KEY=VALUE, e.g. housing.head_seat.tol=0.04".to_owned()),
            ));
        };
        let key = trimmed(typed, 0..equals);
        let value = trimmed(typed, equals + 1..typed.len());
        let mut parts = split(typed, key.clone());
        if let Some((_, at)) = parts.iter().find(|(part, _)| part.is_empty()) {
            return Err(bad(
                at.clone(),
                "a part of the key is missing".to_owned(),
                Some("write KEY=VALUE, e.g. housing.head_seat.tol=0.04".to_owned()),
            ));
        }
        if value.is_empty() {
            return Err(bad(
                equals..equals + 1,
                "nothing follows the `=`".to_owned(),
                Some("write a value behind it".to_owned()),
            ));
        }
        let (first, first_at) = parts[0].clone();
        let named = match first.as_str() {
            "axle" => Some(Target::Axle),
            "shop" => Some(Target::Shop),
            _ => None,
        };
        let found = match named {
            Some(target) => {
                parts.remove(0);
                (!parts.is_empty()).then_some(target)
            }
            None => target(&first).map(|(target, _)| target),
        };
        let Some(target) = found else {
            let shared = ["name", "length", "torque"].contains(&first.as_str());
            let help = if shared {
                Some(format!("write axle.{first} or shop.{first}"))
            } else if names_a_mark(&first) && typed[value.clone()].parse::<f64>().is_ok() {
                Some(OWN_MARK.to_owned())
            } else {
                match &homes(&first)[..] {
                    [home] => Some(format!("did you mean `{home}.{first}`?")),
                    _ => did_you_mean(&first, AXLE.into_iter().chain(SHOP), "keys begin with"),
                }
            };
            let reason = if shared {
                format!("both files have a `{first}`")
            } else if named.is_some() {
                format!("a key must follow `{first}`")
            } else {
                format!("neither file has a `{first}`")
            };
            return Err(bad(first_at, reason, help));
        };
        Ok(Self {
            typed: typed.to_owned(),
            key,
            value,
            parts,
            target,
        })
    }
}

/// A place in a list of `many`: given counted from 1, returned counted from 0.
fn place_in(part: &str, many: usize) -> Option<usize> {
    let place: usize = part.parse().ok()?;
    (1..=many).contains(&place).then(|| place - 1)
}

fn trimmed(text: &str, span: Range<usize>) -> Range<usize> {
    let part = &text[span.clone()];
    let start = span.start + (part.len() - part.trim_start().len());
    start..start + part.trim().len()
}

/// The parts of a dotted key; dots inside quotes do not divide.
fn split(text: &str, key: Range<usize>) -> Vec<(String, Range<usize>)> {
    let mut parts = Vec::new();
    let mut start = key.start;
    let mut quote = None;
    for (i, c) in text[key.clone()].char_indices() {
        let at = key.start + i;
        match quote {
            Some(q) if c == q => quote = None,
            None if c == '"' || c == '\'' => quote = Some(c),
            None if c == '.' => {
                parts.push(start..at);
                start = at + 1;
            }
            _ => {}
        }
    }
    parts.push(start..key.end);
    parts
        .into_iter()
        .map(|span| {
            let span = trimmed(text, span);
            let part = &text[span.clone()];
            let bare = ['"', '\'']
                .iter()
                .find_map(|q| part.strip_prefix(*q)?.strip_suffix(*q))
                .unwrap_or(part);
            (bare.to_owned(), span)
        })
        .collect()
}

impl Override {
    /// All of it as typed.
    pub fn typed(&self) -> &str {
        &self.typed
    }

    /// The key as typed.
    pub fn key(&self) -> &str {
        &self.typed[self.key.clone()]
    }

    /// Whether both set the same key, however it was typed.
    pub fn same_key(&self, other: &Self) -> bool {
        self.target == other.target && self.path() == other.path()
    }

    /// The key inside its file, dotted.
    pub fn path(&self) -> String {
        let parts: Vec<&str> = self.parts.iter().map(|(part, _)| part.as_str()).collect();
        parts.join(".")
    }

    /// The value as typed.
    pub fn value(&self) -> &str {
        &self.typed[self.value.clone()]
    }

    /// The file that the key belongs to.
    pub fn target(&self) -> Target {
        self.target
    }

    /// Whether it sets this first part of a key as a whole.
    pub(super) fn replaces(&self, key: &str) -> bool {
        matches!(&self.parts[..], [(part, _)] if part == key)
    }

    pub(super) fn text(&self) -> Text {
        Text {
            origin: Origin::Set,
            body: self.typed.clone(),
        }
    }

    fn problem(&self, span: Range<usize>, reason: String, help: Option<String>) -> Problem {
        self.text().problem(Kind::BadInput, span, reason, help)
    }

    fn node(&self, text: usize) -> Result<Node, Problem> {
        let typed = self.value();
        let node = match DeValue::parse(typed) {
            Ok(value) => Node::of_value(&value, text, self.value.start),
            // a plain word needs no quotes here; a list, a group or a quote that went wrong does
            Err(_) if !typed.starts_with(['[', '{', '"', '\'']) => Node {
                place: Place::new(text, &self.value),
                value: Value::Text(typed.to_owned()),
            },
            Err(e) => {
                let form = "a list reads [1.70, 2.80], a group { nominal = 121.0, tol = 0.06 }";
                return Err(self.problem(
                    self.value.clone(),
                    format!("the value can't be read ({})", e.message()),
                    Some(form.to_owned()),
                ));
            }
        };
        match syntax::strange(&node, &self.text()).into_iter().next() {
            Some(strange) => Err(strange),
            None => Ok(node),
        }
    }

    /// The node of its key in a file's tree; `None` where the file has none.
    pub(super) fn find<'n>(&self, root: &'n mut Node) -> Option<&'n Node> {
        let mut node = root;
        for (i, (part, _)) in self.parts.iter().enumerate() {
            node = match &mut node.value {
                Value::Table(entries) => {
                    &mut entries.iter_mut().find(|entry| entry.key == *part)?.node
                }
                Value::List(items) => {
                    let groups = items.iter().any(|n| matches!(n.value, Value::Table(_)));
                    match place_in(part, items.len()) {
                        Some(place) if !groups => &mut items[place],
                        _ => self.pick(items, i).ok()?,
                    }
                }
                _ => return None,
            };
        }
        Some(node)
    }

    /// Puts the value into a file's tree; `text` is the number of this override's text.
    ///
    /// # Errors
    /// A problem where the key leads nowhere or the value can't be read.
    pub(super) fn apply(&self, root: &mut Node, text: usize) -> Result<(), Problem> {
        let value = self.node(text)?;
        let mut node = root;
        for (i, (part, span)) in self.parts.iter().enumerate() {
            let place = Place::new(text, span);
            let kind = node.kind();
            let (groups, item) = match &node.value {
                Value::List(items) => (
                    items.iter().any(|n| matches!(n.value, Value::Table(_))),
                    place_in(part, items.len()),
                ),
                _ => (false, None),
            };
            let plain_items = match &node.value {
                Value::List(items) if !groups => Some(items.len()),
                _ => None,
            };
            if item.is_some() && !groups {
                // what is wrong with the list from now on comes of this
                node.place = value.place;
            }
            node = match &mut node.value {
                Value::Table(entries) => {
                    let found = entries.iter().position(|e| e.key == *part);
                    if found.is_none() && i == 0 && part == "jobs" && self.parts.len() > 1 {
                        return Err(self.problem(
                            span.clone(),
                            "the shop file has no [[jobs]]".to_owned(),
                            Some("add them to the file first".to_owned()),
                        ));
                    }
                    let index = found.unwrap_or_else(|| {
                        entries.push(Entry {
                            key: part.clone(),
                            place,
                            node: Node {
                                place,
                                value: Value::Table(Vec::new()),
                            },
                        });
                        entries.len() - 1
                    });
                    let entry = &mut entries[index];
                    if i + 1 == self.parts.len() {
                        entry.place = place;
                    }
                    &mut entry.node
                }
                Value::List(items) if groups || item.is_some() => match item {
                    // an item of a plain list by its place, from 1
                    Some(place) if !groups => &mut items[place],
                    _ => self.pick(items, i)?,
                },
                _ => {
                    let whole = &self.parts[i - 1].0;
                    let help = match plain_items {
                        Some(items) => {
                            format!("its items are 1 to {items}; or set `{whole}` as a whole")
                        }
                        None => format!("set `{whole}` as a whole"),
                    };
                    return Err(self.problem(
                        span.clone(),
                        format!("`{whole}` is {kind}: it has no `{part}`"),
                        Some(help),
                    ));
                }
            };
        }
        *node = value;
        Ok(())
    }

    /// One of several groups of the same name: by its series, or by its number from 1.
    fn pick<'n>(&self, items: &'n mut [Node], part: usize) -> Result<&'n mut Node, Problem> {
        let (word, span) = &self.parts[part];
        let names: Vec<String> = items
            .iter()
            .filter_map(|n| n.get("series")?.text().map(str::to_owned))
            .collect();
        let count = items.len();
        let found = items
            .iter()
            .position(|n| n.get("series").and_then(Node::text) == Some(word.as_str()))
            .or_else(|| {
                let number = word.parse::<usize>().ok()?;
                (1..=count).contains(&number).then(|| number - 1)
            });
        match found {
            Some(index) => Ok(&mut items[index]),
            None if names.is_empty() => Err(self.problem(
                span.clone(),
                format!("there is no number {word} among {count}"),
                Some(format!("count them from 1 to {count}")),
            )),
            None => Err(self.problem(
                span.clone(),
                format!("the shop has no series `{word}`"),
                did_you_mean(word, names.iter().map(String::as_str), "it has"),
            )),
        }
    }
}
