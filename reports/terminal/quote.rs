//! A quote as text: the flat hours and the price first, then what stands behind them.

use std::fmt::Write;

use shimcast_sim::estimate::Estimate;
use shimcast_sim::minutes::Task;
use shimcast_sim::quote::{Flat, Quote};
use shimcast_sim::setup::Setup;

use super::shared::{assumptions, behind, partial, title};
use super::table::wrapped;
use super::{CAUTION, Ink, Table};
use crate::answers::quote::{Choice, Quoted};
use crate::answers::{costs, outside};
use crate::figures::{
    decimals, interval, number, percent, percent_interval, percent_with_half, plain,
    rounded_together, signed, signed_interval, with_half,
};
use crate::tasks;

/// The answer as text.
pub fn render(asked: &Quoted<'_>, ink: Ink) -> String {
    let Choice { setup, quote, .. } = asked.choice();
    let mut text = String::new();
    let _ = writeln!(text, "{}", ink.heading(&title(setup)));
    if quote.partial {
        text.push_str(&partial(quote.rebuilds));
    }
    text.push('\n');
    text.push_str(&headline(asked));
    let mut section = |title: &str, body: String| {
        let _ = write!(text, "\n{}\n{body}", ink.heading(title));
    };
    section("Hours of a job", hours(quote));
    section("Where the minutes go, mean of a job", work(setup, quote));
    section(
        &format!("What a job costs the shop, {}", currency(asked)),
        cost(asked),
    );
    section("Flat hours against what they risk", flat(asked));
    section("Kept or new, side by side", side_by_side(asked));
    text.push_str(&behind(quote.rebuilds, asked.seed));
    text.push_str(&assumptions(asked.assumptions, ink));
    let _ = write!(text, "\n{CAUTION}");
    text
}

fn currency<'a>(asked: &Quoted<'a>) -> &'a str {
    &asked.choices[asked.chosen].setup.shop.currency
}

fn headline(asked: &Quoted<'_>) -> String {
    let Choice { quote, terms, .. } = asked.choice();
    let Some(flat) = asked.recommended(asked.choice()) else {
        return "  Nothing was simulated.\n".into();
    };
    let currency = currency(asked);
    let mut table = Table::default();
    let price = if terms.tax > 0.0 {
        format!(
            "{:.0} {currency} before tax, {:.0} {currency} with {} % tax",
            flat.price,
            flat.price_with_tax,
            plain(100.0 * terms.tax)
        )
    } else {
        format!("{:.0} {currency} before tax", flat.price)
    };
    table.row([
        "Quote".to_owned(),
        format!("{:.2} flat hours, {price}", flat.hours),
    ]);
    table.row([
        "Risk".to_owned(),
        format!(
            "{} of jobs take longer ({}); {} % were allowed",
            percent(&flat.overrun),
            percent_interval(&flat.overrun),
            plain(100.0 * asked.risk)
        ),
    ]);
    table.row([
        "Expected gain".to_owned(),
        format!(
            "{} {currency} a job over its cost ({})",
            signed(&flat.gain, 0),
            signed_interval(&flat.gain, 0)
        ),
    ]);
    if let Some(jobs) = asked.jobs_a_year {
        let year = flat.gain.times(jobs);
        table.row([
            "Over a year".to_owned(),
            format!(
                "{} {currency} with {} such jobs ({})",
                signed(&year, 0),
                plain(jobs),
                signed_interval(&year, 0)
            ),
        ]);
    } else {
        table.row([
            "Over a year",
            "not told: it is not among the [[jobs]] of the shop; --jobs-a-year says how many",
        ]);
    }
    table.row([
        "Ring the customer".to_owned(),
        format!(
            "beyond {} h ({}): 1 job in 20 gets that far",
            number(&quote.hours.p95, 2),
            interval(&quote.hours.p95, 2)
        ),
    ]);
    table.text()
}

fn hours(quote: &Quote) -> String {
    let hours = &quote.hours;
    let mut table = Table::right(&[1]);
    for (name, e) in [
        ("mean", &hours.mean),
        ("p50, 1 job in 2 within", &hours.p50),
        ("p80, 4 jobs in 5 within", &hours.p80),
        ("p90, 9 jobs in 10 within", &hours.p90),
        ("p95, 19 jobs in 20 within", &hours.p95),
    ] {
        table.row([name.to_owned(), number(e, 2), interval(e, 2)]);
    }
    table.text()
}

