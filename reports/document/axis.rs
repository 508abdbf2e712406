//! Axes: where they begin and end, and where they are marked.

/// One axis in the units that it is marked in.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// Where it begins.
    pub low: f64,
    /// Where it ends.
    pub high: f64,
    /// What it measures, with the unit.
    pub label: String,
    /// Its marks, each with its text.
    pub marks: Vec<(f64, String)>,
}

impl Axis {
    /// From end to end, marked at round figures, about this many.
    pub fn new(low: f64, high: f64, label: impl Into<String>, about: usize) -> Self {
        let (low, high) = if high > low {
            (low, high)
        } else {
            (low - 0.5, low + 0.5)
        };
        let step = nice_width((high - low) / about.max(1) as f64);
        let places = (-step.log10()).ceil().clamp(0.0, 6.0) as usize;
        let first = (low / step - 1e-6).ceil() as i64;
        let last = (high / step + 1e-6).floor() as i64;
        let marks = (first..=last).map(|i| {
            let at = i as f64 * step;
            (at, format!("{:.places$}", if i == 0 { 0.0 } else { at }))
        });
        Self {
            low,
            high,
            label: label.into(),
            marks: marks.collect(),
        }
    }

    /// A percentage from nothing to above this share.
    pub fn percent(most: f64, label: impl Into<String>) -> Self {
        let top = 100.0 * most.clamp(1e-4, 1.0);
        let step = nice_width(top / 4.0);
        let high = ((1.03 * top / step).ceil() * step).min(if most > 0.96 { 108.0 } else { 100.0 });
        let mut axis = Self::new(0.0, high, label, 5);
        axis.marks.retain(|(at, _)| *at <= 100.0);
        axis
    }

    /// Marked at single places instead.
    pub fn marked(mut self, marks: Vec<(f64, String)>) -> Self {
        self.marks = marks;
        self
    }
}

/// The least and the greatest of the figures that are known.
pub fn ends(figures: impl Iterator<Item = f64>) -> (f64, f64) {
    figures
        .filter(|x| x.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
            (low.min(x), high.max(x))
        })
}

/// The round width, 1, 2 or 5 times a power of ten, that is not below this one.
pub fn nice_width(width: f64) -> f64 {
    let power = 10_f64.powf(width.log10().floor());
    let times = [1.0, 2.0, 5.0, 10.0];
    let fits = times.iter().find(|t| **t * power >= width * (1.0 - 1e-9));
    power * fits.unwrap_or(&10.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_round_and_not_too_small() {
        for (width, nice) in [(0.0013, 0.002), (0.2, 0.2), (3.0, 5.0), (7.0, 10.0)] {
            assert!((nice_width(width) / nice - 1.0).abs() < 1e-9, "{width}");
        }
    }

    #[test]
    fn marks_lie_on_the_axis() {
        for (low, high) in [
            (0.13, 0.2),
            (-0.31, 0.44),
            (5.0, 5.0),
            (0.0, 1e-4),
            (3.0, 900.0),
        ] {
            let axis = Axis::new(low, high, "x", 6);
            assert!((2..=14).contains(&axis.marks.len()), "{axis:?}");
            let slack = 1e-6 * (axis.high - axis.low);
            for (at, text) in &axis.marks {
                assert!(axis.low - slack <= *at && *at <= axis.high + slack);
                assert!(text != "-0");
            }
        }
    }
}
