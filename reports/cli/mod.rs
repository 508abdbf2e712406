//! Arguments as typed. Nothing else knows the argument parser.
#![allow(
    missing_docs,
    reason = "the doc of a flattened field would become help text"
)]

mod causes;
mod compare;
mod decimals;
mod desk;
mod follow;
mod generate;
mod learn;
mod next;
mod quote;
mod range;
mod ratio;
mod report;
mod stock;
mod sweep;
mod values;

pub use stock::{Kit, Run, ShopFiles, Stock, budget};

use std::path::PathBuf;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Args, Error, Parser, Subcommand, ValueEnum};

use shimcast_sim::axle::Condition;
use shimcast_sim::chance::run::Until;

use crate::files::Override;
use crate::printable::printable_lines;

pub use causes::Causes;
pub use compare::{Compare, Outlay, Way, in_a_way};
pub use decimals::Decimals;
pub use desk::Desk;
pub use follow::{Find, Follow};
pub use generate::{Generate, KindOfFile, What, completions, man};
pub use learn::Learn;
pub use next::{Next, PLACES, Packs};
pub use quote::{PriceTerms, Quote, jobs_a_year};
pub use range::{Range, Value};
pub use ratio::{Ratio, Speed, TypedRatio, TyreSize};
pub use report::{Audience, Report};
pub use sweep::{Item, Sweep};

const EXAMPLES: &str = "\
Examples:
  shimcast odds                          the built-in demo: Rowan 215 at North Bench
  shimcast new mine                      starter files to fill in, in the folder \"mine\"
  shimcast check mine/short.axle.toml    what a file means, and whether it closes
  shimcast odds mine/short.axle.toml --bearings kept
  shimcast odds --set bench.pinion_start=gauge
  shimcast quote --risk 20               flat hours that 4 jobs in 5 keep within
  shimcast compare --way \"gauge: bench.pinion_start=gauge\"
  shimcast causes                        why it misses, and what a better gauge would buy
  shimcast sweep instruments.dial.sigma=0..0.02
  shimcast follow --find many-tries      one rebuild told in order
  shimcast next mine/rowan-bench.job.toml    one real axle on the bench: what to fit now
  shimcast ratio --old-tyre 235/75R15 --new-tyre 31in
  shimcast stock --shop mine/north-bench.shop.toml --csv order.csv
  shimcast kit --jobs 8 --finish 0.9
  shimcast report -o demo.html           all of it on one page, with pictures
  shimcast desk mine                     all of it in the browser, with forms to fill in
";

/// How a ring-and-pinion set-up will go, before anyone picks up a press.
#[derive(Debug, Parser)]
#[command(
    name = "shimcast",
    version,
    before_help = EXAMPLES,
    after_help = "The axle's own service manual rules over any figure here.",
    disable_help_subcommand = true
)]
pub struct Cli {
    /// What is asked.
    #[command(subcommand)]
    pub command: Command,
    /// When to use colour; NO_COLOR is heeded as well.
    #[arg(
        long,
        global = true,
        value_enum,
        default_value_t,
        value_name = "WHEN",
        display_order = 900
    )]
    pub color: When,
    /// Print the whole answer, not what fits one screen.
    #[arg(long, global = true, display_order = 899)]
    pub all: bool,
}

impl Cli {
    /// The arguments of this run; ends the program where they can't be understood.
    pub fn typed() -> Self {
        Self::try_parse().unwrap_or_else(|error| {
            let error = with_tip(error);
            let said = error.to_string();
            let printable = printable_lines(&said);
            // what was typed is shown as it is
            if error.use_stderr() && said != printable {
                eprint!("{printable}");
                std::process::exit(error.exit_code());
            }
            error.exit()
        })
    }
}

