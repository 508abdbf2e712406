//! `shimcast causes` as typed.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use shimcast_sim::causes::Loop;

use super::{Dated, Decimals, Job};

const EXAMPLES: &str = "\
Examples:
  shimcast causes                                      the built-in demo
  shimcast causes mine/short.axle.toml --shop mine/north-bench.shop.toml
  shimcast causes --set bench.pinion_start=usual       the drawing's own stack
  shimcast causes --rebuilds 20000                     sooner, with wider intervals
  shimcast causes --loop backlash                      what moves the backlash, and how far
  shimcast causes --csv causes.csv                     every contributor, for a spreadsheet
";

#[derive(Debug, Args)]
#[command(before_help = EXAMPLES)]
pub struct Causes {
    #[command(flatten)]
    pub job: Job,
    #[command(flatten)]
    pub dated: Dated,
    /// Show only one loop of the first assembly: what moves it, and how far.
    #[arg(long = "loop", value_enum, value_name = "WHICH")]
    pub only: Option<OneLoop>,
    /// Write every contributor with its shares as CSV to this file as well, which must not exist yet;
    /// "-" prints it in place of the answer.
    #[arg(long, value_name = "FILE.csv", conflicts_with = "json")]
    pub csv: Option<PathBuf>,
    #[command(flatten)]
    pub decimal: Decimals,
    /// Print one JSON object instead: lengths in mm, shares from 0 to 1, money in the shop's
    /// currency.
    #[arg(long)]
    pub json: bool,
}

/// A loop of the first assembly.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum OneLoop {
    /// Pinion depth.
    Depth,
    /// Mean backlash.
    Backlash,
    /// Side preload.
    #[value(alias = "side-preload")]
    Closure,
}

impl From<OneLoop> for Loop {
    fn from(one: OneLoop) -> Self {
        match one {
            OneLoop::Depth => Self::Depth,
            OneLoop::Backlash => Self::Backlash,
            OneLoop::Closure => Self::Closure,
        }
    }
}
