//! Guests at the bench who take figures of one purpose from elsewhere.

use crate::bench::{Guest, Source};
use crate::dice::Dice;

/// Keeps what was drawn, purpose by purpose, and changes nothing.
#[derive(Debug, Clone, Default)]
pub(super) struct Log([Vec<f64>; Source::ALL.len()]);

impl Log {
    pub(super) fn clear(&mut self) {
        self.0.iter_mut().for_each(Vec::clear);
    }
}

impl Guest for Log {
    fn normal(&mut self, source: Source, drawn: f64) -> f64 {
        self.0[source as usize].push(drawn);
        drawn
    }

    fn uniform(&mut self, source: Source, drawn: f64) -> f64 {
        self.normal(source, drawn)
    }

    fn reseating(&mut self) -> Option<&mut Dice> {
        None
    }
}

/// Draws the figures of one purpose anew.
pub(super) struct Redrawn {
    source: Option<Source>,
    reseats: bool,
    dice: Dice,
}

impl Redrawn {
    pub(super) fn new(source: Option<Source>, reseats: bool, dice: Dice) -> Self {
        Self {
            source,
            reseats,
            dice,
        }
    }
}

impl Guest for Redrawn {
    fn normal(&mut self, source: Source, drawn: f64) -> f64 {
        if self.source == Some(source) {
            self.dice.normal()
        } else {
            drawn
        }
    }

    fn uniform(&mut self, source: Source, drawn: f64) -> f64 {
        if self.source == Some(source) {
            self.dice.uniform()
        } else {
            drawn
        }
    }

    fn reseating(&mut self) -> Option<&mut Dice> {
        self.reseats.then_some(&mut self.dice)
    }
}

/// Takes the figures of one purpose from another job's log, in order, as far as it goes; what that
/// job never drew may be anything, so it is as drawn.
pub(super) struct Replayed<'a> {
    source: Source,
    left: std::slice::Iter<'a, f64>,
}

impl<'a> Replayed<'a> {
    pub(super) fn new(source: Source, log: &'a Log) -> Self {
        Self {
            source,
            left: log.0[source as usize].iter(),
        }
    }
}

impl Guest for Replayed<'_> {
    fn normal(&mut self, source: Source, drawn: f64) -> f64 {
        if source == self.source {
            self.left.next().copied().unwrap_or(drawn)
        } else {
            drawn
        }
    }

    fn uniform(&mut self, source: Source, drawn: f64) -> f64 {
        self.normal(source, drawn)
    }

    fn reseating(&mut self) -> Option<&mut Dice> {
        None
    }
}
