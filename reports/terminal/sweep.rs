//! Keys swept, as text: a table for one key, a map a measure for two.

use std::fmt::Write;

use shimcast_sim::estimate::Estimate;

use super::shared::{assumptions, partial, title};
use super::table::wrapped;
use super::{AT_WORK, CAUTION, Ink, Table};
use crate::answers::outside;
use crate::answers::sweep::{Column, PLAYS_NO_PART, Swept};
use crate::figures::{as_given, percent_with_half, rebuilds, signed, signed_interval, with_half};

/// Columns of a map that still fit a page.
const WIDEST_MAP: usize = 7;

/// The answer as text.
pub fn render(swept: &Swept<'_>, ink: Ink) -> String {
    let comparison = swept.comparison;
    let mut text = format!("{}\n", ink.heading(&title(&swept.setups[0])));
    let _ = writeln!(text, "{} swept", swept.keys.join(" and "));
    if comparison.partial {
        text.push_str(&partial(comparison.rebuilds));
    }
    text.push('\n');
    let second = swept.across();
    if swept.two_keys() && second.len() <= WIDEST_MAP {
        text.push_str(&maps(swept, &second, ink));
    } else {
        text.push_str(&table(swept));
    }
    if swept.keys.len() == 1 {
        let _ = write!(
            text,
            "\n{}\n{}",
            ink.heading(&format!(
                "From {} to {}: the difference, on the very same parts",
                as_given(swept.points[0][0]),
                as_given(swept.points[swept.points.len() - 1][0])
            )),
            ends(swept)
        );
    }
    let _ = writeln!(
        text,
        "\n{}, seed {}, the very same parts at every point, so differences between \
         points are\nknown better than \"±\", half the 95 % interval of each by itself. Minutes, \
         spreads and prices are\nwhat the files say: the built-in ones are plausible, not measured.",
        rebuilds(comparison.rebuilds),
        swept.seed
    );
    text.push_str(&assumptions(swept.assumptions, ink));
    let _ = write!(text, "\n{CAUTION}{AT_WORK}");
    text
}

fn shown(column: Column, estimate: &Estimate) -> String {
    match column {
        Column::Money => with_half(estimate, 0),
        _ if column.is_share() => percent_with_half(estimate),
        _ => with_half(estimate, 2),
    }
}

/// What a column holds, in words.
fn heading(column: Column, currency: &str) -> String {
    match column {
        Column::FirstAssembly => "first assembly".into(),
        Column::HandedOver => "handed over".into(),
        Column::ClearlyOut => "clearly out".into(),
        Column::Finished => "finished".into(),
        Column::Assemblies => "assemblies".into(),
        Column::Hours => "hours".into(),
        Column::HoursP80 => "4 in 5 within".into(),
        Column::Money => format!("{currency} a job"),
    }
}

fn table(swept: &Swept<'_>) -> String {
    let columns = swept.columns();
    let currency = swept.currency();
    let all: Vec<usize> = (0..swept.keys.len() + columns.len()).collect();
    let mut table = Table::right(&all);
    let mut head = swept.keys.to_vec();
    head.extend(columns.iter().map(|column| heading(*column, currency)));
    table.row(head);
    for (point, way) in swept.points.iter().zip(&swept.comparison.ways) {
        let mut cells: Vec<String> = point.iter().map(|value| as_given(*value)).collect();
        cells.extend(columns.iter().map(|column| shown(*column, column.of(way))));
        table.row(cells);
    }
    format!(
        "{}{}",
        table.text(),
        wrapped(&format!(
            "First assembly and handed over: share truly right. {}",
            outside::compared(swept.setups)
        ))
    )
}

fn maps(swept: &Swept<'_>, second: &[f64], ink: Ink) -> String {
    let [down, across] = [0, 1].map(|i| &swept.keys[i]);
    let maps: Vec<String> = swept
        .columns()
        .into_iter()
        .map(|column| {
            let all: Vec<usize> = (0..=second.len()).collect();
            let mut table = Table::right(&all);
            let mut head = vec![String::new()];
            head.extend(second.iter().map(|value| as_given(*value)));
            table.row(head);
            let rows = swept.points.chunks(second.len());
            for (points, ways) in rows.zip(swept.comparison.ways.chunks(second.len())) {
                let mut cells = vec![as_given(points[0][0])];
                cells.extend(ways.iter().map(|way| shown(column, column.of(way))));
                table.row(cells);
            }
            format!(
                "{}\n{}",
                ink.heading(&column.title(swept.currency())),
                table.text()
            )
        })
        .collect();
    format!(
        "Down: {down}. Across: {across}.\n\n{}\n{}",
        maps.join("\n"),
        wrapped(&outside::compared(swept.setups))
    )
}

/// The paired difference of the last point from the first.
fn ends(swept: &Swept<'_>) -> String {
    let Some(last) = swept.comparison.differences.last() else {
        return String::new();
    };
    if swept.changes_nothing() {
        return format!("  {PLAYS_NO_PART}\n");
    }
    let mut table = Table::right(&[1]);
    for measure in swept.measures() {
        let difference = measure.difference(last);
        let (read, unit) = measure.as_read(difference, swept.currency());
        let value = match read.value.is_nan() {
            true => String::new(),
            false => format!("{}{unit}", signed(&read, 3)),
        };
        table.row([
            measure.words().to_owned(),
            value,
            signed_interval(&read, 3),
            measure.verdict(last),
        ]);
    }
    table.text()
}
