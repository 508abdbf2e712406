//! `shimcast learn` as typed.

use std::path::PathBuf;

use clap::Args;

use super::{Dated, values};
use crate::files::Override;

const EXAMPLES: &str = "\
Examples:
  shimcast learn mine/rowan-215.axle.toml --jobs mine --shop mine/north-bench.shop.toml
  shimcast learn mine/rowan-215.axle.toml --jobs mine --all
  shimcast learn mine/rowan-215.axle.toml --jobs mine -o fit.html    with a picture of each figure
  shimcast learn mine/rowan-215.axle.toml --jobs mine --write new    new files with what was learned
";

#[derive(Debug, Args)]
#[command(before_help = EXAMPLES)]
pub struct Learn {
    /// Axle file that the jobs are held against.
    pub axle: PathBuf,
    /// Folder with the job files of this axle; those of others, and those that can't be read, are named
    /// and left out.
    #[arg(long, value_name = "FOLDER")]
    pub jobs: PathBuf,
    /// Shop file; the built-in North Bench where none is named.
    #[arg(long, value_name = "SHOP")]
    pub shop: Option<PathBuf>,
    /// Use another value for a key of either file, e.g. instruments.end_play.sigma=0.03; may be repeated.
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = values::key_and_value)]
    pub set: Vec<Override>,
    /// How many jobs each figure of the files is worth: the more, the more it takes to move one.
    #[arg(long, value_name = "JOBS", default_value_t = 10.0, value_parser = values::trust)]
    pub trust: f64,
    /// Write a new axle and shop file into this folder, with the figures that the jobs change, each with a
    /// remark; nothing is ever overwritten.
    #[arg(long, value_name = "FOLDER", conflicts_with = "set")]
    pub write: Option<PathBuf>,
    /// Write the answer as a page with a picture of each figure.
    #[arg(short, long, value_name = "FILE.html", conflicts_with = "json")]
    pub output: Option<PathBuf>,
    /// Overwrite a page that is there already.
    #[arg(long, requires = "output")]
    pub force: bool,
    /// The same seed gives the same answer.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Threads to use; the answer does not depend on it. All cores where not given.
    #[arg(long, value_name = "N", value_parser = values::threads)]
    pub threads: Option<usize>,
    /// Take figures that no axle has, too; every answer still says that they look wrong.
    #[arg(long, display_order = 898)]
    pub anyway: bool,
    #[command(flatten)]
    pub dated: Dated,
    /// Print one JSON object instead: lengths in mm, torque in N·m, shares from 0 to 1.
    #[arg(long)]
    pub json: bool,
}
