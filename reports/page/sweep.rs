//! One or two figures of the files swept: what the odds, the hours and the money come to.

use shimcast_sim::compare::Verdict;
use shimcast_sim::estimate::Estimate;

use super::data::{Observations, cells};
use super::exhibit::Exhibit;
use super::html::Table;
use crate::answers::compare::Measure;
use crate::answers::sweep::{Column, Swept};
use crate::chart::{self, Cell, Figure, Map, Maps, Sample, Strip, Words};
use crate::figures::{
    Digits, as_given, interval, number, percent, percent_interval, percent_with_half, signed,
    signed_interval, with_half,
};

/// What the figure shows of each point.
const SHOWN: [Column; 4] = [
    Column::FirstAssembly,
    Column::HandedOver,
    Column::Hours,
    Column::Money,
];

/// A sweep as an exhibit.
pub fn swept(asked: &Swept<'_>) -> Exhibit {
    let keys = asked.keys.join(" and ");
    let finding = if asked.two_keys() {
        extremes(asked)
    } else {
        from_end_to_end(asked)
    };
    let (title, kind) = if asked.two_keys() {
        (
            format!("What do {keys} do together?"),
            "Maps of four figures over two",
        )
    } else {
        (
            format!("What does {keys} do?"),
            "Lines of four figures over one, each with its 95 % interval as a band",
        )
    };
    let words = Words {
        name: "sweep".into(),
        title,
        description: format!(
            "{kind}: share right at the first assembly, share right when handed over, mean hours \
             and cost of a job. {finding}"
        ),
    };
    let figure = if asked.two_keys() {
        maps(asked, words)
    } else {
        strips(asked, words)
    };
    Exhibit {
        finding,
        figure,
        reading: format!(
            "{} rebuilds, the very same parts at every point: differences between points are known \
             better than each point by itself{}.",
            asked.comparison.rebuilds,
            if asked.two_keys() {
                ""
            } else {
                ", which is what the bands tell"
            }
        ),
        table: table(asked),
        observations: observations(asked),
    }
}

/// What the whole way from the first value to the last changes.
fn from_end_to_end(asked: &Swept<'_>) -> String {
    let (Some(from), Some(to)) = (asked.points.first(), asked.points.last()) else {
        return String::new();
    };
    let Some(differences) = asked.comparison.differences.last() else {
        return String::new();
    };
    let mut seen = Vec::new();
    let mut not_seen = Vec::new();
    for (measure, name) in [
        (Measure::FirstAssembly, "right at the first assembly"),
        (Measure::HandedOver, "right when handed over"),
        (Measure::Hours, "hours"),
        (Measure::Money, "cost"),
    ] {
        let difference = measure.difference(differences);
        if Verdict::of(difference) == Verdict::NoneSeen {
            not_seen.push(name);
            continue;
        }
        let (difference, unit) = match measure {
            Measure::FirstAssembly | Measure::HandedOver => {
                (difference.times(100.0), " percentage points".to_owned())
            }
            Measure::Money => (*difference, format!(" {}", asked.currency())),
            _ => (*difference, String::new()),
        };
        seen.push(format!(
            "{name} {}{unit} ({})",
            signed(&difference, 2),
            signed_interval(&difference, 2)
        ));
    }
    let mut said = format!(
        "From {} to {}: {}",
        as_given(from[0]),
        as_given(to[0]),
        if seen.is_empty() {
            "no difference seen".to_owned()
        } else {
            seen.join("; ")
        }
    );
    if !seen.is_empty() && !not_seen.is_empty() {
        said.push_str(&format!("; no difference seen in {}", not_seen.join(", ")));
    }
    said.push('.');
    said
}

/// Where most are right and where a job costs least, as far as was swept.
fn extremes(asked: &Swept<'_>) -> String {
    let ways = &asked.comparison.ways;
    let known = |column: Column| {
        let of = move |i: usize| column.of(&ways[i]).value;
        let known = (0..ways.len()).filter(move |i| of(*i).is_finite());
        (known, of)
    };
    let place = |i: usize| {
        let named = asked.keys.iter().zip(&asked.points[i]);
        let named: Vec<String> = named
            .map(|(key, value)| format!("{key} {}", as_given(*value)))
            .collect();
        named.join(", ")
    };
    let (most_right, right) = known(Column::HandedOver);
    let (cheapest, costs) = known(Column::Money);
    let most_right = most_right.max_by(|a, b| right(*a).total_cmp(&right(*b)));
    let cheapest = cheapest.min_by(|a, b| costs(*a).total_cmp(&costs(*b)));
    let mut said = Vec::new();
    if let Some(i) = most_right {
        said.push(format!(
            "Of the points swept, most are right when handed over at {}: {}",
            place(i),
            percent_with_half(Column::HandedOver.of(&ways[i]))
        ));
    }
    if let Some(i) = cheapest {
        said.push(format!(
            "a job costs least at {}: {} {}",
            place(i),
            with_half(Column::Money.of(&ways[i]), 0),
            asked.currency()
        ));
    }
    if said.is_empty() {
        return "Too few rebuilds to say.".into();
    }
    format!("{}.", said.join("; "))
}

