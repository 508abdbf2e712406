//! Files that are written: under a temporary name first, and nothing overwritten unasked.

use std::fs::{self, File, OpenOptions};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

/// A place for a file, claimed before the work that fills it: whatever would keep the file from
/// being written shows at once. The file appears under its own name only when it is whole.
#[derive(Debug)]
pub struct Place {
    path: PathBuf,
    temporary: PathBuf,
    file: Option<BufWriter<File>>,
    overwrite: bool,
}

impl Place {
    /// Claims a place.
    ///
    /// # Errors
    /// In words, where something stands there and may not be overwritten, or nothing can be
    /// written there.
    pub fn claim(path: &Path, overwrite: bool) -> Result<Self, String> {
        let Some(name) = path.file_name() else {
            return Err(format!(
                "{} names no file: give a name, e.g. report.html",
                path.display()
            ));
        };
        if path.is_dir() {
            return Err(format!("{} is a folder: name a file in it", path.display()));
        }
        let mut place = Self {
            path: path.to_owned(),
            temporary: path.with_file_name(format!(
                ".{}.partial-{}",
                name.to_string_lossy(),
                std::process::id()
            )),
            file: None,
            overwrite,
        };
        place.free()?;
        let open = OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(&place.temporary);
        match open {
            Ok(file) => {
                place.file = Some(BufWriter::new(file));
                Ok(place)
            }
            Err(e) => Err(place.cannot(&e)),
        }
    }

    /// Where the file will stand.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Fills the file and gives it its name.
    ///
    /// # Errors
    /// In words, where writing fails or something has come to stand there meanwhile.
    pub fn fill(
        mut self,
        write: impl FnOnce(&mut dyn Write) -> io::Result<()>,
    ) -> Result<PathBuf, String> {
        let mut file = self.file.take().expect("a claimed place has its file");
        write(&mut file)
            .and_then(|()| file.flush())
            .and_then(|()| file.get_ref().sync_all())
            .map_err(|e| self.cannot(&e))?;
        drop(file);
        self.free()?;
        fs::rename(&self.temporary, &self.path).map_err(|e| self.cannot(&e))?;
        Ok(self.path.clone())
    }

    fn free(&self) -> Result<(), String> {
        if !self.overwrite && fs::symlink_metadata(&self.path).is_ok() {
            return Err(format!(
                "{} is there already and is not overwritten: name another file with -o or another \
                 folder, or say --force",
                self.path.display()
            ));
        }
        Ok(())
    }

    fn cannot(&self, e: &io::Error) -> String {
        format!(
            "can't write {}: {e}; name a place that can be written",
            self.path.display()
        )
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        // gone already where the file got its name
        let _ = fs::remove_file(&self.temporary);
    }
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
