//! A form to print and fill in by hand, or with what is known written into it.

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
    /// Labels with room to write, at the top, and what stands there.
    pub above: Vec<(&'static str, String)>,
    /// Its parts, in the order of the work.
    pub parts: Vec<FormPart>,
    /// Labels with room to write, at the foot, and what stands there.
    pub below: Vec<(&'static str, String)>,
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
    /// A box for one reading, below its label, and what stands in it.
    Reading(String, String),
    /// A box for words, as wide as there is room, and what stands in it.
    Words(String, String),
    /// Printed between boxes, as a part of a sum.
    Said(String),
    /// A tooth flank to draw a pattern on, below its name, and where a pattern lies on it: percent of the
    /// tooth up the profile, + toward the top, with its words. It stands before all boxes.
    Tooth(String, Option<(i32, String)>),
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
        Self::Reading(label.into(), String::new())
    }

    /// A box for words.
    pub fn words(label: impl Into<String>) -> Self {
        Self::Words(label.into(), String::new())
    }

    /// A blank tooth flank.
    pub fn tooth(label: impl Into<String>) -> Self {
        Self::Tooth(label.into(), None)
    }

    /// The same with this written into its box.
    pub fn filled(mut self, with: impl Into<String>) -> Self {
        if let Self::Reading(_, inside) | Self::Words(_, inside) = &mut self {
            *inside = with.into();
        }
        self
    }

    /// As many boxes as readings are taken, numbered; what is read stands above the first.
    pub fn readings(label: &str, number: u32) -> Vec<Self> {
        let name = |n: u32| match n {
            1 => format!("{label} 1"),
            n => n.to_string(),
        };
        (1..=number).map(|n| Self::reading(name(n))).collect()
    }

    /// The same, each with its reading as far as there are any; further readings get boxes of their own.
    pub fn readings_with(label: &str, number: u32, read: Vec<String>) -> Vec<Self> {
        let number = number.max(u32::try_from(read.len()).unwrap_or(u32::MAX));
        let boxes = Self::readings(label, number).into_iter();
        let rest = std::iter::repeat(String::new());
        boxes
            .zip(read.into_iter().chain(rest))
            .map(|(field, read)| field.filled(read))
            .collect()
    }
}
