//! Files that are written: under a temporary name first, and nothing overwritten unasked.

use std::fs::{self, File, OpenOptions};
use std::io::{self, BufWriter, ErrorKind, Write};
use std::path::{Path, PathBuf, is_separator};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// A place for a file, claimed before the work that fills it: whatever would keep the file from
/// being written shows at once. The file appears under its own name only when it is whole.
#[derive(Debug)]
pub struct OutputFile {
    /// As it was named.
    path: PathBuf,
    /// The file itself, where a link leads to it.
    target: PathBuf,
    // closed before the temporary file is removed, as fields are dropped in order
    file: BufWriter<File>,
    temporary: Temporary,
    /// What to do where there is such a file already; `None` overwrites it.
    instead: Option<&'static str>,
}

impl OutputFile {
    /// Claims a place where `--force` overwrites what is there.
    ///
    /// # Errors
    /// In words, where there is something that may not be overwritten, or nothing can be
    /// written there.
    pub fn claim(path: &Path, overwrite: bool) -> Result<Self, String> {
        let instead = "name another file with -o or another folder, or say --force";
        Self::claim_or(path, (!overwrite).then_some(instead))
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
                path.display()
            ));
        };
        if path.is_dir() || path.to_string_lossy().ends_with(is_separator) {
            return Err(format!("{} is a folder: name a file in it", path.display()));
        }
        free(path, instead)?;
        let target = replaced(path)?;
        let name = target.file_name().unwrap_or(name);
        let beside = target.with_file_name(format!(
            ".{}.partial-{}",
            name.to_string_lossy(),
            std::process::id()
        ));
        let (temporary, file) = Temporary::new(&beside).map_err(|e| match e.kind() {
            ErrorKind::NotFound => format!(
                "can't write {}: its folder does not exist; make it first, or name another file",
                path.display()
            ),
            ErrorKind::AlreadyExists => format!(
                "can't write {}: {} is there already, from the same name given twice or a run that \
                 was killed; name another file, or remove that one",
                path.display(),
                beside.display()
            ),
            _ => cannot(path, &e),
        })?;
        Ok(Self {
            path: path.to_owned(),
            target,
            file: BufWriter::new(file),
            temporary,
            instead,
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
        self,
        write: impl FnOnce(&mut dyn Write) -> io::Result<()>,
    ) -> Result<PathBuf, String> {
        let Self {
            path,
            target,
            mut file,
            temporary,
            instead,
        } = self;
        write(&mut file)
            .and_then(|()| file.flush())
            .and_then(|()| file.get_ref().sync_all())
            .map_err(|e| cannot(&path, &e))?;
        drop(file);
        if let Some(instead) = instead {
            // unlike a rename, a link never replaces what came to be there meanwhile
            match fs::hard_link(&temporary.0, &target) {
                Ok(()) => return Ok(path),
                Err(e) if e.kind() == ErrorKind::AlreadyExists => {
                    return Err(there_already(&path, instead));
                }
                // not every file system has links
                Err(_) => free(&path, Some(instead))?,
            }
        }
        fs::rename(&temporary.0, &target).map_err(|e| cannot(&path, &e))?;
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
        Ok(what) if what.is_file() => fs::canonicalize(path).map_err(|e| cannot(path, &e)),
        Ok(_) => Err(format!(
            "{} is no plain file and is not overwritten: name another file",
            path.display()
        )),
        Err(_) => Ok(path.to_owned()),
    }
}

fn there_already(path: &Path, instead: &str) -> String {
    format!(
        "{} is there already and is not overwritten: {instead}",
        path.display()
    )
}

fn cannot(path: &Path, e: &io::Error) -> String {
    format!(
        "can't write {}: {e}; name a place that can be written",
        path.display()
    )
}

/// A file that is not whole yet; removed with this.
#[derive(Debug)]
struct Temporary(PathBuf);

/// All of them, for the one way out that drops nothing.
static TEMPORARY: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

fn temporary() -> MutexGuard<'static, Vec<PathBuf>> {
    TEMPORARY.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Temporary {
    fn new(path: &Path) -> io::Result<(Self, File)> {
        // held while the file is made, so that none is there unlisted
        let mut all = temporary();
        let file = OpenOptions::new().write(true).create_new(true).open(path)?;
        all.push(path.to_owned());
        Ok((Self(path.to_owned()), file))
    }
}

impl Drop for Temporary {
    fn drop(&mut self) {
        let mut all = temporary();
        // gone already where the file got its name
        let _ = fs::remove_file(&self.0);
        all.retain(|path| *path != self.0);
    }
}

/// Ends the program at once; no file that is not whole is left behind.
pub fn leave(code: i32) -> ! {
    // held to the end, so that no other comes to be
    let all = temporary();
    for path in &*all {
        let _ = fs::remove_file(path);
    }
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
            path.display()
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
