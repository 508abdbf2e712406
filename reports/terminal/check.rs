//! What was found in the files, as text.

use std::fmt::Write;

use shimcast_sim::outcome::Inside;
use shimcast_sim::setup::Setup;

use super::shared::assumptions;
use super::{CAUTION, Ink, Table, table};
use crate::check::{Check, PreloadRates};
use crate::figures::{Printed, plain, signed_percent};
use crate::files::Assumption;
use crate::questions::odds::has_adjusters;
use crate::questions::quote::costs::hour_cost_left_out;
use crate::story::ends::read_inside;
use crate::units::Units;

/// Gaps named for one place; the rest is summed up.
const MOST_GAPS: usize = 4;

/// What was found, as text.
pub fn render(
    setup: &Setup,
    units: Units,
    stated: &[Assumption],
    check: &Check,
    ink: Ink,
) -> String {
    let print = Printed(units);
    let mut text = format!(
        "{}\n",
        ink.heading(&format!("{} at {}", setup.axle.name, setup.shop.name))
    );
    let mut section = |title: &str, body: String| {
        let _ = write!(text, "\n{}\n{body}", ink.heading(title));
    };
    section("Gears", gears(setup));
    section("What a move does", moves(setup, print));
    section("What preload shows", preload(&check.preload, print));
    section(
        "Everything at its middle, usual packs",
        middle(setup, check, print),
    );
    section(
        "By how much each loop misses, everything at its middle",
        loops(check, print),
    );
    section("What the shims can build", builds(setup, check, print));
    section("What the shop believes", beliefs(check));
    if let Some(windows) = read_inside(setup, print) {
        let said = format!("Readings must lie inside, by bench.guard: {windows}.");
        section("What the shop accepts", table::wrapped(&said));
    }
    section("What counts in money", money(setup, stated, print));
    section(
        "What looks wrong",
        if check.doubts.is_empty() {
            "  nothing\n".into()
        } else {
            check.doubts.iter().map(|doubt| wrapped(doubt)).collect()
        },
    );
    text.push_str(&assumptions(stated, ink));
    let _ = write!(text, "\n{CAUTION}");
    text
}

fn gears(setup: &Setup) -> String {
    let (gears, geometry) = (&setup.axle.gears, &setup.geometry);
    let kind = if gears.offset == 0.0 {
        "bevel"
    } else {
        "hypoid"
    };
    let angle = |radians: f64| format!("{:.2}°", radians.to_degrees());
    let mut table = Table::right(&[1]);
    table
        .row([
            "ratio".into(),
            format!("{:.3}", geometry.ratio),
            format!("{}/{}, {kind}", gears.ring_teeth, gears.pinion_teeth),
        ])
        .row([
            "pinion pitch angle".into(),
            angle(geometry.pinion_pitch_angle),
        ])
        .row(["ring pitch angle".into(), angle(geometry.ring_pitch_angle)])
        .row([
            "pinion spiral angle".into(),
            angle(geometry.pinion_spiral_angle),
        ])
        .row([
            "ring spiral angle".into(),
            angle(geometry.ring_spiral_angle),
        ])
        .row([
            "drive pressure angle".into(),
            angle(geometry.drive_pressure_angle),
        ])
        .row([
            "coast pressure angle".into(),
            angle(geometry.coast_pressure_angle),
        ]);
    table.text()
}

fn moves(setup: &Setup, print: Printed) -> String {
    let rates = &setup.rates;
    let step = print.step();
    let side = step * rates.per_ring_move;
    let depth = step * rates.per_depth;
    let follows = step * rates.per_depth / rates.per_ring_move;
    format!(
        "  {step} moved from one side to the other changes backlash by {}: ten gives {:.1}.\n\
         \x20 {step} on the pinion's depth changes backlash by {}: ten gives {:.1}; {} moved from\n\
         \x20 side to side keeps it as it was.\n",
        print.length(side),
        10.0 * rates.per_ring_move,
        print.length(depth),
        10.0 * rates.per_depth,
        print.length(follows),
        step = print.length(step),
    )
}

fn preload(rates: &PreloadRates, print: Printed) -> String {
    let step = print.least_step();
    let mut table = Table::default();
    let each = |rate: f64| {
        format!(
            "{} for each {} of closure",
            print.torque(rate * step),
            print.length(step)
        )
    };
    table.row(["pinion bearings".into(), each(rates.pinion)]);
    if let Some(torque) = rates.per_degree {
        table.row([
            String::new(),
            format!("{} for each degree of the nut", print.torque(torque)),
        ]);
    }
    table.row(["side bearings, at the carrier".into(), each(rates.side)]);
    table.row([
        "side bearings, at the pinion nut".into(),
        each(rates.side_at_pinion),
    ]);
    table.text()
}

