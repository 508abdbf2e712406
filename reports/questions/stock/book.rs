//! The day book: one line for each thing that happens.

use shimcast_sim::stock::{Book, DrawerEvent, Entry, Shelf};

use crate::document::{Column, Table};
use crate::figures::shims;
use crate::questions::drawer::Work;
use crate::questions::drawer::list::{printed, thickness};

/// Places on an axle, in the library's order.
const PLACES: [&str; 4] = ["pinion", "ring-gear side", "far side", "spacer"];

/// The day book.
pub(super) fn table(work: &Work, book: &Book) -> Table {
    let mut table = Table::new([Column::figures("day"), Column::words("")]);
    let mut job = None;
    for entry in &book.entries {
        let shelf = &work.shelves[entry.series];
        let name = &shelf.name;
        let what = match &entry.event {
            DrawerEvent::Job(number) if job == Some(*number) => continue,
            DrawerEvent::Job(number) => {
                job = Some(*number);
                let (_, of) = book.jobs[*number as usize];
                format!("job {}: {}", number + 1, work.setups[of].axle.name)
            }
            DrawerEvent::Ordered(counts) => format!("{name} ordered: {}", sizes(shelf, counts)),
            DrawerEvent::Delivered(counts) => format!("{name} delivered: {}", sizes(shelf, counts)),
            _ => format!("  {name} {}", of_job(shelf, entry)),
        };
        table.row([format!("{:.2}", entry.at).into(), what.into()]);
    }
    table
}

/// What happens to one series in a job.
fn of_job(shelf: &Shelf, entry: &Entry) -> String {
    let place = |place: u8| PLACES[usize::from(place)];
    match &entry.event {
        DrawerEvent::Old(mm, good, of) => format!(
            "old pack {}: {good} of {} good",
            thickness(*mm, shelf),
            shims((*of).into())
        ),
        DrawerEvent::Out(at, good, of) => {
            let of = shims((*of).into());
            format!("{}: out, {good} of {of} good", place(*at))
        }
        DrawerEvent::Built(at, mm, needs, from_bench) => format!(
            "{}: wanted {}, fitted {}, {from_bench} from the bench",
            place(*at),
            thickness(*mm, shelf),
            pack(shelf, needs)
        ),
        DrawerEvent::Missing(at, mm, needs) => format!(
            "{}: wanted {}, MISSING, {} comes specially",
            place(*at),
            thickness(*mm, shelf),
            pack(shelf, needs)
        ),
        DrawerEvent::Left(kept, over) => format!("left: {kept} put back, {over} scrapped"),
        DrawerEvent::Job(_) | DrawerEvent::Ordered(_) | DrawerEvent::Delivered(_) => String::new(),
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

/// `2 of 0.10, 1 of 0.25`
fn sizes(shelf: &Shelf, counts: &[u32]) -> String {
    let some = counts.iter().enumerate().filter(|(_, n)| **n > 0);
    let all: Vec<String> = some
        .map(|(i, n)| format!("{n} of {}", printed(shelf.sizes[i], shelf.unit)))
        .collect();
    all.join(", ")
}
