//! An axle file and a shop file, filled in question by question.

use std::path::{Path, PathBuf};

use super::of_files::{AXLE, SERIES, SHIM, SHOP};
use super::prompt::{Prompt, Reply};
use super::question::{Beside, Question, Step, go_through};
use crate::files::{BUILT_IN_SHOP, Edited, Group, LoadedShop, Said, Source, load_axle, load_shop};
use crate::printable::Shown;
use crate::questions::context::{Failure, failure};
use crate::reference::head_of;
use crate::written::folder;

const AXLE_HEAD: &str = "# An axle as a bench knows it; what is not stated here is assumed, and every answer lists it.\n";
const SHOP_HEAD: &str =
    "# A shop; what is not stated here is assumed, and every answer lists it.\n";

/// The files that were filled in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Filled {
    /// The shop; not there where the built-in one does.
    pub shop: Option<PathBuf>,
    /// The axle.
    pub axle: PathBuf,
}

/// Asks about a shop and an axle; each answer is in its file before the next question. `None` where the
/// rest is put off.
///
/// # Errors
/// Where nothing can be asked or written, or what was written can't be used.
pub fn files(dir: &Path, prompt: &mut dyn Prompt) -> Result<Option<Filled>, Failure> {
    folder(dir).map_err(Failure::CannotAccess)?;
    let Some(shop) = shop(dir, prompt)? else {
        return Ok(None);
    };
    let source = Source::from(shop.clone());
    let loaded = load_shop(&source, &[]).map_err(|problems| failure(&problems))?;
    let Some(axle) = axle(dir, &loaded, prompt)? else {
        return Ok(None);
    };
    load_axle(&Source::File(axle.clone()), &loaded, &[]).map_err(|problems| failure(&problems))?;
    Ok(Some(Filled { shop, axle }))
}

/// The shop: one of the folder's, the built-in one, or a new one.
fn shop(dir: &Path, prompt: &mut dyn Prompt) -> Result<Option<Option<PathBuf>>, Failure> {
    let there = ending(dir, ".shop.toml");
    let mut options: Vec<String> = there.iter().map(|path| name(path)).collect();
    options.push("a new one, asked now".to_owned());
    options.push(format!(
        "the built-in {}, to begin with",
        BUILT_IN_SHOP.name
    ));
    let at = match prompt.choose("Which shop?", &options, 0)? {
        Reply::Said(at) => at,
        Reply::Back | Reply::Stop => return Ok(None),
    };
    if at > there.len() {
        return Ok(Some(None));
    }
    let path = match there.get(at) {
        Some(path) => path.clone(),
        None => match named(
            dir,
            "What is the shop called?",
            ".shop.toml",
            SHOP_HEAD,
            prompt,
        )? {
            Some(path) => path,
            None => return Ok(None),
        },
    };
    let mut file =
        Edited::open(&path, &begun(&path, SHOP_HEAD)).map_err(|problems| failure(&problems))?;
    let done = go_through(&SHOP, &mut file, Beside::default(), prompt)? == Step::Next
        && series(&mut file, prompt)?;
    match done {
        true => Ok(Some(Some(path))),
        false => put_off(&path, prompt),
    }
}

/// The shim series of a shop, until there are no more; whether all of it was said.
fn series(file: &mut Edited, prompt: &mut dyn Prompt) -> Result<bool, Failure> {
    // one that was broken off is finished first
    let count = file.entries(SERIES);
    if count > 0 && !one_series(count - 1, file, prompt)? {
        return Ok(false);
    }
    loop {
        let count = file.entries(SERIES);
        let options = match count {
            0 => [
                "the shop's own, asked now",
                "the built-in ones, to begin with",
            ],
            _ => ["one more", "that is all"],
        };
        match prompt.choose("Shim series?", &options.map(str::to_owned), 0)? {
            Reply::Said(0) => {
                if !one_series(count, file, prompt)? {
                    return Ok(false);
                }
            }
            Reply::Said(_) => return Ok(true),
            Reply::Back | Reply::Stop => return Ok(false),
        }
    }
}

fn one_series(at: usize, file: &mut Edited, prompt: &mut dyn Prompt) -> Result<bool, Failure> {
    let questions: Vec<Question> = SHIM.iter().map(|question| question.at(at)).collect();
    Ok(go_through(&questions, file, Beside::default(), prompt)? == Step::Next)
}

/// The axle, for which a shop has the shims.
fn axle(
    dir: &Path,
    shop: &LoadedShop,
    prompt: &mut dyn Prompt,
) -> Result<Option<PathBuf>, Failure> {
    let words = "What do you call this axle?";
    let Some(path) = named(dir, words, ".axle.toml", AXLE_HEAD, prompt)? else {
        return Ok(None);
    };
    let mut file =
        Edited::open(&path, &begun(&path, AXLE_HEAD)).map_err(|problems| failure(&problems))?;
    let series: Vec<String> = shop
        .shop
        .shims
        .iter()
        .map(|series| series.name.clone())
        .collect();
    let beside = Beside {
        loaded: None,
        series: &series,
    };
    match go_through(&AXLE, &mut file, beside, prompt)? {
        Step::Next => Ok(Some(path)),
        Step::Back | Step::Stop => put_off(&path, prompt),
    }
}

fn put_off<T>(path: &Path, prompt: &mut dyn Prompt) -> Result<Option<T>, Failure> {
    let path = path.shown();
    prompt.say(&format!(
        "All answers are in {path}; the same command takes it up again."
    ));
    Ok(None)
}

/// What a new file begins with: first what editors find its schema by, where that lies beside it.
pub(crate) fn begun(path: &Path, head: &str) -> String {
    head_of(path) + head
}

/// A file by the name of what it is about; a new one begins with that.
fn named(
    dir: &Path,
    words: &str,
    ending: &str,
    head: &str,
    prompt: &mut dyn Prompt,
) -> Result<Option<PathBuf>, Failure> {
    loop {
        let help = "its file is named after it; one that is there is taken up again; stop";
        let name = match prompt.line(words, help)? {
            Reply::Said(name) => name.trim().to_owned(),
            Reply::Back | Reply::Stop => return Ok(None),
        };
        if matches!(name.as_str(), "stop" | "back") {
            return Ok(None);
        }
        let slug = slug(&name);
        if slug.is_empty() {
            prompt.say("  a name with letters or digits is wanted");
            continue;
        }
        let path = dir.join(format!("{slug}{ending}"));
        let mut file =
            Edited::open(&path, &begun(&path, head)).map_err(|problems| failure(&problems))?;
        if file.stated(Group::Top, "name").is_none() {
            let written = file.state(Group::Top, "name", &Said::Text(name), "");
            written.map_err(Failure::CannotAccess)?;
        }
        return Ok(Some(path));
    }
}

/// A name as files have it: small letters and digits, with hyphens between.
fn slug(name: &str) -> String {
    let letter = |c: char| match c.is_alphanumeric() {
        true => c.to_lowercase().collect(),
        false => "-".to_owned(),
    };
    let words: String = name.chars().map(letter).collect();
    let words: Vec<&str> = words.split('-').filter(|word| !word.is_empty()).collect();
    words.join("-")
}

fn name(path: &Path) -> String {
    let last = path.file_name().unwrap_or(path.as_os_str());
    last.shown()
}

/// Files of a folder with this ending, in order.
pub(super) fn ending(dir: &Path, ending: &str) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(dir).into_iter().flatten().flatten();
    let mut all: Vec<PathBuf> = entries
        .map(|entry| entry.path())
        .filter(|path| name(path).ends_with(ending))
        .collect();
    all.sort();
    all
}
