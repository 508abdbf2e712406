//! Several changes of a file at once, each at a dotted key.

use toml_edit::{Decor, InlineTable, Item, TableLike, Value};

use super::{Edited, Group, Said, before_entries, new_group};

use crate::printable::Shown;

/// A change of a file, at a dotted key in which entries are counted from 1: `instruments.dial.sigma`,
/// `shims.2.price`. Entries are counted as the file has them before any of the changes.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// The key is to say this. What it belongs to is made where it is not there yet; the entry behind the
    /// last one is a new one.
    State(String, Said),
    /// The key, or the entry, is taken out where it is there.
    TakeOut(String),
}

impl Edited {
    /// The same file with these changes, of which nothing is written yet.
    ///
    /// # Errors
    /// In words, where there is no place for a key.
    pub fn with(&self, changes: &[Change]) -> Result<Self, String> {
        let mut changed = self.clone();
        let mut entries = Vec::new();
        // what stands in the way of a new value goes first, entries last, so that their places hold
        for change in changes {
            if let Change::TakeOut(key) = change {
                match entry_of(key) {
                    Some(entry) => entries.push(entry),
                    None => changed.take_out_at(key),
                }
            }
        }
        for change in changes {
            if let Change::State(key, said) = change {
                changed.state_at(key, said)?;
            }
        }
        entries.sort_by_key(|(_, at)| std::cmp::Reverse(*at));
        entries.dedup();
        for (list, at) in entries {
            changed.take_entry_out(list, at);
        }
        Ok(changed)
    }

    fn state_at(&mut self, key: &str, said: &Said) -> Result<(), String> {
        let parts: Vec<&str> = key.split('.').collect();
        let no_place = || {
            let path = self.path().shown();
            format!("{path}: there is no place for {key}; mend the file by hand")
        };
        let refused = no_place();
        let Some((last, outer)) = parts.split_last() else {
            return Err(refused);
        };
        let group = match outer {
            [] => self.group_for(Group::Top),
            [list, at, inner @ ..] if place(at).is_some() => {
                let at = place(at).unwrap_or_default();
                let entry = match at <= self.entries(list) {
                    true => self.entry_for(list, at),
                    false => None,
                };
                entry.and_then(|entry| inside(entry, inner))
            }
            [first, inner @ ..] => {
                let top = self.document.as_table_mut();
                let place = before_entries(top);
                let item = top.entry(first);
                let item = item.or_insert_with(|| new_group(place, false));
                item.as_table_like_mut()
                    .and_then(|group| inside(group, inner))
            }
        };
        match group {
            Some(group) => set(group, last, said, ""),
            None => return Err(refused),
        }
        Ok(())
    }

    fn take_out_at(&mut self, key: &str) {
        let parts: Vec<&str> = key.split('.').collect();
        // a group in braces goes with the last of its keys
        for end in (1..=parts.len()).rev() {
            let Some((last, outer)) = parts[..end].split_last() else {
                return;
            };
            let Some(group) = self.there(outer) else {
                return;
            };
            let left = group.get(last).and_then(Item::as_inline_table);
            if end == parts.len() || left.is_some_and(InlineTable::is_empty) {
                remove(group, last);
            } else {
                return;
            }
        }
    }

    /// A group that is there.
    fn there(&mut self, parts: &[&str]) -> Option<&mut dyn TableLike> {
        let top = self.document.as_table_mut() as &mut dyn TableLike;
        match parts {
            [list, at, inner @ ..] if place(at).is_some() => {
                let at = place(at)?;
                let entry = match top.get_mut(list)? {
                    Item::ArrayOfTables(all) => all.get_mut(at)? as &mut dyn TableLike,
                    Item::Value(Value::Array(all)) => all.get_mut(at)?.as_inline_table_mut()?,
                    _ => return None,
                };
                inner.iter().try_fold(entry, |group, part| {
                    group.get_mut(part)?.as_table_like_mut()
                })
            }
            parts => parts
                .iter()
                .try_fold(top, |group, part| group.get_mut(part)?.as_table_like_mut()),
        }
    }

    fn take_entry_out(&mut self, list: &str, at: usize) {
        let left = match self.document.get_mut(list) {
            Some(Item::ArrayOfTables(all)) if at < all.len() => {
                all.remove(at);
                all.len()
            }
            Some(Item::Value(Value::Array(all))) if at < all.len() => {
                all.remove(at);
                all.len()
            }
            _ => return,
        };
        if left == 0 {
            self.document.remove(list);
        }
    }
}

/// A place in a list, counted from 1, as one counted from 0.
pub(super) fn place(part: &str) -> Option<usize> {
    part.parse::<usize>().ok()?.checked_sub(1)
}

/// The list and the place of an entry, where a key means one.
fn entry_of(key: &str) -> Option<(&str, usize)> {
    let (list, at) = key.split_once('.')?;
    Some((list, place(at)?))
}

