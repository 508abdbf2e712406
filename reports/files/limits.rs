//! What a figure may be.

/// What a figure may be, in the units of its file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limits {
    /// Any figure.
    Any,
    /// More than this.
    Above(f64),
    /// This or more.
    AtLeast(f64),
    /// Both ends allowed.
    Within(f64, f64),
    /// Neither end allowed.
    Between(f64, f64),
}

impl Limits {
    /// A share or a chance.
    pub(super) const SHARE: Self = Self::Within(0.0, 1.0);

    /// What a figure outside the limits breaks.
    pub(super) fn broken_by(self, x: f64) -> Option<String> {
        let (fine, rule) = match self {
            Self::Any => (true, String::new()),
            Self::Above(low) => (x > low, format!("must be above {low}")),
            Self::AtLeast(low) if low == 0.0 => (x >= low, "must not be negative".to_owned()),
            Self::AtLeast(low) => (x >= low, format!("must be at least {low}")),
            Self::Within(low, high) => (
                (low..=high).contains(&x),
                format!("must lie between {low} and {high}"),
            ),
            Self::Between(low, high) => (
                low < x && x < high,
                format!("must be above {low} and below {high}"),
            ),
        };
        (!fine).then_some(rule)
    }

    /// Both ends, each with whether it is allowed itself.
    pub fn ends(self) -> [Option<(f64, bool)>; 2] {
        match self {
            Self::Any => [None, None],
            Self::Above(low) => [Some((low, false)), None],
            Self::AtLeast(low) => [Some((low, true)), None],
            Self::Within(low, high) => [Some((low, true)), Some((high, true))],
            Self::Between(low, high) => [Some((low, false)), Some((high, false))],
        }
    }

    /// Whether every figure inside the other limits lies inside these.
    pub fn cover(self, other: Self) -> bool {
        let [low, high] = self.ends();
        let [other_low, other_high] = other.ends();
        let beyond = |end: Option<(f64, bool)>, of: Option<(f64, bool)>, sign: f64| match (end, of)
        {
            (None, _) => true,
            (Some(_), None) => false,
            (Some((end, may)), Some((of, of_may))) => {
                end * sign > of * sign || (end == of && (may || !of_may))
            }
        };
        beyond(low, other_low, -1.0) && beyond(high, other_high, 1.0)
    }

    /// The same as [`Self::told`], with one end alone told as well.
    pub fn told_whole(self) -> String {
        match self {
            Self::Above(low) => format!("above {low}"),
            Self::AtLeast(low) => format!("{low} or more"),
            _ => self.told(),
        }
    }

    /// The figures between two ends, in words; empty where there is no such end on one side.
    pub fn told(self) -> String {
        match self {
            Self::Within(low, high) => format!("{low} to {high}"),
            Self::Between(low, high) => format!("above {low} and below {high}"),
            Self::Any | Self::Above(_) | Self::AtLeast(_) => String::new(),
        }
    }
}
