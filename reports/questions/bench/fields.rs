//! The fields of a job file.

use super::Unwritten;
use crate::asking::axle_files;
use crate::asking::fields::{Change, Refused, changes, fields, write};
use crate::asking::of_job::{ASSEMBLY, BEFORE, DONE, ENTRIES, JOB};
use crate::asking::question::{Beside, Question};
use crate::document::{Control, ControlKind, Controls};
use crate::files::{Edited, Group, Loaded, Override, Said, Source, load};

/// The field of the axle file's name.
pub(super) const AXLE: &str = "axle";

fn beside(loaded: &Loaded) -> Beside<'_> {
    Beside {
        loaded: Some(loaded),
        series: &[],
    }
}

fn of_entry(at: usize) -> Vec<Question> {
    ASSEMBLY.iter().map(|question| question.at(at)).collect()
}

/// The axle files beside a job file to choose from; what is named already stays among them.
pub(super) fn axle_field(beside: &std::path::Path, named: &str, refused: &[Refused]) -> Control {
    let options = axle_files(beside).into_iter();
    let options = options.map(|name| (name.clone(), name)).collect();
    let wrong = refused.iter().find(|one| one.name == AXLE);
    let field = Control::new(AXLE, "Which axle is it?", ControlKind::Choice(options));
    Control {
        problem: wrong.map(|one| one.why.clone()),
        ..field
            .at(wrong.map_or(named, |one| one.typed.as_str()))
            .help("its file lies beside the job file")
    }
}

/// All that a job file says and may say, group by group: only what applies to this axle and shop. What was
/// refused stands in its field with what is wrong with it.
pub fn controls(file: &Edited, loaded: &Loaded, refused: &[Refused]) -> Vec<Controls> {
    let beside = beside(loaded);
    let group = |heading: String, questions: &[Question], folded: bool| {
        let fields = fields(questions, file, beside, refused);
        let wrong = fields.iter().any(|field| field.problem.is_some());
        Controls {
            heading,
            fields,
            // what is wrong is seen
            folded: folded && !wrong,
            ..Controls::default()
        }
    };
    let entries = file.entries(ENTRIES);
    let mut job = group("The job".to_owned(), &JOB, entries > 0);
    let named = file.text(Group::Top, AXLE).unwrap_or_default();
    let axle = axle_field(file.path(), named, refused);
    job.folded &= axle.problem.is_none();
    job.fields.insert(0, axle);
    let known = "What is known of its parts and the old packs".to_owned();
    let mut all = vec![job, group(known, &BEFORE, entries > 0)];
    all.extend((0..entries).map(|at| {
        let heading = format!("Assembly {}", at + 1);
        group(heading, &of_entry(at), at + 1 < entries)
    }));
    let ended = DONE
        .iter()
        .any(|of| file.stated(of.group, of.key).is_some());
    all.push(group("How it ended".to_owned(), &DONE, !ended));
    all
}

/// Writes what was filled in: names of fields of [`controls`], and what was typed. Gives how many keys
/// changed.
///
/// # Errors
/// Every field that can't be taken, and then nothing is written; or that the file can't be.
pub fn fill_in(
    file: &mut Edited,
    (loaded, shop, set): (&Loaded, &Source, &[Override]),
    pairs: &[(String, String)],
) -> Result<usize, Unwritten> {
    let mut questions = [&JOB[..], &BEFORE[..], &DONE[..]].concat();
    questions.extend((0..file.entries(ENTRIES)).flat_map(of_entry));
    let found = changes(&questions, file, beside(loaded), pairs);
    let axle = axle_change(file, shop, set, pairs);
    let all = match (found, axle) {
        (Ok(mut all), Ok(axle)) => {
            all.extend(axle);
            all
        }
        (found, axle) => {
            let refused = [
                axle.err().into_iter().collect(),
                found.err().unwrap_or_default(),
            ];
            return Err(Unwritten::Refused(refused.concat()));
        }
    };
    write(file, &all).map_err(Unwritten::CannotWrite)?;
    Ok(all.len())
}

/// Another axle, which has to be one that can be read.
fn axle_change(
    file: &Edited,
    shop: &Source,
    set: &[Override],
    pairs: &[(String, String)],
) -> Result<Option<Change>, Refused> {
    let named = file.text(Group::Top, AXLE).unwrap_or_default();
    let typed = pairs.iter().rev().find(|(name, _)| name == AXLE);
    match typed.map(|(_, typed)| typed.trim()) {
        Some(typed) if typed != named => an_axle(file.path(), shop, set, typed).map(Some),
        _ => Ok(None),
    }
}

/// The key that names an axle file.
pub(super) fn an_axle(
    beside: &std::path::Path,
    shop: &Source,
    set: &[Override],
    typed: &str,
) -> Result<Change, Refused> {
    let refused = |why: String| Refused {
        name: AXLE.to_owned(),
        typed: typed.to_owned(),
        why,
    };
    // only what lies beside the job file, whatever is typed
    if !axle_files(beside).iter().any(|name| name == typed) {
        let why = match typed {
            "" => "name the axle file of this job".to_owned(),
            _ => format!("no axle file `{typed}` lies beside the job file"),
        };
        return Err(refused(why));
    }
    let source = Source::File(beside.with_file_name(typed));
    load(&source, shop, set).map_err(|problems| refused(problems.to_string()))?;
    Ok(Change {
        group: Group::Top,
        key: AXLE,
        said: Some(Said::Text(typed.to_owned())),
        comment: "looked for beside this file",
    })
}
