//! Numbers as people read them: no more digits than they carry.

use shimcast_sim::count::estimate::{Estimate, at_most_when_none};
use shimcast_sim::ratio::Between;

/// Decimals with which a number of this uncertainty is worth printing, at most `most`.
pub fn decimals(half_width: f64, most: usize) -> usize {
    if half_width > 0.0 {
        (-half_width.log10()).ceil().clamp(0.0, most as f64) as usize
    } else {
        most
    }
}

/// Decimals at the most of what would read as nothing with fewer.
const MOST: usize = 6;

/// Below this many observations, none of them says next to nothing.
const FEW: u64 = 10;

/// A share in percent, without its interval: `27.1 %`.
pub fn percent(share: &Estimate) -> String {
    if share.n == 0 {
        return "-".into();
    }
    if share.value == 0.0 {
        return "none seen".into();
    }
    if share.value == 1.0 {
        return "all".into();
    }
    format!("{:.*} %", percent_places(share), 100.0 * share.value)
}

/// Decimals of a share in percent: what it carries, and enough not to read as none or all.
fn percent_places(share: &Estimate) -> usize {
    let carried = decimals(100.0 * share.half_width(), 3);
    let percent = 100.0 * share.value;
    (carried..6)
        .find(|places| {
            let shown = format!("{percent:.*}", *places);
            shown.parse().is_ok_and(|x: f64| x > 0.0 && x < 100.0)
        })
        .unwrap_or(6)
}

/// Whether there are too few to say how often it is more than never, or less than always.
pub fn says_nothing(share: &Estimate) -> bool {
    (share.value == 0.0 || share.value == 1.0) && share.n < FEW
}

/// The interval of a share in percent: `26.8 to 27.3`.
pub fn percent_interval(share: &Estimate) -> String {
    if share.n == 0 {
        return String::new();
    }
    if says_nothing(share) {
        return "too few to say".into();
    }
    if share.value == 0.0 || share.value == 1.0 {
        // outwards: what is said holds for sure
        let other = 100.0 * at_most_when_none(share.n);
        let places = decimals(other, 6);
        let step = 10f64.powi(-(places as i32));
        let other = (other / step).ceil() * step;
        return if share.value == 0.0 {
            format!("below {other:.places$} %")
        } else {
            format!("above {:.places$} %", 100.0 - other)
        };
    }
    let places = percent_places(share);
    format!(
        "{:.*} to {:.*}",
        places,
        100.0 * share.low,
        places,
        100.0 * share.high
    )
}

/// A share in a sentence: `27.1 % (26.8 to 27.4)`.
pub fn said(share: &Estimate) -> String {
    let interval = percent_interval(share);
    match share.value {
        _ if share.n == 0 => "none (no job was finished)".into(),
        0.0 => format!("none ({interval})"),
        _ => format!("{} ({interval})", percent(share)),
    }
}

/// What is said of a chance that is nearly none or nearly all, however exactly it was worked out.
pub fn hardly(chance: &Estimate) -> Option<&'static str> {
    match (chance.low, chance.high) {
        (_, high) if high < 0.001 => Some("below 0.1 %"),
        (low, _) if low > 0.999 => Some("above 99.9 %"),
        _ => None,
    }
}

/// A mean or a quantile in a sentence: `2.43 (2.42 to 2.44)`.
pub fn said_mean(mean: &Estimate, most: usize) -> String {
    format!("{} ({})", number(mean, most), interval(mean, most))
}

/// A mean, a quantile: `2.43`, with at most `most` decimals.
pub fn number(estimate: &Estimate, most: usize) -> String {
    if estimate.value.is_nan() {
        return "-".into();
    }
    Digits::of(estimate, most).text(estimate.value)
}

/// Its interval: `2.42 to 2.44`.
pub fn interval(estimate: &Estimate, most: usize) -> String {
    if !(estimate.low.is_finite() && estimate.high.is_finite()) {
        return "too few to say".into();
    }
    Digits::of(estimate, most).ends(estimate)
}

