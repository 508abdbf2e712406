//! One rebuild told in order: what is true, what was read, what was decided and why.

use std::fmt::Write;

use shimcast_sim::follow::Story;
use shimcast_sim::money::Outcome;
use shimcast_sim::units::Window;

use super::odds::{assumptions, title};
use super::work::{signed_length, tooth, work};
use super::{AT_WORK, CAUTION, Ink, Table};
use crate::answers::follow::{Followed, Measured, drawn_parts};
use crate::figures::{Digits, Printed, plain};

/// The story as text.
pub fn render(asked: &Followed<'_>, ink: Ink) -> String {
    let (setup, story) = (asked.setup, asked.story);
    let print = Printed(asked.units);
    let mut text = format!("{}\n", ink.heading(&title(setup)));
    let _ = writeln!(
        text,
        "Rebuild {} of seed {}{}",
        story.number,
        asked.seed,
        asked
            .found
            .map(|what| format!(", found by --find {what}"))
            .unwrap_or_default()
    );
    let _ = write!(text, "\n{}", verdict(story));
    let _ = write!(
        text,
        "\n{}\n{}",
        ink.heading("The parts as drawn: nobody at the bench can see these"),
        parts(asked)
    );
    let _ = writeln!(text, "\n{}", ink.heading("The work, in order"));
    text.push_str(&work(setup, &story.steps, print, ink));
    let _ = write!(
        text,
        "\n{}\n{}",
        ink.heading("In the end, true state"),
        ending(asked)
    );
    let _ = writeln!(
        text,
        "\nThis is the very rebuild that every answer counts as number {} under seed {}. Spreads, \
         errors\nand minutes are what the files say: the built-in ones are plausible, not measured.",
        story.number, asked.seed
    );
    text.push_str(&assumptions(asked.assumptions, ink));
    let _ = write!(text, "\n{CAUTION}{AT_WORK}");
    text
}

fn verdict(story: &Story) -> String {
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
    let mut table = Table::default();
    table.row(["How it ended", how]);
    table.row([
        "First assembly".to_owned(),
        if story.first.all() {
            "truly inside all its windows".to_owned()
        } else {
            let outside = [
                ("backlash", story.first.backlash),
                ("pattern", story.first.pattern),
                ("side closure", story.first.closure),
            ];
            let names: Vec<&str> = outside
                .iter()
                .filter(|(_, inside)| !inside)
                .map(|(name, _)| *name)
                .collect();
            format!("outside: {}", names.join(", "))
        },
    ]);
    table.row([
        "Assemblies".to_owned(),
        format!(
            "{}: pinion shim {}, side shims alone {}, ring gear {}",
            rebuild.assemblies,
            times("changed", rebuild.pinion_changes),
            times("changed", rebuild.side_changes),
            times("reseated", rebuild.reseats)
        ),
    ]);
    table.row(["Hours".to_owned(), format!("{:.1}", story.minutes / 60.0)]);
    table.text()
}

fn times(done: &str, count: u32) -> String {
    match count {
        0 => format!("never {done}"),
        1 => format!("{done} once"),
        2 => format!("{done} twice"),
        n => format!("{done} {n} times"),
    }
}

fn parts(asked: &Followed<'_>) -> String {
    let print = Printed(asked.units);
    let mut table = Table::right(&[1, 2]);
    table.row(["", "this one", "off the middle", ""]);
    for part in drawn_parts(asked.setup, &asked.story.parts) {
        let off = part.value - part.middle;
        let (value, off, unit) = match part.measured {
            Measured::Length => (
                print.bare_length(part.value),
                signed_length(print, off),
                print.length_unit().to_owned(),
            ),
            Measured::Angle => (
                format!("{:.1}", part.value),
                Digits::decimals(1).signed(off),
                "arc-minutes".to_owned(),
            ),
            Measured::Torque => (
                print.bare_torque(part.value),
                format!(
                    "{}{}",
                    if off < 0.0 { "-" } else { "+" },
                    print.bare_torque(off.abs())
                ),
                print.0.torque.printed().to_owned(),
            ),
            Measured::TorquePerForce => (
                format!("{:.2}", part.value),
                Digits::decimals(2).signed(off),
                "N·m per kN".to_owned(),
            ),
        };
        table.row([part.name.to_owned(), value, off, unit]);
    }
    table.text()
}

fn ending(asked: &Followed<'_>) -> String {
    let story = asked.story;
    if story.outcome == Outcome::GivenUp {
        return format!(
            "  given up after {} assemblies, the most this shop makes (bench.most_assemblies); \
             nothing is handed over\n",
            plain(f64::from(story.rebuild.assemblies))
        );
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
    let mut table = Table::default();
    table.row(["", "", "in truth", "window"]);
    table.row([
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
    ]);
    table.row([
        "how far it varies".to_owned(),
        String::new(),
        print.length(2.0 * last.swing),
        format!("at most {}", print.length(windows.backlash_variation)),
    ]);
    let [drive_length, drive, coast_length, coast] = last.pattern.map(tooth);
    let limits = format!(
        "±{:.0} % long, ±{:.0} % high",
        100.0 * windows.pattern_length,
        100.0 * windows.pattern_profile
    );
    table.row([
        "pattern on the drive side".to_owned(),
        word(story.last.pattern),
        format!("{drive_length} long, {drive} high"),
        limits.clone(),
    ]);
    table.row([
        "pattern on the coast side".to_owned(),
        String::new(),
        format!("{coast_length} long, {coast} high"),
        limits,
    ]);
    table.row([
        "side closure".to_owned(),
        by(
            story.last.closure,
            beyond(windows.side_closure, last.closure, last.closure),
        ),
        print.length(last.closure),
        print.window(windows.side_closure.low, windows.side_closure.high),
    ]);
    if let (Some(torque), Some(inside)) = (story.rebuild.pinion_torque, story.torque_inside) {
        table.row([
            "pinion torque".to_owned(),
            word(inside),
            print.torque(torque),
            print.torques(setup.torque_window.low, setup.torque_window.high),
        ]);
    }
    table.text()
}
