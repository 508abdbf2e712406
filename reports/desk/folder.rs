//! The folder that the desk works in: its files by kind, found by the names that it lists.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::UNIX_EPOCH;

use serde_json::{Map, Value};

use crate::files::{FileKind, kind_of};
use crate::printable::is_strange;

/// Files of a folder that are looked at.
const MOST_FILES: usize = 1000;

/// A folder of files.
#[derive(Debug, Clone)]
pub struct Folder(PathBuf);

/// One file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    /// Its name in the folder.
    pub name: String,
    /// Where it is.
    pub path: PathBuf,
    /// What it holds.
    pub kind: FileKind,
}

impl Folder {
    /// A folder that is there.
    pub fn new(path: PathBuf) -> Self {
        Self(path)
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.0
    }

    /// Plain files that may be ours, by name.
    fn listed(&self) -> Vec<(String, PathBuf, fs::Metadata)> {
        let Ok(entries) = fs::read_dir(&self.0) else {
            return Vec::new();
        };
        let plain = entries.filter_map(|entry| {
            let entry = entry.ok()?;
            let name = entry.file_name().into_string().ok()?;
            let what = fs::metadata(entry.path()).ok()?;
            let shown = !name.starts_with('.') && !name.contains(is_strange);
            let ends = |end: &str| name.to_lowercase().ends_with(end);
            let shown = shown && (ends(".toml") || ends(".csv"));
            (shown && what.is_file()).then(|| (name, entry.path(), what))
        });
        let mut listed: Vec<_> = plain.collect();
        listed.sort_by(|a, b| a.0.cmp(&b.0));
        listed.truncate(MOST_FILES);
        listed
    }

    /// Its axle, shop, job and CSV files, by name.
    pub fn entries(&self) -> Vec<Entry> {
        let known = self.listed().into_iter().filter_map(|(name, path, _)| {
            let kind = kind_of(&path)?;
            Some(Entry { name, path, kind })
        });
        known.collect()
    }

    /// Whether there is no axle, shop, job or count in it.
    pub fn has_none_of_ours(&self) -> bool {
        let mut all = self.entries().into_iter();
        all.all(|entry| entry.kind == FileKind::Table)
    }

    /// Those of a kind.
    pub fn of(&self, kind: FileKind) -> Vec<Entry> {
        let all = self.entries().into_iter();
        all.filter(|entry| entry.kind == kind).collect()
    }

    /// The file of a kind that is listed under this name.
    pub fn find(&self, kind: FileKind, name: &str) -> Option<Entry> {
        self.of(kind).into_iter().find(|entry| entry.name == name)
    }

    /// What tells whether a file has changed, by its name: its size and time.
    pub fn as_it_is(&self) -> Map<String, Value> {
        let listed = self.listed().into_iter().map(|(name, _, what)| {
            let time = what.modified().ok();
            let since = time.and_then(|time| time.duration_since(UNIX_EPOCH).ok());
            let nanoseconds = since.map_or(0, |since| since.as_nanos());
            (name, format!("{}-{nanoseconds}", what.len()).into())
        });
        listed.collect()
    }
}
