//! A form to print and fill in by hand.

/// A form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Form {
    /// What it is.
    pub title: String,
    /// What it is made for, in a line.
    pub under: String,
    /// What is to be known before the first step, a paragraph each.
    pub cautions: Vec<&'static str>,
    /// What looks wrong in the files that it is made from, a sentence each.
    pub doubts: Vec<String>,
    /// Labels with room to write, at the top.
    pub above: &'static [&'static str],
    /// Its parts, in the order of the work.
    pub parts: Vec<FormPart>,
    /// Labels with room to write, at the foot.
    pub below: &'static [&'static str],
}

/// A part of a form, under a heading.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FormPart {
    /// Its heading.
    pub heading: &'static str,
    /// What is printed to be looked up.
    pub printed: Option<PrintedTable>,
    /// What is to be filled in, line by line.
    pub lines: Vec<FormLine>,
    /// What is said below, a paragraph each.
    pub notes: Vec<String>,
}

/// A table of what is known before.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PrintedTable {
    /// What it holds.
    pub caption: &'static str,
    /// Its columns.
    pub columns: Vec<String>,
    /// Its rows.
    pub rows: Vec<Vec<String>>,
}

/// A line to fill in.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FormLine {
    /// What it is about.
    pub name: String,
    /// From left to right.
    pub fields: Vec<FormField>,
}

/// A piece of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FormField {
    /// A box for one reading, below its label.
    Reading(String),
    /// A box for words, as wide as there is room.
    Words(String),
    /// Printed between boxes, as a part of a sum.
    Said(String),
    /// A blank tooth flank to draw a pattern on, below its name; it stands before all boxes.
    Tooth(String),
    /// What follows begins a row of its own.
    Break,
}

impl FormPart {
    /// Everything that is printed in it and no label.
    pub fn texts(&self) -> impl Iterator<Item = &str> {
        let rows = self
            .printed
            .iter()
            .flat_map(|table| table.rows.iter().flatten());
        let fields = self.lines.iter().flat_map(|line| &line.fields);
        let said = fields.filter_map(|field| match field {
            FormField::Said(text) => Some(text),
            _ => None,
        });
        rows.chain(said).chain(&self.notes).map(String::as_str)
    }
}

impl FormLine {
    /// A line with its fields.
    pub fn new(name: impl Into<String>, fields: impl IntoIterator<Item = FormField>) -> Self {
        Self {
            name: name.into(),
            fields: fields.into_iter().collect(),
        }
    }
}

impl FormField {
    /// A box for a reading.
    pub fn reading(label: impl Into<String>) -> Self {
        Self::Reading(label.into())
    }

    /// As many boxes as readings are taken, numbered; what is read stands above the first.
    pub fn readings(label: &str, number: u32) -> Vec<Self> {
        let name = |n: u32| match n {
            1 => format!("{label} 1"),
            n => n.to_string(),
        };
        (1..=number).map(|n| Self::Reading(name(n))).collect()
    }
}
