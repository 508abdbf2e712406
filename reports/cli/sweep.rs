//! `shimcast sweep` as typed.

use std::path::PathBuf;

use clap::Args;

use super::range::{FORM, Range, range};
use super::{Dated, Decimals, Effort, Files, Renewed};
use crate::files::Override;
use crate::printable::Shown;

const EXAMPLES: &str = "\
Examples:
  shimcast sweep instruments.dial.sigma=0..0.02
  shimcast sweep bench.backlash_points=1..8
  shimcast sweep bench.guard=0,0.02,0.05,0.1,0.2
  shimcast sweep \"bench.pinion_start=usual,old pack,gauge\"
  shimcast sweep windows.backlash.2=0.18..0.26:4 -o wider.csv -o wider.svg
  shimcast sweep bench.ring_belief=0.6..1.1:5 instruments.dial.sigma=0..0.02:4 -o map.svg
  shimcast sweep mine/short.axle.toml housing.head_seat.tol=0.02..0.10
";

#[derive(Debug, Args)]
#[command(before_help = EXAMPLES)]
pub struct Sweep {
    /// One key of the files, or two, each from a first value to a last one in so many equal steps (8
    /// where none are named, or whole steps between whole numbers), or through a list of numbers,
    /// words, or true and false. The files' own value is among them in any case. An item of a list
    /// is named by its place, from 1. What has no `=` is the axle file; the built-in Rowan 215 where
    /// none is named.
    #[arg(
        value_name = "[AXLE] KEY=FROM..TO[:STEPS]|VALUE,VALUE,… [KEY2=…]",
        required = true,
        num_args = 1..=3,
        value_parser = item
    )]
    pub items: Vec<Item>,
    /// Shop file; the built-in North Bench where none is named.
    #[arg(long, value_name = "SHOP")]
    pub shop: Option<PathBuf>,
    /// Use another value for a key of either file throughout; may be repeated.
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = super::values::key_and_value)]
    pub set: Vec<Override>,
    /// Take figures that no axle has, too; every answer still says that they look wrong.
    #[arg(long, display_order = 898)]
    pub anyway: bool,
    #[command(flatten)]
    pub renewed: Renewed,
    #[command(flatten)]
    pub effort: Effort,
    #[command(flatten)]
    pub dated: Dated,
    /// Write it to a file as well, which its ending makes a table (.csv), a chart (.svg) or one JSON
    /// object (.json); may be repeated. A chart has lines, or maps where two keys are swept.
    #[arg(short, long, value_name = "FILE")]
    pub output: Vec<PathBuf>,
    /// As -o FILE.csv; "-" prints the table in place of the answer.
    #[arg(long, value_name = "FILE.csv", conflicts_with = "json")]
    pub csv: Option<PathBuf>,
    #[command(flatten)]
    pub decimal: Decimals,
    /// As -o FILE.svg.
    #[arg(long, value_name = "FILE.svg")]
    pub chart: Option<PathBuf>,
    /// Overwrite files that are there already.
    #[arg(long)]
    pub force: bool,
    /// Print one JSON object instead: shares from 0 to 1, hours, money in the shop's currency.
    #[arg(long)]
    pub json: bool,
}

impl Sweep {
    /// The files as the other commands name them.
    ///
    /// # Errors
    /// In words, where two axle files are named.
    pub fn files(&self) -> Result<Files, String> {
        let axles: Vec<&PathBuf> = self
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Axle(path) => Some(path),
                Item::Range(_) => None,
            })
            .collect();
        if let [first, second, ..] = axles[..] {
            return Err(format!(
                "{} and {}: one axle file is enough; a shop file is named with --shop FILE",
                first.shown(),
                second.shown()
            ));
        }
        Ok(Files {
            axle: axles.first().map(|path| (*path).clone()),
            shop: self.shop.clone(),
            set: self.set.clone(),
            anyway: self.anyway,
        })
    }

    /// The keys with their values.
    ///
    /// # Errors
    /// In words, where there is none, or more than two, or one twice.
    pub fn ranges(&self) -> Result<Vec<Range>, String> {
        let ranges: Vec<Range> = self
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Range(range) => Some(range.clone()),
                Item::Axle(_) => None,
            })
            .collect();
        one_or_two(ranges)
    }
}

/// As many keys as can be swept at a time, each once.
///
/// # Errors
/// In words, where there is none, or more than two, or one twice.
pub(super) fn one_or_two(ranges: Vec<Range>) -> Result<Vec<Range>, String> {
    match &ranges[..] {
        [] => Err(format!("there is no key to sweep; {FORM}")),
        [first, second] if first.same_key(second) => {
            Err(format!("{} is named twice; name two keys", second.key))
        }
        [_] | [_, _] => Ok(ranges),
        _ => Err("one key or two can be swept at a time, not more".into()),
    }
}

/// An argument of `sweep`.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A key and its values.
    Range(Range),
    /// The axle file.
    Axle(PathBuf),
}

fn item(text: &str) -> Result<Item, String> {
    let file = text.ends_with(".toml") && !text.contains("..");
    if text.contains('=') && !file {
        range(text).map(Item::Range)
    } else if text.contains("..") && !text.contains('/') && !text.ends_with(".toml") {
        Err(format!("there is no `=` in it; {FORM}"))
    } else {
        Ok(Item::Axle(PathBuf::from(text)))
    }
}
