//! A form to print and fill in.

/// A form of one page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Form {
    /// What it is.
    pub title: String,
    /// What it is made for, in a line.
    pub under: String,
    /// Labels with room to write, at the top.
    pub above: &'static [&'static str],
    /// Parts side by side.
    pub halves: [FormPart; 2],
    /// Parts below each other.
    pub parts: Vec<FormPart>,
    /// What is said below them.
    pub note: &'static str,
    /// Labels with room to write, at the foot.
    pub below: &'static [&'static str],
}

/// A part of a form: a grid under a heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormPart {
    /// Its heading.
    pub heading: &'static str,
    /// What the grid holds.
    pub caption: &'static str,
    /// Its columns.
    pub columns: Vec<String>,
    /// Its rows; a cell that is empty or not there is to be written in.
    pub rows: Vec<Vec<String>>,
    /// What is said below it; nothing where it is empty.
    pub note: String,
}
