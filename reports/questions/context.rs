//! From what was typed to what a question needs: files read, a job set up, threads, files to write.

use std::fmt::Display;
use std::io::{self, BufWriter, Write, stderr, stdout};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use rayon::ThreadPool;
use rayon::prelude::*;
use shimcast_sim::axle::{Axle, Condition};
use shimcast_sim::bench::setup::{Flaw, Setup};
use shimcast_sim::shop::Shop;

use crate::cli::{Effort, Files, Renewed};
use crate::files::{Kind, Loaded, Problem, Problems, Source, load};
use crate::printable::printable_lines;
use crate::progress::{self, Listener, Watch, make_room};
use crate::questions::plausible::{Impossible, impossible};
use crate::standard_out;
use crate::units::Units;
use crate::written::OutputFile;

/// Ways to end that are not a plain answer.
#[derive(Debug)]
pub enum Failure {
    /// Bad usage or bad input: exit code 2.
    BadInput(String),
    /// Something could not be read or written: exit code 3.
    CannotAccess(String),
    /// What was looked for is not there: exit code 1.
    NotThere(String),
    /// It was broken off before there was an answer: exit code 130.
    BrokenOff(String),
}

impl Failure {
    /// What is said of it.
    pub fn message(&self) -> &str {
        let (Self::BadInput(message)
        | Self::CannotAccess(message)
        | Self::NotThere(message)
        | Self::BrokenOff(message)) = self;
        message
    }

    /// The exit code.
    pub fn code(&self) -> u8 {
        match self {
            Self::BadInput(_) => 2,
            Self::CannotAccess(_) => 3,
            Self::NotThere(_) => 1,
            Self::BrokenOff(_) => 130,
        }
    }
}

/// Both files as they are now: axle and shop.
pub fn sources(files: &Files) -> Result<[Source; 2], Failure> {
    let keep = |path: &Option<PathBuf>| Source::from(path.clone()).keep();
    match (keep(&files.axle), keep(&files.shop)) {
        (Ok(axle), Ok(shop)) => Ok([axle, shop]),
        (axle, shop) => {
            let problems = [axle.err(), shop.err()].into_iter().flatten().collect();
            Err(failure(&Problems(problems)))
        }
    }
}

/// Reads both files; what merely looks odd goes to stderr.
pub fn read(files: &Files) -> Result<Loaded, Failure> {
    read_sources(&sources(files)?, files)
}

/// The same of files that are read more than once.
pub fn read_sources([axle, shop]: &[Source; 2], files: &Files) -> Result<Loaded, Failure> {
    let loaded = load(axle, shop, &files.set).map_err(|problems| failure(&problems))?;
    let loaded = loaded.taken(files.anyway);
    for warning in &loaded.warnings {
        warn(warning);
    }
    Ok(loaded)
}

/// What is wrong, as a failure.
pub fn failure(problems: &Problems) -> Failure {
    failure_as(problems, problems.to_string())
}

/// A failure for these problems, in other words.
pub fn failure_as(problems: &Problems, message: String) -> Failure {
    if problems
        .0
        .iter()
        .any(|problem| problem.kind == Kind::CannotRead)
    {
        Failure::CannotAccess(message)
    } else {
        Failure::BadInput(message)
    }
}

/// The job that was asked for.
pub fn set_up(loaded: &Loaded, renewed: &Renewed) -> Result<Setup, Failure> {
    set_up_as(loaded, renewed.gears.into(), renewed.bearings.into())
        .map_err(|problems| failure(&problems))
}

/// The same with gears and bearings new or kept. What no axle has is refused, unless it is to be
/// taken anyway.
///
/// # Errors
/// Everything because of which there is no such job.
pub fn set_up_as(
    loaded: &Loaded,
    gears: Condition,
    bearings: Condition,
) -> Result<Setup, Problems> {
    let new = |axle, shop| Setup::new(axle, shop, gears, bearings);
    worked_out(loaded, new)
}

/// The same with gears and bearings as in another job, with which tables of what is alike are shared: far
/// quicker where most of it is.
///
/// # Errors
/// As for [`set_up_as`].
pub fn set_up_like(other: &Setup, loaded: &Loaded) -> Result<Setup, Problems> {
    worked_out(loaded, |axle, shop| other.with(axle, shop))
}

fn worked_out(
    loaded: &Loaded,
    job: impl FnOnce(Axle, Shop) -> Result<Setup, Vec<Flaw>>,
) -> Result<Setup, Problems> {
    if !loaded.anyway {
        refuse_impossible(&loaded.axle, loaded.axle_units, |key, reason| {
            loaded.problem_at(key, reason)
        })?;
    }
    job(loaded.axle.clone(), loaded.shop.clone()).map_err(|flaws| {
        let place = |flaw: Flaw| loaded.problem_at(&flaw.key, flaw.reason);
        Problems(flaws.into_iter().map(place).collect())
    })
}

