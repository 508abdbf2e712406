//! The day book: a line for each series that a job, an order or a delivery concerns.

use shimcast_sim::stock::{Book, Counts, Entry, Happening, MissingPack, Shelf};

use crate::document::{Column, Table};
use crate::questions::drawer::Work;
use crate::questions::drawer::list::{printed, thickness};

/// How to read it.
pub(super) const READING: &str = "day 0 is the start, day 1 the first 24 hours; what a job takes of a \
     size is less what it puts back of it; scrapped are good shims for which the drawer has no room";

/// Places on an axle, in the library's order.
const PLACES: [&str; 4] = ["pinion", "ring-gear side", "far side", "spacer"];

/// The day book. What a job, an order or a delivery is called stands before the first of its series.
pub(super) fn table(work: &Work, book: &Book) -> Table {
    let blank = || Column::words("");
    let mut table = Table::new([blank(), blank(), blank(), blank()]);
    let mut before = None;
    for entry in &book.entries {
        let shelf = &work.shelves[entry.series];
        let day = format!("day {}", day(entry.at));
        let title = match &entry.what {
            Happening::Job { number, .. } => {
                let (_, line) = book.jobs[*number as usize];
                format!("job {}: {}", number + 1, work.setups[line].axle.name)
            }
            Happening::Ordered(_) => "ordered".to_owned(),
            Happening::Delivered(_) => "delivered".to_owned(),
            _ => continue,
        };
        let named = Some((entry.at, title.clone()));
        let (day, title) = match named == before {
            true => (String::new(), String::new()),
            false => (day, title),
        };
        before = named;
        let series = shelf.name.as_str();
        table.row([
            day.into(),
            title.into(),
            series.into(),
            what(shelf, entry).into(),
        ]);
    }
    table
}

/// The day in which a time, days from the start, lies: what happens at the start itself is of day 0, and
/// what happens when a day is over is still of that day.
fn day(at: f64) -> u32 {
    // times are multiplied from intervals
    (at - 1e-9).ceil().max(0.0) as u32
}

/// What happens to one series.
fn what(shelf: &Shelf, entry: &Entry) -> String {
    let counted = |counts: &Counts| of_each(shelf, counts, Some(&entry.left));
    let (took, put_back, missing, scrapped) = match &entry.what {
        Happening::Ordered(counts) | Happening::Delivered(counts) => return counted(counts),
        Happening::Job {
            took,
            put_back,
            missing,
            scrapped,
            ..
        } => (took, put_back, missing, scrapped),
        _ => return String::new(),
    };
    let mut parts: Vec<String> = missing.iter().map(|pack| of_missing(shelf, pack)).collect();
    if !took.is_empty() {
        parts.push(format!("took {}", counted(took)));
    }
    if !put_back.is_empty() {
        parts.push(format!("put back {}", counted(put_back)));
    }
    if parts.is_empty() {
        parts.push("nothing taken".to_owned());
    }
    if *scrapped > 0 {
        parts.push(format!("{scrapped} scrapped"));
    }
    parts.join("; ")
}

/// A pack that is not there, and what comes for it.
fn of_missing(shelf: &Shelf, pack: &MissingPack) -> String {
    format!(
        "MISSING {} for the {}, {} comes specially",
        thickness(pack.wanted, shelf),
        PLACES[usize::from(pack.place)],
        of_each(shelf, &pack.special, None)
    )
}

/// `2 × 0.10 (1), 0.25 (0)`: in brackets what is left of a size.
fn of_each(shelf: &Shelf, counts: &Counts, left: Option<&Vec<u32>>) -> String {
    let each = counts.iter().map(|(i, count)| {
        let size = printed(shelf.sizes[*i], shelf.unit);
        let pieces = match count {
            1 => size,
            n => format!("{n} × {size}"),
        };
        match left.map(|left| left[*i]) {
            None => pieces,
            Some(n) => format!("{pieces} ({n})"),
        }
    });
    each.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_from_one_and_end_with_their_last_moment() {
        let days = [0.0, 0.01, 1.0, 3.83, 14.0, 14.000_000_000_1, 14.1, 18.0];
        assert_eq!(days.map(day), [0, 1, 1, 4, 14, 14, 15, 18]);
    }
}
