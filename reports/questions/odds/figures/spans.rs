//! Every window in one figure: where the truth lies, at first and as handed over.

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::count::histogram::Histogram;
use shimcast_sim::units::Window;

use super::Pictured;
use crate::document::{
    Cell, Chart, Column, Figure, Fill, Known, SpanScale, SpanStrip, Spans, Table,
};
use crate::figures::said;
use crate::printed::Printed;
use crate::sentences::said_first;

/// From where to where a bar goes: 19 jobs in 20.
const ENDS: [f64; 3] = [0.025, 0.5, 0.975];

/// How a figure is read.
#[derive(Clone, Copy)]
enum Unit {
    Length,
    Torque,
    Share,
}

/// A figure with its window, in the model's units.
struct Strip<'a> {
    name: &'static str,
    key: &'static str,
    unit: Unit,
    window: Window,
    /// As first bolted up, where it has that, and as handed over.
    stages: [Option<&'a Histogram>; 2],
}

fn strips<'a>(of: &Pictured<'a>) -> Vec<Strip<'a>> {
    let windows = &of.setup.axle.windows;
    let (first, last) = (&of.pictures.first, &of.pictures.handed_over);
    let both = |of: fn(&'a _) -> &'a Histogram| [Some(of(first)), Some(of(last))];
    let length = |name, key, window, stages| Strip {
        name,
        key,
        unit: Unit::Length,
        window,
        stages,
    };
    let mut all = vec![
        length(
            "tightest tooth",
            "backlash_tightest_tooth",
            windows.backlash,
            both(|stage| &stage.tightest),
        ),
        length(
            "loosest tooth",
            "backlash_loosest_tooth",
            windows.backlash,
            both(|stage| &stage.loosest),
        ),
    ];
    let [along, up] = [windows.pattern_length, windows.pattern_profile];
    let names = [
        ("drive, along", "drive_length", along),
        ("drive, up", "drive_profile", up),
        ("coast, along", "coast_length", along),
        ("coast, up", "coast_profile", up),
    ];
    for (place, (name, key, limit)) in names.into_iter().enumerate() {
        all.push(Strip {
            name,
            key,
            unit: Unit::Share,
            window: Window::new(-limit, limit),
            stages: [Some(&first.pattern[place]), Some(&last.pattern[place])],
        });
    }
    all.push(length(
        "side preload",
        "side_closure",
        windows.side_closure,
        both(|stage| &stage.closure),
    ));
    all.push(Strip {
        name: "pinion torque",
        key: "pinion_torque",
        unit: Unit::Torque,
        window: of.setup.torque_window,
        stages: [None, Some(&of.pictures.pinion_torque)],
    });
    all
}

impl Unit {
    fn name(self, print: Printed) -> &'static str {
        match self {
            Self::Length => print.length_unit(),
            Self::Torque => print.units.torque.printed(),
            Self::Share => "%",
        }
    }

    fn text(self, figure: f64, print: Printed) -> String {
        match self {
            Self::Length => print.bare_length(figure),
            Self::Torque => print.bare_torque(figure),
            Self::Share => format!("{:+.0}", 100.0 * figure),
        }
    }

    fn cell(self, estimate: &Estimate, print: Printed) -> Cell {
        match self {
            Self::Length => Cell::known(Known::Length(*estimate, print)),
            Self::Torque => {
                let unit = print.units.torque.newton_metres();
                Cell::mean(&estimate.times(1.0 / unit), 2)
            }
            Self::Share => Cell::change(&estimate.times(100.0), 1),
        }
    }
}

/// Every window in one figure.
pub(super) fn spans(of: &Pictured<'_>) -> Figure {
    let print = of.print;
    let strips = strips(of);
    let (first, last) = (&of.odds.first_assembly.all, &of.odds.handed_over.all);
    let bar = |histogram: &Histogram| {
        let ends = ENDS.map(|q| histogram.quantile(q).value);
        ends.iter().all(|end| end.is_finite()).then_some(ends)
    };
    let drawn = strips.iter().map(|strip| SpanStrip {
        name: format!("{}, {}", strip.name, strip.unit.name(print)),
        window: [strip.window.low, strip.window.high],
        ends: [strip.window.low, strip.window.high].map(|end| strip.unit.text(end, print)),
        widest: Default::default(),
        bars: strip.stages.map(|stage| stage.and_then(bar)).to_vec(),
    });
    Figure {
        name: "windows-in-one",
        question: "Where does it lie in each window?".into(),
        drawn: "A strip for each window, all drawn equally wide, with a bar for 19 jobs in 20 as \
                first bolted up and another as handed over; the line in a bar is the middle job."
            .into(),
        chart: Chart::Spans(Spans {
            scale: SpanScale::Window,
            key: vec![
                (Fill::Hollow, "as first bolted up, 19 jobs in 20".into()),
                (Fill::Dark, "as handed over, 19 jobs in 20".into()),
            ],
            strips: drawn.collect(),
        }),
        finding: format!(
            "{} of first assemblies are inside every window; of the finished jobs {} are.",
            said_first(first),
            said(last)
        ),
        reading:
            "Tightest and loosest tooth: backlash round the ring. Drive and coast: the middle of \
                  the pattern along the tooth and up it, percent of the tooth from its centre. The \
                  line in a bar is the middle job; a bar that goes on outside the picture ends in \
                  an arrow head. All windows are drawn equally wide, whatever their units."
                .into(),
        table: table(&strips, print),
        rows: Some(rows(&strips)),
    }
}

fn table(strips: &[Strip<'_>], print: Printed) -> Table {
    let mut table = Table::new([
        Column::words(""),
        Column::words("window"),
        Column::words("as"),
        Column::intervals("1 job in 40 below"),
        Column::intervals("middle job"),
        Column::intervals("1 job in 40 above"),
    ])
    .caption("Where the truth lies in each window");
    for strip in strips {
        let ends = [strip.window.low, strip.window.high].map(|end| strip.unit.text(end, print));
        let window = format!("{} to {} {}", ends[0], ends[1], strip.unit.name(print));
        for (stage, name) in strip.stages.iter().zip(["first bolted up", "handed over"]) {
            let Some(histogram) = stage.filter(|all| all.total() > 0) else {
                continue;
            };
            let ends = ENDS.map(|q| strip.unit.cell(&histogram.quantile(q), print));
            let words = [strip.name, &window, name].map(Cell::from);
            table.row(words.into_iter().chain(ends));
        }
    }
    table
}

/// A row a window, stage and quantile, for other tools.
fn rows(strips: &[Strip<'_>]) -> Table {
    let mut table = Table::new([
        Column::data("figure"),
        Column::data("unit"),
        Column::data("window_low"),
        Column::data("window_high"),
        Column::data("stage"),
        Column::data("quantile"),
        Column::intervals("").key("value"),
    ]);
    for strip in strips {
        let unit = match strip.unit {
            Unit::Length => "mm",
            Unit::Torque => "N.m",
            Unit::Share => "share",
        };
        for (stage, name) in strip.stages.iter().zip(["first_assembly", "handed_over"]) {
            let Some(histogram) = stage.filter(|all| all.total() > 0) else {
                continue;
            };
            for q in ENDS {
                table.row([
                    strip.key.into(),
                    unit.into(),
                    Cell::data(strip.window.low),
                    Cell::data(strip.window.high),
                    name.into(),
                    Cell::data(q),
                    Cell::mean(&histogram.quantile(q), 6),
                ]);
            }
        }
    }
    table
}
