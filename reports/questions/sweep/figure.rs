//! One or two figures of the files swept: what the odds, the hours and the money come to.

use shimcast_sim::compare::Verdict;
use shimcast_sim::count::estimate::Estimate;

use super::points::{Key, PLAYS_NO_PART, Points};
use crate::cli::Value;
use crate::document::{
    Cell, Chart, Column, Figure, Known, Map, Maps, Sample, Shade, Strip, Strips, Table,
};
use crate::figures::{Digits, as_given, rebuilds};
use crate::questions::compare::measures::{Measure, OfWay, changes};
use crate::questions::frame::{FEW, TOO_FEW};

/// What the figure shows of each point.
fn shown(asked: &Points<'_>) -> Vec<OfWay> {
    let mut shown = OfWay::shown(asked.comparison);
    shown.retain(|of| !matches!(of, OfWay::By(Measure::Assemblies) | OfWay::HoursP80));
    shown
}

/// A sweep as a figure.
pub fn figure(asked: &Points<'_>) -> Figure {
    let keys = asked.names();
    let finding = if asked.comparison.rebuilds < FEW {
        TOO_FEW.to_owned()
    } else if asked.changes_nothing() {
        PLAYS_NO_PART.to_owned()
    } else if asked.two_keys() {
        extremes(asked)
    } else if asked.of_figures() {
        from_end_to_end(asked)
    } else {
        against_base(asked)
    };
    let (question, kind) = if asked.two_keys() {
        (
            format!("What do {keys} do together?"),
            "Maps over two figures of the files",
        )
    } else if asked.of_figures() {
        (
            format!("What does {keys} do?"),
            "Lines over one figure of the files, each with its 95 % interval as a band and that of its \
             difference from the dashed line as whiskers",
        )
    } else {
        (
            format!("What does {keys} do?"),
            "Points, one a choice, each with its 95 % interval as a bar and that of its difference \
             from the dashed line as whiskers",
        )
    };
    Figure {
        name: "sweep",
        question,
        drawn: format!(
            "{kind}: the shares of jobs right at the first assembly, right when handed over and \
             handed over clearly out, mean hours and cost of a job."
        ),
        chart: if asked.two_keys() {
            Chart::Maps(maps(asked))
        } else {
            Chart::Strips(strips(asked))
        },
        finding,
        reading: format!(
            "{}, the very same parts at every point, so differences are known better than each point \
             by itself: those from {} are taken pair by pair.{} {}",
            rebuilds(asked.comparison.rebuilds),
            asked.base_in_words(),
            if asked.two_keys() {
                " What stands behind a title is how well its least known figure is known."
            } else {
                ""
            },
            asked.meaning()
        ),
        table: asked.table(),
        rows: Some(rows(asked)),
    }
}

/// What the whole way from the first value to the last changes.
fn from_end_to_end(asked: &Points<'_>) -> String {
    let (Some(from), Some(to)) = (asked.points.first(), asked.points.last()) else {
        return String::new();
    };
    let Some(differences) = asked.comparison.differences.last() else {
        return String::new();
    };
    format!(
        "From {} to {}: {}.",
        from[0].shown(),
        to[0].shown(),
        changes(asked.comparison, differences, asked.currency())
    )
}

/// What each choice changes against the files' own.
fn against_base(asked: &Points<'_>) -> String {
    let others = asked.points.iter().zip(&asked.comparison.from_base);
    let others = others.enumerate().filter(|(i, _)| *i != asked.base());
    let changed = others.map(|(_, (point, differences))| {
        let changes = changes(asked.comparison, differences, asked.currency());
        format!("{}: {changes}.", point[0].shown())
    });
    let against = format!("Against {}:", asked.base_in_words());
    std::iter::once(against)
        .chain(changed)
        .collect::<Vec<_>>()
        .join(" ")
}

