//! A file of ours that is changed key by key: comments and the order of its lines stay, and each change
//! is on the disk before the next.

use std::path::{Path, PathBuf};

use toml_edit::{
    Array, ArrayOfTables, DocumentMut, Formatted, InlineTable, Item, Table, TableLike, Value,
};

use super::open::{whole, without_mark};
use super::problem::{Kind, Origin, Problem, Problems, Text};
use super::read::fingerprint;
use super::{Source, syntax};
use crate::printable::Shown;
use crate::written::OutputFile;

mod before;
mod changes;
mod remarks;

pub use before::{NotWritten, before, is_before, put_back};
pub use changes::Change;

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
    /// A figure, or figures in brackets, in the very digits that a file is to have.
    Typed(String),
    /// A whole number.
    Whole(i64),
    /// Words in order.
    Words(Vec<String>),
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
            Self::Typed(digits) => match digits.parse::<Value>() {
                Ok(mut value) => {
                    value.decor_mut().clear();
                    value
                }
                Err(_) => digits.as_str().into(),
            },
            Self::Whole(number) => Value::Integer(Formatted::new(*number)),
            Self::Words(all) => {
                let mut list: Array = all.iter().map(String::as_str).collect();
                list.fmt();
                list.into()
            }
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
    /// Its bytes when it was last read or written; `None` while there is no file.
    last: Option<String>,
}

impl Edited {
    /// The file as it is; one that is not there yet begins with these lines.
    ///
    /// # Errors
    /// Where it can't be read, or is no such file.
    pub fn open(path: &Path, head: &str) -> Result<Self, Problems> {
        let last = match path.exists() {
            true => Some(whole(path)?),
            false => None,
        };
        Self::of(path, head, last)
    }

    fn of(path: &Path, head: &str, last: Option<Text>) -> Result<Self, Problems> {
        let kept = last.as_ref().map(|text| text.body.clone());
        let text = without_mark(last.unwrap_or_else(|| Text {
            origin: Origin::File(path.to_owned()),
            body: String::new(),
        }));
        syntax::parse(&text, 0).map_err(Problems)?;
        let document = text.body.parse().map_err(|e| {
            let reason = format!("answers can't be written into this file: {e}");
            let help = "mend it by hand, or name another file".to_owned();
            Problem::whole(Kind::BadInput, text.origin.clone(), reason, Some(help))
        })?;
        Ok(Self {
            path: path.to_owned(),
            head: match kept {
                Some(_) => String::new(),
                None => head.to_owned(),
            },
            document,
            last: kept,
        })
    }

    /// The file as it was read.
    pub fn source(&self) -> Source {
        Source::Kept(self.path.clone(), self.last.clone().unwrap_or_default())
    }

    /// The file with all that was changed.
    pub fn source_changed(&self) -> Source {
        Source::Kept(self.path.clone(), self.written())
    }

    /// The fingerprint of the file as it was read, by which it is known again.
    pub fn fingerprint(&self) -> String {
        fingerprint(self.last.as_deref().unwrap_or_default())
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
        self.put(group, key, Some(said), comment)?;
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
        self.put(group, key, None, "")?;
        self.save()
    }

    /// Several changes in one write: what each key is to say, or that it is to be taken out, and the comment
    /// behind a new one. The file is written with all of them or not at all.
    ///
    /// # Errors
    /// In words, where a group can't be had or the file can't be written.
    pub fn state_all<'a>(
        &mut self,
        changes: impl IntoIterator<Item = (Group, &'a str, Option<&'a Said>, &'a str)>,
    ) -> Result<(), String> {
        let mut changed = self.clone();
        for (group, key, said, comment) in changes {
            changed.put(group, key, said, comment)?;
        }
        changed.save()?;
        *self = changed;
        Ok(())
    }

    /// States a key, or takes it out, without writing.
    fn put(
        &mut self,
        group: Group,
        key: &str,
        said: Option<&Said>,
        comment: &str,
    ) -> Result<(), String> {
        let path = self.path.shown().to_string();
        match (self.group_for(group), said) {
            (Some(table), Some(said)) => changes::set(table, key, said, comment),
            (Some(table), None) => changes::remove(table, key),
            (None, None) => {}
            (None, Some(_)) => {
                return Err(format!(
                    "{path}: there is no place for {key}; mend the file by hand"
                ));
            }
        }
        Ok(())
    }

