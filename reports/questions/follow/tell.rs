//! One rebuild in words and tables: what is true, what was read, what was decided and why.

use super::acts::Act;
use super::ends::{END, WORK, ending, parts, verdict};
use super::{Account, THE_VERY};
use crate::document::{AT_WORK, Block, Document, Section};
use crate::questions::frame;

pub(super) fn tell(asked: &Account<'_>) -> Document {
    let mut document = frame::of_job(asked.setup, None, asked.assumptions);
    document.under.push(asked.number());
    let parts = parts(asked);
    let end = ending(asked).map_or_else(Block::Note, Block::Table);
    document
        .section("", [verdict(asked).into()])
        .first()
        .section(parts.caption.clone(), [parts.into()])
        .section(WORK, steps(asked))
        .section(END, [end])
        .first();
    document.behind = format!(
        "{THE_VERY} Spreads, errors and minutes are what the files say: the built-in ones are \
         plausible, not measured."
    );
    document.cautions.push(AT_WORK);
    document
}

/// One rebuild as a part of a page.
pub fn section(asked: &Account<'_>) -> Section {
    let number = format!(
        "{}. {THE_VERY} Nobody at a real bench sees the truth; here it is shown beside what was read.",
        asked.number()
    );
    let mut blocks = vec![
        Block::Text(number),
        verdict(asked).into(),
        Block::Folded(parts(asked)),
        Block::Heading(WORK.into()),
    ];
    blocks.extend(steps(asked));
    blocks.push(match ending(asked) {
        Ok(end) => end.into(),
        Err(said) => Block::Text(format!("In the end it was {said}.")),
    });
    let heading = format!("One rebuild, step by step: number {}", asked.story.number);
    Section::at("story", heading, blocks)
}

fn steps(asked: &Account<'_>) -> impl Iterator<Item = Block> {
    asked.work().into_iter().map(|act: Act| {
        let table = act.table().map(Block::Table).into_iter();
        let lines = act.lines.into_iter().map(Block::Note);
        Block::Step(act.heading, act.took, table.chain(lines).collect())
    })
}
