//! Files that are written: under a temporary name first, and nothing overwritten unasked.

use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::{self, BufWriter, ErrorKind, Write};
use std::path::{Path, PathBuf, is_separator};
use std::sync::{Mutex, MutexGuard, PoisonError};

use tempfile::{Builder, TempPath};

use crate::printable::Shown;

/// A place for a file, claimed before the work that fills it: whatever would keep the file from
/// being written shows at once. The file appears under its own name only when it is whole.
#[derive(Debug)]
pub struct OutputFile {
    /// As it was named.
    path: PathBuf,
    /// The file itself, where a link leads to it.
    target: PathBuf,
    file: BufWriter<File>,
    /// What to do where there is such a file already; `None` overwrites it.
    instead: Option<&'static str>,
    /// Whether it is an answer, which never takes the place of what was read for it.
    answer: bool,
}

impl OutputFile {
    /// Claims a place for an answer, where `force` overwrites what is there, but for what the answer is made
    /// from.
    ///
    /// # Errors
    /// In words, where there is something that may not be overwritten, or nothing can be
    /// written there.
    pub fn claim(path: &Path, force: bool) -> Result<Self, String> {
        let instead = "name another file, or say --force";
        let mut place = Self::claim_or(path, (!force).then_some(instead))?;
        place.answer = true;
        place.spares_what_was_read()?;
        Ok(place)
    }

    /// Claims the place of a file that is changed.
    ///
    /// # Errors
    /// In words, where nothing can be written there.
    pub fn claim_again(path: &Path) -> Result<Self, String> {
        Self::claim_or(path, None)
    }

    /// Refuses to write an answer over what it is made from.
    fn spares_what_was_read(&self) -> Result<(), String> {
        match self.answer && files_read().contains(&self.target) {
            true => Err(format!(
                "{} is one of the files that the answer is made from, and stays: name another file",
                self.path.shown()
            )),
            false => Ok(()),
        }
    }

    /// Claims a place where nothing is ever overwritten; `instead` says what to do where there is
    /// something already.
    ///
    /// # Errors
    /// In words, where there is something already, or nothing can be written there.
    pub fn claim_new(path: &Path, instead: &'static str) -> Result<Self, String> {
        Self::claim_or(path, Some(instead))
    }

    fn claim_or(path: &Path, instead: Option<&'static str>) -> Result<Self, String> {
        let Some(name) = path.file_name() else {
            return Err(format!(
                "{} names no file: give the name of one",
                path.shown()
            ));
        };
        if path.is_dir() || path.to_string_lossy().ends_with(is_separator) {
            return Err(format!("{} is a folder: name a file in it", path.shown()));
        }
        free(path, instead)?;
        let target = replaced(path)?;
        let name = target.file_name().unwrap_or(name).to_string_lossy();
        // held while the file is made, so that none is there unlisted
        let mut all = partial();
        if all.iter().any(|(other, _)| *other == target) {
            return Err(format!(
                "can't write {}: the same name is given twice; name another file",
                path.shown()
            ));
        }
        let file = partial_file(&target, &name).map_err(|e| match e.kind() {
            ErrorKind::NotFound => format!(
                "can't write {}: its folder does not exist; make it first, or name another file",
                path.shown()
            ),
            _ => cannot(path, &e),
        })?;
        let (file, temporary) = file.into_parts();
        all.push((target.clone(), temporary));
        Ok(Self {
            path: path.to_owned(),
            target,
            file: BufWriter::new(file),
            instead,
            answer: false,
        })
    }

