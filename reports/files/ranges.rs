//! Ranges as people type them, which files write as lists or as tolerances.

use super::measure::show;

/// A range that somebody typed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Typed {
    /// `0.005-0.008`, `0.005 to 0.008`.
    FromTo(f64, f64),
    /// `0.15±0.02`, `0.15 +/- 0.02`.
    Either(f64, f64),
}

/// What stands between the ends of a range; the longer of two that begin alike comes first.
const BETWEEN: [&str; 6] = ["..", "…", "to", "–", "—", "-"];
const EITHER: [&str; 4] = ["±", "+/-", "+-", "+/−"];

impl Typed {
    /// The range in a text, if it is one.
    pub(super) fn of(text: &str) -> Option<Self> {
        let number = |text: &str| -> Option<f64> {
            let x: f64 = text.trim().parse().ok()?;
            x.is_finite().then_some(x)
        };
        for sign in EITHER {
            if let Some((middle, half)) = text.split_once(sign) {
                return Some(Self::Either(number(middle)?, number(half)?));
            }
        }
        BETWEEN.iter().find_map(|between| {
            // a sign at the start is no dash
            let at = 1 + text.get(1..)?.find(between)?;
            let (from, to) = (&text[..at], &text[at + between.len()..]);
            Some(Self::FromTo(number(from)?, number(to)?))
        })
    }

    /// Its ends, the lower one first.
    pub(super) fn ends(self) -> [f64; 2] {
        match self {
            Self::FromTo(a, b) => [a.min(b), a.max(b)],
            // no more digits than were typed
            Self::Either(x, half) => [x - half.abs(), x + half.abs()].map(round),
        }
    }

    /// How a file writes it as a window.
    pub(super) fn as_window(self, key: &str) -> String {
        let [low, high] = self.ends().map(show);
        format!("a window is a list, the lower end first: write {key} = [{low}, {high}]")
    }

    /// How a file writes it as a tolerance.
    pub(super) fn as_tolerance(self, key: &str) -> String {
        let [low, high] = self.ends();
        let (middle, half) = match self {
            Self::FromTo(..) => (round(0.5 * (low + high)), round(0.5 * (high - low))),
            Self::Either(middle, half) => (middle, half),
        };
        let [middle, half] = [middle, half].map(|x| format!("{x:?}"));
        format!("write {key} = {{ nominal = {middle}, tol = {half} }}")
    }
}

fn round(x: f64) -> f64 {
    (x * 1e9).round() / 1e9
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_are_known_in_every_way_that_people_type_them() {
        for text in [
            "0.005-0.008",
            "0.005 to 0.008",
            "0.005..0.008",
            "0.008 – 0.005",
        ] {
            let typed = Typed::of(text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!(typed.ends(), [0.005, 0.008], "{text}");
        }
        for text in ["0.15±0.02", "0.15 +/- 0.02"] {
            let typed = Typed::of(text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!(typed.ends(), [0.13, 0.17], "{text}");
            assert_eq!(
                typed.as_tolerance("head_seat"),
                "write head_seat = { nominal = 0.15, tol = 0.02 }"
            );
        }
        for text in ["-0.05", "1e-3", "0.13", "P-38", "tomorrow", "-", "", "±"] {
            assert_eq!(Typed::of(text), None, "{text}");
        }
        assert_eq!(
            Typed::of("-0.05 to 0.1").map(Typed::ends),
            Some([-0.05, 0.1])
        );
    }
}
