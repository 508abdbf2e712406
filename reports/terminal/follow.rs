//! One rebuild told in order: what is true, what was read, what was decided and why.

use std::fmt::Write;

use super::shared::{assumptions, title};
use super::table::wrapped;
use super::{AT_WORK, CAUTION, Ink, Table};
use crate::answers::follow::Followed;
use crate::figures::Printed;
use crate::story::acts::{self, Act, acts};
use crate::story::ends::{self, IN_ORDER, ending, parts, verdict};

/// The story as text.
pub fn render(asked: &Followed<'_>, ink: Ink) -> String {
    let (setup, story) = (asked.setup, asked.story);
    let mut text = format!("{}\n", ink.heading(&title(setup)));
    let _ = writeln!(
        text,
        "Rebuild {} of seed {}{}",
        story.number,
        asked.seed,
        asked
            .found
            .map(|what| format!(", found by --find {what}"))
            .unwrap_or_default()
    );
    let mut table = Table::default();
    for row in verdict(asked) {
        table.row(row);
    }
    let _ = write!(text, "\n{}", table.text());
    let [of_parts, of_work, of_end] = IN_ORDER.map(|heading| ink.heading(heading));
    let mut table = Table::right(&[1, 2]);
    table.row(ends::PARTS);
    for row in parts(asked) {
        table.row(row);
    }
    let _ = write!(text, "\n{of_parts}\n{}", table.text());
    let _ = writeln!(text, "\n{of_work}");
    for act in acts(setup, &story.steps, Printed(asked.units)) {
        text.push_str(&of_act(&act, ink));
    }
    let _ = writeln!(text, "\n{of_end}");
    match ending(asked) {
        Ok(rows) => {
            let mut table = Table::default();
            table.row(ends::ENDING);
            for row in rows {
                table.row(row);
            }
            text.push_str(&table.text());
        }
        Err(said) => text.push_str(&wrapped(&said)),
    }
    let _ = writeln!(
        text,
        "\nThis is the very rebuild that every answer counts as number {} under seed {}. Spreads, \
         errors\nand minutes are what the files say: the built-in ones are plausible, not measured.",
        story.number, asked.seed
    );
    text.push_str(&assumptions(asked.assumptions, ink));
    let _ = write!(text, "\n{CAUTION}{AT_WORK}");
    text
}

fn of_act(act: &Act, ink: Ink) -> String {
    let mut text = String::new();
    if !act.heading.is_empty() {
        text.push_str(&ink.heading(&act.heading));
        if !act.took.is_empty() {
            let _ = write!(text, " ({})", act.took);
        }
        text.push('\n');
    }
    if !act.rows.is_empty() {
        let mut table = Table::default();
        table.row(acts::ROWS);
        for row in &act.rows {
            table.row(row.clone());
        }
        text.push_str(&table.text());
    }
    for line in &act.lines {
        text.push_str(&wrapped(line));
    }
    text
}