    /// Where the file will be.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Fills the file and gives it its name.
    ///
    /// # Errors
    /// In words, where writing fails or something has come to be there meanwhile.
    pub fn fill(
        mut self,
        write: impl FnOnce(&mut dyn Write) -> io::Result<()>,
    ) -> Result<PathBuf, String> {
        let path = self.path.clone();
        self.spares_what_was_read()?;
        write(&mut self.file)
            .and_then(|()| self.file.flush())
            .and_then(|()| self.file.get_ref().sync_all())
            .map_err(|e| cannot(&path, &e))?;
        // held until it has its name, so that nobody leaves in between
        let mut all = partial();
        let Some(mut temporary) = taken(&mut all, &self.target) else {
            return Ok(path);
        };
        if let Some(instead) = self.instead {
            match temporary.persist_noclobber(&self.target) {
                Ok(()) => {
                    written().insert(path.clone());
                    return Ok(path);
                }
                Err(e) if e.error.kind() == ErrorKind::AlreadyExists => {
                    return Err(there_already(&path, instead));
                }
                // not every file system can do that
                Err(e) => {
                    free(&path, Some(instead))?;
                    temporary = e.path;
                }
            }
        }
        let persisted = temporary.persist(&self.target);
        persisted.map_err(|e| cannot(&path, &e.error))?;
        written().insert(path.clone());
        Ok(path)
    }

    /// Fills the file with a text and gives it its name.
    ///
    /// # Errors
    /// As [`Self::fill`].
    pub fn fill_with(self, text: &str) -> Result<PathBuf, String> {
        self.fill(|out| out.write_all(text.as_bytes()))
    }
}

/// Refuses a place where there is something that may not be overwritten.
fn free(path: &Path, instead: Option<&str>) -> Result<(), String> {
    match instead {
        Some(instead) if fs::symlink_metadata(path).is_ok() => Err(there_already(path, instead)),
        _ => Ok(()),
    }
}

/// The file itself that is replaced, where a link leads to it; only plain files are.
fn replaced(path: &Path) -> Result<PathBuf, String> {
    match fs::metadata(path) {
        Ok(what) if what.is_file() && what.permissions().readonly() => Err(format!(
            "{} is read-only and stays as it is: name another file, or make it writable first",
            path.shown()
        )),
        Ok(what) if what.is_file() => fs::canonicalize(path).map_err(|e| cannot(path, &e)),
        Ok(_) => Err(format!(
            "{} is no plain file and is not overwritten: name another file",
            path.shown()
        )),
        Err(_) => Ok(path.to_owned()),
    }
}

fn there_already(path: &Path, instead: &str) -> String {
    format!(
        "{} is there already and is not overwritten: {instead}",
        path.shown()
    )
}

fn cannot(path: &Path, e: &io::Error) -> String {
    format!(
        "can't write {}: {e}; name a place that can be written",
        path.shown()
    )
}

impl Drop for OutputFile {
    fn drop(&mut self) {
        drop(taken(&mut partial(), &self.target));
    }
}

/// Files that were read.
static READ: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

fn files_read() -> MutexGuard<'static, BTreeSet<PathBuf>> {
    READ.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Notes that a file is read.
pub fn note_read(path: &Path) {
    if let Ok(whole) = fs::canonicalize(path) {
        files_read().insert(whole);
    }
}

/// Files that were written, and of which nobody has heard.
static WRITTEN: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

fn written() -> MutexGuard<'static, BTreeSet<PathBuf>> {
    WRITTEN.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The files that were written so far, once.
pub fn so_far() -> BTreeSet<PathBuf> {
    std::mem::take(&mut *written())
}

/// Files that are not whole yet, by where they will be. What is taken out of here and dropped is
/// removed from the disk.
static PARTIAL: Mutex<Vec<(PathBuf, TempPath)>> = Mutex::new(Vec::new());

type Partial = Vec<(PathBuf, TempPath)>;

fn partial() -> MutexGuard<'static, Partial> {
    PARTIAL.lock().unwrap_or_else(PoisonError::into_inner)
}

fn taken(all: &mut Partial, target: &Path) -> Option<TempPath> {
    let place = all.iter().position(|(other, _)| other == target)?;
    Some(all.swap_remove(place).1)
}

