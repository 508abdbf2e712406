//! The schemas that lie beside files, and the line by which an editor finds them.

use std::path::{Path, PathBuf};

use super::schema;
use crate::files::FileKind;

/// Kinds of files that have a schema, with what it is called in its folder.
const NAMES: [(FileKind, &str); 3] = [
    (FileKind::Axle, "axle.json"),
    (FileKind::Shop, "shop.json"),
    (FileKind::Job, "job.json"),
];
/// The folder beside the files in which they lie.
const FOLDER: &str = "schema";

/// The schemas of all kinds of files for a folder of files: where they lie, and their texts.
pub(crate) fn schemas(folder: &Path) -> impl Iterator<Item = (PathBuf, String)> {
    let folder = folder.join(FOLDER);
    NAMES
        .into_iter()
        .map(move |(kind, name)| (folder.join(name), schema(kind)))
}

/// The line at the head of a file by which editors find its schema.
fn pointer(name: &str) -> String {
    format!("#:schema ./{FOLDER}/{name}\n")
}

/// What stands at the head of a file of this name beside the schemas; nothing where it has none.
pub(crate) fn pointer_of(file: &str) -> String {
    let of = NAMES.iter().find(|(kind, _)| file.ends_with(kind.ending()));
    of.map_or(String::new(), |(_, name)| pointer(name))
}

/// The same of a new file at this place, where the schemas lie beside it.
pub(crate) fn head_of(path: &Path) -> String {
    let name = path.file_name().unwrap_or(path.as_os_str());
    match path.with_file_name(FOLDER).is_dir() {
        true => pointer_of(&name.to_string_lossy()),
        false => String::new(),
    }
}
