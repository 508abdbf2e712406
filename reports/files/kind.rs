//! Which kind of file something is, before anything of it is read.

use std::path::Path;

use super::open::open;
use super::set::{Target, target};
use super::syntax;

/// What a file holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FileKind {
    /// An axle.
    Axle,
    /// A shop.
    Shop,
    /// One axle on the bench.
    Job,
    /// How many shims of each size there are, as CSV.
    Counts,
    /// Another CSV file: measured values, tooth pairs, what a supplier offers.
    Table,
}

/// What is said where a name names no file.
pub const UNNAMED: &str = "give it a name with letters or figures: its file is called by it";

impl FileKind {
    /// What the names of such files end in.
    pub fn ending(self) -> &'static str {
        match self {
            Self::Axle => ".axle.toml",
            Self::Shop => ".shop.toml",
            Self::Job => ".job.toml",
            Self::Counts | Self::Table => ".csv",
        }
    }

    /// What a file of this name is called: small letters, figures and hyphens; `None` where there are none
    /// of them.
    pub fn called(self, name: &str) -> Option<String> {
        let plain = |c: char| if c.is_alphanumeric() { c } else { ' ' };
        let apart: String = name.to_lowercase().chars().map(plain).collect();
        let words: Vec<&str> = apart.split_whitespace().collect();
        (!words.is_empty()).then(|| format!("{}{}", words.join("-"), self.ending()))
    }
}

/// What a file holds: by the end of its name, or else by what stands in it; `None` where it is none of
/// ours.
pub fn kind_of(path: &Path) -> Option<FileKind> {
    let name = path.file_name()?.to_str()?;
    let named = [FileKind::Axle, FileKind::Shop, FileKind::Job];
    if let Some(kind) = named.into_iter().find(|kind| name.ends_with(kind.ending())) {
        return Some(kind);
    }
    let extension = Path::new(name).extension()?;
    if extension.eq_ignore_ascii_case("toml") {
        return by_keys(&open(path).ok()?.body);
    }
    let is_csv = extension.eq_ignore_ascii_case("csv");
    is_csv
        .then(|| open(path).ok())
        .flatten()
        .map(|text| counts(&text.body).unwrap_or(FileKind::Table))
}

/// The name that a file has in it; `None` where it has none, or can't be read.
pub fn name_in(path: &Path) -> Option<String> {
    let root = syntax::parse(&open(path).ok()?, 0).ok()?;
    root.get("name")?.text().map(str::to_owned)
}

/// By the first key or heading that only one kind has.
fn by_keys(body: &str) -> Option<FileKind> {
    body.lines().find_map(|line| {
        let heading = line.trim_start().trim_start_matches('[');
        let key = heading.split(['=', ']', '.', '#']).next()?.trim();
        match key {
            "axle" | "known" | "assemblies" => Some(FileKind::Job),
            key => target(key).map(|(target, _)| match target {
                Target::Axle => FileKind::Axle,
                Target::Shop => FileKind::Shop,
            }),
        }
    })
}

/// By the columns that a list of what was counted has.
fn counts(body: &str) -> Option<FileKind> {
    let head = body
        .lines()
        .find(|line| !line.starts_with('#'))?
        .to_lowercase();
    let has = |name: &str| {
        head.split([',', ';', '\t'])
            .any(|cell| cell.trim_matches('"') == name)
    };
    (has("series") && has("size") && (has("count") || has("have"))).then_some(FileKind::Counts)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_known_by_what_stands_in_it() {
        let of = |body: &str| by_keys(body);
        assert_eq!(of("name = \"x\"\n[gears]\n"), Some(FileKind::Axle));
        assert_eq!(
            of("# [gears]\nname = 1\nprices.hour = 3"),
            Some(FileKind::Shop)
        );
        assert_eq!(of("axle = \"a.toml\"\n"), Some(FileKind::Job));
        assert_eq!(of("[package]\nname = \"x\""), None);
        assert_eq!(
            counts("# made\nseries,size,count\n"),
            Some(FileKind::Counts)
        );
        assert_eq!(
            counts("series;\"size\";\"have\";x\n"),
            Some(FileKind::Counts)
        );
        assert_eq!(counts("ratio,pinion\n"), None);
    }

    #[test]
    fn a_file_is_called_by_letters_and_figures_alone() {
        let called = |name: &str| FileKind::Axle.called(name);
        assert_eq!(
            called("Front, 3.7 (old)").as_deref(),
            Some("front-3-7-old.axle.toml")
        );
        assert_eq!(
            called("../../etc/passwd").as_deref(),
            Some("etc-passwd.axle.toml")
        );
        assert_eq!(
            called("Ölfleck & Söhne").as_deref(),
            Some("ölfleck-söhne.axle.toml")
        );
        assert_eq!(called("…/"), None);
    }
}
