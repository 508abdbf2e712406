//! Keys swept, as JSON.

use serde_json::{Map, Value, json};

use super::points::Points;
use crate::cli;
use crate::questions::json::{self, Head, differences, list};

/// A sweep: one object a point, with what differs from the first point and from the files' own. The head names the first
/// point's files.
pub(super) fn json(swept: &Points<'_>) -> Value {
    let comparison = swept.comparison;
    let head = Head {
        answer: "sweep",
        seed: swept.seed,
        rebuilds: comparison.rebuilds,
        partial: comparison.partial,
        setup: &swept.setups[0],
        assumptions: swept.assumptions,
    };
    let points = swept.points.iter().zip(&comparison.ways).enumerate();
    let points = list(points, |(i, (values, way))| {
        // the first point differs from nothing
        let differs = i
            .checked_sub(1)
            .map(|i| differences(&comparison.differences[i]));
        let mut point = Map::from_iter([("values".into(), list(values, value))]);
        point.extend(json::way(way));
        point.insert("against_first".into(), json!(differs));
        point.insert("own".into(), json!(swept.own == Some(i)));
        let differs = swept.against_own(i).map(differences);
        point.insert("against_own".into(), json!(differs));
        point.into()
    });
    head.with(json!({
        "keys": list(swept.keys, |key| json!(key.name)),
        "units": list(swept.keys, |key| json!(key.unit)),
        "currency": swept.setups[0].shop.currency,
        "points": points,
    }))
}

/// A value of a key as what it is: a number, true or false, or a text.
fn value(value: &cli::Value) -> Value {
    match value {
        cli::Value::Figure(figure) => json!(figure),
        cli::Value::Words(words) => words
            .parse::<bool>()
            .map_or_else(|_| json!(words), Value::Bool),
    }
}