/// Refuses what no axle has, each figure at its place.
///
/// # Errors
/// A problem for each.
pub(crate) fn refuse_impossible(
    axle: &Axle,
    units: Units,
    problem_at: impl Fn(&str, String) -> Problem,
) -> Result<(), Problems> {
    let problem = |of: Impossible| Problem {
        help: Some(of.remedy),
        ..problem_at(&of.key, of.reason)
    };
    let problems: Vec<Problem> = impossible(axle, units).into_iter().map(problem).collect();
    if problems.is_empty() {
        Ok(())
    } else {
        Err(Problems(problems))
    }
}

/// Runs something long on the threads asked for, watched.
pub fn on_threads<T: Send>(
    effort: &Effort,
    job: impl FnOnce(&mut Watch) -> T + Send,
) -> Result<T, Failure> {
    on_so_many_threads(effort.threads, job)
}

/// The same, where there are only threads to choose.
pub fn on_so_many_threads<T: Send>(
    threads: Option<usize>,
    job: impl FnOnce(&mut Watch) -> T + Send,
) -> Result<T, Failure> {
    let listener = Listener::of_this_thread();
    let job = |watch: &mut Watch| answering(listener.as_ref(), || job(watch));
    let build = |number| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(number).build();
        pool.map_err(|e| Failure::CannotAccess(format!("can't start {e}")))
    };
    let mut watch = Watch::start();
    match threads {
        Some(threads) => Ok(build(threads)?.install(|| job(&mut watch))),
        None => {
            let idle = pools().pop();
            let pool = idle.map_or_else(|| build(0), Ok)?;
            let done = pool.install(|| job(&mut watch));
            pools().push(pool);
            Ok(done)
        }
    }
}

/// Works for whoever asked, on whichever thread.
fn answering<T>(listener: Option<&Listener>, work: impl FnOnce() -> T) -> T {
    match listener {
        Some(listener) => listener.answer(work),
        None => work(),
    }
}

/// Threads on all cores that nothing runs on now: each thread keeps memory of its own, so whoever runs one
/// thing after the other takes the same ones again.
fn pools() -> MutexGuard<'static, Vec<ThreadPool>> {
    static IDLE: Mutex<Vec<ThreadPool>> = Mutex::new(Vec::new());
    IDLE.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Does something to each of these on all threads there are; what comes of them is in the same order.
pub fn each<T: Send, U: Send>(of: Vec<T>, act: impl Fn(T) -> U + Sync + Send) -> Vec<U> {
    let listener = Listener::of_this_thread();
    let act = |one| answering(listener.as_ref(), || act(one));
    of.into_par_iter().map(act).collect()
}

/// Says something on stderr, or to whoever listens instead.
pub fn warn(message: impl Display) {
    let Some(message) = Listener::told(message.to_string()) else {
        return;
    };
    make_room();
    // a closed stderr is no reason to fail
    let _ = writeln!(stderr().lock(), "{}", printable_lines(&message));
}

/// Says on stderr what looks wrong, where the answer itself has no room for it or goes into a file.
pub fn warn_of(doubts: &[String]) {
    for doubt in doubts {
        warn(format!("looks wrong: {doubt}"));
    }
}

/// In place of a file's name: print it.
pub const STDOUT: &str = "-";

/// The file that `--csv` names, if any.
pub fn csv_file(path: Option<&Path>) -> Result<Option<OutputFile>, Failure> {
    path.filter(|path| *path != Path::new(STDOUT))
        .map(new_file)
        .transpose()
}

/// A file of a command that overwrites nothing.
pub fn new_file(path: &Path) -> Result<OutputFile, Failure> {
    OutputFile::claim_new(path, "name another file").map_err(Failure::CannotAccess)
}

/// Prints a whole answer; whoever stops reading early has had enough of it.
pub fn print(text: &str) -> Result<(), Failure> {
    print_by(|out| out.write_all(text.as_bytes()))
}

/// The same of an answer that is written piece by piece.
pub fn print_by(write: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), Failure> {
    progress::end();
    if standard_out::is_closed() {
        let closed =
            "can't print the answer: standard output is closed; leave it open, or name a file";
        return Err(Failure::CannotAccess(closed.to_owned()));
    }
    let mut out = BufWriter::new(stdout().lock());
    match write(&mut out).and_then(|()| out.flush()) {
        Err(e) if e.kind() != io::ErrorKind::BrokenPipe => Err(Failure::CannotAccess(format!(
            "can't write the answer: {e}"
        ))),
        _ => Ok(()),
    }
}
