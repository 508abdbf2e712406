//! The box for the road in words and tables.

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::stock::{Trip, Unit};

use super::Kit;
use crate::document::{Cell, Document, Table};
use crate::figures::{counted, rebuilds, shims};
use crate::questions::drawer::Work;
use crate::questions::drawer::list::{List, Row};
use crate::questions::drawer::tell::{add_lines, aimed, money, of_shop};

fn trip(jobs: u32) -> String {
    counted(jobs.into(), ["job", "jobs"])
}

/// Which box it is.
pub(super) fn title(work: &Work, jobs: u32) -> String {
    let what = format!("A box of shims for {} on the road, from", trip(jobs));
    work.title(&what)
}

pub(super) fn tell(answer: &Kit) -> Document {
    let shop = &answer.work.shop.shop;
    let trip = trip(answer.trip.jobs);
    let mut document = of_shop(title(&answer.work, answer.trip.jobs), &answer.work);
    let rows = answer.rows();
    let list = answer.list();
    let sizes = list.table(rows.iter().filter(|row| row.keep > 0), &shop.currency);
    document
        .section("", [headline(answer, &trip).into()])
        .first()
        .table(
            sizes.caption(match list {
                List::Counted => "What to take along, and what to buy for it",
                _ => "What to take along",
            }),
            [],
        )
        .first();
    document.behind = format!(
        "Jobs on the road come in the shop's own mix. A job that misses a pack counts as not \
         finished; good shims that come out of a job go back into the box, up to what it set out \
         with. {}, seed {}; \"to\" gives 95 % intervals of the simulation.",
        rebuilds(answer.kit.rebuilds),
        answer.seed
    );
    document
}

fn headline(answer: &Kit, trip: &str) -> Table {
    let (plan, shop) = (&answer.kit.plan, &answer.work.shop.shop);
    let mut table = Table::named();
    let Trip {
        finish, of, have, ..
    } = &answer.trip;
    let asked_for = |share: &Estimate, unit: Unit| match unit == *of {
        true => aimed(share, *finish, answer.kit.held),
        false => Cell::share(share),
    };
    let service = &plan.service;
    table.name(
        "Jobs finished with the box",
        asked_for(&service.job_fill, Unit::Job),
    );
    add_lines(&mut table, &answer.work, service);
    let rows = answer.rows();
    let pieces: u32 = rows.iter().map(Row::pieces).sum();
    let paid: f64 = rows.iter().map(Row::order_money).sum();
    table
        .name(
            format!("Trips on which all {trip} are finished"),
            asked_for(&service.all_done, Unit::Trip),
        )
        .name(
            "To pay",
            Cell::from(money(paid, shop)).beside(format!(
                "in whole packs, for {}{}",
                shims(pieces.into()),
                match have {
                    Some(_) => ", beside what is there",
                    None => "",
                }
            )),
        );
    table
}
