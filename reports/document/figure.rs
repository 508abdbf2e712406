//! A question that a figure answers.

use super::{Chart, Table};

/// A question answered by a chart, with its finding in words and the data behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// Its name: lower case and hyphens, its own in a document; its files are called by it.
    pub name: &'static str,
    /// The question.
    pub question: String,
    /// What is drawn, in a sentence, for those who do not see it.
    pub drawn: String,
    /// The chart.
    pub chart: Chart,
    /// What is found, in a sentence or two.
    pub finding: String,
    /// How to read it, and how well its parts are known.
    pub reading: String,
    /// The data, as people read them and, where its columns have keys, for other tools.
    pub table: Table,
    /// The data for other tools, where they need other rows.
    pub rows: Option<Table>,
}

impl Figure {
    /// What is drawn, what is found in it, and what its band is.
    pub fn description(&self) -> String {
        let mut said = format!("{} {}", self.drawn, self.finding);
        if let Some(band) = self.chart.band() {
            said.push_str(&format!(" {band}"));
        }
        said
    }

    /// The table for other tools.
    pub fn data(&self) -> &Table {
        self.rows.as_ref().unwrap_or(&self.table)
    }
}
