//! The loops of the first assembly: the textbook stack beside what was simulated.

use shimcast_sim::causes::{Loop, LoopResult};
use shimcast_sim::count::estimate::Estimate;

use super::Caused;
use super::rows::{LEADING, STACKS, Stack};
use crate::document::{Bar, Chart, Figure, Fill, Row, Rows};

/// Rows that a figure shows; the table has all.
const MOST_ROWS: usize = 10;

/// One loop.
pub(super) fn of_loop(asked: &Caused<'_>, simulated: &LoopResult) -> Figure {
    let (name, question) = match simulated.stack.of {
        Loop::Depth => (
            "stack-depth",
            "What moves the pinion depth of the first assembly?",
        ),
        Loop::Backlash => (
            "stack-backlash",
            "What moves the backlash of the first assembly?",
        ),
        Loop::Closure => (
            "stack-closure",
            "What moves the side preload of the first assembly?",
        ),
    };
    let stack = Stack::of(asked, simulated);
    let finding = stack.sums.clone();
    let chart = Chart::Rows(Rows {
        label: "share, %".into(),
        key: vec![
            (Fill::Hollow, "of the worst case".into()),
            (Fill::Hatched, "of the root-sum-square".into()),
            (Fill::Dark, "of the simulated variance, alone".into()),
            (Fill::Light, "of the simulated variance, with others".into()),
        ],
        rows: stack
            .links
            .iter()
            .filter(|link| {
                let of_stack = link.stacked.unwrap_or_default();
                let of_run = link.simulated.map_or(0.0, |[_, with]| with.value);
                of_stack[0].max(of_stack[1]).max(of_run) >= LEADING
            })
            .take(MOST_ROWS)
            .map(|link| Row {
                name: link.name.into(),
                bars: [
                    link.stacked.map_or([None, None], |parts| parts.map(plain)),
                    link.simulated
                        .map_or([None, None], |shares| shares.each_ref().map(share_bar)),
                ]
                .concat(),
            })
            .collect(),
    });
    Figure {
        name,
        question: question.into(),
        drawn:
            "Four bars for each contributor: its share of the worst case, of the root-sum-square \
                and of the simulated variance, alone and with others."
                .into(),
        chart,
        finding,
        reading: [Some(STACKS), stack.beside.as_deref()]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(" "),
        table: stack.table(asked.print),
        rows: None,
    }
}

/// A bar of a share that is known exactly.
fn plain(share: f64) -> Option<Bar> {
    Some(Bar::exact(100.0 * share))
}

/// A bar of a share in percent: what chance put outside 0 to 100 ends there.
pub(super) fn share_bar(share: &Estimate) -> Option<Bar> {
    let inside = |share: f64| 100.0 * share.clamp(0.0, 1.0);
    let half = share.half_width();
    share.value.is_finite().then(|| Bar {
        value: inside(share.value),
        interval: half
            .is_finite()
            .then(|| [share.value - half, share.value + half].map(inside)),
    })
}
