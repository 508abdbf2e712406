//! The box for the road in words and tables.

use super::Kit;
use crate::document::{Cell, Document, Table};
use crate::figures::{counted, rebuilds, shims};
use crate::questions::drawer::Work;
use crate::questions::drawer::list::List;
use crate::questions::drawer::tell::{add_lines, aimed, money, of_shop};

fn trip(jobs: u32) -> String {
    counted(jobs.into(), ["job", "jobs"])
}

/// Which box it is.
pub(super) fn title(work: &Work, jobs: u32) -> String {
    let (trip, shop) = (trip(jobs), &work.shop.shop.name);
    format!("A box of shims for {trip} on the road, from {shop}")
}

pub(super) fn tell(answer: &Kit) -> Document {
    let shop = &answer.work.shop.shop;
    let trip = trip(answer.jobs);
    let mut document = of_shop(title(&answer.work, answer.jobs), &answer.work);
    let rows = answer.rows();
    let sizes = List::Road.table(rows.iter().filter(|row| row.keep > 0), &shop.currency);
    document
        .section("", [headline(answer, &trip).into()])
        .first()
        .table(sizes.caption("What to take along"), [])
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
    table.name(
        "Jobs finished with the box",
        aimed(&plan.service.job_fill, answer.finish, answer.kit.held),
    );
    add_lines(&mut table, &answer.work, &plan.service);
    let pieces: u32 = plan.levels.iter().flatten().sum();
    table
        .name(
            format!("Trips on which all {trip} are finished"),
            Cell::share(&plan.service.all_done),
        )
        .name(
            "Money in the box",
            Cell::from(money(plan.money, shop)).beside(format!("for {}", shims(pieces.into()))),
        );
    table
}
