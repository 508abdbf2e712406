//! Pieces of HTML. Whatever comes from files or arguments goes through [`text`].

use std::fmt::Write;

use crate::chart::escaped;

/// Text that says what it says.
pub(super) fn text(plain: &str) -> String {
    escaped(plain)
}

/// A paragraph of plain text.
pub(super) fn paragraph(plain: &str) -> String {
    format!("<p>{}</p>\n", text(plain))
}

/// A table with a caption; the first cell of each row names it.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Table {
    caption: String,
    head: Vec<String>,
    rows: Vec<Vec<String>>,
    words: Vec<usize>,
}

impl Table {
    /// An empty table.
    pub fn new<S: Into<String>>(
        caption: impl Into<String>,
        head: impl IntoIterator<Item = S>,
    ) -> Self {
        Self {
            caption: caption.into(),
            head: head.into_iter().map(Into::into).collect(),
            rows: Vec::new(),
            words: Vec::new(),
        }
    }

    /// These columns hold words, not figures.
    pub fn words(mut self, columns: &[usize]) -> Self {
        self.words = columns.to_vec();
        self
    }

    /// Adds a row.
    pub fn row<S: Into<String>>(&mut self, cells: impl IntoIterator<Item = S>) {
        self.rows.push(cells.into_iter().map(Into::into).collect());
    }

    /// As HTML, in a box of its own that scrolls where it is too wide.
    pub(super) fn html(&self) -> String {
        let mut html = format!(
            "<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"{caption}\">\n\
             <table>\n<caption>{caption}</caption>\n<thead><tr>",
            caption = text(&self.caption)
        );
        let class = |column: usize| {
            if self.words.contains(&column) {
                " class=\"words\""
            } else {
                ""
            }
        };
        for (i, cell) in self.head.iter().enumerate() {
            let _ = write!(html, "<th scope=\"col\"{}>{}</th>", class(i), text(cell));
        }
        html.push_str("</tr></thead>\n<tbody>\n");
        for row in &self.rows {
            html.push_str("<tr>");
            for (i, cell) in row.iter().enumerate() {
                if i == 0 {
                    let _ = write!(html, "<th scope=\"row\">{}</th>", text(cell));
                } else {
                    let _ = write!(html, "<td{}>{}</td>", class(i), text(cell));
                }
            }
            html.push_str("</tr>\n");
        }
        html.push_str("</tbody>\n</table>\n</div>\n");
        html
    }
}
