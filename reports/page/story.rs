//! One rebuild told in order: what is true, what was read, what was decided and why.

use std::fmt::Write;

use super::html::{Table, paragraph, text};
use crate::figures::Printed;
use crate::questions::follow::Followed;
use crate::questions::follow::acts::{self, Act, acts};
use crate::questions::follow::ends::{self, IN_ORDER, ending, parts, verdict};

/// The section about one rebuild.
pub(super) fn story(asked: &Followed<'_>) -> String {
    let [of_parts, of_work, of_end] = IN_ORDER;
    let mut html = format!(
        "<section id=\"story\">\n<h2>{}</h2>\n",
        text(&heading(asked))
    );
    html.push_str(&paragraph(&format!(
        "The very rebuild that every answer counts by this number under seed {}{}. Nobody at a real \
         bench sees the truth; here it stands beside what was read.",
        asked.seed,
        asked
            .found
            .map(|what| format!(", found by --find {what}"))
            .unwrap_or_default()
    )));
    let mut table = Table::new("How it went", ["", "this rebuild"]).words(&[1]);
    for row in verdict(asked) {
        table.row(row);
    }
    html.push_str(&table.html());
    let mut table = Table::new(of_parts, ends::PARTS).words(&[3]);
    for row in parts(asked) {
        table.row(row);
    }
    let _ = writeln!(
        html,
        "<details>\n<summary>Table: {}</summary>\n{}</details>",
        text(of_parts),
        table.html()
    );
    let _ = writeln!(html, "<h3>{}</h3>\n<ol class=\"work\">", text(of_work));
    for act in acts(asked.setup, &asked.story.steps, Printed(asked.units)) {
        html.push_str(&of_act(&act));
    }
    html.push_str("</ol>\n");
    match ending(asked) {
        Ok(rows) => {
            let mut table = Table::new(of_end, ends::ENDING).words(&[1, 2, 3]);
            for row in rows {
                table.row(row);
            }
            html.push_str(&table.html());
        }
        Err(said) => html.push_str(&paragraph(&format!("In the end it was {said}."))),
    }
    html.push_str("</section>\n");
    html
}

/// Its heading, and its name among the contents.
pub(super) fn heading(asked: &Followed<'_>) -> String {
    format!("One rebuild, step by step: number {}", asked.story.number)
}

fn of_act(act: &Act) -> String {
    let mut html = String::from("<li>\n");
    let took = match act.took.as_str() {
        "" => String::new(),
        took => format!(" <span class=\"took\">{}</span>", text(took)),
    };
    let _ = writeln!(html, "<p><b>{}</b>{took}</p>", text(&act.heading));
    if !act.rows.is_empty() {
        let mut table = Table::new(format!("{}: truth and readings", act.heading), acts::ROWS)
            .words(&[1, 2, 3]);
        for row in &act.rows {
            table.row(row.clone());
        }
        html.push_str(&table.html());
    }
    for line in &act.lines {
        html.push_str(&paragraph(line));
    }
    html.push_str("</li>\n");
    html
}
