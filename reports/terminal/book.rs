//! The day book as text: one line for each thing that happens.

use std::fmt::Write;

use shimcast_sim::setup::Setup;
use shimcast_sim::stock::{Book, Entry, Event, Shelf};

use super::Ink;
use crate::list::{printed, unit};

/// Places on an axle, in the library's order.
const PLACES: [&str; 4] = ["pinion", "ring-gear side", "far side", "spacer"];

/// The day book as text.
pub fn render(
    lines: &[(&Setup, f64)],
    shelves: &[Shelf],
    book: &Book,
    days: f64,
    ink: Ink,
) -> String {
    let mut text = format!(
        "\n{}\n",
        ink.heading(&format!("Day book of {days:.0} days"))
    );
    let mut job = None;
    for entry in &book.entries {
        let shelf = &shelves[entry.series];
        let name = &shelf.name;
        let mut line = |what: String| {
            let _ = writeln!(text, "  day {:>7.2}  {what}", entry.at);
        };
        match &entry.event {
            Event::Job(number) => {
                if job != Some(*number) {
                    job = Some(*number);
                    let (_, of) = book.jobs[*number as usize];
                    let setup = lines[of].0;
                    line(format!("job {}: {}", number + 1, setup.axle.name));
                }
            }
            Event::Ordered(counts) => line(format!("{name} ordered: {}", sizes(shelf, counts))),
            Event::Delivered(counts) => {
                line(format!("{name} delivered: {}", sizes(shelf, counts)));
            }
            _ => line(format!("  {name} {}", of_job(shelf, entry))),
        }
    }
    text
}

/// What happens to one series in a job.
fn of_job(shelf: &Shelf, entry: &Entry) -> String {
    let thick = |mm: f64| format!("{} {}", printed(mm, shelf.unit), unit(shelf));
    let place = |place: u8| PLACES[usize::from(place)];
    match &entry.event {
        Event::Old(mm, good, of) => format!("old pack {}: {good} of {of} shims good", thick(*mm)),
        Event::Out(at, good, of) => format!("{}: out, {good} of {of} shims good", place(*at)),
        Event::Built(at, mm, needs, from_bench) => format!(
            "{}: wanted {}, fitted {}, {from_bench} from the bench",
            place(*at),
            thick(*mm),
            pack(shelf, needs)
        ),
        Event::Missing(at, mm, needs) => format!(
            "{}: wanted {}, MISSING, {} comes specially",
            place(*at),
            thick(*mm),
            pack(shelf, needs)
        ),
        Event::Left(kept, over) => format!("left: {kept} put back, {over} scrapped"),
        Event::Job(_) | Event::Ordered(_) | Event::Delivered(_) => String::new(),
    }
}

/// `2 × 0.10 + 0.25`
fn pack(shelf: &Shelf, needs: &[(usize, u32)]) -> String {
    let kinds: Vec<String> = needs
        .iter()
        .map(|(i, count)| {
            let size = printed(shelf.sizes[*i], shelf.unit);
            match count {
                1 => size,
                n => format!("{n} × {size}"),
            }
        })
        .collect();
    kinds.join(" + ")
}

/// `0.10: 2, 0.25: 1`
fn sizes(shelf: &Shelf, counts: &[u32]) -> String {
    let some = counts.iter().enumerate().filter(|(_, n)| **n > 0);
    let all: Vec<String> = some
        .map(|(i, n)| format!("{n} of {}", printed(shelf.sizes[i], shelf.unit)))
        .collect();
    all.join(", ")
}
