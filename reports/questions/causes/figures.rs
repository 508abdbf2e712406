//! Why jobs differ, and what improving one thing would save.

use shimcast_sim::causes::{Halving, Output, Shares};
use shimcast_sim::compare::Verdict;
use shimcast_sim::count::estimate::Estimate;

use super::Caused;
use super::loops::{self, share_bar};
use super::rows::{
    ALONE, LEADING, OF_A_JOB, WITH_OTHERS, by_share, changed, halved, halved_notes, hold_first,
    shares, too_few,
};
use crate::document::{Bar, Block, Chart, Figure, Fill, Row, Rows, Section};
use crate::figures::{interval, number, rebuilds, variance_share, variance_share_with_interval};
use crate::inputs::words;
use crate::questions::compare::measures::given_up;
use crate::questions::frame::TOO_FEW;

/// Rows that a figure shows; the table has all.
const MOST_ROWS: usize = 10;

/// What would help; `beside` is what else could be done differently. `None` where there is neither.
pub fn help(asked: Option<&Caused<'_>>, beside: Option<Figure>) -> Option<Section> {
    let figures = asked.map(halvings).into_iter().chain(beside);
    let blocks: Vec<Block> = figures.map(Block::from).collect();
    (!blocks.is_empty()).then(|| Section::at("help", "What would help most?", blocks))
}

/// Why jobs differ; `swept` is what one other choice does.
pub fn section(asked: &Caused<'_>, swept: Option<Figure>) -> Section {
    let lead = format!(
        "Two shares say what an input does. Alone is {ALONE}. With others is {WITH_OTHERS}."
    );
    let [outcomes, loops] = [outcomes(asked), loops(asked)];
    // what a single habit does needs no words on shares
    let mut blocks: Vec<Block> = swept.into_iter().map(Block::from).collect();
    blocks.push(Block::Text(lead));
    blocks.extend(outcomes.into_iter().chain(loops).map(Block::from));
    Section::at("causes", "Why do jobs differ?", blocks)
}

/// What each outcome of a job depends on.
fn outcomes(asked: &Caused<'_>) -> Vec<Figure> {
    let figures = [
        [
            "causes-landed",
            "Why is one first assembly right and the next one not?",
        ],
        [
            "causes-right",
            "Why is one job right when handed over and the next one not?",
        ],
        [
            "causes-hours",
            "Why does one job take longer than the next?",
        ],
    ];
    let of_a_job = OF_A_JOB.into_iter().zip(figures);
    of_a_job
        .map(|(of, figure)| outcome(asked, of, figure))
        .collect()
}

/// What moves each length of the first assembly, and how far all of it goes.
fn loops(asked: &Caused<'_>) -> Vec<Figure> {
    let loops = asked.causes.loops.iter();
    loops
        .map(|of| loops::of_loop(asked, of))
        .chain(std::iter::once(loops::spans(asked)))
        .collect()
}

/// How many rebuilds it rests on.
fn known(asked: &Caused<'_>) -> String {
    format!(
        "{}, each done again on the very same parts",
        rebuilds(asked.causes.rebuilds)
    )
}

