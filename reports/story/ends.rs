//! How a rebuild went: in a few words, the parts as drawn, and the state in which it ended.

use shimcast_sim::follow::Story;
use shimcast_sim::money::Outcome;
use shimcast_sim::units::Window;

use super::acts::{signed_length, tooth};
use crate::answers::follow::{Followed, Measured, drawn_parts};
use crate::figures::{Digits, Printed, plain};

/// How it ended, what was outside at first, what it took: a name and what there is to say.
pub fn verdict(story: &Story) -> Vec<[String; 2]> {
    let rebuild = &story.rebuild;
    let how = match story.outcome {
        Outcome::Right if rebuild.compromised => "handed over right, with a compromise on the way",
        Outcome::Right => "handed over right",
        Outcome::WronglyPassed if rebuild.compromised => {
            "handed over with something outside its window, after a compromise"
        }
        Outcome::WronglyPassed => "passed by its readings, though something is truly outside",
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
pub const PARTS: [&str; 4] = ["", "this one", "off the middle", ""];

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
                    format!("{:.1}", part.value),
                    Digits::decimals(1).signed(off),
                    "arc-minutes",
                ),
                Measured::Torque => row(
                    part.name,
                    print.bare_torque(part.value),
                    format!(
                        "{}{}",
                        if off < 0.0 { "-" } else { "+" },
                        print.bare_torque(off.abs())
                    ),
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
            "given up after {} assemblies, the most this shop makes (bench.most_assemblies); \
             nothing is handed over",
            plain(f64::from(story.rebuild.assemblies))
        ));
    }
    let print = Printed(asked.units);
    let setup = asked.setup;
    let windows = &setup.axle.windows;
    let last = &story.rebuild.last;
    let word = |inside: bool| if inside { "inside" } else { "OUTSIDE" }.to_owned();
    // what is printed may read as if it lay on the limit
    let by = |inside: bool, beyond: f64| {
        if !inside && (0.0..print.least_step()).contains(&beyond) {
            format!("OUTSIDE by less than {}", print.length(print.least_step()))
        } else {
            word(inside)
        }
    };
    let beyond =
        |window: Window, least: f64, most: f64| (window.low - least).max(most - window.high);
    let [drive_length, drive, coast_length, coast] = last.pattern.map(tooth);
    let limits = format!(
        "±{:.0} % long, ±{:.0} % high",
        100.0 * windows.pattern_length,
        100.0 * windows.pattern_profile
    );
    let mut rows = vec![
        [
            "backlash round the ring".to_owned(),
            by(
                story.last.backlash,
                beyond(
                    windows.backlash,
                    last.backlash - last.swing,
                    last.backlash + last.swing,
                ),
            ),
            format!(
                "{} to {}",
                print.bare_length((last.backlash - last.swing).max(0.0)),
                print.length(last.backlash + last.swing)
            ),
            print.window(windows.backlash.low, windows.backlash.high),
        ],
        [
            "how far it varies".to_owned(),
            String::new(),
            print.length(2.0 * last.swing),
            format!("at most {}", print.length(windows.backlash_variation)),
        ],
        [
            "pattern on the drive side".to_owned(),
            word(story.last.pattern),
            format!("{drive_length} long, {drive} high"),
            limits.clone(),
        ],
        [
            "pattern on the coast side".to_owned(),
            String::new(),
            format!("{coast_length} long, {coast} high"),
            limits,
        ],
        [
            "side closure".to_owned(),
            by(
                story.last.closure,
                beyond(windows.side_closure, last.closure, last.closure),
            ),
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
