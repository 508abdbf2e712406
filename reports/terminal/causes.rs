//! Causes as text: the loops of the first assembly, whole-job outcomes, what halving would buy.

use std::fmt::Write;

use shimcast_sim::causes::{Question, Shares, Simulated};
use shimcast_sim::compare::Verdict;
use shimcast_sim::estimate::Estimate;

use super::shared::{assumptions, partial, title};
use super::table::wrapped;
use super::{AT_WORK, CAUTION, Ink, Table};
use crate::answers::TOO_FEW;
use crate::answers::causes::{
    ALONE, Caused, LEADING, OF_A_JOB, WITH_OTHERS, by_share, seen, some_given_up, stack_rows,
    too_few,
};
use crate::answers::outside;
use crate::figures::{
    Printed, decimals, interval, number, percent, percent_interval, signed, signed_interval,
    variance_share_with_half,
};
use crate::inputs::{loop_words, words};
use crate::questions::compare::measures::NEARLY_ALL;

/// Inputs shown of a whole-job outcome; the rest is summed up as well.
const MOST_SHOWN: usize = 12;
/// A sum is told whose uncertainty is below this share of it.
const WORTH_SAYING: f64 = 0.6;

/// The answer as text.
pub fn render(asked: &Caused<'_>, ink: Ink) -> String {
    let causes = asked.causes;
    let mut text = format!("{}\n", ink.heading(&title(asked.setup)));
    if causes.partial {
        text.push_str(&partial(causes.rebuilds));
    }
    let _ = write!(text, "\n{}", headline(asked));
    let _ = write!(
        text,
        "\n{}\n{}",
        ink.heading("What would it buy: each spread or error halved, one at a time"),
        buys(asked)
    );
    let _ = write!(text, "\n{}\n{}", ink.heading("Why jobs differ"), meaning());
    for (question, name) in OF_A_JOB {
        let _ = write!(text, "\n{}\n{}", ink.heading(name), shares(asked, question));
    }
    let print = Printed(asked.units);
    for simulated in &causes.loops {
        let _ = write!(
            text,
            "\n{}\n{}",
            ink.heading(&format!(
                "{} of the first assembly, {}",
                loop_words(simulated.stack.of),
                print.length_unit()
            )),
            stack(asked, simulated)
        );
    }
    let _ = write!(text, "\n{}", wrapped(STACKS));
    let _ = writeln!(
        text,
        "\n{} rebuilds, seed {}, each done again for every input on the very same parts; \"±\" and \
         \"to\" give\n95 % intervals of the simulation, those of differences paired. Minutes, spreads \
         and prices are what\nthe files say: the built-in ones are plausible, not measured.",
        causes.rebuilds, asked.seed
    );
    text.push_str(&assumptions(asked.assumptions, ink));
    let _ = write!(text, "\n{CAUTION}{AT_WORK}");
    text
}

fn meaning() -> String {
    let of = |name: &str, said: &str| wrapped(&format!("{name}: {said}"));
    format!("{}{}", of("alone", ALONE), of("with others", WITH_OTHERS))
}

const STACKS: &str = "Worst case adds every contributor at its limit; root-sum-square adds them as chance \
     does; what is simulated holds 99.73 % of the rebuilds. Limits are those of the files, three \
     sigmas where none are stated, half a step where something is rounded. Shares are of the sum, of \
     the sum of squares and of the variance. Where cpk is above 1, parts keep closer inside their \
     limits than the stack takes them to; marks taken the wrong way round, and what counts only then, \
     stand in no stack.";

fn headline(asked: &Caused<'_>) -> String {
    let causes = asked.causes;
    let mut table = Table::right(&[1]);
    let mut share = |name: &str, e: &Estimate| {
        table.row([name.into(), percent(e), percent_interval(e)]);
    };
    share("Right at the first assembly", &causes.first_assembly);
    share("Right when handed over", &causes.handed_over);
    share("Clearly out", &causes.clearly_out);
    if causes.finished.value < NEARLY_ALL {
        share("Finished at all", &causes.finished);
    }
    table.row([
        "Hours, mean".into(),
        number(&causes.hours, 2),
        interval(&causes.hours, 2),
    ]);
    table.row([
        format!("Cost of a job, {}", asked.setup.shop.currency),
        number(&causes.money, 0),
        interval(&causes.money, 0),
    ]);
    let outside = outside::told(&causes.handed_over, &causes.clearly_out);
    format!("{}{}", table.text(), wrapped(&outside))
}

