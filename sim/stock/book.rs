//! The day book: everything that happens to a drawer over some days, in order.

use super::books::Books;
use super::demand::BenchJobs;
use super::drawer::play_from;
use super::events::DrawerEvent;
use super::present::Present;
use super::shelf::Shelf;
use super::tape::{Span, Stretch, Tape};
use super::trials::Levels;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::shop::Drawer;

/// Sizes, by their place in the series, each with a count.
pub type Counts = Vec<(usize, u32)>;

/// A pack that could not be built.
#[derive(Debug, Clone, PartialEq)]
pub struct MissingPack {
    /// Its place on the axle.
    pub place: u8,
    /// The thickness wanted, as printed, mm.
    pub wanted: f64,
    /// What comes specially for it.
    pub special: Counts,
}

/// What happens to one series.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Happening {
    /// A job, from its beginning to its end.
    Job {
        /// Its number, from 0.
        number: u32,
        /// Sizes of which there are fewer in the drawer than before it, by so many.
        took: Counts,
        /// Sizes of which there are more.
        put_back: Counts,
        /// Packs that could not be built.
        missing: Vec<MissingPack>,
        /// Good shims that the drawer had no room for.
        scrapped: u32,
    },
    /// So many are ordered.
    Ordered(Counts),
    /// So many are delivered.
    Delivered(Counts),
}

/// One entry.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Entry {
    /// When, days from the start.
    pub at: f64,
    /// The series that it concerns.
    pub series: usize,
    /// What happens.
    pub what: Happening,
    /// What is in the drawer afterwards of each size of the series.
    pub left: Vec<u32>,
}

/// A day book.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Book {
    /// The jobs: when each comes, days, and its line.
    pub jobs: Vec<(f64, usize)>,
    /// All entries, in order.
    pub entries: Vec<Entry>,
}

/// The entries of one series as they come about.
struct Pages<'a> {
    series: usize,
    entries: &'a mut Vec<Entry>,
    /// In the drawer now, by size.
    left: Vec<i32>,
    /// Of the job on the bench: its number, what was in the drawer before, packs missing.
    job: (u32, Vec<i32>, Vec<MissingPack>),
}

impl<'a> Pages<'a> {
    fn new(series: usize, sizes: usize, entries: &'a mut Vec<Entry>) -> Self {
        Self {
            series,
            entries,
            left: vec![0; sizes],
            job: Default::default(),
        }
    }

    fn enter(&mut self, at: f64, what: Happening) {
        self.entries.push(Entry {
            at,
            series: self.series,
            what,
            left: self.left.iter().map(|n| (*n).max(0) as u32).collect(),
        });
    }

    /// What a job that has left did to the drawer.
    fn done(&mut self, scrapped: u32) -> Happening {
        let (number, before, missing) = std::mem::take(&mut self.job);
        let change = |way: i32| -> Counts {
            let both = before.iter().zip(&self.left).enumerate();
            let changes = both.map(|(i, (before, left))| (i, way * (left - before)));
            let some = changes.filter(|(_, count)| *count > 0);
            some.map(|(i, count)| (i, count as u32)).collect()
        };
        Happening::Job {
            number,
            took: change(-1),
            put_back: change(1),
            missing,
            scrapped,
        }
    }
}

impl Books for Pages<'_> {
    fn changed(&mut self, size: usize, by: i32) {
        self.left[size] += by;
    }

    fn event(&mut self, at: f64, event: impl FnOnce() -> DrawerEvent) {
        match event() {
            DrawerEvent::Ordered(counts) => self.enter(at, Happening::Ordered(some_of(&counts))),
            DrawerEvent::Delivered(counts) => {
                self.enter(at, Happening::Delivered(some_of(&counts)));
            }
            DrawerEvent::Job(number) => self.job = (number, self.left.clone(), Vec::new()),
            DrawerEvent::Missing(place, wanted, special) => self.job.2.push(MissingPack {
                place,
                wanted,
                special,
            }),
            DrawerEvent::Left(_, scrapped) => {
                let job = self.done(scrapped);
                self.enter(at, job);
            }
            DrawerEvent::Old(..) | DrawerEvent::Out(..) | DrawerEvent::Built(..) => {}
        }
    }
}

/// The sizes of which there are any.
fn some_of(counts: &[u32]) -> Counts {
    let all = counts.iter().copied().enumerate();
    all.filter(|(_, count)| *count > 0).collect()
}

/// The day book of a shop over some days, with these levels, from a drawer as it is now or from one at
/// its levels.
pub fn day_book(
    lines: &[(&Setup, f64)],
    shelves: &[Shelf],
    drawer: &Drawer,
    levels: &Levels,
    now: Option<&Present>,
    days: f64,
    seed: u64,
) -> Book {
    let names = shelves.iter().map(|s| s.name.clone()).collect();
    let jobs = BenchJobs::new(lines, names);
    let address = Address::new(seed, 0x0042_6f6f_6b21);
    let tape = Tape::draw(&jobs, shelves, address, Stretch::Days(Span::plain(days)));
    let mut entries = Vec::new();
    for (series, shelf) in shelves.iter().enumerate() {
        let mut pages = Pages::new(series, shelf.sizes.len(), &mut entries);
        let (rules, reel) = (drawer.rules(), tape.reel(series));
        let start = match now {
            Some(now) => (&now.counts[series][..], &now.on_order[series][..]),
            None => (&levels[series][..], &[][..]),
        };
        play_from(shelf, &rules, reel, &levels[series], start, &mut pages);
    }
    // a job's series one after the other, each in order
    entries.sort_by(|a, b| a.at.total_cmp(&b.at).then(a.series.cmp(&b.series)));
    Book {
        jobs: tape.jobs,
        entries,
    }
}