/// From where to where the shares of right jobs and the cost go.
fn extremes(asked: &Points<'_>) -> String {
    let place = |i: usize| {
        let named = asked.keys.iter().zip(&asked.points[i]);
        let named: Vec<String> = named
            .map(|(key, value)| format!("{} {}", key.name, value.shown()))
            .collect();
        named.join(", ")
    };
    let mut said = Vec::new();
    let told = [
        Measure::HandedOver,
        Measure::ClearlyOut,
        Measure::Finished,
        Measure::Money,
    ];
    for measure in Measure::shown(asked.comparison) {
        if !told.contains(&measure) {
            continue;
        }
        let name = measure.words();
        let of = |i: usize| measure.of(&asked.comparison.ways[i]);
        let mut known: Vec<usize> = (0..asked.points.len()).collect();
        known.retain(|i| of(*i).value.is_finite());
        known.sort_by(|a, b| of(*a).value.total_cmp(&of(*b).value));
        let (Some(&least), Some(&most)) = (known.first(), known.last()) else {
            continue;
        };
        let read = |i: usize| {
            let read = measure.cell(of(i)).with_half();
            match measure {
                Measure::Money => format!("{read} {}", asked.currency()),
                _ => read,
            }
        };
        // what lies within chance of each other is not told apart
        said.push(if of(least).high < of(most).low {
            format!(
                "{name} from {} ({}) to {} ({})",
                read(least),
                place(least),
                read(most),
                place(most)
            )
        } else {
            format!("{name} about {} everywhere", read(known[known.len() / 2]))
        });
    }
    if said.is_empty() {
        return TOO_FEW.into();
    }
    format!("As far as was swept: {}.", said.join("; "))
}

/// What an estimate is drawn as: shares in percent.
fn drawn(column: OfWay, estimate: &Estimate) -> Estimate {
    if column.is_share() {
        estimate.times(100.0)
    } else {
        *estimate
    }
}

/// A difference set on a level.
fn raised(difference: &Estimate, level: f64) -> Estimate {
    Estimate {
        value: level + difference.value,
        low: level + difference.low,
        high: level + difference.high,
        ..*difference
    }
}

fn name(column: OfWay, currency: &str) -> String {
    let unit = if column.is_share() { ", %" } else { "" };
    format!("{}{unit}", column.title(currency))
}

/// Where a point is drawn: at its number, or at its place among choices.
fn place_of(asked: &Points<'_>, i: usize) -> f64 {
    let figure = asked.points[i][0].figure();
    figure.filter(|_| asked.of_figures()).unwrap_or(i as f64)
}

fn strips(asked: &Points<'_>) -> Strips {
    let places = || (0..asked.points.len()).map(|i| place_of(asked, i));
    let measures = shown(asked).into_iter().filter_map(OfWay::measure);
    let strips = measures.map(|by| {
        let column = OfWay::By(by);
        let drawn = |estimate: &Estimate| drawn(column, estimate);
        let ways = places().zip(&asked.comparison.ways);
        let samples = ways.map(|(x, way)| Sample {
            x,
            y: drawn(column.of(way)),
        });
        let mut samples: Vec<Sample> = samples.collect();
        let level = samples[asked.base()].y.value;
        let others = places().zip(&asked.comparison.from_base).enumerate();
        let others = others.filter(|(i, _)| *i != asked.base());
        let apart = others.map(|(_, (x, differences))| Sample {
            x,
            y: raised(&drawn(by.difference(differences)), level),
        });
        // a list may go to and fro, a line goes from left to right
        samples.sort_by(|a, b| a.x.total_cmp(&b.x));
        Strip {
            name: name(column, asked.currency()),
            apart: apart.collect(),
            samples,
        }
    });
    let marks = places().zip(asked.points);
    let mut marks: Vec<_> = marks.map(|(x, point)| (x, short(&point[0]))).collect();
    marks.sort_by(|a, b| a.0.total_cmp(&b.0));
    Strips {
        label: asked.keys[0].titled(),
        joined: asked.of_figures(),
        base: (place_of(asked, asked.base()), asked.base_in_words()),
        marks,
        strips: strips.collect(),
    }
}

