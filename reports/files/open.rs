//! Reading a text from disk without being surprised by what is there.

use std::ffi::OsString;
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};

use super::problem::{Kind, Origin, Problem, Text};
use super::words::nearest;

use crate::printable::{Shown, printable};
use crate::written::note_read;

/// Largest file that is read, bytes: a hundred times what any workshop writes.
const LARGEST: u64 = 4 << 20;

/// The text of a file, without a byte-order mark.
///
/// # Errors
/// As [`whole`].
pub(super) fn open(path: &Path) -> Result<Text, Problem> {
    whole(path).map(without_mark)
}

/// The text without a byte-order mark, which is no part of it, and columns should not count it.
pub(super) fn without_mark(mut text: Text) -> Text {
    if text.body.starts_with('\u{feff}') {
        text.body.drain(..'\u{feff}'.len_utf8());
    }
    text
}

/// All of a file.
///
/// # Errors
/// A problem where the file is missing, a folder, unreadable, too large or not UTF-8.
pub(super) fn whole(path: &Path) -> Result<Text, Problem> {
    let origin = Origin::File(path.to_owned());
    let unreadable = |reason: String, help: Option<String>| {
        Problem::whole(Kind::CannotRead, origin.clone(), reason, help)
    };
    // opening a folder succeeds on some systems, so it is asked for first
    if path.is_dir() {
        return Err(unreadable(
            "this is a folder, not a file".to_owned(),
            Some("name a file inside it".to_owned()),
        ));
    }
    let refused = |e: std::io::Error| match e.kind() {
        ErrorKind::NotFound => unreadable("there is no such file".to_owned(), look_around(path)),
        ErrorKind::PermissionDenied => unreadable(
            "reading this file is not permitted".to_owned(),
            Some("ask its owner, or work on a copy of your own".to_owned()),
        ),
        _ => unreadable(format!("can't be read: {e}"), None),
    };
    let file = File::open(path).map_err(refused)?;
    note_read(path);
    let mut bytes = Vec::new();
    file.take(LARGEST + 1)
        .read_to_end(&mut bytes)
        .map_err(refused)?;
    if bytes.len() as u64 > LARGEST {
        return Err(Problem::whole(
            Kind::BadInput,
            origin,
            "the file is larger than 4 MB, far more than any axle or shop needs".to_owned(),
            Some("check that this is the file you meant".to_owned()),
        ));
    }
    utf8(bytes, origin)
}

/// A file of the same folder whose name is near, or one of that name in a folder below.
fn look_around(path: &Path) -> Option<String> {
    let near = look_beside(path).or_else(|| look_below(path))?;
    Some(format!("did you mean `{}`?", printable(&near)))
}

/// Folders that are looked into, and how far below.
const MOST_FOLDERS: usize = 200;
const DEEPEST: usize = 3;

/// A file of that name in a folder below the one named, or below this one.
fn look_below(path: &Path) -> Option<String> {
    let wanted = path.file_name()?;
    let top = path.parent().filter(|folder| folder.is_dir());
    let mut level = vec![top.unwrap_or(Path::new("")).to_owned()];
    let mut left = MOST_FOLDERS;
    for _ in 0..DEEPEST {
        let mut below: Vec<PathBuf> = Vec::new();
        for folder in level {
            let listed = match folder.as_os_str().is_empty() {
                true => Path::new("."),
                false => &folder,
            };
            let Ok(entries) = std::fs::read_dir(listed) else {
                continue;
            };
            let names = entries
                .flatten()
                .take(10_000)
                .map(|entry| entry.file_name());
            let seen = |name: &OsString| !name.to_string_lossy().starts_with('.');
            let paths = names.filter(seen).map(|name| folder.join(name));
            below.extend(paths.filter(|path| path.is_dir()).take(left));
            left = left.saturating_sub(below.len());
        }
        // the same answer in whatever order a disk lists its folders
        below.sort();
        let mut found = below.iter().map(|folder| folder.join(wanted));
        if let Some(found) = found.find(|path| path.is_file()) {
            return Some(found.shown().to_string());
        }
        level = below;
    }
    None
}

/// A file of the same folder whose name is near.
fn look_beside(path: &Path) -> Option<String> {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty());
    let wanted = path.file_name()?.to_str()?;
    let names: Vec<String> = std::fs::read_dir(folder.unwrap_or(Path::new(".")))
        .ok()?
        .flatten()
        .take(10_000)
        .filter_map(|entry| entry.file_name().into_string().ok())
        .collect();
    let near = nearest(wanted, names.iter().map(String::as_str))?;
    // a common ending makes no names alike
    let stem = |name: &'_ str| name.split('.').next().unwrap_or_default().to_owned();
    let [wanted, found] = [wanted, near].map(stem);
    nearest(&wanted, [found.as_str()]).map(|_| near.to_owned())
}

fn utf8(bytes: Vec<u8>, origin: Origin) -> Result<Text, Problem> {
    match String::from_utf8(bytes) {
        Ok(body) => Ok(Text { origin, body }),
        Err(e) => {
            let at = e.utf8_error().valid_up_to();
            let bytes = e.as_bytes();
            let help = if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
                "it looks like UTF-16: save it again as UTF-8"
            } else {
                "save it again as UTF-8 plain text"
            };
            let text = Text {
                origin,
                body: String::from_utf8_lossy(bytes).into_owned(),
            };
            // everything before the first bad byte is the same in the lossy text
            let end = text.body[at..].chars().next().map_or(0, char::len_utf8);
            let mut problem = text.problem(
                Kind::BadInput,
                at..at + end,
                format!(
                    "the file is not UTF-8 text: byte {} does not belong",
                    at + 1
                ),
                Some(help.to_owned()),
            );
            problem.width = problem.width.max(1);
            Err(problem)
        }
    }
}
