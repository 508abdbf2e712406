//! What chance does at the bench: one stream of figures, each told what it is for.

use crate::dice::{Dice, Drawn};

/// What a figure drawn at the bench is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    /// Whether the sign of the marks is taken the wrong way round.
    MarkSlip,
    /// Slip-fit cones against the bearings finally pressed on.
    SetupBearing,
    /// Measuring bearing heights.
    Height,
    /// Thickness of shims, and measuring old packs.
    Thickness,
    /// The depth gauge.
    DepthGauge,
    /// Finding zero end play, or the point where backlash vanishes.
    EndPlay,
    /// The dial indicator.
    Dial,
    /// Reading the pattern.
    Pattern,
    /// Reading torque.
    Torque,
    /// Turning the pinion nut.
    Nut,
}

impl Source {
    /// All of them.
    pub const ALL: [Self; 10] = [
        Self::MarkSlip,
        Self::SetupBearing,
        Self::Height,
        Self::Thickness,
        Self::DepthGauge,
        Self::EndPlay,
        Self::Dial,
        Self::Pattern,
        Self::Torque,
        Self::Nut,
    ];
}

/// Hears every figure drawn at the bench and may put another in its place.
///
/// The bench's own stream goes on as if nobody had: what is put in the place of one figure shifts
/// no other.
pub trait Guest {
    /// A standard normal figure for this purpose: gives the one to use.
    fn normal(&mut self, source: Source, drawn: f64) -> f64;

    /// A figure uniform in 0 … 1 for this purpose: gives the one to use.
    fn uniform(&mut self, source: Source, drawn: f64) -> f64;

    /// The stream from which the ring gear is seated again, where it is another one.
    fn reseating(&mut self) -> Option<&mut Dice>;
}

/// The bench's own stream, with a guest or without.
pub(super) struct Noise<'a> {
    dice: Dice,
    guest: Option<&'a mut dyn Guest>,
}

impl<'a> Noise<'a> {
    pub(super) fn new(dice: Dice, guest: Option<&'a mut dyn Guest>) -> Self {
        Self { dice, guest }
    }

    /// A standard normal figure.
    #[inline]
    pub(super) fn normal(&mut self, source: Source) -> f64 {
        let drawn = self.dice.normal();
        match &mut self.guest {
            None => drawn,
            Some(guest) => guest.normal(source, drawn),
        }
    }

    /// Whether something of this chance happens.
    #[inline]
    pub(super) fn chance(&mut self, source: Source, share: f64) -> bool {
        let drawn = self.dice.uniform();
        let used = match &mut self.guest {
            None => drawn,
            Some(guest) => guest.uniform(source, drawn),
        };
        used < share
    }

    /// Draws how the ring gear seats once more.
    pub(super) fn reseat<T>(&mut self, draw: impl Fn(&mut Dice) -> T) -> T {
        let own = draw(&mut self.dice);
        match self.guest.as_mut().and_then(|guest| guest.reseating()) {
            None => own,
            Some(other) => draw(other),
        }
    }

    /// How many figures were taken so far.
    pub(super) fn drawn(&self) -> Drawn {
        self.dice.drawn()
    }
}
