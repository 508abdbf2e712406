//! Single rebuilds as CSV, one a row: the parts as drawn, the truth, what was read and decided, what it
//! cost and how it ended, for people who bring their own tools; and the key of the columns.

mod columns;
mod seen;

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use shimcast_sim::bench::job::Ending;
use shimcast_sim::bench::money::PriceList;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::chance::dice::Address;

pub use self::columns::TRUTH;

use self::columns::{Column, Done, columns};
use self::seen::Seen;
use crate::document::Made;
use crate::faces;
use crate::spreadsheet::{Decimal, Entry};
use crate::units::Units;

/// The key of the columns goes beside the rebuilds, into a file called by theirs.
pub fn key_beside(path: &Path) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!("{stem}-columns.csv"))
}

/// The first rebuilds of a run.
#[derive(Debug, Clone, Copy)]
pub struct Rebuilds<'a> {
    /// The job.
    pub setup: &'a Setup,
    /// Units of the axle file, in which people print and read.
    pub units: Units,
    /// Seed of the run.
    pub seed: u64,
    /// How many of them.
    pub number: u64,
    /// What they are made from.
    pub made: &'a Made,
    /// What mark their figures have.
    pub decimal: Decimal,
}

impl Rebuilds<'_> {
    /// Writes what they are made from, the names of the columns, and a row a rebuild.
    ///
    /// # Errors
    /// Where writing fails.
    pub fn write(&self, out: &mut dyn Write) -> io::Result<()> {
        out.write_all(faces::csv::head(self.made).as_bytes())?;
        let columns = columns(self.setup, self.units);
        let names = columns.iter().map(|column| column.name.as_str());
        out.write_all(self.decimal.names(names).as_bytes())?;
        let prices = PriceList::new(self.setup);
        for index in 0..self.number {
            let row = self.row(index, &columns, &prices);
            let row = self.decimal.line(row.into_iter().map(Entry::Figure));
            out.write_all(row.as_bytes())?;
        }
        Ok(())
    }

    /// The key of the columns: what each holds, and its unit.
    pub fn key(&self) -> String {
        let mut text = faces::csv::head(self.made);
        text.push_str(&self.decimal.names(["column", "unit", "what"]));
        for Column {
            name, unit, what, ..
        } in columns(self.setup, self.units)
        {
            text.push_str(&self.decimal.names([name, unit, what]));
        }
        text
    }

    fn row(&self, index: u64, columns: &[Column], prices: &PriceList<'_>) -> Vec<String> {
        let setup = self.setup;
        let address = Address::new(self.seed, index);
        let parts = setup.parts(address);
        let mut seen = Seen::default();
        let rebuild = setup.rebuild_of_parts(&parts, address, &mut seen);
        let ending = Ending::of(setup, &rebuild);
        let minutes = setup.minutes(address, &rebuild);
        let cost = prices.bill(&rebuild, minutes, ending.outcome).cost();
        let done = Done {
            // numbered as everywhere, from 1
            number: index + 1,
            parts,
            rebuild,
            ending,
            seen,
            minutes,
            cost,
        };
        columns.iter().map(|column| (column.of)(&done)).collect()
    }
}