/// Says how a shop file is named, where a file was one argument too many, and which commands write CSV.
fn with_tip(mut error: Error) -> Error {
    if error.kind() == ErrorKind::UnknownArgument
        && let Some(ContextValue::String(typed)) = error.get(ContextKind::InvalidArg)
        && (typed.ends_with(".toml") || typed == "--decimal")
    {
        let tip = match typed.as_str() {
            "--decimal" => {
                "this command writes no CSV; stock, kit, sweep, causes, report and odds do, \
                            each with --csv"
                    .to_owned()
            }
            file => format!("a shop file is named with --shop: --shop {file}"),
        };
        let tips = ContextValue::StyledStrs(vec![tip.into()]);
        error.insert(ContextKind::Suggested, tips);
    }
    error
}

/// What can be asked.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// The odds of landing in the windows, and what it takes: assemblies, hours, packs.
    Odds(Odds),
    /// How the hours of a job spread, and what a flat price risks.
    Quote(Quote),
    /// Ways of working on the very same parts, side by side.
    Compare(Compare),
    /// Why jobs miss, input by input, and what improving each would save.
    Causes(Causes),
    /// One or two figures of the files swept from here to there, on the very same parts.
    Sweep(Sweep),
    /// One rebuild told in order: parts, readings against truth, decisions, minutes.
    Follow(Follow),
    /// One real axle on the bench: what its readings say of it, and what to fit next.
    Next(Next),
    /// The shop's own finished jobs: whether they look like those that are simulated for it.
    Learn(Learn),
    /// The choice of gear set: tyres, ratios, tooth pairs, engine speed.
    Ratio(Ratio),
    /// Which shims to keep in the drawer, and how many of each, for the shop's own jobs.
    Stock(Stock),
    /// The cheapest box of shims for jobs on the road, without deliveries.
    Kit(Kit),
    /// One page with pictures to send, print and file; or a job sheet for the bench.
    Report(Report),
    /// What an axle file and a shop file mean, and where something looks wrong.
    Check(Check),
    /// Write starter files to fill in; nothing is overwritten.
    New(New),
    /// All of it in the browser of this machine: forms, the job on the bench, what if.
    Desk(Desk),
    /// What shells, editors and readers need: completions, schemas of the files, the manual page.
    Generate(Generate),
}

/// Which axle in which shop.
#[derive(Debug, Args)]
pub struct Files {
    /// Axle file; the built-in Rowan 215 where none is named.
    pub axle: Option<PathBuf>,
    /// Shop file; the built-in North Bench where none is named.
    #[arg(long, value_name = "SHOP")]
    pub shop: Option<PathBuf>,
    /// Use another value for a key of either file, e.g. bench.pinion_start=gauge; may be repeated.
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = values::key_and_value)]
    pub set: Vec<Override>,
    /// Take figures that no axle has, too; every answer still says that they look wrong.
    #[arg(long, display_order = 898)]
    pub anyway: bool,
}

/// What is renewed.
#[derive(Debug, Default, Args)]
pub struct Renewed {
    /// Whether the ring gear and pinion are new.
    #[arg(long, value_enum, default_value_t, value_name = "WHICH")]
    pub gears: Renew,
    /// Whether the bearings are new.
    #[arg(long, value_enum, default_value_t, value_name = "WHICH")]
    pub bearings: Renew,
}

/// How much to simulate.
#[derive(Debug, Args)]
pub struct Effort {
    /// Simulate this many rebuilds.
    #[arg(long, value_name = "N", conflicts_with = "within", value_parser = values::count)]
    pub rebuilds: Option<u64>,
    /// Go on until both headline shares are known this well: percentage points either way, at
    /// 95 % confidence.
    #[arg(long, value_name = "POINTS", default_value = "0.3", value_parser = values::points)]
    pub within: f64,
    /// The same seed gives the same answer.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Threads to use; the answer does not depend on it. All cores where not given.
    #[arg(long, value_name = "N", value_parser = values::threads)]
    pub threads: Option<usize>,
}

/// A job to simulate.
#[derive(Debug, Args)]
pub struct Job {
    #[command(flatten)]
    pub files: Files,
    #[command(flatten)]
    pub renewed: Renewed,
    #[command(flatten)]
    pub effort: Effort,
}