/// A difference with its sign: `+0.31`, `-12`.
pub fn signed(estimate: &Estimate, most: usize) -> String {
    if estimate.value.is_nan() {
        return "-".into();
    }
    Digits::of(estimate, most).signed(estimate.value)
}

/// The interval of a difference, with signs: `+0.28 to +0.34`.
pub fn signed_interval(estimate: &Estimate, most: usize) -> String {
    if estimate.value.is_nan() {
        return String::new();
    }
    if !(estimate.low.is_finite() && estimate.high.is_finite()) {
        return "too few to say".into();
    }
    let digits = Digits::of(estimate, most);
    format!(
        "{} to {}",
        digits.signed(estimate.low),
        digits.signed(estimate.high)
    )
}

/// A figure with half its interval: `8.12 ±0.02`.
pub fn with_half(estimate: &Estimate, most: usize) -> String {
    let half = estimate.half_width();
    if !half.is_finite() || estimate.value.is_nan() {
        return number(estimate, most);
    }
    let digits = Digits::of(estimate, most);
    plus_minus(digits.text(estimate.value), &digits.text(half))
}

/// A figure with half its interval, where that says anything.
pub fn plus_minus(figure: String, half: &str) -> String {
    match half.chars().all(|c| matches!(c, '0' | '.')) {
        true => figure,
        false => format!("{figure} ±{half}"),
    }
}

/// A difference with half its interval: `-0.31 ±0.04`.
pub fn signed_with_half(difference: &Estimate, most: usize) -> String {
    let half = Digits::of(difference, most).text(difference.half_width());
    plus_minus(signed(difference, most), &half)
}

/// A share in percent with half its interval: `86.0 % ±0.2`.
pub fn percent_with_half(share: &Estimate) -> String {
    if share.n == 0 || share.value == 0.0 || share.value == 1.0 {
        return percent(share);
    }
    let (value, half) = (100.0 * share.value, 100.0 * share.half_width());
    // what would reach beyond none or all has its own ends
    if value - half < 0.0 || value + half > 100.0 {
        return format!("{} ({})", percent(share), percent_interval(share));
    }
    plus_minus(percent(share), &format!("{half:.*}", percent_places(share)))
}

/// A share of a variance in percent with its interval, both held within 0 to 100: an estimate may stray
/// beyond, a share can't. Where the ends lie more than 20 points apart it says too little.
pub fn variance_share(share: &Estimate) -> [String; 2] {
    let [value, low, high] =
        [share.value, share.low, share.high].map(|x| 100.0 * x.clamp(0.0, 1.0));
    let half = 100.0 * share.half_width();
    if !share.value.is_finite() {
        ["-".into(), String::new()]
    } else if !half.is_finite() || high - low > 20.0 {
        ["too few to say".into(), String::new()]
    } else {
        // no finer than it is known
        let places = usize::from(half < 1.0);
        let interval = format!("{low:.places$} to {high:.places$}");
        [format!("{value:.places$} %"), interval]
    }
}

/// The same in one: `4.7 % (4.1 to 5.3)`.
pub fn variance_share_with_interval(share: &Estimate) -> String {
    match variance_share(share) {
        [value, interval] if interval.is_empty() => value,
        [value, interval] => format!("{value} ({interval})"),
    }
}

/// A figure that lies between limits, and these, with at most this many decimals; no limits where it
/// is exact.
pub fn between(figure: &Between, most: usize) -> [String; 2] {
    let digits = Digits::decimals(decimals(0.5 * (figure.high - figure.low), most));
    [
        digits.text(figure.value),
        limits(figure, |x| digits.text(x)),
    ]
}

/// The same of a share, in percent and with signs.
pub fn between_percent(share: &Between) -> [String; 2] {
    let percent = share.times(100.0);
    let digits = Digits::decimals(1);
    [
        format!("{} %", digits.signed(percent.value)),
        limits(&percent, |x| digits.signed(x)),
    ]
}

fn limits(figure: &Between, text: impl Fn(f64) -> String) -> String {
    if figure.low == figure.high {
        String::new()
    } else {
        format!("{} to {}", text(figure.low), text(figure.high))
    }
}

