//! The one reader of CSV files: measured values, tooth pairs, the count of a drawer, an offer.
//!
//! **What divides the cells** is found once for a file: it is the one of `,`, `;` and tab by which
//! the first line names most of the wanted columns; where that does not tell them apart, the first
//! of `;`, tab and `,` in the first line outside quotes; one column needs none.
//!
//! **Figures** may have a decimal comma where commas don't divide the cells. One that could be a number of
//! thousands as well (`1,234`) is taken where another figure of the file shows what its mark means,
//! and refused where none does. The apostrophe that keeps a spreadsheet from
//! taking words for a formula is no part of them.
//!
//! Blank lines, lines that begin with # and rows of empty cells are passed over, as are columns that
//! nobody wants. A cell in quotes may hold dividers. Names of columns may differ in case.
//! Everything that is wrong with a file is found in one go.

mod believed;
mod cells;
mod change;
mod figure;
#[cfg(test)]
mod tests;

use std::cell::RefCell;
use std::ops::Range;
use std::path::Path;

pub(super) use believed::Believed;
pub(super) use cells::Cell;
use cells::{Line, Lines};
use figure::Marks;

use super::open::open;
use super::problem::{Kind, Problem, Problems, Text};
use super::section::number_in_text;
use super::words::{did_you_mean, nearest};

/// What may divide cells; where several do, the last one.
const DIVIDERS: [char; 3] = [',', '\t', ';'];
/// Most flaws of one file that are told: nobody mends more in one go. Others are counted.
const MOST_FLAWS: usize = 20;
/// Most cells of one file: a hundred times what anybody measures.
const MOST_CELLS: usize = 500_000;

/// The wanted columns of a CSV file, and what is wrong with it.
#[derive(Debug)]
pub(super) struct Table<const N: usize> {
    text: Text,
    divider: char,
    marks: Marks,
    /// Cells of the first line, and which of them are wanted.
    width: usize,
    columns: [Option<usize>; N],
    /// The cell behind those that the first line names.
    beyond: Cell,
    /// For each row its cells of the wanted columns; empty ones where a row or the file has none.
    pub(super) rows: Vec<[Cell; N]>,
    flaws: RefCell<Flaws>,
}

/// What is said of a cell that holds none.
const NO_NUMBER: &str = "is not a number";

/// What is wrong with a file.
#[derive(Debug, Default)]
struct Flaws {
    told: Vec<Problem>,
    /// How many there are besides, and where the first of them is.
    others: usize,
    next: usize,
}

impl<const N: usize> Table<N> {
    /// Reads a file whose first line names its columns. Those that are `true` have to be there.
    ///
    /// # Errors
    /// There is nothing in the file, or the first line does not name what it has to.
    pub(super) fn read(text: Text, wanted: [(&str, bool); N]) -> Result<Self, Problems> {
        let names = wanted.map(|(name, _)| name);
        let (table, first, rest) = Self::divided(text, &names)?;
        let mut complete = true;
        let columns = wanted.map(|(name, needed)| {
            let found = table.column(&first, name);
            if found.is_none() && needed {
                complete = false;
                let near = nearest(name, texts(&first).filter(|text| !names.contains(text)));
                let help = match near {
                    Some(near) => format!("is it `{near}`? Then name it {name}"),
                    None => format!("begin the file with a line {}", names.join(",")),
                };
                table.unnamed(&first, name, Some(help));
            }
            found
        });
        if !complete {
            return Err(table.refused());
        }
        Ok(table.filled(rest, first.len(), columns))
    }

