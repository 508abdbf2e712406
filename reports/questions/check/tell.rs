//! What was found in the files, in words and tables.

use shimcast_sim::axle::Indicator;
use shimcast_sim::bench::outcome::Inside;
use shimcast_sim::bench::setup::Setup;

use super::Check;
use super::found::PreloadRates;
use crate::document::{Block, CAUTION, Cell, Column, Document, Table};
use crate::figures::{counted, plain};
use crate::files::Assumption;
use crate::pattern;
use crate::printed::Printed;
use crate::questions::follow::ends::read_inside;
use crate::questions::frame::{self, assumed};
use crate::questions::quote::costs::hour_cost_left_out;

/// Gaps named for one place; the rest is summed up.
const MOST_GAPS: usize = 4;

pub(super) fn tell(answer: &Check) -> Document {
    let (setup, found) = (&answer.setup, &answer.found);
    let stated = &answer.loaded.assumptions;
    let print = answer.loaded.printed();
    let mut document = Document::about(format!("{} at {}", setup.axle.name, setup.shop.name));
    document
        .section("Gears", [gears(setup).into()])
        .section("What a move does", moves(setup, print))
        .section(
            "What preload shows",
            [preload(&found.preload, print).into()],
        )
        .section(
            "Everything at its middle, usual packs",
            [middle(answer, print).into()],
        )
        .section(
            "By how much each loop misses, everything at its middle",
            [loops(answer, print).into()],
        )
        .first()
        .section("What the shims can build", builds(answer, print))
        .section("What the shop believes", [beliefs(answer).into()]);
    if let Some(windows) = read_inside(setup, print) {
        let said = format!(
            "Readings must lie inside, by {}: {windows}.",
            frame::key("bench.guard")
        );
        document.section("What the shop accepts", [Block::Note(said)]);
    }
    document
        .section("What counts in money", [money(setup, stated, print).into()])
        .section("What looks wrong", doubts(&found.doubts))
        .first();
    document.assume(assumed(stated));
    document.cautions.push(CAUTION);
    document
}

fn gears(setup: &Setup) -> Table {
    let (gears, geometry) = (&setup.axle.gears, &setup.geometry);
    let kind = if gears.offset == 0.0 {
        "bevel"
    } else {
        "hypoid"
    };
    let mut table = Table::new([Column::words(""), Column::figures(""), Column::words("")]);
    table.row([
        "ratio".into(),
        format!("{:.3}", geometry.ratio).into(),
        format!("{}/{}, {kind}", gears.ring_teeth, gears.pinion_teeth).into(),
    ]);
    for (name, radians) in [
        ("pinion pitch angle", geometry.pinion_pitch_angle),
        ("ring pitch angle", geometry.ring_pitch_angle),
        ("pinion spiral angle", geometry.pinion_spiral_angle),
        ("ring spiral angle", geometry.ring_spiral_angle),
        ("drive pressure angle", geometry.drive_pressure_angle),
        ("coast pressure angle", geometry.coast_pressure_angle),
    ] {
        table.name(name, format!("{:.2}°", radians.to_degrees()));
    }
    table
}

/// What a move does to backlash, with its direction.
fn moves(setup: &Setup, print: Printed) -> Vec<Block> {
    let rates = &setup.rates;
    let step = print.step();
    let [by_ring, by_depth] = [rates.per_ring_move, rates.per_depth].map(|rate| rate * step);
    let follows = print.length(step * rates.per_depth / rates.per_ring_move);
    let moved = print.given(step);
    let ring = match setup.has_adjusters() {
        true => "turned in on the far side and out on the ring-gear side",
        false => "of shim moved from the ring-gear side to the far side",
    };
    let pack = match setup.axle.pinion_shim.seat.depth_per_thickness() > 0.0 {
        true => "a thicker",
        false => "a thinner",
    };
    let mut said = vec![
        format!(
            "{moved} {ring} (ring gear out): backlash {} more.",
            print.length(by_ring)
        ),
        format!(
            "{moved} deeper ({pack} pinion pack): backlash {} less; for it to stay, the ring gear follows \
             out by {follows}.",
            print.length(by_depth),
        ),
    ];
    said.extend(dial(setup));
    said.into_iter().map(Block::Note).collect()
}

