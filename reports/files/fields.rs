//! The keys of a tolerance, and the distribution that they make.

use shimcast_sim::axle::tolerance::{BadTolerance, Tolerance};

use super::measure::{Quantity, show, written};
use super::tree::quoted;
use crate::units::Units;

/// Shapes as files write them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shape {
    Normal,
    Uniform,
    Triangular,
    HalfNormal,
    Lognormal,
    Measured,
    Discrete,
}

impl Shape {
    fn has_cpk(self) -> bool {
        matches!(self, Self::Normal | Self::HalfNormal)
    }
}

pub(super) const SHAPES: [(&str, Shape); 7] = [
    ("normal", Shape::Normal),
    ("uniform", Shape::Uniform),
    ("triangular", Shape::Triangular),
    ("half-normal", Shape::HalfNormal),
    ("lognormal", Shape::Lognormal),
    ("measured", Shape::Measured),
    ("discrete", Shape::Discrete),
];

/// The keys of a tolerance that are lengths or the like, and those that are bare numbers.
pub(super) const IN_UNITS: [&str; 4] = ["tol", "minus", "plus", "sigma"];
pub(super) const BARE: [&str; 3] = ["cv", "cpk", "lot_share"];

/// A tolerance's keys as read, in the model's units.
#[derive(Debug, Clone, Default)]
pub(super) struct Fields {
    /// tol, minus, plus, sigma.
    pub in_units: [Option<f64>; 4],
    /// cv, cpk, lot_share.
    pub bare: [Option<f64>; 3],
    pub shape: Option<Shape>,
    pub inspected: Option<bool>,
    pub values: Option<Vec<f64>>,
    pub weights: Option<Vec<f64>>,
}

impl Fields {
    /// Whether anything says how wide it spreads.
    pub(super) fn spreads(&self) -> bool {
        self.in_units.iter().any(Option::is_some) || self.bare[0].is_some() || self.values.is_some()
    }

    /// The same as a file in these units would state it.
    pub(super) fn as_stated(&self, q: Quantity, units: Units) -> Self {
        let stated = |x: f64| q.to_model(q.to_file(x, units), units);
        Self {
            in_units: self.in_units.map(|x| x.map(stated)),
            ..self.clone()
        }
    }

    /// What the built-in tolerance says, for what these leave open.
    pub(super) fn or(self, usual: &Self) -> Self {
        Self {
            in_units: usual.in_units,
            bare: [
                usual.bare[0],
                // another shape may have no use for the built-in ones
                self.bare[1].or(usual.bare[1].filter(|_| self.shape.is_none_or(Shape::has_cpk))),
                self.bare[2]
                    .or(usual.bare[2].filter(|_| self.shape.is_none_or(|s| s == Shape::Normal))),
            ],
            shape: self.shape.or(usual.shape),
            inspected: self.inspected.or(usual.inspected),
            values: usual.values.clone(),
            weights: self.weights.or_else(|| usual.weights.clone()),
        }
    }

    /// The keys and TOML values that state it, without the nominal.
    pub(super) fn written(&self, q: Quantity, units: Units) -> Vec<(&'static str, String)> {
        let mut out = Vec::new();
        for (key, x) in IN_UNITS.iter().zip(self.in_units) {
            out.extend(x.map(|x| (*key, written(q.to_file(x, units)))));
        }
        for (key, x) in BARE.iter().zip(self.bare) {
            out.extend(x.map(|x| (*key, written(x))));
        }
        if let Some(shape) = self.shape {
            let word = SHAPES.iter().find(|(_, s)| *s == shape);
            out.extend(word.map(|(w, _)| ("shape", quoted(w))));
        }
        out.extend(self.inspected.map(|b| ("inspected", b.to_string())));
        out
    }

