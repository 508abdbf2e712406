//! A file as it was before the last change: kept beside it, and put back.
//!
//! Three steps make a change: the file as it is is set aside under a name of its own, the file is changed,
//! and what was set aside takes the place of what was kept before. Whoever is stopped in between leaves
//! either the file and what was kept as they were, or both as they are to be: what is set aside counts as
//! kept once the file says something else, and for nothing until then.

use std::fmt;
use std::fs;
use std::path::{Path, PathBuf};

use super::Edited;
use crate::files::open::whole;
use crate::files::read::fingerprint;
use crate::printable::Shown;
use crate::written::OutputFile;

/// What the name of a file as it was ends in, and of the same while a change is under way.
const BEFORE: &str = ".before";
const ASIDE: &str = ".before-next";

/// Why a file was left as it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotWritten {
    /// It is no longer as it was seen.
    Changed(PathBuf),
    /// It can't be read or written, in words.
    Cannot(String),
}

impl fmt::Display for NotWritten {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Changed(path) => write!(
                f,
                "{}: something else has changed this file since it was shown, so nothing was written; \
                 look at it as it is now, then change it",
                path.shown()
            ),
            Self::Cannot(why) => f.write_str(why),
        }
    }
}

impl From<String> for NotWritten {
    fn from(why: String) -> Self {
        Self::Cannot(why)
    }
}

fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    name.into()
}

/// Where a file is kept as it was before the last change.
pub fn before(path: &Path) -> PathBuf {
    beside(path, BEFORE)
}

/// Whether a file is there as it was before the last change.
pub fn is_before(path: &Path) -> bool {
    before(path).is_file() || is_changed(path)
}

/// Whether the file was changed since it was set aside.
fn is_changed(path: &Path) -> bool {
    match (fs::read(beside(path, ASIDE)), fs::read(path)) {
        (Ok(aside), Ok(now)) => aside != now,
        _ => false,
    }
}

/// Sets a file aside as it is now.
fn set_aside(path: &Path, now: &str) -> Result<(), String> {
    let aside = OutputFile::claim_again(&beside(path, ASIDE))?;
    aside.fill_with(now).map(|_| ())
}

/// Ends a change: what was set aside is what is kept now, or nothing where the file was not changed.
fn settle(path: &Path) -> Result<(), String> {
    let aside = beside(path, ASIDE);
    if !aside.exists() {
        return Ok(());
    }
    let settled = match is_changed(path) {
        true => fs::rename(&aside, before(path)),
        false => fs::remove_file(&aside),
    };
    settled.map_err(|e| format!("can't write {}: {e}", before(path).shown()))
}

/// Changes a file and keeps it as it was.
fn change(path: &Path, now: Option<&str>, then: &str) -> Result<(), String> {
    settle(path)?;
    let place = OutputFile::claim_again(path)?;
    if let Some(now) = now {
        set_aside(path, now)?;
    }
    place.fill_with(then)?;
    settle(path)
}

impl Edited {
    /// That the file was seen as it was read here, by the fingerprint that whoever saw it was given.
    ///
    /// # Errors
    /// Where it is another one.
    pub fn as_seen(&self, fingerprint: &str) -> Result<(), NotWritten> {
        match self.fingerprint() == fingerprint {
            true => Ok(()),
            false => Err(NotWritten::Changed(self.path.clone())),
        }
    }

    /// Writes all changes at once, and keeps the file as it was beside it, under [`before`].
    ///
    /// # Errors
    /// Where somebody else has written the file meanwhile, or it can't be written.
    pub fn save_keeping(&mut self) -> Result<(), NotWritten> {
        self.unchanged()?;
        let text = self.written();
        change(&self.path, self.last.as_deref(), &text)?;
        self.last = Some(text);
        Ok(())
    }
}

/// Puts a file back as it was before the last change. What it was until now is kept in its place, so that
/// the same again undoes it.
///
/// # Errors
/// Where the file is no longer as it was seen, was never changed, or can't be written.
pub fn put_back(path: &Path, seen: &str) -> Result<(), NotWritten> {
    settle(path)?;
    let kept = before(path);
    if !kept.is_file() {
        return Err(NotWritten::Cannot(format!(
            "{}: nothing was changed here, so nothing can be put back",
            path.shown()
        )));
    }
    let text = |path: &Path| match whole(path) {
        Ok(text) => Ok(text.body),
        Err(problem) => Err(NotWritten::Cannot(problem.to_string())),
    };
    let (now, was) = (text(path)?, text(&kept)?);
    if fingerprint(&now) != seen {
        return Err(NotWritten::Changed(path.to_owned()));
    }
    Ok(change(path, Some(&now), &was)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_that_is_stopped_in_between_is_made_or_not_and_loses_nothing() {
        for steps in 0..=3 {
            let name = format!("shimcast-stopped-{steps}-{}.toml", std::process::id());
            let path = std::env::temp_dir().join(name);
            fs::write(&path, "b = 1\n").expect("a file");
            fs::write(before(&path), "a = 1\n").expect("what is kept");
            let place = OutputFile::claim_again(&path).expect("a place");
            // as far as it comes
            if steps > 0 {
                set_aside(&path, "b = 1\n").expect("set aside");
            }
            match steps > 1 {
                true => drop(place.fill_with("c = 1\n")),
                false => drop(place),
            }
            if steps > 2 {
                settle(&path).expect("an end");
            }
            let (now, was) = match steps > 1 {
                true => ("c = 1\n", "b = 1\n"),
                false => ("b = 1\n", "a = 1\n"),
            };
            let text = |path: &Path| fs::read_to_string(path).expect("a file");
            assert_eq!(text(&path), now, "after {steps} steps");
            assert!(is_before(&path));
            // what it was is had back, and what it is now after that
            for (now, was) in [(now, was), (was, now)] {
                assert_eq!(put_back(&path, &fingerprint(now)), Ok(()), "{steps}");
                assert_eq!(
                    (&*text(&path), &*text(&before(&path))),
                    (was, now),
                    "{steps}"
                );
            }
            assert!(!beside(&path, ASIDE).exists());
            fs::remove_file(before(&path)).expect("what is kept");
            assert!(!is_before(&path));
            fs::remove_file(&path).expect("the file");
        }
    }

    /// What is kept stays as long as the file does: neither is ever on the disk alone.
    #[test]
    fn nothing_is_kept_in_the_place_of_what_is_still_needed() {
        let name = format!("shimcast-needed-{}", std::process::id());
        let folder = std::env::temp_dir().join(name);
        fs::create_dir_all(&folder).expect("a folder");
        let path = folder.join("a.toml");
        fs::write(&path, "b = 1\n").expect("a file");
        fs::write(before(&path), "a = 1\n").expect("what is kept");
        // nothing can be set aside: all of it is as it was
        fs::create_dir(beside(&path, ASIDE)).expect("something in the way");
        assert!(put_back(&path, &fingerprint("b = 1\n")).is_err());
        let text = |path: &Path| fs::read_to_string(path).expect("a file");
        assert_eq!(
            (&*text(&path), &*text(&before(&path))),
            ("b = 1\n", "a = 1\n")
        );
        fs::remove_dir_all(&folder).expect("a folder");
    }
}
