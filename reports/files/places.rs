//! Where in its file each key was read, what it says there, in which unit, and which keys take whole
//! numbers.

use std::collections::BTreeMap;

use super::measure::Quantity;
use super::notes::Notes;
use super::problem::{Kind, Place, Problem, Text};
use super::tree::{Node, Value};
use crate::units::Units;

/// The places of all stated keys, by dotted key.
#[derive(Debug, Clone)]
pub(super) struct Places {
    texts: Vec<Text>,
    at: BTreeMap<String, Place>,
    whole: Vec<String>,
    measured: Vec<(Place, Quantity, Units)>,
    currency: String,
}

impl Places {
    pub(super) fn of(root: &Node, notes: Notes) -> Self {
        let mut at = BTreeMap::new();
        note(root, "", &mut at);
        Self {
            texts: notes.texts,
            at,
            whole: notes.whole.into_inner(),
            measured: notes.measured.into_inner(),
            currency: notes.currency.into_inner(),
        }
    }

    /// The unit of the number that a dotted key states; empty where it has none.
    pub(super) fn unit_of(&self, key: &str) -> String {
        let at = self.at.get(key);
        let mut measured = self.measured.iter();
        let here = measured.find(|(place, ..)| Some(place) == at);
        here.map_or(String::new(), |(_, q, units)| {
            q.unit_in(*units, &self.currency)
        })
    }

    /// The value of a dotted key as it is written; not there where the key was left out.
    pub(super) fn value_of(&self, key: &str) -> Option<String> {
        let place = self.at.get(key)?;
        let text = self.texts[place.text].body.get(place.start..place.end)?;
        (!text.is_empty()).then(|| text.to_owned())
    }

    /// Whether a dotted key takes whole numbers only.
    pub(super) fn takes_whole(&self, key: &str) -> bool {
        self.whole.iter().any(|whole| whole == key)
    }

    /// A problem at a dotted key. Where the key was left out, at the tolerance or small group that
    /// lacks it, else at the file as a whole.
    pub(super) fn problem(&self, key: &str, reason: String) -> Problem {
        let around = || {
            let (outer, _) = key.rsplit_once('.')?;
            self.at.get(outer).filter(|_| outer.contains('.'))
        };
        let (place, help) = match (self.at.get(key), around()) {
            (Some(place), _) => (*place, None),
            (None, inner) => (
                inner.copied().unwrap_or(Place::top(0)),
                Some(format!(
                    "{key} is not stated, so its default is in use: state it"
                )),
            ),
        };
        self.texts[place.text].problem(Kind::BadInput, place.start..place.end, reason, help)
    }
}

fn note(node: &Node, path: &str, at: &mut BTreeMap<String, Place>) {
    let inner = |part: &str| {
        if path.is_empty() {
            part.to_owned()
        } else {
            format!("{path}.{part}")
        }
    };
    match &node.value {
        Value::Table(entries) => {
            for entry in entries {
                let path = inner(&entry.key);
                at.insert(path.clone(), entry.node.place);
                note(&entry.node, &path, at);
            }
        }
        Value::List(list) => {
            for (i, one) in list.iter().enumerate() {
                let number = inner(&(i + 1).to_string());
                let name = one.get("series").and_then(Node::text).map(inner);
                for path in [Some(number), name].into_iter().flatten() {
                    at.insert(path.clone(), one.place);
                    note(one, &path, at);
                }
            }
        }
        _ => {}
    }
}
