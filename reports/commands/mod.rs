//! What each command does, from arguments to exit code.

mod causes;
mod check;
mod compare;
mod drawer;
mod follow;
mod jobs;
mod kit;
mod new;
mod odds;
mod quote;
mod ratio;
mod report;
mod starter;
mod stock;
mod sweep;

use std::fmt::Display;
use std::io::{self, IsTerminal, Write, stderr, stdout};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use shimcast_sim::axle::Condition;
use shimcast_sim::setup::{Flaw, Setup};

use crate::args::{Cli, Command, Effort, Files, Renewed, When};
use crate::figures::Printed;
use crate::files::{Kind, Loaded, Problems, Source, load};
use crate::plausible::doubts;
use crate::progress::{Watch, heed_interrupts};
use crate::terminal::{Ink, fold};
use crate::units::Units;
use crate::written::Place;

/// Ways to end that are not a plain answer.
#[derive(Debug)]
pub enum Failure {
    /// Bad usage or bad input: exit code 2.
    BadInput(String),
    /// Something could not be read or written: exit code 3.
    CannotAccess(String),
}

/// How an answer ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Ended {
    Done,
    /// It ran, but what was asked for is not reached: exit code 1.
    Missed,
    Interrupted,
}

/// Carries out what was asked and says how it ended.
pub fn run(cli: &Cli) -> ExitCode {
    let ink = Ink(colour(cli.color));
    let ended = match &cli.command {
        Command::Odds(args) => odds::run(args, ink),
        Command::Quote(args) => quote::run(args, ink),
        Command::Compare(args) => compare::run(args, ink),
        Command::Follow(args) => follow::run(args, ink),
        Command::Causes(args) => causes::run(args, ink),
        Command::Sweep(args) => sweep::run(args, ink),
        Command::Ratio(args) => ratio::run(args, ink),
        Command::Stock(args) => stock::run(args, ink),
        Command::Kit(args) => kit::run(args, ink),
        Command::Report(args) => report::run(args),
        Command::Check(args) => check::run(args, ink),
        Command::New(args) => new::run(args),
    };
    match ended {
        Ok(Ended::Done) => ExitCode::SUCCESS,
        Ok(Ended::Missed) => ExitCode::from(1),
        Ok(Ended::Interrupted) => ExitCode::from(130),
        Err(failure) => {
            let (code, message) = match failure {
                Failure::BadInput(message) => (2, message),
                Failure::CannotAccess(message) => (3, message),
            };
            warn(message);
            ExitCode::from(code)
        }
    }
}

fn colour(when: When) -> bool {
    match when {
        When::Always => true,
        When::Never => false,
        When::Auto => {
            let forbidden = std::env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty());
            let dumb = std::env::var_os("TERM").is_some_and(|v| v == "dumb");
            stdout().is_terminal() && !forbidden && !dumb
        }
    }
}

/// Both files as they are now: axle and shop.
fn sources(files: &Files) -> Result<[Source; 2], Failure> {
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
fn read(files: &Files) -> Result<Loaded, Failure> {
    read_sources(&sources(files)?, files)
}

/// The same of files that are read more than once.
fn read_sources([axle, shop]: &[Source; 2], files: &Files) -> Result<Loaded, Failure> {
    let loaded = load(axle, shop, &files.set).map_err(|problems| failure(&problems))?;
    for warning in &loaded.warnings {
        warn(warning);
    }
    Ok(loaded)
}

fn failure(problems: &Problems) -> Failure {
    failure_as(problems, problems.to_string())
}

/// A failure for these problems that is told in other words.
fn failure_as(problems: &Problems, message: String) -> Failure {
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

/// Says on stderr which figures are far outside what is plausible: a slip of the unit or the point
/// still gives an answer.
fn tell_doubts(setup: &Setup, units: Units) {
    for doubt in doubts(setup, Printed(units)) {
        warn(format!("looks wrong: {doubt}"));
    }
}

fn set_up(loaded: &Loaded, renewed: &Renewed) -> Result<Setup, Failure> {
    set_up_as(loaded, renewed.gears.into(), renewed.bearings.into())
        .map_err(|problems| failure(&problems))
}

fn set_up_as(loaded: &Loaded, gears: Condition, bearings: Condition) -> Result<Setup, Problems> {
    Setup::new(loaded.axle.clone(), loaded.shop.clone(), gears, bearings).map_err(|flaws| {
        let place = |flaw: Flaw| loaded.problem_at(&flaw.key, flaw.reason);
        Problems(flaws.into_iter().map(place).collect())
    })
}

/// Runs something long on the threads asked for, watched.
fn on_threads<T: Send>(
    effort: &Effort,
    job: impl FnOnce(&mut Watch) -> T + Send,
) -> Result<T, Failure> {
    on_so_many_threads(effort.threads, job)
}

/// The same, where there are only threads to choose.
fn on_so_many_threads<T: Send>(
    threads: Option<usize>,
    job: impl FnOnce(&mut Watch) -> T + Send,
) -> Result<T, Failure> {
    heed_interrupts();
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads.unwrap_or(0))
        .build()
        .map_err(|e| Failure::CannotAccess(format!("can't start {e}")))?;
    let mut watch = Watch::start();
    Ok(pool.install(|| job(&mut watch)))
}

fn warn(message: impl Display) {
    // a closed stderr is no reason to fail
    let _ = writeln!(stderr().lock(), "{message}");
}

/// An answer as it fits the terminal that it is printed on; elsewhere it stays as it is, so that it
/// can be searched and cut.
fn fitted(answer: &str) -> String {
    let width = if stdout().is_terminal() {
        terminal_size::terminal_size_of(stdout())
    } else {
        None
    };
    width.map_or_else(
        || answer.to_owned(),
        |(width, _)| fold(answer, width.0.into()),
    )
}

/// Prints a whole answer; whoever stops reading early has had enough of it.
fn print(text: &str) -> Result<(), Failure> {
    let mut out = stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() != io::ErrorKind::BrokenPipe => Err(Failure::CannotAccess(format!(
            "can't write the answer: {e}"
        ))),
        _ => Ok(()),
    }
}

/// In place of a file's name: print it.
const STDOUT: &str = "-";

/// The file that `--csv` names, if any.
fn csv_file(path: Option<&Path>) -> Result<Option<Place>, Failure> {
    path.filter(|path| *path != Path::new(STDOUT))
        .map(new_file)
        .transpose()
}

/// A file of a command that overwrites nothing.
fn new_file(path: &Path) -> Result<Place, Failure> {
    Place::claim_new(path, "name another file").map_err(Failure::CannotAccess)
}
