//! Starter files: the built-in demo and a short axle file, written where nothing stands yet.

use std::fmt::Write as _;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use crate::files::{
    BUILT_IN_AXLE, BUILT_IN_PAIRS, BUILT_IN_SHOP, GARAGE_SHOP, SECOND_AXLE, SHORT_AXLE, Shipped,
};

/// What is written, with a word on each.
const STARTERS: [(Shipped, &str); 6] = [
    (
        SHORT_AXLE,
        "start here: the figures that any workshop can find",
    ),
    (BUILT_IN_AXLE, "a full axle file: every figure there is"),
    (SECOND_AXLE, "another one, in inches, with a solid spacer"),
    (BUILT_IN_SHOP, "the shop: habits, instruments, times, shims"),
    (GARAGE_SHOP, "another shop: a first-timer in a home garage"),
    (BUILT_IN_PAIRS, "tooth pairs to choose a ratio from"),
];

/// Writes the starter files into a folder, all or none, and says what was written.
///
/// # Errors
/// In words, where a file of that name stands already or can't be written.
pub fn write(dir: &Path) -> Result<String, String> {
    let made_dir = !dir.exists();
    fs::create_dir_all(dir).map_err(|e| format!("can't make the folder {}: {e}", dir.display()))?;
    let paths: Vec<PathBuf> = STARTERS
        .iter()
        .map(|(shipped, _)| dir.join(shipped.name))
        .collect();
    let standing: Vec<String> = paths
        .iter()
        .filter(|path| path.exists())
        .map(|path| path.display().to_string())
        .collect();
    if !standing.is_empty() {
        return Err(format!(
            "nothing was written, since this would overwrite {}; name another folder, or move \
             what is there",
            standing.join(", ")
        ));
    }
    let mut done: Vec<&Path> = Vec::new();
    for ((shipped, _), path) in STARTERS.iter().zip(&paths) {
        if let Err(e) = write_new(path, shipped.text) {
            for path in done {
                let _ = fs::remove_file(path);
            }
            if made_dir {
                let _ = fs::remove_dir(dir);
            }
            return Err(format!("can't write {}: {e}", path.display()));
        }
        done.push(path);
    }
    let width = paths
        .iter()
        .map(|p| p.display().to_string().chars().count())
        .max()
        .unwrap_or(0);
    let mut told = String::from("Written:\n");
    for ((_, what), path) in STARTERS.iter().zip(&paths) {
        let _ = writeln!(told, "  {:width$}  {what}", path.display().to_string());
    }
    let _ = write!(
        told,
        "\nNext:\n  shimcast check {axle} --shop {shop}\n  shimcast odds {axle} --shop {shop}\n",
        axle = paths[0].display(),
        shop = paths[3].display(),
    );
    Ok(told)
}

/// Takes the name first, which fails where something stands, and puts the whole file there under
/// another name until it is complete.
fn write_new(path: &Path, text: &str) -> io::Result<()> {
    let new = |path: &Path| OpenOptions::new().write(true).create_new(true).open(path);
    drop(new(path)?);
    let temporary = path.with_extension(format!("partial-{}", std::process::id()));
    let written = new(&temporary)
        .and_then(|mut file: File| {
            file.write_all(text.as_bytes())
                .and_then(|()| file.sync_all())
        })
        .and_then(|()| fs::rename(&temporary, path));
    if written.is_err() {
        let _ = fs::remove_file(&temporary);
        let _ = fs::remove_file(path);
    }
    written
}
