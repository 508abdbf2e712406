//! The keys of a tolerance.

use std::path::Path;

use super::csv::{Believed, Table};
use super::describe::Takes;
use super::fields::{BARE, Fields, IN_UNITS, SHAPES};
use super::measure::Quantity;
use super::open::open;
use super::problem::{Origin, Problems};
use super::section::{Limits, Section};
use super::tree::{Node, Value};

use crate::printable::Shown;

/// Most measured values of one list: far more than anybody measures.
const MOST_VALUES: usize = 100_000;

fn too_many(of: &str, number: usize) -> String {
    format!("{of} has {number} values, more than {MOST_VALUES}")
}

impl Section<'_> {
    /// The keys of a tolerance's own group.
    ///
    /// Measured values keep the limits of the nominal in whose place they stand.
    pub(super) fn fields(&self, q: Quantity, limits: Limits) -> Fields {
        let mut fields = Fields::default();
        for (i, key) in IN_UNITS.into_iter().enumerate() {
            self.takes(key, false, || Takes::Figure(q, Limits::AtLeast(0.0)));
            fields.in_units[i] = self.stated(key).map(|n| {
                let x = self.checked(n, &self.name(key), q, Limits::AtLeast(0.0), None);
                q.to_model(x, self.units)
            });
        }
        for (i, (key, limits)) in BARE
            .into_iter()
            .zip([Limits::AtLeast(0.0), Limits::Above(0.0), Limits::SHARE])
            .enumerate()
        {
            self.takes(key, false, || Takes::Figure(Quantity::Plain, limits));
            fields.bare[i] = self
                .stated(key)
                .map(|n| self.checked(n, &self.name(key), Quantity::Plain, limits, None));
        }
        self.takes("shape", false, || Takes::of_words(&SHAPES));
        if self.entry("shape").is_some() {
            fields.shape = Some(self.choice_or("shape", &SHAPES, None));
        }
        self.takes("inspected", false, || Takes::Flag);
        if self.entry("inspected").is_some() {
            fields.inspected = Some(self.flag("inspected"));
        }
        fields.values = self.figures("values", q, limits);
        fields.weights = self.figures("weights", Quantity::Plain, Limits::AtLeast(0.0));
        if let Some(from) = self.csv_values(q, limits) {
            fields.values = Some(from);
        }
        fields
    }

    fn figures(&self, key: &'static str, q: Quantity, limits: Limits) -> Option<Vec<f64>> {
        self.takes(key, false, || Takes::Figures(q, limits, MOST_VALUES));
        let node = self.stated(key)?;
        let name = self.name(key);
        let Some(list) = node.list() else {
            self.wrong(
                node.place,
                format!(
                    "{name} should be a list of numbers; this is {}",
                    node.kind()
                ),
                Some(format!("write {key} = [27.98, 28.01, 28.02]")),
            );
            return None;
        };
        if list.len() > MOST_VALUES {
            self.wrong(node.place, too_many(&name, list.len()), None);
            return None;
        }
        let one = |(i, n): (usize, &Node)| {
            let name = format!("number {} of {name}", i + 1);
            q.to_model(self.checked(n, &name, q, limits, None), self.units)
        };
        Some(list.iter().enumerate().map(one).collect())
    }

    /// Measured values from a CSV file that stands beside the file that names it.
    fn csv_values(&self, quantity: Quantity, limits: Limits) -> Option<Vec<f64>> {
        self.takes("from", false, || Takes::Words);
        self.takes("column", false, || Takes::Words);
        let (from, column) = (self.stated("from"), self.stated("column"));
        let Some(from) = from else {
            if let Some(column) = column {
                self.wrong(
                    column.place,
                    format!("{} names a column, but no file", self.name("column")),
                    Some("add from = \"heights.csv\"".to_owned()),
                );
            }
            return None;
        };
        let file = self.text("from", "name a CSV file, e.g. from = \"heights.csv\"");
        let column = column.map(|_| self.text("column", "name a column, e.g. column = \"height\""));
        if file.is_empty() {
            return None;
        }
        if self.stated("values").is_some() {
            self.wrong(
                from.place,
                format!("{} and `values` both give the values", self.name("from")),
                Some("keep one of the two".to_owned()),
            );
            return None;
        }
        let path = match &self.notes.texts[from.place.text].origin {
            Origin::File(path) => path.with_file_name(&file),
            Origin::BuiltIn(_) | Origin::Set => file.into(),
        };
        let believed = Believed {
            quantity,
            units: self.units,
            limits,
        };
        match measured(&path, column.as_deref(), believed) {
            Ok(values) => Some(
                values
                    .into_iter()
                    .map(|x| quantity.to_model(x, self.units))
                    .collect(),
            ),
            Err(problems) => {
                self.wrong(
                    from.place,
                    format!("{} can't be used, see {}", self.name("from"), path.shown()),
                    None,
                );
                self.notes.problems.borrow_mut().extend(problems.0);
                None
            }
        }
    }

    /// The fields and the nominal of the built-in file's tolerance.
    pub(super) fn usual_fields(&self, node: &Node) -> (Fields, Option<f64>) {
        let figure = |key: &str| node.get(key).and_then(Node::figure);
        let word = node.get("shape").and_then(Node::text);
        let fields = Fields {
            in_units: IN_UNITS.map(figure),
            bare: BARE.map(figure),
            shape: word
                .and_then(|w| SHAPES.iter().find(|(s, _)| *s == w))
                .map(|(_, s)| *s),
            inspected: node
                .get("inspected")
                .map(|n| matches!(n.value, Value::Flag(true))),
            ..Fields::default()
        };
        (fields, figure("nominal"))
    }
}

/// The values of a column of a CSV file, without a name of the only one. Empty cells are passed
/// over.
fn measured(path: &Path, column: Option<&str>, believed: Believed) -> Result<Vec<f64>, Problems> {
    let table = Table::one_column(open(path)?, column)?;
    let cells = table.rows.iter().flatten();
    let values: Vec<f64> = cells
        .filter(|cell| !cell.text.is_empty())
        .filter_map(|cell| table.number(cell, "value", believed))
        .collect();
    if values.len() > MOST_VALUES {
        table.wrong_as_a_whole(too_many("it", values.len()), None);
    }
    if values.is_empty() {
        let help = "give one value a line below the name of the column".to_owned();
        table.nothing("there are no values in it", Some(help));
    }
    table.done(values)
}
