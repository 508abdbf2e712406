//! One rebuild in words and tables: what is true, what was read, what was decided and why.

use super::acts::Act;
use super::assembly::{COLUMNS_MEAN, OUTSIDE};
use super::ends::{END, WORK, ending, parts, verdict};
use super::{Account, THE_VERY};
use crate::document::{AT_WORK, Block, Document, Section, Table};
use crate::questions::frame;

pub(super) fn tell(asked: &Account<'_>) -> Document {
    let mut document = frame::of_job(asked.setup, None, asked.assumptions);
    document.under.push(asked.number());
    let parts = parts(asked);
    let work = asked.work();
    let assemblies = asked.assemblies(&work);
    let end = ending(asked).map_or_else(Block::Note, Block::Table);
    document
        .section("", [verdict(asked).into()])
        .first()
        .section(parts.caption.clone(), [parts.into()])
        .section(assemblies.caption.clone(), told(assemblies))
        .first()
        .section(WORK, steps(work))
        .section(END, [end])
        .first();
    document.behind = format!(
        "{COLUMNS_MEAN}\n{THE_VERY} Spreads, errors and minutes are what the files say: the built-in ones are \
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
    let work = asked.work();
    let assemblies = asked.assemblies(&work);
    let mut blocks = vec![
        Block::Text(number),
        verdict(asked).into(),
        Block::Folded(parts(asked)),
    ];
    blocks.extend(told(assemblies));
    blocks.push(Block::Note(COLUMNS_MEAN.into()));
    blocks.push(Block::Heading(WORK.into()));
    blocks.extend(steps(work));
    blocks.push(match ending(asked) {
        Ok(end) => end.into(),
        Err(said) => Block::Text(format!("In the end it was {said}.")),
    });
    let heading = format!("One rebuild, step by step: number {}", asked.story.number);
    Section::at("story", heading, blocks)
}

fn told(assemblies: Table) -> [Block; 2] {
    [assemblies.into(), Block::Note(OUTSIDE.into())]
}

fn steps(work: Vec<Act>) -> impl Iterator<Item = Block> {
    work.into_iter().map(|act| {
        let lines = act.lines.into_iter().map(Block::Note);
        Block::Step(act.heading, act.took, lines.collect())
    })
}
