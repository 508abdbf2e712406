//! The files that an answer was made from, each with a fingerprint by which it is known again, and
//! what a file says of a key that took another value.

use std::path::Path;

use super::open::whole;
use super::set::{Override, Target};
use super::tree::{Node, Value};
use super::{BUILT_IN_AXLE, BUILT_IN_SHOP, BuiltInFile, Source, syntax};

use crate::printable::Shown;

/// What the files of a job are called.
const AXLE: &str = "axle file";
const SHOP: &str = "shop file";

/// A file that was read.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ReadFile {
    /// What it is: "axle file", "shop file".
    pub what: &'static str,
    /// Its name, without folders.
    pub name: String,
    /// Its text.
    pub text: String,
}

impl ReadFile {
    /// A file on disk; `None` where it is no longer there.
    pub fn on_disk(what: &'static str, path: &Path) -> Option<Self> {
        Some(Self {
            what,
            name: name(path),
            text: whole(path).ok()?.body,
        })
    }

    /// Whether a page shows its text: the axle file and the shop file of the job.
    pub fn is_shown(&self) -> bool {
        [AXLE, SHOP].contains(&self.what)
    }

    /// The CRC-32 of its bytes, as eight hexadecimal digits.
    pub fn fingerprint(&self) -> String {
        fingerprint(&self.text)
    }

    /// What it is, its name and its fingerprint.
    pub fn line(&self) -> String {
        let Self { what, name, .. } = self;
        format!("{what} {name}, CRC-32 {}", self.fingerprint())
    }
}

fn name(path: &Path) -> String {
    let last = path.file_name().unwrap_or(path.as_os_str());
    last.shown()
}

/// The CRC-32 of a text's bytes, as eight hexadecimal digits.
pub fn fingerprint(text: &str) -> String {
    format!("{:08x}", crc32(text.as_bytes()))
}

/// The CRC-32 of zip and PNG: polynomial 0xEDB88320, bits reflected.
fn crc32(bytes: &[u8]) -> u32 {
    let step = |crc: u32, _| (crc >> 1) ^ if crc & 1 == 1 { 0xEDB8_8320 } else { 0 };
    let all = bytes
        .iter()
        .fold(!0, |crc, byte| (0..8).fold(crc ^ u32::from(*byte), step));
    !all
}

/// The built-in file of a kind.
fn built_in(target: Target) -> BuiltInFile {
    match target {
        Target::Axle => BUILT_IN_AXLE,
        Target::Shop => BUILT_IN_SHOP,
    }
}

impl Source {
    /// The file behind it, and the CSV lists that its tolerances are drawn from.
    pub fn files(&self, target: Target) -> Vec<ReadFile> {
        let what = match target {
            Target::Axle => AXLE,
            Target::Shop => SHOP,
        };
        let built_in = |of: BuiltInFile| ReadFile {
            what,
            name: format!("{} (built-in)", of.name),
            text: of.text.to_owned(),
        };
        let (file, folder) = match self {
            Self::BuiltIn => (Some(built_in(self::built_in(target))), None),
            Self::Example(of) => (Some(built_in(*of)), None),
            Self::File(path) => (ReadFile::on_disk(what, path), Some(path)),
            Self::Kept(path, text) => {
                let file = ReadFile {
                    what,
                    name: name(path),
                    text: text.clone(),
                };
                (Some(file), Some(path))
            }
        };
        let mut lists = Vec::new();
        if let (Some(path), Some(root)) = (folder, self.tree(target)) {
            named_lists(&root, &mut lists);
            lists.dedup();
            let list = |list: &String| ReadFile::on_disk("list", &path.with_file_name(list));
            return file
                .into_iter()
                .chain(lists.iter().filter_map(list))
                .collect();
        }
        file.into_iter().collect()
    }

    /// Its tree as the file has it.
    fn tree(&self, target: Target) -> Option<Node> {
        let text = self.text(built_in(target)).ok()?;
        syntax::parse(&text, 0).ok()
    }
}

/// The CSV files that tolerances of a tree are drawn from.
fn named_lists(node: &Node, lists: &mut Vec<String>) {
    match &node.value {
        Value::Table(entries) => {
            let from = node.get("from").and_then(Node::text);
            lists.extend(from.map(str::to_owned));
            entries
                .iter()
                .for_each(|entry| named_lists(&entry.node, lists));
        }
        Value::List(items) => items.iter().for_each(|item| named_lists(item, lists)),
        _ => {}
    }
}

impl Override {
    /// What a file says of its key, as it is written there; `None` where it does not say.
    pub fn stated_in(&self, source: &Source) -> Option<String> {
        let text = source.text(built_in(self.target())).ok()?;
        let mut root = syntax::parse(&text, 0).ok()?;
        let node = self.find(&mut root)?;
        let written = text.body.get(node.place.start..node.place.end);
        let inline = written.filter(|text| !text.trim_start().starts_with("[["));
        Some(match (&node.value, inline) {
            (Value::Text(text), _) => text.clone(),
            // a group under a heading of its own has no text in one piece
            (Value::Table(_), Some(text)) if !text.starts_with('{') => node.written(),
            (_, Some(text)) => text.split_whitespace().collect::<Vec<_>>().join(" "),
            (_, None) => node.written(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_fingerprint_is_the_crc_that_others_work_out() {
        // the check value of the catalogue of CRC algorithms, and the empty file
        assert_eq!(crc32(b"123456789"), 0xcbf4_3926);
        assert_eq!(crc32(b""), 0);
        let file = ReadFile {
            text: "a".into(),
            ..ReadFile::default()
        };
        assert_eq!(file.fingerprint(), "e8b7be43");
    }

    #[test]
    fn what_a_file_says_of_a_key_is_given_as_it_is_written() {
        for (set, said) in [
            ("bench.pinion_start=gauge", Some("old pack")),
            ("housing.head_seat.tol=0.01", Some("0.06")),
            (
                "housing.head_seat=121.0",
                Some("{ nominal = 121.00, tol = 0.06 }"),
            ),
            ("bench.nothing=0.5", None),
        ] {
            let set: Override = set.parse().expect("a key and a value");
            assert_eq!(set.stated_in(&Source::BuiltIn).as_deref(), said, "{set:?}");
        }
    }
}
