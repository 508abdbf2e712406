//! A file as a tree of values, each with its place.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::measure::written;
use super::problem::Place;

/// A value and its place in the file.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub place: Place,
    pub value: Value,
}

/// The value itself.
#[derive(Debug, Clone)]
pub(super) enum Value {
    Text(String),
    Number { figure: f64, whole: bool },
    Flag(bool),
    Date(String),
    List(Vec<Node>),
    Table(Vec<Entry>),
}

/// A key and its value.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    pub key: String,
    pub place: Place,
    pub node: Node,
}

impl Node {
    /// The groups that have this key, by their dotted names.
    pub(super) fn homes_of(&self, key: &str) -> Vec<String> {
        fn look(node: &Node, key: &str, path: &str, homes: &mut Vec<String>) {
            let Value::Table(entries) = &node.value else {
                return;
            };
            if !path.is_empty() && entries.iter().any(|e| e.key == key) {
                homes.push(path.to_owned());
            }
            for e in entries {
                let path = if path.is_empty() {
                    e.key.clone()
                } else {
                    format!("{path}.{}", e.key)
                };
                look(&e.node, key, &path, homes);
            }
        }
        let mut homes = Vec::new();
        look(self, key, "", &mut homes);
        homes
    }

    /// Hands on all words and keys, each with its place.
    pub(super) fn words(&self, hear: &mut dyn FnMut(&str, Place)) {
        match &self.value {
            Value::Text(text) => hear(text, self.place),
            Value::List(items) => items.iter().for_each(|item| item.words(hear)),
            Value::Table(entries) => {
                for entry in entries {
                    hear(&entry.key, entry.place);
                    entry.node.words(hear);
                }
            }
            Value::Number { .. } | Value::Flag(_) | Value::Date(_) => {}
        }
    }

    /// The tree of a parsed text.
    pub(super) fn of_table(table: &Spanned<DeTable<'_>>, text: usize) -> Self {
        Self {
            place: Place::top(text),
            value: entries(table.get_ref(), text, 0),
        }
    }

    /// The tree of one value, `offset` bytes into its text.
    pub(super) fn of_value(value: &Spanned<DeValue<'_>>, text: usize, offset: usize) -> Self {
        let span = value.span();
        let value = match value.get_ref() {
            DeValue::String(s) => Value::Text(s.to_string()),
            DeValue::Integer(i) => Value::Number {
                figure: i64::from_str_radix(i.as_str(), i.radix())
                    .map(|x| x as f64)
                    .unwrap_or(f64::INFINITY),
                whole: true,
            },
            DeValue::Float(x) => Value::Number {
                figure: x.as_str().parse().unwrap_or(f64::NAN),
                whole: false,
            },
            DeValue::Boolean(b) => Value::Flag(*b),
            DeValue::Datetime(day) => Value::Date(day.to_string()),
            DeValue::Array(list) => Value::List(
                list.iter()
                    .map(|v| Self::of_value(v, text, offset))
                    .collect(),
            ),
            DeValue::Table(table) => entries(table, text, offset),
        };
        Self {
            place: Place::new(text, &(span.start + offset..span.end + offset)),
            value,
        }
    }

    /// The entry of a table.
    pub(super) fn entry(&self, key: &str) -> Option<&Entry> {
        match &self.value {
            Value::Table(entries) => entries.iter().find(|e| e.key == key),
            _ => None,
        }
    }

    /// The value of a table's key.
    pub(super) fn get(&self, key: &str) -> Option<&Node> {
        self.entry(key).map(|e| &e.node)
    }

    /// The text, if it is one.
    pub(super) fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(s) => Some(s),
            _ => None,
        }
    }

    /// The number, if it is one.
    pub(super) fn figure(&self) -> Option<f64> {
        match self.value {
            Value::Number { figure, .. } => Some(figure),
            _ => None,
        }
    }

    /// The list, if it is one.
    pub(super) fn list(&self) -> Option<&[Node]> {
        match &self.value {
            Value::List(list) => Some(list),
            _ => None,
        }
    }

    /// What kind of value it is, in words.
    pub(super) fn kind(&self) -> &'static str {
        match self.value {
            Value::Text(_) => "text",
            Value::Number { .. } => "a number",
            Value::Flag(_) => "true or false",
            Value::Date(_) => "a date",
            Value::List(_) => "a list",
            Value::Table(_) => "a group of keys",
        }
    }

    /// Whether there are groups of keys in this one.
    pub(super) fn holds_groups(&self) -> bool {
        let is_group = |e: &Entry| matches!(e.node.value, Value::Table(_));
        matches!(&self.value, Value::Table(entries) if entries.iter().any(is_group))
    }

    /// A single value, as TOML writes it; `None` where it is none.
    pub(super) fn parsed(text: &str) -> Option<Self> {
        let value = DeValue::parse(text).ok()?;
        Some(Self::of_value(&value, 0, 0))
    }

    /// The value as a file would write it on one line.
    pub(super) fn written(&self) -> String {
        match &self.value {
            Value::Text(s) => quoted(s),
            Value::Number { figure, whole } if *whole => format!("{figure}"),
            Value::Number { figure, .. } => written(*figure),
            Value::Flag(b) => b.to_string(),
            Value::Date(day) => day.clone(),
            Value::List(list) => {
                let items: Vec<String> = list.iter().map(Self::written).collect();
                format!("[{}]", items.join(", "))
            }
            Value::Table(entries) => {
                let items: Vec<String> = entries
                    .iter()
                    .map(|e| format!("{} = {}", key(&e.key), e.node.written()))
                    .collect();
                format!("{{ {} }}", items.join(", "))
            }
        }
    }
}

fn entries(table: &DeTable<'_>, text: usize, offset: usize) -> Value {
    Value::Table(
        table
            .iter()
            .map(|(key, value)| Entry {
                key: key.get_ref().to_string(),
                place: Place::new(text, &(key.span().start + offset..key.span().end + offset)),
                node: Node::of_value(value, text, offset),
            })
            .collect(),
    )
}

/// A key as a file writes it: in quotes where it needs them.
fn key(text: &str) -> String {
    let bare = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '-';
    match !text.is_empty() && text.chars().all(bare) {
        true => text.to_owned(),
        false => quoted(text),
    }
}

/// Text in quotes, as a file writes it.
pub(super) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if c.is_control() => out.push_str(&format!("\\u{:04X}", c as u32)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
