//! What a page shows: chapters, and in them questions with a finding, a figure and its data.

use maud::{Markup, PreEscaped, html};

use crate::chart::Figure;
use crate::document::Table;
use crate::faces::html::{paragraph, table};

/// A question, answered by a figure, with its finding in words and the data behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Exhibit {
    /// What is found, in a sentence or two.
    pub finding: String,
    /// The figure; its title is the question.
    pub figure: Figure,
    /// How to read it, and how well its parts are known.
    pub reading: String,
    /// The data, as people read them and, where its columns have keys, for other tools.
    pub table: Table,
    /// The data for other tools, where they need other rows.
    pub rows: Option<Table>,
}

/// A part of a page.
#[derive(Debug, Clone, PartialEq)]
pub struct Chapter {
    /// Its name among the page's places.
    pub id: &'static str,
    /// Its heading.
    pub title: String,
    /// What stands before the figures.
    pub lead: Vec<String>,
    /// Tables before the figures.
    pub tables: Vec<Table>,
    /// The figures.
    pub exhibits: Vec<Exhibit>,
}

impl Exhibit {
    /// The table for other tools.
    pub fn data(&self) -> &Table {
        self.rows.as_ref().unwrap_or(&self.table)
    }

    fn html(&self) -> Markup {
        let words = &self.figure.words;
        html! {
            section class="exhibit" id=(words.name) { "\n"
                h3 { (words.title) } "\n"
                figure { "\n"
                    (PreEscaped(self.figure.inline())) "\n"
                    figcaption {
                        p class="finding" { (self.finding) } "\n"
                        p class="reading" { (self.reading) }
                    } "\n"
                } "\n"
                details { "\n"
                    summary { "Table: " (words.title) } "\n"
                    (table(&self.table))
                } "\n"
            } "\n"
        }
    }
}

impl Chapter {
    pub(super) fn html(&self) -> Markup {
        html! {
            section id=(self.id) { "\n"
                h2 { (self.title) } "\n"
                @for lead in &self.lead { (paragraph(lead)) }
                @for of in &self.tables { (table(of)) }
                div class="exhibits" { "\n"
                    @for exhibit in &self.exhibits { (exhibit.html()) }
                } "\n"
            } "\n"
        }
    }
}
