//! The day book: everything that happens to a drawer over some days, in order.

use super::books::Books;
use super::demand::BenchJobs;
use super::drawer::play;
use super::events::DrawerEvent;
use super::shelf::Shelf;
use super::tape::{Span, Stretch, Tape};
use super::trials::Levels;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::shop::Drawer;

/// One entry.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Entry {
    /// When, days from the start.
    pub at: f64,
    /// The series that it concerns.
    pub series: usize,
    /// What happens.
    pub event: DrawerEvent,
}

/// A day book.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Book {
    /// The jobs: when each comes, days, and its line.
    pub jobs: Vec<(f64, usize)>,
    /// All events, in order.
    pub entries: Vec<Entry>,
}

struct Pages<'a> {
    series: usize,
    entries: &'a mut Vec<Entry>,
}

impl Books for Pages<'_> {
    fn event(&mut self, at: f64, event: impl FnOnce() -> DrawerEvent) {
        self.entries.push(Entry {
            at,
            series: self.series,
            event: event(),
        });
    }
}

/// The day book of a shop over some days, with these levels and counts at the start.
pub fn day_book(
    lines: &[(&Setup, f64)],
    shelves: &[Shelf],
    drawer: &Drawer,
    levels: &Levels,
    start: &Levels,
    days: f64,
    seed: u64,
) -> Book {
    let names = shelves.iter().map(|s| s.name.clone()).collect();
    let jobs = BenchJobs::new(lines, names);
    let address = Address::new(seed, 0x0042_6f6f_6b21);
    let tape = Tape::draw(&jobs, shelves, address, Stretch::Days(Span::plain(days)));
    let mut entries = Vec::new();
    for (series, shelf) in shelves.iter().enumerate() {
        let mut pages = Pages {
            series,
            entries: &mut entries,
        };
        play(
            shelf,
            &drawer.rules(),
            tape.reel(series),
            &levels[series],
            &start[series],
            &mut pages,
        );
    }
    // a job's series one after the other, each in order
    entries.sort_by(|a, b| a.at.total_cmp(&b.at).then(a.series.cmp(&b.series)));
    Book {
        jobs: tape.jobs,
        entries,
    }
}
