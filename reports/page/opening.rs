//! The answer in words and five numbers, and what stands behind it.

use std::fmt::Write;

use shimcast_sim::estimate::Estimate;
use shimcast_sim::setup::Setup;

use super::data::{Observations, cells};
use super::html::{Table, paragraph, text};
use super::{cautions, said};
use crate::answers::outside;
use crate::answers::report::Reported;
use crate::figures::{
    Printed, interval, number, percent, percent_interval, plain, signed, signed_interval,
};
use crate::questions::compare::measures::NEARLY_ALL;
use crate::questions::odds::rows;
use crate::questions::quote::costs;

/// Fewer rebuilds than this are not spoken of as "of 100 such jobs".
const FEW: u64 = 100;

fn simulated(rebuilds: u64) -> String {
    match rebuilds {
        1 => "1 simulated rebuild".into(),
        n => format!("{n} simulated rebuilds"),
    }
}

/// What the page is about.
pub(super) fn title(setup: &Setup) -> String {
    format!(
        "{} at {}: how the set-up will go",
        setup.axle.name, setup.shop.name
    )
}

/// Heading, the answer in words, five numbers, a word of caution.
pub(super) fn opening(asked: &Reported<'_>, title: &str) -> String {
    let setup = asked.setup();
    let mut html = format!("<header>\n<h1>{}</h1>\n", text(title));
    let _ = writeln!(
        html,
        "<p class=\"job\">Gears {}, bearings {}. {}, seed {}.</p>",
        setup.gears.word(),
        setup.bearings.word(),
        simulated(asked.odds.rebuilds),
        asked.seed,
    );
    if asked.partial() {
        html.push_str(&paragraph(
            "PARTIAL: this was broken off; the intervals are honest, only wider.",
        ));
    }
    html.push_str("</header>\n<section id=\"answer\">\n<h2>The answer</h2>\n");
    let _ = writeln!(html, "<p class=\"lead\">{}</p>", text(&in_words(asked)));
    html.push_str(&numbers(asked).html());
    html.push_str(&cautions(false));
    html.push_str("</section>\n");
    html
}

fn in_words(asked: &Reported<'_>) -> String {
    let odds = asked.odds;
    let first = &odds.first_assembly.all;
    let mut words = String::new();
    let of_hundred = |share: &Estimate| match (100.0 * share.value).round() {
        _ if share.value == 0.0 => "none".to_owned(),
        _ if share.value == 1.0 => "all".to_owned(),
        0.0 => "fewer than one".to_owned(),
        100.0 => "more than 99".to_owned(),
        count => format!("about {count:.0}"),
    };
    if odds.rebuilds < FEW {
        return format!(
            "Only {}: too few to say what happens to 100 such jobs. What follows tells of no more \
             than that.",
            simulated(odds.rebuilds)
        );
    }
    let _ = write!(
        words,
        "Of 100 such jobs, {} are right in every window as first bolted up",
        of_hundred(first)
    );
    let last = &odds.handed_over.all;
    if last.n == 0 {
        words.push_str(", and none is finished: every one is given up. ");
    } else {
        let _ = write!(
            words,
            ", and of 100 that are finished {} are truly right when handed over; {}: outside a \
             window by more than one graduation of the instrument that reads it, and only these \
             can come back. ",
            of_hundred(last),
            outside::clearly(&odds.clearly_out),
        );
        if odds.effort.finished.value < NEARLY_ALL {
            let _ = write!(
                words,
                "Only {} of all jobs are finished; the rest is given up. ",
                percent(&odds.effort.finished)
            );
        }
    }
    let _ = write!(
        words,
        "Expect {} assemblies and {} hours; 4 jobs in 5 are done within {} hours. ",
        number(&odds.effort.assemblies, 1),
        number(&odds.effort.hours.mean, 1),
        number(&odds.effort.hours.p80, 1),
    );
    if let Some(flat) = asked.recommended() {
        let _ = write!(
            words,
            "A flat price for {:.2} hours is overrun by {} of jobs.",
            flat.hours,
            said(&flat.overrun)
        );
    }
    if let Some(drawer) = &asked.drawer {
        let _ = write!(
            words,
            " {}.{}",
            super::stock::in_words(drawer),
            super::stock::not_among(drawer, asked.setup())
        );
    }
    words
}

