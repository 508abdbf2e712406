//! A job file, filled in question by question.

use std::path::Path;

use super::files::{begun, ending};
use super::of_job::{ASSEMBLY, BEFORE, ENTRIES, JOB, starts_at_nought};
use super::prompt::{Prompt, Reply};
use super::question::{Beside, Question, Step, go_through};
use crate::files::{Edited, Group, Loaded, Override, Said, Source, load};
use crate::printable::Shown;
use crate::questions::context::{Failure, failure};

/// What a new job file begins with.
pub(crate) const HEAD: &str = "# One axle on the bench: what is known of it and what was read, in the order of the work.\n\
                    # Lengths and torques in the axle file's units; whatever is not known is left out.\n";

/// What stands behind the travel of adjusters at the first assembly.
pub(crate) const STANDS: &str = "counted from here";

/// How the questions ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// Now what next.
    Ready,
    /// To be taken up again.
    Later,
}

/// Asks about one axle on the bench until nothing more is to be said; each answer is in the file before
/// the next question.
///
/// # Errors
/// Where the file or its axle can't be read, or nothing can be asked or written.
pub fn job(
    path: &Path,
    shop: &Source,
    set: &[Override],
    prompt: &mut dyn Prompt,
) -> Result<Asked, Failure> {
    let mut file = Edited::open(path, &begun(path, HEAD)).map_err(|problems| failure(&problems))?;
    let Some(loaded) = axle(&mut file, shop, set, prompt)? else {
        return later(&file, prompt);
    };
    let beside = Beside {
        loaded: Some(&loaded),
        series: &[],
    };
    let fresh = [Group::Top, Group::Under(&["known"])];
    let fresh = fresh.into_iter().all(|group| {
        let questions = JOB.iter().chain(&BEFORE);
        let mut of_group = questions.filter(|question| question.group == group);
        of_group.all(|question| file.stated(group, question.key).is_none())
    });
    if fresh && file.entries(ENTRIES) == 0 {
        let first = [&JOB[..], &BEFORE[..]].concat();
        if go_through(&first, &mut file, beside, prompt)? == Step::Stop {
            return later(&file, prompt);
        }
    }
    loop {
        let step = match menu(&file, prompt)? {
            Choice::Entry(at) => entry(at, &mut file, beside, prompt)?,
            Choice::Before => {
                let all = [&JOB[..], &BEFORE[..]].concat();
                go_through(&all, &mut file, beside, prompt)?
            }
            Choice::Correct => correct(&mut file, beside, prompt)?,
            Choice::Ready => return Ok(Asked::Ready),
            Choice::Later => Step::Stop,
        };
        if step == Step::Stop {
            return later(&file, prompt);
        }
    }
}

fn later(file: &Edited, prompt: &mut dyn Prompt) -> Result<Asked, Failure> {
    if file.path().exists() {
        let path = file.path().shown();
        prompt.say(&format!(
            "All answers are in {path}; the same command takes it up again."
        ));
    }
    Ok(Asked::Later)
}

/// The axle that the file names, or that is named now; `None` where that is put off.
fn axle(
    file: &mut Edited,
    shop: &Source,
    set: &[Override],
    prompt: &mut dyn Prompt,
) -> Result<Option<Loaded>, Failure> {
    let read = |name: &str, file: &Edited| {
        let axle = Source::File(file.path().with_file_name(name));
        load(&axle, shop, set)
    };
    if let Some(name) = file.text(Group::Top, "axle") {
        let loaded = read(name, file).map_err(|problems| failure(&problems))?;
        return Ok(Some(loaded));
    }
    loop {
        let there = axle_files(file.path());
        let named = match there.is_empty() {
            true => prompt.line(
                "Axle file of this job?",
                "looked for beside the job file; `shimcast new --ask` makes one; back, stop",
            )?,
            false => match prompt.choose("Which axle is it?", &there, 0)? {
                Reply::Said(at) => Reply::Said(there.get(at).cloned().unwrap_or_default()),
                Reply::Back => Reply::Back,
                Reply::Stop => Reply::Stop,
            },
        };
        let name = match named {
            Reply::Said(name) if !matches!(name.trim(), "" | "back" | "stop") => name,
            _ => return Ok(None),
        };
        match read(name.trim(), file) {
            Ok(loaded) => {
                let said = Said::Text(name.trim().to_owned());
                let comment = "looked for beside this file";
                let written = file.state(Group::Top, "axle", &said, comment);
                written.map_err(Failure::CannotAccess)?;
                return Ok(Some(loaded));
            }
            // a list would only be shown again
            Err(problems) if !there.is_empty() => return Err(failure(&problems)),
            Err(problems) => prompt.say(&problems.to_string()),
        }
    }
}

