//! How many intervals of many held the truth, against what they claim: the one judge of all tests of intervals.
//!
//! # False alarms
//! A count of independent intervals is binomial. It is held to be too small, or too large, where a count as far off
//! comes up less often than once in 100,000 times ([`FALSE_ALARM`]) if intervals hold exactly what they claim.
//! Some 2,000 counts are judged, so that other seeds would fail once in 50 times; most intervals hold more than is
//! claimed of them, and then less often.
//!
//! # True values
//! Where none is known in closed form, the true value is that of a long run with a seed of its own. It is not exact
//! either: a run k times as long has an error 1/√k as large, and being off by b standard errors of the short runs
//! makes an interval of them hold less often. What is claimed is lowered by what 4.4 errors of the long run, which
//! it is off by once in 100,000 times, may cost ([`against_a_run`]).
//!
//! # How many
//! Some hundred seeds in the ordinary suite, 2,000 where `SHIMCAST_LONG=1` asks for them.

use crate::count::estimate::Estimate;

/// How often a count is called wrong by chance alone.
pub(crate) const FALSE_ALARM: f64 = 1e-5;

/// The two-sided quantile of the normal distribution that belongs to it.
const OFF: f64 = 4.417;

/// Seeds to try: so many, or all of 2,000.
pub(crate) fn seeds(few: u64) -> u64 {
    if long() { 2_000 } else { few }
}

/// Whether the long tests are asked for.
pub(crate) fn long() -> bool {
    std::env::var_os("SHIMCAST_LONG").is_some_and(|asked| asked == "1")
}

/// How many intervals of how many held the truth.
#[derive(Debug, Default, Clone, Copy)]
pub(crate) struct Held {
    pub(crate) held: u64,
    pub(crate) all: u64,
}

impl Held {
    pub(crate) fn count(&mut self, of: &Estimate, truth: f64) {
        self.add((of.low..=of.high).contains(&truth));
    }

    pub(crate) fn add(&mut self, held: bool) {
        self.all += 1;
        self.held += u64::from(held);
    }

    pub(crate) fn merge(&mut self, other: Self) {
        self.all += other.all;
        self.held += other.held;
    }

    pub(crate) fn share(self) -> f64 {
        self.held as f64 / self.all as f64
    }

    /// The chance that no more hold of independent intervals of this level.
    pub(crate) fn chance_of_so_few(self, level: f64) -> f64 {
        (0..=self.held).map(|k| self.chance_of(k, level)).sum()
    }

    /// The chance that no fewer do.
    pub(crate) fn chance_of_so_many(self, level: f64) -> f64 {
        (self.held..=self.all)
            .map(|k| self.chance_of(k, level))
            .sum()
    }

    fn chance_of(self, k: u64, level: f64) -> f64 {
        let (n, k) = (self.all as f64, k as f64);
        let choose = libm::lgamma(n + 1.0) - libm::lgamma(k + 1.0) - libm::lgamma(n - k + 1.0);
        (choose + k * level.ln() + (n - k) * (1.0 - level).ln()).exp()
    }

    /// Whether as many hold as this level can mean.
    pub(crate) fn enough(self, level: f64) -> bool {
        self.chance_of_so_few(level) > FALSE_ALARM
    }

    /// Fails where fewer hold.
    #[track_caller]
    pub(crate) fn at_level(self, what: &str, level: f64) {
        println!("{what}: {:.1} % of {}", 100.0 * self.share(), self.all);
        assert!(self.enough(level), "{what}: {self:?} at {level:.3}");
    }

    /// Whether no more do either.
    pub(crate) fn neither_few_nor_many(self, level: f64) -> bool {
        self.enough(level) && self.chance_of_so_many(level) > FALSE_ALARM
    }
}

/// What intervals of this level hold for certain of the result of a run so many times as long as theirs.
pub(crate) fn against_a_run(level: f64, longer: f64) -> f64 {
    let half = crate::count::normal::normal_score(0.5 + 0.5 * level);
    let off = OFF / longer.sqrt();
    let below = |x: f64| 0.5 * libm::erfc(-x / core::f64::consts::SQRT_2);
    below(half + off) - below(off - half)
}

#[test]
fn chances_are_binomial() {
    let of = |held, all| Held { held, all };
    super::close(of(1, 2).chance_of_so_few(0.95), 1.0 - 0.95 * 0.95, 1e-12);
    super::close(of(20, 20).chance_of_so_few(0.95), 1.0, 1e-12);
    super::close(of(0, 3).chance_of_so_few(0.95), 0.05_f64.powi(3), 1e-12);
    super::close(
        of(2, 3).chance_of_so_many(0.9),
        3.0 * 0.81 * 0.1 + 0.729,
        1e-12,
    );
}

#[test]
fn a_long_run_is_not_exact() {
    super::close(against_a_run(0.95, 1e12), 0.95, 1e-9);
    // off by half a standard error: Φ(1.96 + 0.5) − Φ(0.5 − 1.96)
    super::close(against_a_run(0.95, (OFF / 0.5).powi(2)), 0.920_9, 1e-4);
}
