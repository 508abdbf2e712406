//! `shimcast causes` as typed.

use clap::Args;

use super::Job;

const EXAMPLES: &str = "\
Examples:
  shimcast causes                                      the built-in demo
  shimcast causes mine/short.axle.toml --shop mine/north-bench.shop.toml
  shimcast causes --set bench.pinion_start=usual       the drawing's own stack
  shimcast causes --rebuilds 20000                     sooner, with wider intervals
";

#[derive(Debug, Args)]
#[command(before_help = EXAMPLES)]
pub struct Causes {
    #[command(flatten)]
    pub job: Job,
    /// Print one JSON object instead: lengths in mm, shares from 0 to 1, money in the shop's
    /// currency.
    #[arg(long)]
    pub json: bool,
}
