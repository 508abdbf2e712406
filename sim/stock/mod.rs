//! The drawer: which shims to stock, and how many of each.

mod answer;
mod demand;
mod drawer;
mod plan;
mod service;
mod shelf;
mod tape;
mod tighten;
mod trials;
mod walk;

pub use answer::{Aim, Equal, Point, Question, Stock, Yearly, shelves, stock};
pub use demand::{BenchJobs, DAYS_IN_MONTH, series_of};
pub use drawer::{Event, Log, Pieces, Played, Review, Rules, Shortage};
pub use plan::{Plan, Samples, Step as Progress, best_for, cheapest, empty, equal, equal_for, onward};
pub use service::{DAYS_IN_YEAR, Service, service};
pub use shelf::{MOST_IN_PACK, Shelf};
pub use tape::{Jobs, PLACES, Sample, Step, Steps, Stretch, Tape};
pub use trials::{Levels, money};

#[cfg(test)]
mod tests;
