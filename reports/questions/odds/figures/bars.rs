//! The bars of a histogram as rows of a table.

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::count::histogram::Bins;

use crate::document::Cell;
use crate::figures::Digits;

/// The ends of bars, and of what lies below the first and above the last.
pub fn ends(start: f64, width: f64, number: usize) -> Vec<[Option<f64>; 2]> {
    let edges = (0..=number).map(|i| Some(start + i as f64 * width));
    let ends: Vec<Option<f64>> = [None].into_iter().chain(edges).chain([None]).collect();
    ends.windows(2).map(|ends| [ends[0], ends[1]]).collect()
}

/// A bar's name.
pub fn name(ends: [Option<f64>; 2], places: usize) -> String {
    let edge = |x: f64| Digits::decimals(places).text(x);
    match ends {
        [Some(from), Some(to)] => format!("{} to {}", edge(from), edge(to)),
        [Some(from), None] => format!("{} and more", edge(from)),
        [None, to] => format!("below {}", edge(to.unwrap_or_default())),
    }
}

/// A bar's end for other tools.
pub fn end(end: Option<f64>) -> Cell {
    end.map_or_else(Cell::empty, Cell::data)
}

/// Jobs in a bar, counted from what lies below the first one.
pub fn jobs(bins: &Bins, bar: usize) -> u64 {
    match bar {
        0 => bins.below,
        bar => bins.counts.get(bar - 1).copied().unwrap_or(bins.above),
    }
}

/// Their share of all.
pub fn share(bins: &Bins, bar: usize) -> Cell {
    let all = bins.below + bins.counts.iter().sum::<u64>() + bins.above;
    Cell::share(&Estimate::share(jobs(bins, bar), all))
}
