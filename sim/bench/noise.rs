//! Random figures at the bench: one stream, each figure with its purpose.

use super::PackPlace;
use crate::chance::dice::Dice;
use crate::chance::ziggurat;

/// The purpose of a figure drawn at the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    /// Whether the sign of the marks is misread.
    MarkSlip,
    /// Slip-fit cones against the bearings finally pressed on.
    SetupBearing,
    /// Measuring bearing heights.
    Height,
    /// Thickness of shims, and measuring old packs.
    Thickness,
    /// The depth gauge.
    DepthGauge,
    /// Finding zero end play, or zero backlash.
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

/// Sees every figure that the bench draws and every pack that it fits, and may replace them.
///
/// The bench's own stream advances all the same, so a replaced figure shifts no other.
pub trait Guest {
    /// Gives the standard normal figure to use for this purpose; `drawn` gives the bench's own.
    fn normal(&mut self, source: Source, drawn: impl FnOnce() -> f64) -> f64;

    /// Gives the figure uniform in 0 … 1 to use for this purpose; `drawn` gives the bench's own.
    fn uniform(&mut self, source: Source, drawn: impl FnOnce() -> f64) -> f64;

    /// The stream from which the seating of the ring gear is drawn, where it is not the bench's
    /// own.
    fn reseating(&mut self) -> Option<&mut Dice>;

    /// Gives the printed sum, mm, of what is fitted at a place; `wanted` is that of the pack asked for.
    #[inline(always)]
    fn fits(&mut self, place: PackPlace, wanted: f64) -> f64 {
        let _ = place;
        wanted
    }

    /// The ring gear was seated again, with this runout of its face as a vector, peak to peak.
    #[inline(always)]
    fn reseated(&mut self, face: [f64; 2]) {
        let _ = face;
    }
}

/// No guest: every figure is the bench's own.
impl Guest for () {
    #[inline(always)]
    fn normal(&mut self, _: Source, drawn: impl FnOnce() -> f64) -> f64 {
        drawn()
    }

    #[inline(always)]
    fn uniform(&mut self, _: Source, drawn: impl FnOnce() -> f64) -> f64 {
        drawn()
    }

    #[inline(always)]
    fn reseating(&mut self) -> Option<&mut Dice> {
        None
    }
}

/// The bench's own stream and a guest.
pub(super) struct Noise<'a, G> {
    dice: Dice,
    guest: &'a mut G,
}

impl<'a, G: Guest> Noise<'a, G> {
    pub(super) fn new(dice: Dice, guest: &'a mut G) -> Self {
        Self { dice, guest }
    }

    /// A standard normal figure.
    #[inline(always)]
    pub(super) fn normal(&mut self, source: Source) -> f64 {
        let bits = self.dice.bits();
        self.guest.normal(source, || ziggurat::normal(bits))
    }

    /// Whether an event of this probability happens.
    #[inline(always)]
    pub(super) fn chance(&mut self, source: Source, share: f64) -> bool {
        let bits = self.dice.bits();
        self.guest.uniform(source, || ziggurat::uniform(bits)) < share
    }

    /// The printed sum, mm, of what is fitted for a wanted pack.
    #[inline(always)]
    pub(super) fn fits(&mut self, place: PackPlace, wanted: f64) -> f64 {
        self.guest.fits(place, wanted)
    }

    /// Draws the seating of the ring gear again: the runout of its face.
    pub(super) fn reseat(&mut self, draw: impl Fn(&mut Dice) -> [f64; 2]) -> [f64; 2] {
        let own = draw(&mut self.dice);
        let face = match self.guest.reseating() {
            None => own,
            Some(other) => draw(other),
        };
        self.guest.reseated(face);
        face
    }
}
