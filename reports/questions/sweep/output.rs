//! The files of a sweep: what goes into each is said by its ending.

use std::ffi::OsStr;
use std::path::Path;

use crate::cli;
use crate::printable::Shown;
use crate::questions::context::{Failure, STDOUT};
use crate::written::OutputFile;

/// What a file holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// A line a point, for a spreadsheet.
    Table,
    /// Lines or maps.
    Chart,
    /// The JSON of the answer.
    Json,
}

impl Kind {
    const ALL: [Self; 3] = [Self::Table, Self::Chart, Self::Json];

    fn ending(self) -> &'static str {
        match self {
            Self::Table => "csv",
            Self::Chart => "svg",
            Self::Json => "json",
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Table => "a table",
            Self::Chart => "a chart",
            Self::Json => "one JSON object",
        }
    }
}

/// The files that were asked for, claimed.
///
/// # Errors
/// Where an ending says nothing that can be written, or a file can't be.
pub(super) fn claim(args: &cli::Sweep) -> Result<Vec<(OutputFile, Kind)>, Failure> {
    let output = args.output.iter().map(|path| ("-o", path, &Kind::ALL[..]));
    let csv = args
        .csv
        .iter()
        .filter(|path| path.as_path() != Path::new(STDOUT));
    let csv = csv.map(|path| ("--csv", path, &[Kind::Table][..]));
    let chart = args
        .chart
        .iter()
        .map(|path| ("--chart", path, &[Kind::Chart][..]));
    output
        .chain(csv)
        .chain(chart)
        .map(|(option, path, kinds)| {
            let kind = by_ending(option, path, kinds)?;
            let place = OutputFile::claim(path, args.force);
            Ok((place.map_err(Failure::CannotAccess)?, kind))
        })
        .collect()
}

/// What a file is to hold, by its ending.
fn by_ending(option: &str, path: &Path, kinds: &[Kind]) -> Result<Kind, Failure> {
    let shown = path.shown();
    if path == Path::new(STDOUT) {
        return Err(Failure::BadInput(format!(
            "{option} -: a figure is not printed; name a file, e.g. sweep.svg (--csv - prints the \
             table, --json the JSON object)"
        )));
    }
    let ending = path.extension().and_then(OsStr::to_str).unwrap_or_default();
    let fits = |kind: &&Kind| ending.eq_ignore_ascii_case(kind.ending());
    kinds.iter().find(fits).copied().ok_or_else(|| {
        let possible: Vec<String> = kinds
            .iter()
            .map(|kind| format!(".{} for {}", kind.ending(), kind.words()))
            .collect();
        Failure::BadInput(format!(
            "{option} {shown}: the ending says what is written: {}; name such a file",
            possible.join(", ")
        ))
    })
}
