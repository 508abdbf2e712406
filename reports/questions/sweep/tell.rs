//! Keys swept, in words and tables: a table for one key, a map a measure for two.

use shimcast_sim::estimate::Estimate;

use super::swept::{self, PLAYS_NO_PART, Swept};
use crate::document::{AT_WORK, Block, Cell, Column, Document, Known, Table};
use crate::figures::{as_given, rebuilds};
use crate::questions::compare::measures::Measure;
use crate::questions::frame::{self, PLAUSIBLE};
use crate::questions::outside;

/// Columns of a map that still fit a page.
const WIDEST_MAP: usize = 7;

pub(super) fn tell(swept: &Swept<'_>) -> Document {
    let comparison = swept.comparison;
    let partial = comparison.partial.then_some(comparison.rebuilds);
    let mut document = frame::of_job(&swept.setups[0], partial, swept.assumptions);
    document.under = vec![format!("{} swept", swept.keys.join(" and "))];
    let across = swept.across();
    if swept.two_keys() && across.len() <= WIDEST_MAP {
        maps(swept, &across, &mut document);
    } else {
        let note = format!(
            "First assembly and handed over: share truly right. {}",
            outside::compared(swept.setups)
        );
        document.section("", [table(swept).into(), Block::Note(note)]);
    }
    if let ([_], [first, .., last]) = (swept.keys, swept.points) {
        let heading = format!(
            "From {} to {}: the difference, on the very same parts",
            as_given(first[0]),
            as_given(last[0])
        );
        document.section(heading, ends(swept));
    }
    document.behind = format!(
        "{}, seed {}, the very same parts at every point, so differences between points are known \
         better than \"±\", half the 95 % interval of each by itself. {PLAUSIBLE}",
        rebuilds(comparison.rebuilds),
        swept.seed
    );
    document.cautions.push(AT_WORK);
    document
}

fn cell(column: swept::Column, estimate: &Estimate) -> Cell {
    match column {
        swept::Column::Money => Cell::mean(estimate, 0),
        _ if column.is_share() => Cell::share(estimate),
        _ => Cell::mean(estimate, 2),
    }
}

/// A column of a table.
fn headed(column: swept::Column, currency: &str) -> Column {
    match column {
        swept::Column::FirstAssembly => Column::halves("first assembly").may_go(),
        swept::Column::HandedOver => Column::halves("handed over"),
        swept::Column::ClearlyOut => Column::halves("clearly out"),
        swept::Column::Finished => Column::halves("finished"),
        swept::Column::Assemblies => Column::halves("assemblies").may_go(),
        swept::Column::Hours => Column::halves("hours"),
        swept::Column::HoursP80 => Column::halves("4 in 5 within").may_go(),
        swept::Column::Money => Column::halves(format!("{currency} a job")),
    }
}

fn table(swept: &Swept<'_>) -> Table {
    let columns = swept.columns();
    let told = columns.iter().map(|of| headed(*of, swept.currency()));
    let mut table = Table::new(swept.keys.iter().map(Column::figures).chain(told));
    for (point, way) in swept.points.iter().zip(&swept.comparison.ways) {
        let values = point.iter().map(|value| as_given(*value).into());
        let told = columns.iter().map(|column| cell(*column, column.of(way)));
        table.row(values.chain(told));
    }
    table
}

fn maps(swept: &Swept<'_>, across: &[f64], document: &mut Document) {
    let [first, second] = [0, 1].map(|key| &swept.keys[key]);
    let keys = format!("Down: {first}. Across: {second}.");
    document.section("", [Block::Text(keys)]);
    for column in swept.columns() {
        let values = across.iter().map(|value| Column::halves(as_given(*value)));
        let mut table = Table::new(std::iter::once(Column::figures("")).chain(values));
        let rows = swept.points.chunks(across.len());
        for (points, ways) in rows.zip(swept.comparison.ways.chunks(across.len())) {
            let cells = ways.iter().map(|way| cell(column, column.of(way)));
            table.row(std::iter::once(as_given(points[0][0]).into()).chain(cells));
        }
        document.section(column.title(swept.currency()), [table.into()]);
    }
    document.section("", [Block::Note(outside::compared(swept.setups))]);
}

/// The paired difference of the last point from the first.
fn ends(swept: &Swept<'_>) -> Option<Block> {
    let last = swept.comparison.differences.last()?;
    if swept.changes_nothing() {
        return Some(Block::Note(PLAYS_NO_PART.into()));
    }
    let mut table = Table::new([Column::words(""), Column::intervals(""), Column::words("")]);
    for measure in swept.measures() {
        let difference = measure.difference(last);
        let cell = match measure {
            _ if difference.value.is_nan() => Cell::empty(),
            _ if measure.is_share() => Cell::known(Known::Points(*difference)),
            Measure::Money => Cell::change(difference, 3).of_unit(swept.currency()),
            _ => Cell::change(difference, 3),
        };
        table.row([measure.words().into(), cell, measure.verdict(last).into()]);
    }
    Some(table.into())
}
