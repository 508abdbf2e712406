//! A document as text, laid out for the width that is there.

mod first;
mod table;

pub use first::first;

use textwrap::{Options, WordSplitter, WrapAlgorithm, wrap};

use crate::document::wording::typed;
use crate::document::{Block, Document, Section, Table};

/// What an answer is written on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Paper {
    /// Columns of a line of running text.
    pub text: usize,
    /// Columns of a row of a table; `None` where a row is one line however long, so that it can be
    /// searched and cut.
    pub rows: Option<usize>,
    /// Whether there is colour; colour only ever repeats what the words say.
    pub colour: bool,
}

/// Columns of a line of running text where nothing says how wide it may be.
const WIDTH: usize = 98;
/// Nothing is laid out in less.
const LEAST: usize = 40;

impl Paper {
    /// A pipe or a file.
    pub fn endless(colour: bool) -> Self {
        Self {
            text: WIDTH,
            rows: None,
            colour,
        }
    }

    /// A terminal with this many columns.
    pub fn of_width(width: usize, colour: bool) -> Self {
        let width = width.max(LEAST);
        Self {
            text: width.min(WIDTH),
            rows: Some(width),
            colour,
        }
    }

    fn heading(self, text: &str) -> String {
        if self.colour && !text.is_empty() {
            format!("\x1b[1m{text}\x1b[0m")
        } else {
            text.into()
        }
    }
}

/// The whole answer.
pub fn text(document: &Document, paper: Paper) -> String {
    let document = &document.worded(&typed);
    let mut out = Lines::on(paper);
    out.head(document, &document.doubts);
    for section in &document.sections {
        out.section(section);
    }
    if !document.behind.is_empty() {
        out.line("");
        out.wrapped(&document.behind, ["", ""]);
    }
    if !document.assumptions.is_empty() {
        out.line("");
        out.heading("Assumed, since the files do not say (replace them by your own figures)");
        for assumption in &document.assumptions {
            out.row(assumption, NOTE);
        }
        if let Some(most) = &document.moved_most {
            out.wrapped(most, ["", ""]);
        }
    }
    if !document.cautions.is_empty() {
        out.line("");
        for caution in &document.cautions {
            out.wrapped(caution, ["", ""]);
        }
    }
    out.text
}

/// Indents of a note: its first line, and the others.
const NOTE: [&str; 2] = ["  ", "    "];
const UNDER: [&str; 2] = ["      ", "        "];

struct Lines {
    paper: Paper,
    /// Whether a table says which columns it has no room for.
    names_columns: bool,
    text: String,
}

impl Lines {
    fn on(paper: Paper) -> Self {
        Self {
            paper,
            names_columns: true,
            text: String::new(),
        }
    }

    /// For the first screen, whose last line says how to see all.
    fn of_a_first_screen(paper: Paper) -> Self {
        Self {
            names_columns: false,
            ..Self::on(paper)
        }
    }

    fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    fn heading(&mut self, heading: &str) {
        for line in wrapped(heading, self.paper.text, ["", "  "]) {
            let line = self.paper.heading(&line);
            self.line(&line);
        }
    }

    fn wrapped(&mut self, text: &str, insets: [&str; 2]) {
        for line in wrapped(text, self.paper.text, insets) {
            self.line(&line);
        }
    }

    /// Text that stays a line where rows of tables do.
    fn row(&mut self, text: &str, insets: [&str; 2]) {
        for line in wrapped(text, self.paper.rows.unwrap_or(usize::MAX), insets) {
            self.line(&line);
        }
    }

    /// What the answer is about, and some of what looks wrong.
    fn head(&mut self, document: &Document, doubts: &[String]) {
        self.heading(&document.title);
        for line in document.under.iter().chain(&document.broken_off()) {
            self.wrapped(line, ["", ""]);
        }
        for doubt in doubts {
            self.wrapped(&format!("Looks wrong: {doubt}"), ["", "  "]);
        }
    }

    fn section(&mut self, section: &Section) {
        self.line("");
        if !section.heading.is_empty() {
            self.heading(&section.heading);
        }
        for block in &section.blocks {
            self.block(block);
        }
    }

    fn block(&mut self, block: &Block) {
        match block {
            Block::Table(of) | Block::Folded(of) => self.table(of),
            Block::Figure(figure) => {
                self.heading(&figure.question);
                self.wrapped(&figure.finding, NOTE);
                self.wrapped(&figure.reading, NOTE);
                self.table(&figure.table);
            }
            Block::Heading(heading) => self.heading(heading),
            Block::Note(note) => self.wrapped(note, NOTE),
            Block::Under(note) => self.wrapped(note, UNDER),
            Block::Text(text) => self.wrapped(text, ["", ""]),
            Block::Step(heading, beside, blocks) => {
                let heading = self.paper.heading(heading);
                match (heading.as_str(), beside.as_str()) {
                    ("", _) => {}
                    (heading, "") => self.line(heading),
                    (heading, beside) => self.line(&format!("{heading} ({beside})")),
                }
                for block in blocks {
                    self.block(block);
                }
            }
        }
    }

    fn table(&mut self, of: &Table) {
        let (lines, mut left_out) = table::lines(of, self.paper.rows);
        for line in lines {
            self.line(&line);
        }
        left_out.retain(|title| !title.is_empty());
        left_out.reverse();
        if self.names_columns && !left_out.is_empty() {
            let left_out = left_out.join(", ");
            self.wrapped(&format!("Left out for want of room: {left_out}."), NOTE);
        }
    }
}

/// Stands for a blank at which no line ends.
const BOUND: char = '\u{a0}';

/// Text in lines; a figure and its percent sign stay together.
fn wrapped(text: &str, width: usize, [first, rest]: [&str; 2]) -> Vec<String> {
    let bound = text.replace(" %", &format!("{BOUND}%"));
    let options = Options::new(width)
        .initial_indent(first)
        .subsequent_indent(rest)
        .break_words(false)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit);
    let lines = wrap(&bound, options).into_iter();
    lines.map(|line| line.replace(BOUND, " ")).collect()
}