/// A file beside its place, hidden, that may be read by whoever may read what the user writes.
fn partial_file(target: &Path, name: &str) -> io::Result<tempfile::NamedTempFile> {
    let folder = match target.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    let prefix = format!(".{name}.partial-");
    let mut builder = Builder::new();
    builder.prefix(&prefix);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

/// Ends the program at once; no file that is not whole is left behind.
pub fn leave(code: i32) -> ! {
    // held to the end, so that no other comes to be
    let mut all = partial();
    all.clear();
    std::process::exit(code)
}

/// Makes a folder where there is none.
///
/// # Errors
/// In words, where it can't be made.
pub fn folder(path: &Path) -> Result<(), String> {
    fs::create_dir_all(path).map_err(|e| {
        format!(
            "can't make the folder {}: {e}; name one that can be made",
            path.shown()
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A folder of its own, gone with the test.
    struct Folder(PathBuf);

    impl Folder {
        fn new(name: &str) -> Self {
            let path = std::env::temp_dir().join(format!("shimcast-{name}-{}", std::process::id()));
            fs::create_dir_all(&path).expect("a temporary folder");
            Self(path)
        }

        fn names(&self) -> Vec<String> {
            let entries = fs::read_dir(&self.0).expect("a folder");
            let name = |entry: io::Result<fs::DirEntry>| entry.expect("an entry").file_name();
            entries
                .map(|entry| name(entry).to_string_lossy().into_owned())
                .collect()
        }
    }

    impl Drop for Folder {
        fn drop(&mut self) {
            let _ = fs::remove_dir_all(&self.0);
        }
    }

    #[test]
    fn what_came_meanwhile_stays_unless_it_may_be_overwritten() {
        let folder = Folder::new("meanwhile");
        let path = folder.0.join("list.csv");
        for overwrite in [false, true] {
            let place = OutputFile::claim(&path, overwrite).expect("a place");
            assert_eq!(folder.names().len(), 1);
            fs::write(&path, "mine").expect("a file");
            let filled = place.fill_with("new");
            assert_eq!(filled.is_ok(), overwrite);
            let expected = if overwrite { "new" } else { "mine" };
            assert_eq!(fs::read_to_string(&path).expect("a file"), expected);
            assert_eq!(folder.names(), ["list.csv"]);
            fs::remove_file(&path).expect("a file to remove");
        }
        let place = OutputFile::claim_new(&path, "move it").expect("a place");
        fs::write(&path, "mine").expect("a file");
        let refused = place.fill_with("new").expect_err("something came");
        assert!(
            refused.ends_with("is not overwritten: move it"),
            "{refused}"
        );
    }

    #[test]
    fn a_place_is_claimed_once_and_given_back() {
        let folder = Folder::new("claimed");
        let path = folder.0.join("list.csv");
        let first = OutputFile::claim(&path, true).expect("a place");
        let refused = OutputFile::claim(&path, true).expect_err("a place that is taken");
        assert!(refused.contains("given twice"), "{refused}");
        assert_eq!(first.fill_with("whole").as_deref(), Ok(&*path));
        drop(OutputFile::claim(&folder.0.join("other.csv"), false).expect("a place"));
        let failing = OutputFile::claim(&folder.0.join("third.csv"), false).expect("a place");
        let refused = failing.fill(|_| Err(io::Error::other("full")));
        assert!(refused.is_err_and(|refused| refused.contains("full")));
        assert_eq!(folder.names(), ["list.csv"]);
    }

    #[test]
    fn what_names_no_file_is_refused_at_once() {
        let folder = Folder::new("refused");
        for (name, word) in [
            ("", "is a folder"),
            ("later/", "is a folder"),
            ("..", "names no file"),
            ("no/list.csv", "its folder does not exist"),
        ] {
            let refused = OutputFile::claim(&folder.0.join(name), false).expect_err(name);
            assert!(refused.contains(word), "{refused}");
        }
        assert!(folder.names().is_empty());
    }
}
