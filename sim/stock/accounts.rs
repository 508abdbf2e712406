//! The accounts of a drawer: pieces, money on hand, orders, jobs that waited.

use super::books::{Books, Flow};
use super::pieces::Pieces;
use super::shelf::Shelf;
use super::tape::Span;

/// Accounts of one series over one tape.
#[derive(Debug)]
pub(super) struct Accounts<'a> {
    prices: &'a [f64],
    span: Span,
    /// Time up to which is summed, and the money in the drawer since.
    summed: f64,
    value: f64,
    /// The spell that is summed in; `None` while the drawer settles.
    spell: Option<usize>,
    /// Spell by spell.
    pub(super) spells: Vec<SpellAccount>,
    /// Numbers of the jobs that waited, on the tape.
    pub(super) waited: Vec<u32>,
    /// Flows of the pieces over the whole tape.
    pub(super) pieces: Pieces,
}

/// The accounts of a spell.
#[derive(Debug, Clone, Default)]
pub(super) struct SpellAccount {
    /// Money in the drawer, summed over days.
    pub(super) money_days: f64,
    /// Numbers of the reviews at which something was ordered.
    pub(super) orders: Vec<u64>,
    /// Price of all that was ordered, and of what came specially.
    pub(super) bought: f64,
    /// For each size, pieces taken from the drawer less those put back.
    pub(super) used: Vec<i64>,
    /// Price of these.
    pub(super) used_worth: f64,
}

impl<'a> Accounts<'a> {
    /// Opens them with what is in the drawer.
    pub(super) fn new(shelf: &'a Shelf, start: &[u32], span: Span) -> Self {
        let spell = SpellAccount {
            used: vec![0; start.len()],
            ..SpellAccount::default()
        };
        Self {
            prices: &shelf.prices,
            span,
            summed: 0.0,
            value: 0.0,
            spell: span.at(0.0),
            spells: vec![spell; span.spells as usize],
            waited: Vec::new(),
            pieces: Pieces::new(start),
        }
    }

    /// The end of the present spell, or of settling.
    fn end(&self) -> f64 {
        match self.spell {
            None => self.span.settling,
            Some(spell) if spell + 1 == self.spells.len() => f64::INFINITY,
            Some(spell) => self.span.settling + self.span.spell * (spell + 1) as f64,
        }
    }

    #[inline]
    fn present(&mut self) -> Option<&mut SpellAccount> {
        self.spell.map(|spell| &mut self.spells[spell])
    }
}

impl Books for Accounts<'_> {
    #[inline]
    fn went(&mut self, way: Flow, size: usize, count: i32) {
        self.pieces.went(way, size, count);
        let price = self.prices[size];
        if let Some(spell) = self.present() {
            match way {
                Flow::Used => {
                    spell.used[size] += i64::from(count);
                    spell.used_worth += price * f64::from(count);
                }
                Flow::Special => spell.bought += price * f64::from(count),
                _ => {}
            }
        }
    }

    #[inline]
    fn until(&mut self, now: f64) {
        while self.summed < now {
            let (value, summed, end) = (self.value, self.summed, self.end());
            let to = now.min(end);
            if let Some(spell) = self.present() {
                spell.money_days += value * (to - summed);
            }
            self.summed = to;
            if to >= end {
                self.spell = Some(self.spell.map_or(0, |spell| spell + 1));
            }
        }
    }

    #[inline]
    fn changed(&mut self, size: usize, by: i32) {
        self.value += f64::from(by) * self.prices[size];
    }

    fn ordered(&mut self, review: u64, counts: &[(usize, i32)]) {
        let priced = counts.iter().map(|(i, count)| (self.prices[*i], *count));
        let price: f64 = priced.map(|(price, count)| price * f64::from(count)).sum();
        if let Some(spell) = self.present() {
            spell.orders.push(review);
            spell.bought += price;
        }
    }

    #[inline]
    fn served(&mut self, job: u32, missing: u8) {
        if missing > 0 {
            self.waited.push(job);
        }
    }
}
