//! Causes in words and tables: what halving would buy, whole-job outcomes, the loops of the first
//! assembly.

use shimcast_sim::causes::{Question, Shares, Simulated};
use shimcast_sim::estimate::Estimate;

use super::Caused;
use super::rows::{
    ALONE, LEADING, OF_A_JOB, WITH_OTHERS, by_share, seen, some_given_up, stack_rows, too_few,
};
use crate::document::{AT_WORK, Block, Cell, Column, Document, Known, Table};
use crate::figures::Printed;
use crate::inputs::{loop_words, words};
use crate::questions::compare::measures::NEARLY_ALL;
use crate::questions::frame;
use crate::questions::frame::TOO_FEW;
use crate::questions::outside;

/// Inputs shown of a whole-job outcome; the rest is summed up as well.
const MOST_SHOWN: usize = 12;
/// A sum is told whose uncertainty is below this share of it.
const WORTH_SAYING: f64 = 0.6;

const STACKS: &str = "Worst case adds every contributor at its limit; root-sum-square adds them as chance \
     does; what is simulated holds 99.73 % of the rebuilds. Limits are those of the files, three \
     sigmas where none are stated, half a step where something is rounded. Shares are of the sum, of \
     the sum of squares and of the variance. Where cpk is above 1, parts keep closer inside their \
     limits than the stack takes them to; marks taken the wrong way round, and what counts only then, \
     stand in no stack.";

