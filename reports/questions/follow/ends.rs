//! How a rebuild went: in a few words, the parts as drawn, and the state in which it ended.

use shimcast_sim::axle::Condition;
use shimcast_sim::bench::outcome::Outcome;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::bench::{Decision, Event, Rebuild};
use shimcast_sim::follow::{Story, StoryStep};
use shimcast_sim::units::{SLACK, Window};

use super::Account;
use crate::document::{Cell, Column, Table};
use crate::figures::{Digits, plain, signed_percent};
use crate::parts::{DrawnFigure, PartUnit, drawn};
use crate::pattern;
use crate::printed::Printed;

/// How it ended, what was outside at first, what it took.
pub fn verdict(asked: &Account<'_>) -> Table {
    let (setup, story) = (asked.setup, asked.story);
    let mut rows = vec![
        ("How it ended", how_it_ended(story)),
        ("First assembly", first_assembly(story)),
        ("Assemblies", assemblies(setup, &story.rebuild)),
    ];
    if took_marks_the_wrong_way_round(story) {
        rows.push(("Marks", "taken THE WRONG WAY ROUND".to_owned()));
    }
    if setup.pulls_cones() {
        rows.push(("Cones pulled", cones(setup, story.rebuild.cones_pulled)));
    }
    rows.push(("Hours", format!("{:.1}", story.minutes / 60.0)));
    if let Some(windows) = read_inside(setup, asked.print) {
        rows.push(("Read inside", windows));
    }
    let rows = rows.into_iter().map(|(name, said)| [name.into(), said]);
    words("How it went", [""; 2], rows)
}

fn took_marks_the_wrong_way_round(story: &Story) -> bool {
    story.steps.iter().any(|step| {
        matches!(
            step,
            StoryStep::Event(Event::PinionStart { slipped: true, .. })
        )
    })
}

fn how_it_ended(story: &Story) -> String {
    let compromised = story.rebuild.compromised;
    match story.outcome {
        Outcome::Right if compromised => "handed over right, with a compromise on the way".into(),
        Outcome::Right => "handed over right".into(),
        Outcome::WronglyPassed { clearly } => {
            let how = match compromised {
                true => "handed over after a compromise",
                false => "passed by its readings",
            };
            let by = match clearly {
                true => "more than a graduation: clearly out, may come back",
                false => "no more than a graduation: not clearly out",
            };
            format!("{how}, though something is truly outside by {by}")
        }
        Outcome::GivenUp => "given up".into(),
    }
}

fn first_assembly(story: &Story) -> String {
    let outside = [
        ("backlash", story.first.backlash),
        ("pattern", story.first.pattern),
        ("side preload", story.first.closure),
    ];
    let outside = outside.iter().filter(|(_, inside)| !inside);
    let outside: Vec<&str> = outside.map(|(name, _)| *name).collect();
    if outside.is_empty() {
        "truly inside all its windows".to_owned()
    } else {
        format!("outside: {}", outside.join(", "))
    }
}

fn assemblies(setup: &Setup, rebuild: &Rebuild) -> String {
    let (all, sides) = (rebuild.assemblies, rebuild.side_changes);
    let pinion = times("changed", rebuild.pinion_changes);
    let ring = times("reseated", rebuild.reseats);
    if setup.has_adjusters() {
        let turned = times("turned", sides);
        let makes_none = if sides > 0 {
            ", which makes no assembly"
        } else {
            ""
        };
        format!(
            "{all}: pinion shim {pinion}, ring gear {ring}; adjusters by themselves {turned}{makes_none}"
        )
    } else {
        let sides = times("changed", sides);
        format!("{all}: pinion shim {pinion}, side shims alone {sides}, ring gear {ring}")
    }
}

/// A table of words.
fn words<const N: usize>(
    caption: &str,
    titles: [&str; N],
    rows: impl IntoIterator<Item = [String; N]>,
) -> Table {
    let mut table = Table::new(titles.map(Column::words)).caption(caption);
    for row in rows {
        table.row(row.map(Cell::from));
    }
    table
}

