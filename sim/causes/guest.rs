//! Replays of a rebuild with the figures of one purpose replaced.

use crate::bench::{Guest, Source};
use crate::chance::dice::{Address, Dice, Purpose};

/// Logs the figures drawn, purpose by purpose, and changes nothing.
#[derive(Debug, Clone, Default)]
pub(super) struct Log([Vec<f64>; Source::ALL.len()]);

impl Log {
    pub(super) fn clear(&mut self) {
        self.0.iter_mut().for_each(Vec::clear);
    }
}

impl Guest for Log {
    fn normal(&mut self, source: Source, drawn: impl FnOnce() -> f64) -> f64 {
        let drawn = drawn();
        self.0[source as usize].push(drawn);
        drawn
    }

    fn uniform(&mut self, source: Source, drawn: impl FnOnce() -> f64) -> f64 {
        self.normal(source, drawn)
    }

    fn reseating(&mut self) -> Option<&mut Dice> {
        None
    }
}

/// Source of the figures that replace those of one purpose.
pub(super) enum Replacement<'a> {
    /// Drawn anew.
    Anew(Dice),
    /// Those of another job, in order.
    From(std::slice::Iter<'a, f64>),
}

/// Replays the logged figures of a job purpose by purpose, in order, with those of one purpose
/// replaced: so a change early in the job shifts no figure of another purpose later on.
pub(super) struct Rerun<'a> {
    log: &'a Log,
    taken: [usize; Source::ALL.len()],
    /// The purpose, where there is one.
    source: Option<Source>,
    /// Whether the seating of the ring gear is drawn anew as well.
    reseats: bool,
    instead: Replacement<'a>,
    /// For figures beyond those logged.
    further: Dice,
}

impl<'a> Rerun<'a> {
    /// The same job with one purpose drawn anew.
    pub(super) fn anew(log: &'a Log, source: Option<Source>, reseats: bool, away: Address) -> Self {
        Self {
            log,
            taken: [0; Source::ALL.len()],
            source,
            reseats,
            instead: Replacement::Anew(away.stream(Purpose::Bench)),
            further: away.partner().stream(Purpose::Bench),
        }
    }

    /// The same job with another job's figures for one purpose.
    pub(super) fn with(log: &'a Log, source: Source, of: &'a Log, away: Address) -> Self {
        Self {
            log,
            taken: [0; Source::ALL.len()],
            source: Some(source),
            reseats: false,
            instead: Replacement::From(of.0[source as usize].iter()),
            further: away.partner().stream(Purpose::Bench),
        }
    }

    /// The figure to use, or the stream to draw it from.
    fn next(&mut self, source: Source) -> Result<f64, &mut Dice> {
        let logged = if self.source == Some(source) {
            match &mut self.instead {
                Replacement::Anew(dice) => return Err(dice),
                Replacement::From(left) => left.next(),
            }
        } else {
            let place = &mut self.taken[source as usize];
            *place += 1;
            self.log.0[source as usize].get(*place - 1)
        };
        logged.copied().ok_or(&mut self.further)
    }
}

impl Guest for Rerun<'_> {
    fn normal(&mut self, source: Source, _: impl FnOnce() -> f64) -> f64 {
        self.next(source).unwrap_or_else(|dice| dice.normal())
    }

    fn uniform(&mut self, source: Source, _: impl FnOnce() -> f64) -> f64 {
        self.next(source).unwrap_or_else(|dice| dice.uniform())
    }

    fn reseating(&mut self) -> Option<&mut Dice> {
        match &mut self.instead {
            Replacement::Anew(dice) if self.reseats => Some(dice),
            _ => None,
        }
    }
}
