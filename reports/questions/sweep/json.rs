//! Keys swept, as JSON.

use serde_json::{Map, Value, json};

use super::swept::Swept;
use crate::questions::json::{self, Head, differences};

/// A sweep: one object a point, with what differs from the first point. The head names the first
/// point's files.
pub(super) fn json(swept: &Swept<'_>) -> Value {
    let comparison = swept.comparison;
    let head = Head {
        answer: "sweep",
        seed: swept.seed,
        rebuilds: comparison.rebuilds,
        partial: comparison.partial,
        setup: &swept.setups[0],
        assumptions: swept.assumptions,
    };
    let points: Vec<Value> = swept
        .points
        .iter()
        .zip(&comparison.ways)
        .enumerate()
        .map(|(i, (values, way))| {
            let mut point = Map::new();
            point.insert("values".into(), json!(values));
            point.extend(json::way(way));
            let differences = i
                .checked_sub(1)
                .map(|place| differences(&comparison.differences[place]));
            point.insert("against_first".into(), json!(differences));
            Value::Object(point)
        })
        .collect();
    head.with(json!({
        "keys": swept.keys,
        "currency": swept.setups[0].shop.currency,
        "points": points,
    }))
}
