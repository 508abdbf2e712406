//! How a ring-and-pinion set-up will go, before anyone picks up a press.

use std::process::ExitCode;

fn main() -> ExitCode {
    shimcast::run(&shimcast::cli::Cli::typed())
}
