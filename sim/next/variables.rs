//! What is not known of an axle, as standardised variables.

use super::form::Form;
use crate::axle::Axle;
use crate::axle::density::{Density, Varies};
use crate::axle::tolerance::{Law, Tolerance};
use crate::causes::Input;

/// One variable, standardised by its mean and its deviation.
#[derive(Debug, Clone)]
pub(super) enum Variable {
    /// A normal one.
    Normal,
    /// Listed values, standardised, each with its probability.
    Listed(Vec<[f64; 2]>),
    /// One with this density of what is not standardised.
    Otherwise(Density),
    /// The first part of a runout as a vector; the second follows.
    Runout(RunoutSize),
    /// The first part of a runout as it is met from another tooth: the whole runout that is turned, and
    /// the deviation of a part.
    Turned([Form; 2], f64),
    /// The second part of either.
    Second,
    /// A figure that a form gives within a hair, drawn by itself since what is stated of it is far from
    /// normal.
    Level(Form),
}

/// The size of a runout.
#[derive(Debug, Clone)]
pub(super) struct RunoutSize {
    pub(super) law: Tolerance,
    /// Whether it is half-normal from zero.
    pub(super) half_normal: bool,
    /// Deviation of one part of a vector of that size, mm.
    pub(super) part: f64,
}

impl RunoutSize {
    /// The mean of its fourth power over the square of that of its square.
    pub(super) fn fourth(&self) -> f64 {
        let power = |x: f64| x * x * x * x;
        let squares = 2.0 * self.part * self.part;
        let fourth = match self.law.varies() {
            Varies::Never(value) => power(value),
            Varies::Normal(mean, sigma) => {
                let [m2, s2] = [mean * mean, sigma * sigma];
                m2 * m2 + 6.0 * m2 * s2 + 3.0 * s2 * s2
            }
            Varies::Listed(values) => values.iter().map(|[x, p]| p * power(*x)).sum(),
            Varies::Otherwise(density) => density.mean_of(power),
        };
        fourth / (squares * squares)
    }
}

/// Two parts of one lot, of which those that fail an inspection were thrown out.
#[derive(Debug, Clone)]
pub(super) struct InspectedLot {
    lot: usize,
    parts: [Form; 2],
    mean: f64,
    sigma: f64,
    lot_share: f64,
    keep: (f64, f64),
}

impl InspectedLot {
    /// Logarithm of the density against that of parts that were not inspected.
    pub(super) fn log_ratio(&self, variables: &[f64]) -> f64 {
        let (low, high) = self.keep;
        let passes = |part: &Form| (low..=high).contains(&part.at(variables));
        if !self.parts.iter().all(passes) {
            return f64::NEG_INFINITY;
        }
        let centre = self.mean + self.sigma * self.lot_share.sqrt() * variables[self.lot];
        let own = self.sigma * (1.0 - self.lot_share).sqrt();
        let share = super::tails::log_between((low - centre) / own, (high - centre) / own);
        -2.0 * share
    }
}

/// All variables of a job.
#[derive(Debug, Clone, Default)]
pub(super) struct Variables {
    pub(super) all: Vec<Variable>,
    pub(super) lots: Vec<InspectedLot>,
    /// What says how much each varies: from the first to the last of these, and the input.
    pub(super) inputs: Vec<(std::ops::Range<usize>, Input)>,
}

impl Variables {
    fn add(&mut self, variable: Variable) -> usize {
        self.all.push(variable);
        self.all.len() - 1
    }

    /// A normal figure.
    pub(super) fn normal(&mut self, mean: f64, sigma: f64) -> Form {
        if sigma == 0.0 {
            return Form::of(mean);
        }
        Form::variable(self.add(Variable::Normal), mean, sigma)
    }

    /// A figure within this to either side, any value as likely.
    pub(super) fn within(&mut self, half: f64) -> Form {
        let even = Tolerance::uniform(-half, half).expect("limits in order");
        self.of(&even)
    }

    /// A part of the axle.
    pub(super) fn part(&mut self, input: Input, axle: &Axle) -> Form {
        let tolerance = input.tolerance(axle).expect("a part that the axle has");
        self.by(input, |variables| variables.of(tolerance))
    }

