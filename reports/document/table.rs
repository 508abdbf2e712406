//! A table: columns that say how their cells are shown, and rows of cells.

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
}

impl Column {
    fn new(title: impl Into<String>, shown: Shown) -> Self {
        Self {
            title: title.into(),
            shown,
            may_go: false,
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

    /// May be left out where there is little room.
    pub fn may_go(mut self) -> Self {
        self.may_go = true;
        self
    }
}

/// Rows of cells under columns.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// Its columns.
    pub columns: Vec<Column>,
    /// A cell for each column, in order; the last ones may be missing.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// An empty table.
    pub fn new(columns: impl IntoIterator<Item = Column>) -> Self {
        Self {
            columns: columns.into_iter().collect(),
            rows: Vec::new(),
        }
    }

    /// An empty table of names, each with a figure and what stands beside it.
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

    /// Whether any column has a title.
    pub fn has_titles(&self) -> bool {
        self.columns.iter().any(|column| !column.title.is_empty())
    }
}
