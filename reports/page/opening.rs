//! The answer in words and numbers, and what stands behind it.

use std::fmt::Write;

use maud::{Markup, html};
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::count::estimate::Estimate;

use super::said;
use crate::document::{Cell, Column, Table};
use crate::faces::html::{cautions, paragraph, table};
use crate::figures::{number, percent};
use crate::questions::compare::measures::NEARLY_ALL;
use crate::questions::frame::PLAUSIBLE;
use crate::questions::odds::rows::headline;
use crate::questions::outside;
use crate::questions::quote::flats;
use crate::questions::report::reported::Reported;

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

/// Heading, the answer in words and numbers, a word of caution.
pub(super) fn opening(asked: &Reported<'_>, title: &str) -> Markup {
    let setup = asked.setup();
    html! {
        header { "\n"
            h1 { (title) } "\n"
            p class="job" {
                "Gears " (setup.gears.word()) ", bearings " (setup.bearings.word()) ". "
                (simulated(asked.odds.rebuilds)) ", seed " (asked.seed) "."
            } "\n"
            @if asked.partial() {
                (paragraph("PARTIAL: this was broken off; the intervals are honest, only wider."))
            }
        } "\n"
        section id="answer" { "\n"
            h2 { "The answer" } "\n"
            p class="lead" { (in_words(asked)) } "\n"
            (table(&numbers(asked)))
            (cautions(false))
        } "\n"
    }
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

/// The few numbers that a person asked for.
fn numbers(asked: &Reported<'_>) -> Table {
    let mut table = headline(asked.odds);
    if let Some(flat) = asked.recommended() {
        let currency = &asked.setup().shop.currency;
        table.row([
            "Flat hours to quote".into(),
            Cell::from(format!("{:.2}", flat.hours)).beside("none, it is chosen"),
            format!(
                "{}; {:.0} {currency} before tax, gain {}",
                flats::risk(&flat, asked.risk),
                flat.price,
                flats::gain(&flat, currency)
            )
            .into(),
        ]);
    }
    table
}

/// The answer's numbers for other tools.
pub(super) fn answer(asked: &Reported<'_>) -> Table {
    let odds = asked.odds;
    let (first, last, effort) = (&odds.first_assembly, &odds.handed_over, &odds.effort);
    let mut table = Table::new(["figure", "unit", "value", "low", "high"].map(Column::data));
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
        let [value, low, high] = [e.value, e.low, e.high].map(Cell::data);
        table.row([name.into(), unit.into(), value, low, high]);
    }
    table
}

/// How it was computed, what was assumed, what the model leaves out, cautions.
pub(super) fn behind(asked: &Reported<'_>) -> Markup {
    let drawn = format!(
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
    );
    html! {
        section id="behind" { "\n"
            h2 { "What stands behind it" } "\n"
            (paragraph(&drawn))
            (paragraph(&format!("{PLAUSIBLE} {MODEL}")))
            @if !asked.assumptions.is_empty() {
                h3 { "Assumed, since the files do not say" } "\n"
                ul class="assumed" { "\n"
                    @for assumption in asked.assumptions { li { (assumption.text) } "\n" }
                } "\n"
            }
            h3 { "Before anyone works by it" } "\n"
            (cautions(true))
            (paragraph("Tables that are open when the page is printed are printed with it."))
        } "\n"
    }
}

/// What the model leaves out.
const MODEL: &str = "Rates are first order, good to about 0.5 mm of movement. How far the \
     pattern moves for each move is an estimate (± 40 %). Preload does not move the pinion; load, heat, \
     wear and damaged parts are outside the model.";
