//! The ring's bracket: which ring-side pack to try next, and when to stop trying.

use super::axle::middle;
use super::bench::Job;
use super::packs::Pack;

const NEAR: f64 = 1e-9;

/// A pack that read out of its window, and by how much its worst point was outside.
#[derive(Clone, Copy)]
struct End {
    printed: f64,
    outside: f64,
}

/// What the backlash readings have told of the ring's place since the bracket started.
#[derive(Default)]
pub struct RingBracket {
    thinnest_too_tight: Option<End>,
    thickest_too_loose: Option<End>,
    gone_back: bool,
}

impl RingBracket {
    /// Of a pack that is read twice the later reading counts: only then does it stand with the
    /// total that it is judged by.
    fn note(&mut self, end: End, is_tight: bool) {
        if is_tight {
            if self
                .thinnest_too_tight
                .is_none_or(|old| end.printed < old.printed + NEAR)
            {
                self.thinnest_too_tight = Some(end);
            }
        } else if self
            .thickest_too_loose
            .is_none_or(|old| end.printed > old.printed - NEAR)
        {
            self.thickest_too_loose = Some(end);
        }
    }

    /// Loose end and tight end, where both stand.
    fn ends(&self) -> Option<(End, End)> {
        self.thickest_too_loose.zip(self.thinnest_too_tight)
    }
}

impl Job<'_> {
    /// The ring-side pack for the next assembly; the one that is fitted where it should stay.
    /// `outside`: by how much the worst point was, where one was.
    pub fn choose_ring_pack(
        &self,
        bracket: &mut RingBracket,
        mean: f64,
        outside: Option<f64>,
        rise_is_wrong: bool,
    ) -> Pack {
        let aim = middle(self.axle.windows.backlash);
        let printed = self.ring.printed;
        let mut want = printed - (aim - mean) / self.ring_belief;
        let is_tight = mean < aim - NEAR;
        let is_loose = mean > aim + NEAR;
        if let Some(outside) = outside
            && (is_tight || is_loose)
        {
            bracket.note(End { printed, outside }, is_tight);
        }

        let ends = bracket.ends();
        let between = |x: f64| {
            ends.is_none_or(|(loose, tight)| x > loose.printed + NEAR && x < tight.printed - NEAR)
        };
        if let Some((loose, tight)) = ends
            && !between(want)
        {
            want = (loose.printed + tight.printed) / 2.0;
        }
        let pack = self.stocks.side.nearest(want);

        let Some(outside) = outside.filter(|_| !rise_is_wrong) else {
            return pack;
        };
        let stay = self.stocks.side.nearest(printed);
        if bracket.gone_back {
            return stay;
        }
        if let Some((loose, tight)) = ends
            && !between(pack.printed)
        {
            // Nothing in between can be built: the better of the two ends it.
            let other = if is_tight {
                Some(loose)
            } else {
                is_loose.then_some(tight)
            };
            return match other.filter(|end| end.outside < outside - NEAR) {
                Some(end) => {
                    bracket.gone_back = true;
                    self.stocks.side.nearest(end.printed)
                }
                None => stay,
            };
        }
        pack
    }
}
