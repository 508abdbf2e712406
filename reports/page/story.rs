//! One rebuild told in order: what is true, what was read, what was decided and why.

use maud::{Markup, html};

use crate::document::{Cell, Column, Table};
use crate::faces::html::{paragraph, table};
use crate::figures::Printed;
use crate::questions::follow::Followed;
use crate::questions::follow::acts::{self, Act, acts};
use crate::questions::follow::ends::{self, IN_ORDER, ending, parts, verdict};

/// The section about one rebuild.
pub(super) fn story(asked: &Followed<'_>) -> Markup {
    let [of_parts, of_work, of_end] = IN_ORDER;
    let found = asked.found.map(|what| format!(", found by --find {what}"));
    let number = format!(
        "The very rebuild that every answer counts by this number under seed {}{}. Nobody at a real \
         bench sees the truth; here it stands beside what was read.",
        asked.seed,
        found.unwrap_or_default()
    );
    let mut verdicts = Table::new(["", "this rebuild"].map(Column::words)).caption("How it went");
    for row in verdict(asked) {
        verdicts.row(row.map(Cell::from));
    }
    let mut of_parts_table =
        Table::new(
            ends::PARTS
                .into_iter()
                .zip(0..)
                .map(|(title, place)| match place {
                    1 | 2 => Column::figures(title),
                    _ => Column::words(title),
                }),
        )
        .caption(of_parts);
    for row in parts(asked) {
        of_parts_table.row(row.map(Cell::from));
    }
    html! {
        section id="story" { "\n"
            h2 { (heading(asked)) } "\n"
            (paragraph(&number))
            (table(&verdicts))
            details { "\n"
                summary { "Table: " (of_parts) } "\n"
                (table(&of_parts_table))
            } "\n"
            h3 { (of_work) } "\n"
            ol class="work" { "\n"
                @for act in acts(asked.setup, &asked.story.steps, Printed(asked.units)) {
                    (of_act(&act))
                }
            } "\n"
            @match ending(asked) {
                Ok(rows) => (table(&words(of_end, ends::ENDING, rows))),
                Err(said) => (paragraph(&format!("In the end it was {said}."))),
            }
        } "\n"
    }
}

/// A table of words.
fn words<const N: usize>(
    caption: impl Into<String>,
    titles: [&str; N],
    rows: impl IntoIterator<Item = [String; N]>,
) -> Table {
    let mut table = Table::new(titles.map(Column::words)).caption(caption);
    for row in rows {
        table.row(row.map(Cell::from));
    }
    table
}

/// Its heading, and its name among the contents.
pub(super) fn heading(asked: &Followed<'_>) -> String {
    format!("One rebuild, step by step: number {}", asked.story.number)
}

fn of_act(act: &Act) -> Markup {
    let caption = format!("{}: truth and readings", act.heading);
    html! {
        li { "\n"
            p {
                b { (act.heading) }
                @if !act.took.is_empty() { " " span class="took" { (act.took) } }
            } "\n"
            @if !act.rows.is_empty() {
                (table(&words(caption, acts::ROWS, act.rows.iter().cloned())))
            }
            @for line in &act.lines { (paragraph(line)) }
        } "\n"
    }
}
