//! A file of ours that is changed key by key: comments and the order of its lines stay, and each change
//! is on the disk before the next.

use std::path::{Path, PathBuf};

use toml_edit::{Array, ArrayOfTables, DocumentMut, Formatted, Item, Table, TableLike, Value};

use super::open::open;
use super::problem::{Kind, Origin, Problem, Problems};
use super::syntax;
use crate::written::OutputFile;

/// Where a key stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Group {
    /// At the top of the file.
    Top,
    /// Under a heading, the group inside another one where there are two names.
    Under(&'static [&'static str]),
    /// In the entry of this place, from 0 on, under a heading in double brackets.
    Entry(&'static str, usize),
}

/// What a key is to say, in the units of the file.
#[derive(Debug, Clone, PartialEq)]
pub enum Said {
    /// Words.
    Text(String),
    /// A figure.
    Figure(f64),
    /// Figures in order.
    Figures(Vec<f64>),
    /// A whole number.
    Whole(u32),
    /// Whether something is so.
    Flag(bool),
}

impl Said {
    fn value(&self) -> Value {
        match self {
            Self::Text(text) => text.as_str().into(),
            Self::Figure(figure) => (*figure).into(),
            Self::Figures(all) => {
                let mut list: Array = all.iter().copied().collect();
                list.fmt();
                list.into()
            }
            Self::Whole(number) => Value::Integer(Formatted::new(i64::from(*number))),
            Self::Flag(flag) => (*flag).into(),
        }
    }

    /// As the file will have it.
    pub fn written(&self) -> String {
        self.value().to_string().trim().to_owned()
    }
}

/// A file that answers are written into.
#[derive(Debug, Clone)]
pub struct Edited {
    path: PathBuf,
    /// Comments that a new file begins with.
    head: String,
    document: DocumentMut,
    /// Its text when it was last read or written; `None` while there is no file.
    last: Option<String>,
}

