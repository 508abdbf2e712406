//! The accounts of a drawer: pieces, money on hand, orders, jobs that waited.

use super::books::{Books, Flow};
use super::pieces::Pieces;
use super::shelf::Shelf;

/// Accounts of one series over one tape.
#[derive(Debug)]
pub(super) struct Accounts<'a> {
    prices: &'a [f64],
    /// Money in the drawer, summed over days.
    pub(super) money_days: f64,
    /// Time up to which it is summed, and the money in the drawer since.
    summed: f64,
    value: f64,
    /// Numbers of the reviews at which something was ordered.
    pub(super) orders: Vec<u64>,
    /// Numbers of the jobs that waited, on the tape.
    pub(super) waited: Vec<u32>,
    /// Flows of the pieces.
    pub(super) pieces: Pieces,
}

impl<'a> Accounts<'a> {
    /// Opens them with what is in the drawer.
    pub(super) fn new(shelf: &'a Shelf, start: &[u32]) -> Self {
        Self {
            prices: &shelf.prices,
            money_days: 0.0,
            summed: 0.0,
            value: 0.0,
            orders: Vec::new(),
            waited: Vec::new(),
            pieces: Pieces::new(start),
        }
    }
}

impl Books for Accounts<'_> {
    #[inline]
    fn went(&mut self, way: Flow, size: usize, count: i32) {
        self.pieces.went(way, size, count);
    }

    #[inline]
    fn until(&mut self, now: f64) {
        self.money_days += self.value * (now - self.summed);
        self.summed = now;
    }

    #[inline]
    fn changed(&mut self, size: usize, by: i32) {
        self.value += f64::from(by) * self.prices[size];
    }

    fn ordered(&mut self, review: u64) {
        self.orders.push(review);
    }

    #[inline]
    fn served(&mut self, job: u32, missing: u8) {
        if missing > 0 {
            self.waited.push(job);
        }
    }
}
