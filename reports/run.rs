//! From the command line to the exit code: one end for every question.

use std::io::{IsTerminal, stdout};
use std::process::ExitCode;

use crate::cli::{Cli, Command, When};
use crate::desk;
use crate::faces::terminal::{self, Paper};
use crate::progress;
use crate::questions::context::{Failure, print, print_by, warn, warn_of};
use crate::questions::json::with_doubts;
use crate::questions::{
    Contents, Exit, Form, Reply, causes, check, compare, follow, kit, learn, next, odds, quote,
    ratio, report, stock, sweep,
};
use crate::reference;
use crate::starter;
use crate::written::OutputFile;

/// Carries out what was asked and says how it ended.
pub fn run(cli: &Cli) -> ExitCode {
    let colour = colour(cli.color);
    let end = |answered: Result<Reply, Failure>| {
        answered.and_then(|answered| finish(answered, cli.all, colour))
    };
    progress::begin();
    let ended = match &cli.command {
        Command::Odds(args) => end(odds::ask(args)),
        Command::Quote(args) => end(quote::ask(args)),
        Command::Compare(args) => end(compare::ask(args)),
        Command::Follow(args) => end(follow::ask(args)),
        Command::Causes(args) => end(causes::ask(args)),
        Command::Sweep(args) => end(sweep::ask(args)),
        // where the questions are to be taken up again there is no answer yet
        Command::Next(args) => match next::ask(args, colour) {
            Ok(Some(answered)) => end(Ok(answered)),
            Ok(None) => Ok(Exit::Done),
            Err(failure) => Err(failure),
        },
        Command::Learn(args) => end(learn::ask(args)),
        Command::Ratio(args) => end(ratio::ask(args)),
        Command::Stock(args) => end(stock::ask(args)),
        Command::Kit(args) => end(kit::ask(args)),
        Command::Report(args) => report::run(args),
        Command::Check(args) => end(check::ask(args)),
        Command::Desk(args) => desk::run(args),
        Command::Generate(args) => reference::generate(args).map(|()| Exit::Done),
        Command::New(args) => starter::new(args, colour).and_then(|written| {
            if let Some(written) = written {
                print(&terminal::text(&written, paper(colour)))?;
            }
            Ok(Exit::Done)
        }),
    };
    progress::end();
    match ended {
        Ok(Exit::Done) => ExitCode::SUCCESS,
        Ok(Exit::Missed) => ExitCode::from(1),
        Ok(Exit::Interrupted) => ExitCode::from(130),
        Err(failure) => {
            warn(failure.message());
            ExitCode::from(failure.code())
        }
    }
}

/// Prints an answer, then writes its files.
fn finish(answered: Reply, all: bool, colour: bool) -> Result<Exit, Failure> {
    let Reply {
        answer,
        form,
        doubts,
        moved_most,
        files,
    } = answered;
    let text = match form {
        Form::Text => {
            let mut document = answer.tell();
            document.doubts = doubts;
            document.moved_most = moved_most;
            match all {
                true => terminal::text(&document, paper(colour)),
                false => terminal::first(&document, paper(colour)),
            }
        }
        Form::Json => format!("{:#}\n", with_doubts(answer.json(), &doubts)),
        Form::Csv(decimal) => {
            warn_of(&doubts);
            print_by(|out| answer.write_csv(decimal, out))?;
            String::new()
        }
    };
    print(&text)?;
    write(files)?;
    Ok(answer.exit())
}

/// Writes files, as many as can be.
fn write(files: Vec<(OutputFile, Contents)>) -> Result<(), Failure> {
    let mut refused = Vec::new();
    for (place, contents) in files {
        match place.fill(contents) {
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
    let terminal = stdout().is_terminal();
    let size = terminal.then(|| terminal_size::terminal_size_of(stdout()));
    match size.flatten() {
        Some((width, _)) => Paper::of_width(width.0.into(), colour),
        None => Paper::endless(colour),
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
