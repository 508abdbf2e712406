//! A hundred jobs by how they end.

use shimcast_sim::compare::Ends;
use shimcast_sim::count::estimate::Estimate;

use crate::document::{Cell, Chart, Column, Figure, Fill, Hundred, Table};
use crate::figures::{percent_with_half, said};
use crate::sentences::said_first;

/// A way in which jobs end.
struct Way {
    name: &'static str,
    key: &'static str,
    fill: Fill,
    share: Estimate,
}

/// All ways in which jobs end, which together are all jobs.
fn ways(ends: &Ends) -> [Way; 5] {
    let way = |name, key, fill, hits| Way {
        name,
        key,
        fill,
        share: Estimate::share(hits, ends.jobs),
    };
    let corrected = ends.right - ends.right_at_once;
    let slightly_out = ends.jobs - ends.given_up - ends.right - ends.clearly_out;
    [
        way(
            "right at once",
            "right_at_once",
            Fill::Dark,
            ends.right_at_once,
        ),
        way(
            "right after corrections",
            "right_after_corrections",
            Fill::Light,
            corrected,
        ),
        way(
            "out by a graduation or less",
            "slightly_out",
            Fill::Hatched,
            slightly_out,
        ),
        way("clearly out", "clearly_out", Fill::Alarm, ends.clearly_out),
        way("given up", "given_up", Fill::Hollow, ends.given_up),
    ]
}

/// A hundred jobs by how they end.
pub fn hundred(ends: &Ends) -> Figure {
    let ways = ways(ends);
    let mut table = Table::new([
        Column::words("how it ends"),
        Column::data("ending"),
        Column::intervals("share of all jobs").key("share"),
    ])
    .caption("How jobs end");
    for way in &ways {
        table.row([way.name.into(), way.key.into(), Cell::share(&way.share)]);
    }
    let [at_once, corrected, ..] = &ways;
    let finding = format!(
        "{} of all jobs are accepted at once and right; {} are right after corrections.",
        said_first(&at_once.share),
        said(&corrected.share)
    );
    drawn(&ways, finding, table)
}

/// The same of jobs in which something is changed, with how they end as the files have it beside.
pub fn hundred_beside(changed: &Ends, files: &Ends) -> Figure {
    let (now, before) = (ways(changed), ways(files));
    let mut table = Table::new([
        Column::words("how it ends"),
        Column::data("ending"),
        Column::intervals("changed").key("share_changed"),
        Column::intervals("as the files have it").key("share_files"),
    ])
    .caption("How jobs end");
    for (way, was) in now.iter().zip(&before) {
        let shares = [&way.share, &was.share].map(Cell::share);
        let [now, before] = shares;
        table.row([way.name.into(), way.key.into(), now, before]);
    }
    let beside = |at: usize| {
        let [now, before] = [&now[at].share, &before[at].share].map(percent_with_half);
        format!("{now}, and {before} as the files have it")
    };
    let finding = format!(
        "Of all jobs, right at once: {}. Right after corrections: {}. Clearly out: {}.",
        beside(0),
        beside(1),
        beside(3)
    );
    drawn(&now, finding, table)
}

fn drawn(ways: &[Way; 5], finding: String, table: Table) -> Figure {
    let seen = ways.iter().filter(|way| way.share.value > 0.0);
    Figure {
        name: "hundred-jobs",
        question: "How do 100 such jobs end?".into(),
        drawn: "A hundred squares, one a job, drawn by how it ends.".into(),
        chart: Chart::Hundred(Hundred {
            ways: seen
                .map(|way| (way.fill, way.name.to_owned(), way.share.value))
                .collect(),
        }),
        finding,
        reading:
            "By the truth, which no bench sees: what is out by a graduation or less was passed \
                  by its readings, and no reading could tell."
                .into(),
        table,
        rows: None,
    }
}
