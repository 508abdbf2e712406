//! From the command line to the exit code: one end for every question.

use std::io::{self, IsTerminal, Write, stdout};
use std::process::ExitCode;

use crate::args::{Cli, Command, When};
use crate::commands;
use crate::faces::terminal::{self, Paper};
use crate::questions::context::{Failure, warn};
use crate::questions::{Answered, Ended, Form, compare, odds, quote, sweep};
use crate::terminal::Ink;
use crate::written::Place;

/// Carries out what was asked and says how it ended.
pub fn run(cli: &Cli) -> ExitCode {
    let colour = colour(cli.color);
    let ink = Ink(colour);
    let ended = match &cli.command {
        Command::Odds(args) => odds::ask(args).and_then(|answered| end(answered, colour)),
        Command::Quote(args) => quote::ask(args).and_then(|answered| end(answered, colour)),
        Command::Compare(args) => compare::ask(args).and_then(|answered| end(answered, colour)),
        Command::Follow(args) => commands::follow::run(args, ink),
        Command::Causes(args) => commands::causes::run(args, ink),
        Command::Sweep(args) => sweep::ask(args).and_then(|answered| end(answered, colour)),
        Command::Ratio(args) => commands::ratio::run(args, ink),
        Command::Stock(args) => commands::stock::run(args, ink),
        Command::Kit(args) => commands::kit::run(args, ink),
        Command::Report(args) => commands::report::run(args),
        Command::Check(args) => commands::check::run(args, ink),
        Command::New(args) => commands::new::run(args),
    };
    match ended {
        Ok(Ended::Done) => ExitCode::SUCCESS,
        Ok(Ended::Missed) => ExitCode::from(1),
        Ok(Ended::Interrupted) => ExitCode::from(130),
        Err(failure) => {
            warn(failure.message());
            ExitCode::from(failure.code())
        }
    }
}

/// Prints an answer, then writes its files.
fn end(answered: Answered, colour: bool) -> Result<Ended, Failure> {
    let Answered {
        answer,
        form,
        files,
    } = answered;
    print(&match form {
        Form::Text => terminal::text(&answer.tell(), paper(colour)),
        Form::Json => format!("{:#}\n", answer.json()),
        Form::Csv => answer.csv(),
    })?;
    write(files)?;
    Ok(answer.ended())
}

/// Writes files, as many as can be.
fn write(files: Vec<(Place, String)>) -> Result<(), Failure> {
    let mut refused = Vec::new();
    for (place, text) in files {
        match place.fill_with(&text) {
            Ok(path) => warn(format!("written: {}", path.display())),
            Err(reason) => refused.push(reason),
        }
    }
    if refused.is_empty() {
        Ok(())
    } else {
        Err(Failure::CannotAccess(refused.join("\n")))
    }
}

/// What stdout is: a terminal as wide as it is, or a pipe.
fn paper(colour: bool) -> Paper {
    width().map_or_else(
        || Paper::endless(colour),
        |width| Paper::of_width(width, colour),
    )
}

/// Columns of the terminal, where stdout is one.
pub(crate) fn width() -> Option<usize> {
    let terminal = stdout().is_terminal();
    let size = terminal.then(|| terminal_size::terminal_size_of(stdout()));
    size.flatten().map(|(width, _)| width.0.into())
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

/// Prints a whole answer; whoever stops reading early has had enough of it.
pub(crate) fn print(text: &str) -> Result<(), Failure> {
    let mut out = stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() != io::ErrorKind::BrokenPipe => Err(Failure::CannotAccess(format!(
            "can't write the answer: {e}"
        ))),
        _ => Ok(()),
    }
}