    /// Takes out the last entry under a heading in double brackets, where there is one, and saves the file;
    /// as it was it is kept beside it.
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
            true => self.save_keeping().map_err(|why| why.to_string()),
            false => Ok(()),
        }
    }

    /// A group to write into, made where it is not there yet.
    fn group_for(&mut self, group: Group) -> Option<&mut dyn TableLike> {
        if let Group::Entry(key, at) = group {
            return self.entry_for(key, at);
        }
        let top = self.document.as_table_mut();
        match group {
            Group::Top | Group::Entry(..) => Some(top),
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
        }
    }

    /// An entry to write into; behind the last one, a new one.
    fn entry_for(&mut self, key: &str, at: usize) -> Option<&mut dyn TableLike> {
        let more = at == self.entries(key);
        let mut above = "\n".to_owned();
        if more && self.ends_with(key) {
            // comments at the end of the file stay with what is above them
            let behind = self.document.trailing().as_str().unwrap_or_default();
            above = format!("{behind}\n");
            self.document.set_trailing("");
        }
        let list = self.document.as_table_mut().entry(key);
        match list.or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new())) {
            Item::ArrayOfTables(all) => {
                if more {
                    let mut entry = Table::new();
                    entry.decor_mut().set_prefix(above);
                    all.push(entry);
                }
                all.get_mut(at).map(|table| table as &mut dyn TableLike)
            }
            Item::Value(Value::Array(all)) => {
                if more {
                    all.push(InlineTable::new());
                }
                let inline = all.get_mut(at)?.as_inline_table_mut()?;
                Some(inline as &mut dyn TableLike)
            }
            _ => None,
        }
    }

    /// Whether nothing follows the entries of this list, or would follow the first one.
    fn ends_with(&self, list: &str) -> bool {
        let top = self.document.as_table();
        let of_list = top.get(list).and_then(last_place);
        let others = top.iter().filter(|(key, _)| *key != list);
        let last = others.filter_map(|(_, item)| last_place(item)).max();
        match top.get(list) {
            None => true,
            Some(item) => item.is_array_of_tables() && of_list >= last,
        }
    }

    /// Writes the file, unless somebody else has written it meanwhile.
    fn save(&mut self) -> Result<(), String> {
        self.unchanged().map_err(|changed| match changed {
            NotWritten::Changed(path) => format!(
                "{}: something else has changed this file meanwhile, so this answer was not written; \
                 start the questions again",
                path.shown()
            ),
            NotWritten::Cannot(why) => why,
        })?;
        let text = self.written();
        OutputFile::claim_again(&self.path)?.fill_with(&text)?;
        self.last = Some(text);
        Ok(())
    }

    /// That the file is still as it was read.
    fn unchanged(&self) -> Result<(), NotWritten> {
        let now = match self.path.exists() {
            true => {
                let text = whole(&self.path);
                Some(text.map_err(|problem| NotWritten::Cannot(problem.to_string()))?)
            }
            false => None,
        };
        match now.map(|text| text.body) == self.last {
            true => Ok(()),
            false => Err(NotWritten::Changed(self.path.clone())),
        }
    }

    /// Its text with all that was changed.
    pub fn written(&self) -> String {
        let text = format!("{}{}", self.head, self.document);
        match &self.last {
            Some(before) if before.contains("\r\n") => {
                text.replace("\r\n", "\n").replace('\n', "\r\n")
            }
            _ => text,
        }
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

/// The place of the last heading of a group or a list and of what is inside it.
fn last_place(item: &Item) -> Option<isize> {
    let of_table = |table: &Table| {
        let inner = table.iter().filter_map(|(_, item)| last_place(item)).max();
        table.position().max(inner)
    };
    match item {
        Item::Table(table) => of_table(table),
        Item::ArrayOfTables(all) => all.iter().filter_map(of_table).max(),
        _ => None,
    }
}

/// The place of the first entry in double brackets, before which single groups are easier to find.
fn before_entries(top: &Table) -> Option<isize> {
    let first = |item: &Item| item.as_array_of_tables()?.get(0)?.position();
    let places = top.iter().filter_map(|(_, item)| first(item));
    places.min().map(|place| place - 1)
}

#[cfg(test)]
mod tests;