/// What ten of ring move gives on a dial held either way: where people expect seven.
fn dial(setup: &Setup) -> Option<String> {
    let held = setup.axle.windows.indicator;
    let factor = |held| setup.geometry.indicator_factor(held).ok();
    let gives = |as_held| {
        let ten = 10.0 * setup.rates.per_ring_move / factor(held)? * factor(as_held)?;
        Some(format!("{ten:.1}"))
    };
    let square = gives(Indicator::SquareToTooth)?;
    let plane = gives(Indicator::PlaneOfRotation)?;
    let book = match held {
        Indicator::PlaneOfRotation => "in the plane of rotation",
        Indicator::SquareToTooth => "square to the tooth",
    };
    Some(format!(
        "Ten of ring move gives {plane} on a dial in the plane of rotation at the ring gear's outer \
         edge, nearly one to one, and {square} on one with its stem square to the tooth, which sees \
         only a part of the turn: the seven for ten that many manuals give. This book holds it {book}."
    ))
}

fn preload(rates: &PreloadRates, print: Printed) -> Table {
    let step = print.least_step();
    let mut table = Table::new([Column::words(""), Column::words("")]);
    let each = |rate: f64| {
        format!(
            "{} for each {} past zero end play",
            print.torque(rate * step),
            print.given(step)
        )
    };
    table.name("pinion bearings", each(rates.pinion));
    if let Some(torque) = rates.per_degree {
        let torque = print.torque(torque);
        table.name("", format!("{torque} for each degree of the nut"));
    }
    table
        .name("side bearings, at the carrier", each(rates.side))
        .name(
            "side bearings, at the pinion nut",
            each(rates.side_at_pinion),
        );
    table
}

fn middle(answer: &Check, print: Printed) -> Table {
    let (setup, middle) = (&answer.setup, &answer.found.middle);
    let windows = &setup.axle.windows;
    let at = &middle.assembly;
    let inside = Inside::of(setup, at);
    let [drive, coast] =
        [at.pattern[1], at.pattern[3]].map(|at| pattern::up(at, windows.pattern_profile));
    let torque = middle.spacer_torque.map(|torque| {
        let window = setup.torque_window;
        let held = (window.holds(torque), print.torques(window));
        ("pinion torque", print.torque(torque), Some(held))
    });
    let rows = [
        (
            "depth, off its best",
            print.length(at.depth),
            Some((inside.depth, format!("±{}", print.given(windows.depth)))),
        ),
        ("ring gear, off its best", print.length(at.ring), None),
        (
            "backlash, tightest to widest",
            print.both_held(
                at.backlash - at.swing,
                at.backlash + at.swing,
                windows.backlash,
            ),
            Some((inside.backlash, print.window(windows.backlash))),
        ),
        (
            "side preload",
            print.length_held(at.closure, windows.side_closure),
            Some((inside.closure, print.window(windows.side_closure))),
        ),
        (
            "pattern, drive and coast",
            if drive == coast {
                drive
            } else {
                format!("{drive}, {coast}")
            },
            Some((
                inside.pattern,
                format!("±{:.0} %", 100.0 * windows.pattern_profile),
            )),
        ),
    ];
    let mut table = Table::new([
        Column::words(""),
        Column::figures(""),
        Column::words(""),
        Column::words("").may_go(),
    ]);
    for (name, figure, held) in rows.into_iter().chain(torque) {
        let mut cells: Vec<Cell> = vec![name.into(), figure.into()];
        if let Some((inside, window)) = held {
            cells.push(if inside { "inside" } else { "OUTSIDE" }.into());
            cells.push(window.into());
        }
        table.row(cells);
    }
    table
}

fn loops(answer: &Check, print: Printed) -> Table {
    let mut table = Table::new([Column::words(""), Column::figures(""), Column::words("")]);
    for each in &answer.found.loops {
        let misses = each.misses.abs();
        let shows = misses >= 0.5 * print.least_step();
        table.row([
            each.what.into(),
            print.length(misses).into(),
            if shows { each.sense() } else { "" }.into(),
        ]);
    }
    table
}

