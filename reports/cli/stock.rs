//! Arguments of `stock` and `kit`.

use std::path::PathBuf;

use clap::Args;

use super::{Dated, Decimals, values};
use crate::files::Override;
use crate::spreadsheet::Decimal;

/// Which shop, and what it can buy.
#[derive(Debug, Args)]
pub struct ShopFiles {
    /// Shop file; the built-in North Bench where none is named. The axles that its jobs name are
    /// looked for beside it.
    #[arg(long, value_name = "SHOP")]
    pub shop: Option<PathBuf>,
    /// Use another value for a key of the shop file, e.g. drawer.job_fill=0.98; may be repeated.
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = values::key_and_value)]
    pub set: Vec<Override>,
    /// Choose among a supplier's offer instead of the shop file's sizes and prices: a CSV file with
    /// the columns series, size, price, and pack_of where it matters. Sizes in each series' own
    /// unit; series that it does not name stay as they are.
    #[arg(long, value_name = "FILE.csv")]
    pub sizes_from: Option<PathBuf>,
    /// Plan without a size, e.g. P-38=0.40, in the series' own unit; may be repeated.
    #[arg(long, value_name = "SERIES=SIZE", value_parser = values::series_and_size)]
    pub without: Vec<(String, f64)>,
    /// Take figures that no axle has, too; every answer still says that they look wrong.
    #[arg(long, display_order = 898)]
    pub anyway: bool,
}

/// Seed and threads, and where the list of sizes goes.
#[derive(Debug, Args)]
pub struct Run {
    /// The same seed gives the same answer.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub seed: u64,
    /// Threads to use; the answer does not depend on it. All cores where not given.
    #[arg(long, value_name = "N", value_parser = values::threads)]
    pub threads: Option<usize>,
    /// Write the list of sizes as CSV to this file, which must not exist yet; without a name, print
    /// it instead of the answer.
    #[arg(long, value_name = "FILE", num_args = 0..=1, default_missing_value = "-", conflicts_with = "json")]
    pub csv: Option<PathBuf>,
    #[command(flatten)]
    pub decimal: Decimals,
    #[command(flatten)]
    pub dated: Dated,
}

impl Run {
    /// What mark the figures of the list have.
    ///
    /// # Errors
    /// In words, where a comma is asked for and no list.
    pub fn decimal(&self) -> Result<Decimal, String> {
        self.decimal.of_csv(self.csv.is_some(), "--csv FILE")
    }
}

/// `shimcast stock`.
#[derive(Debug, Args)]
pub struct Stock {
    #[command(flatten)]
    pub files: ShopFiles,
    /// What is in the drawer now: a CSV file with the columns series, size, count (or have, as in
    /// the list that --csv writes), and on_order for pieces ordered and not yet delivered. Says what
    /// to order today, and what there is too much of.
    #[arg(long, value_name = "FILE.csv")]
    pub have: Option<PathBuf>,
    /// The best drawer for this much money at the till today, in whole packs and beside what is there,
    /// instead of the cheapest one for job_fill.
    #[arg(long, value_name = "AMOUNT", value_parser = values::budget)]
    pub budget: Option<f64>,
    /// Other intervals between orders as well: what a drawer planned for each costs a year.
    #[arg(long)]
    pub intervals: bool,
    /// Other values of near_enough as well: what each spares in the drawer and costs at the bench.
    #[arg(long)]
    pub stand_ins: bool,
    /// A busy month as well: with this plan, from one day to the next so many times as many jobs, for
    /// 30 days.
    #[arg(long, value_name = "TIMES", value_parser = values::times)]
    pub busy: Option<f64>,
    #[command(flatten)]
    pub run: Run,
    /// Write the order slip as CSV to this file, which must not exist yet: only what to order now, by
    /// supplier; without a name or with -, print it instead of the answer.
    #[arg(long, value_name = "FILE", num_args = 0..=1, default_missing_value = "-", conflicts_with = "json")]
    pub slip: Option<PathBuf>,
    /// Print a day book of the drawer as well: what jobs took, what came back, what was ordered,
    /// and what is left each time; so many days of it.
    #[arg(long, value_name = "DAYS", num_args = 0..=1, default_missing_value = "91", value_parser = values::days, conflicts_with = "json")]
    pub log: Option<f64>,
    /// Print one JSON object instead: lengths in mm, shares from 0 to 1.
    #[arg(long)]
    pub json: bool,
}

/// An amount to spend, as it was said.
///
/// # Errors
/// In words, where it is none.
pub fn budget(said: &str) -> Result<f64, String> {
    values::budget(&said.replace(',', "."))
}

impl Stock {
    /// What mark the figures of list and slip have.
    ///
    /// # Errors
    /// In words, where a comma is asked for and neither of them.
    pub fn decimal(&self) -> Result<Decimal, String> {
        let written = self.run.csv.is_some() || self.slip.is_some();
        self.run
            .decimal
            .of_csv(written, "--csv FILE or --slip FILE")
    }
}

/// `shimcast kit`.
#[derive(Debug, Args)]
pub struct Kit {
    #[command(flatten)]
    pub files: ShopFiles,
    /// Jobs on one trip, before the box is filled again at home.
    #[arg(long, value_name = "N", default_value_t = 5, value_parser = values::trip)]
    pub jobs: u32,
    /// Share of them to finish with what is in the box; the shop's job_fill where not given.
    #[arg(long, value_name = "SHARE", value_parser = values::share)]
    pub finish: Option<f64>,
    /// Share of trips on which every job is to be finished, instead of a share of jobs.
    #[arg(long, value_name = "SHARE", value_parser = values::share, conflicts_with = "finish")]
    pub trips: Option<f64>,
    /// What is in the box now: a CSV file with the columns series, size, count. The cheapest box is
    /// then the one that costs least beside that.
    #[arg(long, value_name = "FILE.csv")]
    pub have: Option<PathBuf>,
    #[command(flatten)]
    pub run: Run,
    /// Print one JSON object instead: lengths in mm, shares from 0 to 1.
    #[arg(long)]
    pub json: bool,
}
