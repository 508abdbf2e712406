//! A group of keys, read one key at a time.
//!
//! What a file leaves out comes from the same group of the built-in file and is noted as an
//! assumption. A value that is wrong is noted as a problem and read as NaN or some other stand-in,
//! so that one pass finds everything that is wrong.

use std::cell::RefCell;

use super::describe::Takes;
pub(super) use super::limits::Limits;
use super::measure::{Quantity, short, show, written};
use super::notes::{Assumption, MOST_PROBLEMS, Notes};
use super::problem::Place;
use super::ranges::Typed;
use super::tree::{Entry, Node, Value};
use super::words::nearest;
use crate::units::Units;

/// Why a figure of the built-in file is used.
pub(super) const BUILT_IN: &str = "built-in";
/// No figure of any axle or shop is larger.
pub const LARGEST: f64 = 1e9;

/// The default of a left-out figure, in the model's units, and why it is that.
#[derive(Debug, Clone)]
pub(super) struct FigureDefault {
    pub figure: f64,
    pub why: String,
}

impl FigureDefault {
    pub(super) fn new(figure: f64, why: impl Into<String>) -> Self {
        Self {
            figure,
            why: why.into(),
        }
    }
}

/// A group of keys of one file.
pub(super) struct Section<'a> {
    pub notes: &'a Notes,
    pub units: Units,
    /// The dotted key of this group; empty for the whole file.
    pub path: String,
    given: Option<&'a Node>,
    /// Where a key that is missing would be.
    place: Place,
    usual: Option<&'a Node>,
    asked: RefCell<Vec<&'static str>>,
    /// The group itself was wrong: nothing more is said about its keys.
    silent: bool,
}

impl<'a> Section<'a> {
    /// A file as a whole, with the built-in file beside it.
    pub(super) fn file(
        notes: &'a Notes,
        units: Units,
        root: &'a Node,
        usual: Option<&'a Node>,
    ) -> Self {
        Self::of(notes, units, String::new(), Some(root), root.place, usual)
    }

    /// One group of a list of groups.
    pub(super) fn one_of(notes: &'a Notes, units: Units, path: String, node: &'a Node) -> Self {
        Self::of(notes, units, path, Some(node), node.place, None)
    }

    fn of(
        notes: &'a Notes,
        units: Units,
        path: String,
        given: Option<&'a Node>,
        place: Place,
        usual: Option<&'a Node>,
    ) -> Self {
        Self {
            notes,
            units,
            path,
            given,
            place,
            usual,
            asked: RefCell::default(),
            silent: false,
        }
    }

    /// The group under a key.
    pub(super) fn sub(&self, key: &'static str) -> Self {
        self.takes(key, false, || Takes::Group);
        let entry = self.entry(key);
        let mut sub = Self::of(
            self.notes,
            self.units,
            self.name(key),
            entry.map(|e| &e.node),
            entry.map_or(self.place, |e| e.place),
            self.usual_of(key),
        );
        sub.silent = self.silent;
        if let Some(node) = sub.given {
            if matches!(node.value, Value::Table(_)) {
                // the header of a group says more than the place of its first key
                sub.place = node.place;
            } else {
                // a group of groups is too long to be shown
                let example = match self.usual_of(key) {
                    _ if key == "mark" => Some(OWN_MARK.to_owned()),
                    Some(n) if n.holds_groups() => Some(format!(
                        "begin it with a line [{}], its keys below",
                        self.name(key)
                    )),
                    Some(n) => Some(format!("write {key} = {}", n.written())),
                    None => None,
                };
                self.wrong(
                    node.place,
                    format!(
                        "{} should be a group of keys; this is {}",
                        sub.path,
                        node.kind()
                    ),
                    example,
                );
                sub.given = None;
                sub.silent = true;
            }
        }
        sub
    }

    /// Notes what a key takes, where that is asked for, and whether a file must state it. What the
    /// built-in file lends to this one is no part of it.
    pub(super) fn takes(&self, key: &str, needed: bool, takes: impl FnOnce() -> Takes) {
        if let Some(record) = &self.notes.record
            && self.place.text == 0
        {
            record.note(self.name(key), needed, takes(), self.units);
        }
    }

    /// The unit printed behind a figure.
    pub(super) fn unit(&self, q: Quantity) -> String {
        q.unit_in(self.units, &self.notes.currency.borrow())
    }

