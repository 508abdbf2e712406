//! `shimcast new`: starter files, which are the built-in demo and a short axle file, written where
//! there is nothing yet.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use crate::cli::New;
use crate::files::{
    AXLE_IN_INCHES, BUILT_IN_AXLE, BUILT_IN_PAIRS, BUILT_IN_SHOP, BuiltInFile, GARAGE_SHOP,
    SECOND_AXLE, SHOP_IN_INCHES, SHORT_AXLE, SHORT_AXLE_IN_INCHES,
};
use crate::questions::Exit;
use crate::questions::context::Failure;
use crate::questions::context::print;
use crate::written::{OutputFile, folder};

/// What is written, with a word on each.
type Starters = [(BuiltInFile, &'static str); 6];

/// The starter files in millimetres or in inches; the short axle comes first, the shop fourth.
fn starters(inch: bool) -> Starters {
    let [short, full, shop] = match inch {
        true => [SHORT_AXLE_IN_INCHES, AXLE_IN_INCHES, SHOP_IN_INCHES],
        false => [SHORT_AXLE, BUILT_IN_AXLE, BUILT_IN_SHOP],
    };
    [
        (short, "start here: the figures that any workshop can find"),
        (full, "a full axle file: every figure there is"),
        (SECOND_AXLE, "another one, in inches, with a solid spacer"),
        (shop, "the shop: habits, instruments, times, shims"),
        (GARAGE_SHOP, "another shop: a first-timer in a home garage"),
        (BUILT_IN_PAIRS, "tooth pairs to choose a ratio from"),
    ]
}

/// Writes the starter files and says so.
pub(crate) fn new(args: &New) -> Result<Exit, Failure> {
    let written = write(&args.dir, &starters(args.inch)).map_err(Failure::CannotAccess)?;
    print(&written)?;
    Ok(Exit::Done)
}

/// Writes the starter files into a folder, all or none, and says what was written; in words, too,
/// where a file of that name is there already or can't be written.
fn write(dir: &Path, starters: &Starters) -> Result<String, String> {
    let made_dir = !dir.exists();
    folder(dir)?;
    let paths: Vec<PathBuf> = starters
        .iter()
        .map(|(built_in, _)| dir.join(built_in.name))
        .collect();
    all(starters, &paths).inspect_err(|_| {
        if made_dir {
            let _ = fs::remove_dir(dir);
        }
    })?;
    let width = paths
        .iter()
        .map(|p| p.display().to_string().chars().count())
        .max()
        .unwrap_or(0);
    let mut list = String::from("Written:\n");
    for ((_, what), path) in starters.iter().zip(&paths) {
        let _ = writeln!(list, "  {:width$}  {what}", path.display().to_string());
    }
    let _ = write!(
        list,
        "\nNext:\n  shimcast check {axle} --shop {shop}\n  shimcast odds {axle} --shop {shop}\n",
        axle = paths[0].display(),
        shop = paths[3].display(),
    );
    Ok(list)
}

/// Writes all of them, or none.
fn all(starters: &Starters, paths: &[PathBuf]) -> Result<(), String> {
    let instead = "name another folder, or move what is there";
    let standing: Vec<String> = paths
        .iter()
        .filter(|path| fs::symlink_metadata(path).is_ok())
        .map(|path| path.display().to_string())
        .collect();
    if !standing.is_empty() {
        return Err(format!(
            "nothing was written, since this would overwrite {}; {instead}",
            standing.join(", ")
        ));
    }
    let places: Vec<OutputFile> = paths
        .iter()
        .map(|path| OutputFile::claim_new(path, instead))
        .collect::<Result<_, _>>()?;
    let mut done = Vec::new();
    for ((built_in, _), place) in starters.iter().zip(places) {
        match place.fill_with(built_in.text) {
            Ok(path) => done.push(path),
            Err(e) => {
                for path in done {
                    let _ = fs::remove_file(path);
                }
                return Err(e);
            }
        }
    }
    Ok(())
}
