//! The page as a document: the answer in words and numbers, then each question in figures, and one
//! rebuild step by step.

use std::fmt::Write;

use shimcast_sim::count::estimate::Estimate;

use super::reported::Reported;
use crate::cli::Audience;
use crate::document::{AT_WORK, Block, CAUTION, Cell, Column, Document, Section, Table};
use crate::faces;
use crate::figures::{number, percent, said};
use crate::questions::compare::measures::NEARLY_ALL;
use crate::questions::frame::{PLAUSIBLE, assumed};
use crate::questions::odds::rows::headline;
use crate::questions::quote::flats;
use crate::questions::{causes, follow, odds, outside, quote, stock, sweep};
use crate::spreadsheet::Decimal;

/// Fewer rebuilds than this are not spoken of as "of 100 such jobs".
const FEW: u64 = 100;

fn simulated(rebuilds: u64) -> String {
    match rebuilds {
        1 => "1 simulated rebuild".into(),
        n => format!("{n} simulated rebuilds"),
    }
}

/// Every figure that a page can have, by name.
pub const FIGURES: [&str; 22] = [
    "hundred-jobs",
    "windows-in-one",
    "backlash",
    "side-closure",
    "pinion-torque",
    "depth-and-ring",
    "contact-pattern",
    "assemblies",
    "packs",
    "hours",
    "overrun",
    "halved",
    "sweep",
    "causes-landed",
    "causes-right",
    "causes-hours",
    "stack-spans",
    "stack-depth",
    "stack-backlash",
    "stack-closure",
    "service",
    "shims",
];

/// Tables for other tools that belong to no single figure.
pub const TABLES: [&str; 3] = ["contact-pattern-summary", "answer", ORDER_SLIP];

/// What to order for the drawer, with sums in its head.
pub(super) const ORDER_SLIP: &str = "order-slip";

/// The whole page. What a shop needs comes first; a student's page goes on with how everything
/// spreads and why jobs differ, and has every figure.
pub(super) fn tell(asked: &Reported<'_>, audience: Audience) -> Document {
    let setup = asked.setup();
    let (axle, shop) = (&setup.axle.name, &setup.shop.name);
    let mut document = Document::about(format!("{axle} at {shop}: how the set-up will go"));
    document.under.push(format!(
        "Gears {}, bearings {}. {}, seed {}.",
        setup.gears.word(),
        setup.bearings.word(),
        simulated(asked.job.odds.rebuilds),
        asked.seed
    ));
    document.doubts = asked.doubts.to_vec();
    document.made = Some(asked.made.clone());
    document.partial = asked.partial().then_some(asked.job.odds.rebuilds);
    let student = audience == Audience::Student;
    let of = asked.job;
    // what was asked for is an answer to a shop; the sweep that nobody asked for is for a student
    let swept = asked.sweep.as_ref().map(sweep::figure::figure);
    let (wanted, studied) = match asked.sweep_asked_for {
        true => (swept, None),
        false => (None, swept),
    };
    let answer = vec![
        Block::Text(in_words(asked)),
        numbers(asked).into(),
        Block::Text(odds::rows::at_first(asked.setup(), asked.job.odds)),
        odds::figures::hundred(&of.pictures.ends()).into(),
    ];
    let drawer = asked.drawer.as_ref();
    let parts = [
        Some(Section::at("answer", "The answer", answer)),
        Some(quote::figures::section(&of, asked.quoted())),
        causes::figures::help(asked.caused().as_ref(), wanted),
        Some(odds::figures::windows(&of)),
        drawer.map(|drawer| stock::chapter::section(drawer, setup)),
        Some(follow::tell::section(&asked.followed())),
    ];
    document.sections = parts.into_iter().flatten().collect();
    if student {
        document.sections.extend([
            odds::figures::spreads(&of, asked.story),
            odds::figures::effort(&of),
        ]);
        let caused = asked.caused();
        let why = caused.map(|caused| causes::figures::section(&caused, studied));
        document.sections.extend(why);
    }
    document.behind = behind(asked);
    document.assume(assumed(asked.assumptions));
    document.moved_most = asked.moved_most.map(str::to_owned);
    document.cautions = vec![CAUTION, AT_WORK];
    document
}

/// The tables for other tools, by name, each as a file: those of the figures, the answer's own, and
/// the order slip.
pub(super) fn data(
    asked: &Reported<'_>,
    document: &Document,
    decimal: Decimal,
) -> Vec<(String, String)> {
    let file = |name: &str, table: &Table| {
        let made = asked.made_of(name);
        (name.to_owned(), faces::csv::file(&made, table, decimal))
    };
    let of_figures = document.figures();
    let mut all: Vec<(String, String)> = of_figures
        .map(|figure| file(figure.name, figure.data()))
        .collect();
    let own = [odds::figures::summary(&asked.job), answer(asked)];
    all.extend(TABLES.iter().zip(&own).map(|(name, own)| file(name, own)));
    all.extend(asked.drawer.map(|drawer| {
        let made = asked.made_of(ORDER_SLIP);
        let slip = stock::slip::csv(&drawer, &made, decimal);
        (ORDER_SLIP.to_owned(), slip)
    }));
    all
}

fn in_words(asked: &Reported<'_>) -> String {
    let odds = asked.job.odds;
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
            "Only {}: too few to say what happens to 100 such jobs. What follows speaks of no \
             more than that.",
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
            " {}",
            stock::chapter::at_first(drawer, asked.setup())
        );
    }
    words
}

/// The few numbers that a person asked for.
fn numbers(asked: &Reported<'_>) -> Table {
    let mut table = headline(asked.job.odds);
    if let Some(share) = &asked.held_as_the_book {
        odds::rows::beside_the_book(&mut table, share);
    }
    if let Some(flat) = asked.recommended() {
        let currency = &asked.setup().shop.currency;
        table.row([
            "Flat hours to quote".into(),
            Cell::from(format!("{:.2}", flat.hours)).beside("none, it is chosen"),
            format!(
                "{}; {:.0} {currency} before tax, gain {}",
                flats::risk(&flat, asked.risk),
                flat.price,
                flats::gain(&flat, currency, asked.assumptions)
            )
            .into(),
        ]);
    } else if asked.choice.quote.rebuilds > 0 {
        let none = Cell::from("none").beside("");
        let why = asked.choice.why_no_price();
        table.row(["Flat hours to quote".into(), none, why.into()]);
    }
    table
}

/// The answer's numbers for other tools.
fn answer(asked: &Reported<'_>) -> Table {
    let odds = asked.job.odds;
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

/// How it was computed, and what the model leaves out.
fn behind(asked: &Reported<'_>) -> String {
    format!(
        "shimcast {} drew {} axles from the tolerances of the axle file and let a simulated \
         technician set up each one with the instruments, habits and shims of the shop file. The \
         same files, seed ({}) and version give the same figures. Intervals are the 95 % intervals \
         of the simulation: they say nothing of how well the files describe your axle and shop. \
         Of finished jobs, {} were passed by the readings though the truth is outside a window; \
         clearly out, by more than one graduation of the instrument that reads it, are {}.\n\
         {PLAUSIBLE} {MODEL}",
        env!("CARGO_PKG_VERSION"),
        asked.job.odds.rebuilds,
        asked.seed,
        said(&asked.choice.quote.wrongly_passed),
        said(&asked.job.odds.clearly_out),
    )
}

/// What the model leaves out.
const MODEL: &str = "Rates are first order, good to about 0.5 mm of movement. How far the \
     pattern moves for each move is an estimate (± 40 %). Preload does not move the pinion; load, heat, \
     wear and damaged parts are outside the model.";
