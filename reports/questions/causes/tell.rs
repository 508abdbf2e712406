//! Causes in words and tables: what halving would buy, whole-job outcomes, the loops of the first
//! assembly.

use shimcast_sim::causes::{Loop, LoopResult, Output, Shares};
use shimcast_sim::count::estimate::Estimate;

use super::Caused;
use super::loops::{SPANS_READ, against_windows, spans_table};
use super::rows::{
    ALONE, HALVED, LEADING, NO_LIST, OF_A_JOB, STACKS, Stack, WITH_OTHERS, by_share, halved,
    halved_notes, shares, shares_of, to_better, too_few,
};
use crate::document::{AT_WORK, Block, Cell, Document, Table};
use crate::figures::rebuilds;
use crate::questions::compare::measures::NEARLY_ALL;
use crate::questions::frame;
use crate::questions::frame::TOO_FEW;
use crate::questions::outside;

/// Inputs shown of a whole-job outcome; the rest is summed up as well.
const MOST_SHOWN: usize = 12;
/// A sum is given where its uncertainty is below this share of it.
const WORTH_SAYING: f64 = 0.6;
/// Half the widest interval of a sum that says anything.
const WIDEST: f64 = 0.1;

pub(super) fn tell(asked: &Caused<'_>, only: Option<Loop>) -> Document {
    let causes = asked.causes;
    let partial = causes.partial.then_some(causes.rebuilds);
    let mut document = frame::of_job(asked.setup, partial, asked.assumptions);
    if only.is_none() {
        whole_job(asked, &mut document);
    }
    loops(asked, only, &mut document);
    document.behind = format!(
        "{}, seed {}, each done again for every input on the very same parts; \"±\" and \
         \"to\" give 95 % intervals of the simulation, those of differences paired. {}",
        rebuilds(causes.rebuilds),
        asked.seed,
        frame::PLAUSIBLE
    );
    document.cautions.push(AT_WORK);
    document
}

/// What halving would buy, and why jobs differ.
fn whole_job(asked: &Caused<'_>, document: &mut Document) {
    let causes = asked.causes;
    let outside = outside::told(&causes.handed_over, &causes.clearly_out);
    let (better, buys) = match too_few(causes) {
        true => (vec![TOO_FEW.into()], Vec::new()),
        false => (to_better(asked), buys(asked)),
    };
    let meaning = [("alone", ALONE), ("with others", WITH_OTHERS)]
        .map(|(name, said)| Block::Note(format!("{name}: {said}")));
    document
        .section("", [headline(asked).into(), Block::Note(outside)])
        .section(HALVED, better.into_iter().map(Block::Note))
        .first();
    if !buys.is_empty() {
        document.section("", buys).first();
    }
    document.section("Why jobs differ", meaning);
    for outcome in OF_A_JOB {
        document.section(shares_of(outcome.1), of_outcome(asked, outcome));
    }
}

/// The loops of the first assembly, or one of them.
fn loops(asked: &Caused<'_>, only: Option<Loop>, document: &mut Document) {
    let told = |of: &&LoopResult| only.is_none_or(|only| only == of.stack.of);
    let told: Vec<&LoopResult> = asked.causes.loops.iter().filter(told).collect();
    let heading = against_windows(asked.print);
    document.section(heading, [spans_table(asked, &told).into()]);
    if only.is_some() {
        document.first();
    }
    for simulated in told {
        let stack = Stack::of(asked, simulated);
        let table = stack.table(asked.print);
        let heading = table.caption.clone();
        let notes = stack.beside.into_iter().chain([stack.sums]);
        let blocks = std::iter::once(table.into()).chain(notes.map(Block::Note));
        document.section(heading, blocks);
        if only.is_some() {
            document.first();
        }
    }
    let notes = [SPANS_READ, STACKS].map(|note| Block::Note(note.into()));
    document.section("", notes);
}

fn headline(asked: &Caused<'_>) -> Table {
    let causes = asked.causes;
    let mut table = Table::named();
    table
        .name(
            "Right at the first assembly",
            Cell::share(&causes.first_assembly),
        )
        .name("Right when handed over", Cell::share(&causes.handed_over))
        .name("Clearly out", Cell::share(&causes.clearly_out));
    if causes.finished.value < NEARLY_ALL {
        table.name("Finished at all", Cell::share(&causes.finished));
    }
    table
        .name("Hours, mean", Cell::mean(&causes.hours, 2))
        .name(
            format!("Cost of a job, {}", asked.setup.shop.currency),
            Cell::mean(&causes.money, 0),
        );
    table
}

/// What halving each would buy.
fn buys(asked: &Caused<'_>) -> Vec<Block> {
    let notes = std::iter::once(NO_LIST.to_owned()).chain(halved_notes(asked));
    let table = std::iter::once(halved(asked, false).into());
    table.chain(notes.map(Block::Note)).collect()
}

fn of_outcome(asked: &Caused<'_>, outcome: (Output, &str)) -> Vec<Block> {
    let question = outcome.0;
    let inputs = match by_share(asked.causes, question) {
        Ok(inputs) => inputs,
        Err(why_not) => return vec![Block::Note(why_not.into())],
    };
    let [alone, half] = all_alone(&inputs, question);
    let speaks = |of: &Shares| {
        [of.alone(question), of.with_others(question)]
            .iter()
            .any(|share| share.value >= LEADING)
    };
    let (leading, rest): (Vec<_>, Vec<_>) = inputs
        .into_iter()
        .enumerate()
        .partition(|(place, of)| *place < MOST_SHOWN && speaks(of));
    let leading: Vec<&Shares> = leading.into_iter().map(|(_, of)| of).collect();
    let largest_left_out = rest.iter().fold(0.0_f64, |most, (_, of)| {
        most.max(of.with_others(question).high)
    });
    let mut said = Vec::new();
    // left out where it is hardly known
    if half < WORTH_SAYING * alone && half <= WIDEST {
        said.push(format!(
            "What they do alone comes to {:.0} % ±{:.0} in all; the rest they do together.",
            100.0 * alone,
            (100.0 * half).ceil()
        ));
    }
    let below = (100.0 * largest_left_out).ceil();
    match rest.len() {
        0 => {}
        1 => said.push(format!("One more: below {below:.0} %.")),
        n => said.push(format!("{n} more: each below {below:.0} %.")),
    }
    let mut blocks = vec![shares(asked.setup, outcome, &leading).into()];
    if !said.is_empty() {
        blocks.push(Block::Note(said.join(" ")));
    }
    blocks
}

/// What all of these do alone, and how well that is known: not independently of each other, so
/// taken as if they all erred the same way.
fn all_alone(inputs: &[&Shares], question: Output) -> [f64; 2] {
    let sum = |figure: fn(&Estimate) -> f64| -> f64 {
        inputs.iter().map(|s| figure(s.alone(question))).sum()
    };
    [sum(|e| e.value).clamp(0.0, 1.0), sum(Estimate::half_width)]
}
