//! `shimcast compare` as typed.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Job, Renew};
use crate::files::Override;
use crate::printable::is_strange;

const EXAMPLES: &str = "\
Examples:
  shimcast compare --way \"gauge: bench.pinion_start=gauge\" --costs gauge=650
  shimcast compare --way \"now:\" --way \"slow strip: minutes.strip=[100, 140, 200]\" \\
                   --way \"no set-up bearings: bench.setup_bearings=false\"
  shimcast compare --way \"workshop:\" --way \"at home: shop=mine/home-garage.shop.toml\"
";

#[derive(Debug, Args)]
#[command(before_help = EXAMPLES)]
pub struct Compare {
    #[command(flatten)]
    pub job: Job,
    /// A way of working: a name, a colon, and the keys that differ from the files (keys alone name it
    /// themselves); shop=FILE takes
    /// another shop file, gears=kept or bearings=kept keeps the old ones. The others are held against the first; a single one against the files
    /// as they are.
    #[arg(
        long = "way",
        value_name = "NAME: KEY=VALUE, …",
        required = true,
        value_parser = way
    )]
    pub ways: Vec<Way>,
    /// What a way costs once: the jobs are told after which it has paid for itself.
    #[arg(long, value_name = "NAME=AMOUNT", value_parser = cost)]
    pub costs: Vec<Outlay>,
    /// Print one JSON object instead: shares from 0 to 1, hours, money in the shop's currency.
    #[arg(long)]
    pub json: bool,
}

/// A way of working.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Way {
    /// What it is called.
    pub name: String,
    /// Its own shop file.
    pub shop: Option<PathBuf>,
    /// Whether its gears are new or kept.
    pub gears: Option<Renew>,
    /// Whether its bearings are.
    pub bearings: Option<Renew>,
    /// Keys that differ.
    pub set: Vec<Override>,
}

/// What a way costs once.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlay {
    /// The way.
    pub way: String,
    /// In the shop's currency.
    pub amount: f64,
}

const FORM: &str = "write \"NAME: KEY=VALUE, KEY=VALUE\", e.g. \"gauge: bench.pinion_start=gauge\"";

fn way(text: &str) -> Result<Way, String> {
    // keys alone are a name themselves
    let is_key = |text: &str| !text.is_empty() && !text.contains(' ');
    let begins_with_a_key = |text: &str| {
        let key = text.split_once('=').map(|(key, _)| key.trim());
        key.is_some_and(is_key)
    };
    let (name, keys) = match text.split_once(':') {
        Some((name, keys)) if !name.contains('=') => (name.trim(), keys),
        Some(_) => return Err(format!("there is no name before the colon; {FORM}")),
        None if begins_with_a_key(text) => (text.trim(), text),
        None => return Err(format!("there is no colon behind a name; {FORM}")),
    };
    if name.is_empty() {
        return Err(format!("there is no name before the colon; {FORM}"));
    }
    if name.contains(is_strange) {
        return Err("a way's name holds a character that can't be printed: take it out".into());
    }
    let mut way = Way {
        name: name.to_owned(),
        shop: None,
        gears: None,
        bearings: None,
        set: Vec::new(),
    };
    for item in split(keys) {
        let item = item.trim();
        if item.is_empty() {
            continue;
        }
        let key = item.split_once('=').map(|(key, value)| (key.trim(), value));
        match key {
            Some(("shop", file)) => way.shop = Some(PathBuf::from(unquoted(file.trim()))),
            Some(("gears", which)) => way.gears = Some(renew(which)?),
            Some(("bearings", which)) => way.bearings = Some(renew(which)?),
            Some(("axle", _)) => {
                return Err(
                    "every way is tried on the same axle: name its file before the ways, and \
                     change single keys, e.g. windows.depth=0.04"
                        .into(),
                );
            }
            _ => way.set.push(
                item.parse::<Override>()
                    .map_err(|problem| in_a_way(&problem.to_string()))?,
            ),
        }
    }
    if way
        .shop
        .as_ref()
        .is_some_and(|file| file.as_os_str().is_empty())
    {
        return Err("no file follows shop=".into());
    }
    Ok(way)
}