fn maps(asked: &Points<'_>) -> Maps {
    let across = asked.across();
    let rows = || asked.points.chunks(across.len());
    let maps: Vec<Map> = shown(asked)
        .into_iter()
        .map(|column| {
            let estimates: Vec<Estimate> = asked
                .comparison
                .ways
                .iter()
                .map(|way| drawn(column, column.of(way)))
                .collect();
            // all cells to the same digits, which the least known one carries
            let known = estimates.iter().filter(|e| e.value.is_finite());
            let least_known = known.max_by(|a, b| a.half_width().total_cmp(&b.half_width()));
            let digits = least_known.map(|estimate| Digits::of(estimate, 2));
            let half = match (least_known.map(Estimate::half_width), digits) {
                (Some(half), Some(digits)) if half.is_finite() => {
                    format!(", to ±{}", digits.text(half))
                }
                _ => String::new(),
            };
            Map {
                name: format!("{}{half}", name(column, asked.currency())),
                cells: estimates
                    .iter()
                    .enumerate()
                    .map(|(i, estimate)| Shade {
                        value: estimate.value,
                        text: match digits {
                            Some(digits) if estimate.value.is_finite() => {
                                digits.text(estimate.value)
                            }
                            _ => "-".into(),
                        },
                        apart: apart(asked, column, i),
                    })
                    .collect::<Vec<Shade>>()
                    .chunks(across.len())
                    .map(<[Shade]>::to_vec)
                    .collect(),
            }
        })
        .collect();
    Maps {
        down: (
            asked.keys[0].titled(),
            rows().map(|row| short(&row[0][0])).collect(),
        ),
        across: (asked.keys[1].titled(), across.iter().map(short).collect()),
        base: (
            [asked.base() / across.len(), asked.base() % across.len()],
            asked.base_in_words(),
        ),
        maps,
    }
}

/// What a point differs by from the base as text, with its interval and without.
fn apart(asked: &Points<'_>, column: OfWay, i: usize) -> [String; 2] {
    let of = column.measure().zip(asked.comparison.from_base.get(i));
    let Some((by, differences)) = of.filter(|_| i != asked.base()) else {
        return Default::default();
    };
    let difference = by.difference(differences);
    if Verdict::of(difference) == Verdict::NoneSeen {
        return Default::default();
    }
    // percentage points under a share need no unit of their own
    let cell = Cell::known(Known::Seen(drawn(column, difference), 2));
    [cell.with_half(), cell.value()]
}

/// A value at the side of a figure, to four digits.
fn short(value: &Value) -> String {
    let Value::Figure(value) = *value else {
        return value.shown();
    };
    let four: f64 = format!("{value:.3e}").parse().unwrap_or(value);
    as_given(if value.abs() < 1e4 { four } else { value })
}

/// A row a point and figure, for other tools.
fn rows(asked: &Points<'_>) -> Table {
    let named = ["key", "value", "second_key", "second_value", "figure"];
    let figures = ["estimate", "estimate_low", "estimate_high", "rebuilds"];
    let against = ["own", "against_own", "against_own_low", "against_own_high"];
    let columns = named.into_iter().chain(figures).chain(against);
    let mut table = Table::new(columns.map(Column::data));
    let points = asked.points.iter().zip(&asked.comparison.ways);
    for (i, (point, way)) in points.enumerate() {
        let mut named: Vec<Cell> = Vec::new();
        for place in 0..2 {
            let key = asked.keys.get(place).map_or(String::new(), Key::column);
            named.push(key.into());
            named.push(
                point
                    .get(place)
                    .map_or(String::new(), Value::in_full)
                    .into(),
            );
        }
        for column in OfWay::ALL {
            let estimate = column.of(way);
            let mut row = named.clone();
            row.push(column.key().into());
            row.extend([estimate.value, estimate.low, estimate.high].map(Cell::data));
            row.push(Cell::count(asked.comparison.rebuilds));
            row.push((asked.own == Some(i)).to_string().into());
            let of = column.measure().zip(asked.against_own(i));
            if let Some((by, differences)) = of {
                let apart = by.difference(differences);
                row.extend([apart.value, apart.low, apart.high].map(Cell::data));
            }
            table.row(row);
        }
    }
    table
}