/// Minutes by task. The columns add up as printed: each figure is rounded up or down so that what
/// rounding takes from one it gives to another.
fn work(setup: &Setup, quote: &Quote) -> String {
    let mean = quote.hours.mean.times(60.0);
    if mean.value.is_nan() {
        return "  -\n".into();
    }
    let places = decimals(mean.half_width(), 1);
    let unit = 10_f64.powi(places as i32);
    let exact: Vec<f64> = quote
        .tasks
        .iter()
        .flat_map(|task| [task.first.value, task.repeats.value])
        .map(|minutes| minutes * unit)
        .collect();
    let rounded = rounded_together(&exact);
    let whole: i64 = rounded.iter().sum();
    let show = |units: i64| format!("{:.places$}", units as f64 / unit);
    let share = |minutes: f64| format!("{:.1} %", 100.0 * minutes / mean.value);
    let mut table = Table::right(&[1, 3, 5, 6]);
    table.row(["", "first go", "", "repeats", "", "together", "share"]);
    for (task, units) in quote.tasks.iter().zip(rounded.chunks(2)) {
        table.row([
            tasks::words(task.task, setup).to_owned(),
            show(units[0]),
            interval(&task.first, 1),
            if task.repeats.value == 0.0 {
                "-".to_owned()
            } else {
                show(units[1])
            },
            if task.repeats.value == 0.0 {
                String::new()
            } else {
                interval(&task.repeats, 1)
            },
            show(units[0] + units[1]),
            share(task.first.value + task.repeats.value),
        ]);
    }
    let column = |side: usize| rounded.iter().skip(side).step_by(2).sum::<i64>();
    table.row([
        "the whole job".to_owned(),
        show(column(0)),
        String::new(),
        show(column(1)),
        String::new(),
        show(whole),
        "100 %".to_owned(),
    ]);
    let mut text = table.text();
    let needed: f64 = quote
        .tasks
        .iter()
        .filter(|task| every_job_needs(task.task))
        .map(|task| task.first.value)
        .sum();
    let _ = writeln!(
        text,
        "  What every job needs once is {:.0} % of the time; changes, reseating and repeats are \
         {:.0} %.",
        100.0 * needed / mean.value,
        100.0 * (1.0 - needed / mean.value)
    );
    text
}

/// Whether a job that goes right the first time goes through this.
fn every_job_needs(task: Task) -> bool {
    !matches!(
        task,
        Task::SideChange | Task::PinionChange | Task::ReseatRing
    )
}

fn cost(asked: &Quoted<'_>) -> String {
    let choice = asked.choice();
    let Choice {
        setup,
        quote,
        terms,
    } = choice;
    let rows = costs::rows(choice, asked.assumptions);
    if rows.is_empty() {
        return "  Nothing was simulated.\n".into();
    }
    let mut table = Table::right(&[1]);
    for row in rows {
        table.row(row);
    }
    let mut text = table.text();
    let mut say = |said: &str| text.push_str(&wrapped(said));
    say(&outside::told(&quote.handed_over, &quote.clearly_out));
    say(
        "How many are clearly out comes from the model; the share of these that return \
         (prices.comeback_share) is the shop's own assumption.",
    );
    say(&costs::hours_in_it(choice, asked.assumptions));
    if quote.finished.value < 1.0 {
        say(&format!(
            "{} of jobs are finished; one given up costs its hours and prices.given_up, and is not \
             paid.",
            percent(&quote.finished)
        ));
    }
    let costs = costs::costs(choice, asked.assumptions);
    let beside: Vec<&str> = costs[1..].iter().map(|cost| cost.in_price).collect();
    say(&format!(
        "Price = (flat hours · {} + {}){}{}.",
        plain(setup.shop.prices.hour),
        beside.join(" + "),
        if terms.margin > 0.0 {
            format!(" / (1 − {} % margin)", plain(100.0 * terms.margin))
        } else {
            String::new()
        },
        if terms.parts > 0.0 {
            format!(" + {} of parts, passed on", plain(terms.parts))
        } else {
            "; new gears and bearings not included".to_owned()
        }
    ));
    text
}

