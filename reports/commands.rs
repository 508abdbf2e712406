//! What each command does, from arguments to exit code.

use std::fmt::Display;
use std::io::{self, IsTerminal, Write, stderr, stdout};
use std::process::ExitCode;

use shimcast_sim::setup::{Flaw, Setup};

use crate::args::{Cli, Command, Effort, Files, New, Odds, Check, When};
use crate::check::check;
use crate::files::{Kind, Loaded, Problems, Source, load};
use crate::json;
use crate::progress::{Watch, heed_interrupts};
use crate::starter;
use crate::terminal::{self, Ink};

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
    Interrupted,
}

/// Carries out what was asked and says how it ended.
pub fn run(cli: &Cli) -> ExitCode {
    let ink = Ink(colour(cli.color));
    let ended = match &cli.command {
        Command::Odds(args) => odds(args, ink),
        Command::Check(args) => check_files(args, ink),
        Command::New(args) => new(args),
    };
    match ended {
        Ok(Ended::Done) => ExitCode::SUCCESS,
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

fn odds(args: &Odds, ink: Ink) -> Result<Ended, Failure> {
    let loaded = read(&args.files)?;
    let setup = set_up(&loaded, &args.renewed.gears, &args.renewed.bearings)?;
    let until = args.effort.until();
    let seed = args.effort.seed;
    let odds = on_threads(&args.effort, |watch| {
        shimcast_sim::odds::odds(&setup, seed, until, &mut |progress| watch.see(progress))
    })?;
    let text = if args.json {
        let head = json::Head {
            answer: "odds",
            seed,
            rebuilds: odds.rebuilds,
            partial: odds.partial,
            setup: &setup,
            assumptions: &loaded.assumptions,
        };
        format!("{:#}\n", json::odds(&head, &odds))
    } else {
        let asked = terminal::odds::Asked {
            setup: &setup,
            seed,
            units: loaded.axle_units,
            assumptions: &loaded.assumptions,
        };
        terminal::odds::render(asked, &odds, ink)
    };
    print(&text)?;
    Ok(if odds.partial {
        Ended::Interrupted
    } else {
        Ended::Done
    })
}

fn check_files(args: &Check, ink: Ink) -> Result<Ended, Failure> {
    let loaded = read(&args.files)?;
    let setup = set_up(&loaded, &Default::default(), &Default::default())?;
    let units = loaded.axle_units;
    let found = check(&setup, units);
    print(&terminal::check::render(
        &setup,
        units,
        &loaded.assumptions,
        &found,
        ink,
    ))?;
    Ok(Ended::Done)
}

fn new(args: &New) -> Result<Ended, Failure> {
    let written = starter::write(&args.dir).map_err(Failure::CannotAccess)?;
    print(&written)?;
    Ok(Ended::Done)
}

/// Reads both files; what merely looks odd goes to stderr.
fn read(files: &Files) -> Result<Loaded, Failure> {
    let source = |path: &Option<_>| path.clone().map_or(Source::BuiltIn, Source::File);
    let loaded = load(&source(&files.axle), &source(&files.shop), &files.set)
        .map_err(|problems| failure(&problems))?;
    for warning in &loaded.warnings {
        warn(format!("warning: {warning}"));
    }
    Ok(loaded)
}

fn failure(problems: &Problems) -> Failure {
    let message = problems.to_string();
    if problems.0.iter().any(|problem| problem.kind == Kind::CannotRead) {
        Failure::CannotAccess(message)
    } else {
        Failure::BadInput(message)
    }
}

fn set_up(
    loaded: &Loaded,
    gears: &crate::args::Renew,
    bearings: &crate::args::Renew,
) -> Result<Setup, Failure> {
    Setup::new(
        loaded.axle.clone(),
        loaded.shop.clone(),
        (*gears).into(),
        (*bearings).into(),
    )
    .map_err(|flaws| {
        let place = |flaw: Flaw| loaded.problem_at(&flaw.key, flaw.reason);
        failure(&Problems(flaws.into_iter().map(place).collect()))
    })
}

/// Runs something long on the threads asked for, watched.
fn on_threads<T: Send>(
    effort: &Effort,
    job: impl FnOnce(&mut Watch) -> T + Send,
) -> Result<T, Failure> {
    heed_interrupts();
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(effort.threads.unwrap_or(0))
        .build()
        .map_err(|e| Failure::CannotAccess(format!("can't start {e}")))?;
    let mut watch = Watch::start();
    Ok(pool.install(|| job(&mut watch)))
}

fn warn(message: impl Display) {
    // a closed stderr is no reason to fail
    let _ = writeln!(stderr().lock(), "{message}");
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