/// What an estimate is drawn as: shares in percent.
fn drawn(column: Column, estimate: &Estimate) -> Estimate {
    if column.is_share() {
        estimate.times(100.0)
    } else {
        *estimate
    }
}

fn name(column: Column, currency: &str) -> String {
    let unit = if column.is_share() { ", %" } else { "" };
    format!("{}{unit}", column.title(currency))
}

fn strips(asked: &Swept<'_>, words: Words) -> Figure {
    let ways = || asked.points.iter().zip(&asked.comparison.ways);
    let strips: Vec<Strip> = SHOWN
        .into_iter()
        .map(|column| Strip {
            name: name(column, asked.currency()),
            samples: ways()
                .map(|(point, way)| {
                    let estimate = drawn(column, column.of(way));
                    Sample {
                        x: point[0],
                        y: estimate.value,
                        low: estimate.low,
                        high: estimate.high,
                    }
                })
                .collect(),
        })
        .collect();
    chart::strips(words, &asked.keys[0], &strips)
}

fn maps(asked: &Swept<'_>, words: Words) -> Figure {
    let across = asked.across();
    let rows = || asked.points.chunks(across.len());
    let maps: Vec<Map> = SHOWN
        .into_iter()
        .map(|column| {
            let estimates: Vec<Estimate> = asked
                .comparison
                .ways
                .iter()
                .map(|way| drawn(column, column.of(way)))
                .collect();
            let halves = estimates.iter().map(Estimate::half_width);
            let widest = halves.filter(|half| half.is_finite()).fold(0.0, f64::max);
            // all cells to the same digits, which the least known one carries
            let least_known = estimates
                .iter()
                .find(|estimate| estimate.half_width() >= widest);
            let digits = |estimate: &Estimate| {
                let widest = least_known.unwrap_or(estimate);
                Digits::of(widest, 2).text(estimate.value)
            };
            let half = least_known.map_or(String::new(), |estimate| {
                format!(", each ±{} or less", Digits::of(estimate, 2).text(widest))
            });
            Map {
                name: format!("{}{half}", name(column, asked.currency())),
                cells: estimates
                    .chunks(across.len())
                    .map(|row| {
                        row.iter()
                            .map(|estimate| Cell {
                                value: estimate.value,
                                text: if estimate.value.is_finite() {
                                    digits(estimate)
                                } else {
                                    "-".into()
                                },
                            })
                            .collect()
                    })
                    .collect(),
            }
        })
        .collect();
    chart::maps(&Maps {
        words,
        down: (
            asked.keys[0].clone(),
            rows().map(|row| short(row[0][0])).collect(),
        ),
        across: (
            asked.keys[1].clone(),
            across.iter().map(|value| short(*value)).collect(),
        ),
        maps,
    })
}

/// A value at the side of a map, to four digits.
fn short(value: f64) -> String {
    let four: f64 = format!("{value:.3e}").parse().unwrap_or(value);
    as_given(if value.abs() < 1e4 { four } else { value })
}

fn table(asked: &Swept<'_>) -> Table {
    let columns = asked.columns();
    let mut head = asked.keys.to_vec();
    for column in &columns {
        let name = match column {
            Column::HandedOver => "Right when handed over".to_owned(),
            Column::HoursP80 => "4 in 5 within, h".to_owned(),
            Column::Hours => "Hours, mean".to_owned(),
            Column::Money => format!("Cost of a job, {}", asked.currency()),
            other => other.title(asked.currency()),
        };
        head.extend([name, "95 % interval".to_owned()]);
    }
    let mut table = Table::new("What each point comes to", head);
    for (point, way) in asked.points.iter().zip(&asked.comparison.ways) {
        let mut row: Vec<String> = point.iter().map(|value| as_given(*value)).collect();
        for column in &columns {
            let estimate = column.of(way);
            row.extend(if column.is_share() {
                [percent(estimate), percent_interval(estimate)]
            } else {
                [number(estimate, 2), interval(estimate, 2)]
            });
        }
        table.row(row);
    }
    table
}

fn observations(asked: &Swept<'_>) -> Observations {
    let mut observations = Observations::new(
        "sweep",
        &[
            "key",
            "value",
            "second_key",
            "second_value",
            "figure",
            "estimate",
            "estimate_low",
            "estimate_high",
            "rebuilds",
        ],
    );
    for (point, way) in asked.points.iter().zip(&asked.comparison.ways) {
        let mut named: Vec<String> = Vec::new();
        for place in 0..2 {
            named.push(asked.keys.get(place).cloned().unwrap_or_default());
            named.push(point.get(place).map_or(String::new(), f64::to_string));
        }
        for column in Column::ALL {
            let mut row = named.clone();
            row.push(column.key().to_owned());
            row.extend(cells(column.of(way)));
            row.push(asked.comparison.rebuilds.to_string());
            observations.row(row);
        }
    }
    observations
}
