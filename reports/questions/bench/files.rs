//! Job files that are begun, and assemblies in them.

use std::path::{Path, PathBuf};

use super::fields::{an_axle, axle_field};
use super::{ToFit, Unwritten};
use crate::asking::fields::{Change, Refused, changes, fields, write};
use crate::asking::of_job::{ASSEMBLY, ENTRIES, JOB, starts_at_nought};
use crate::asking::question::Beside;
use crate::asking::{HEAD, STANDS, begun};
use crate::document::Controls;
use crate::files::{
    Edited, FileKind, Group, Loaded, Override, Problems, Said, Source, UNNAMED, load,
};

/// The axle that a job file names, with the shop.
///
/// # Errors
/// Everything that is wrong with these two, or that none is named.
pub fn axle_of(file: &Edited, shop: &Source, set: &[Override]) -> Result<Loaded, Problems> {
    let named = file.text(Group::Top, "axle").unwrap_or_default();
    load(&Source::File(file.path().with_file_name(named)), shop, set)
}

/// Begins the next assembly with packs that are advised; gives its place, from 0 on.
///
/// # Errors
/// In words, where the file can't be written.
pub fn begin(file: &mut Edited, loaded: &Loaded, fit: &ToFit) -> Result<usize, String> {
    let at = file.entries(ENTRIES);
    let group = Group::Entry(ENTRIES, at);
    let beside = Beside {
        loaded: Some(loaded),
        series: &[],
    };
    let unit = loaded.axle_units.length.mm();
    let [pinion, ring, far] = fit.packs.map(|mm| (mm / unit * 1e6).round() / 1e6 + 0.0);
    let on = match fit.setup_bearings {
        true => "set-up bearings",
        false => "real bearings",
    };
    let says = |key: &str| match key {
        "on" => Some(Said::Text(on.to_owned())),
        "pinion" => Some(Said::Figure(pinion)),
        "ring" => Some(Said::Figure(ring)),
        "far" => Some(Said::Figure(far)),
        _ => None,
    };
    let view = beside.view(file, group);
    let questions = ASSEMBLY.iter().map(|question| question.at(at));
    let mut all: Vec<Change> = questions
        .filter(|question| (question.when)(&view))
        .filter_map(|question| {
            Some(Change {
                group,
                key: question.key,
                said: Some(says(question.key)?),
                comment: question.comment,
            })
        })
        .collect();
    if starts_at_nought(&view) {
        all.extend(["ring", "far"].map(|key| Change {
            group,
            key,
            said: Some(Said::Figure(0.0)),
            comment: STANDS,
        }));
    }
    write(file, &all)?;
    Ok(at)
}

/// Takes the last assembly out of a job file.
///
/// # Errors
/// In words, where there is none, or the file can't be written.
pub fn take_back(file: &mut Edited) -> Result<(), String> {
    match file.entries(ENTRIES) {
        0 => Err("there is no assembly to take out".to_owned()),
        _ => file.take_out_last(ENTRIES),
    }
}

/// The fields of a new job file in a folder.
pub fn new_job_controls(folder: &Path, refused: &[Refused]) -> Result<Controls, Problems> {
    // a file without a name: its fields stand empty
    let file = Edited::open(&folder.join(FileKind::Job.ending()), HEAD)?;
    let mut all = fields(&JOB, &file, Beside::default(), refused);
    all.insert(1, axle_field(file.path(), "", refused));
    Ok(Controls {
        heading: "A new job".to_owned(),
        said: vec!["Its file lies in this folder and is called by its name.".to_owned()],
        fields: all,
        folded: false,
    })
}

/// Makes a new job file in a folder of what was filled in; gives where it is.
///
/// # Errors
/// Every field that can't be taken, and then nothing is written; or that the file can't be.
pub fn new_job(
    folder: &Path,
    shop: &Source,
    set: &[Override],
    pairs: &[(String, String)],
) -> Result<PathBuf, Unwritten> {
    let typed = |wanted: &str| {
        let typed = pairs.iter().rev().find(|(name, _)| name == wanted);
        typed.map_or("", |(_, typed)| typed.trim())
    };
    let name = typed("name");
    let called = FileKind::Job.called(name);
    let path = folder.join(called.as_deref().unwrap_or(FileKind::Job.ending()));
    let unnamed = |why: String| Refused {
        name: "name".to_owned(),
        typed: name.to_owned(),
        why,
    };
    let mut refused = Vec::new();
    if called.is_none() {
        refused.push(unnamed(UNNAMED.to_owned()));
    } else if path.exists() {
        let there = path.file_name().unwrap_or(path.as_os_str());
        let there = there.to_string_lossy();
        refused.push(unnamed(format!(
            "there is a file {there} already: give it another name"
        )));
    }
    let axle = an_axle(&path, shop, set, typed("axle"));
    let mut file = Edited::open(&path, &begun(&path, HEAD))
        .map_err(|all| Unwritten::CannotWrite(all.to_string()))?;
    let answers = changes(&JOB, &file, Beside::default(), pairs);
    match (axle, answers) {
        (Ok(axle), Ok(answers)) if refused.is_empty() => {
            let all = [vec![axle], answers].concat();
            write(&mut file, &all).map_err(Unwritten::CannotWrite)?;
            Ok(path)
        }
        (axle, answers) => {
            refused.extend(axle.err());
            refused.extend(answers.err().unwrap_or_default());
            Err(Unwritten::Refused(refused))
        }
    }
}
