//! The box for the road as text.

use std::fmt::Write;

use shimcast_sim::setup::Setup;
use shimcast_sim::shop::Shop;
use shimcast_sim::stock::{Kit, Shelf};

use super::shared::assumptions;
use super::stock::{by_line, jobs, money, share};
use super::{CAUTION, Ink, Table};
use crate::figures::{percent, percent_interval};
use crate::files::Assumption;
use crate::list::rows;

/// What the answer was asked about.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The shop.
    pub shop: &'a Shop,
    /// Its lines of jobs with how many come a month.
    pub lines: &'a [(&'a Setup, f64)],
    /// The series in the box.
    pub shelves: &'a [Shelf],
    /// Jobs on a trip.
    pub jobs: u32,
    /// Share of them to finish.
    pub finish: f64,
    /// Seed of the run.
    pub seed: u64,
    /// Defaults in use.
    pub assumptions: &'a [Assumption],
}

/// The answer as text.
pub fn render(asked: Asked<'_>, kit: &Kit, ink: Ink) -> String {
    let shop = asked.shop;
    let mut text = String::new();
    let trip = match asked.jobs {
        1 => "one job".to_owned(),
        n => format!("{n} jobs"),
    };
    let title = format!("A box of shims for {trip} on the road, from {}", shop.name);
    let _ = writeln!(text, "{}", ink.heading(&title));
    text.push_str(&jobs(asked.lines));
    text.push('\n');
    let fill = &kit.plan.service.job_fill;
    let done = &kit.plan.service.all_done;
    let mut table = Table::right(&[1]);
    let wanted = share(asked.finish);
    table.row([
        "Jobs finished with the box".to_owned(),
        percent(fill),
        if kit.held {
            format!("{}, asked for: {wanted}", percent_interval(fill))
        } else {
            format!("{}, NOT the {wanted} asked for", percent_interval(fill))
        },
    ]);
    for row in by_line(asked.lines, &kit.plan.service) {
        table.row(row);
    }
    table.row([
        format!("Trips on which all {trip} are finished"),
        percent(done),
        percent_interval(done),
    ]);
    let pieces: u32 = kit.plan.levels.iter().flatten().sum();
    table.row([
        "Money in the box".to_owned(),
        money(kit.plan.money, shop),
        format!("for {pieces} shims"),
    ]);
    text.push_str(&table.text());
    let _ = write!(text, "\n{}\n", ink.heading("What to take along"));
    let mut table = Table::right(&[1, 3, 4]);
    table.row(["series", "size", "", "take", "money"]);
    let rows = rows(
        asked.shelves,
        &kit.plan.levels,
        None,
        &kit.plan.service.used,
    );
    for row in rows.iter().filter(|row| row.keep > 0) {
        table.row([
            row.shelf.name.clone(),
            row.printed(),
            row.unit().to_owned(),
            row.keep.to_string(),
            format!("{:.2}", row.money()),
        ]);
    }
    text.push_str(&table.text());
    let _ = writeln!(
        text,
        "\nJobs on the road come in the shop's own mix. A job that misses a pack counts as not \
         finished; good\nshims that come out of a job go back into the box, up to what it set out \
         with. {} rebuilds,\nseed {}; \"to\" gives 95 % intervals of the simulation.",
        kit.rebuilds, asked.seed
    );
    text.push_str(&assumptions(asked.assumptions, ink));
    let _ = write!(text, "\n{CAUTION}");
    text
}
