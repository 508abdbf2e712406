//! What chance does at the bench: one stream of figures, each told what it is for.

use crate::chance::dice::Dice;
use crate::chance::ziggurat;

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

/// Hears of every figure that the bench asks for and may put another in its place.
///
/// The bench's own stream goes on all the same: what is put in the place of one figure shifts no
/// other.
pub trait Guest {
    /// A standard normal figure for this purpose: gives the one to use. `drawn` works out the
    /// bench's own.
    fn normal(&mut self, source: Source, drawn: impl FnOnce() -> f64) -> f64;

    /// A figure uniform in 0 … 1 for this purpose: gives the one to use. `drawn` works out the
    /// bench's own.
    fn uniform(&mut self, source: Source, drawn: impl FnOnce() -> f64) -> f64;

    /// The stream from which the ring gear is seated again, where it is another one.
    fn reseating(&mut self) -> Option<&mut Dice>;

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

/// The bench's own stream, and a guest.
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

    /// Whether something of this chance happens.
    #[inline(always)]
    pub(super) fn chance(&mut self, source: Source, share: f64) -> bool {
        let bits = self.dice.bits();
        self.guest.uniform(source, || ziggurat::uniform(bits)) < share
    }

    /// Draws how the ring gear seats once more: the runout of its face.
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