fn builds(answer: &Check, print: Printed) -> Vec<Block> {
    let setup = &answer.setup;
    let mut table = Table::new([
        Column::words(""),
        Column::words(""),
        Column::words(""),
        Column::figures("near"),
        Column::figures("in steps of at most"),
    ]);
    let mut coarser = Vec::new();
    for build in &answer.found.builds {
        let size = |mm: f64| Cell::from(print.given(mm));
        table.row([
            build.place.into(),
            build.series.as_str().into(),
            print.window(build.range).into(),
            size(build.usual),
            build.coarsest.map_or("nothing there".into(), size),
        ]);
        let gaps = build.gaps.iter().take(MOST_GAPS);
        let mut gaps: Vec<String> = gaps
            .map(|(from, to)| format!("{} to {}", print.bare_given(*from), print.bare_given(*to)))
            .collect();
        if build.gaps.len() > MOST_GAPS {
            gaps.push(format!("{} more", build.gaps.len() - MOST_GAPS));
        }
        if !gaps.is_empty() {
            let gaps = gaps.join(", ");
            let note = format!("{}: coarser from {gaps}", build.place);
            coarser.push(Block::Note(note));
        }
    }
    if setup.axle.side_shims.stock.is_none() {
        let notch = print.given(setup.shop.bench.notch);
        table.row([
            "both sides".into(),
            "adjusters".into(),
            format!("notches of {notch}").into(),
        ]);
    }
    let mut blocks = vec![table.into()];
    blocks.extend(coarser);
    blocks
}

fn beliefs(answer: &Check) -> Table {
    let mut table = Table::new([
        Column::words(""),
        Column::figures("believes"),
        Column::figures("will read"),
        Column::words("").may_go(),
    ]);
    for belief in &answer.found.beliefs {
        table.row([
            belief.what.as_str().into(),
            format!("{:.2}", belief.believed).into(),
            format!("{:.2}", belief.really).into(),
            if belief.disagrees() { "far apart" } else { "" }.into(),
        ]);
    }
    table
}

/// What the prices and their chances mean.
fn money(setup: &Setup, stated: &[Assumption], print: Printed) -> Table {
    let shop = &setup.shop;
    let (prices, instruments, bench) = (&shop.prices, &shop.instruments, &shop.bench);
    let percent = |share: f64| format!("{} %", plain(100.0 * share));
    let price = |amount: f64| format!("{} {}", plain(amount), shop.currency);
    let hour = match hour_cost_left_out(stated) {
        true => "and taken as its cost to the shop".to_owned(),
        false => format!("{} its cost to the shop", price(prices.hour_cost)),
    };
    let clearly_out = format!(
        "by more than one graduation: backlash or side preload by {}, pattern by {}, pinion torque \
         by {}",
        print.given(instruments.dial.step),
        percent(instruments.pattern.step),
        print.torque(instruments.torque.step)
    );
    let comeback = format!(
        "{}; {} of the jobs handed over clearly out come back",
        price(prices.comeback),
        percent(prices.comeback_share)
    );
    let mut table = Table::new([Column::words(""), Column::words("")]);
    table
        .name("an hour", format!("{} charged, {hour}", price(prices.hour)))
        .name("clearly out", clearly_out)
        .name("a comeback", comeback);
    if setup.pulls_cones() {
        let (cone, spoiled) = (price(prices.cone), percent(bench.cone_spoiled));
        let of = "of those pulled for a change on the real bearings are spoiled";
        table.name("a bearing cone", format!("{cone}; {spoiled} {of}"));
    }
    let turns = match setup.has_adjusters() {
        true => {
            let turns = counted(bench.most_turns().into(), ["turn", "turns"]);
            format!(" or {turns} of the adjusters")
        }
        false => String::new(),
    };
    let (given_up, most) = (price(prices.given_up), bench.most_assemblies);
    table.name(
        "a job given up",
        format!(
            "{given_up} beside its hours, after {}{turns}",
            counted(most.into(), ["assembly", "assemblies"])
        ),
    );
    table
}

fn doubts(doubts: &[String]) -> Vec<Block> {
    if doubts.is_empty() {
        return vec![Block::Note("nothing".into())];
    }
    let notes = doubts.iter().map(|doubt| format!("- {doubt}"));
    notes.map(Block::Note).collect()
}
