//! What a file says at a dotted key, and remarks above its lines.

use std::path::Path;

use toml_edit::{Item, TableLike, Value};

use super::super::problem::Problems;
use super::changes::place;
use super::{Edited, Origin, Text};

impl Edited {
    /// A file that does not stand there yet, with this text.
    ///
    /// # Errors
    /// Where the text is no such file.
    pub fn of_text(path: &Path, text: &str) -> Result<Self, Problems> {
        let text = Text {
            origin: Origin::File(path.to_owned()),
            body: text.to_owned(),
        };
        Self::of(path, "", Some(text))
    }

    /// The figure at a dotted key, as the file has it.
    pub fn figure_at(&self, key: &str) -> Option<f64> {
        figure(self.item_at(key)?.as_value()?)
    }

    /// The figures in brackets at a dotted key.
    pub fn figures_at(&self, key: &str) -> Option<Vec<f64>> {
        self.item_at(key)?.as_array()?.iter().map(figure).collect()
    }

    /// The word at a dotted key.
    pub fn word_at(&self, key: &str) -> Option<&str> {
        self.item_at(key)?.as_str()
    }

    /// Whether a dotted key is so.
    pub fn flag_at(&self, key: &str) -> bool {
        self.item_at(key).and_then(Item::as_bool) == Some(true)
    }

    /// Whether anything is stated at a dotted key.
    pub fn has(&self, key: &str) -> bool {
        self.item_at(key).is_some()
    }

    fn item_at(&self, key: &str) -> Option<&Item> {
        let top = self.document.as_item();
        let mut parts = key.split('.').peekable();
        let mut item = top;
        while let Some(part) = parts.next() {
            item = match (item, place(part)) {
                (Item::ArrayOfTables(all), Some(at)) => {
                    let entry = all.get(at)? as &dyn TableLike;
                    entry.get(parts.next()?)?
                }
                _ => item.as_table_like()?.get(part)?,
            };
        }
        Some(item)
    }

    /// Puts a remark above the line that a dotted key stands in; what stands above it already stays.
    pub fn remark(&mut self, key: &str, remark: &str) {
        let mut group = self.document.as_table_mut() as &mut dyn TableLike;
        let mut parts = key.split('.').peekable();
        while let Some(part) = parts.next() {
            let next = parts.peek().copied();
            let line = match group.get(part) {
                Some(Item::Table(_)) => next.is_none(),
                Some(Item::ArrayOfTables(_)) => false,
                _ => true,
            };
            if line {
                if let Some(mut key) = group.key_mut(part) {
                    let above = key.leaf_decor().prefix().and_then(|prefix| prefix.as_str());
                    let above = above.unwrap_or_default().to_owned();
                    key.leaf_decor_mut()
                        .set_prefix(format!("{above}# {remark}\n"));
                }
                return;
            }
            let inner = match group.get_mut(part) {
                Some(Item::Table(table)) => Some(table as &mut dyn TableLike),
                Some(Item::ArrayOfTables(all)) => {
                    let at = parts.next().and_then(place);
                    at.and_then(|at| all.get_mut(at))
                        .map(|entry| entry as &mut dyn TableLike)
                }
                _ => None,
            };
            match inner {
                Some(inner) => group = inner,
                None => return,
            }
        }
    }
}

fn figure(value: &Value) -> Option<f64> {
    let whole = value.as_integer().map(|whole| whole as f64);
    value.as_float().or(whole)
}
