//! The job files of a folder: those of one axle, and those that are left out, with the reason.

use std::fs;
use std::path::{Path, PathBuf};

use shimcast_sim::learn::FinishedJob;

use crate::files::{
    Comeback, FileKind, Loaded, LoadedJob, Problems, Verdict, axle_named_by, kind_of,
    load_job_beside, name_in,
};
use crate::printable::Shown;
use crate::questions::context::Failure;

/// Job files of a folder that are read, at the most.
const MOST_JOBS: usize = 5_000;

/// The jobs of a folder.
#[derive(Debug)]
pub(super) struct Jobs {
    /// Those of the axle, each with the name of its file.
    pub(super) read: Vec<(String, LoadedJob)>,
    /// Those left out, with the reason in a sentence.
    pub(super) left_out: Vec<(String, String)>,
}

/// Reads every job file of a folder beside an axle, in the order of their names.
///
/// # Errors
/// Where the folder can't be read, or holds too many.
pub(super) fn read(folder: &Path, axle: &Path, loaded: &Loaded) -> Result<Jobs, Failure> {
    let cannot = |e: std::io::Error| {
        let help = "--jobs names the folder that the job files are in";
        Failure::CannotAccess(format!("can't read {}: {e}; {help}", folder.shown()))
    };
    let mut paths: Vec<PathBuf> = Vec::new();
    for entry in fs::read_dir(folder).map_err(cannot)? {
        let path = entry.map_err(cannot)?.path();
        if path.is_file() && kind_of(&path) == Some(FileKind::Job) {
            paths.push(path);
        }
    }
    if paths.len() > MOST_JOBS {
        let (number, folder) = (paths.len(), folder.shown());
        return Err(Failure::BadInput(format!(
            "there are {number} job files in {folder}, and {MOST_JOBS} at the most are read at once: put \
             those of some years into a folder of their own"
        )));
    }
    paths.sort();
    let mut jobs = Jobs {
        read: Vec::new(),
        left_out: Vec::new(),
    };
    for path in paths {
        let name = path.file_name().unwrap_or(path.as_os_str());
        let name = name.shown();
        match one(&path, axle, loaded) {
            Ok(job) => jobs.read.push((name, job)),
            Err(reason) => jobs.left_out.push((name, reason)),
        }
    }
    Ok(jobs)
}

/// A job of this axle, or why it is left out.
fn one(path: &Path, axle: &Path, loaded: &Loaded) -> Result<LoadedJob, String> {
    // the name of the file stands before it already
    let own = path.file_name().unwrap_or(path.as_os_str()).shown();
    let in_short = |problems: Problems| {
        let told = problems.in_short();
        let rest = told.strip_prefix(&own);
        rest.map_or_else(
            || told.clone(),
            |rest| rest.trim_start_matches([',', ':', ' ']).to_owned(),
        )
    };
    let named = axle_named_by(path).map_err(in_short)?;
    let same_file = named.file_name() == axle.file_name();
    // an axle file that was learned, or put elsewhere, still has its name in it
    if !same_file && name_in(&named).as_deref() != Some(&loaded.axle.name) {
        let other = named.file_name().unwrap_or(named.as_os_str());
        return Err(format!("it is of another axle, {}", other.shown()));
    }
    let job = load_job_beside(path, loaded).map_err(in_short)?;
    if job.bench.assemblies.is_empty() && job.done.is_none() {
        return Err("nothing was fitted yet".to_owned());
    }
    Ok(job)
}

impl Jobs {
    /// Those whose day is known, in the order of their days.
    pub(super) fn in_order(&self, finished: &[(usize, FinishedJob)]) -> Vec<(usize, FinishedJob)> {
        let day = |job: &LoadedJob| job.done.as_ref().and_then(|done| done.date.clone());
        let mut dated: Vec<_> = (self.read.iter().zip(finished))
            .filter_map(|((_, job), finished)| Some((day(job)?, finished)))
            .collect();
        dated.sort_by(|(one, _), (other, _)| one.cmp(other));
        dated.into_iter().map(|(_, job)| job.clone()).collect()
    }

    /// What is held against simulated jobs.
    pub(super) fn finished(job: &LoadedJob) -> FinishedJob {
        let done = job.done.as_ref();
        let given_up = done.is_some_and(|done| done.verdict == Some(Verdict::GivenUp));
        let comeback = done.and_then(|done| match done.comeback? {
            Comeback::Yes => Some(true),
            Comeback::No => Some(false),
            Comeback::Unknown => None,
        });
        FinishedJob {
            bench: job.bench.clone(),
            hours: done.and_then(|done| done.hours),
            minutes: done.map_or_else(Vec::new, |done| done.minutes.clone()),
            tries: done.and_then(|done| done.sleeves),
            spoiled: done.map_or_else(Vec::new, |done| done.spoiled.clone()),
            // what was never handed over says nothing of those that were
            comeback: comeback.filter(|_| !given_up),
            ended: done.is_some(),
        }
    }
}
