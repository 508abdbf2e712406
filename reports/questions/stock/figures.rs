//! The shim drawer: service against money, and what to keep of each size.

use shimcast_sim::stock::DrawerOption;

use super::chapter::in_words;
use super::curve;
use super::planned::Planned;
use crate::document::{Axis, Chart, Curve, Figure, Group, Mark, Sample};
use crate::figures::plain;
use crate::questions::drawer::list::{List, Row, in_full, unit};

/// Sizes drawn at the most; the table has all.
const MOST_DRAWN: usize = 110;

/// What money at the till buys.
pub(super) fn service(asked: &Planned<'_>) -> Figure {
    let (stock, shop) = (asked.stock, asked.shop());
    let currency = &shop.currency;
    let plan = &stock.plan;
    let equal = match &stock.equal.same_service {
        Some((count, _)) => format!(
            "Equal counts of every size cost {:.0} {currency} for that, between {} and {count} of \
             each.",
            stock.equal.money_for_service.unwrap_or(f64::NAN),
            count.saturating_sub(1),
        ),
        None => "No equal count of every size that was tried serves as many.".to_owned(),
    };
    let missed = if stock.held {
        String::new()
    } else {
        format!(
            " That is NOT the {} % asked for: nothing that was tried reaches it.",
            plain(100.0 * shop.drawer.job_fill)
        )
    };
    let finding = format!("{}.{missed} {equal}", in_words(asked));
    let mut marks = vec![mark(
        plan,
        format!("the plan: {:.0} {currency}", plan.money),
        true,
    )];
    let cheapest = &stock.cheapest;
    if cheapest.levels != plan.levels {
        let name = format!("cheapest a year: {:.0} {currency}", cheapest.money);
        marks.push(mark(cheapest, name, false));
    }
    let most = stock.curve.iter().map(|p| p.money).fold(1.0, f64::max);
    let most = marks.iter().map(|m| m.x).fold(most, f64::max);
    let chart = Chart::Curve(Curve {
        x: Axis::new(
            0.0,
            1.06 * most,
            format!("paid for an empty drawer, {currency}"),
            7,
        ),
        y: Axis::percent(1.0, "jobs that never wait, %"),
        name: "best drawer for the money, 95 % interval".into(),
        samples: stock.curve.iter().map(sample).collect(),
        level: Some((
            100.0 * shop.drawer.job_fill,
            format!("asked for: {} %", plain(100.0 * shop.drawer.job_fill)),
        )),
        marks,
    });
    Figure {
        name: "service",
        question: "How much service does money at the till buy?".into(),
        drawn:
            "Curve rising from left to right: share of jobs that never wait for a shim against what \
                an empty drawer costs to fill, in whole packs."
                .into(),
        chart,
        finding,
        reading: "A job that waits is one for which some pack cannot be built from drawer and \
                  bench. A year costs the money asleep, the jobs that wait, the deliveries and the shims."
            .into(),
        table: curve::table(shop, stock),
        rows: None,
    }
}

fn sample(point: &DrawerOption) -> Sample {
    Sample {
        x: point.money,
        y: point.service.job_fill.times(100.0),
    }
}

fn mark(point: &DrawerOption, name: String, chosen: bool) -> Mark {
    Mark {
        x: point.money,
        y: 100.0 * point.service.job_fill.value,
        name,
        chosen,
    }
}

/// How many to keep of each size.
pub(super) fn levels(asked: &Planned<'_>) -> Figure {
    let shop = asked.shop();
    let (currency, rows) = (&shop.currency, asked.rows());
    let kept: Vec<&Row<'_>> = rows.iter().filter(|row| row.keep > 0).collect();
    let most = kept.iter().max_by_key(|row| row.keep);
    let finding = most.map_or_else(
        || "Nothing is worth keeping.".to_owned(),
        |most| {
            format!(
                "The plan keeps {} of {} sizes, most of {} {} {} ({} of it), instead of the same \
                 of every size.",
                kept.len(),
                rows.len(),
                most.shelf.name,
                most.printed(),
                most.unit(),
                most.keep
            )
        },
    );
    // the largest counts where not all fit
    let mut drawn: Vec<&Row<'_>> = kept.clone();
    drawn.sort_by_key(|row| std::cmp::Reverse(row.keep));
    let least = drawn.get(MOST_DRAWN).map_or(0, |row| row.keep);
    let mut groups: Vec<Group> = Vec::new();
    for shelf in &asked.work.shelves {
        let own = kept
            .iter()
            .filter(|row| row.shelf.name == shelf.name && row.keep > least);
        let own: Vec<(String, u32)> = own.map(|row| (row.printed(), row.keep)).collect();
        if !own.is_empty() {
            groups.push(Group {
                name: format!("{}, {}", short(&shelf.name), unit(shelf)),
                rows: own,
            });
        }
    }
    let mut reading = format!(
        "Levels are chosen, not measured: they are found for {} % of jobs that never wait, then \
         verified on years that did not help to find them.",
        plain(100.0 * shop.drawer.job_fill)
    );
    if least > 0 {
        reading.push_str(&format!(
            " Sizes of which {least} or fewer are kept are not drawn."
        ));
    }
    Figure {
        name: "shims",
        question: "How many of each size to keep?".into(),
        drawn: "For each shim series, a bar for the count to keep of each size.".into(),
        chart: Chart::Levels(groups),
        finding,
        reading,
        table: List::Levels.table(&rows, currency).caption(format!(
            "Every size: level to keep, and money at it; {currency}"
        )),
        rows: Some(in_full(&rows, currency)),
    }
}

/// A name as far as a column of the figure has room.
fn short(name: &str) -> String {
    const MOST: usize = 22;
    if name.chars().count() <= MOST {
        name.to_owned()
    } else {
        let head: String = name.chars().take(MOST - 1).collect();
        format!("{head}…")
    }
}
