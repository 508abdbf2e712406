//! An axle file or a shop file as a form: a field a key, made of what the reader asks for, and back into
//! the file.
//!
//! What is typed is read as people say it, put into the text of the file, and that text is read by the
//! reader of every answer before anything is written: what that refuses is told at its field.

mod effects;
mod fields;
mod read;
mod send;
mod table;
mod typed;

use std::path::PathBuf;

use crate::files::{Described, Edited, NotWritten, Problems, Source, is_before};

pub use effects::by_effect;
pub use fields::{Fields, fields};
use read::{Read, in_words, read};
pub use send::send;
pub use table::table;

/// A file that a form is made of.
#[derive(Debug, Clone)]
pub struct FormFile {
    /// Where it is.
    pub path: PathBuf,
    /// What kind of file it is.
    pub kind: FileKind,
}

/// What kind of file it is, and what is read beside it.
#[derive(Debug, Clone)]
pub enum FileKind {
    /// An axle, for this shop.
    Axle(Source),
    /// A shop; the axles of its jobs lie beside it.
    Shop,
}

/// A file as a form.
#[derive(Debug, Clone, Default)]
pub struct FileForm {
    /// Its fields.
    pub fields: Fields,
    /// What is wrong and has no field, a sentence each.
    pub problems: Vec<String>,
    /// What has no effect or looks odd, a sentence each.
    pub warnings: Vec<String>,
    /// The fingerprint of the file, which a change must carry.
    pub fingerprint: String,
    /// Whether the file is there as it was before the last change.
    pub can_be_put_back: bool,
    /// The keys of the file, one by one.
    pub keys: Vec<Described>,
}

/// What became of a change.
#[derive(Debug)]
pub enum Sent {
    /// It is in the file.
    Written,
    /// There was nothing to change.
    AsItWas,
    /// Something is wrong, told at its field, where what was typed stays; nothing was written.
    Wrong(Box<FileForm>),
}

/// Why there is no form, or nothing was written.
#[derive(Debug)]
pub enum Refused {
    /// The file can't be read at all.
    Unreadable(Problems),
    /// It is no longer as it was seen, or can't be written.
    NotWritten(NotWritten),
}

impl From<Problems> for Refused {
    fn from(problems: Problems) -> Self {
        Self::Unreadable(problems)
    }
}

impl From<NotWritten> for Refused {
    fn from(why: NotWritten) -> Self {
        Self::NotWritten(why)
    }
}

/// The form of a file as it is.
///
/// # Errors
/// Where the file can't be read at all: what is wrong with single keys stands at their fields.
pub fn form(file: &FormFile) -> Result<FileForm, Refused> {
    let edited = Edited::open(&file.path, "")?;
    let read = read(&file.kind, &edited.source())?;
    Ok(told(file, &edited, &read, &[], &[]))
}

/// The form of a file, with what was typed in place of what it says.
fn told(
    file: &FormFile,
    edited: &Edited,
    read: &Read,
    typed: &[(String, String)],
    wrong: &[(String, String)],
) -> FileForm {
    let flaws = [&read.flaws, &read.remarks].into_iter().flatten().cloned();
    // beside a field stands what was typed last, and what is wrong with that
    let flaws: Vec<(String, String)> = match wrong {
        [] => flaws.collect(),
        wrong => wrong.to_vec(),
    };
    let mut problems = Vec::new();
    let blank = fields::blank_entries(&file.kind, &read.description);
    let fields = fields::controls(&read.description, &blank, typed, &flaws, &mut problems);
    let warnings = read.description.warnings.iter();
    FileForm {
        fields,
        problems,
        warnings: warnings.map(in_words).collect(),
        fingerprint: edited.fingerprint(),
        can_be_put_back: is_before(&file.path),
        keys: read.description.keys.clone(),
    }
}
