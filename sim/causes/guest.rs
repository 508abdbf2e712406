//! Guests at the bench who take figures of one purpose from elsewhere.

use crate::bench::{Guest, Source};
use crate::dice::{Address, Dice, Purpose};

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

/// Gives every purpose the figures that another run of the job drew for it, in order, but draws those
/// of one purpose anew: so a change early in the job shifts no figure of another purpose later on.
pub(super) struct Redrawn<'a> {
    log: &'a Log,
    taken: [usize; Source::ALL.len()],
    /// The purpose drawn anew.
    source: Option<Source>,
    /// Whether the ring gear seats anew as well.
    reseats: bool,
    anew: Dice,
    /// For what the other run never came to draw.
    further: Dice,
}

impl<'a> Redrawn<'a> {
    pub(super) fn new(log: &'a Log, source: Option<Source>, reseats: bool, away: Address) -> Self {
        Self {
            log,
            taken: [0; Source::ALL.len()],
            source,
            reseats,
            anew: away.stream(Purpose::Bench),
            further: away.partner().stream(Purpose::Bench),
        }
    }

    /// What the other run drew next for this purpose.
    fn next(&mut self, source: Source) -> Option<f64> {
        let place = &mut self.taken[source as usize];
        let figure = self.log.0[source as usize].get(*place).copied();
        *place += 1;
        figure
    }
}

impl Guest for Redrawn<'_> {
    fn normal(&mut self, source: Source, _: f64) -> f64 {
        if self.source == Some(source) {
            self.anew.normal()
        } else {
            self.next(source).unwrap_or_else(|| self.further.normal())
        }
    }

    fn uniform(&mut self, source: Source, _: f64) -> f64 {
        if self.source == Some(source) {
            self.anew.uniform()
        } else {
            self.next(source).unwrap_or_else(|| self.further.uniform())
        }
    }

    fn reseating(&mut self) -> Option<&mut Dice> {
        self.reseats.then_some(&mut self.anew)
    }
}

/// Takes the figures of one purpose, and no other, from another job's log, in order, as far as it
/// goes; what that job never drew may be anything, so it is as drawn.
pub(super) struct Shared<'a> {
    source: Source,
    left: std::slice::Iter<'a, f64>,
}

impl<'a> Shared<'a> {
    pub(super) fn new(source: Source, log: &'a Log) -> Self {
        Self {
            source,
            left: log.0[source as usize].iter(),
        }
    }
}

impl Guest for Shared<'_> {
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