fn buys(asked: &Caused<'_>) -> String {
    if too_few(asked.causes) {
        return format!("  {TOO_FEW}\n");
    }
    let currency = &asked.setup.shop.currency;
    // where jobs are given up, less money may mean that they are given up sooner
    let given_up = some_given_up(asked.causes);
    let mut table = Table::right(if given_up {
        &[1, 3, 4, 5, 6, 7]
    } else {
        &[1, 3, 4, 5, 6]
    });
    let mut head = vec![
        "halved".to_owned(),
        format!("{currency} a job"),
        String::new(),
        "hours".to_owned(),
        "first assembly".to_owned(),
        "handed over".to_owned(),
        "clearly out".to_owned(),
    ];
    if given_up {
        head.push("finished".to_owned());
    }
    head.push("key".to_owned());
    table.row(head);
    let mut unseen: Vec<&str> = Vec::new();
    for buy in &asked.causes.buys {
        if !seen(buy) {
            unseen.push(words(buy.input, asked.setup));
            continue;
        }
        let d = &buy.differences;
        let mut row = vec![
            words(buy.input, asked.setup).to_owned(),
            signed(&d.money, 1),
            signed_interval(&d.money, 1),
            change(&d.hours, "", 3),
            change(&d.first_assembly.times(100.0), " pts", 2),
            change(&d.handed_over.times(100.0), " pts", 2),
            change(&d.clearly_out.times(100.0), " pts", 2),
        ];
        if given_up {
            row.push(change(&d.finished.times(100.0), " pts", 2));
        }
        row.push(buy.input.key(asked.setup));
        table.row(row);
    }
    let mut text = table.text();
    text.push_str(&wrapped(
        "Differences on the very same parts, in percentage points where \"pts\" stands; \"-\" where none \
         was seen. With an instrument its graduation is halved too, and with it what counts as clearly \
         out.",
    ));
    if given_up {
        text.push_str(&wrapped(
            "Jobs given up are told under \"finished\": where fewer are finished, part of what is saved \
             may be no more than that.",
        ));
    }
    if !unseen.is_empty() {
        text.push_str(&wrapped(&format!(
            "No difference seen: {}.",
            unseen.join("; ")
        )));
    }
    text
}

/// A difference with half its interval; "-" where none was seen.
fn change(difference: &Estimate, unit: &str, most: usize) -> String {
    if Verdict::of(difference) == Verdict::NoneSeen {
        return "-".into();
    }
    let half = difference.half_width();
    format!(
        "{} ±{:.*}{unit}",
        signed(difference, most),
        decimals(half, most),
        half
    )
}

fn shares(asked: &Caused<'_>, question: Question) -> String {
    let leading = match by_share(asked.causes, question) {
        Ok(leading) => leading,
        Err(why_not) => return format!("  {why_not}\n"),
    };
    let mut table = Table::right(&[1, 2]);
    table.row(["", "alone", "with others"]);
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
            words(shares.input, asked.setup).to_owned(),
            variance_share_with_half(first),
            variance_share_with_half(total),
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
    if said.is_empty() {
        table.text()
    } else {
        format!("{}  {}\n", table.text(), said.join(" "))
    }
}

/// What all of these do alone, and how well that is known: not independently of each other, so
/// taken as if they all erred the same way.
fn all_alone(inputs: &[&Shares], question: Question) -> [f64; 2] {
    let sum = |figure: fn(&Estimate) -> f64| -> f64 {
        inputs.iter().map(|s| figure(s.alone(question))).sum()
    };
    [sum(|e| e.value).clamp(0.0, 1.0), sum(Estimate::half_width)]
}

fn stack(asked: &Caused<'_>, simulated: &Simulated) -> String {
    let print = Printed(asked.units);
    let stack = &simulated.stack;
    let (rows, untold) = stack_rows(asked.setup, asked.causes, simulated);
    let (worst, root) = (stack.worst(), stack.root_sum_square());
    let mut table = Table::right(&[1, 2, 3, 4, 5]);
    table.row([
        "",
        "limit ±",
        "worst case",
        "root-sum-square",
        "simulated: alone",
        "with others",
    ]);
    let whole = |share: f64| format!("{:.0} %", 100.0 * share);
    let dash = || "-".to_owned();
    for row in &rows {
        let [limit, of_worst, of_squares] = row.stacked.map_or_else(
            || [dash(), dash(), dash()],
            |[added, squared]| {
                [
                    print.bare_length(added),
                    whole(added / worst),
                    whole((squared / root).powi(2)),
                ]
            },
        );
        let [alone, together] = row.simulated.as_ref().map_or_else(
            || [dash(), dash()],
            |[alone, together]| {
                [
                    variance_share_with_half(alone),
                    variance_share_with_half(together),
                ]
            },
        );
        table.row([
            row.name.to_owned(),
            limit,
            of_worst,
            of_squares,
            alone,
            together,
        ]);
    }
    let text = table.text();
    let mut sums = Table::right(&[1]);
    sums.row(["worst case".to_owned(), format!("±{}", print.length(worst))]);
    sums.row([
        "root-sum-square".to_owned(),
        format!("±{}", print.length(root)),
    ]);
    sums.row([
        "simulated".to_owned(),
        if simulated.half_range.low.is_finite() {
            format!("±{}", print.length(simulated.half_range.value))
        } else {
            "too few rebuilds to say".to_owned()
        },
        if simulated.half_range.low.is_finite() {
            format!(
                "{} about a mean of {}",
                print.lengths(simulated.half_range.low, simulated.half_range.high),
                print.length(simulated.mean.value)
            )
        } else {
            String::new()
        },
    ]);
    let beside = if untold >= LEADING {
        format!(
            "  Others, which stand in no stack, move it by up to {:.0} %.\n",
            (100.0 * untold).ceil()
        )
    } else {
        String::new()
    };
    format!("{text}{beside}{}", sums.text())
}
