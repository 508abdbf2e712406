//! Keys swept, in words and tables: a table for one key, a map a measure for two.

use super::points::{PLAYS_NO_PART, Points};
use crate::document::{AT_WORK, Block, Column, Document, Table};
use crate::figures::{as_given, rebuilds};
use crate::questions::compare::measures::{Measure, OfWay};
use crate::questions::frame::{self, PLAUSIBLE};
use crate::questions::outside;

/// Columns of a map that still fit a page.
const WIDEST_MAP: usize = 7;

pub(super) fn tell(swept: &Points<'_>) -> Document {
    let comparison = swept.comparison;
    let partial = comparison.partial.then_some(comparison.rebuilds);
    let mut document = frame::of_job(&swept.setups[0], partial, swept.assumptions);
    document.under = vec![format!("{} swept", swept.keys.join(" and "))];
    let across = swept.across();
    if swept.two_keys() && across.len() <= WIDEST_MAP {
        maps(swept, &across, &mut document);
    } else {
        document
            .section("", [swept.table().into(), Block::Note(swept.meaning())])
            .first();
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

fn maps(swept: &Points<'_>, across: &[f64], document: &mut Document) {
    let [first, second] = [0, 1].map(|key| &swept.keys[key]);
    let keys = format!("Down: {first}. Across: {second}.");
    document.section("", [Block::Text(keys)]);
    for of in OfWay::shown(swept.comparison) {
        let values = across.iter().map(|value| Column::halves(as_given(*value)));
        let mut table = Table::new(std::iter::once(Column::figures("")).chain(values));
        let rows = swept.points.chunks(across.len());
        for (points, ways) in rows.zip(swept.comparison.ways.chunks(across.len())) {
            let cells = ways.iter().map(|way| of.cell(way));
            table.row(std::iter::once(as_given(points[0][0]).into()).chain(cells));
        }
        document
            .section(of.title(swept.currency()), [table.into()])
            .first();
    }
    document.section("", [Block::Note(outside::compared(swept.setups))]);
}

/// The paired difference of the last point from the first.
fn ends(swept: &Points<'_>) -> Option<Block> {
    let last = swept.comparison.differences.last()?;
    if swept.changes_nothing() {
        return Some(Block::Note(PLAYS_NO_PART.into()));
    }
    let mut table = Table::new([Column::words(""), Column::intervals(""), Column::words("")]);
    for measure in Measure::shown(swept.comparison) {
        let change = measure.change_in(measure.difference(last), swept.currency());
        table.row([measure.words().into(), change, measure.verdict(last).into()]);
    }
    Some(table.into())
}
