//! `shimcast next` as typed.

use std::path::PathBuf;

use clap::Args;

use super::values;
use crate::files::Override;

const EXAMPLES: &str = "\
Examples:
  shimcast next mine/rowan-bench.job.toml
  shimcast next mine/rowan-bench.job.toml --moves pinion=0.90,ring=1.97
  shimcast next mine/rowan-bench.job.toml --shop mine/north-bench.shop.toml --all

  shimcast next van.job.toml --ask       fills the file in question by question
";

#[derive(Debug, Args)]
#[command(before_help = EXAMPLES)]
pub struct Next {
    /// Job file: which axle is on the bench, what is known of it, what was fitted and read. The axle
    /// file that it names is looked for beside it.
    pub job: PathBuf,
    /// Shop file; the built-in North Bench where none is named.
    #[arg(long, value_name = "SHOP")]
    pub shop: Option<PathBuf>,
    /// Use another value for a key of the axle file or the shop file; may be repeated.
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = values::key_and_value)]
    pub set: Vec<Override>,
    /// Put the questions of the job file one by one at the terminal first; every answer is saved at once,
    /// and they can be stopped and taken up again.
    #[arg(long)]
    pub ask: bool,
    /// What is in the drawer: a CSV file with the columns series, size, count, as `stock --have` reads
    /// it. Only packs that can be built of it, and of what comes out, are then advised.
    #[arg(long, value_name = "FILE.csv")]
    pub have: Option<PathBuf>,
    /// Judge these packs as well, e.g. pinion=0.92,ring=1.97; in the axle file's unit, as printed. What is
    /// not named stays; the far side takes what a ring side alone gains, so that both together stay. May
    /// be repeated.
    #[arg(long, value_name = "PACKS", value_parser = packs)]
    pub moves: Vec<Packs>,
    /// The same seed gives the same answer.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Threads to use; the answer does not depend on it. All cores where not given.
    #[arg(long, value_name = "N", value_parser = values::threads)]
    pub threads: Option<usize>,
    /// Take figures that no axle has, too; every answer still says that they look wrong.
    #[arg(long, display_order = 898)]
    pub anyway: bool,
    /// Print one JSON object instead: lengths in mm, torque in N·m, shares from 0 to 1.
    #[arg(long)]
    pub json: bool,
}

/// Packs that somebody names, in the axle file's unit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Packs {
    /// As typed.
    pub typed: String,
    /// Pinion, ring side, far side.
    pub sums: [Option<f64>; 3],
}

/// Their names.
pub const PLACES: [&str; 3] = ["pinion", "ring", "far"];

fn packs(text: &str) -> Result<Packs, String> {
    let wanted = "packs are wanted as pinion=0.92,ring=1.97,far=2.13, one of them at least";
    let mut sums = [None; 3];
    for part in text.split(',') {
        let (place, sum) = part.split_once('=').ok_or(wanted)?;
        let place = PLACES.iter().position(|name| *name == place.trim());
        let sum: f64 = sum.trim().parse().map_err(|_| wanted)?;
        let place = place.filter(|_| sum.is_finite()).ok_or(wanted)?;
        if sums[place].replace(sum).is_some() {
            return Err(format!("{} is named twice", PLACES[place]));
        }
    }
    Ok(Packs {
        typed: text.to_owned(),
        sums,
    })
}
