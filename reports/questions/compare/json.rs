//! Ways of working as JSON.

use serde_json::{Value, json};

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::compare::{Verdict, jobs_to_pay_back};

use super::measures::Measure;
use super::{Investment, Ways};
use crate::questions::json::{Head, estimate, joined, list, way};

/// Ways of working. The head names the first way's files; each way names its own shop.
pub(super) fn json(asked: &Ways) -> Value {
    let comparison = &asked.comparison;
    let head = Head {
        answer: "compare",
        seed: asked.seed,
        rebuilds: comparison.rebuilds,
        partial: comparison.partial,
        setup: &asked.setups[0],
        assumptions: &asked.assumptions,
    };
    head.with(json!({
        "ways": ways(asked),
        "differences": differences(asked),
        "pay_back": pay_back(asked),
    }))
}

fn ways(asked: &Ways) -> Value {
    let named = asked.names.iter().zip(&asked.setups);
    let ways = named.zip(&asked.comparison.ways);
    list(ways, |((name, setup), of)| {
        let Setup { shop, .. } = setup;
        let named = json!({
            "name": name,
            "shop": shop.name,
            "currency": shop.currency,
            "gears": setup.gears.word(),
            "bearings": setup.bearings.word(),
        });
        joined(named, way(of).into())
    })
}

fn differences(asked: &Ways) -> Value {
    let further = asked.names[1..].iter().zip(&asked.comparison.differences);
    let measures = asked.comparable(Measure::ALL.to_vec());
    let all = further.flat_map(|of| measures.iter().map(move |measure| (of, measure)));
    list(all, |((name, differences), measure)| {
        let difference = measure.difference(differences);
        json!({
            "way": name,
            "measure": measure.key(),
            "difference": estimate(difference),
            "verdict": measure.verdict(differences),
            "seen": Verdict::of(difference) != Verdict::NoneSeen,
        })
    })
}

fn pay_back(asked: &Ways) -> Value {
    let costs: &[Investment] = match asked.currency() {
        Some(_) => &asked.costs,
        None => &[],
    };
    list(costs, |investment| {
        let difference = &asked.comparison.differences[investment.way - 1].money;
        let jobs = jobs_to_pay_back(investment.amount, difference);
        json!({
            "way": asked.names[investment.way],
            "costs": investment.amount,
            "jobs_a_year": investment.jobs_a_year,
            "jobs": jobs.map(|jobs| estimate(&jobs)),
        })
    })
}
