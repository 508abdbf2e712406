//! Why jobs differ, and what improving one thing would save.

use shimcast_sim::causes::{Halving, Output, Shares};
use shimcast_sim::compare::Verdict;
use shimcast_sim::count::estimate::Estimate;

use super::exhibit::Exhibit;
use super::stack::{self, share_bar};
use crate::chart::{self, Bar, Fill, Row, Rows, Words};
use crate::figures::{signed, signed_interval, variance_share_with_half};
use crate::inputs::words;
use crate::questions::causes::Caused;
use crate::questions::causes::rows::{
    LEADING, OF_A_JOB, by_share, changed, halved, halved_notes, shares, too_few,
};
use crate::questions::compare::measures::given_up;
use crate::questions::frame::TOO_FEW;

/// Rows that a figure shows; the table has all.
const MOST_ROWS: usize = 10;

/// All exhibits about causes, in the order shown.
pub(super) fn exhibits(asked: &Caused<'_>) -> Vec<Exhibit> {
    let mut all = vec![buys(asked)];
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
    all.extend(of_a_job.map(|(of, figure)| outcome(asked, of, figure)));
    all.extend(asked.causes.loops.iter().map(|of| stack::stack(asked, of)));
    all
}

/// How many rebuilds stand behind it.
fn known(asked: &Caused<'_>) -> String {
    format!(
        "{} rebuilds, each done again on the very same parts",
        asked.causes.rebuilds
    )
}

/// What halving each spread or error would buy.
fn buys(asked: &Caused<'_>) -> Exhibit {
    let currency = &asked.setup.shop.currency;
    let few = too_few(asked.causes);
    let told = changed(asked.causes);
    let saves = |buy: &&&Halving| Verdict::of(&buy.differences.money) == Verdict::Less;
    let best: Vec<String> = told
        .iter()
        .filter(saves)
        .take(3)
        .map(|buy| {
            let money = &buy.differences.money;
            format!(
                "{} {} {currency} a job ({}){}",
                words(buy.input, asked.setup),
                signed(money, 1),
                signed_interval(money, 1),
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
    let figure = chart::rows(&Rows {
        words: Words {
            name: "halved".into(),
            title: "What would it buy to halve one spread or error?".into(),
            description: format!(
                "Bars to the left save money, bars to the right cost it, each with the 95 % \
                 interval of the difference. {finding}"
            ),
        },
        label: format!("difference of the cost of a job, {currency}"),
        key: vec![(Fill::Dark, "halved less as it is, on the same parts".into())],
        rows: told
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
                bars: vec![bar(buy.differences.money)],
            })
            .collect(),
    });
    let reading = format!(
        "{}. The line across the end of a bar is the 95 % interval of the difference. A better \
         gauge or a closer part may cost more than it saves: that is for the shop to say.",
        known(asked)
    );
    Exhibit {
        finding,
        figure,
        reading: [vec![reading], halved_notes(asked)].concat().join(" "),
        table: halved(asked, false),
        rows: Some(halved(asked, true)),
    }
}

/// What every input does to one outcome, alone and with others.
fn outcome(
    asked: &Caused<'_>,
    (question, of): (Output, &str),
    [name, title]: [&str; 2],
) -> Exhibit {
    let inputs = by_share(asked.causes, question);
    let finding = match &inputs {
        Ok(inputs) => finding(asked, of, inputs, question),
        Err(why_not) => (*why_not).to_owned(),
    };
    let inputs = inputs.unwrap_or_default();
    let figure = chart::rows(&Rows {
        words: Words {
            name: name.into(),
            title: title.into(),
            description: format!(
                "Two bars for each input, its share of the variance alone and with others, with \
                 95 % intervals. {finding}"
            ),
        },
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
    Exhibit {
        finding,
        figure,
        reading: format!(
            "{}. The line across the end of a bar is its 95 % interval. What the second bar has \
             more than the first, a thing does only together with others.",
            known(asked)
        ),
        table: shares(asked.setup, (question, of), &inputs),
        rows: None,
    }
}

/// What an outcome depends on most, and what does most by itself.
fn finding(asked: &Caused<'_>, of: &str, inputs: &[&Shares], question: Output) -> String {
    let told = |shares: &Shares| {
        format!(
            "{} ({} alone, {} with others)",
            words(shares.input, asked.setup),
            variance_share_with_half(shares.alone(question)),
            variance_share_with_half(shares.with_others(question))
        )
    };
    let alone = |shares: &Shares| shares.alone(question).value;
    let by_itself = inputs
        .iter()
        .filter(|shares| alone(shares).is_finite())
        .max_by(|a, b| alone(a).total_cmp(&alone(b)));
    let by_itself = match by_itself {
        Some(most) if most.input != inputs[0].input => {
            format!(", and by itself most on {}", told(most))
        }
        _ => String::new(),
    };
    format!("{of} depends most on {}{by_itself}.", told(inputs[0]))
}

/// A bar of an estimate; `None` where nothing is known.
fn bar(estimate: Estimate) -> Option<Bar> {
    let ends = [estimate.low, estimate.high];
    estimate.value.is_finite().then(|| Bar {
        value: estimate.value,
        interval: ends.iter().all(|end| end.is_finite()).then_some(ends),
    })
}
