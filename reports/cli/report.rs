//! `shimcast report` as typed.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::range::{Range, range};
use super::sweep::one_or_two;
use super::{Dated, Decimals, Find, Job, PriceTerms, Sampled, values};

const EXAMPLES: &str = "\
Examples:
  shimcast report                              a page on the built-in demo, shimcast-report.html
  shimcast report mine/short.axle.toml --shop mine/north-bench.shop.toml -o mine.html
  shimcast report -o pictures.html --charts figures --csv tables
  shimcast report -o more.html --csv more --sample 10000
  shimcast report -o dial.html --sweep instruments.dial.sigma=0..0.02:4 --find wrongly-passed
  shimcast report --for student -o all.html    every figure, with why jobs differ
  shimcast report --for customer --tax 20 --gear-price 480 -o offer.html
  shimcast report --sheet -o sheet.html        a job sheet for the bench, to print and fill in
";

#[derive(Debug, Args)]
#[command(before_help = EXAMPLES)]
pub struct Report {
    #[command(flatten)]
    pub job: Job,
    #[command(flatten)]
    pub terms: PriceTerms,
    /// Who the page is for: a shop (six sheets of paper), a student (every figure), or a customer (job,
    /// hours and price on one sheet; nothing of the shop's own figures).
    #[arg(long = "for", value_enum, default_value_t, value_name = "WHOM")]
    pub audience: Audience,
    /// A key of the files to sweep on the page, as `sweep` does; a second one makes maps of both. At most 16384
    /// rebuilds are behind this, and behind why jobs differ. A student's page sweeps
    /// bench.backlash_points=1..8 where nothing is named.
    #[arg(long, value_name = "KEY=FROM..TO[:STEPS]|VALUE,VALUE,…", value_parser = range)]
    pub sweep: Vec<Range>,
    /// The rebuild that the page tells step by step.
    #[arg(long, value_name = "I", default_value_t = 1, value_parser = values::rebuild_number)]
    pub rebuild: u64,
    /// Look for a telling one instead.
    #[arg(long, value_enum, value_name = "WHAT", conflicts_with = "rebuild")]
    pub find: Option<Find>,
    /// Leave the shim drawer out, which takes the longest; it is planned for all jobs of the shop. The price
    /// then holds the shims finally fitted, as if all were bought.
    #[arg(long)]
    pub no_stock: bool,
    /// Where to write the page; "-" prints it. shimcast-report.html (shimcast-customer.html,
    /// shimcast-sheet.html) where not given.
    #[arg(short, long, value_name = "FILE.html")]
    pub output: Option<PathBuf>,
    /// Write each figure as an SVG file of its own into this folder.
    #[arg(long, value_name = "DIR")]
    pub charts: Option<PathBuf>,
    /// Write the tables behind the figures as CSV into this folder, and rebuilds.csv where --sample
    /// asks for it. The name of a column says its unit; shares from 0 to 1.
    #[arg(long, value_name = "DIR")]
    pub csv: Option<PathBuf>,
    #[command(flatten)]
    pub decimal: Decimals,
    #[command(flatten)]
    pub sampled: Sampled,
    #[command(flatten)]
    pub dated: Dated,
    /// Write a job sheet for the bench instead: two sides of paper to fill in by hand.
    #[arg(long, conflicts_with_all = ["charts", "csv", "sample", "sweep", "rebuild", "find"])]
    pub sheet: bool,
    /// Overwrite files that are there already.
    #[arg(long)]
    pub force: bool,
}

/// Who a page is for.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
pub enum Audience {
    /// A shop: what to quote, what would help, which shims to keep.
    #[default]
    Shop,
    /// A student: all of it, with how everything spreads and why jobs differ.
    Student,
    /// A customer: the job, its hours and price, and what may lengthen it.
    Customer,
}

/// What is swept where nothing is named.
const USUAL_SWEEP: &str = "bench.backlash_points=1..8";

impl Report {
    /// Whether something is asked for that a customer's page has no room for.
    pub fn asks_for_figures(&self) -> bool {
        let files = self.charts.is_some() || self.csv.is_some();
        files || !self.sweep.is_empty() || self.find.is_some() || self.rebuild != 1
    }

    /// The keys to sweep.
    ///
    /// # Errors
    /// In words, where there are more than two, or one twice.
    pub fn ranges(&self) -> Result<Vec<Range>, String> {
        let ranges = match self.sweep.as_slice() {
            [] => vec![range(USUAL_SWEEP)?],
            asked => asked.to_vec(),
        };
        one_or_two(ranges).map_err(|reason| format!("--sweep: {reason}"))
    }
}