    /// For people, with the nominal (in the file's units) in front where one is meant:
    /// "121 ± 0.06 mm, cpk 0.85".
    pub(super) fn shown(&self, nominal: Option<f64>, q: Quantity, units: Units) -> String {
        let unit = q.unit(units);
        let in_file = |x: f64| q.to_file(x, units);
        let with_unit = |x: f64| q.told_with(x, units, &unit);
        let [tol, minus, plus, sigma] = self.in_units;
        let [cv, cpk, lot_share] = self.bare;
        let mut parts = Vec::new();
        match (nominal, tol) {
            (Some(x), Some(tol)) => {
                parts.push(format!(
                    "{} ± {}",
                    q.told(x, units),
                    with_unit(in_file(tol))
                ));
            }
            (None, Some(tol)) => parts.push(format!("± {}", with_unit(in_file(tol)))),
            (Some(x), None) => parts.push(with_unit(x)),
            (None, None) => {}
        }
        if let (Some(minus), Some(plus)) = (minus, plus) {
            let plus = with_unit(in_file(plus));
            let minus = Some(in_file(minus)).filter(|x| *x > 0.0);
            let minus = minus.map_or("0".to_owned(), |x| format!("−{}", q.told(x, units)));
            parts.push(format!("{minus} … +{plus}"));
        }
        if let Some(sigma) = sigma {
            parts.push(format!("sigma {}", with_unit(in_file(sigma))));
        }
        for (name, x) in [("cv", cv), ("cpk", cpk), ("lot_share", lot_share)] {
            parts.extend(x.map(|x| format!("{name} {}", show(x))));
        }
        if let Some((word, _)) = SHAPES.iter().find(|(_, s)| Some(*s) == self.shape) {
            parts.push((*word).to_owned());
        }
        if self.inspected == Some(true) {
            parts.push("inspected".to_owned());
        }
        parts.join(", ")
    }

    /// The distribution about a nominal.
    pub(super) fn build(&self, nominal: f64) -> Result<Tolerance, ToleranceFlaw> {
        let [tol, minus, plus, _] = self.in_units;
        let shape = self.shape.unwrap_or(Shape::Normal);
        let limits = match (tol, minus, plus) {
            (Some(t), ..) => Some((nominal - t, nominal + t)),
            (None, Some(m), Some(p)) => Some((nominal - m, nominal + p)),
            _ => None,
        };
        self.contradiction(shape, limits.is_some())?;
        let [.., lot_share] = self.bare;
        let mut built = self.distribution(shape, nominal, limits)?;
        if let (Some(true), Some((low, high))) = (self.inspected, limits) {
            built = built.inspected(low, high).map_err(ToleranceFlaw::of)?;
        }
        built
            .with_lot_share(lot_share.unwrap_or(0.0))
            .map_err(ToleranceFlaw::of)
    }

    /// What does not go together, first of all.
    fn contradiction(&self, shape: Shape, limits: bool) -> Result<(), ToleranceFlaw> {
        let [tol, minus, plus, sigma] = self.in_units.map(|figure| figure.is_some());
        let [cv, cpk, _] = self.bare.map(|figure| figure.is_some());
        let named = [
            ("tol", tol),
            ("minus and plus", minus || plus),
            ("sigma", sigma),
            ("cv", cv),
        ];
        let ways: Vec<&str> = named.iter().filter(|w| w.1).map(|w| w.0).collect();
        let many = format!("says its spread in more than one way: {}", ways.join(", "));
        let listed = matches!(shape, Shape::Measured | Shape::Discrete);
        let normal = matches!(shape, Shape::Normal | Shape::HalfNormal);
        let slips = [
            (
                ways.len() > 1,
                many.as_str(),
                "keep one of: tol, minus with plus, sigma, cv",
            ),
            (
                minus != plus,
                "has one limit only",
                "give both minus and plus, one of them 0.0 if need be",
            ),
            (
                self.values.is_some() && !listed,
                "has a list of values, which this shape does not draw from",
                "add shape = \"measured\"",
            ),
            (
                listed && !ways.is_empty(),
                "draws from its values, so it can't have a spread as well",
                "take the spread out",
            ),
            (
                self.weights.is_some() && shape != Shape::Discrete,
                "has weights, which go with shape = \"discrete\" only",
                "take the weights out, or change the shape",
            ),
            (
                cpk && !(normal && limits),
                "has a cpk, which needs limits and a normal or half-normal shape",
                "take cpk out, or give tol",
            ),
            (
                self.inspected == Some(true) && !limits,
                "is inspected, which needs limits",
                "give tol, or minus and plus",
            ),
        ];
        match slips.iter().find(|(slip, ..)| *slip) {
            Some((_, reason, help)) => Err(ToleranceFlaw::new(reason, help)),
            None => Ok(()),
        }
    }

