//! Ways of working in words and tables: measure by measure, each way with its difference from the
//! first.

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::compare::jobs_to_pay_back;
use shimcast_sim::count::estimate::Estimate;

use super::measures::{Measure, OfWay, changes, given_up};
use super::{Investment, Ways};
use crate::document::{AT_WORK, Block, CAUTION, Column, Document, Table};
use crate::figures::{interval, number, plain, rebuilds};
use crate::questions::frame::{PLAUSIBLE, assumed, renewed};
use crate::questions::outside;

pub(super) fn tell(asked: &Ways) -> Document {
    let comparison = &asked.comparison;
    let setup = &asked.setups[0];
    let kinds = |setup: &Setup| (setup.gears, setup.bearings);
    let alike = asked
        .setups
        .iter()
        .all(|other| kinds(other) == kinds(setup));
    let renewed = match alike {
        true => renewed(setup),
        false => "what is renewed as each way says".into(),
    };
    let mut document = Document::about(format!(
        "{}, {} ways of working: {renewed}",
        setup.axle.name,
        asked.names.len(),
    ));
    document.partial = comparison.partial.then_some(comparison.rebuilds);
    let currency = asked.currency().unwrap_or_default();
    document.section("", at_a_glance(asked)).first();
    for measure in asked.comparable(Measure::shown(comparison)) {
        let note = explained(asked, measure).map(Block::Note);
        let blocks = [table(asked, measure).into()].into_iter().chain(note);
        document.section(measure.title(currency), blocks);
    }
    if asked.currency().is_none() {
        let uncompared =
            "The shops count in different currencies, so what a job costs is not compared.";
        document.section("", [Block::Text(uncompared.into())]);
    }
    if !asked.costs.is_empty() {
        document.section("When an investment has paid for itself", [pay_back(asked)]);
    }
    document.behind = format!(
        "{}, seed {}, the very same parts in every way. \"to\" gives 95 % intervals of the \
         simulation, each by itself; those of differences are paired. {PLAUSIBLE}",
        rebuilds(comparison.rebuilds),
        asked.seed
    );
    document.assume(assumed(&asked.assumptions));
    document.cautions.extend([CAUTION, AT_WORK]);
    document
}

/// All ways in a table, and what each changes against the first.
fn at_a_glance(asked: &Ways) -> Vec<Block> {
    let comparison = &asked.comparison;
    let shown = asked.comparable(vec![
        Measure::HandedOver,
        Measure::ClearlyOut,
        Measure::Hours,
        Measure::Money,
    ]);
    let currency = asked.currency().unwrap_or_default();
    let columns = shown.iter().map(|of| Column::halves(of.short(currency)));
    let mut table = Table::new(std::iter::once(Column::words("")).chain(columns));
    for (name, way) in asked.names.iter().zip(&comparison.ways) {
        let cells = shown.iter().map(|of| of.cell(of.of(way)));
        table.row(std::iter::once(name.as_str().into()).chain(cells));
    }
    let others = asked.names.iter().skip(1).zip(&comparison.differences);
    let notes = others.map(|(name, differences)| {
        let changes = changes(comparison, differences, currency);
        Block::Note(format!("{name}: {changes}."))
    });
    std::iter::once(table.into()).chain(notes).collect()
}

fn table(asked: &Ways, measure: Measure) -> Table {
    let comparison = &asked.comparison;
    let with_p80 = measure == Measure::Hours;
    let mut columns = vec![Column::words(""), Column::intervals("")];
    columns.extend(with_p80.then(|| Column::halves(OfWay::HoursP80.short("")).may_go()));
    // what a difference says is the longest and comes last
    columns.extend([Column::intervals("difference"), Column::words("")]);
    let mut table = Table::new(columns);
    for (i, (name, way)) in asked.names.iter().zip(&comparison.ways).enumerate() {
        let mut row = vec![name.as_str().into(), measure.cell(measure.of(way))];
        row.extend(with_p80.then(|| OfWay::HoursP80.cell(way)));
        if i > 0 {
            let differences = &comparison.differences[i - 1];
            row.push(measure.change(measure.difference(differences)));
            row.push(measure.verdict(differences).into());
        }
        table.row(row);
    }
    table
}

/// What is to be said of a measure.
fn explained(asked: &Ways, measure: Measure) -> Option<String> {
    match measure {
        Measure::ClearlyOut => Some(outside::compared(&asked.setups)),
        Measure::Finished => Some(format!(
            "The rest is given up after as many assemblies as the shop allows \
             (bench.most_assemblies){}.",
            if asked.setups.iter().any(Setup::has_adjusters) {
                ", or four times as many turns of the adjusters"
            } else {
                ""
            }
        )),
        Measure::Money => Some(
            "An hour counts as what it costs the shop (prices.hour_cost), or as what is charged where \
             that is left out. Sleeves, the shims finally fitted (as if all were bought; a quote charges what \
             is used up of the drawer), cones spoiled in pulling, expected comebacks and jobs given up are \
             in it."
                .into(),
        ),
        _ => None,
    }
}

fn pay_back(asked: &Ways) -> Block {
    let Some(currency) = asked.currency() else {
        return Block::Note("Not known: the ways have different currencies.".into());
    };
    // a line each, so that it says of jobs given up what it says of savings
    let mut table = Table::new([Column::words("")]);
    for investment in &asked.costs {
        let name = &asked.names[investment.way];
        let amount = plain(investment.amount);
        let differences = &asked.comparison.differences[investment.way - 1];
        let difference = &differences.money;
        let said = match jobs_to_pay_back(investment.amount, difference) {
            Some(jobs) => {
                let saved = difference.negated();
                format!(
                    "{name}: {amount} {currency} are back after {}{}, at {} {currency} saved a job \
                     ({}){}",
                    whole_jobs(&jobs),
                    months(investment, &jobs),
                    number(&saved, 2),
                    interval(&saved, 2),
                    given_up(differences, Some(true)),
                )
            }
            None => format!(
                "{name}: {amount} {currency} do not come back: no saving was seen at {} rebuilds",
                asked.comparison.rebuilds
            ),
        };
        table.row([said.into()]);
    }
    table.into()
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
