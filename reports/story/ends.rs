//! How a rebuild went: in a few words, the parts as drawn, and the state in which it ended.

use shimcast_sim::follow::Story;
use shimcast_sim::outcome::Outcome;
use shimcast_sim::units::Window;

use super::acts::{signed, signed_length};
use crate::answers::follow::{Followed, Measured, drawn_parts};
use crate::figures::{Digits, Printed, signed_percent};

/// The least that is told of a pattern's place.
const LEAST_SHARE: f64 = 0.01;

/// How it ended, what was outside at first, what it took: a name and what there is to say.
pub fn verdict(story: &Story) -> Vec<[String; 2]> {
    let rebuild = &story.rebuild;
    let how = match story.outcome {
        Outcome::Right if rebuild.compromised => "handed over right, with a compromise on the way",
        Outcome::Right => "handed over right",
        Outcome::WronglyPassed { .. } if rebuild.compromised => {
            "handed over with something outside its window, after a compromise"
        }
        Outcome::WronglyPassed { clearly: true } => {
            "passed by its readings, though something is truly outside by more than a graduation"
        }
        Outcome::WronglyPassed { clearly: false } => {
            "passed by its readings, though something is truly outside by less than a graduation"
        }
        Outcome::GivenUp => "given up",
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
    let assemblies = format!(
        "{}: pinion shim {}, side shims alone {}, ring gear {}",
        rebuild.assemblies,
        times("changed", rebuild.pinion_changes),
        times("changed", rebuild.side_changes),
        times("reseated", rebuild.reseats)
    );
    let hours = format!("{:.1}", story.minutes / 60.0);
    [
        ("How it ended", how.to_owned()),
        ("First assembly", first),
        ("Assemblies", assemblies),
        ("Hours", hours),
    ]
    .map(|(name, said)| [name.to_owned(), said])
    .to_vec()
}

fn times(done: &str, count: u32) -> String {
    match count {
        0 => format!("never {done}"),
        1 => format!("{done} once"),
        2 => format!("{done} twice"),
        n => format!("{done} {n} times"),
    }
}

/// What stands over the rows of the parts.
pub const PARTS: [&str; 4] = ["", "this one", "off middle", ""];

/// The parts as drawn: name, figure, how far off the middle of its kind, unit.
pub fn parts(asked: &Followed<'_>) -> Vec<[String; 4]> {
    let print = Printed(asked.units);
    let row = |name: &str, value, off, unit: &str| [name.to_owned(), value, off, unit.to_owned()];
    drawn_parts(asked.setup, &asked.story.parts)
        .into_iter()
        .map(|part| {
            let off = part.value - part.middle;
            match part.measured {
                Measured::Length => row(
                    part.name,
                    print.bare_length(part.value),
                    signed_length(print, off),
                    print.length_unit(),
                ),
                Measured::Angle => row(
                    part.name,
                    Digits::decimals(1).text(part.value),
                    Digits::decimals(1).signed(off),
                    "arc-minutes",
                ),
                Measured::Torque => row(
                    part.name,
                    print.bare_torque(part.value),
                    signed(print.bare_torque(off), off),
                    asked.units.torque.printed(),
                ),
                Measured::TorquePerForce => row(
                    part.name,
                    format!("{:.2}", part.value),
                    Digits::decimals(2).signed(off),
                    "N·m per kN",
                ),
            }
        })
        .collect()
}

/// What stands over the rows of the end.
pub const ENDING: [&str; 4] = ["", "", "in truth", "window"];

/// The state in which it was handed over: name, inside or outside, in truth, window.
///
/// # Errors
/// Where it was given up, which is said in words.
pub fn ending(asked: &Followed<'_>) -> Result<Vec<[String; 4]>, String> {
    let story = asked.story;
    if story.outcome == Outcome::GivenUp {
        return Err(format!(
            "given up after {}, the most this shop makes (bench.most_assemblies); nothing is \
             handed over",
            match story.rebuild.assemblies {
                1 => "one assembly".to_owned(),
                n => format!("{n} assemblies"),
            }
        ));
    }
    let print = Printed(asked.units);
    let setup = asked.setup;
    let windows = &setup.axle.windows;
    let last = &story.rebuild.last;
    let word = |inside: bool| if inside { "inside" } else { "OUTSIDE" }.to_owned();
    // what is printed may read as if it lay on the limit
    let length = |beyond: f64| {
        if beyond > 0.0 && beyond < print.least_step() {
            format!("OUTSIDE by less than {}", print.length(print.least_step()))
        } else {
            word(beyond <= 0.0)
        }
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
        if by > 0.0 && by < LEAST_SHARE {
            "OUTSIDE by less than 1 %".to_owned()
        } else {
            word(by <= 0.0)
        }
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
    if let (Some(torque), Some(inside)) = (story.rebuild.pinion_torque, story.torque_inside) {
        rows.push([
            "pinion torque".to_owned(),
            word(inside),
            print.torque(torque),
            print.torques(setup.torque_window.low, setup.torque_window.high),
        ]);
    }
    Ok(rows)
}

/// The headings, in the order in which a rebuild is told.
pub const IN_ORDER: [&str; 3] = [
    "The parts as drawn: nobody at the bench can see these",
    "The work, in order",
    "In the end, true state",
];