pub(super) fn tell(asked: &Caused<'_>) -> Document {
    let causes = asked.causes;
    let partial = causes.partial.then_some(causes.rebuilds);
    let mut document = frame::of_job(asked.setup, partial, asked.assumptions);
    let outside = outside::told(&causes.handed_over, &causes.clearly_out);
    let meaning = [("alone", ALONE), ("with others", WITH_OTHERS)]
        .map(|(name, said)| Block::Note(format!("{name}: {said}")));
    document
        .section("", [headline(asked).into(), Block::Note(outside)])
        .section(
            "What would it buy: each spread or error halved, one at a time",
            buys(asked),
        )
        .section("Why jobs differ", meaning);
    for (question, name) in OF_A_JOB {
        document.section(name, shares(asked, question));
    }
    let print = Printed(asked.units);
    for simulated in &causes.loops {
        let which = loop_words(simulated.stack.of);
        let heading = format!("{which} of the first assembly, {}", print.length_unit());
        document.section(heading, stack(asked, simulated));
    }
    document.section("", [Block::Note(STACKS.into())]);
    document.behind = format!(
        "{} rebuilds, seed {}, each done again for every input on the very same parts; \"±\" and \
         \"to\" give 95 % intervals of the simulation, those of differences paired. {}",
        causes.rebuilds,
        asked.seed,
        frame::PLAUSIBLE
    );
    document.cautions.push(AT_WORK);
    document
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

fn buys(asked: &Caused<'_>) -> Vec<Block> {
    if too_few(asked.causes) {
        return vec![Block::Note(TOO_FEW.into())];
    }
    // where jobs are given up, less money may mean that they are given up sooner
    let given_up = some_given_up(asked.causes);
    let handed_over = Column::halves("handed over");
    let mut columns = vec![
        Column::words("halved"),
        Column::intervals(format!("{} a job", asked.setup.shop.currency)),
        Column::halves("hours").may_go(),
        Column::halves("first assembly").may_go(),
        if given_up {
            handed_over.may_go()
        } else {
            handed_over
        },
        Column::halves("clearly out").may_go(),
    ];
    if given_up {
        columns.push(Column::halves("finished"));
    }
    columns.push(Column::words("key").may_go());
    let mut table = Table::new(columns);
    let mut unseen: Vec<&str> = Vec::new();
    for buy in &asked.causes.buys {
        if !seen(buy) {
            unseen.push(words(buy.input, asked.setup));
            continue;
        }
        let d = &buy.differences;
        let points = |difference| Cell::known(Known::SeenPoints(difference));
        let mut row = vec![
            words(buy.input, asked.setup).into(),
            Cell::change(&d.money, 1),
            Cell::known(Known::Seen(d.hours, 3)),
            points(d.first_assembly),
            points(d.handed_over),
            points(d.clearly_out),
        ];
        if given_up {
            row.push(points(d.finished));
        }
        row.push(buy.input.key(asked.setup).into());
        table.row(row);
    }
    let mut blocks = vec![
        table.into(),
        Block::Note(
            "Differences on the very same parts, in percentage points where \"pts\" stands; \"-\" \
             where none was seen. With an instrument its graduation is halved too, and with it what \
             counts as clearly out."
                .into(),
        ),
    ];
    if given_up {
        blocks.push(Block::Note(
            "Jobs given up are told under \"finished\": where fewer are finished, part of what is \
             saved may be no more than that."
                .into(),
        ));
    }
    if !unseen.is_empty() {
        let unseen = unseen.join("; ");
        blocks.push(Block::Note(format!("No difference seen: {unseen}.")));
    }
    blocks
}

fn shares(asked: &Caused<'_>, question: Question) -> Vec<Block> {
    let leading = match by_share(asked.causes, question) {
        Ok(leading) => leading,
        Err(why_not) => return vec![Block::Note(why_not.into())],
    };
    let mut table = Table::new([
        Column::words(""),
        Column::halves("alone"),
        Column::halves("with others"),
    ]);
    let (mut rest, mut largest_left_out) = (0, 0.0_f64);
    let [alone, half] = all_alone(&leading, question);
    for (place, shares) in leading.into_iter().enumerate() {
        let (first, total) = (shares.alone(question), shares.with_others(question));
        if place >= MOST_SHOWN || (total.value < LEADING && first.value < LEADING) {
            rest += 1;
            largest_left_out = largest_left_out.max(total.high);
            continue;
        }
        table.row([
            words(shares.input, asked.setup).into(),
            Cell::known(Known::VarianceShare(*first)),
            Cell::known(Known::VarianceShare(*total)),
        ]);
    }
    let mut said = Vec::new();
    // left out where it is hardly known
    if half < WORTH_SAYING * alone {
        said.push(format!(
            "What they do alone comes to {:.0} % ±{:.0} in all; the rest they do together.",
            100.0 * alone,
            (100.0 * half).ceil()
        ));
    }
    let below = (100.0 * largest_left_out).ceil();
    match rest {
        0 => {}
        1 => said.push(format!("One more: below {below:.0} %.")),
        n => said.push(format!("{n} more: each below {below:.0} %.")),
    }
    let mut blocks = vec![table.into()];
    if !said.is_empty() {
        blocks.push(Block::Note(said.join(" ")));
    }
    blocks
}

/// What all of these do alone, and how well that is known: not independently of each other, so
/// taken as if they all erred the same way.
fn all_alone(inputs: &[&Shares], question: Question) -> [f64; 2] {
    let sum = |figure: fn(&Estimate) -> f64| -> f64 {
        inputs.iter().map(|s| figure(s.alone(question))).sum()
    };
    [sum(|e| e.value).clamp(0.0, 1.0), sum(Estimate::half_width)]
}

fn stack(asked: &Caused<'_>, simulated: &Simulated) -> Vec<Block> {
    let print = Printed(asked.units);
    let stack = &simulated.stack;
    let (rows, untold) = stack_rows(asked.setup, asked.causes, simulated);
    let (worst, root) = (stack.worst(), stack.root_sum_square());
    // where there is no room for its shares, the sums below tell what the textbook says
    let mut table = Table::new([
        Column::words(""),
        Column::figures("limit ±"),
        Column::figures("worst case").may_go(),
        Column::figures("root-sum-square").may_go(),
        Column::halves("simulated: alone"),
        Column::halves("with others"),
    ]);
    let whole = |share: f64| Cell::from(format!("{:.0} %", 100.0 * share));
    let nothing = || Cell::none();
    for row in &rows {
        let [limit, of_worst, of_squares] = row.stacked.map_or_else(
            || std::array::from_fn(|_| nothing()),
            |[added, squared]| {
                [
                    print.bare_length(added).into(),
                    whole(added / worst),
                    whole((squared / root).powi(2)),
                ]
            },
        );
        let [alone, together] = row.simulated.map_or_else(
            || std::array::from_fn(|_| nothing()),
            |shares| shares.map(|share| Cell::known(Known::VarianceShare(share))),
        );
        table.row([
            row.name.into(),
            limit,
            of_worst,
            of_squares,
            alone,
            together,
        ]);
    }
    let mut blocks = vec![table.into()];
    if untold >= LEADING {
        blocks.push(Block::Note(format!(
            "Others, which stand in no stack, move it by up to {:.0} %.",
            (100.0 * untold).ceil()
        )));
    }
    blocks.push(sums([worst, root], simulated, print).into());
    blocks
}

/// What a loop comes to: by the textbook, and simulated.
fn sums([worst, root]: [f64; 2], simulated: &Simulated, print: Printed) -> Table {
    let mut sums = Table::new([Column::words(""), Column::intervals(""), Column::words("")]);
    for (name, sum) in [("worst case", worst), ("root-sum-square", root)] {
        sums.row([name.into(), format!("±{}", print.length(sum)).into()]);
    }
    let half_range = simulated.half_range;
    let about = if half_range.low.is_finite() {
        format!("about a mean of {}", print.length(simulated.mean.value))
    } else {
        String::new()
    };
    sums.row([
        "simulated".into(),
        Cell::known(Known::HalfRange(half_range, print)),
        about.into(),
    ]);
    sums
}
