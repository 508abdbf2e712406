//! A hundred jobs by how they end.

use shimcast_sim::count::estimate::Estimate;

use super::Pictured;
use crate::document::{Cell, Chart, Column, Figure, Fill, Hundred, Table};
use crate::figures::said;
use crate::sentences::said_first;

/// A way in which jobs end.
struct Way {
    name: &'static str,
    key: &'static str,
    fill: Fill,
    share: Estimate,
}

/// All ways in which jobs end, which together are all jobs.
fn ways(of: &Pictured<'_>) -> [Way; 5] {
    let pictures = of.pictures;
    let share = |hits| Estimate::share(hits, pictures.rebuilds);
    let at_once = pictures.assemblies.first().map_or(0, |ended| ended.right);
    let [mut right, mut finished, mut clearly_out, mut given_up] = [0; 4];
    for ended in &pictures.assemblies {
        right += ended.right;
        finished += ended.finished;
        clearly_out += ended.clearly_out;
        given_up += ended.given_up;
    }
    let way = |name, key, fill, hits| Way {
        name,
        key,
        fill,
        share: share(hits),
    };
    [
        way("right at once", "right_at_once", Fill::Dark, at_once),
        way(
            "right after corrections",
            "right_after_corrections",
            Fill::Light,
            right - at_once,
        ),
        way(
            "out by a graduation or less",
            "slightly_out",
            Fill::Hatched,
            finished - right - clearly_out,
        ),
        way("clearly out", "clearly_out", Fill::Alarm, clearly_out),
        way("given up", "given_up", Fill::Hollow, given_up),
    ]
}

/// A hundred jobs by how they end.
pub fn hundred(of: &Pictured<'_>) -> Figure {
    let ways = ways(of);
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
