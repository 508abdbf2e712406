//! Single values of a group that are no measured figures: counts, yes or no, text, chosen words.

use super::describe::Takes;
use super::section::{BUILT_IN, Section, number_in_text};
use super::tree::{Node, Value, quoted};
use super::words::nearest;

impl Section<'_> {
    /// A whole number.
    pub(super) fn whole(
        &self,
        key: &'static str,
        low: u32,
        high: u32,
        instead: Option<u32>,
    ) -> u32 {
        self.takes(key, instead.is_none(), || Takes::Whole(low, high));
        self.notes.whole.borrow_mut().push(self.name(key));
        let Some(node) = self.stated(key) else {
            return match instead {
                Some(n) => {
                    self.assume(key, &n.to_string(), n.to_string(), BUILT_IN);
                    n
                }
                None => {
                    self.missing(
                        key,
                        format!("give it a whole number between {low} and {high}"),
                    );
                    low
                }
            };
        };
        self.whole_in(node, &self.name(key), low, high)
    }

    /// The whole number of a value; the least that is allowed after noting what is wrong with it.
    pub(super) fn whole_in(&self, node: &Node, name: &str, low: u32, high: u32) -> u32 {
        let (reason, help) = match node.value {
            Value::Number {
                figure,
                whole: true,
            } if (f64::from(low)..=f64::from(high)).contains(&figure) => {
                return figure as u32;
            }
            Value::Number { whole: true, .. } => (
                format!("{name} must lie between {low} and {high}"),
                Some("write a whole number inside these limits".to_owned()),
            ),
            Value::Number { figure, .. } if figure.fract() == 0.0 => (
                format!("{name} should be a whole number"),
                Some(format!("write it without the point: {figure}")),
            ),
            Value::Number { .. } => (
                format!("{name} should be a whole number"),
                Some(format!("write one between {low} and {high}")),
            ),
            _ => (
                format!("{name} should be a whole number; this is {}", node.kind()),
                node.text().and_then(number_in_text),
            ),
        };
        self.wrong(node.place, reason, help);
        low
    }

    /// A whole number; left out, the built-in one.
    pub(super) fn whole_usual(&self, key: &'static str, low: u32, high: u32) -> u32 {
        let usual = self.usual_of(key).and_then(Node::figure).map(|x| x as u32);
        self.whole(key, low, high, usual)
    }

    /// True or false; left out, the built-in one.
    pub(super) fn flag(&self, key: &'static str) -> bool {
        let usual = match self.usual_of(key).map(|n| &n.value) {
            Some(Value::Flag(b)) => Some(*b),
            _ => None,
        };
        self.takes(key, usual.is_none(), || Takes::Flag);
        match self.stated(key) {
            Some(Node {
                value: Value::Flag(b),
                ..
            }) => return *b,
            Some(node) => self.wrong(
                node.place,
                format!(
                    "{} should be true or false; this is {}",
                    self.name(key),
                    node.kind()
                ),
                Some("write true or false, without quotes".to_owned()),
            ),
            None => match usual {
                Some(b) => {
                    let other = vec![(!b).to_string()];
                    self.assume_among(key, &b.to_string(), b.to_string(), BUILT_IN, other);
                }
                None => self.missing(key, "write true or false".to_owned()),
            },
        }
        usual.unwrap_or(false)
    }

    /// Text that must be given and not be empty.
    pub(super) fn text(&self, key: &'static str, help: &str) -> String {
        self.takes(key, true, || Takes::Words);
        match self.stated(key) {
            Some(node) => match node.text() {
                Some(text) if !text.trim().is_empty() => return text.to_owned(),
                Some(_) => self.wrong(
                    node.place,
                    format!("{} is empty", self.name(key)),
                    Some(help.to_owned()),
                ),
                None => self.wrong(
                    node.place,
                    format!(
                        "{} should be text in quotes; this is {}",
                        self.name(key),
                        node.kind()
                    ),
                    Some(help.to_owned()),
                ),
            },
            None => self.missing(key, help.to_owned()),
        }
        String::new()
    }

    /// One of a few words; left out, the built-in one.
    pub(super) fn choice<T: Copy>(&self, key: &'static str, words: &[(&'static str, T)]) -> T {
        let usual = self.usual_of(key).and_then(Node::text);
        self.choice_or(key, words, usual)
    }

    /// One of a few words; left out, the one said here.
    pub(super) fn choice_or<T: Copy>(
        &self,
        key: &'static str,
        words: &[(&'static str, T)],
        instead: Option<&str>,
    ) -> T {
        self.takes(key, instead.is_none(), || Takes::of_words(words));
        let of = |word: &str| words.iter().find(|(w, _)| *w == word).map(|(_, t)| *t);
        let Some(node) = self.stated(key) else {
            match instead {
                Some(word) => {
                    let others = words.iter().map(|(other, _)| quoted(other));
                    let others = others.filter(|other| *other != quoted(word)).collect();
                    self.assume_among(key, &quoted(word), quoted(word), BUILT_IN, others);
                }
                None => self.missing(key, format!("write one of {}", listed(words))),
            }
            return instead.and_then(of).unwrap_or(words[0].1);
        };
        let name = self.name(key);
        match node.text() {
            Some(word) => {
                if let Some(found) = of(word) {
                    return found;
                }
                let near = nearest(word, words.iter().map(|(w, _)| *w));
                self.wrong(
                    node.place,
                    format!("{name} can't be \"{word}\""),
                    Some(match near {
                        Some(near) => format!("did you mean `{near}`?"),
                        None => format!("write one of {}", listed(words)),
                    }),
                );
            }
            None => self.wrong(
                node.place,
                format!(
                    "{name} should be one of {}; this is {}",
                    listed(words),
                    node.kind()
                ),
                None,
            ),
        }
        words[0].1
    }
}

fn listed<T>(words: &[(&str, T)]) -> String {
    let all: Vec<String> = words.iter().map(|(w, _)| quoted(w)).collect();
    all.join(", ")
}
