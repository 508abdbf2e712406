//! `shimcast quote` as typed.

use clap::Args;

use super::Job;

const EXAMPLES: &str = "\
Examples:
  shimcast quote                                   the built-in demo, one job in five may overrun
  shimcast quote --risk 10 --margin 15 --tax 20    a safer price, with margin and tax
  shimcast quote mine/short.axle.toml --shop mine/north-bench.shop.toml --gears kept
  shimcast quote --gear-price 480 --bearing-price 260 --parts-margin 15 --tax 20
";

/// What a price is made of.
#[derive(Debug, Clone, PartialEq, Args)]
pub struct PriceTerms {
    /// Percent of jobs that may take longer than the flat hours.
    #[arg(long, value_name = "PERCENT", default_value = "20", value_parser = risk)]
    pub risk: f64,
    /// Percent of the price before tax that is to remain as margin, parts apart.
    #[arg(long, value_name = "PERCENT", default_value = "0", value_parser = margin)]
    pub margin: f64,
    /// Tax, percent of the price before it.
    #[arg(long, value_name = "PERCENT", default_value = "0", value_parser = tax)]
    pub tax: f64,
    /// What a new gear set costs the shop, before tax; the customer pays it with --parts-margin on top.
    #[arg(long, value_name = "AMOUNT", default_value = "0", value_parser = super::values::amount)]
    pub gear_price: f64,
    /// What a set of new bearings costs the shop, before tax; the same.
    #[arg(long, value_name = "AMOUNT", default_value = "0", value_parser = super::values::amount)]
    pub bearing_price: f64,
    /// Percent put on the price of these parts; 0 passes them on at cost.
    #[arg(long, value_name = "PERCENT", default_value = "0", value_parser = parts_margin)]
    pub parts_margin: f64,
}

#[derive(Debug, Args)]
#[command(before_help = EXAMPLES)]
pub struct Quote {
    #[command(flatten)]
    pub job: Job,
    #[command(flatten)]
    pub terms: PriceTerms,
    /// Such jobs in a year; where this is not given, the jobs that the shop file expects are counted.
    #[arg(long, value_name = "N", value_parser = super::values::jobs)]
    pub jobs_a_year: Option<f64>,
    /// Charge the shims finally fitted, as if all were bought, without planning the shop's drawer, which takes
    /// the longest.
    #[arg(long)]
    pub no_stock: bool,
    /// Print one JSON object instead: hours, minutes for operations, shares from 0 to 1.
    #[arg(long)]
    pub json: bool,
}

fn risk(text: &str) -> Result<f64, String> {
    super::values::within(text, 0.5..=95.0)
        .ok_or_else(|| "percent of jobs from 0.5 to 95 are wanted, e.g. 20".into())
}

fn margin(text: &str) -> Result<f64, String> {
    super::values::within(text, 0.0..=90.0)
        .ok_or_else(|| "percent of the price from 0 to 90 are wanted, e.g. 15".into())
}

fn parts_margin(text: &str) -> Result<f64, String> {
    super::values::within(text, 0.0..=300.0)
        .ok_or_else(|| "percent of what parts cost from 0 to 300 are wanted, e.g. 15".into())
}

fn tax(text: &str) -> Result<f64, String> {
    super::values::within(text, 0.0..=100.0)
        .ok_or_else(|| "percent from 0 to 100 are wanted, e.g. 20".into())
}

/// Such jobs in a year that somebody filled in.
///
/// # Errors
/// In words, where it is no such number.
pub fn jobs_a_year(said: Option<&str>) -> Result<Option<f64>, String> {
    said.map(super::values::jobs).transpose()
}

type Reader = fn(&str) -> Result<f64, String>;

impl Default for PriceTerms {
    fn default() -> Self {
        Self::said(|_| None).0
    }
}

impl PriceTerms {
    /// What each is called, and how it is read.
    const READERS: [(&'static str, Reader); 6] = [
        ("risk", risk),
        ("margin", margin),
        ("tax", tax),
        ("gear-price", super::values::amount),
        ("bearing-price", super::values::amount),
        ("parts-margin", parts_margin),
    ];

    /// Terms that somebody filled in, under the names of the options; what is left out stands at its default.
    /// With them, what is wrong with those that can't be taken.
    pub fn said<'a>(get: impl Fn(&str) -> Option<&'a str>) -> (Self, Vec<(&'static str, String)>) {
        let mut figures = [20.0, 0.0, 0.0, 0.0, 0.0, 0.0];
        let mut wrong = Vec::new();
        for (figure, (name, read)) in figures.iter_mut().zip(Self::READERS) {
            match get(name).map(|text| read(&text.replacen(',', ".", 1))) {
                Some(Ok(said)) => *figure = said,
                Some(Err(why)) => wrong.push((name, why)),
                None => {}
            }
        }
        let [risk, margin, tax, gear_price, bearing_price, parts_margin] = figures;
        let terms = Self {
            risk,
            margin,
            tax,
            gear_price,
            bearing_price,
            parts_margin,
        };
        (terms, wrong)
    }
}

#[cfg(test)]
mod tests {
    use clap::Parser;

    use super::*;
    use crate::cli::{Cli, Command};

    #[test]
    fn terms_that_are_filled_in_are_those_that_are_typed() {
        let typed = Cli::try_parse_from(["shimcast", "quote"]).expect("a command");
        let Command::Quote(quote) = typed.command else {
            panic!("a quote")
        };
        assert_eq!(quote.terms, PriceTerms::default());
        let (terms, wrong) = PriceTerms::said(|name| match name {
            "risk" => Some("12,5"),
            "tax" => Some("200"),
            _ => None,
        });
        assert_eq!(terms.risk, 12.5);
        assert_eq!(wrong.len(), 1);
        assert!(
            wrong[0].0 == "tax" && wrong[0].1.contains("from 0 to 100"),
            "{wrong:?}"
        );
    }
}
