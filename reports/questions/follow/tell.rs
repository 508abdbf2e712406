//! One rebuild in words and tables: what is true, what was read, what was decided and why.

use super::acts::Act;
use super::ends::{END, WORK, ending, parts, verdict};
use super::{Account, THE_VERY};
use crate::document::{AT_WORK, Block, Document};
use crate::questions::frame;

pub(super) fn tell(asked: &Account<'_>) -> Document {
    let mut document = frame::of_job(asked.setup, None, asked.assumptions);
    document.under.push(asked.number());
    let parts = parts(asked);
    let end = ending(asked).map_or_else(Block::Note, Block::Table);
    document
        .section("", [verdict(asked).into()])
        .section(parts.caption.clone(), [parts.into()])
        .section(WORK, asked.work().into_iter().flat_map(of_act))
        .section(END, [end]);
    document.behind = format!(
        "{THE_VERY} Spreads, errors and minutes are what the files say: the built-in ones are \
         plausible, not measured."
    );
    document.cautions.push(AT_WORK);
    document
}

fn of_act(act: Act) -> Vec<Block> {
    let mut blocks = Vec::new();
    let table = act.table();
    if !act.heading.is_empty() {
        blocks.push(Block::Step(act.heading, act.took));
    }
    blocks.extend(table.map(Block::Table));
    blocks.extend(act.lines.into_iter().map(Block::Note));
    blocks
}
