//! A quote as JSON.

use serde_json::{Value, json};

use shimcast_sim::quote::{Flat, NotQuoted, Quote, TaskTime, Year};

use super::costs::hour_cost_left_out;
use super::{Choice, Quotation, preload, refused};
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
        ..
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
        "money": money(choice, asked),
        "terms": {
            "risk": asked.risk,
            "margin": terms.margin,
            "tax": terms.tax,
            "parts": terms.parts,
            "jobs_a_year": asked.luck.jobs,
            "parts_margin": terms.parts_margin,
            "parts_charged": terms.parts_charged(),
        },
        "flat": list(choice.flats(), |of| flat(&of, asked)),
        "recommend": recommend(asked, choice),
        "call_customer_at": estimate(&quote.hours.p95),
        "choices": list(&asked.choices, |choice| side(asked, choice)),
        "quoted": quote.not_quoted().is_none(),
        "not_quoted": quote.not_quoted().as_ref().map(not_quoted),
        "year": asked.luck.year.as_ref().map(year),
        "felt_after_jobs": asked.luck.felt_after.as_ref().map(estimate),
        "pays_from": {
            "on_average": asked.luck.pays_from,
            "in_19_of_20_years": asked.luck.most_years_from,
        },
        "other_preload": {
            "choices": list(&asked.others, |choice| side(asked, choice)),
            "note": asked.of_others,
        },
    }))
}

/// A year at a flat price: its mean with the interval of the simulation, and the band of single years.
fn year(year: &Year) -> Value {
    let [low, high] = year.band;
    json!({
        "jobs": year.jobs,
        "gain": estimate(&year.gain),
        "band": { "share_of_years": 0.95, "low": low, "high": high },
        "losing": estimate(&year.losing),
    })
}

fn not_quoted(of: &NotQuoted) -> Value {
    json!({
        "reason": refused::words(of),
        "finished": estimate(&of.finished),
        "right": estimate(&of.right),
        "windows": list(&of.windows, |of| json!({
            "window": refused::name(of.window),
            "share": estimate(&of.share),
        })),
    })
}

fn operation(task: &TaskTime, whole: f64) -> Value {
    json!({
        "name": tasks::key(task.task),
        "first": estimate(&task.first),
        "repeats": estimate(&task.repeats),
        "share": (task.first.value + task.repeats.value) / whole,
    })
}

fn money(choice: &Choice, asked: &Quotation) -> Value {
    let Choice { setup, quote, .. } = choice;
    let Quote { money, .. } = quote;
    let prices = &setup.shop.prices;
    json!({
        "currency": setup.shop.currency,
        "hour": prices.hour,
        "labour": estimate(&money.labour),
        "consumables": estimate(&money.consumables),
        "sleeves": estimate(&money.sleeves),
        "shims": estimate(&money.shims),
        "shims_from": choice.shims.key(),
        "comebacks": estimate(&money.comebacks),
        "cost": estimate(&money.cost),
        "cones": estimate(&money.cones),
        "given_up": estimate(&money.given_up),
        "hour_cost": prices.hour_cost,
        "wrongly_passed": estimate(&quote.wrongly_passed),
        "clearly_out": estimate(&quote.clearly_out),
        "assumed_returning_share": prices.comeback_share,
        "comeback": prices.comeback,
        "hour_cost_assumed": hour_cost_left_out(&asked.assumptions),
    })
}

fn flat(flat: &Flat, asked: &Quotation) -> Value {
    json!({
        "hours": flat.hours,
        "price": flat.price,
        "price_with_tax": flat.price_with_tax,
        "overrun": estimate(&flat.overrun),
        "gain": estimate(&flat.gain),
        "gain_a_year": asked.luck.jobs.map(|jobs| estimate(&flat.gain.times(jobs))),
        "year": asked
            .luck
            .jobs
            .and_then(|jobs| asked.choice().quote.year(flat, jobs))
            .as_ref()
            .map(year),
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
        "preload": preload::in_full(&setup.axle.pinion_preload.by),
        "parts_charged": choice.terms.parts_charged(),
        "quoted": quote.not_quoted().is_none(),
    })
}
