//! `shimcast sweep` as typed.

use std::path::PathBuf;

use clap::Args;

use super::{Dated, Effort, Files, Renewed};
use crate::files::Override;

const EXAMPLES: &str = "\
Examples:
  shimcast sweep instruments.dial.sigma=0..0.02
  shimcast sweep bench.backlash_points=1..8
  shimcast sweep windows.backlash.2=0.18..0.26:4 --csv wider.csv
  shimcast sweep bench.ring_belief=0.6..1.1:5 instruments.dial.sigma=0..0.02:4 --chart map.svg
  shimcast sweep mine/short.axle.toml housing.head_seat.tol=0.02..0.10
";

#[derive(Debug, Args)]
#[command(before_help = EXAMPLES)]
pub struct Sweep {
    /// One key of the files, or two, each from a first value to a last one in so many equal steps:
    /// 8 where none are named, or whole steps between whole numbers. An item of a list is named by
    /// its place, from 1. What has no `=` is the axle file; the built-in Rowan 215 where none is
    /// named.
    #[arg(
        value_name = "[AXLE] KEY=FROM..TO[:STEPS] [KEY2=…]",
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
    #[command(flatten)]
    pub renewed: Renewed,
    #[command(flatten)]
    pub effort: Effort,
    #[command(flatten)]
    pub dated: Dated,
    /// Write the table as CSV to this file as well, which must not exist yet; "-" prints it in place
    /// of the answer.
    #[arg(long, value_name = "FILE", conflicts_with = "json")]
    pub csv: Option<PathBuf>,
    /// Draw it to this SVG file as well, which must not exist yet: lines with their intervals, or
    /// maps where two keys are swept.
    #[arg(long, value_name = "FILE.svg")]
    pub chart: Option<PathBuf>,
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
                "{} and {}: one axle file is enough; {FORM}",
                first.display(),
                second.display()
            ));
        }
        Ok(Files {
            axle: axles.first().map(|path| (*path).clone()),
            shop: self.shop.clone(),
            set: self.set.clone(),
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

/// A key and the values that it takes one after the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Range {
    /// The key as typed.
    pub key: String,
    /// Its values.
    pub values: Vec<f64>,
}

/// Most steps of one key: with one point more, as many as are swept at once.
const MOST_STEPS: u32 = 143;
/// Steps where none are named.
const USUAL_STEPS: u32 = 8;
/// Whole numbers this near are all tried.
const WHOLE_STEPS: u32 = 20;
/// Steps between whole numbers farther apart, so that they come out whole where they can.
const TIDY_STEPS: [u32; 5] = [8, 6, 5, 10, 12];

const FORM: &str =
    "write KEY=FROM..TO or KEY=FROM..TO:STEPS, e.g. instruments.dial.sigma=0..0.02:4";

pub(super) fn range(text: &str) -> Result<Range, String> {
    let Some((key, span)) = text.split_once('=') else {
        return Err(format!("there is no `=` in it; {FORM}"));
    };
    let Some((from, rest)) = span.split_once("..") else {
        return Err(format!("there is no `..` between two values; {FORM}"));
    };
    let (to, steps) = match rest.split_once(':') {
        None => (rest, None),
        Some((to, steps)) => (to, Some(steps)),
    };
    let number = |typed: &str| {
        let number: Option<f64> = typed.trim().parse().ok();
        number
            .filter(|x| x.is_finite())
            .ok_or_else(|| format!("\"{}\" is no number; {FORM}", typed.trim()))
    };
    let (from_typed, to_typed) = (from.trim(), to.trim());
    let (from, to) = (number(from_typed)?, number(to_typed)?);
    if from == to {
        return Err(format!(
            "it goes from {from_typed} to {to_typed}, which is no range; {FORM}"
        ));
    }
    // the key is checked as --set would check it
    format!("{key}={from_typed}")
        .parse::<Override>()
        .map_err(|problem| super::in_a_way(&problem.to_string()))?;
    let whole = [from_typed, to_typed]
        .iter()
        .all(|typed| typed.parse::<i64>().is_ok());
    let steps = match steps {
        Some(typed) => match typed.trim().parse::<u32>() {
            Ok(steps) if (1..=MOST_STEPS).contains(&steps) => steps,
            _ => {
                return Err(format!(
                    "\"{}\" steps: a whole number from 1 to {MOST_STEPS} is wanted",
                    typed.trim()
                ));
            }
        },
        None if whole => steps_between((to - from).abs()),
        None => USUAL_STEPS,
    };
    let values = (0..=steps)
        .map(|i| tidy(from + (to - from) * f64::from(i) / f64::from(steps)))
        .collect();
    Ok(Range {
        key: key.trim().to_owned(),
        values,
    })
}

/// Steps between two whole numbers, by how far they are apart.
fn steps_between(apart: f64) -> u32 {
    if apart <= f64::from(WHOLE_STEPS) {
        return apart as u32;
    }
    let fits = |steps: &u32| apart % f64::from(*steps) == 0.0;
    TIDY_STEPS.into_iter().find(fits).unwrap_or(
        // a key may take whole numbers only
        if apart <= f64::from(MOST_STEPS) {
            apart as u32
        } else {
            USUAL_STEPS
        },
    )
}

/// 0.3 rather than 0.30000000000000004.
fn tidy(figure: f64) -> f64 {
    format!("{figure:.12e}").parse().unwrap_or(figure)
}

impl Range {
    /// Whether both are ranges of the same key, however it was typed.
    fn same_key(&self, other: &Self) -> bool {
        match (self.set(self.values[0]), other.set(other.values[0])) {
            (Ok(own), Ok(other)) => own.same_key(&other),
            _ => self.key == other.key,
        }
    }

    /// A value of it as a key to set.
    pub fn set(&self, value: f64) -> Result<Override, String> {
        // a value between two that were accepted; written in full, so that nothing is rounded
        format!("{}={value}", self.key)
            .parse::<Override>()
            .map_err(|problem| super::in_a_way(&problem.to_string()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_is_cut_into_equal_steps_of_tidy_figures() {
        let dial = range("instruments.dial.sigma=0..0.3:3").unwrap();
        assert_eq!(dial.key, "instruments.dial.sigma");
        assert_eq!(dial.values, [0.0, 0.1, 0.2, 0.3]);
        assert_eq!(
            range("windows.depth=0.05..0.01:1").unwrap().values,
            [0.05, 0.01]
        );
        assert_eq!(range("windows.depth=0.02..0.1").unwrap().values.len(), 9);
    }

    #[test]
    fn whole_numbers_go_by_ones() {
        let points = range("bench.backlash_points=2..5").unwrap();
        assert_eq!(points.values, [2.0, 3.0, 4.0, 5.0]);
        assert_eq!(range("prices.hour=60..120").unwrap().values.len(), 7);
        assert_eq!(range("prices.hour=60..140").unwrap().values.len(), 9);
        // where only every one is whole
        assert_eq!(
            range("bench.backlash_points=1..32").unwrap().values.len(),
            32
        );
        assert_eq!(
            range("bench.backlash_points=8..2:3").unwrap().values,
            [8.0, 6.0, 4.0, 2.0]
        );
    }

    #[test]
    fn what_is_wrong_with_a_range_is_said() {
        for (text, said) in [
            ("instruments.dial.sigma", "no `=`"),
            ("instruments.dial.sigma=0.01", "no `..`"),
            ("instruments.dial.sigma=0..x", "\"x\" is no number"),
            ("instruments.dial.sigma=0..inf", "is no number"),
            ("instruments.dial.sigma=0.01..0.01", "no range"),
            ("instruments.dial.sigma=0..0.01:0", "from 1 to 143"),
            (
                "instrments.dial.sigma=0..0.01",
                "did you mean `instruments`",
            ),
            ("=0..1", "part of the key is missing"),
        ] {
            let refused = range(text).unwrap_err();
            assert!(refused.contains(said), "{text}: {refused}");
        }
    }
}
