//! What to quote: risk, margin, tax and parts, and what comes of them.

use std::sync::Arc;

use maud::{Markup, html};
use shimcast_sim::axle::Condition;

use super::{Room, Shown, View};
use crate::cli::{Dated, PriceTerms, jobs_a_year};
use crate::desk::here::Here;
use crate::document::{Control, ControlKind, Controls};
use crate::faces::html;
use crate::questions::context::Failure;
use crate::questions::quote::{Besides, Simulated, pictured};
use crate::questions::report::for_customer;

/// The room.
pub struct Quote;

/// Rebuilds of the first answer.
const FIRST: u64 = 8192;

/// Hours at the shop's price that new gears and new bearings hardly cost more than: where their rails end.
const GEARS_WORTH: f64 = 12.0;
const BEARINGS_WORTH: f64 = 6.0;

/// What a field is called, its label, its unit, and from where to where it goes in which steps.
type Term = (&'static str, &'static str, &'static str, [f64; 3]);

const TERMS: [Term; 3] = [
    ("risk", "Jobs that may overrun", "%", [1.0, 60.0, 1.0]),
    ("margin", "Margin", "% of the price", [0.0, 60.0, 1.0]),
    ("tax", "Tax", "%", [0.0, 30.0, 1.0]),
];

impl Room for Quote {
    fn name(&self) -> &'static str {
        "quote"
    }

    fn title(&self) -> &'static str {
        "Quote"
    }

    fn show(&self, here: &Here<'_>) -> Result<Shown, Failure> {
        if here.asked.get("page") == Some("customer") {
            return customer(here).map(Shown::Whole);
        }
        let (terms, wrong) = said(here);
        let fields = fields(here, &terms, &wrong)?;
        let set = html! {
            (here.choose("/quote", true))
            form method="get" action="/quote" data-live autocomplete="off" { "\n"
                (here.hidden())
                (html::controls(&fields))
                button class="quiet" { "Show" } "\n"
                button name="page" value="customer" formtarget="_blank" {
                    "Page for the customer"
                } "\n"
            } "\n"
        };
        Ok(Shown::View(View::with_answer("What to quote", set)))
    }

    fn stages(&self) -> usize {
        2
    }

    fn is_quick(&self) -> bool {
        true
    }

    fn live(&self, here: &Here<'_>, stage: usize) -> Result<Markup, Failure> {
        let terms = terms(here)?;
        let jobs = jobs_a_year(here.asked.get("jobs-a-year")).map_err(Failure::BadInput)?;
        let job = here.job(None)?;
        let simulated = simulated(here, stage)?;
        let answer = pictured(&simulated, &terms, jobs, &job.files);
        Ok(html::part_beside(&answer, &fields(here, &terms, &[])?))
    }
}

/// What a price is made of, where all of it can be taken.
fn terms(here: &Here<'_>) -> Result<PriceTerms, Failure> {
    let (terms, wrong) = said(here);
    match wrong.first() {
        Some((name, why)) => Err(Failure::BadInput(format!("{name}: {why}"))),
        None => Ok(terms),
    }
}

fn said(here: &Here<'_>) -> (PriceTerms, Vec<(&'static str, String)>) {
    PriceTerms::said(|name| here.asked.get(name))
}

/// What was simulated: few rebuilds without the drawer at first, then all of it.
fn simulated(here: &Here<'_>, stage: usize) -> Result<Arc<Simulated>, Failure> {
    let best = Quote.stages() - 1;
    let of = |stage: usize| {
        let first = stage < best;
        let job = here.job(first.then_some(FIRST))?;
        let besides = Besides {
            no_stock: first,
            moved_most: !first,
            pictures: true,
        };
        Simulated::of(&job, besides)
    };
    if let Some(known) = here.known("quote", best) {
        return Ok(known);
    }
    let _large = (stage == best).then(|| here.large()).transpose()?;
    here.worked_out("quote", stage, || of(stage))
}

/// The fields, with what is wrong beside them.
fn fields(
    here: &Here<'_>,
    terms: &PriceTerms,
    wrong: &[(&'static str, String)],
) -> Result<Controls, Failure> {
    let standing = [terms.risk, terms.margin, terms.tax];
    let rail = |((name, label, unit, [low, high, step]), stands): (Term, f64)| {
        let kind = ControlKind::Slider { low, high, step };
        Control::new(name, label, kind)
            .at(stands.to_string())
            .unit(unit)
    };
    let mut fields: Vec<Control> = TERMS.into_iter().zip(standing).map(rail).collect();
    let shop = here.loaded()?.shop;
    let hour = shop.prices.hour;
    let renewed = here.renewed();
    let parts = [
        (
            "gear-price",
            "New gear set costs the shop",
            terms.gear_price,
            GEARS_WORTH * hour,
            renewed.gears,
        ),
        (
            "bearing-price",
            "New bearings cost the shop",
            terms.bearing_price,
            BEARINGS_WORTH * hour,
            renewed.bearings,
        ),
    ];
    for (name, label, stands, high, renew) in parts {
        // what is kept costs no parts
        if Condition::from(renew) == Condition::New {
            let field = Control::new(name, label, ControlKind::of_money(high.max(stands)));
            fields.push(field.at(stands.to_string()).unit(&shop.currency));
        }
    }
    let kind = ControlKind::Slider {
        low: 0.0,
        high: 60.0,
        step: 1.0,
    };
    let on_parts = Control::new("parts-margin", "Put on these parts", kind).unit("%");
    fields.push(on_parts.at(terms.parts_margin.to_string()));
    for field in &mut fields {
        if let Some((name, why)) = wrong.iter().find(|(name, _)| *name == field.name) {
            field.problem = Some(why.clone());
            field.value = here.asked.get(name).unwrap_or_default().to_owned();
        }
    }
    let year = Control::new("jobs-a-year", "Such jobs in a year", ControlKind::Figure);
    let year = year.at(here.asked.get("jobs-a-year").unwrap_or_default());
    fields.push(year.help("left out, the jobs that the shop file expects are counted"));
    Ok(Controls {
        heading: "What the price is made of".to_owned(),
        fields,
        ..Controls::default()
    })
}

/// The page for the customer, as the command makes it.
fn customer(here: &Here<'_>) -> Result<String, Failure> {
    let terms = terms(here)?;
    let simulated = simulated(here, Quote.stages() - 1)?;
    let job = here.job(None)?;
    let choice = simulated.choice(&terms);
    let page = for_customer(
        &choice,
        &terms,
        simulated.sources(),
        &job,
        &Dated::default(),
    )?;
    Ok(html::page(&page))
}
