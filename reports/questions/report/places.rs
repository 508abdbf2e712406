//! Where a page and its files go.

use std::ffi::OsStr;
use std::fmt::Write;
use std::path::{Path, PathBuf};

use super::reported::Reported;
use super::tell::{self, FIGURES, TABLES};
use crate::cli::{Audience, Report};
use crate::document::Figure;
use crate::faces;
use crate::figures::counted;
use crate::printable::Shown;
use crate::questions::context::Failure;
use crate::questions::rebuilds::{Rebuilds, key_beside};
use crate::spreadsheet::Decimal;
use crate::written::{OutputFile, folder};

/// Where a page goes when nobody says.
const PAGE: &str = "shimcast-report.html";
const CUSTOMER: &str = "shimcast-customer.html";
const SHEET: &str = "shimcast-sheet.html";
/// The file of single rebuilds.
const REBUILDS: &str = "rebuilds.csv";

/// Where everything goes, claimed before the run.
pub(super) struct Places {
    /// `None` prints the page.
    page: Option<OutputFile>,
    charts: Vec<OutputFile>,
    tables: Vec<OutputFile>,
    /// Single rebuilds, and the key of their columns.
    rebuilds: Option<[OutputFile; 2]>,
}

impl Places {
    pub(super) fn claim(args: &Report) -> Result<Self, Failure> {
        let claim =
            |path: &Path| OutputFile::claim(path, args.force).map_err(Failure::CannotAccess);
        let inside = |dir: &Option<PathBuf>, names: &[&str], ending: &str| {
            let Some(dir) = dir else {
                return Ok(Vec::new());
            };
            folder(dir).map_err(Failure::CannotAccess)?;
            names
                .iter()
                .map(|name| claim(&dir.join(format!("{name}.{ending}"))))
                .collect::<Result<Vec<OutputFile>, Failure>>()
        };
        let tables: Vec<&str> = FIGURES.into_iter().chain(TABLES).collect();
        let usual = match args.audience {
            _ if args.sheet => SHEET,
            Audience::Customer => CUSTOMER,
            Audience::Shop | Audience::Student => PAGE,
        };
        let output = args.output.as_deref().unwrap_or(Path::new(usual));
        Ok(Self {
            page: if output == Path::new("-") {
                None
            } else {
                Some(claim(output)?)
            },
            charts: inside(&args.charts, &FIGURES, "svg")?,
            tables: inside(&args.csv, &tables, "csv")?,
            rebuilds: match (args.sampled.sample, &args.csv) {
                (Some(_), Some(dir)) => {
                    let path = dir.join(REBUILDS);
                    Some([claim(&path)?, claim(&key_beside(&path))?])
                }
                _ => None,
            },
        })
    }

    pub(super) fn write(
        self,
        asked: &Reported<'_>,
        audience: Audience,
        rebuilds: Option<Rebuilds<'_>>,
        decimal: Decimal,
    ) -> Result<String, Failure> {
        let document = tell::tell(asked, audience);
        let html = faces::html::page(&document);
        let [mut figures, mut tables] = [const { Vec::new() }; 2];
        if !self.charts.is_empty() || !self.tables.is_empty() {
            // files have every figure, whoever the page is for
            let every = match audience {
                Audience::Student => document,
                Audience::Shop | Audience::Customer => tell::tell(asked, Audience::Student),
            };
            if !self.charts.is_empty() {
                let file = |of: &Figure| {
                    let made = asked.made_of(of.name);
                    (of.name.to_owned(), faces::svg::file(of, &made))
                };
                figures.extend(every.figures().map(file));
            }
            if !self.tables.is_empty() {
                tables.extend(tell::data(asked, &every, decimal));
            }
        }
        let mut list = String::new();
        let Self {
            page,
            charts,
            tables: table_places,
            rebuilds: rebuilds_place,
        } = self;
        all(charts, &figures, ["figure", "figures"], &mut list)?;
        all(table_places, &tables, ["table", "tables"], &mut list)?;
        if let (Some([place, key]), Some(rebuilds)) = (rebuilds_place, rebuilds) {
            let path = place
                .fill(|out| rebuilds.write(out))
                .map_err(Failure::CannotAccess)?;
            let _ = writeln!(
                list,
                "  {}  {}, one a row",
                path.shown(),
                crate::figures::rebuilds(rebuilds.number)
            );
            let path = key
                .fill_with(&rebuilds.key())
                .map_err(Failure::CannotAccess)?;
            let _ = writeln!(list, "  {}  the key of its columns", path.shown());
        }
        let places = Self {
            page,
            charts: Vec::new(),
            tables: Vec::new(),
            rebuilds: None,
        };
        places.page(&html, "the page", &mut list)?;
        Ok(list)
    }

    /// Writes or prints the page, last of all, so that it only speaks of what is there.
    pub(super) fn page(self, html: &str, what: &str, list: &mut String) -> Result<(), Failure> {
        let Some(place) = self.page else {
            // what else was written is no part of the page
            *list = html.to_owned();
            return Ok(());
        };
        let path = place.fill_with(html).map_err(Failure::CannotAccess)?;
        *list = format!("Written:\n  {}  {what}\n{list}", path.shown());
        Ok(())
    }
}

/// Fills the places of one folder whose names are those of texts; the others are given back.
fn all(
    places: Vec<OutputFile>,
    texts: &[(String, String)],
    what: [&str; 2],
    list: &mut String,
) -> Result<(), Failure> {
    let mut filled = Vec::new();
    for place in places {
        let stem = place.path().file_stem().and_then(OsStr::to_str);
        let text = texts.iter().find(|(name, _)| stem == Some(name.as_str()));
        if let Some((_, text)) = text {
            filled.push(place.fill_with(text).map_err(Failure::CannotAccess)?);
        }
    }
    if let Some(folder) = filled.first().and_then(|path| path.parent()) {
        let many = counted(filled.len() as u64, what);
        let _ = writeln!(list, "  {}  {many}, a file each", folder.shown());
    }
    Ok(())
}
