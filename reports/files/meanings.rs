//! What the keys of a file mean: what the full example files say behind each, and a word on those of which
//! they say nothing.

mod job;
mod words;

use self::job::JOB;
use self::words::{OTHERS, TOLERANCE};
use super::{
    AXLE_IN_INCHES, BENCH_JOB, BENCH_JOB_IN_INCHES, BUILT_IN_AXLE, BUILT_IN_SHOP, BuiltInFile,
    FileKind, SECOND_AXLE, SHOP_IN_INCHES, SHORT_AXLE, SHORT_AXLE_IN_INCHES, TAMARACK,
};

/// What the keys of one kind of file mean.
pub(super) struct Meanings {
    /// What stands behind each key, the nearest example first; entries without their place.
    comments: Vec<(String, String)>,
    kind: FileKind,
}

impl Meanings {
    /// Of one kind of file, in inches or in millimetres.
    pub(super) fn of(kind: FileKind, inches: bool) -> Self {
        let mut files = match kind {
            FileKind::Axle => vec![
                BUILT_IN_AXLE,
                AXLE_IN_INCHES,
                SHORT_AXLE,
                SHORT_AXLE_IN_INCHES,
                SECOND_AXLE,
                TAMARACK,
            ],
            FileKind::Shop => vec![BUILT_IN_SHOP, SHOP_IN_INCHES],
            FileKind::Job => vec![BENCH_JOB, BENCH_JOB_IN_INCHES],
            FileKind::Counts | FileKind::Table => Vec::new(),
        };
        if inches && files.len() > 1 {
            files.swap(0, 1);
        }
        Self {
            comments: files.into_iter().flat_map(comments).collect(),
            kind,
        }
    }

    /// What a key means, and what the example says beside that.
    pub(super) fn of_key(&self, key: &str, of_tolerance: bool) -> (String, String) {
        let bare = without_places(key);
        let comment = || {
            let found = self.comments.iter().find(|(of, _)| *of == bare);
            found.map_or(String::new(), |(_, comment)| comment.clone())
        };
        // a job says of most keys what the comments of its example leave to each other
        if self.kind == FileKind::Job
            && let Some(meaning) =
                of(&JOB, &bare).or_else(|| of(&OTHERS, bare.strip_prefix("done.")?))
        {
            return (meaning.to_owned(), String::new());
        }
        let last = bare.rsplit('.').next().unwrap_or(&bare);
        let listed = match of_tolerance {
            true => of(&TOLERANCE, last),
            false => of(&OTHERS, &bare),
        };
        match listed {
            Some(meaning) => {
                let comment = comment();
                // nothing is said twice
                let remark = match comment.strip_prefix(meaning) {
                    Some(rest) => rest.trim_start_matches([' ', ':', ';', ',']),
                    None if meaning.contains(&comment) => "",
                    None => &comment,
                };
                (meaning.to_owned(), remark.to_owned())
            }
            None => (comment(), String::new()),
        }
    }
}

fn of<'a>(list: &[(&str, &'a str)], key: &str) -> Option<&'a str> {
    let found = list.iter().find(|(of, _)| *of == key);
    found.map(|(_, meaning)| *meaning)
}

/// A key without the places of entries: `shims.price`.
fn without_places(key: &str) -> String {
    let parts = key.split('.').filter(|part| part.parse::<usize>().is_err());
    parts.collect::<Vec<_>>().join(".")
}

/// The keys of an example with what stands behind each, those that are commented out as well.
fn comments(file: BuiltInFile) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    let mut group = String::new();
    for line in file.text.lines() {
        let line = line.strip_prefix("# ").unwrap_or(line).trim();
        let (said, comment) = line.split_once('#').unwrap_or((line, ""));
        let said = said.trim();
        let key = if said.starts_with('[') && said.ends_with(']') {
            group = said.trim_matches(['[', ']']).to_owned();
            group.clone()
        } else {
            match said.split_once('=') {
                Some((key, _)) if group.is_empty() => key.trim().to_owned(),
                Some((key, _)) => format!("{group}.{}", key.trim()),
                None => continue,
            }
        };
        let comment = comment.trim().to_owned();
        if !comment.is_empty() && all.iter().all(|(of, _)| *of != key) {
            all.push((key, comment));
        }
    }
    all
}

#[cfg(test)]
mod tests;