    /// The distribution before anything is inspected or comes in lots.
    fn distribution(
        &self,
        shape: Shape,
        nominal: f64,
        limits: Option<(f64, f64)>,
    ) -> Result<Tolerance, ToleranceFlaw> {
        let [tol, .., sigma] = self.in_units;
        let [cv, cpk, _] = self.bare;
        let k = cpk.unwrap_or(1.0);
        let need = |what: &str| Err(ToleranceFlaw::new("does not say how it spreads", what));
        let built = match shape {
            Shape::Normal => match (limits, sigma, cv) {
                (Some((low, high)), ..) => Tolerance::normal_between(low, high, k),
                (_, Some(sigma), _) => Tolerance::normal(nominal, sigma),
                (.., Some(cv)) => Tolerance::normal_cv(nominal, cv),
                _ => return need("give tol, minus with plus, sigma or cv"),
            },
            Shape::Uniform | Shape::Triangular => match limits {
                Some((low, high)) if shape == Shape::Uniform => Tolerance::uniform(low, high),
                Some((low, high)) => Tolerance::triangular(low, high),
                None => return need("this shape needs limits: give tol, or minus and plus"),
            },
            Shape::HalfNormal => match (tol, sigma) {
                (Some(tol), _) => Tolerance::half_normal(nominal, tol / (3.0 * k)),
                (_, Some(sigma)) => Tolerance::half_normal(nominal, sigma),
                _ => return need("this shape needs sigma, or tol"),
            },
            Shape::Lognormal => match cv {
                Some(cv) => Tolerance::lognormal(nominal, cv),
                None => return need("this shape needs nominal and cv"),
            },
            Shape::Measured | Shape::Discrete => match (self.values.clone(), &self.weights) {
                (None, _) => {
                    return need(
                        "give the values, e.g. values = [27.98, 28.01, 28.02], or from = \"heights.csv\"",
                    );
                }
                (Some(values), Some(weights)) => Tolerance::discrete(values, weights),
                (Some(values), None) if shape == Shape::Measured => Tolerance::measured(values),
                _ => return need("give each value its weight, e.g. weights = [3, 1]"),
            },
        };
        built.map_err(ToleranceFlaw::of)
    }
}

/// What is wrong with a tolerance as a whole.
pub(super) struct ToleranceFlaw {
    pub reason: String,
    pub help: Option<String>,
}

impl ToleranceFlaw {
    fn new(reason: &str, help: &str) -> Self {
        Self {
            reason: reason.to_owned(),
            help: Some(help.to_owned()),
        }
    }

    fn of(bad: BadTolerance) -> Self {
        let help = match bad {
            BadTolerance::NominalNotPositive => {
                Some("give a nominal above zero, or sigma in place of cv")
            }
            BadTolerance::BadWeights => Some("give one weight for each value"),
            BadTolerance::NothingPasses => Some("widen the limits, or raise cpk"),
            BadTolerance::LotNeedsNormal => Some("take lot_share out, or change the shape"),
            BadTolerance::NoValues => Some("give at least one value"),
            _ => None,
        };
        Self {
            reason: format!("can't be used: {bad}"),
            help: help.map(str::to_owned),
        }
    }
}