/// Bearing cones that were pulled for a change.
fn cones(setup: &Setup, pulled: u32) -> String {
    let spoiled = plain(100.0 * setup.shop.bench.cone_spoiled);
    match pulled {
        0 => "none".into(),
        1 => format!("1, with a chance of {spoiled} % that it is spoiled"),
        n => format!("{n}, each with a chance of {spoiled} % that it is spoiled"),
    }
}

/// Where readings must lie where the shop keeps a margin; `None` where it keeps none.
pub fn read_inside(setup: &Setup, print: Printed) -> Option<String> {
    let guard = setup.shop.bench.guard;
    let held = &setup.reading_windows;
    (guard > 0.0).then(|| {
        format!(
            "backlash {}, pattern ±{:.0} % up the profile, pinion torque {} ({} % of each window off at either end)",
            print.window(held.backlash),
            100.0 * held.pattern_profile,
            print.torques(held.torque),
            plain(100.0 * guard)
        )
    })
}

fn times(done: &str, count: u32) -> String {
    match count {
        0 => format!("never {done}"),
        1 => format!("{done} once"),
        2 => format!("{done} twice"),
        n => format!("{done} {n} times"),
    }
}

/// Over the work.
pub const WORK: &str = "The work, in order";

/// The parts as drawn, with how far each is off the middle of its kind.
pub fn parts(asked: &Account<'_>) -> Table {
    let print = asked.print;
    let mut table = Table::new([
        Column::words(""),
        Column::figures("this one"),
        Column::figures("off middle"),
        Column::words(""),
    ])
    .caption("The parts as drawn: nobody at the bench can see these");
    // what is kept is old and in the job alike
    let twice = |part: &DrawnFigure| match part.key {
        "old_depth_deviation" | "old_ring_deviation" => asked.setup.gears == Condition::Kept,
        key if key.starts_with("old_") => asked.setup.bearings == Condition::Kept,
        _ => false,
    };
    for part in drawn(asked.setup, asked.story) {
        if twice(&part) {
            continue;
        }
        let (value, off) = (part.value, part.value - part.middle);
        let (value, off, unit) = match part.unit {
            PartUnit::Length => (
                print.bare_length(value),
                print.signed_length(off),
                print.length_unit(),
            ),
            PartUnit::Angle => (
                Digits::decimals(1).text(value),
                Digits::decimals(1).signed(off),
                "arc-minutes",
            ),
            PartUnit::Torque => (
                print.bare_torque(value),
                print.signed_torque(off),
                asked.print.units.torque.printed(),
            ),
            PartUnit::TorquePerForce => (
                format!("{value:.2}"),
                Digits::decimals(2).signed(off),
                "N·m per kN",
            ),
            PartUnit::Share => (signed_percent(value), signed_percent(off), ""),
        };
        table.row([part.name.into(), value.into(), off.into(), unit.into()]);
    }
    table
}

/// Whether it was given up because the adjusters had been turned too often.
fn given_up_turning(asked: &Account<'_>) -> bool {
    let decisions = asked.story.steps.iter().filter_map(|step| match step {
        StoryStep::Event(Event::Decision(made)) => Some(made),
        _ => None,
    });
    // the last one is giving up
    let wanted = decisions.rev().nth(1);
    asked.setup.has_adjusters()
        && matches!(
            wanted,
            Some(Decision::ChangeSides { .. } | Decision::SidesGoBack { .. })
        )
}

/// Over the end.
pub const END: &str = "In the end, true state";

/// The state in which it was handed over, and whether that is inside the windows.
///
/// # Errors
/// Where it was given up, which is said in words.
pub fn ending(asked: &Account<'_>) -> Result<Table, String> {
    match asked.story.outcome {
        Outcome::GivenUp => Err(given_up(asked)),
        _ => Ok(words(
            END,
            ["", "", "in truth", "window"],
            true_state(asked),
        )),
    }
}