/// A group inside another one, made in braces where it is not there yet.
fn inside<'a>(group: &'a mut dyn TableLike, parts: &[&str]) -> Option<&'a mut dyn TableLike> {
    let Some((first, rest)) = parts.split_first() else {
        return Some(group);
    };
    if group.get(first).is_none() {
        insert(group, first, InlineTable::new().into());
    }
    inside(group.get_mut(first)?.as_table_like_mut()?, rest)
}

/// States a key of a group; a new one gets a comment behind it.
pub(super) fn set(group: &mut dyn TableLike, key: &str, said: &Said, comment: &str) {
    let mut value = said.value();
    match group.get_mut(key) {
        Some(Item::Value(Value::Array(before))) => match &value {
            Value::Array(new) if new.len() == before.len() => {
                // what stays as it was keeps its digits
                for (at, item) in new.iter().enumerate() {
                    if before.get(at).is_some_and(|old| !same(old, item)) {
                        before.replace(at, bare(item));
                    }
                }
            }
            _ => {
                *value.decor_mut() = before.decor().clone();
                group.insert(key, Item::Value(value));
            }
        },
        Some(item) => {
            if let Some(before) = item.as_value() {
                *value.decor_mut() = before.decor().clone();
            }
            *item = Item::Value(value);
        }
        None => {
            if !comment.is_empty() {
                value.decor_mut().set_suffix(format!("   # {comment}"));
            }
            insert(group, key, value);
        }
    }
}

/// A value without what stands around it.
fn bare(value: &Value) -> Value {
    let mut value = value.clone();
    *value.decor_mut() = Decor::default();
    value
}

fn same(a: &Value, b: &Value) -> bool {
    let figure = |value: &Value| match value {
        Value::Integer(whole) => Some(*whole.value() as f64),
        Value::Float(figure) => Some(*figure.value()),
        _ => None,
    };
    match (figure(a), figure(b)) {
        (Some(a), Some(b)) => a == b,
        _ => a.as_str().is_some() && a.as_str() == b.as_str(),
    }
}

/// A new key behind those of a group.
fn insert(group: &mut dyn TableLike, key: &str, value: Value) {
    group.insert(key, Item::Value(value));
    if let Some(last) = before_last(group)
        && let Some(suffix) = inner_suffix(group, &last)
    {
        // in braces: the space before the closing one goes behind the new key
        if let Some(Item::Value(new)) = group.get_mut(key) {
            new.decor_mut().set_suffix(suffix);
        }
        if let Some(Item::Value(before)) = group.get_mut(&last) {
            before.decor_mut().set_suffix("");
        }
    }
}

/// The key before the last one.
fn before_last(group: &dyn TableLike) -> Option<String> {
    let keys: Vec<&str> = group.iter().map(|(key, _)| key).collect();
    let [.., before, _] = keys.as_slice() else {
        return None;
    };
    Some((*before).to_owned())
}

/// What stands behind a value, where that is nothing but space.
fn inner_suffix(group: &dyn TableLike, key: &str) -> Option<String> {
    let value = group.get(key)?.as_value()?;
    let suffix = value.decor().suffix()?.as_str()?;
    (!suffix.is_empty() && suffix.trim().is_empty()).then(|| suffix.to_owned())
}

/// Takes a key out with its line; comments above it stay.
pub(super) fn remove(group: &mut dyn TableLike, key: &str) {
    let keys: Vec<String> = group.iter().map(|(key, _)| key.to_owned()).collect();
    let Some(at) = keys.iter().position(|other| other == key) else {
        return;
    };
    let above = group.key(key).and_then(|key| key.leaf_decor().prefix());
    let above = above.and_then(|prefix| prefix.as_str()).unwrap_or_default();
    let above = above.to_owned();
    let last = at + 1 == keys.len();
    let behind = inner_suffix(group, key).filter(|_| last);
    group.remove(key);
    let before = at.checked_sub(1).map(|at| keys[at].as_str());
    if above.contains('#') {
        if let Some(mut next) = keys.get(at + 1).and_then(|next| group.key_mut(next)) {
            let own = next
                .leaf_decor()
                .prefix()
                .and_then(|prefix| prefix.as_str());
            let own = own.unwrap_or_default().to_owned();
            next.leaf_decor_mut().set_prefix(format!("{above}{own}"));
        } else if let Some(Item::Value(value)) = before.and_then(|before| group.get_mut(before)) {
            let own = value.decor().suffix().and_then(|suffix| suffix.as_str());
            let own = own.unwrap_or_default().to_owned();
            let above = above.trim_end();
            value.decor_mut().set_suffix(format!("{own}\n{above}"));
        }
    } else if let (Some(behind), Some(Item::Value(value))) =
        (behind, before.and_then(|before| group.get_mut(before)))
    {
        value.decor_mut().set_suffix(behind);
    }
}