fn renew(which: &str) -> Result<Renew, String> {
    let word = unquoted(which.trim());
    Renew::from_str(word, true).map_err(|_| format!("`{word}`: write new or kept"))
}

/// What is said of a key set in a way: there is no `--set` to look for.
pub fn in_a_way(problem: &str) -> String {
    problem.strip_prefix("--set ").unwrap_or(problem).to_owned()
}

/// Divides at commas that are in no bracket, brace or quote.
pub(super) fn split(text: &str) -> Vec<&str> {
    let mut parts = Vec::new();
    let (mut start, mut depth, mut quote) = (0, 0_i32, None);
    for (i, c) in text.char_indices() {
        match (quote, c) {
            (Some(q), _) if c == q => quote = None,
            (Some(_), _) => {}
            (None, '"' | '\'') => quote = Some(c),
            (None, '[' | '{') => depth += 1,
            (None, ']' | '}') => depth -= 1,
            (None, ',') if depth <= 0 => {
                parts.push(&text[start..i]);
                start = i + 1;
            }
            _ => {}
        }
    }
    parts.push(&text[start..]);
    parts
}

pub(super) fn unquoted(text: &str) -> &str {
    ['"', '\'']
        .iter()
        .find_map(|quote| text.strip_prefix(*quote)?.strip_suffix(*quote))
        .unwrap_or(text)
}

fn cost(text: &str) -> Result<Outlay, String> {
    let (way, amount) = text
        .rsplit_once('=')
        .ok_or("write NAME=AMOUNT, e.g. gauge=650")?;
    Ok(Outlay {
        way: way.trim().to_owned(),
        amount: super::values::amount(amount.trim())?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commas_inside_lists_groups_and_quotes_do_not_divide() {
        let way = way(
            "slow: minutes.strip=[100, 140, 200], instruments.dial={ sigma = 0.01, step = 0.02, \
             indicator = \"square to the tooth\" }, bench.pinion_start=\"old pack\"",
        )
        .unwrap();
        let keys: Vec<&str> = way.set.iter().map(Override::key).collect();
        assert_eq!(
            keys,
            ["minutes.strip", "instruments.dial", "bench.pinion_start"]
        );
        assert_eq!(way.set[0].value(), "[100, 140, 200]");
    }

    #[test]
    fn a_way_may_name_a_shop_file_and_nothing_else() {
        let way = way("at home: shop='my, garage.toml', bench.learns=false").unwrap();
        assert_eq!(way.shop, Some(PathBuf::from("my, garage.toml")));
        assert_eq!(way.set.len(), 1);
        assert!(super::way("as it is:").unwrap().set.is_empty());
        let named_by_its_keys = super::way("gears=kept, bench.learns=false").unwrap();
        assert_eq!(named_by_its_keys.name, "gears=kept, bench.learns=false");
        assert_eq!(named_by_its_keys.gears, Some(Renew::Kept));
        assert_eq!(named_by_its_keys.set.len(), 1);
        let kept = super::way("old ones: gears=kept, bearings=\"kept\"").unwrap();
        assert_eq!(
            kept.gears.zip(kept.bearings),
            Some((Renew::Kept, Renew::Kept))
        );
    }

    #[test]
    fn what_is_no_way_is_refused_with_the_reason() {
        for (text, said) in [
            ("gauge bench.pinion_start=gauge", "no colon"),
            ("bench.pinion_start=gauge: x", "no name before"),
            (" : bench.learns=false", "no name before"),
            ("x: shop=", "no file"),
            ("x: gears=old", "write new or kept"),
            ("x: axle=other.toml", "same axle"),
            ("x: bench.learns", "no `=`"),
            ("x: bnch.learns=false", "did you mean `bench`"),
        ] {
            let refused = way(text).unwrap_err();
            assert!(refused.contains(said), "{text}: {refused}");
            assert!(!refused.contains("--set"), "{text}: {refused}");
        }
    }

    #[test]
    fn a_cost_is_a_name_and_an_amount() {
        let cost = cost("depth gauge = 650").unwrap();
        assert_eq!((cost.way.as_str(), cost.amount), ("depth gauge", 650.0));
        assert!(super::cost("gauge").is_err());
        assert!(super::cost("gauge=-3").is_err());
    }
}