fn given_up(asked: &Account<'_>) -> String {
    let rebuild = &asked.story.rebuild;
    let (after, most) = match (given_up_turning(asked), rebuild.assemblies) {
        (true, _) => (
            format!("{} turns of the adjusters", rebuild.side_changes),
            "four times bench.most_assemblies",
        ),
        (false, 1) => ("one assembly".to_owned(), "bench.most_assemblies"),
        (false, n) => (format!("{n} assemblies"), "bench.most_assemblies"),
    };
    format!("given up after {after}, the most this shop makes ({most}); nothing is handed over")
}

/// What was handed over: what is looked at, whether it is inside, in truth, its window.
fn true_state(asked: &Account<'_>) -> Vec<[String; 4]> {
    let print = asked.print;
    let setup = asked.setup;
    let windows = &setup.axle.windows;
    let steps = &setup.shop.instruments;
    let last = &asked.story.rebuild.last;
    let length = |beyond: f64| {
        let step = steps.dial.step;
        let printed = print.given(step);
        place(beyond, step, &printed)
    };
    let swing = 2.0 * last.swing;
    let [least, most] = [last.backlash - last.swing, last.backlash + last.swing];
    let mut rows = vec![
        [
            "backlash round the ring".to_owned(),
            length(beyond(windows.backlash, least, most)),
            print.both_held(least.max(0.0), most, windows.backlash),
            print.window(windows.backlash),
        ],
        [
            "how far it varies".to_owned(),
            length((swing - windows.backlash_variation).max(0.0)),
            print.length_held(swing, Window::new(0.0, windows.backlash_variation)),
            format!("at most {}", print.given(windows.backlash_variation)),
        ],
    ];
    let limits = [windows.pattern_length, windows.pattern_profile];
    let [long, high] = limits.map(|limit| format!("±{:.0} %", 100.0 * limit));
    let graduation = format!("{} %", plain(100.0 * steps.pattern.step));
    for (flank, at) in [("drive", &last.pattern[..2]), ("coast", &last.pattern[2..])] {
        let by = at.iter().zip(limits).map(|(at, limit)| at.abs() - limit);
        let by = by.fold(f64::NEG_INFINITY, f64::max);
        rows.push([
            format!("pattern on the {flank} side"),
            place(by, steps.pattern.step, &graduation),
            format!(
                "{}, {}",
                pattern::along(at[0], limits[0]),
                pattern::up(at[1], limits[1])
            ),
            format!("{long} along, {high} up"),
        ]);
    }
    rows.push([
        "side preload".to_owned(),
        length(beyond(windows.side_closure, last.closure, last.closure)),
        print.length_held(last.closure, windows.side_closure),
        print.window(windows.side_closure),
    ]);
    if let Some(torque) = asked.story.rebuild.pinion_torque {
        let (window, step) = (setup.torque_window, steps.torque.step);
        rows.push([
            "pinion torque".to_owned(),
            place(beyond(window, torque, torque), step, &print.torque(step)),
            format!(
                "{} {}",
                print.torque_held(torque, window),
                print.units.torque.printed()
            ),
            print.torques(window),
        ]);
    }
    rows
}

/// How far the least or the largest figure lies outside a window; zero inside.
fn beyond(window: Window, least: f64, most: f64) -> f64 {
    if window.holds(least) && window.holds(most) {
        return 0.0;
    }
    let by = (window.low - least).max(most - window.high);
    by.max(f64::MIN_POSITIVE)
}

/// Whether something is inside, or outside by more than a graduation of its instrument.
fn place(beyond: f64, graduation: f64, printed: &str) -> String {
    if beyond <= 0.0 {
        "inside".to_owned()
    } else if beyond > graduation + SLACK {
        "OUTSIDE, clearly".to_owned()
    } else {
        format!("OUTSIDE by no more than {printed}")
    }
}
