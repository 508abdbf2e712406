//! One or two figures of the files swept: what the odds, the hours and the money come to.

use shimcast_sim::count::estimate::Estimate;

use super::points::{PLAYS_NO_PART, Points};
use crate::document::{
    Cell, Chart, Column, Figure, Map, Maps, Sample, Shade, Strip, Strips, Table,
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
    let keys = asked.keys.join(" and ");
    let finding = if asked.comparison.rebuilds < FEW {
        TOO_FEW.to_owned()
    } else if asked.changes_nothing() {
        PLAYS_NO_PART.to_owned()
    } else if asked.two_keys() {
        extremes(asked)
    } else {
        from_end_to_end(asked)
    };
    let (question, kind) = if asked.two_keys() {
        (
            format!("What do {keys} do together?"),
            "Maps over two figures of the files",
        )
    } else {
        (
            format!("What does {keys} do?"),
            "Lines over one figure of the files, each with its 95 % interval as a band",
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
            "{}, the very same parts at every point.{} Differences between points are known better. {}",
            rebuilds(asked.comparison.rebuilds),
            if asked.two_keys() {
                ""
            } else {
                " The bands are of each point by itself."
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
        as_given(from[0]),
        as_given(to[0]),
        changes(asked.comparison, differences, asked.currency())
    )
}

/// From where to where the shares of right jobs and the cost go.
fn extremes(asked: &Points<'_>) -> String {
    let place = |i: usize| {
        let named = asked.keys.iter().zip(&asked.points[i]);
        let named: Vec<String> = named
            .map(|(key, value)| format!("{key} {}", as_given(*value)))
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

fn name(column: OfWay, currency: &str) -> String {
    let unit = if column.is_share() { ", %" } else { "" };
    format!("{}{unit}", column.title(currency))
}

fn strips(asked: &Points<'_>) -> Strips {
    let ways = || asked.points.iter().zip(&asked.comparison.ways);
    let strips = shown(asked)
        .into_iter()
        .map(|column| Strip {
            name: name(column, asked.currency()),
            samples: ways()
                .map(|(point, way)| Sample {
                    x: point[0],
                    y: drawn(column, column.of(way)),
                })
                .collect(),
        })
        .collect();
    let marks = asked.points.iter().map(|point| (point[0], short(point[0])));
    Strips {
        label: asked.keys[0].clone(),
        marks: marks.collect(),
        strips,
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
                    format!(", each ±{} or less", digits.text(half))
                }
                _ => String::new(),
            };
            Map {
                name: format!("{}{half}", name(column, asked.currency())),
                cells: estimates
                    .chunks(across.len())
                    .map(|row| {
                        row.iter()
                            .map(|estimate| Shade {
                                value: estimate.value,
                                text: match digits {
                                    Some(digits) if estimate.value.is_finite() => {
                                        digits.text(estimate.value)
                                    }
                                    _ => "-".into(),
                                },
                            })
                            .collect()
                    })
                    .collect(),
            }
        })
        .collect();
    Maps {
        down: (
            asked.keys[0].clone(),
            rows().map(|row| short(row[0][0])).collect(),
        ),
        across: (
            asked.keys[1].clone(),
            across.iter().map(|value| short(*value)).collect(),
        ),
        maps,
    }
}

/// A value at the side of a figure, to four digits.
fn short(value: f64) -> String {
    let four: f64 = format!("{value:.3e}").parse().unwrap_or(value);
    as_given(if value.abs() < 1e4 { four } else { value })
}

/// A row a point and figure, for other tools.
fn rows(asked: &Points<'_>) -> Table {
    let named = ["key", "value", "second_key", "second_value", "figure"];
    let figures = ["estimate", "estimate_low", "estimate_high", "rebuilds"];
    let mut table = Table::new(named.into_iter().chain(figures).map(Column::data));
    for (point, way) in asked.points.iter().zip(&asked.comparison.ways) {
        let mut named: Vec<Cell> = Vec::new();
        for place in 0..2 {
            named.push(asked.keys.get(place).cloned().unwrap_or_default().into());
            named.push(
                point
                    .get(place)
                    .map_or(String::new(), f64::to_string)
                    .into(),
            );
        }
        for column in OfWay::ALL {
            let estimate = column.of(way);
            let mut row = named.clone();
            row.push(column.key().into());
            row.extend([estimate.value, estimate.low, estimate.high].map(Cell::data));
            row.push(Cell::count(asked.comparison.rebuilds));
            table.row(row);
        }
    }
    table
}
