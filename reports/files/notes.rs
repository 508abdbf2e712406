//! What reading finds beside the figures: flaws, warnings and defaults in use.

use std::cell::RefCell;

use super::describe::Record;
use super::measure::Quantity;
use super::problem::{Kind, Origin, Place, Problem, Text};
use super::tree::Node;
use crate::units::Units;

/// Most problems of one file that are kept, and most warnings.
pub(super) const MOST_PROBLEMS: usize = 200;

/// A default in use that a file does not state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Assumption {
    /// The dotted key that was left out.
    pub key: String,
    /// For people, in the file's units: `gears.face_width = 33.97 mm (0.158 × ring diameter)`.
    pub text: String,
    /// Keys and TOML values that state the same to the last bit.
    pub fill: Vec<(String, String)>,
    /// The other choices there are, as TOML values.
    pub others: Vec<String>,
}

impl Assumption {
    /// What this default says of a dotted key, as TOML: of the key itself, or of one inside it.
    pub(super) fn value_of(&self, key: &str) -> Option<String> {
        self.fill.iter().find_map(|(filled, value)| {
            if filled == key {
                return Some(value.clone());
            }
            let inner = key.strip_prefix(filled.as_str())?.strip_prefix('.')?;
            let whole = Node::parsed(value)?;
            let part = |node: &Node, part: &str| match node.list() {
                Some(items) => items
                    .get(part.parse::<usize>().ok()?.checked_sub(1)?)
                    .cloned(),
                None => node.get(part).cloned(),
            };
            let found = inner
                .split('.')
                .try_fold(whole, |node, key| part(&node, key));
            found.map(|node| node.written())
        })
    }
}

/// What has been found so far.
pub(super) struct Notes {
    pub texts: Vec<Text>,
    pub problems: RefCell<Vec<Problem>>,
    pub warnings: RefCell<Vec<Problem>>,
    pub assumptions: RefCell<Vec<Assumption>>,
    /// The dotted keys that take whole numbers only.
    pub whole: RefCell<Vec<String>>,
    /// What the number at a place measures, in the units there.
    pub measured: RefCell<Vec<(Place, Quantity, Units)>>,
    /// The currency of the file's prices, once it is known.
    pub currency: RefCell<String>,
    /// What the reader asks for, where that is to be known.
    pub record: Option<Record>,
    /// A full file of the same kind, to tell where a misplaced key belongs.
    pub pattern: Option<Node>,
}

impl Notes {
    pub(super) fn new(texts: Vec<Text>, pattern: Option<Node>) -> Self {
        Self {
            texts,
            problems: RefCell::default(),
            warnings: RefCell::default(),
            assumptions: RefCell::default(),
            whole: RefCell::default(),
            measured: RefCell::default(),
            currency: RefCell::default(),
            record: None,
            pattern,
        }
    }

    /// The same, with a record of what the reader asks for.
    pub(super) fn recording(self, wanted: bool) -> Self {
        Self {
            record: wanted.then(Record::default),
            ..self
        }
    }

    /// The same texts with nothing found yet.
    pub(super) fn afresh(self) -> Self {
        let wanted = self.record.is_some();
        Self::new(self.texts, self.pattern).recording(wanted)
    }

    /// A problem at a place.
    pub(super) fn problem(
        &self,
        kind: Kind,
        place: Place,
        reason: String,
        help: Option<String>,
    ) -> Problem {
        self.texts[place.text].problem(kind, place.start..place.end, reason, help)
    }

    pub(super) fn wrong(&self, place: Place, reason: String, help: Option<String>) {
        // nobody mends more in one go, and a hostile file must not take for ever
        if self.problems.borrow().len() < MOST_PROBLEMS {
            let problem = self.problem(Kind::BadInput, place, reason, help);
            self.problems.borrow_mut().push(problem);
        }
    }

    /// Takes a problem back that turned out to be another one.
    pub(super) fn forget(&self, reason: &str) {
        self.problems.borrow_mut().retain(|p| p.reason != reason);
    }

    pub(super) fn warn(&self, place: Place, reason: String, help: Option<String>) {
        if self.warnings.borrow().len() < MOST_PROBLEMS {
            let warning = self.problem(Kind::Warning, place, reason, help);
            self.warnings.borrow_mut().push(warning);
        }
    }

    pub(super) fn assume(&self, assumption: Assumption) {
        self.assumptions.borrow_mut().push(assumption);
    }

    /// Whether a place is in a `--set`.
    pub(super) fn is_set(&self, place: Place) -> bool {
        self.texts[place.text].origin == Origin::Set
    }

    /// Whether nothing is wrong so far.
    pub(super) fn clean(&self) -> bool {
        self.problems.borrow().is_empty()
    }

    /// Whether it is a job file.
    pub(super) fn of_a_job(&self) -> bool {
        let known = self.pattern.as_ref().and_then(|full| full.get("known"));
        known.is_some()
    }

    /// The group to which a key belongs in a full file.
    pub(super) fn homes_of(&self, key: &str) -> Vec<String> {
        let pattern = self.pattern.as_ref();
        pattern.map_or_else(Vec::new, |pattern| pattern.homes_of(key))
    }
}