fn middle(setup: &Setup, check: &Check, print: Printed) -> String {
    let windows = &setup.axle.windows;
    let at = &check.middle.assembly;
    let inside = Inside::of(setup, at);
    let verdict = |inside: bool| if inside { "inside" } else { "OUTSIDE" };
    let mut table = Table::right(&[1]);
    table
        .row([
            "depth, off its best".into(),
            print.length(at.depth),
            verdict(inside.depth).into(),
            format!("±{}", print.length(windows.depth)),
        ])
        .row(["ring gear, off its best".into(), print.length(at.ring)])
        .row([
            "backlash, tightest to widest".into(),
            print.lengths(at.backlash - at.swing, at.backlash + at.swing),
            verdict(inside.backlash).into(),
            print.window(windows.backlash.low, windows.backlash.high),
        ])
        .row([
            "side closure".into(),
            print.length(at.closure),
            verdict(inside.closure).into(),
            print.window(windows.side_closure.low, windows.side_closure.high),
        ])
        .row([
            "pattern, drive and coast".into(),
            format!(
                "{} and {} high",
                signed_percent(at.pattern[1]),
                signed_percent(at.pattern[3])
            ),
            verdict(inside.pattern).into(),
            format!("±{:.0} %", 100.0 * windows.pattern_profile),
        ]);
    if let Some(torque) = check.middle.spacer_torque {
        let window = setup.torque_window;
        table.row([
            "pinion torque, usual spacer pack".into(),
            print.torque(torque),
            verdict(window.holds(torque)).into(),
            print.torques(window.low, window.high),
        ]);
    }
    table.text()
}

fn loops(check: &Check, print: Printed) -> String {
    let mut table = Table::right(&[1]);
    for each in &check.loops {
        let misses = each.misses.abs();
        let shows = misses >= 0.5 * print.least_step();
        table.row([
            each.what.into(),
            print.length(misses),
            if shows { each.sense() } else { "" }.to_string(),
        ]);
    }
    table.text()
}

fn builds(setup: &Setup, check: &Check, print: Printed) -> String {
    let mut table = Table::default();
    let unit = print.length_unit();
    for build in &check.builds {
        let steps = match build.coarsest {
            Some(coarsest) => format!(
                "near {} {unit} in steps of {} {unit} at most",
                print.thickness(build.usual),
                print.thickness(coarsest)
            ),
            None => format!("nothing near {} {unit}", print.thickness(build.usual)),
        };
        let mut gaps: Vec<String> = build
            .gaps
            .iter()
            .take(MOST_GAPS)
            .map(|(from, to)| format!("{} to {}", print.thickness(*from), print.thickness(*to)))
            .collect();
        if build.gaps.len() > MOST_GAPS {
            gaps.push(format!("{} more", build.gaps.len() - MOST_GAPS));
        }
        table.row([
            build.place.into(),
            build.series.clone(),
            print.lengths(build.range.low, build.range.high),
            steps,
            if gaps.is_empty() {
                String::new()
            } else {
                format!("coarser from {}", gaps.join(", "))
            },
        ]);
    }
    if setup.axle.side_shims.stock.is_none() {
        table.row([
            "both sides".into(),
            "adjusters".into(),
            format!(
                "notches of {} {unit}",
                print.thickness(setup.shop.bench.notch)
            ),
        ]);
    }
    table.text()
}

fn beliefs(check: &Check) -> String {
    let mut table = Table::right(&[1, 2]);
    table.row(["", "believes", "will read"]);
    for belief in &check.beliefs {
        table.row([
            belief.what.clone(),
            format!("{:.2}", belief.believed),
            format!("{:.2}", belief.really),
            if belief.disagrees() { "far apart" } else { "" }.to_string(),
        ]);
    }
    table.text()
}

/// What the prices and their chances mean.
fn money(setup: &Setup, stated: &[Assumption], print: Printed) -> String {
    let shop = &setup.shop;
    let (prices, instruments) = (&shop.prices, &shop.instruments);
    let percent = |share: f64| format!("{} %", plain(100.0 * share));
    let price = |amount: f64| format!("{} {}", plain(amount), shop.currency);
    let mut table = Table::default();
    let hour = if hour_cost_left_out(stated) {
        format!(
            "{} charged, and taken as its cost to the shop",
            price(prices.hour)
        )
    } else {
        format!(
            "{} charged, {} its cost to the shop",
            price(prices.hour),
            price(prices.hour_cost)
        )
    };
    table.row(["an hour".to_owned(), hour]).row([
        "clearly out".to_owned(),
        format!(
            "by more than one graduation: backlash or side closure by {} {}, pattern by {}, pinion \
             torque by {}",
            print.thickness(instruments.dial.step),
            print.length_unit(),
            percent(instruments.pattern.step),
            print.torque(instruments.torque.step)
        ),
    ]);
    table.row([
        "a comeback".to_owned(),
        format!(
            "{}; {} of the jobs handed over clearly out come back",
            price(prices.comeback),
            percent(prices.comeback_share)
        ),
    ]);
    if setup.pulls_cones() {
        table.row([
            "a bearing cone".to_owned(),
            format!(
                "{}; {} of those pulled for a change on the real bearings are spoiled",
                price(prices.cone),
                percent(shop.bench.cone_spoiled)
            ),
        ]);
    }
    let most = shop.bench.most_assemblies;
    table.row([
        "a job given up".to_owned(),
        format!(
            "{} beside its hours, after {most} assemblies{}",
            price(prices.given_up),
            if has_adjusters(setup) {
                format!(" or {} turns of the adjusters", shop.bench.most_turns())
            } else {
                String::new()
            }
        ),
    ]);
    table.text()
}

/// A doubt as a paragraph of its own.
fn wrapped(doubt: &str) -> String {
    let mut text = String::from("  -");
    let mut width = 3;
    for word in doubt.split_whitespace() {
        if width + 1 + word.chars().count() > 96 {
            text.push_str("\n   ");
            width = 3;
        }
        text.push(' ');
        text.push_str(word);
        width += 1 + word.chars().count();
    }
    text.push('\n');
    text
}
