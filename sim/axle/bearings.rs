//! Preload of a bearing pair: force from closure past zero end play.

use std::sync::Arc;

use libm::pow;

/// A preloaded pair of tapered roller bearings in series with the parts that carry them. Clones
/// share their table.
///
/// # Definition
/// c = (C1 + C2)·F^0.9 + F/k for c > 0, F = 0 for c ≤ 0.
///
/// # Source
/// Roller deflection with exponent 0.9: ISO/TS 16281, line contact (10/9 power law).
///
/// # Example
/// 10⁻⁵ mm/N^0.9 at 1000 N is 1000^0.9 = 501.19 times that, and 200 N/µm give 0.005 mm:
/// ```
/// use shimcast_sim::axle::bearings::Pair;
///
/// let pair = Pair::new(1e-5, 200.0);
/// assert!((pair.closure(1000.0) - (5.0119e-3 + 5e-3)).abs() < 1e-7);
/// assert!((pair.force(pair.closure(3000.0)) - 3000.0).abs() < 0.1);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Pair {
    /// C1 + C2, mm/N^0.9.
    deflection: f64,
    /// Series compliance 1/k, mm/N.
    compliance: f64,
    /// Forces at equal steps of closure from zero.
    table: Arc<[f64]>,
    steps_per_mm: f64,
}

/// Closures up to this are read from the table, mm.
const TABLE_END: f64 = 0.8;
const TABLE_STEPS: usize = 4096;

impl Pair {
    /// A pair with the sum of its two deflections, mm/N^0.9, and the stiffness in series with it,
    /// N/µm. Both must be above zero.
    pub fn new(deflection: f64, stiffness: f64) -> Self {
        let mut pair = Self {
            deflection,
            compliance: 1e-3 / stiffness,
            table: Arc::new([]),
            steps_per_mm: TABLE_STEPS as f64 / TABLE_END,
        };
        let mut root = 0.0;
        pair.table = (0..=TABLE_STEPS + 1)
            .map(|i| {
                root = pair.root(i as f64 / pair.steps_per_mm, root);
                ninth_and_tenth(root).1
            })
            .collect();
        pair
    }

    /// The same as [`Pair::new`], or a clone of another pair with the same figures.
    pub(crate) fn shared(other: Option<&Self>, deflection: f64, stiffness: f64) -> Self {
        let alike =
            |other: &&Self| (other.deflection, other.compliance) == (deflection, 1e-3 / stiffness);
        match other.filter(alike) {
            Some(other) => other.clone(),
            None => Self::new(deflection, stiffness),
        }
    }

    /// Closure, mm, at a force, N.
    pub fn closure(&self, force: f64) -> f64 {
        closure(self.deflection, self.compliance, force)
    }

    /// Force gained per mm of closure, N/mm, at a force, N; zero without preload.
    pub fn stiffness(&self, force: f64) -> f64 {
        if force <= 0.0 {
            return 0.0;
        }
        1.0 / (0.9 * self.deflection * pow(force, -0.1) + self.compliance)
    }

    /// Force, N, at a closure, mm.
    ///
    /// # Accuracy
    /// By linear interpolation in a table: within one part in 10⁵ of the solution from 0.01 mm on,
    /// within 1 N below.
    #[inline]
    pub fn force(&self, closure: f64) -> f64 {
        if closure <= 0.0 {
            return 0.0;
        }
        if closure >= TABLE_END {
            return self.solve(closure);
        }
        let place = closure * self.steps_per_mm;
        let i = place as u32;
        let part = place - f64::from(i);
        let i = i as usize;
        self.table[i] + part * (self.table[i + 1] - self.table[i])
    }

    /// Force at a closure.
    fn solve(&self, closure: f64) -> f64 {
        ninth_and_tenth(self.root(closure, 0.0)).1
    }

    /// The tenth root g of the force at a closure, by Newton's method on c = (C1 + C2)·g⁹ + g¹⁰/k,
    /// which takes products only; `below` is the root at a smaller closure, or 0 where none is
    /// known.
    ///
    /// The curve bends upwards, so steps from above never overshoot.
    fn root(&self, closure: f64, below: f64) -> f64 {
        if closure <= 0.0 {
            return 0.0;
        }
        let mut root = if below > 0.0 {
            // along the tangent, which lies below the curve
            let (at, slope) = self.closure_at_root(below);
            below + (closure - at) / slope
        } else {
            // each term alone gives a force that is too large: the smaller one is the start
            let force = pow(closure / self.deflection, 1.0 / 0.9).min(closure / self.compliance);
            pow(force, 0.1)
        };
        for _ in 0..60 {
            let (at, slope) = self.closure_at_root(root);
            let step = (at - closure) / slope;
            root -= step;
            if step.abs() <= 1e-15 * root {
                break;
            }
        }
        root
    }

    /// Closure at the tenth root of a force, and how fast it grows with the root.
    fn closure_at_root(&self, root: f64) -> (f64, f64) {
        let (ninth, tenth) = ninth_and_tenth(root);
        let at = self.deflection * ninth + self.compliance * tenth;
        let slope = (9.0 * self.deflection * ninth + 10.0 * self.compliance * tenth) / root;
        (at, slope)
    }
}

fn ninth_and_tenth(x: f64) -> (f64, f64) {
    let fourth = (x * x) * (x * x);
    let ninth = fourth * fourth * x;
    (ninth, ninth * x)
}

/// Closure, mm, of a pair whose deflections add up to this, mm/N^0.9, in series with a compliance,
/// mm/N, at a force, N; 0 without force.
#[doc(hidden)]
pub fn closure(deflection: f64, compliance: f64, force: f64) -> f64 {
    if force <= 0.0 {
        return 0.0;
    }
    deflection * pow(force, 0.9) + force * compliance
}
