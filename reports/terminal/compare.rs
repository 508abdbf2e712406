//! Ways of working as text: measure by measure, each way with its difference from the first.

use std::fmt::Write;

use shimcast_sim::compare::jobs_to_pay_back;
use shimcast_sim::estimate::Estimate;

use super::shared::{assumptions, partial};
use super::table::wrapped;
use super::{AT_WORK, CAUTION, Ink, Table};
use crate::answers::compare::{Compared, Investment, Measure, given_up};
use crate::answers::outside;
use crate::figures::{
    interval, number, percent, percent_interval, plain, signed, signed_interval, with_half,
};
use crate::questions::odds::has_adjusters;

/// The answer as text.
pub fn render(asked: &Compared<'_>, ink: Ink) -> String {
    let comparison = asked.comparison;
    let setup = &asked.setups[0];
    let mut text = String::new();
    let _ = writeln!(
        text,
        "{}",
        ink.heading(&format!(
            "{}, {} ways of working: gears {}, bearings {}",
            setup.axle.name,
            asked.names.len(),
            setup.gears.word(),
            setup.bearings.word()
        ))
    );
    if comparison.partial {
        text.push_str(&partial(comparison.rebuilds));
    }
    for measure in asked.told() {
        let _ = write!(
            text,
            "\n{}\n{}",
            ink.heading(&title(asked, measure)),
            table(asked, measure)
        );
    }
    if asked.currency().is_none() {
        text.push_str(
            "\nThe shops count in different currencies, so what a job costs is not compared.\n",
        );
    }
    if !asked.costs.is_empty() {
        let _ = write!(
            text,
            "\n{}\n{}",
            ink.heading("When an investment has paid for itself"),
            pay_back(asked)
        );
    }
    let _ = writeln!(
        text,
        "\n{} rebuilds, seed {}, the very same parts in every way. \"to\" gives 95 % intervals of \
         the\nsimulation, each by itself; those of differences are paired. Minutes, spreads and \
         prices are what\nthe files say: the built-in ones are plausible, not measured.",
        comparison.rebuilds, asked.seed
    );
    text.push_str(&assumptions(asked.assumptions, ink));
    let _ = write!(text, "\n{CAUTION}{AT_WORK}");
    text
}

fn title(asked: &Compared<'_>, measure: Measure) -> String {
    match measure {
        Measure::FirstAssembly => "Right at the first assembly".into(),
        Measure::HandedOver => "Right when handed over, of finished jobs".into(),
        Measure::ClearlyOut => "Handed over clearly out, of finished jobs".into(),
        Measure::Finished => "Finished at all".into(),
        Measure::Assemblies => "Assemblies".into(),
        Measure::Hours => "Hours of a job".into(),
        Measure::Money => format!("Cost of a job, {}", asked.currency().unwrap_or_default()),
    }
}

fn table(asked: &Compared<'_>, measure: Measure) -> String {
    let comparison = asked.comparison;
    // a difference is known better than what it is taken from
    let (most, most_of_difference) = match measure {
        Measure::Money => (0, 2),
        Measure::Assemblies => (2, 3),
        _ => (2, 2),
    };
    let show = |e: &Estimate| match measure {
        _ if measure.is_share() => [percent(e), percent_interval(e)],
        _ => [number(e, most), interval(e, most)],
    };
    // what a difference says is the longest and stands last
    let with_p80 = measure == Measure::Hours;
    let mut table = Table::right(if with_p80 { &[1, 4] } else { &[1, 3] });
    let mut head = vec!["", "", ""];
    head.extend(with_p80.then_some("4 jobs in 5 within"));
    head.push("difference");
    table.row(head);
    for (i, (name, way)) in asked.names.iter().zip(&comparison.ways).enumerate() {
        let [value, range] = show(measure.of(way));
        let mut row = vec![name.clone(), value, range];
        row.extend(with_p80.then(|| with_half(&way.hours_p80, 2)));
        if i > 0 {
            let differences = &comparison.differences[i - 1];
            let difference = measure.difference(differences);
            row.extend(shown_difference(measure, difference, most_of_difference));
            row.push(measure.verdict(differences));
        }
        table.row(row);
    }
    let explained = match measure {
        Measure::ClearlyOut => wrapped(&outside::compared(asked.setups)),
        Measure::Finished => wrapped(&format!(
            "The rest is given up after as many assemblies as the shop allows \
             (bench.most_assemblies){}.",
            if asked.setups.iter().any(has_adjusters) {
                ", or four times as many turns of the adjusters"
            } else {
                ""
            }
        )),
        Measure::Money => wrapped(
            "An hour counts as what it costs the shop (prices.hour_cost), or as what is charged where \
             that is left out. Sleeves, shims, cones spoiled in pulling, expected comebacks and jobs \
             given up are in it.",
        ),
        _ => String::new(),
    };
    format!("{}{explained}", table.text())
}

/// A difference with its interval; of shares in percentage points.
fn shown_difference(measure: Measure, difference: &Estimate, most: usize) -> [String; 2] {
    if measure.is_share() {
        let points = difference.times(100.0);
        let value = match points.value.is_nan() {
            true => String::new(),
            false => format!("{} points", signed(&points, 3)),
        };
        [value, signed_interval(&points, 3)]
    } else {
        [signed(difference, most), signed_interval(difference, most)]
    }
}

fn pay_back(asked: &Compared<'_>) -> String {
    let Some(currency) = asked.currency() else {
        return "  It can't be told across currencies.\n".into();
    };
    let mut text = String::new();
    for investment in asked.costs {
        let name = &asked.names[investment.way];
        let amount = investment.amount;
        let differences = &asked.comparison.differences[investment.way - 1];
        let difference = &differences.money;
        let _ = match jobs_to_pay_back(amount, difference) {
            Some(jobs) => {
                let saved = difference.negated();
                writeln!(
                    text,
                    "  {name}: {} {currency} are back after {}{}, at {} {currency} saved a job ({}){}",
                    plain(amount),
                    whole_jobs(&jobs),
                    months(investment, &jobs),
                    number(&saved, 2),
                    interval(&saved, 2),
                    given_up(differences, Some(true)),
                )
            }
            None => writeln!(
                text,
                "  {name}: {} {currency} do not come back: no saving was seen at {} rebuilds",
                plain(amount),
                asked.comparison.rebuilds
            ),
        };
    }
    text
}

/// Only whole jobs pay back.
fn whole_jobs(jobs: &Estimate) -> String {
    let [value, low, high] = [jobs.value, jobs.low, jobs.high].map(f64::ceil);
    let unit = if value == 1.0 { "job" } else { "jobs" };
    if low == high {
        format!("{value:.0} {unit}")
    } else {
        format!("{value:.0} {unit} ({low:.0} to {high:.0})")
    }
}

/// The time that these jobs take to come in.
fn months(investment: &Investment, jobs: &Estimate) -> String {
    match investment.jobs_a_year {
        Some(a_year) if a_year > 0.0 => {
            let months = (12.0 * jobs.value.ceil() / a_year).ceil();
            format!(
                ", {months:.0} month{} at {} such jobs a year",
                if months == 1.0 { "" } else { "s" },
                plain(a_year)
            )
        }
        _ => String::new(),
    }
}
