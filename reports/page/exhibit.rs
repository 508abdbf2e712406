//! What a page shows: chapters, and in them questions with a finding, a figure and its data.

use std::fmt::Write;

use super::data::Observations;
use super::html::{Table, paragraph, text};
use crate::chart::Figure;

/// A question, answered by a figure, with its finding in words and the data behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Exhibit {
    /// What is found, in a sentence or two.
    pub finding: String,
    /// The figure; its title is the question.
    pub figure: Figure,
    /// How to read it, and how well its parts are known.
    pub reading: String,
    /// The data, as people read them.
    pub table: Table,
    /// The data, for other tools.
    pub observations: Observations,
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
    pub(super) fn html(&self) -> String {
        let words = &self.figure.words;
        format!(
            "<section class=\"exhibit\" id=\"{name}\">\n<h3>{title}</h3>\n\
             <figure>\n{svg}\n<figcaption><p class=\"finding\">{finding}</p>\n\
             <p class=\"reading\">{reading}</p></figcaption>\n</figure>\n\
             <details>\n<summary>Table: {title}</summary>\n{table}</details>\n\
             </section>\n",
            name = words.name,
            title = text(&words.title),
            svg = self.figure.inline(),
            finding = text(&self.finding),
            reading = text(&self.reading),
            table = self.table.html(),
        )
    }
}

impl Chapter {
    pub(super) fn html(&self) -> String {
        let mut html = format!(
            "<section id=\"{}\">\n<h2>{}</h2>\n",
            self.id,
            text(&self.title)
        );
        for lead in &self.lead {
            html.push_str(&paragraph(lead));
        }
        for table in &self.tables {
            html.push_str(&table.html());
        }
        let _ = writeln!(html, "<div class=\"exhibits\">");
        for exhibit in &self.exhibits {
            html.push_str(&exhibit.html());
        }
        html.push_str("</div>\n</section>\n");
        html
    }
}
