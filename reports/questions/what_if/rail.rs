//! The rail that a figure is moved along.

use crate::document::nice_width;

/// A rail has about this many stops.
const STOPS: f64 = 50.0;
/// A share of a step within which a figure is at a stop.
const SLIGHT: f64 = 1e-9;

/// What a figure is, and what it may be, in the unit of its file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Figure {
    /// What the file says.
    pub(super) own: f64,
    /// The least and the most that is usual.
    pub(super) usual: [f64; 2],
    /// How many times this the rail goes, and how many parts of it.
    pub(super) around: f64,
    /// Whether the rail goes down to none of it.
    pub(super) none: bool,
    /// Whether it is counted.
    pub(super) whole: bool,
    /// What it must not leave, both ends allowed.
    pub(super) inside: [f64; 2],
}

/// A rail: its ends and its step, in the unit of the file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rail {
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) step: f64,
}

impl Figure {
    /// The rail around the file's own figure, inside what is usual.
    pub(super) fn rail(&self) -> Rail {
        let [least, most] = self.usual;
        let (mut low, mut high) = match self.own {
            0.0 => (least, most),
            own => (least.max(own / self.around), most.min(own * self.around)),
        };
        if self.none {
            low = 0.0;
        }
        let [from, to] = self.inside;
        (low, high) = (low.max(from).min(self.own), high.min(to).max(self.own));
        let step = match nice_width(((high - low) / STOPS).max(f64::MIN_POSITIVE)) {
            step if self.whole => step.max(1.0),
            step => step,
        };
        // ends are stops where that leaves nothing that must not be left
        let stop = |x: f64, towards: fn(f64) -> f64| clean(towards(x / step) * step, step);
        let [before, behind] = [stop(low + SLIGHT * step, f64::floor), stop(low, f64::ceil)];
        let first = match before {
            stop if stop >= from && (stop > 0.0 || self.none) => stop,
            _ => behind.min(self.own),
        };
        let [before, behind] = [
            stop(high, f64::floor),
            stop(high - SLIGHT * step, f64::ceil),
        ];
        let last = match behind {
            stop if stop <= to => stop,
            _ => before.max(self.own),
        };
        Rail {
            low: first,
            high: last,
            step: clean(step, step),
        }
    }
}

impl Rail {
    /// Half way from a figure to either end, at a stop; without those where it stands already.
    pub(super) fn half_ways(&self, own: f64) -> Vec<f64> {
        let half_way = |end: f64| {
            let at = ((0.5 * (own + end) - self.low) / self.step).round();
            clean(self.low + at * self.step, self.step).clamp(self.low, self.high)
        };
        let mut ways = vec![half_way(self.low), half_way(self.high)];
        ways.retain(|at| *at != own);
        ways
    }
}

/// The graduations that instruments have, 1, 2 or 5 times a power of ten, from here to there.
pub(super) fn graduations([low, high]: [f64; 2]) -> Vec<f64> {
    let mut all = Vec::new();
    let mut at = nice_width(low);
    while at <= high * (1.0 + 1e-9) {
        all.push(clean(at, at));
        at = nice_width(1.5 * at);
    }
    all
}

/// A figure without the noise of adding up steps.
fn clean(figure: f64, step: f64) -> f64 {
    let places = (2.0 - step.log10().floor()).clamp(0.0, 12.0) as usize;
    let clean: f64 = format!("{figure:.places$}").parse().unwrap_or(figure);
    clean + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figure(own: f64, usual: [f64; 2]) -> Figure {
        Figure {
            own,
            usual,
            around: 3.0,
            none: false,
            whole: false,
            inside: [f64::NEG_INFINITY, f64::INFINITY],
        }
    }

    fn ends(of: Figure) -> [f64; 3] {
        let Rail { low, high, step } = of.rail();
        [low, high, step]
    }

    #[test]
    fn a_rail_goes_round_the_figure_and_stays_among_what_is_usual() {
        assert_eq!(ends(figure(0.06, [0.008, 0.4])), [0.02, 0.18, 0.005]);
        assert_eq!(ends(figure(0.85, [0.4, 1.5])), [0.4, 1.5, 0.05]);
        let spread = Figure {
            none: true,
            ..figure(0.02, [0.004, 0.12])
        };
        assert_eq!(ends(spread), [0.0, 0.06, 0.002]);
        let margin = Figure {
            none: true,
            ..figure(0.0, [0.01, 0.3])
        };
        assert_eq!(ends(margin), [0.0, 0.3, 0.01]);
    }

    #[test]
    fn what_is_far_from_usual_is_on_its_rail_all_the_same() {
        for own in [1e-5, 0.3, 44.0] {
            let Rail { low, high, step } = figure(own, [0.5, 4.0]).rail();
            assert!(
                low <= own && own <= high && low > 0.0 && step > 0.0,
                "{own}"
            );
        }
    }

    #[test]
    fn what_is_counted_has_whole_stops() {
        let count = Figure {
            whole: true,
            ..figure(4.0, [1.0, 30.0])
        };
        assert_eq!(ends(count), [1.0, 12.0, 1.0]);
        assert_eq!(count.rail().half_ways(4.0), [3.0, 8.0]);
    }

    #[test]
    fn what_must_not_be_left_is_not() {
        let lower_end = Figure {
            inside: [f64::NEG_INFINITY, 0.1965],
            ..figure(0.13, [0.03, 0.5])
        };
        assert_eq!(ends(lower_end), [0.04, 0.195, 0.005]);
        let least = Figure {
            inside: [0.052, 0.058],
            ..figure(0.055, [0.03, 0.5])
        };
        assert_eq!(ends(least), [0.052, 0.058, 0.0002]);
    }

    #[test]
    fn graduations_are_those_that_instruments_have() {
        assert_eq!(graduations([0.002, 0.06]), [0.002, 0.005, 0.01, 0.02, 0.05]);
    }
}