    /// Divides a text into cells: the first line and the others.
    fn divided(mut text: Text, names: &[&str]) -> Result<(Self, Line, Vec<Line>), Problems> {
        // lines of old office programs end in a carriage return alone
        if !text.body.contains('\n') {
            text.body = text.body.replace('\r', "\n");
        }
        let divider = divider(&text.body, names);
        let mut table = Self {
            text,
            divider,
            marks: Marks::default(),
            width: 0,
            columns: [None; N],
            beyond: Cell::default(),
            rows: Vec::new(),
            flaws: RefCell::default(),
        };
        let mut lines = Lines::new(&table.text.body, divider).map(|line| {
            line.map_err(|bad| table.flaw(bad.span, bad.reason, Some(bad.help.to_owned())))
        });
        let first = lines.next();
        let (mut rest, mut cells) = (Vec::new(), 0);
        for line in lines.flatten() {
            cells += line.len();
            if cells > MOST_CELLS {
                table.wrong_as_a_whole(
                    format!("there are more than {MOST_CELLS} cells in the file"),
                    Some("divide it, or take out the columns that nobody wants".to_owned()),
                );
                break;
            }
            rest.push(line);
        }
        match first {
            Some(Ok(first)) => {
                table.marks = Marks::of(rest.iter().chain([&first]));
                let first = named(first);
                table.beyond = behind(&first, 0);
                Ok((table, first, rest))
            }
            Some(Err(())) => Err(table.refused()),
            None => {
                let help = (!names.is_empty())
                    .then(|| format!("its first line names the columns: {}", names.join(",")));
                table.nothing("there is nothing in the file", help);
                Err(table.refused())
            }
        }
    }

    /// The place of a column among the cells of the first line; the first of several.
    fn column(&self, first: &[Cell], name: &str) -> Option<usize> {
        let places = places(first, name);
        if let Some(second) = places.get(1) {
            self.wrong(
                &first[*second],
                format!("`{name}` is named twice"),
                Some("give each column a name of its own".to_owned()),
            );
        }
        places.first().copied()
    }

    fn unnamed(&self, first: &[Cell], name: &str, help: Option<String>) {
        let reason = format!("the first line names no column `{name}`");
        self.wrong(&first[0], reason, help);
    }

    /// Takes the wanted columns out of the lines behind a first one of `width` cells.
    fn filled(mut self, lines: Vec<Line>, width: usize, columns: [Option<usize>; N]) -> Self {
        for line in lines {
            let stated = |cell: &&Cell| !cell.text.is_empty();
            if !line.iter().any(|cell| stated(&cell)) {
                continue;
            }
            if let Some(extra) = line.iter().skip(width).find(stated) {
                self.too_many(&line, extra, width);
                continue;
            }
            // a row that ends too early lacks its cell at its end
            let cell = |at: usize| line.get(at).cloned();
            let cell = |at: usize| cell(at).unwrap_or_else(|| behind(&line, at - line.len()));
            self.rows
                .push(columns.map(|column| cell(column.unwrap_or(width))));
        }
        self.width = width;
        self.columns = columns;
        self
    }

    /// A cell behind those that the first line names; more often than not a comma inside a figure.
    fn too_many(&self, line: &[Cell], extra: &Cell, width: usize) {
        let one_figure = self.decimal_point(line).filter(|_| width == 1);
        let help = one_figure.unwrap_or_else(|| {
            let (divider, point) = match self.divider {
                ',' => ("a comma", "; figures have a decimal point"),
                ';' => ("a semicolon", ""),
                _ => ("a tab", ""),
            };
            format!("put text that holds {divider} in quotes, or name one more column{point}")
        });
        let cells = if width == 1 { "cell" } else { "cells" };
        let reason = format!(
            "`{}` is one too many: the first line has {width} {cells}",
            extra.text
        );
        self.wrong(extra, reason, Some(help));
    }

    /// How to write cells that are one figure with a decimal comma.
    fn decimal_point(&self, cells: &[Cell]) -> Option<String> {
        let [whole, decimals] = cells else {
            return None;
        };
        let point = format!("{}.{}", whole.text, decimals.text);
        let figure = point.parse::<f64>().is_ok() && self.divider == ',';
        figure.then(|| format!("write a decimal point: {point}"))
    }

    fn flaw(&self, span: Range<usize>, reason: String, help: Option<String>) {
        let mut flaws = self.flaws.borrow_mut();
        if flaws.told.len() < MOST_FLAWS {
            let flaw = self.text.problem(Kind::BadInput, span, reason, help);
            flaws.told.push(flaw);
            return;
        }
        if flaws.others == 0 {
            flaws.next = span.start;
        }
        flaws.others += 1;
    }