/// Names of the axle files beside a file, in order.
pub(crate) fn axle_files(beside: &Path) -> Vec<String> {
    let folder = match beside.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    let there = ending(folder, ".axle.toml").into_iter();
    there
        .filter_map(|path| Some(path.file_name()?.to_str()?.to_owned()))
        .collect()
}

/// What to go on with.
enum Choice {
    /// The entry of this place, from 0 on.
    Entry(usize),
    /// What was known before.
    Before,
    /// An answer that is to be another one.
    Correct,
    /// Now what next.
    Ready,
    /// Nothing for now.
    Later,
}

fn menu(file: &Edited, prompt: &mut dyn Prompt) -> Result<Choice, Failure> {
    let entries = file.entries(ENTRIES);
    let mut all = Vec::new();
    if entries > 0 {
        let words = format!("what is still open of assembly {entries}");
        all.push((words, Choice::Entry(entries - 1)));
    }
    all.push((
        format!("assembly {}: what is fitted and read", entries + 1),
        Choice::Entry(entries),
    ));
    all.push((
        "what is still open of the parts and the old packs".to_owned(),
        Choice::Before,
    ));
    all.push(("correct an answer".to_owned(), Choice::Correct));
    all.push(("that is all: what next?".to_owned(), Choice::Ready));
    let options: Vec<String> = all.iter().map(|(words, _)| words.clone()).collect();
    // most are done once backlash has been read
    let read = entries > 0
        && file
            .stated(Group::Entry(ENTRIES, entries - 1), "backlash")
            .is_some();
    let at = if read { all.len() - 1 } else { 0 };
    Ok(match prompt.choose("Go on with", &options, at)? {
        Reply::Said(at) if at < all.len() => all.swap_remove(at).1,
        _ => Choice::Later,
    })
}

/// Asks what is open of one assembly.
fn entry(
    at: usize,
    file: &mut Edited,
    beside: Beside<'_>,
    prompt: &mut dyn Prompt,
) -> Result<Step, Failure> {
    let group = Group::Entry(ENTRIES, at);
    if starts_at_nought(&beside.view(file, group)) {
        for key in ["ring", "far"] {
            if file.stated(group, key).is_none() {
                let written = file.state(group, key, &Said::Figure(0.0), STANDS);
                written.map_err(Failure::CannotAccess)?;
            }
        }
    }
    let questions: Vec<Question> = ASSEMBLY.iter().map(|question| question.at(at)).collect();
    go_through(&questions, file, beside, prompt)
}

/// Puts a question again whose answer is to be another one.
fn correct(
    file: &mut Edited,
    beside: Beside<'_>,
    prompt: &mut dyn Prompt,
) -> Result<Step, Failure> {
    let units = beside.view(file, Group::Top).units();
    let mut all: Vec<Question> = [&JOB[..], &BEFORE[..]].concat();
    for at in 0..file.entries(ENTRIES) {
        all.extend(ASSEMBLY.iter().map(|question| question.at(at)));
    }
    let mut options = Vec::new();
    all.retain(|question| {
        let applies = (question.when)(&beside.view(file, question.group));
        let Some(now) = question.now(file, units).filter(|_| applies) else {
            return false;
        };
        let place = match question.group {
            Group::Entry(_, at) => format!("assembly {}, ", at + 1),
            _ => String::new(),
        };
        options.push(format!("{place}{}: {now}", question.key));
        true
    });
    if options.is_empty() {
        prompt.say("  nothing is answered yet");
        return Ok(Step::Next);
    }
    match prompt.choose("Which one?", &options, 0)? {
        Reply::Said(at) => match all.get(at) {
            Some(question) => question.put(file, beside, prompt),
            None => Ok(Step::Next),
        },
        Reply::Back => Ok(Step::Back),
        Reply::Stop => Ok(Step::Stop),
    }
}