fn flat(asked: &Quoted<'_>) -> String {
    let choice = asked.choice();
    let currency = currency(asked);
    let recommended = asked.recommended(choice).map(|flat| flat.hours);
    let mut paying = false;
    let mut table = Table::right(&[0, 1, 2, 4, 6]);
    let mut head = vec![
        "flat hours".to_owned(),
        format!("price, {currency}"),
        "take longer".to_owned(),
        String::new(),
        "gain a job".to_owned(),
        String::new(),
    ];
    if let Some(jobs) = asked.jobs_a_year {
        head.push(format!("a year of {}", plain(jobs)));
        head.push(String::new());
    }
    table.row(head);
    for hours in choice.quote.hours_to_show() {
        let flat = choice.quote.flat(hours, choice.terms);
        let mut row = vec![
            format!("{hours:.2}"),
            format!("{:.0}", flat.price),
            percent(&flat.overrun),
            percent_interval(&flat.overrun),
            signed(&flat.gain, 0),
            signed_interval(&flat.gain, 0),
        ];
        if let Some(jobs) = asked.jobs_a_year {
            row.push(signed(&flat.gain.times(jobs), 0));
            row.push(signed_interval(&flat.gain.times(jobs), 0));
        }
        let mut marks = Vec::new();
        if flat.gain.low > 0.0 && !paying {
            paying = true;
            marks.push("pays from here");
        }
        if Some(hours) == recommended {
            marks.push("quote");
        }
        if !marks.is_empty() {
            row.push(format!("<- {}", marks.join(", ")));
        }
        table.row(row);
    }
    let mut text = table.text();
    if asked.jobs_a_year.is_none() {
        text.push_str(
            "  No [[jobs]] line of the shop names this job; --jobs-a-year gives a year's figures.\n",
        );
    }
    text
}

fn side_by_side(asked: &Quoted<'_>) -> String {
    let currency = currency(asked);
    let mut table = Table::right(&[1, 2, 3, 4]);
    let mut row = |name: &str, cell: &dyn Fn(&Choice) -> String| {
        let cells = asked.choices.iter().map(cell);
        table.row(std::iter::once(name.to_owned()).chain(cells));
    };
    row("gears", &|c| c.setup.gears.word().to_owned());
    row("bearings", &|c| c.setup.bearings.word().to_owned());
    for (name, pick) in [
        (
            "hours, mean",
            (|q| &q.hours.mean) as fn(&Quote) -> &Estimate,
        ),
        ("hours, p50", |q| &q.hours.p50),
        ("hours, p80", |q| &q.hours.p80),
        ("hours, p95: ring beyond", |q| &q.hours.p95),
    ] {
        row(name, &|c| with_half(pick(&c.quote), 2));
    }
    row("right when handed over", &|c| {
        percent_with_half(&c.quote.handed_over)
    });
    row("clearly out", &|c| percent_with_half(&c.quote.clearly_out));
    let given_up = asked.choices.iter().any(|c| c.quote.finished.value < 1.0);
    if given_up {
        row("given up", &|c| {
            percent_with_half(&outside::rest(&c.quote.finished))
        });
    }
    row(&format!("cost, {currency}"), &|c| {
        with_half(&c.quote.money.cost, 0)
    });
    let quoted = |c: &Choice, show: &dyn Fn(&Flat) -> String| {
        asked.recommended(c).map_or("-".to_owned(), |f| show(&f))
    };
    row("flat hours", &|c| quoted(c, &|f| format!("{:.2}", f.hours)));
    row("take longer", &|c| {
        quoted(c, &|f| percent_with_half(&f.overrun))
    });
    row(&format!("price, {currency}"), &|c| {
        quoted(c, &|f| format!("{:.0}", f.price))
    });
    if asked.choice().terms.tax > 0.0 {
        row("price with tax", &|c| {
            quoted(c, &|f| format!("{:.0}", f.price_with_tax))
        });
    }
    let mut text = table.text();
    if asked.choices.iter().all(|choice| choice.terms.parts == 0.0) {
        text.push_str(
            "  New gears and bearings are not in these prices; --gear-price and --bearing-price put \
             them in.\n",
        );
    }
    if given_up {
        text.push_str(
            "  Costs are of all jobs: where more of them are given up, a lower cost is not all saved.\n",
        );
    }
    text.push_str(
        "  \"±\" is half the 95 % interval. Kept gears are held to the windows of new ones, though \
         worn pairs\n  are often set to their old backlash; wear and damage are outside the model.\n",
    );
    text
}