    /// Tells what is wrong with a cell.
    pub(super) fn wrong(&self, cell: &Cell, reason: String, help: Option<String>) {
        self.flaw(cell.span.clone(), reason, help);
    }

    /// Tells what is wrong with the file as a whole.
    pub(super) fn wrong_as_a_whole(&self, reason: String, help: Option<String>) {
        let origin = self.text.origin.clone();
        let problem = Problem::whole(Kind::BadInput, origin, reason, help);
        self.flaws.borrow_mut().told.push(problem);
    }

    /// Tells that a file holds nothing of use, where nothing else is wrong with it.
    pub(super) fn nothing(&self, reason: &str, help: Option<String>) {
        if self.is_sound() {
            self.wrong_as_a_whole(reason.to_owned(), help);
        }
    }

    /// A figure as the divider has it, with a decimal point.
    fn with_point(&self, figure: &str) -> String {
        match self.divider != ',' && !figure.contains('.') {
            true => figure.replacen(',', ".", 1),
            false => figure.to_owned(),
        }
    }

    /// The number in a cell, in its own units; where it is none, or no such figure is believed, that is a
    /// problem.
    pub(super) fn number(&self, cell: &Cell, what: &str, believed: Believed) -> Option<f64> {
        if cell.text.is_empty() {
            self.wrong(cell, format!("the {what} is missing"), None);
            return None;
        }
        if let Some([doubt, help]) = self.marks.doubtful(&cell.text, self.divider) {
            self.wrong(
                cell,
                format!("the {what} `{}` {doubt}", cell.text),
                Some(help),
            );
            return None;
        }
        let figure = self.with_point(&cell.text);
        let (flaw, help) = match figure.parse::<f64>() {
            Ok(x) => match believed.broken_by(x) {
                Some(rule) => (rule, None),
                None => return Some(x),
            },
            Err(_) if figure::has_thousands(&cell.text) => (
                NO_NUMBER.to_owned(),
                Some("write no mark between the thousands".to_owned()),
            ),
            Err(_) => (NO_NUMBER.to_owned(), number_in_text(&figure)),
        };
        self.wrong(cell, format!("the {what} `{}` {flaw}", cell.text), help);
        None
    }

    /// The whole number in a cell, from the least to the most; where it is none, that is a problem.
    pub(super) fn whole(&self, cell: &Cell, what: &str, (least, most): (u32, u32)) -> Option<u32> {
        let number = self.number(cell, what, Believed::plain())?;
        let flaw = match number {
            x if x < 0.0 => "negative".to_owned(),
            x if x < f64::from(least) => format!("below {least}"),
            x if x > f64::from(most) => format!("above {most}"),
            x if x.fract() != 0.0 => "no whole number".to_owned(),
            x => return Some(x as u32),
        };
        self.wrong(
            cell,
            format!("the {what} {} is {flaw}", cell.text),
            Some(format!("a whole number from {least} to {most} is wanted")),
        );
        None
    }

    /// What was read, if nothing is wrong.
    ///
    /// # Errors
    /// Everything that is wrong with the file, sorted by place.
    pub(super) fn done<T>(self, read: T) -> Result<T, Problems> {
        if self.is_sound() {
            Ok(read)
        } else {
            Err(self.refused())
        }
    }

    /// The same, if nothing is wrong.
    ///
    /// # Errors
    /// As [`Self::done`].
    pub(super) fn checked(self) -> Result<Self, Problems> {
        if self.is_sound() {
            Ok(self)
        } else {
            Err(self.refused())
        }
    }

    fn is_sound(&self) -> bool {
        self.flaws.borrow().told.is_empty()
    }

    fn refused(self) -> Problems {
        let Flaws { told, others, next } = self.flaws.into_inner();
        let mut problems = Problems(told).tidied();
        if others > 0 {
            let flaws = ["more flaw", "more flaws"];
            problems.0.push(self.text.more(next, others, flaws));
        }
        problems
    }
}