impl Edited {
    /// The file as it is; one that is not there yet begins with these lines.
    ///
    /// # Errors
    /// Where it can't be read, or is no such file.
    pub fn open(path: &Path, head: &str) -> Result<Self, Problems> {
        let last = match path.exists() {
            true => Some(open(path)?),
            false => None,
        };
        if let Some(text) = &last {
            syntax::parse(text, 0).map_err(Problems)?;
        }
        let body = last.as_ref().map_or("", |text| &text.body);
        let document = body.parse().map_err(|e| {
            let origin = Origin::File(path.to_owned());
            let reason = format!("answers can't be written into this file: {e}");
            let help = "mend it by hand, or name another file".to_owned();
            Problem::whole(Kind::BadInput, origin, reason, Some(help))
        })?;
        Ok(Self {
            path: path.to_owned(),
            head: match last {
                Some(_) => String::new(),
                None => head.to_owned(),
            },
            document,
            last: last.map(|text| text.body),
        })
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// How many entries there are under a heading in double brackets.
    pub fn entries(&self, key: &str) -> usize {
        match self.document.get(key) {
            Some(Item::ArrayOfTables(all)) => all.len(),
            Some(Item::Value(Value::Array(all))) => all.len(),
            _ => 0,
        }
    }

    fn group(&self, group: Group) -> Option<&dyn TableLike> {
        let top = self.document.as_table() as &dyn TableLike;
        match group {
            Group::Top => Some(top),
            Group::Under(names) => names
                .iter()
                .try_fold(top, |outer, name| outer.get(name)?.as_table_like()),
            Group::Entry(key, at) => match self.document.get(key)? {
                Item::ArrayOfTables(all) => all.get(at).map(|table| table as &dyn TableLike),
                Item::Value(Value::Array(all)) => {
                    let inline = all.get(at)?.as_inline_table()?;
                    Some(inline as &dyn TableLike)
                }
                _ => None,
            },
        }
    }

    /// What a key says, as the file has it.
    pub fn stated(&self, group: Group, key: &str) -> Option<String> {
        let item = self.group(group)?.get(key)?;
        let mut value = item.as_value()?.clone();
        value.decor_mut().clear();
        Some(value.to_string())
    }

    /// The words that a key holds.
    pub fn text(&self, group: Group, key: &str) -> Option<&str> {
        self.group(group)?.get(key)?.as_str()
    }

    /// The figure that a key holds.
    pub fn number(&self, group: Group, key: &str) -> Option<f64> {
        let item = self.group(group)?.get(key)?;
        item.as_float()
            .or_else(|| item.as_integer().map(|whole| whole as f64))
    }

    /// States a key, behind which a new one gets a comment, and saves the file.
    ///
    /// # Errors
    /// In words, where the group can't be had or the file can't be written.
    pub fn state(
        &mut self,
        group: Group,
        key: &str,
        said: &Said,
        comment: &str,
    ) -> Result<(), String> {
        let path = self.path.display().to_string();
        let Some(table) = self.group_for(group) else {
            return Err(format!(
                "{path}: there is no place for {key}; mend the file by hand"
            ));
        };
        let mut value = said.value();
        match table.get(key).and_then(Item::as_value) {
            Some(before) => *value.decor_mut() = before.decor().clone(),
            None if !comment.is_empty() => value.decor_mut().set_suffix(format!("   # {comment}")),
            None => {}
        }
        match table.get_mut(key) {
            Some(item) => *item = Item::Value(value),
            None => {
                table.insert(key, Item::Value(value));
            }
        }
        self.save()
    }

    /// Takes a key out, where it is stated, and saves the file.
    ///
    /// # Errors
    /// In words, where the file can't be written.
    pub fn take_out(&mut self, group: Group, key: &str) -> Result<(), String> {
        if self.stated(group, key).is_none() {
            return Ok(());
        }
        if let Some(table) = self.group_for(group) {
            table.remove(key);
        }
        self.save()
    }

    /// Takes out the last entry under a heading in double brackets, where there is one, and saves the file.
    ///
    /// # Errors
    /// In words, where the file can't be written.
    pub fn take_out_last(&mut self, key: &str) -> Result<(), String> {
        let taken = match self.document.get_mut(key) {
            Some(Item::ArrayOfTables(all)) if !all.is_empty() => {
                all.remove(all.len() - 1);
                true
            }
            Some(Item::Value(Value::Array(all))) if !all.is_empty() => {
                all.remove(all.len() - 1);
                true
            }
            _ => false,
        };
        match taken {
            true => self.save(),
            false => Ok(()),
        }
    }

    /// A group to write into, made where it is not there yet.
    fn group_for(&mut self, group: Group) -> Option<&mut dyn TableLike> {
        let more = matches!(group, Group::Entry(key, at) if at == self.entries(key));
        let behind = self
            .document
            .trailing()
            .as_str()
            .unwrap_or_default()
            .to_owned();
        if more {
            self.document.set_trailing("");
        }
        let top = self.document.as_table_mut();
        match group {
            Group::Top => Some(top),
            Group::Under(names) => {
                let place = before_entries(top);
                let mut outer: &mut dyn TableLike = top;
                for (depth, name) in names.iter().enumerate() {
                    let holds_groups = depth + 1 < names.len();
                    let item = outer
                        .entry(name)
                        .or_insert_with(|| new_group(place, holds_groups));
                    outer = item.as_table_like_mut()?;
                }
                Some(outer)
            }
            Group::Entry(key, at) => {
                let list = top
                    .entry(key)
                    .or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
                match list {
                    Item::ArrayOfTables(all) => {
                        if at == all.len() {
                            let mut entry = Table::new();
                            // comments at the end of the file stay with what is above them
                            entry.decor_mut().set_prefix(format!("{behind}\n"));
                            all.push(entry);
                        }
                        all.get_mut(at).map(|table| table as &mut dyn TableLike)
                    }
                    Item::Value(Value::Array(all)) => {
                        let inline = all.get_mut(at)?.as_inline_table_mut()?;
                        Some(inline as &mut dyn TableLike)
                    }
                    _ => None,
                }
            }
        }
    }

    /// Writes the file, unless somebody else has written it meanwhile.
    fn save(&mut self) -> Result<(), String> {
        let path = &self.path;
        let now = match path.exists() {
            true => Some(open(path).map_err(|problem| problem.to_string())?.body),
            false => None,
        };
        if now != self.last {
            return Err(format!(
                "{}: something else has changed this file meanwhile, so this answer was not written; \
                 start the questions again",
                path.display()
            ));
        }
        let mut text = format!("{}{}", self.head, self.document);
        if now.is_some_and(|before| before.contains("\r\n")) {
            text = text.replace("\r\n", "\n").replace('\n', "\r\n");
        }
        OutputFile::claim(path, true)?.fill_with(&text)?;
        self.last = Some(text);
        Ok(())
    }
}

/// A new group, in this place among those that the file has; one that holds only groups needs no heading.
fn new_group(place: Option<isize>, holds_groups: bool) -> Item {
    let mut table = Table::new();
    table.decor_mut().set_prefix("\n");
    table.set_position(place);
    table.set_implicit(holds_groups);
    Item::Table(table)
}

/// The place of the first entry in double brackets, before which single groups are easier to find.
fn before_entries(top: &Table) -> Option<isize> {
    let first = |item: &Item| item.as_array_of_tables()?.get(0)?.position();
    let places = top.iter().filter_map(|(_, item)| first(item));
    places.min().map(|place| place - 1)
}

#[cfg(test)]
mod tests;
