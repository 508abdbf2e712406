//! How a rebuild went: in a few words, the parts as drawn, and the state in which it ended.

use shimcast_sim::bench::outcome::Outcome;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::bench::{Decision, Event};
use shimcast_sim::follow::Step;
use shimcast_sim::units::{SLACK, Window};

use super::Followed;
use super::acts::{signed, signed_length};
use crate::document::{Cell, Column, Table};
use crate::figures::{Digits, Printed, plain, signed_percent};
use crate::parts::{Quantity, drawn};
use crate::questions::odds::has_adjusters;

/// How it ended, what was outside at first, what it took.
pub fn verdict(asked: &Followed<'_>) -> Table {
    let (setup, story) = (asked.setup, asked.story);
    let rebuild = &story.rebuild;
    let how = match story.outcome {
        Outcome::Right if rebuild.compromised => {
            "handed over right, with a compromise on the way".to_owned()
        }
        Outcome::Right => "handed over right".to_owned(),
        Outcome::WronglyPassed { clearly } => format!(
            "{}, though something is truly outside by {}",
            match rebuild.compromised {
                true => "handed over after a compromise",
                false => "passed by its readings",
            },
            match clearly {
                true => "more than a graduation: clearly out, may come back",
                false => "no more than a graduation: not clearly out",
            }
        ),
        Outcome::GivenUp => "given up".to_owned(),
    };
    let outside: Vec<&str> = [
        ("backlash", story.first.backlash),
        ("pattern", story.first.pattern),
        ("side closure", story.first.closure),
    ]
    .iter()
    .filter(|(_, inside)| !inside)
    .map(|(name, _)| *name)
    .collect();
    let first = if outside.is_empty() {
        "truly inside all its windows".to_owned()
    } else {
        format!("outside: {}", outside.join(", "))
    };
    let [pinion, ring] = [
        times("changed", rebuild.pinion_changes),
        times("reseated", rebuild.reseats),
    ];
    let assemblies = if has_adjusters(setup) {
        format!(
            "{}: pinion shim {pinion}, ring gear {ring}; adjusters {}{}",
            rebuild.assemblies,
            times("turned", rebuild.side_changes),
            if rebuild.side_changes > 0 {
                ", which makes no assembly"
            } else {
                ""
            }
        )
    } else {
        format!(
            "{}: pinion shim {pinion}, side shims alone {}, ring gear {ring}",
            rebuild.assemblies,
            times("changed", rebuild.side_changes)
        )
    };
    let mut rows = vec![
        ("How it ended", how),
        ("First assembly", first),
        ("Assemblies", assemblies),
    ];
    if setup.pulls_cones() {
        rows.push(("Cones pulled", cones(setup, rebuild.cones_pulled)));
    }
    rows.push(("Hours", format!("{:.1}", story.minutes / 60.0)));
    if let Some(windows) = read_inside(setup, Printed(asked.units)) {
        rows.push(("Read inside", windows));
    }
    let rows = rows.into_iter().map(|(name, said)| [name.into(), said]);
    words("How it went", [""; 2], rows)
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
    let held = &setup.held;
    (guard > 0.0).then(|| {
        format!(
            "backlash {}, pattern ±{:.0} % high, pinion torque {} ({} % of each window off at either end)",
            print.window(held.backlash.low, held.backlash.high),
            100.0 * held.pattern_profile,
            print.torques(held.torque.low, held.torque.high),
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
pub fn parts(asked: &Followed<'_>) -> Table {
    let print = Printed(asked.units);
    let mut table = Table::new([
        Column::words(""),
        Column::figures("this one"),
        Column::figures("off middle"),
        Column::words(""),
    ])
    .caption("The parts as drawn: nobody at the bench can see these");
    for part in drawn(asked.setup, &asked.story.parts) {
        let (value, off) = (part.value, part.value - part.middle);
        let (value, off, unit) = match part.quantity {
            Quantity::Length => (
                print.bare_length(value),
                signed_length(print, off),
                print.length_unit(),
            ),
            Quantity::Angle => (
                Digits::decimals(1).text(value),
                Digits::decimals(1).signed(off),
                "arc-minutes",
            ),
            Quantity::Torque => (
                print.bare_torque(value),
                signed(print.bare_torque(off), off),
                asked.units.torque.printed(),
            ),
            Quantity::TorquePerForce => (
                format!("{value:.2}"),
                Digits::decimals(2).signed(off),
                "N·m per kN",
            ),
            Quantity::Share => (signed_percent(value), signed_percent(off), ""),
        };
        table.row([part.name.into(), value.into(), off.into(), unit.into()]);
    }
    table
}

/// Whether it was given up because the adjusters had been turned too often.
fn given_up_turning(asked: &Followed<'_>) -> bool {
    let decisions = asked.story.steps.iter().filter_map(|step| match step {
        Step::Event(Event::Decision(made)) => Some(made),
        _ => None,
    });
    // the last one is giving up
    let wanted = decisions.rev().nth(1);
    has_adjusters(asked.setup)
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
pub fn ending(asked: &Followed<'_>) -> Result<Table, String> {
    let story = asked.story;
    if story.outcome == Outcome::GivenUp {
        return Err(if given_up_turning(asked) {
            format!(
                "given up after {} turns of the adjusters, the most this shop makes (four times \
                 bench.most_assemblies); nothing is handed over",
                story.rebuild.side_changes
            )
        } else {
            format!(
                "given up after {}, the most this shop makes (bench.most_assemblies); nothing is \
                 handed over",
                match story.rebuild.assemblies {
                    1 => "one assembly".to_owned(),
                    n => format!("{n} assemblies"),
                }
            )
        });
    }
    let print = Printed(asked.units);
    let setup = asked.setup;
    let windows = &setup.axle.windows;
    let last = &story.rebuild.last;
    let steps = &setup.shop.instruments;
    let place = |beyond: f64, graduation: f64, printed: &dyn Fn(f64) -> String| {
        if beyond <= 0.0 {
            "inside".to_owned()
        } else if beyond > graduation + SLACK {
            "OUTSIDE, clearly".to_owned()
        } else {
            format!("OUTSIDE by no more than {}", printed(graduation))
        }
    };
    let length = |beyond: f64| {
        let printed = |step: f64| format!("{} {}", print.thickness(step), print.length_unit());
        place(beyond, steps.dial.step, &printed)
    };
    let beyond = |window: Window, least: f64, most: f64| {
        let inside = window.holds(least) && window.holds(most);
        let by = (window.low - least).max(most - window.high);
        if inside {
            0.0
        } else {
            by.max(f64::MIN_POSITIVE)
        }
    };
    let flank = |pattern: &[f64]| {
        let limits = [windows.pattern_length, windows.pattern_profile];
        let by = pattern
            .iter()
            .zip(limits)
            .map(|(at, limit)| at.abs() - limit);
        let by = by.fold(f64::NEG_INFINITY, f64::max);
        let printed = |step: f64| format!("{} %", plain(100.0 * step));
        place(by, steps.pattern.step, &printed)
    };
    let [drive_length, drive, coast_length, coast] = last.pattern.map(signed_percent);
    let limits = format!(
        "±{:.0} % long, ±{:.0} % high",
        100.0 * windows.pattern_length,
        100.0 * windows.pattern_profile
    );
    let mut rows = vec![
        [
            "backlash round the ring".to_owned(),
            length(beyond(
                windows.backlash,
                last.backlash - last.swing,
                last.backlash + last.swing,
            )),
            format!(
                "{} to {}",
                print.bare_length((last.backlash - last.swing).max(0.0)),
                print.length(last.backlash + last.swing)
            ),
            print.window(windows.backlash.low, windows.backlash.high),
        ],
        [
            "how far it varies".to_owned(),
            length((2.0 * last.swing - windows.backlash_variation).max(0.0)),
            print.length(2.0 * last.swing),
            format!("at most {}", print.length(windows.backlash_variation)),
        ],
        [
            "pattern on the drive side".to_owned(),
            flank(&last.pattern[..2]),
            format!("{drive_length} long, {drive} high"),
            limits.clone(),
        ],
        [
            "pattern on the coast side".to_owned(),
            flank(&last.pattern[2..]),
            format!("{coast_length} long, {coast} high"),
            limits,
        ],
        [
            "side closure".to_owned(),
            length(beyond(windows.side_closure, last.closure, last.closure)),
            print.length(last.closure),
            print.window(windows.side_closure.low, windows.side_closure.high),
        ],
    ];
    if let Some(torque) = story.rebuild.pinion_torque {
        let beyond = beyond(setup.torque_window, torque, torque);
        rows.push([
            "pinion torque".to_owned(),
            place(beyond, steps.torque.step, &|step| print.torque(step)),
            print.torque(torque),
            print.torques(setup.torque_window.low, setup.torque_window.high),
        ]);
    }
    Ok(words(END, ["", "", "in truth", "window"], rows))
}