/// The date that an answer bears.
#[derive(Debug, Default, Args)]
pub struct Dated {
    /// The date to write on the page and at the head of CSV files; where it is not given there is
    /// none, since no clock is read.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = values::date)]
    pub date: Option<String>,
}

/// Single rebuilds.
#[derive(Debug, Default, Args)]
pub struct Sampled {
    /// Write the first N rebuilds as CSV, one a row: parts, truth, readings, decisions, cost and
    /// outcome.
    #[arg(long, value_name = "N", requires = "csv", value_parser = values::sample)]
    pub sample: Option<u64>,
}

impl Effort {
    /// How long to go on.
    pub fn until(&self) -> Until {
        match self.rebuilds {
            Some(rebuilds) => Until::Rebuilds(rebuilds),
            None => Until::Within(self.within / 100.0),
        }
    }
}

const ODDS_EXAMPLES: &str = "\
Examples:
  shimcast odds
  shimcast odds mine/short.axle.toml --shop mine/north-bench.shop.toml --gears kept
  shimcast odds --set bench.pinion_start=gauge --set housing.head_seat.tol=0.03
  shimcast odds mine/sorrel-71.axle.toml --within 0.2 --json
  shimcast odds --sample 10000 --csv rebuilds.csv       single rebuilds, one a row
";

/// `shimcast odds`.
#[derive(Debug, Args)]
#[command(before_help = ODDS_EXAMPLES)]
pub struct Odds {
    #[command(flatten)]
    pub job: Job,
    #[command(flatten)]
    pub sampled: Sampled,
    /// Where these go: a file that must not exist yet, with the key of its columns in a second file
    /// beside it; "-" prints the rows instead of the answer.
    #[arg(
        long,
        value_name = "FILE",
        requires = "sample",
        conflicts_with = "json"
    )]
    pub csv: Option<PathBuf>,
    #[command(flatten)]
    pub decimal: Decimals,
    #[command(flatten)]
    pub dated: Dated,
    /// Print one JSON object instead: lengths in mm, torque in N·m, shares from 0 to 1.
    #[arg(long)]
    pub json: bool,
}

const CHECK_EXAMPLES: &str = "\
Examples:
  shimcast check mine/short.axle.toml --shop mine/north-bench.shop.toml
  shimcast check mine/short.axle.toml --bearings kept

It ends with exit code 1 where something looks wrong.
";

/// `shimcast check`.
#[derive(Debug, Args)]
#[command(before_help = CHECK_EXAMPLES)]
pub struct Check {
    #[command(flatten)]
    pub files: Files,
    #[command(flatten)]
    pub renewed: Renewed,
}

const NEW_EXAMPLES: &str = "\
Examples:
  shimcast new mine
  shimcast new mine --inch               files in inches and lbf·in
  shimcast new course --lessons

  shimcast new mine --ask                asks for an axle and a shop at the terminal
";

/// `shimcast new`.
#[derive(Debug, Args)]
#[command(before_help = NEW_EXAMPLES)]
pub struct New {
    /// Folder to write them to; made where it does not exist.
    #[arg(default_value = ".", value_name = "DIR")]
    pub dir: PathBuf,
    /// Write them in inches and lbf·in.
    #[arg(long)]
    pub inch: bool,
    /// Put questions at the terminal instead, and write an axle file and a shop file of the answers;
    /// every answer is saved at once, and they can be stopped and taken up again.
    #[arg(long, conflicts_with_all = ["inch", "lessons"])]
    pub ask: bool,
    /// Write the lessons on variation instead, with the files that they work on.
    #[arg(long, conflicts_with = "inch")]
    pub lessons: bool,
}

/// New parts or the old ones.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum Renew {
    /// New ones go in.
    #[default]
    New,
    /// The old ones stay.
    Kept,
}

impl From<Renew> for Condition {
    fn from(renew: Renew) -> Self {
        match renew {
            Renew::New => Self::New,
            Renew::Kept => Self::Kept,
        }
    }
}

/// When to use colour.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum When {
    /// On a terminal, unless NO_COLOR is set.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}