/// So many of something, by its name for one and for several.
pub fn counted(number: u64, [one, several]: [&str; 2]) -> String {
    match number {
        1 => format!("1 {one}"),
        n => format!("{n} {several}"),
    }
}

/// So many rebuilds.
pub fn rebuilds(number: u64) -> String {
    counted(number, ["rebuild", "rebuilds"])
}

/// So many shims.
pub fn shims(number: u64) -> String {
    counted(number, ["shim", "shims"])
}

/// So many days, as they were given.
pub fn days(number: f64) -> String {
    let several = if number == 1.0 { "day" } else { "days" };
    format!("{} {several}", plain(number))
}

/// A figure that somebody gave, as it was given.
pub fn plain(figure: f64) -> String {
    format!("{}", (figure * 1e6).round() / 1e6)
}

/// A figure that somebody gave, however small.
pub fn as_given(figure: f64) -> String {
    let short = plain(figure);
    if short == "0" && figure != 0.0 {
        format!("{figure:e}")
    } else {
        short
    }
}

/// A figure rounded up or down so that it adds up with others as printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rounded {
    /// Steps of the last decimal.
    steps: i64,
    /// Decimals.
    pub places: usize,
}

impl Rounded {
    /// Figures to this many decimals: what rounding takes from one it gives to another.
    pub fn together(exact: &[f64], places: usize) -> Vec<Self> {
        let steps: Vec<f64> = exact.iter().map(|x| x * unit(places)).collect();
        rounded_together(&steps)
            .into_iter()
            .map(|steps| Self { steps, places })
            .collect()
    }

    /// Their sum.
    pub fn sum<'a>(parts: impl IntoIterator<Item = &'a Self>) -> Self {
        let none = Self {
            steps: 0,
            places: 0,
        };
        parts.into_iter().fold(none, |sum, part| Self {
            steps: sum.steps + part.steps,
            places: part.places,
        })
    }

    /// One figure to this many decimals.
    pub fn alone(exact: f64, places: usize) -> Self {
        Self::together(&[exact], places)[0]
    }

    /// What is missing to a whole of as many decimals.
    pub fn rest_of(self, whole: Self) -> Self {
        Self {
            steps: whole.steps - self.steps,
            places: whole.places,
        }
    }

    /// As printed.
    pub fn text(self) -> String {
        format!("{:.*}", self.places, self.steps as f64 / unit(self.places))
    }
}

/// Steps of the last of this many decimals in one.
fn unit(places: usize) -> f64 {
    10_f64.powi(places as i32)
}

/// Whole numbers near these figures whose sum is their sum, rounded.
fn rounded_together(exact: &[f64]) -> Vec<i64> {
    let mut whole: Vec<i64> = exact.iter().map(|x| x.floor() as i64).collect();
    let missing = exact.iter().sum::<f64>().round() as i64 - whole.iter().sum::<i64>();
    let mut order: Vec<usize> = (0..exact.len()).collect();
    let left = |i: &usize| exact[*i] - exact[*i].floor();
    order.sort_by(|a, b| left(b).total_cmp(&left(a)));
    for place in order.into_iter().take(missing.max(0) as usize) {
        whole[place] += 1;
    }
    whole
}

/// The digits that a figure carries: a number of decimals, or tens and hundreds below zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Digits(i32);

impl Digits {
    /// Those worth printing of an estimate, at most this many decimals.
    pub fn of(estimate: &Estimate, most: usize) -> Self {
        let half = estimate.half_width();
        if !half.is_finite() {
            Self(most.min(1) as i32)
        } else if half >= 10.0 {
            Self(-(half.log10().floor() as i32))
        } else {
            let seen = |places: &usize| !Self::decimals(*places).all_zero(estimate);
            let carried = decimals(half, most);
            Self::decimals((carried..MOST).find(seen).unwrap_or(carried))
        }
    }

