//! A table: columns that say how their cells are shown, and rows of cells.

use std::borrow::Cow;

use super::Cell;

/// How the cells of a column are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// Words, from the left.
    Words,
    /// A figure by itself, to the right.
    Figure,
    /// A figure with its interval beside it.
    Interval,
    /// A figure with half its interval behind it.
    Half,
    /// Not at all: it is for spreadsheets.
    Hidden,
}

/// A column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its title; empty where the rows speak for themselves.
    pub title: String,
    /// How its cells are shown.
    pub shown: Shown,
    /// Whether it may be left out where there is little room.
    pub may_go: bool,
    /// Its name in CSV; not there where it has none.
    pub key: Option<Cow<'static, str>>,
    /// Whether its cells are words in CSV too, even those that look like figures.
    pub words: bool,
}

impl Column {
    fn new(title: impl Into<String>, shown: Shown) -> Self {
        Self {
            title: title.into(),
            shown,
            may_go: false,
            key: None,
            words: shown == Shown::Words,
        }
    }

    /// Words.
    pub fn words(title: impl Into<String>) -> Self {
        Self::new(title, Shown::Words)
    }

    /// Figures by themselves.
    pub fn figures(title: impl Into<String>) -> Self {
        Self::new(title, Shown::Figure)
    }

    /// Figures, each with its interval beside it.
    pub fn intervals(title: impl Into<String>) -> Self {
        Self::new(title, Shown::Interval)
    }

    /// Figures, each with half its interval behind it.
    pub fn halves(title: impl Into<String>) -> Self {
        Self::new(title, Shown::Half)
    }

    /// What of a cell is shown: the figure or words, and what is beside them.
    pub fn texts(&self, cell: &Cell) -> [String; 2] {
        match self.shown {
            Shown::Hidden => Default::default(),
            Shown::Words | Shown::Figure => [cell.value(), String::new()],
            Shown::Half => [cell.with_half(), String::new()],
            Shown::Interval => [cell.value(), cell.range()],
        }
    }

    /// Whether people are shown it.
    pub fn is_shown(&self) -> bool {
        self.shown != Shown::Hidden
    }

    /// Data that only spreadsheets get.
    pub fn data(key: impl Into<Cow<'static, str>>) -> Self {
        Self::new("", Shown::Hidden).key(key)
    }

    /// Names that only spreadsheets get.
    pub fn names(key: impl Into<Cow<'static, str>>) -> Self {
        Self::words("").key(key).hidden()
    }

    /// The same, not shown.
    pub fn hidden(mut self) -> Self {
        self.shown = Shown::Hidden;
        self
    }

    /// Is in CSV by this name; the ends of an interval have it with `_low` and `_high` behind.
    pub fn key(mut self, key: impl Into<Cow<'static, str>>) -> Self {
        self.key = Some(key.into());
        self
    }

    /// The same for figures in a unit or currency that is known only from the files: it ends the
    /// name.
    pub fn key_in(self, key: &str, unit: &str) -> Self {
        self.key(format!("{key}_{unit}"))
    }

    /// May be left out where there is little room.
    pub fn may_go(mut self) -> Self {
        self.may_go = true;
        self
    }
}

/// Rows of cells under columns.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// What it holds, where no heading says so.
    pub caption: String,
    /// Its columns.
    pub columns: Vec<Column>,
    /// A cell for each column, in order; the last ones may be missing.
    pub rows: Vec<Vec<Cell>>,
    /// Whether the rows tell one after the other what came of what, so that the last ones matter.
    pub in_order: bool,
}

impl Table {
    /// An empty table.
    pub fn new(columns: impl IntoIterator<Item = Column>) -> Self {
        Self {
            columns: columns.into_iter().collect(),
            ..Self::default()
        }
    }

    /// What it holds.
    pub fn caption(mut self, caption: impl Into<String>) -> Self {
        self.caption = caption.into();
        self
    }

    /// Its rows tell one after the other what came of what.
    pub fn in_order(mut self) -> Self {
        self.in_order = true;
        self
    }

    /// An empty table of names, each with a figure and what is beside it.
    pub fn named() -> Self {
        Self::new([Column::words(""), Column::intervals("")])
    }

    /// Adds a row.
    ///
    /// # Panics
    /// If it has more cells than there are columns.
    pub fn row(&mut self, cells: impl IntoIterator<Item = Cell>) -> &mut Self {
        let cells: Vec<Cell> = cells.into_iter().collect();
        assert!(cells.len() <= self.columns.len(), "{cells:?}");
        self.rows.push(cells);
        self
    }

    /// Adds a name with a figure.
    pub fn name(&mut self, name: impl Into<String>, cell: impl Into<Cell>) -> &mut Self {
        self.row([name.into().into(), cell.into()])
    }

    /// The cells of a row under their columns, empty where the last ones are missing.
    pub fn under_columns<'a>(
        &'a self,
        row: &'a [Cell],
    ) -> impl Iterator<Item = (&'a Column, &'a Cell)> {
        static EMPTY: Cell = Cell::empty();
        self.columns
            .iter()
            .zip(row.iter().chain(std::iter::repeat(&EMPTY)))
    }

    /// Leaves out a column, by its place.
    pub fn drop_column(&mut self, place: usize) {
        self.columns.remove(place);
        for row in &mut self.rows {
            if place < row.len() {
                row.remove(place);
            }
        }
    }
}
