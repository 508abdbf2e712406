//! The drawer: which shims to stock, and how many of each.

mod answer;
mod book;
mod demand;
mod drawer;
mod found;
mod kit;
mod plan;
mod reach;
mod service;
mod shelf;
mod sizes;
mod tape;
mod tighten;
mod trials;
mod walk;

pub use answer::{Equal, Question, Stock, Yearly, shelves, stock};
pub use book::{Book, Entry, day_book};
pub use demand::{BenchJobs, DAYS_IN_MONTH, series_of};
pub use drawer::{Event, Log, Pieces, Played, Review, Rules, Shortage};
pub use found::{Aim, Point};
pub use kit::{Kit, kit};
pub use plan::{Plan, Samples, Search, Step as Progress, Watch, best_for, empty, equal, through};
pub use service::{DAYS_IN_YEAR, Service, service};
pub use shelf::{MOST_IN_PACK, MOST_SIZES, Shelf};
pub use sizes::{Addition, Advice, Spared, advice};
pub use tape::{Jobs, PLACES, Sample, Step, Steps, Stretch, Tape};
pub use trials::{Levels, money};

#[cfg(test)]
mod tests;