    /// Whether a figure and its interval, which are something, would read as nothing at all.
    fn all_zero(self, estimate: &Estimate) -> bool {
        let ends = [estimate.value, estimate.low, estimate.high];
        let zero = |figure: f64| {
            self.text(figure)
                .chars()
                .all(|c| matches!(c, '0' | '.' | '-'))
        };
        ends.into_iter().all(zero) && ends.into_iter().any(|figure| figure != 0.0)
    }

    /// So many decimals.
    pub fn decimals(places: usize) -> Self {
        Self(places as i32)
    }

    /// A figure to these digits.
    pub fn text(self, figure: f64) -> String {
        unsigned_zero(self.rounded(figure, false))
    }

    /// The ends of an interval to these digits: `2.42 to 2.44`.
    pub fn ends(self, of: &Estimate) -> String {
        format!("{} to {}", self.text(of.low), self.text(of.high))
    }

    /// A figure to these digits with its sign; zero has none.
    pub fn signed(self, figure: f64) -> String {
        let text = self.rounded(figure, true);
        if text.chars().all(|c| matches!(c, '+' | '-' | '0' | '.')) {
            text.trim_start_matches(['+', '-']).into()
        } else {
            text
        }
    }

    fn rounded(self, figure: f64, sign: bool) -> String {
        let places = self.0.max(0) as usize;
        let unit = 10_f64.powi((-self.0).max(0));
        let figure = if unit > 1.0 {
            (figure / unit).round() * unit
        } else {
            figure
        };
        if sign {
            format!("{figure:+.places$}")
        } else {
            format!("{figure:.places$}")
        }
    }
}

/// A share in whole percent with its sign: `+3 %`.
pub fn signed_percent(share: f64) -> String {
    let percent = (100.0 * share).round();
    if percent == 0.0 {
        "0 %".into()
    } else {
        format!("{percent:+.0} %")
    }
}

/// "-0.00" reads as a mistake.
pub(crate) fn unsigned_zero(text: String) -> String {
    let zero = text.starts_with('-') && text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if zero { text.replace('-', "") } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn estimate(value: f64, half: f64) -> Estimate {
        Estimate {
            value,
            low: value - half,
            high: value + half,
            n: 100,
        }
    }

    #[test]
    fn no_digit_is_printed_that_a_figure_does_not_carry() {
        let year = estimate(20_972.4, 78.0);
        assert_eq!(number(&year, 2), "20970");
        assert_eq!(interval(&year, 2), "20890 to 21050");
        assert_eq!(signed(&estimate(-2_972.4, 780.0), 2), "-3000");
        assert_eq!(number(&estimate(8.123, 0.013), 3), "8.12");
        assert_eq!(number(&estimate(8.123, 4.0), 3), "8");
    }

    #[test]
    fn what_was_never_or_always_seen_has_a_limit_that_shows() {
        let never = |n| percent_interval(&Estimate::share(0, n));
        let always = |n| percent_interval(&Estimate::share(n, n));
        // 3/n, rounded outwards to one digit
        assert_eq!(never(40_960), "below 0.008 %");
        assert_eq!(never(192_000), "below 0.002 %");
        assert_eq!(always(192_000), "above 99.998 %");
        assert_eq!(always(106_496), "above 99.997 %");
        assert_eq!(always(1), "too few to say");
    }

    #[test]
    fn what_is_rounded_together_adds_up() {
        assert_eq!(rounded_together(&[1.4, 1.4, 1.4]), [2, 1, 1]);
        assert_eq!(rounded_together(&[0.0, 2.5, 2.5]), [0, 3, 2]);
        assert_eq!(rounded_together(&[3.0, 4.0]), [3, 4]);
    }

    #[test]
    fn differences_have_a_sign_and_zero_has_none() {
        assert_eq!(signed(&estimate(0.304, 0.02), 2), "+0.30");
        assert_eq!(signed(&estimate(0.0, 0.0), 2), "0.00");
        assert_eq!(signed(&estimate(-0.001, 0.02), 2), "0.00");
        assert_eq!(signed_interval(&estimate(-0.3, 0.02), 2), "-0.32 to -0.28");
    }
}
