//! How a ring-and-pinion set-up will go, before anyone picks up a press.

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    shimcast::run(&shimcast::cli::Cli::parse())
}