/// What halving each spread or error would buy.
fn halvings(asked: &Caused<'_>) -> Figure {
    let currency = &asked.setup.shop.currency;
    let few = too_few(asked.causes);
    let changed = changed(asked.causes);
    let saves = |buy: &&&Halving| Verdict::of(&buy.differences.money) == Verdict::Less;
    let best: Vec<String> = changed
        .iter()
        .filter(saves)
        .take(3)
        .map(|buy| {
            let saved = &buy.differences.money.negated();
            format!(
                "{} {} {currency} a job ({}){}",
                words(buy.input, asked.setup),
                number(saved, 1),
                interval(saved, 1),
                given_up(&buy.differences, Some(true))
            )
        })
        .collect();
    let finding = if few {
        TOO_FEW.to_owned()
    } else if best.is_empty() {
        "No saving was seen from halving any one of them.".to_owned()
    } else {
        format!(
            "Halved one at a time, these save most: {}.",
            best.join("; ")
        )
    };
    let chart = Chart::Rows(Rows {
        label: format!("saved a job, {currency}"),
        key: vec![(
            Fill::Dark,
            "saved by halving, on the very same parts".into(),
        )],
        rows: changed
            .iter()
            .take(MOST_ROWS)
            .map(|buy| Row {
                name: format!(
                    "{}{}",
                    words(buy.input, asked.setup),
                    match Verdict::of(&buy.differences.finished) {
                        Verdict::Less => " (more jobs given up)",
                        Verdict::More => " (fewer jobs given up)",
                        Verdict::NoneSeen => "",
                    }
                ),
                bars: vec![Bar::of(&buy.differences.money.negated())],
            })
            .collect(),
    });
    let reading = format!(
        "{}. The line across the end of a bar is the 95 % interval of the difference. A better \
         gauge or a closer part may cost more than it saves: that is for the shop to say.",
        known(asked)
    );
    Figure {
        name: "halved",
        question: "What would it buy to halve one spread or error?".into(),
        drawn: "Bars to the right save money, bars to the left cost it, each with the 95 % interval of \
                the difference."
            .into(),
        chart,
        finding: match hold_first(asked.setup) {
            Some(first) => format!("{finding} {first}"),
            None => finding,
        },
        reading: [vec![reading], halved_notes(asked)].concat().join(" "),
        table: halved(asked, false),
        rows: Some(halved(asked, true)),
    }
}

/// What every input does to one outcome, alone and with others.
fn outcome(
    asked: &Caused<'_>,
    (question, of): (Output, &str),
    [name, question_asked]: [&'static str; 2],
) -> Figure {
    let inputs = by_share(asked.causes, question);
    let finding = match &inputs {
        Ok(inputs) => finding(asked, of, inputs, question),
        Err(why_not) => (*why_not).to_owned(),
    };
    let inputs = inputs.unwrap_or_default();
    let chart = Chart::Rows(Rows {
        label: "share of the variance, %".into(),
        key: vec![
            (Fill::Dark, "alone".into()),
            (Fill::Light, "with others".into()),
        ],
        rows: inputs
            .iter()
            .filter(|s| s.with_others(question).value >= LEADING)
            .take(MOST_ROWS)
            .map(|s| Row {
                name: words(s.input, asked.setup).into(),
                bars: [s.alone(question), s.with_others(question)]
                    .map(share_bar)
                    .to_vec(),
            })
            .collect(),
    });
    Figure {
        name,
        question: question_asked.into(),
        drawn:
            "Two bars for each input, its share of the variance alone and with others, with 95 % \
                intervals."
                .into(),
        chart,
        finding,
        reading: format!(
            "{}. The line across the end of a bar is its 95 % interval. What the second bar has \
             more than the first, a thing does only together with others.",
            known(asked)
        ),
        table: shares(asked.setup, (question, of), &inputs),
        rows: None,
    }
}

/// Whether a share is known well enough to be told.
fn is_told(share: &Estimate) -> bool {
    !variance_share(share)[1].is_empty()
}

/// What an outcome depends on most, and what does most by itself.
fn finding(asked: &Caused<'_>, of: &str, inputs: &[&Shares], question: Output) -> String {
    if !is_told(inputs[0].with_others(question)) {
        return TOO_FEW.into();
    }
    let described = |shares: &Shares| {
        format!(
            "{} ({} alone, {} with others)",
            words(shares.input, asked.setup),
            variance_share_with_interval(shares.alone(question)),
            variance_share_with_interval(shares.with_others(question))
        )
    };
    let alone = |shares: &Shares| shares.alone(question).value;
    let by_itself = inputs
        .iter()
        .filter(|shares| is_told(shares.alone(question)))
        .max_by(|a, b| alone(a).total_cmp(&alone(b)));
    let by_itself = match by_itself {
        Some(most) if most.input != inputs[0].input => {
            format!(", and by itself most on {}", described(most))
        }
        _ => String::new(),
    };
    format!("{of} depends most on {}{by_itself}.", described(inputs[0]))
}
