//! `shimcast new`: starter files, which are the built-in demo and a short axle file, or the lessons
//! with the files that they work on, written where there is nothing yet.

use std::fs;
use std::path::{Path, PathBuf};

use crate::asking::terminal::Terminal;
use crate::asking::{self, Filled};
use crate::cli::New;
use crate::document::{AT_WORK, Block, CAUTION, Column, Document, Table};
use crate::files::{
    AXLE_IN_INCHES, BENCH_JOB, BENCH_JOB_IN_INCHES, BUILT_IN_AXLE, BUILT_IN_PAIRS, BUILT_IN_SHOP,
    BuiltInFile, GARAGE_SHOP, SECOND_AXLE, SHOP_IN_INCHES, SHORT_AXLE, SHORT_AXLE_IN_INCHES,
};
use crate::printable::Shown;
use crate::questions::context::Failure;
use crate::reference::{head_of, pointer_of, schemas};
use crate::written::{OutputFile, folder};

/// What is written, with a word on each.
type Starters = [(BuiltInFile, &'static str); 7];

/// The starter files in millimetres or in inches; the short axle comes first, the shop fourth.
fn starters(inch: bool) -> Starters {
    let [short, full, shop, job] = match inch {
        true => [
            SHORT_AXLE_IN_INCHES,
            AXLE_IN_INCHES,
            SHOP_IN_INCHES,
            BENCH_JOB_IN_INCHES,
        ],
        false => [SHORT_AXLE, BUILT_IN_AXLE, BUILT_IN_SHOP, BENCH_JOB],
    };
    [
        (short, "start here: the figures that any workshop can find"),
        (full, "a full axle file: every figure there is"),
        (SECOND_AXLE, "another one, in inches, with a solid spacer"),
        (shop, "the shop: habits, instruments, times, shims"),
        (GARAGE_SHOP, "another shop: a first-timer in a home garage"),
        (BUILT_IN_PAIRS, "tooth pairs to choose a ratio from"),
        (job, "one axle on the bench: what was fitted and read"),
    ]
}

macro_rules! lesson {
    ($name:literal) => {
        BuiltInFile {
            name: $name,
            text: include_str!(concat!("../examples/lessons/", $name)),
        }
    };
}

/// The lessons, with a word on each.
const LESSONS: [(BuiltInFile, &str); 14] = [
    (lesson!("README.md"), "start here: the list, and the words"),
    (
        lesson!("1-worst-case.md"),
        "why the worst case is too pessimistic",
    ),
    (
        lesson!("2-coupled.md"),
        "why the two adjustments are coupled",
    ),
    (
        lesson!("3-indicator.md"),
        "an indicator held at the wrong angle",
    ),
    (lesson!("4-rounding.md"), "what rounding costs"),
    (
        lesson!("5-readings-and-truth.md"),
        "readings that are right, and axles that are not",
    ),
    (
        lesson!("6-stock.md"),
        "four times the work, and how many shims",
    ),
    (lesson!("7-chance.md"), "how far a run can be trusted"),
    (
        lesson!("8-pairs.md"),
        "what the very same parts are good for",
    ),
    (lesson!("9-guard-band.md"), "which guard band costs least"),
    (lesson!("10-flat-price.md"), "a flat price as a quantile"),
    (lesson!("11-desk.md"), "one job at the desk"),
    (
        BUILT_IN_AXLE,
        "the axle that the lessons work on, to change",
    ),
    (BUILT_IN_SHOP, "the shop that it is done in"),
];

/// The lessons, the list of them first, without the files that they work on.
pub(crate) fn lessons() -> impl Iterator<Item = BuiltInFile> {
    let all = LESSONS.iter().map(|(file, _)| *file);
    all.filter(|file| file.name.ends_with(".md"))
}

/// Writes the starter files into a folder.
///
/// # Errors
/// In words, where a file of that name is there already or can't be written.
pub(crate) fn start(dir: &Path, inch: bool) -> Result<(), String> {
    write(dir, &starters(inch), true).map(|_| ())
}

/// Makes a new file of what one of the program's own says.
///
/// # Errors
/// In words, where there is one already, or it can't be written.
pub(crate) fn copy(of: BuiltInFile, path: &Path) -> Result<(), String> {
    let place = OutputFile::claim_new(path, "give it another name")?;
    let text = format!("{}{}", head_of(path), of.text);
    place.fill_with(&text).map(|_| ())
}

/// What to do where nobody can be asked.
const WITHOUT_A_TERMINAL: &str = "write the files with an editor; without --ask, `shimcast new` writes \
                                  starters with a comment at each key";

/// Writes the starter files, or the lessons, or what is answered, and says so; `None` where the questions
/// are to be taken up again.
pub(crate) fn new(args: &New, colour: bool) -> Result<Option<Document>, Failure> {
    if args.ask {
        let mut terminal = Terminal::open(colour, WITHOUT_A_TERMINAL)?;
        beside(&args.dir).map_err(Failure::CannotAccess)?;
        let filled = asking::files(&args.dir, &mut terminal)?;
        return Ok(filled.map(|filled| asked(&filled)));
    }
    started(args).map(Some)
}

/// What was filled in, and what next.
fn asked(filled: &Filled) -> Document {
    let mut document = Document::about("Written");
    let mut list = Table::new([Column::words(""), Column::words("")]);
    let shop = filled.shop.as_ref().map(|shop| shop.shown());
    let axle = filled.axle.shown();
    list.name(axle.clone(), "the axle");
    let with_shop = shop.map(|shop| {
        list.name(shop.clone(), "the shop");
        format!(" --shop {shop}")
    });
    let with_shop = with_shop.unwrap_or_default();
    document.section("", [list.into()]);
    let next = ["check", "odds"];
    let next = next.map(|command| Block::Note(format!("shimcast {command} {axle}{with_shop}")));
    document.section("Next", next);
    document.cautions.extend([CAUTION, AT_WORK]);
    document
}

fn started(args: &New) -> Result<Document, Failure> {
    let starters = starters(args.inch);
    let files = if args.lessons {
        &LESSONS[..]
    } else {
        &starters
    };
    let written = write(&args.dir, files, !args.lessons).map_err(Failure::CannotAccess)?;
    let mut document = Document::about("Written");
    document.section("", [written.into()]);
    if args.lessons {
        let [words, first] = [0, 1].map(|place| args.dir.join(LESSONS[place].0.name));
        let next = format!(
            "read {}, then do {}, which says what to type",
            words.shown(),
            first.shown()
        );
        document.section("Next", [Block::Note(next)]);
    } else {
        let [axle, shop] = [0, 3].map(|place| args.dir.join(starters[place].0.name));
        let next = ["check", "odds"].map(|command| {
            let (axle, shop) = (axle.shown(), shop.shown());
            Block::Note(format!("shimcast {command} {axle} --shop {shop}"))
        });
        document.section("Next", next);
    }
    document.cautions.extend([CAUTION, AT_WORK]);
    Ok(document)
}

/// Writes files into a folder, all or none, and lists them; beside schemas, where they are to have any.
///
/// # Errors
/// In words, where a file of that name is there already or can't be written.
fn write(dir: &Path, files: &[(BuiltInFile, &str)], pointed: bool) -> Result<Table, String> {
    let made_dir = !dir.exists();
    folder(dir)?;
    let text = |of: BuiltInFile| match pointed {
        true => format!("{}{}", pointer_of(of.name), of.text),
        false => of.text.to_owned(),
    };
    let texts: Vec<(PathBuf, String)> = files
        .iter()
        .map(|(built_in, _)| (dir.join(built_in.name), text(*built_in)))
        .collect();
    all(&texts).inspect_err(|_| {
        if made_dir {
            let _ = fs::remove_dir(dir);
        }
    })?;
    let mut list = Table::new([Column::words(""), Column::words("")]);
    for ((_, what), (path, _)) in files.iter().zip(&texts) {
        list.name(path.shown(), *what);
    }
    if pointed && let Some(schema) = beside(dir)? {
        list.name(
            schema.shown(),
            "for editors, which complete and explain keys by it",
        );
    }
    Ok(list)
}

/// Writes those schemas beside the files of a folder that are not there yet; gives where they are.
///
/// # Errors
/// In words, where one can't be written.
fn beside(dir: &Path) -> Result<Option<PathBuf>, String> {
    folder(dir)?;
    let mut place = None;
    for (path, text) in schemas(dir) {
        if let Some(parent) = path.parent() {
            folder(parent)?;
            place = Some(parent.to_owned());
        }
        if fs::symlink_metadata(&path).is_err() {
            OutputFile::claim_new(&path, "move what is there")?.fill_with(&text)?;
        }
    }
    Ok(place)
}

/// Writes all of them, or none.
fn all(texts: &[(PathBuf, String)]) -> Result<(), String> {
    let instead = "name another folder, or move what is there";
    let standing: Vec<String> = texts
        .iter()
        .filter(|(path, _)| fs::symlink_metadata(path).is_ok())
        .map(|(path, _)| path.shown())
        .collect();
    if !standing.is_empty() {
        return Err(format!(
            "nothing was written, since this would overwrite {}; {instead}",
            standing.join(", ")
        ));
    }
    let places: Vec<OutputFile> = texts
        .iter()
        .map(|(path, _)| OutputFile::claim_new(path, instead))
        .collect::<Result<_, _>>()?;
    let mut done = Vec::new();
    for ((_, text), place) in texts.iter().zip(places) {
        match place.fill_with(text) {
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
