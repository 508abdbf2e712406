//! What mark the figures of CSV files have, as typed.

use clap::{Args, ValueEnum};

use crate::spreadsheet::Decimal;

/// The mark of figures in CSV.
#[derive(Debug, Default, Args)]
pub struct Decimals {
    /// The decimal mark of figures in CSV: with a comma, semicolons divide the cells, as spreadsheets
    /// of many countries expect.
    #[arg(long = "decimal", value_enum, default_value_t, value_name = "MARK")]
    mark: Mark,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, ValueEnum)]
enum Mark {
    /// 28.01, and commas between the cells.
    #[default]
    Point,
    /// 28,01, and semicolons between the cells.
    Comma,
}

impl Decimals {
    /// The mark, where CSV is written; `how` asks for it.
    ///
    /// # Errors
    /// In words, where a comma is asked for and no CSV.
    pub fn of_csv(&self, written: bool, how: &str) -> Result<Decimal, String> {
        match self.mark {
            Mark::Point => Ok(Decimal::Point),
            Mark::Comma if written => Ok(Decimal::Comma),
            Mark::Comma => Err(format!(
                "--decimal comma: no CSV is written here, and nothing else has a decimal comma\n  \
                 help: ask for CSV with {how}, or leave --decimal out"
            )),
        }
    }
}
