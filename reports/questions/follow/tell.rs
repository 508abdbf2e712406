//! One rebuild in words and tables: what is true, what was read, what was decided and why.

use super::Followed;
use super::acts::{self, Act, acts};
use super::ends::{self, IN_ORDER, ending, parts, verdict};
use crate::document::{AT_WORK, Block, Cell, Column, Document, Table};
use crate::figures::Printed;
use crate::questions::frame;

pub(super) fn tell(asked: &Followed<'_>) -> Document {
    let (setup, story) = (asked.setup, asked.story);
    let mut document = frame::of_job(setup, None, asked.assumptions);
    document.under.push(format!(
        "Rebuild {} of seed {}{}",
        story.number,
        asked.seed,
        asked
            .found
            .map(|what| format!(", found by --find {what}"))
            .unwrap_or_default()
    ));
    let [of_parts, of_work, of_end] = IN_ORDER;
    let work = acts(setup, &story.steps, Printed(asked.units));
    document
        .section("", [how_it_went(asked).into()])
        .section(of_parts, [as_drawn(asked).into()])
        .section(of_work, work.into_iter().flat_map(of_act))
        .section(of_end, [the_end(asked)]);
    document.behind = format!(
        "This is the very rebuild that every answer counts as number {} under seed {}. Spreads, \
         errors and minutes are what the files say: the built-in ones are plausible, not measured.",
        story.number, asked.seed
    );
    document.cautions.push(AT_WORK);
    document
}

fn how_it_went(asked: &Followed<'_>) -> Table {
    let mut table = Table::new([Column::words(""), Column::words("")]);
    for row in verdict(asked) {
        table.row(row.map(Cell::from));
    }
    table
}

fn as_drawn(asked: &Followed<'_>) -> Table {
    let [name, value, off, unit] = ends::PARTS;
    let mut table = Table::new([
        Column::words(name),
        Column::figures(value),
        Column::figures(off),
        Column::words(unit),
    ]);
    for row in parts(asked) {
        table.row(row.map(Cell::from));
    }
    table
}

fn of_act(act: Act) -> Vec<Block> {
    let mut blocks = Vec::new();
    if !act.heading.is_empty() {
        blocks.push(Block::Step(act.heading, act.took));
    }
    if !act.rows.is_empty() {
        let [looked_at, truth, read, window] = acts::ROWS;
        let mut table = Table::new([
            Column::words(looked_at),
            Column::words(truth),
            Column::words(read),
            // the same at every assembly
            Column::words(window).may_go(),
        ]);
        for row in act.rows {
            table.row(row.map(Cell::from));
        }
        blocks.push(table.into());
    }
    blocks.extend(act.lines.into_iter().map(Block::Note));
    blocks
}

fn the_end(asked: &Followed<'_>) -> Block {
    match ending(asked) {
        Ok(rows) => {
            let mut table = Table::new(ends::ENDING.map(Column::words));
            for row in rows {
                table.row(row.map(Cell::from));
            }
            table.into()
        }
        Err(said) => Block::Note(said),
    }
}
