//! A customer's page: the job, its hours and price, and what may lengthen it, on one sheet. Nothing is
//! on it that is the shop's own affair: costs, gain, how often which reading misses.

use shimcast_sim::axle::{Condition, PreloadBy};
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::quote::{Flat, QUARTER};

use crate::cli::PriceTerms;
use crate::document::{Block, Cell, Column, Document, Made, Section, Table};
use crate::figures::{Rounded, plain};
use crate::questions::quote::Choice;

/// What the page is made of.
#[derive(Debug, Clone, Copy)]
pub struct Offered<'a> {
    /// The job with its quote.
    pub choice: &'a Choice,
    /// What the price is made of, as typed.
    pub terms: &'a PriceTerms,
    /// The run; the shop's files stay with the shop.
    pub made: &'a Made,
}

/// The whole page.
pub fn tell(of: Offered<'_>) -> Document {
    let setup = &of.choice.setup;
    let mut document = Document::about(format!(
        "{} at {}: setting up the ring gear and pinion",
        setup.axle.name, setup.shop.name
    ));
    document.under.extend(of.made.date.clone());
    document.partial = of.choice.quote.partial.then_some(of.choice.quote.rebuilds);
    document.made = Some(Made {
        files: Vec::new(),
        changed: Vec::new(),
        ..of.made.clone()
    });
    let text = |text: String| Block::Text(text);
    let price = match of.choice.recommended(of.terms.risk / 100.0) {
        Some(flat) => vec![price(of, &flat).into(), text(agreed(of, &flat))],
        None => vec![text("Nothing was simulated.".into())],
    };
    document.sections = vec![
        Section::at("price", "Hours and price", price),
        Section::at(
            "job",
            "The job",
            work(setup).into_iter().map(text).collect(),
        ),
        Section::at(
            "longer",
            "What may lengthen it",
            longer(of).map(text).into(),
        ),
        Section::at(
            "note",
            "Please note",
            notes(setup).map(|note| text(note.into())).into(),
        ),
    ];
    document
}

/// Said to whoever gets the axle back.
fn notes(setup: &Setup) -> [&'static str; 2] {
    [
        "The axle's service manual rules over any figure here: every assembly is checked by the \
         readings that it asks for, and backlash and pattern are read again after final assembly.",
        match setup.gears {
            Condition::New => {
                "A new gear set is broken in before it is loaded: drive as the manual says at first, \
                 and do not tow. Come back at once if the axle whines, gets hot or loses oil, and leave \
                 work on it to people trained for it."
            }
            Condition::Kept => {
                "Come back at once if the axle whines, gets hot or loses oil, and leave work on it to \
                 people trained for it."
            }
        },
    ]
}

fn price(of: Offered<'_>, flat: &Flat) -> Table {
    let Choice { setup, terms, .. } = of.choice;
    let money = |amount: Rounded| {
        let currency = &setup.shop.currency;
        Cell::from(format!("{} {currency}", amount.text()))
    };
    let mut table = Table::new([Column::words(""), Column::figures("")]).caption("What is agreed");
    table.name("Working hours", quarters(flat.hours));
    let on_them = 1.0 + terms.parts_margin;
    let charged = |condition, price: f64| match condition {
        Condition::New => on_them * price,
        Condition::Kept => 0.0,
    };
    let gears = charged(setup.gears, of.terms.gear_price);
    let bearings = charged(setup.bearings, of.terms.bearing_price);
    // the rows add up as they are printed
    let rows = Rounded::together(&[flat.price - terms.parts_charged(), gears, bearings], 0);
    table.name("Work, with shims and small parts", money(rows[0]));
    for (name, condition, exact, amount) in [
        ("Gear set, new", setup.gears, gears, rows[1]),
        ("Bearings, new", setup.bearings, bearings, rows[2]),
    ] {
        if condition == Condition::New {
            let cell = match exact > 0.0 {
                true => money(amount),
                false => "not in this price".into(),
            };
            table.name(name, cell);
        }
    }
    let price = Rounded::sum(&rows);
    table.name("Price before tax", money(price));
    if terms.tax > 0.0 {
        let tax = format!("Tax, {} %", plain(100.0 * terms.tax));
        let with_tax = Rounded::alone(of.choice.with_tax(flat), 0);
        table.name(tax, money(price.rest_of(with_tax)));
        table.name("To pay", money(with_tax));
    }
    table
}

fn agreed(of: Offered<'_>, flat: &Flat) -> String {
    let tax = match of.choice.terms.tax > 0.0 {
        true => "",
        false => " Tax is added to it.",
    };
    format!(
        "The price is for {} hours, however long the work takes in the end. Damage that shows only \
         when the axle is apart is not in it.{tax}",
        quarters(flat.hours)
    )
}

/// Hours as a workshop says them: whole quarters, none of them too short.
fn quarters(hours: f64) -> String {
    plain((hours / QUARTER - 1e-9).ceil() * QUARTER)
}

/// What is done, in order.
fn work(setup: &Setup) -> Vec<String> {
    let gears = match setup.gears {
        Condition::New => "A new ring gear and pinion go in, as a matched pair",
        Condition::Kept => "The ring gear and pinion stay",
    };
    let bearings = match setup.bearings {
        Condition::New => "with new bearings",
        Condition::Kept => "with the bearings that are in the axle",
    };
    let sides = match setup.has_adjusters() {
        true => "the adjusters",
        false => "shims",
    };
    let preload = match setup.axle.pinion_preload.by {
        PreloadBy::Sleeve { .. } => "a new crush sleeve",
        PreloadBy::Spacer { .. } => "shims at its spacer",
    };
    vec![
        format!(
            "{gears}, {bearings}. The axle is stripped, cleaned and looked over for wear and damage first."
        ),
        format!(
            "The pinion is set to its depth by shims, the ring gear to its backlash by {sides}, and the \
             contact pattern is read on the teeth. The axle is assembled, measured and corrected until \
             every reading lies in its window. Then the pinion bearings get their preload with \
             {preload}, everything is read again, and the axle goes back with fresh oil and a road test."
        ),
    ]
}

/// How long such jobs take, and why some take longer.
fn longer(of: Offered<'_>) -> [String; 2] {
    let Choice { setup, quote, .. } = of.choice;
    let [half, most, nearly] =
        [&quote.hours.p50, &quote.hours.p80, &quote.hours.p95].map(|hours| quarters(hours.value));
    let gears = match setup.gears {
        Condition::New => "No two gear sets are alike",
        Condition::Kept => "No two axles are alike",
    };
    [
        format!(
            "Half of such jobs are done within {half} working hours, 4 in 5 within {most}, 19 in 20 \
             within {nearly}; you are called before it takes longer than {nearly}."
        ),
        format!(
            "{gears}, so the right shims are found by measuring. What lengthens a job most is one more \
             change of the pinion shim, for which the axle comes apart again; less so a correction of \
             the backlash. It may also wait for a shim or part that has to be ordered, or for your word \
             on damage that was found."
        ),
    ]
}