/// Five numbers, each with its interval.
fn numbers(asked: &Reported<'_>) -> Table {
    let odds = asked.odds;
    let effort = &odds.effort;
    let mut table = Table::new(
        "Five numbers",
        ["", "number", "95 % interval", "what it says"],
    )
    .words(&[3]);
    let mut row = |name: &str, value: String, range: String, note: String| {
        table.row([name.to_owned(), value, range, note]);
    };
    let share = |e: &Estimate| (percent(e), percent_interval(e));
    let (value, range) = share(&odds.first_assembly.all);
    row(
        "Right at the first assembly",
        value,
        range,
        "in every window as first bolted up".into(),
    );
    let (value, range) = share(&odds.handed_over.all);
    row(
        "Right when handed over",
        value,
        range,
        format!(
            "of the finished jobs, whatever the readings said; {}",
            outside::clearly(&odds.clearly_out)
        ),
    );
    row(
        "Assemblies to expect",
        number(&effort.assemblies, 1),
        interval(&effort.assemblies, 2),
        format!("4 jobs in 5 need at most {}", effort.assemblies_within(0.8)),
    );
    row(
        "Hours to expect",
        number(&effort.hours.mean, 1),
        interval(&effort.hours.mean, 2),
        format!(
            "4 jobs in 5 are done within {} h ({})",
            number(&effort.hours.p80, 1),
            interval(&effort.hours.p80, 2)
        ),
    );
    if let Some(flat) = asked.recommended() {
        let currency = &asked.setup().shop.currency;
        row(
            "Flat hours to quote",
            format!("{:.2}", flat.hours),
            "none, it is chosen".into(),
            format!(
                "{} of jobs take longer, {} % are allowed; {:.0} {currency} before tax, gain {} \
                 {currency} a job ({})",
                said(&flat.overrun),
                plain(100.0 * asked.risk),
                flat.price,
                signed(&flat.gain, 0),
                signed_interval(&flat.gain, 0)
            ),
        );
    }
    table
}

/// Shares inside each window.
pub(super) fn windows(asked: &Reported<'_>) -> Table {
    let mut table = Table::new(
        "Share of jobs inside each window, true state",
        [
            "",
            "window",
            "first assembly",
            "95 % interval",
            "handed over",
            "95 % interval",
        ],
    )
    .words(&[1]);
    for row in rows::windows(asked.setup(), asked.odds, Printed(asked.units)) {
        table.row([
            row.name.to_owned(),
            row.window,
            row.first.map_or("-".into(), percent),
            row.first.map_or(String::new(), percent_interval),
            percent(row.last),
            percent_interval(row.last),
        ]);
    }
    table
}

/// What a job takes.
pub(super) fn effort(asked: &Reported<'_>) -> Table {
    let effort = &asked.odds.effort;
    let mut table = Table::new(
        "What a job takes, mean of all jobs",
        ["", "mean", "95 % interval"],
    );
    let steps = rows::steps(asked.setup(), effort);
    let hours = ("hours", &effort.hours.mean);
    for (name, e) in steps.into_iter().chain([hours]) {
        table.row([name.to_owned(), number(e, 2), interval(e, 2)]);
    }
    for (name, e) in [
        ("share finished", &effort.finished),
        ("share with a compromise", &effort.compromised),
    ] {
        table.row([name.to_owned(), percent(e), percent_interval(e)]);
    }
    table
}

/// What a job costs the shop.
pub(super) fn cost(asked: &Reported<'_>) -> Table {
    let mut table = Table::new(
        format!(
            "What a job costs the shop, mean of all jobs, {}",
            asked.setup().shop.currency
        ),
        ["", "mean", "95 % interval", "what it comes from"],
    )
    .words(&[3]);
    for row in costs::rows(asked.choice, asked.assumptions) {
        table.row(row);
    }
    table
}