/// What stands in a CSV file of any columns, line by line: the names of the columns first.
///
/// # Errors
/// Where it can't be read, or its cells can't be told apart.
pub fn cells_of(path: &Path) -> Result<Vec<Vec<String>>, Problems> {
    let (table, first, rest) = Table::<0>::divided(open(path)?, &[])?;
    if !table.is_sound() {
        return Err(table.refused());
    }
    let lines = std::iter::once(first).chain(rest);
    Ok(lines
        .map(|line| texts(&line).map(str::to_owned).collect())
        .collect())
}

impl Table<1> {
    /// Whether the first line of a file names this column.
    pub(super) fn names(text: &Text, name: &str) -> bool {
        let first = Lines::new(&text.body, divider(&text.body, &[name])).next();
        first.is_some_and(|first| first.is_ok_and(|first| !places(&first, name).is_empty()))
    }

    /// Reads one column of a file: the one with a name, or the only one, named or not.
    ///
    /// # Errors
    /// There is nothing in the file, no such column, or none is named and there are several.
    pub(super) fn one_column(text: Text, name: Option<&str>) -> Result<Self, Problems> {
        let wanted: Vec<&str> = name.into_iter().collect();
        let (table, first, mut rest) = Self::divided(text, &wanted)?;
        let column = match name {
            Some(name) => {
                let found = table.column(&first, name);
                if found.is_none() {
                    let stated = texts(&first).filter(|text| !text.is_empty());
                    table.unnamed(&first, name, did_you_mean(name, stated, "it names"));
                }
                found
            }
            None if first.len() == 1 => Some(0),
            None => {
                let which = "say which one is meant: column = \"…\", as named in the first line";
                table.wrong(
                    &first[0],
                    format!("there are {} columns", first.len()),
                    table
                        .decimal_point(&first)
                        .or_else(|| Some(which.to_owned())),
                );
                None
            }
        };
        if column.is_none() {
            return Err(table.refused());
        }
        let width = first.len();
        // a lone column needs no heading
        if name.is_none() && table.with_point(&first[0].text).parse::<f64>().is_ok() {
            rest.insert(0, first);
        }
        Ok(table.filled(rest, width, [column]))
    }
}

/// An empty cell behind a line and so many others that are missing.
fn behind(line: &[Cell], others: usize) -> Cell {
    let end = &line[line.len() - 1];
    Cell {
        text: String::new(),
        line: end.line,
        span: end.span.end..end.span.end,
        missing: others + 1,
    }
}

fn texts(cells: &[Cell]) -> impl Iterator<Item = &str> + Clone {
    cells.iter().map(|cell| cell.text.as_str())
}

/// The first line without the empty cells at its end, which spreadsheets leave.
fn named(mut first: Line) -> Line {
    let stated = |cell: &Cell| !cell.text.is_empty();
    first.truncate(first.iter().rposition(stated).map_or(1, |last| last + 1));
    first
}

/// Where a first line names a column: to the letter, or else with capitals in other places.
fn places(first: &[Cell], name: &str) -> Vec<usize> {
    let all = |same: &dyn Fn(&str) -> bool| -> Vec<usize> {
        let cells = texts(first).enumerate();
        cells
            .filter(|(_, text)| same(text))
            .map(|(i, _)| i)
            .collect()
    };
    let exact = all(&|text| text == name);
    if exact.is_empty() {
        all(&|text| text.to_lowercase() == name.to_lowercase())
    } else {
        exact
    }
}

/// What divides the cells of a text in which columns of these names are wanted.
fn divider(body: &str, names: &[&str]) -> char {
    let worth = |divider: &char| {
        let first = Lines::new(body, *divider).next();
        let first = first.and_then(Result::ok).unwrap_or_default();
        let named = |name: &&&str| !places(&first, name).is_empty();
        let rank = DIVIDERS.iter().position(|other| other == divider);
        let divides = first.len() > 1;
        (names.iter().filter(named).count(), rank.filter(|_| divides))
    };
    // of equals the last one is taken: where none divides, no comma does, so it may stand in figures
    let found = DIVIDERS.into_iter().max_by_key(worth);
    found.unwrap_or(',')
}