    /// The dotted name of a key.
    pub(super) fn name(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    /// Whether the file has this group.
    pub(super) fn is_given(&self) -> bool {
        self.given.is_some()
    }

    /// The place of this group.
    pub(super) fn place(&self) -> Place {
        self.place
    }

    /// The same group of the built-in file.
    pub(super) fn usual(&self) -> Option<&'a Node> {
        self.usual
    }

    pub(super) fn usual_of(&self, key: &str) -> Option<&'a Node> {
        self.usual.and_then(|n| n.get(key))
    }

    /// The entry of a key, which is now known.
    pub(super) fn entry(&self, key: &'static str) -> Option<&'a Entry> {
        self.asked.borrow_mut().push(key);
        self.given.and_then(|n| n.entry(key))
    }

    /// The value of a key, which is now known.
    pub(super) fn stated(&self, key: &'static str) -> Option<&'a Node> {
        self.entry(key).map(|e| &e.node)
    }

    /// Notes a flaw.
    pub(super) fn wrong(&self, place: Place, reason: String, help: Option<String>) {
        if !self.silent {
            self.notes.wrong(place, reason, help);
        }
    }

    /// Notes that a key must be given and is not.
    pub(super) fn missing(&self, key: &str, help: String) {
        self.wrong(
            self.place,
            format!("{} is missing", self.name(key)),
            Some(help),
        );
    }

    /// Notes a default in use; `value` is what a file would write.
    pub(super) fn assume(&self, key: &str, shown: &str, value: String, why: &str) {
        self.assume_among(key, shown, value, why, Vec::new());
    }

    /// Notes a default that is one of several choices.
    pub(super) fn assume_among(
        &self,
        key: &str,
        shown: &str,
        value: String,
        why: &str,
        others: Vec<String>,
    ) {
        if self.silent {
            return;
        }
        let key = self.name(key);
        self.notes.assume(Assumption {
            text: format!("{key} = {shown} ({why})"),
            fill: vec![(key.clone(), value)],
            others,
            key,
        });
    }

    /// Notes keys that belong to another variant; they are not read.
    pub(super) fn ignore(&self, keys: &[&'static str], why: &str) {
        for key in keys {
            if let Some(record) = &self.notes.record {
                record.note_unused(self.name(key), why, self.units);
            }
            if let Some(entry) = self.entry(key) {
                self.notes.warn(
                    entry.place,
                    format!("{} has no effect here: {why}", self.name(key)),
                    Some("take it out".to_owned()),
                );
            }
        }
    }

    /// Every key that nothing asked for is unknown.
    pub(super) fn finish(&self) {
        let Some(Node {
            value: Value::Table(entries),
            ..
        }) = self.given
        else {
            return;
        };
        let asked = self.asked.borrow();
        let unknown = entries.iter().filter(|e| !asked.contains(&e.key.as_str()));
        for entry in unknown.take(MOST_PROBLEMS) {
            let group = if self.path.is_empty() {
                "the file".to_owned()
            } else {
                format!("[{}]", self.path)
            };
            let help = match nearest(&entry.key, asked.iter().copied()) {
                _ if is_a_mark(entry) && !self.notes.of_a_job() => Some(OWN_MARK.to_owned()),
                Some(near) => {
                    // it is not missing but misspelt
                    self.notes
                        .forget(&format!("{} is missing", self.name(near)));
                    Some(format!("did you mean `{near}`?"))
                }
                None => match self.notes.homes_of(&entry.key).as_slice() {
                    homes if !homes.is_empty() && !homes.contains(&self.path) => {
                        let homes: Vec<String> = homes.iter().map(|h| format!("[{h}]")).collect();
                        Some(format!(
                            "`{}` belongs under {}",
                            entry.key,
                            homes.join(" or ")
                        ))
                    }
                    _ => Some(format!("its keys are {}", once(&asked).join(", "))),
                },
            };
            self.wrong(
                entry.place,
                format!("{group} has no key `{}`", entry.key),
                help,
            );
        }
    }

    /// The number of a value, in the file's units; NaN after noting what is wrong with it.
    pub(super) fn checked(
        &self,
        node: &Node,
        name: &str,
        q: Quantity,
        limits: Limits,
        example: Option<f64>,
    ) -> f64 {
        let example = example.map_or(String::new(), |x| format!(", e.g. {}", show(short(x))));
        let Some(figure) = node.figure() else {
            let help = node.text().and_then(number_in_text);
            self.wrong(
                node.place,
                format!(
                    "{name} should be {}{example}; this is {}",
                    q.wanted(self.units),
                    node.kind()
                ),
                help,
            );
            return f64::NAN;
        };
        if !figure.is_finite() {
            self.wrong(
                node.place,
                format!("{name} is not a finite number"),
                Some(format!("write {}{example}", q.wanted(self.units))),
            );
            return f64::NAN;
        }
        if figure.abs() > LARGEST {
            self.wrong(
                node.place,
                format!("{name} is larger than 1e9: check the point and the unit"),
                Some(format!("write {}{example}", q.wanted(self.units))),
            );
            return f64::NAN;
        }
        if let Some(rule) = limits.broken_by(figure) {
            self.wrong(
                node.place,
                format!("{name} {rule}"),
                Some(format!("write {}{example}", q.wanted(self.units))),
            );
            return f64::NAN;
        }
        let measured = (node.place, q, self.units);
        self.notes.measured.borrow_mut().push(measured);
        figure
    }

    /// A figure of the built-in file in this file's units, for examples and defaults.
    pub(super) fn usual_figure(&self, key: &str, q: Quantity) -> Option<f64> {
        Some(q.to_file(self.usual_of(key)?.figure()?, self.units))
    }

    /// A number; left out, the built-in one.
    pub(super) fn number(&self, key: &'static str, q: Quantity, limits: Limits) -> f64 {
        let instead = self
            .usual_of(key)
            .and_then(Node::figure)
            .map(|x| FigureDefault::new(x, BUILT_IN));
        self.number_or(key, q, limits, instead)
    }

    /// A number that has no default.
    pub(super) fn required_number(&self, key: &'static str, q: Quantity, limits: Limits) -> f64 {
        self.number_or(key, q, limits, None)
    }

    /// A number; left out, what is said here.
    pub(super) fn number_or(
        &self,
        key: &'static str,
        q: Quantity,
        limits: Limits,
        instead: Option<FigureDefault>,
    ) -> f64 {
        self.takes(key, instead.is_none(), || Takes::Figure(q, limits));
        let example = self.usual_figure(key, q);
        if let Some(node) = self.stated(key) {
            return q.to_model(
                self.checked(node, &self.name(key), q, limits, example),
                self.units,
            );
        }
        let Some(FigureDefault { figure, why }) = instead else {
            let example = example.map_or(String::new(), |x| {
                format!(", e.g. {key} = {}", written(short(x)))
            });
            self.missing(key, format!("give it {}{example}", q.wanted(self.units)));
            return f64::NAN;
        };
        let figure = q.to_file(figure, self.units);
        self.assume(
            key,
            &q.told_with(figure, self.units, &self.unit(q)),
            written(figure),
            &why,
        );
        q.to_model(figure, self.units)
    }
}

/// What is said to a mark in an axle file.
pub(super) const OWN_MARK: &str = "the mark etched on one pinion belongs in the job file of that one \
                                   axle (mark_old and mark_new under [known]), not in the axle file; \
                                   [gears.mark] says how marks are etched: step, error, plus";

/// Whether somebody wrote a pinion's own mark.
fn is_a_mark(entry: &Entry) -> bool {
    names_a_mark(&entry.key) && entry.node.figure().is_some()
}

/// Whether a key that no file has speaks of a mark.
pub(super) fn names_a_mark(key: &str) -> bool {
    key.to_lowercase().contains("mark")
}

/// The words without repetition, in order.
fn once(words: &[&'static str]) -> Vec<&'static str> {
    let mut out: Vec<&'static str> = Vec::new();
    for word in words {
        if !out.contains(word) {
            out.push(word);
        }
    }
    out
}

/// How to write a number that is in quotes or in a form that files don't know.
pub(super) fn number_in_text(text: &str) -> Option<String> {
    let text = text.trim();
    if Typed::of(text).is_some() {
        return Some("this is a range; one number is wanted here".to_owned());
    }
    let point = text.replacen(',', ".", 1);
    let number = text.parse::<f64>().ok().filter(|x| x.is_finite());
    match (number, point.parse::<f64>()) {
        (Some(_), _) if !text.starts_with('.') && !text.ends_with('.') => {
            Some(format!("write the number without quotes: {text}"))
        }
        (Some(x), _) => Some(format!("write {x}")),
        (None, Ok(x)) if x.is_finite() => Some(format!("write a decimal point: {point}")),
        _ => {
            let digits: String = text
                .chars()
                .take_while(|c| c.is_ascii_digit() || *c == '.' || *c == '-')
                .collect();
            let x: f64 = digits.parse().ok()?;
            Some(format!("write the number alone, without its unit: {x}"))
        }
    }
}