/// The answer's numbers for other tools.
pub(super) fn answer(asked: &Reported<'_>) -> Observations {
    let odds = asked.odds;
    let (first, last, effort) = (&odds.first_assembly, &odds.handed_over, &odds.effort);
    let mut observations = Observations::new("answer", &["figure", "unit", "value", "low", "high"]);
    for (name, unit, e) in [
        ("first_assembly_backlash", "share", &first.backlash),
        ("first_assembly_pattern", "share", &first.pattern),
        ("first_assembly_side_closure", "share", &first.side_closure),
        ("first_assembly_depth", "share", &first.depth),
        ("first_assembly_all", "share", &first.all),
        ("handed_over_backlash", "share", &last.backlash),
        ("handed_over_pattern", "share", &last.pattern),
        ("handed_over_side_closure", "share", &last.side_closure),
        ("handed_over_depth", "share", &last.depth),
        ("handed_over_pinion_torque", "share", &odds.pinion_torque),
        ("handed_over_all", "share", &last.all),
        ("handed_over_clearly_out", "share", &odds.clearly_out),
        ("finished", "share", &effort.finished),
        ("compromised", "share", &effort.compromised),
        ("assemblies_mean", "count", &effort.assemblies),
        ("pinion_changes_mean", "count", &effort.pinion_changes),
        ("side_changes_mean", "count", &effort.side_changes),
        ("reseats_mean", "count", &effort.reseats),
        ("preload_tries_mean", "count", &effort.preload_tries),
        ("hours_mean", "h", &effort.hours.mean),
        ("hours_p50", "h", &effort.hours.p50),
        ("hours_p80", "h", &effort.hours.p80),
        ("hours_p90", "h", &effort.hours.p90),
        ("hours_p95", "h", &effort.hours.p95),
    ] {
        let mut row = vec![name.to_owned(), unit.to_owned()];
        row.extend(cells(e));
        observations.row(row);
    }
    observations
}

/// How it was computed, what was assumed, what the model leaves out, cautions.
pub(super) fn behind(asked: &Reported<'_>) -> String {
    let mut html = String::from("<section id=\"behind\">\n<h2>What stands behind it</h2>\n");
    html.push_str(&paragraph(&format!(
        "shimcast {} drew {} axles from the tolerances of the axle file and let a simulated \
         technician set up each one with the instruments, habits and shims of the shop file. The \
         same files, seed ({}) and version give the same figures. Intervals are the 95 % intervals \
         of the simulation: they say nothing of how well the files describe your axle and shop. \
         Of finished jobs, {} were passed by the readings though the truth is outside a window; \
         clearly out, by more than one graduation of the instrument that reads it, are {}.",
        env!("CARGO_PKG_VERSION"),
        asked.odds.rebuilds,
        asked.seed,
        said(&asked.choice.quote.wrongly_passed),
        said(&asked.odds.clearly_out),
    )));
    html.push_str(&paragraph(
        "Minutes, spreads and prices are what the files say: the built-in ones are plausible, not \
         measured. Rates are first order, good to about 0.5 mm of movement. How far the pattern \
         moves for each move is an estimate (± 40 %). Preload does not move the pinion; load, \
         heat, wear and damaged parts are outside the model.",
    ));
    if !asked.assumptions.is_empty() {
        html.push_str("<h3>Assumed, since the files do not say</h3>\n<ul class=\"assumed\">\n");
        for assumption in asked.assumptions {
            let _ = writeln!(html, "<li>{}</li>", text(&assumption.text));
        }
        html.push_str("</ul>\n");
    }
    html.push_str("<h3>Before anyone works by it</h3>\n");
    html.push_str(&cautions(true));
    html.push_str(&paragraph(
        "Tables that are open when the page is printed are printed with it.",
    ));
    html.push_str("</section>\n");
    html
}
