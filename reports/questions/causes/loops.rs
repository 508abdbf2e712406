//! The loops of the first assembly: the textbook stack beside what was simulated.

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::causes::{Loop, LoopResult};
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::units::Window;

use super::Caused;
use super::rows::{LEADING, STACKS, Stack};
use crate::document::{
    Bar, Cell, Chart, Column, Figure, Fill, Row, Rows, SpanScale, SpanStrip, Spans, Table,
};
use crate::figures::variance_share;
use crate::inputs::{loop_key, loop_words};
use crate::printed::Printed;

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

/// The window of a loop, mm.
pub(super) fn window(setup: &Setup, which: Loop) -> Window {
    let windows = &setup.axle.windows;
    match which {
        Loop::Depth => Window::new(-windows.depth, windows.depth),
        Loop::Backlash => windows.backlash,
        Loop::Closure => windows.side_closure,
    }
}

/// What a loop is meant to come to, mm: the middle of the textbook sums.
pub(super) fn middle(setup: &Setup, which: Loop) -> f64 {
    match which {
        Loop::Depth => 0.0,
        Loop::Backlash => setup.axle.windows.backlash.middle(),
        Loop::Closure => setup.shop.bench.side_preload_added,
    }
}

/// The three spans of a loop: how far it goes, and what it is called.
const SPANS: [(Fill, &str, &str); 3] = [
    (Fill::Dark, "simulated", "simulated"),
    (Fill::Light, "root-sum-square", "root_sum_square"),
    (Fill::Hollow, "worst case", "worst_case"),
];

/// From where over which middle to where each of them goes, mm; nothing where there are too few
/// rebuilds to say.
fn spans_of(setup: &Setup, simulated: &LoopResult) -> [Option<[f64; 3]>; 3] {
    let around = |middle: f64, half: f64| Some([middle - half, middle, middle + half]);
    let (stack, middle) = (&simulated.stack, middle(setup, simulated.stack.of));
    let half = &simulated.half_range;
    [
        around(simulated.mean.value, half.value).filter(|_| half.low.is_finite()),
        around(middle, stack.root_sum_square()),
        around(middle, stack.worst()),
    ]
}

/// Over the spans.
pub(super) fn against_windows(print: Printed) -> String {
    format!(
        "The first assembly against its windows, {}",
        print.length_unit()
    )
}

/// The spans of these loops as a table, and how to read it.
pub(super) fn spans_table(asked: &Caused<'_>, loops: &[&LoopResult]) -> Table {
    let print = asked.print;
    let titles = SPANS.map(|(_, title, _)| title);
    let figures = std::iter::once("window").chain(titles).map(Column::figures);
    let first = Column::words("");
    let mut table =
        Table::new(std::iter::once(first).chain(figures)).caption(against_windows(print));
    for simulated in loops {
        let which = simulated.stack.of;
        let text = |low: f64, high: f64| {
            format!("{} to {}", print.bare_length(low), print.bare_length(high))
        };
        let window = window(asked.setup, which);
        let window = [window.low, window.high]
            .map(|end| print.bare_given(end))
            .join(" to ");
        let mut row: Vec<Cell> = vec![loop_words(which).into(), window.into()];
        row.extend(spans_of(asked.setup, simulated).map(|span| match span {
            Some([low, _, high]) => text(low, high).into(),
            None => Cell::from("too few to say"),
        }));
        table.row(row);
    }
    table
}

/// How to read the spans.
pub(super) const SPANS_READ: &str = "Worst case: every contributor at its limit the same way; root-sum-square: the limits \
     added as chance adds them, around what is aimed for; simulated: what all but 27 rebuilds in 10000 \
     lie within, around their mean.";

/// The spans of all loops as a figure.
pub(super) fn spans(asked: &Caused<'_>) -> Figure {
    let print = asked.print;
    let loops: Vec<&LoopResult> = asked.causes.loops.iter().collect();
    let strips = loops.iter().map(|simulated| {
        let which = simulated.stack.of;
        let Window { low, high } = window(asked.setup, which);
        let bars = spans_of(asked.setup, simulated);
        let drawn = || bars.iter().flatten().flatten().chain([&low, &high]);
        let least = drawn().copied().fold(f64::INFINITY, f64::min);
        let most = drawn().copied().fold(f64::NEG_INFINITY, f64::max);
        SpanStrip {
            name: format!("{}, {}", loop_words(which), print.length_unit()),
            window: [low, high],
            ends: [low, high].map(|end| print.bare_given(end)),
            widest: [least, most].map(|end| print.bare_length(end)),
            bars: bars.to_vec(),
        }
    });
    let mut rows = Table::new(["loop", "span", "low_mm", "middle_mm", "high_mm"].map(Column::data));
    for simulated in &loops {
        let which = simulated.stack.of;
        let window = window(asked.setup, which);
        let window = Some([window.low, window.middle(), window.high]);
        let spans = SPANS.map(|(_, _, key)| key).into_iter();
        let spans = spans.zip(spans_of(asked.setup, simulated));
        for (span, figures) in spans.chain([("window", window)]) {
            let mut row: Vec<Cell> = vec![loop_key(which).into(), span.into()];
            row.extend(figures.unwrap_or([f64::NAN; 3]).map(Cell::data));
            rows.row(row);
        }
    }
    Figure {
        name: "stack-spans",
        question: "How far does the first assembly go, against its windows?".into(),
        drawn: "A strip for each loop with its window and three bars on one scale: what the simulation \
                came to, the root-sum-square and the worst case; the line in a bar is its middle."
            .into(),
        chart: Chart::Spans(Spans {
            scale: SpanScale::Bars,
            key: SPANS
                .map(|(fill, name, _)| match fill {
                    Fill::Dark => (fill, format!("{name}: 99.73 % of the rebuilds")),
                    _ => (fill, name.into()),
                })
                .to_vec(),
            strips: strips.collect(),
        }),
        finding: loops.iter().map(|of| wider(asked.setup, of)).collect::<Vec<_>>().join(" "),
        reading: SPANS_READ.into(),
        table: spans_table(asked, &loops),
        rows: Some(rows),
    }
}

/// How wide the spans of a loop are against its window.
fn wider(setup: &Setup, simulated: &LoopResult) -> String {
    let window = window(setup, simulated.stack.of);
    let times = |span: Option<[f64; 3]>| match span {
        Some([from, _, to]) => format!("{:.1}", (to - from) / window.width()),
        None => "too few rebuilds to say how many".into(),
    };
    let [simulated_as, root, worst] = spans_of(setup, simulated).map(times);
    format!(
        "{}: {simulated_as} times as wide as its window in the simulation, {root} times by \
         root-sum-square, {worst} times at the worst.",
        loop_words(simulated.stack.of)
    )
}

/// A bar of a share that is known exactly.
fn plain(share: f64) -> Option<Bar> {
    Some(Bar::exact(100.0 * share))
}

/// A bar of a share in percent: what chance put outside 0 to 100 ends there, and what is hardly known
/// has none.
pub(super) fn share_bar(share: &Estimate) -> Option<Bar> {
    let inside = |share: f64| 100.0 * share.clamp(0.0, 1.0);
    let half = share.half_width();
    let told = !variance_share(share)[1].is_empty();
    told.then(|| Bar {
        value: inside(share.value),
        interval: half
            .is_finite()
            .then(|| [share.value - half, share.value + half].map(inside)),
    })
}
