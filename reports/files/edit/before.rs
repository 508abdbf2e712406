//! A file as it was before the last change: kept beside it, and put back.

use std::fmt;
use std::path::{Path, PathBuf};

use super::Edited;
use crate::files::open::whole;
use crate::files::read::fingerprint;
use crate::written::OutputFile;

/// What the name of a file as it was ends in.
const BEFORE: &str = "before";

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
                path.display()
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

/// Where a file is kept as it was before the last change.
pub fn before(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".");
    name.push(BEFORE);
    name.into()
}

/// Whether a file is there as it was before the last change.
pub fn is_before(path: &Path) -> bool {
    before(path).is_file()
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
        let place = OutputFile::claim(&self.path, true)?;
        if let Some(last) = &self.last {
            OutputFile::claim(&before(&self.path), true)?.fill_with(last)?;
        }
        place.fill_with(&text)?;
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
    let kept = before(path);
    if !kept.is_file() {
        return Err(NotWritten::Cannot(format!(
            "{}: nothing was changed here, so nothing can be put back",
            path.display()
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
    let places = [path, &kept].map(|path| OutputFile::claim(path, true));
    let [file, beside] = places;
    let (file, beside) = (file?, beside?);
    file.fill_with(&was)?;
    beside.fill_with(&now)?;
    Ok(())
}
