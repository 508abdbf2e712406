//! From the command line to the exit code: one end for every question.

use std::io::{IsTerminal, stdout};
use std::process::ExitCode;

use crate::cli::{Cli, Command, When};
use crate::desk;
use crate::faces::terminal::{self, Paper};
use crate::printable::Shown;
use crate::progress;
use crate::questions::context::{Failure, print, print_by, warn, warn_of};
use crate::questions::json::with_doubts;
use crate::questions::{
    Contents, Exit, Form, Reply, causes, check, compare, follow, kit, learn, next, odds, quote,
    ratio, report, stock, sweep,
};
use crate::reference;
use crate::starter;
use crate::written::{self, OutputFile};

/// Carries out what was asked and says how it ended.
pub fn run(cli: &Cli) -> ExitCode {
    let colour = colour(cli.color);
    progress::heed_interrupts();
    progress::begin();
    let ended = match &cli.command {
        Command::Report(args) => report::run(args),
        Command::Desk(args) => desk::run(args),
        Command::Generate(args) => reference::generate(args).map(|()| Exit::Done),
        Command::New(args) => starter::new(args, colour).and_then(|written| {
            if let Some(written) = written {
                print(&terminal::text(&written, paper(colour)))?;
            }
            Ok(Exit::Done)
        }),
        question => reply(question, colour).and_then(|reply| match reply {
            Some(reply) => finish(reply, cli.all, colour),
            None => Ok(Exit::Done),
        }),
    };
    progress::end();
    match ended {
        Ok(Exit::Done) => ExitCode::SUCCESS,
        Ok(Exit::Missed) => ExitCode::from(1),
        Ok(Exit::Interrupted) => ExitCode::from(130),
        Err(failure) => {
            // some files may have been written before it failed
            for path in written::so_far() {
                warn(format!("written: {}", path.shown()));
            }
            warn(failure.message());
            ExitCode::from(failure.code())
        }
    }
}

/// The reply to a question; none where it is to be taken up again, and to what is no question.
///
/// # Errors
/// Why there is no answer.
pub fn reply(question: &Command, colour: bool) -> Result<Option<Reply>, Failure> {
    let reply = match question {
        Command::Odds(args) => odds::ask(args),
        Command::Quote(args) => quote::ask(args),
        Command::Compare(args) => compare::ask(args),
        Command::Follow(args) => follow::ask(args),
        Command::Causes(args) => causes::ask(args),
        Command::Sweep(args) => sweep::ask(args),
        Command::Next(args) => return next::ask(args, colour),
        Command::Learn(args) => learn::ask(args),
        Command::Ratio(args) => ratio::ask(args),
        Command::Stock(args) => stock::ask(args),
        Command::Kit(args) => kit::ask(args),
        Command::Check(args) => check::ask(args),
        Command::Report(_) | Command::Desk(_) | Command::Generate(_) | Command::New(_) => {
            return Ok(None);
        }
    };
    reply.map(Some)
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
        if let Err(reason) = place.fill(contents) {
            refused.push(reason);
        }
        for path in written::so_far() {
            warn(format!("written: {}", path.shown()));
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
