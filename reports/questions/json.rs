//! Answers as JSON: an interface, which only ever grows. Lengths in mm, torque in N·m, shares from
//! 0 to 1.

use serde_json::{Map, Value, json};

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::compare::{Differences, Way};
use shimcast_sim::count::estimate::Estimate;

use crate::files::Assumption;
use crate::questions::compare::measures::{Measure, OfWay};

/// Version of the answers' form.
pub(crate) const FORMAT: u32 = 1;

/// The head of every answer.
#[derive(Debug, Clone, Copy)]
pub struct Head<'a> {
    /// The command.
    pub answer: &'a str,
    /// Seed of the run.
    pub seed: u64,
    /// Rebuilds done.
    pub rebuilds: u64,
    /// Whether it was cut short.
    pub partial: bool,
    /// The job.
    pub setup: &'a Setup,
    /// Defaults in use.
    pub assumptions: &'a [Assumption],
}

impl Head<'_> {
    /// An answer of these fields after the head.
    pub fn with(&self, fields: Value) -> Value {
        let head = head(self.answer, Some(self.seed), self.rebuilds, self.partial);
        let job = json!({
            "axle": self.setup.axle.name,
            "shop": self.setup.shop.name,
            "gears": self.setup.gears.word(),
            "bearings": self.setup.bearings.word(),
            "assumptions": assumed(self.assumptions),
        });
        joined(joined(head, job), fields)
    }
}

/// What every answer begins with; without a seed where nothing is simulated.
pub(crate) fn head(answer: &str, seed: Option<u64>, rebuilds: u64, partial: bool) -> Value {
    json!({
        "shimcast": env!("CARGO_PKG_VERSION"),
        "answer": answer,
        "format": FORMAT,
        "seed": seed,
        "rebuilds": rebuilds,
        "partial": partial,
    })
}

/// An answer that says as well what looks wrong, behind what was assumed.
pub(crate) fn with_doubts(mut answer: Value, doubts: &[String]) -> Value {
    if let Value::Object(fields) = &mut answer {
        let assumed = fields.keys().position(|key| key == "assumptions");
        let place = assumed.map_or(fields.len(), |place| place + 1);
        fields.shift_insert(place, "doubts".into(), json!(doubts));
    }
    answer
}

/// The fields of two objects, one after the other.
pub(crate) fn joined(mut answer: Value, fields: Value) -> Value {
    if let (Value::Object(answer), Value::Object(fields)) = (&mut answer, fields) {
        answer.extend(fields);
    }
    answer
}

/// Defaults in use.
pub(crate) fn assumed(assumptions: &[Assumption]) -> Value {
    list(assumptions, |assumption| assumption.text.as_str().into())
}

/// An object each.
pub(crate) fn list<T>(items: impl IntoIterator<Item = T>, json: impl FnMut(T) -> Value) -> Value {
    items.into_iter().map(json).collect()
}

/// An estimate. What is not known, or endless, is null.
pub fn estimate(estimate: &Estimate) -> Value {
    json!({ "value": estimate.value, "low": estimate.low, "high": estimate.high })
}

/// What is reported of a way.
pub fn way(way: &Way) -> Map<String, Value> {
    OfWay::ALL
        .into_iter()
        .map(|of| (of.key().to_owned(), estimate(of.of(way))))
        .collect()
}

/// Differences by what ways are compared by.
pub fn differences(of: &Differences) -> Map<String, Value> {
    Measure::ALL
        .into_iter()
        .map(|measure| (measure.key().to_owned(), estimate(measure.difference(of))))
        .collect()
}
