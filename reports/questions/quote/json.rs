//! A quote as JSON.

use serde_json::{Value, json};

use shimcast_sim::quote::{Flat, Quote, TaskTime};

use super::{Choice, Quotation};
use crate::questions::json::{Head, estimate, list};
use crate::questions::odds::json::hours;
use crate::tasks;

/// A quote. Minutes of operations are those of a mean job.
pub(super) fn json(asked: &Quotation) -> Value {
    let choice = asked.choice();
    let Choice {
        setup,
        quote,
        terms,
    } = choice;
    let head = Head {
        answer: "quote",
        seed: asked.seed,
        rebuilds: quote.rebuilds,
        partial: asked.partial(),
        setup,
        assumptions: &asked.assumptions,
    };
    let whole = quote.hours.mean.value * 60.0;
    head.with(json!({
        "first_assembly": { "all": estimate(&quote.first_assembly) },
        "handed_over": { "all": estimate(&quote.handed_over) },
        "finished": estimate(&quote.finished),
        "hours": hours(&quote.hours),
        "operations": list(&quote.tasks, |task| operation(task, whole)),
        "money": money(choice),
        "terms": {
            "risk": asked.risk,
            "margin": terms.margin,
            "tax": terms.tax,
            "parts": terms.parts,
            "jobs_a_year": asked.jobs_a_year,
        },
        "flat": list(choice.flats(), |of| flat(&of, asked)),
        "recommend": recommend(asked, choice),
        "call_customer_at": estimate(&quote.hours.p95),
        "choices": list(&asked.choices, |choice| side(asked, choice)),
    }))
}

fn operation(task: &TaskTime, whole: f64) -> Value {
    json!({
        "name": tasks::key(task.task),
        "first": estimate(&task.first),
        "repeats": estimate(&task.repeats),
        "share": (task.first.value + task.repeats.value) / whole,
    })
}

fn money(choice: &Choice) -> Value {
    let Choice { setup, quote, .. } = choice;
    let Quote { money, .. } = quote;
    let prices = &setup.shop.prices;
    json!({
        "currency": setup.shop.currency,
        "hour": prices.hour,
        "labour": estimate(&money.labour),
        "consumables": estimate(&money.consumables),
        "comebacks": estimate(&money.comebacks),
        "cost": estimate(&money.cost),
        "cones": estimate(&money.cones),
        "given_up": estimate(&money.given_up),
        "hour_cost": prices.hour_cost,
        "wrongly_passed": estimate(&quote.wrongly_passed),
        "clearly_out": estimate(&quote.clearly_out),
        "assumed_returning_share": prices.comeback_share,
        "comeback": prices.comeback,
    })
}

fn flat(flat: &Flat, asked: &Quotation) -> Value {
    json!({
        "hours": flat.hours,
        "price": flat.price,
        "price_with_tax": flat.price_with_tax,
        "overrun": estimate(&flat.overrun),
        "gain": estimate(&flat.gain),
        "gain_a_year": asked.jobs_a_year.map(|jobs| estimate(&flat.gain.times(jobs))),
    })
}

fn recommend(asked: &Quotation, choice: &Choice) -> Value {
    choice.recommended(asked.risk).map_or(Value::Null, |flat| {
        json!({
            "hours": flat.hours,
            "price": flat.price,
            "price_with_tax": flat.price_with_tax,
            "risk": asked.risk,
            "overrun": estimate(&flat.overrun),
            "gain": estimate(&flat.gain),
        })
    })
}

fn side(asked: &Quotation, choice: &Choice) -> Value {
    let Choice { setup, quote, .. } = choice;
    json!({
        "gears": setup.gears.word(),
        "bearings": setup.bearings.word(),
        "rebuilds": quote.rebuilds,
        "hours": hours(&quote.hours),
        "handed_over": { "all": estimate(&quote.handed_over) },
        "clearly_out": estimate(&quote.clearly_out),
        "finished": estimate(&quote.finished),
        "cost": estimate(&quote.money.cost),
        "recommend": recommend(asked, choice),
        "call_customer_at": estimate(&quote.hours.p95),
    })
}
