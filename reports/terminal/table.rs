//! Plain tables: columns in line, one row a line, so that they can be searched and cut.

use unicode_width::UnicodeWidthStr;

/// Whether output is coloured; colour only ever repeats what the words say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ink(pub bool);

impl Ink {
    /// A heading.
    pub fn heading(self, text: &str) -> String {
        self.in_style("1", text)
    }

    fn in_style(self, code: &str, text: &str) -> String {
        if self.0 {
            format!("\x1b[{code}m{text}\x1b[0m")
        } else {
            text.into()
        }
    }
}

/// Rows of cells.
#[derive(Debug, Clone, Default)]
pub struct Table {
    rows: Vec<Vec<String>>,
    right: Vec<usize>,
}

impl Table {
    /// An empty table whose cells in these columns stand to the right.
    pub fn right(columns: &[usize]) -> Self {
        Self {
            rows: Vec::new(),
            right: columns.to_vec(),
        }
    }

    /// Adds a row.
    pub fn row<S: Into<String>>(&mut self, cells: impl IntoIterator<Item = S>) -> &mut Self {
        self.rows.push(cells.into_iter().map(Into::into).collect());
        self
    }

    /// The rows, each behind two blanks and ended by a new line.
    pub fn text(&self) -> String {
        let columns = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let widths: Vec<usize> = (0..columns)
            .map(|c| {
                let cells = self.rows.iter().filter_map(|row| row.get(c));
                cells.map(|cell| cell.width()).max().unwrap_or(0)
            })
            .collect();
        let mut text = String::new();
        for row in &self.rows {
            let mut line = String::new();
            for (c, cell) in row.iter().enumerate() {
                let pad = " ".repeat(widths[c] - cell.width());
                line.push_str("  ");
                if self.right.contains(&c) {
                    line.push_str(&pad);
                    line.push_str(cell);
                } else {
                    line.push_str(cell);
                    line.push_str(&pad);
                }
            }
            text.push_str(line.trim_end());
            text.push('\n');
        }
        text
    }
}

/// Columns of a line of text.
const WIDTH: usize = 98;

/// Text in lines behind two blanks, ended by a new line; what goes on below stands behind four.
pub fn wrapped(text: &str) -> String {
    let mut all = String::new();
    let mut line = String::from(" ");
    for word in text.split(' ') {
        if line.width() + 1 + word.width() > WIDTH {
            all.push_str(&line);
            all.push('\n');
            line = String::from("   ");
        }
        line.push(' ');
        line.push_str(word);
    }
    all.push_str(&line);
    all.push('\n');
    all
}
