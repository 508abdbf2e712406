//! What an answer is made from, so that whoever holds it can tell it from another one.

use super::{Column, Table};
use crate::figures::rebuilds;
use crate::files::{Override, ReadFile};

/// What an answer is made from.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Made {
    /// Which job it is, or which drawer.
    pub of: String,
    /// Seed of the run.
    pub seed: u64,
    /// Rebuilds behind it, where there is one number.
    pub rebuilds: Option<u64>,
    /// The date as given: no clock is read.
    pub date: Option<String>,
    /// The files that were read; the axle's and the shop's come first.
    pub files: Vec<ReadFile>,
    /// Keys that took other values than the files say.
    pub changed: Vec<ChangedKey>,
}

/// A key that `--set` changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangedKey {
    /// The dotted key as typed.
    pub key: String,
    /// What the file says.
    pub before: String,
    /// What was used.
    pub used: String,
}

impl ChangedKey {
    /// A key with the value typed for it, and what the file says.
    pub fn new(set: &Override, before: String) -> Self {
        Self {
            key: set.key().to_owned(),
            before,
            used: set.value().to_owned(),
        }
    }
}

impl Made {
    /// Program version, rebuilds, seed and date.
    pub fn run(&self) -> String {
        let mut said = format!("shimcast {}", env!("CARGO_PKG_VERSION"));
        if let Some(number) = self.rebuilds {
            said.push_str(&format!(", {}", rebuilds(number)));
        }
        said.push_str(&format!(", seed {}", self.seed));
        if let Some(date) = &self.date {
            said.push_str(&format!(", {date}"));
        }
        said
    }

    /// Which job or drawer it is, and the run.
    pub fn in_short(&self) -> String {
        let set: Vec<String> = self
            .changed
            .iter()
            .map(|ChangedKey { key, used, .. }| format!("; {key} = {used}"))
            .collect();
        format!("{}; {}{}", self.of, self.run(), set.concat())
    }

    /// The keys that took other values, as a table; none where there are none.
    pub fn changes(&self) -> Option<Table> {
        let mut table = Table::new(["key", "in the file", "used here"].map(Column::words))
            .caption("Changed from the files (--set)");
        for ChangedKey { key, before, used } in &self.changed {
            table.row([key, before, used].map(|text| text.as_str().into()));
        }
        (!table.rows.is_empty()).then_some(table)
    }

    /// All of it, a line each.
    pub fn lines(&self) -> Vec<String> {
        let mut lines = vec![self.of.clone(), self.run()];
        lines.extend(self.files.iter().map(ReadFile::line));
        lines.extend(self.changed.iter().map(|changed| {
            let ChangedKey { key, before, used } = changed;
            format!("--set {key} = {used}; the file: {before}")
        }));
        lines
    }
}
