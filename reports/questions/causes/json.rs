//! Causes as JSON.

use serde_json::{Map, Value, json};

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::causes::{Contributor, LoopResult, Output, Shares};
use shimcast_sim::compare::Verdict;
use shimcast_sim::units::Window;

use super::Caused;
use super::loops::{middle, window};
use super::rows::key;
use crate::inputs::{loop_key, words};
use crate::questions::compare::measures::Measure;
use crate::questions::json::{Head, differences, estimate};

/// Causes: the stacks of the first assembly, shares of the variances, what halving would buy.
pub(super) fn json(asked: &Caused<'_>) -> Value {
    let (causes, setup) = (asked.causes, asked.setup);
    let head = Head {
        answer: "causes",
        seed: asked.seed,
        rebuilds: causes.rebuilds,
        partial: causes.partial,
        setup,
        assumptions: asked.assumptions,
    };
    let buys: Vec<Value> = causes
        .halvings
        .iter()
        .map(|buy| {
            let mut value = Map::new();
            value.insert("key".into(), buy.input.key(setup).into());
            value.insert("name".into(), words(buy.input, setup).into());
            value.extend(differences(&buy.differences));
            let saves = Verdict::of(&buy.differences.money) == Verdict::Less;
            value.insert("saves".into(), saves.into());
            let verdict = Measure::Money.verdict(&buy.differences);
            value.insert("verdict".into(), verdict.into());
            value.insert("seen_among_all".into(), buy.seen.into());
            Value::Object(value)
        })
        .collect();
    head.with(json!({
        "first_assembly": estimate(&causes.first_assembly),
        "handed_over": estimate(&causes.handed_over),
        "clearly_out": estimate(&causes.clearly_out),
        "finished": estimate(&causes.finished),
        "hours": estimate(&causes.hours),
        "money": estimate(&causes.money),
        "currency": setup.shop.currency,
        "loops": causes.loops.iter().map(|l| stack(setup, l)).collect::<Vec<_>>(),
        "inputs": causes.inputs.iter().map(|i| input(setup, i)).collect::<Vec<_>>(),
        "halved": buys,
    }))
}

fn stack(setup: &Setup, simulated: &LoopResult) -> Value {
    let stack = &simulated.stack;
    let links: Vec<Value> = stack
        .links
        .iter()
        .map(|link| {
            let (key, name) = match link.contributor {
                Contributor::Input(input) => (input.key(setup), words(input, setup)),
                Contributor::Rounding => ("rounding".into(), "nearest pack"),
            };
            json!({
                "key": key,
                "name": name,
                "worst_case": link.worst,
                "root_sum_square": link.root_sum_square,
            })
        })
        .collect();
    let Window { low, high } = window(setup, stack.of);
    json!({
        "loop": loop_key(stack.of),
        "worst_case": stack.worst(),
        "root_sum_square": stack.root_sum_square(),
        "simulated": estimate(&simulated.half_range),
        "mean": estimate(&simulated.mean),
        "sd": simulated.deviation,
        "window": [low, high],
        "middle": middle(setup, stack.of),
        "contributors": links,
    })
}

fn input(setup: &Setup, shares: &Shares) -> Value {
    let mut value = Map::new();
    value.insert("key".into(), shares.input.key(setup).into());
    value.insert("name".into(), words(shares.input, setup).into());
    for question in Output::ALL {
        value.insert(
            key(question).into(),
            json!({
                "first_order": estimate(shares.alone(question)),
                "total": estimate(shares.with_others(question)),
            }),
        );
    }
    Value::Object(value)
}
