//! Turning torques: stated figures that depend on their closure along a curve.

use super::form::Form;
use super::tails::{log_bell, log_between};
use crate::axle::bearings::Pair;
use crate::bench::graduation::Graduation;
use crate::chance::dice::Dice;

/// A stated torque: drag + factor·friction·force(closure), N·m.
#[derive(Debug, Clone)]
pub(super) struct Curved {
    pub(super) closure: Form,
    pub(super) friction: Form,
    pub(super) drag: Form,
    pub(super) factor: f64,
    pub(super) pair: Pair,
    pub(super) stated: f64,
    /// Error that does not grow with the torque, and error as a share of it.
    pub(super) sigma: f64,
    pub(super) share: f64,
    /// The step it was rounded to; `None` where the density counts.
    pub(super) step: Option<f64>,
    pub(super) entry: usize,
}

impl Curved {
    fn torque(&self, closure: f64, friction: f64, drag: f64) -> f64 {
        drag + self.factor * friction * self.pair.force(closure)
    }

    /// The true torque with these variables.
    pub(super) fn truth(&self, variables: &[f64]) -> f64 {
        let [closure, friction, drag] =
            [&self.closure, &self.friction, &self.drag].map(|form| form.at(variables));
        self.torque(closure, friction, drag)
    }

    fn error(&self, truth: f64) -> f64 {
        let of_truth = self.share * truth;
        (of_truth * of_truth + self.sigma * self.sigma)
            .sqrt()
            .max(1e-6)
    }

    /// Logarithm of the chance or density of what is stated.
    pub(super) fn log(&self, truth: f64) -> f64 {
        let sigma = self.error(truth);
        let off = self.stated - truth;
        match self.step {
            Some(step) => log_between((off - 0.5 * step) / sigma, (off + 0.5 * step) / sigma),
            None => log_bell(off / sigma) - libm::log(sigma),
        }
    }

    /// The same with another figure read of a true one.
    pub(super) fn read_again(&self, truth: f64, dice: &mut Dice) -> Self {
        let shown = truth + self.error(truth) * dice.normal();
        Self {
            stated: self
                .step
                .map_or(shown, |step| Graduation::new(step).round(shown)),
            ..self.clone()
        }
    }

    /// The line that the curve follows about a mean, and the variance of the figure stated about it;
    /// `spread` gives mean and deviation of a form.
    pub(super) fn line(&self, spread: impl Fn(&Form) -> (f64, f64)) -> (Form, f64) {
        let (closure, apart) = spread(&self.closure);
        let (friction, _) = spread(&self.friction);
        let (drag, _) = spread(&self.drag);
        let apart = WIDER * apart.max(1e-6);
        // a straight line through the curve at places weighted like a normal figure's, and what it leaves
        let at = |place: f64| self.factor * self.pair.force(closure + place * apart);
        let mean = |of: &dyn Fn(f64) -> f64| -> f64 {
            PLACES
                .iter()
                .map(|[place, weight]| weight * of(*place))
                .sum()
        };
        let force = mean(&at);
        let slope = mean(&|place| place * at(place)) / mean(&|place| place * place);
        let left = mean(&|place| (at(place) - force - slope * place).powi(2));
        let form = Form::of(force * friction)
            .plus(&self.drag)
            .and(
                &self.closure.clone().less(&Form::of(closure)),
                slope / apart * friction,
            )
            .and(&self.friction.clone().less(&Form::of(friction)), force);
        let step = self.step.unwrap_or(0.0);
        let error = self.error(drag + force * friction);
        let bent = friction * friction * left;
        (form, error * error + step * step / 12.0 + bent)
    }
}

/// How much farther than its deviation a closure is followed.
const WIDER: f64 = 1.5;
/// Places in deviations with the weights of a normal figure, which add up to one.
const PLACES: [[f64; 2]; 7] = [
    [-2.4, 0.017_988],
    [-1.6, 0.089_096],
    [-0.8, 0.232_692],
    [0.0, 0.320_448],
    [0.8, 0.232_692],
    [1.6, 0.089_096],
    [2.4, 0.017_988],
];

/// One sigma of a reading of a torque: an error of its own, and one that is a share of the torque.
fn error(truth: f64, [sigma, share]: [f64; 2]) -> f64 {
    const LEAST: f64 = 1e-6;
    let of_truth = share * truth;
    (of_truth * of_truth + sigma * sigma).sqrt().max(LEAST)
}

/// Logarithm of the chance of a reading of a torque, or of its density where it is not rounded to a step.
pub(super) fn chance_of_torque(
    stated: f64,
    truth: f64,
    errors: [f64; 2],
    step: Option<f64>,
) -> f64 {
    let sigma = error(truth, errors);
    let off = stated - truth;
    match step {
        Some(step) => log_between((off - 0.5 * step) / sigma, (off + 0.5 * step) / sigma),
        None => log_bell(off / sigma) - libm::log(sigma),
    }
}