    /// What is drawn, as varying by an input.
    pub(super) fn by<T>(&mut self, input: Input, draw: impl FnOnce(&mut Self) -> T) -> T {
        let from = self.all.len();
        let drawn = draw(self);
        self.inputs.push((from..self.all.len(), input));
        drawn
    }

    /// A figure with a tolerance.
    pub(super) fn of(&mut self, tolerance: &Tolerance) -> Form {
        match tolerance.varies() {
            Varies::Never(value) => Form::of(value),
            Varies::Normal(mean, sigma) => self.normal(mean, sigma),
            Varies::Listed(values) => {
                let (mean, deviation) = moments(&values);
                let standard = values.iter().map(|[x, p]| [(x - mean) / deviation, *p]);
                let place = self.add(Variable::Listed(standard.collect()));
                Form::variable(place, mean, deviation)
            }
            Varies::Otherwise(density) => {
                let (mean, deviation) = (density.mean, density.deviation);
                Form::variable(self.add(Variable::Otherwise(density)), mean, deviation)
            }
        }
    }

    /// Two parts of one lot.
    pub(super) fn pair(&mut self, tolerance: &Tolerance) -> [Form; 2] {
        let (lot_share, together) = tolerance.lot();
        if lot_share == 0.0 {
            return [self.of(tolerance), self.of(tolerance)];
        }
        match (tolerance.varies(), &tolerance.law, tolerance.keep) {
            (Varies::Otherwise(_), Law::Normal { mean, sigma }, Some(keep)) => {
                let lot = self.add(Variable::Normal);
                let centre = Form::variable(lot, *mean, sigma * lot_share.sqrt());
                let own = sigma * (1.0 - lot_share).sqrt();
                let parts = [(); 2].map(|()| self.normal(0.0, own).plus(&centre));
                self.lots.push(InspectedLot {
                    lot,
                    parts: parts.clone(),
                    mean: *mean,
                    sigma: *sigma,
                    lot_share,
                    keep,
                });
                parts
            }
            (Varies::Normal(mean, sigma), ..) => {
                let [sum, difference] = together.map(|part| self.normal(0.0, part * sigma));
                let centre = Form::of(mean).plus(&sum);
                [centre.clone().plus(&difference), centre.less(&difference)]
            }
            _ => [self.of(tolerance), self.of(tolerance)],
        }
    }

    /// A runout as a vector, its size as a tolerance says, `wider` times as large, at any angle.
    pub(super) fn runout(&mut self, size: &Tolerance, wider: f64) -> [Form; 2] {
        let squares = match size.varies() {
            Varies::Never(value) => value * value,
            Varies::Normal(mean, sigma) => mean * mean + sigma * sigma,
            Varies::Listed(values) => values.iter().map(|[x, p]| p * x * x).sum(),
            Varies::Otherwise(density) => {
                density.mean * density.mean + density.deviation * density.deviation
            }
        };
        let part = (0.5 * squares).sqrt();
        let scale = wider * part;
        if scale == 0.0 {
            return [Form::of(0.0), Form::of(0.0)];
        }
        let plain = |law: &Law| matches!(law, Law::HalfNormal { nominal, .. } if *nominal == 0.0);
        let first = self.add(Variable::Runout(RunoutSize {
            law: size.clone(),
            half_normal: plain(&size.law) && size.keep.is_none(),
            part,
        }));
        let second = self.add(Variable::Second);
        [first, second].map(|place| Form::variable(place, 0.0, scale))
    }

    /// A runout as it is met from any other tooth.
    pub(super) fn turned(&mut self, runout: &[Form; 2]) -> [Form; 2] {
        let scale = runout[0].deviation();
        if scale == 0.0 {
            return runout.clone();
        }
        let first = self.add(Variable::Turned(runout.clone(), scale));
        let second = self.add(Variable::Second);
        [first, second].map(|place| Form::variable(place, 0.0, scale))
    }

    /// A form as a figure drawn by itself.
    pub(super) fn level(&mut self, form: &Form) -> Form {
        let place = self.add(Variable::Level(form.clone()));
        Form::variable(place, form.constant, form.deviation())
    }
}

fn moments(values: &[[f64; 2]]) -> (f64, f64) {
    let mean: f64 = values.iter().map(|[x, p]| x * p).sum();
    let variance: f64 = values
        .iter()
        .map(|[x, p]| p * (x - mean) * (x - mean))
        .sum();
    (mean, variance.sqrt())
}
