//! Figures that may be left out and have nothing in their place.

use super::describe::Takes;
use super::measure::Quantity;
use super::section::{Limits, Section};
use super::tree::{Node, Value};

impl Section<'_> {
    /// A number, in the model's units, where the file has one; NaN after noting what is wrong with it.
    pub(super) fn optional_number(
        &self,
        key: &'static str,
        q: Quantity,
        limits: Limits,
    ) -> Option<f64> {
        self.takes(key, false, || Takes::Figure(q, limits));
        let node = self.stated(key)?;
        let example = self.usual_figure(key, q);
        let figure = self.checked(node, &self.name(key), q, limits, example);
        Some(q.to_model(figure, self.units))
    }

    /// Two numbers, where the file has them.
    pub(super) fn optional_pair(
        &self,
        key: &'static str,
        q: Quantity,
        limits: Limits,
        what: &str,
    ) -> Option<[f64; 2]> {
        self.takes(key, false, || {
            Takes::Row(vec![q; 2], limits, what.to_owned())
        });
        self.entry(key)?;
        Some(self.required_pair(key, q, limits, what))
    }

    /// A list of numbers, or one that stands for a list of one; empty where there is none.
    pub(super) fn optional_list(
        &self,
        key: &'static str,
        q: Quantity,
        limits: Limits,
        most: usize,
    ) -> Vec<f64> {
        self.takes(key, false, || Takes::Readings(q, limits, most));
        let Some(node) = self.stated(key) else {
            return Vec::new();
        };
        let name = self.name(key);
        let one = std::slice::from_ref(node);
        let items = match &node.value {
            Value::List(items) => items.as_slice(),
            _ => one,
        };
        if items.len() > most {
            self.wrong(
                node.place,
                format!("{name} has {} figures, more than {most}", items.len()),
                Some("take those out that do not belong to this entry".to_owned()),
            );
            return Vec::new();
        }
        let figure = |(i, item): (usize, &Node)| {
            let name = match items.len() {
                1 => name.clone(),
                _ => format!("number {} of {name}", i + 1),
            };
            q.to_model(self.checked(item, &name, q, limits, None), self.units)
        };
        items.iter().enumerate().map(figure).collect()
    }

    /// Whether the file says that something is so.
    pub(super) fn optional_flag(&self, key: &'static str) -> bool {
        self.takes(key, false, || Takes::Flag);
        self.entry(key).is_some() && self.flag(key)
    }

    /// A whole number, where the file has one.
    pub(super) fn optional_whole(&self, key: &'static str, low: u32, high: u32) -> Option<u32> {
        self.takes(key, false, || Takes::Whole(low, high));
        self.entry(key).map(|_| self.whole(key, low, high, None))
    }

    /// One of a few words, where the file has one.
    pub(super) fn optional_choice<T: Copy>(
        &self,
        key: &'static str,
        words: &[(&'static str, T)],
    ) -> Option<T> {
        self.takes(key, false, || Takes::of_words(words));
        self.entry(key).map(|_| self.choice_or(key, words, None))
    }

    /// Text, where the file has any.
    pub(super) fn optional_text(&self, key: &'static str, help: &str) -> Option<String> {
        self.takes(key, false, || Takes::Words);
        self.entry(key)?;
        Some(self.text(key, help)).filter(|text| !text.is_empty())
    }
}
