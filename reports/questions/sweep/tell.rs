//! Keys swept, in words and tables: a table for one key, a map a measure for two.

use super::points::{MARK, PLAYS_NO_PART, Points};
use crate::cli::Value;
use crate::document::{AT_WORK, Block, Column, Document, Table};
use crate::figures::rebuilds;
use crate::questions::compare::measures::{Measure, OfWay};
use crate::questions::frame::{self, PLAUSIBLE};
use crate::questions::outside;

/// Columns of a map that still fit a page, the files' own among them.
const WIDEST_MAP: usize = 8;

pub(super) fn tell(swept: &Points<'_>) -> Document {
    let comparison = swept.comparison;
    let partial = comparison.partial.then_some(comparison.rebuilds);
    let mut document = frame::of_job(&swept.setups[0], partial, swept.assumptions);
    document.under = vec![match swept.keys {
        [down, across] => format!(
            "{} (down) and {} (across) swept{}",
            down.titled(),
            across.titled(),
            if swept.own.is_some() {
                "; * the files' own value"
            } else {
                ""
            }
        ),
        _ => format!("{} swept", swept.names()),
    }];
    let across = swept.across();
    if swept.two_keys() && across.len() <= WIDEST_MAP {
        maps(swept, &across, &mut document);
    } else {
        document
            .section("", [swept.table().into(), Block::Note(swept.meaning())])
            .first();
    }
    if swept.changes_nothing() {
        document.section("", [Block::Note(PLAYS_NO_PART.into())]);
    } else {
        let heading = format!(
            "Difference from {}, on the very same parts",
            swept.base_in_words()
        );
        let none_seen = format!(
            "\"-\": no difference seen at {}.",
            rebuilds(comparison.rebuilds)
        );
        let blocks = [swept.differences().into(), Block::Note(none_seen)];
        document.section(heading, blocks).first();
        if let ([_], [first, .., last], true) = (swept.keys, swept.points, swept.of_figures()) {
            let heading = format!(
                "From {} to {}: the difference, on the very same parts",
                first[0].shown(),
                last[0].shown()
            );
            document.section(heading, ends(swept));
        }
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

fn maps(swept: &Points<'_>, across: &[Value], document: &mut Document) {
    // the files' own row and column
    let own = swept
        .own
        .map(|own| [own / across.len(), own % across.len()]);
    let marked = |value: &Value, place: usize, of: usize| {
        let mark = match own {
            Some(own) if own[of] == place => MARK,
            _ => "",
        };
        format!("{mark}{}", value.shown())
    };
    // what changes nowhere comes last
    let mut shown = OfWay::shown(swept.comparison);
    shown.sort_by_key(|of| !swept.changes(*of));
    for of in shown {
        let values = across.iter().enumerate();
        let values = values.map(|(place, value)| Column::halves(marked(value, place, 1)));
        let mut table = Table::new(std::iter::once(Column::figures("")).chain(values));
        let rows = swept.points.chunks(across.len());
        let rows = rows.zip(swept.comparison.ways.chunks(across.len()));
        for (place, (points, ways)) in rows.enumerate() {
            let cells = ways.iter().map(|way| of.cell(way));
            let value = marked(&points[0][0], place, 0);
            table.row(std::iter::once(value.into()).chain(cells));
        }
        document
            .section(of.title(swept.currency()), [table.into()])
            .first();
    }
    let meaning = format!("{}{}", swept.marked(), outside::compared(swept.setups));
    document.section("", [Block::Note(meaning)]);
}

/// The paired difference of the last point from the first.
fn ends(swept: &Points<'_>) -> Option<Block> {
    let last = swept.comparison.differences.last()?;
    let mut table = Table::new([Column::words(""), Column::intervals(""), Column::words("")]);
    for measure in Measure::shown(swept.comparison) {
        let change = measure.change_in(measure.difference(last), swept.currency());
        table.row([measure.words().into(), change, measure.verdict(last).into()]);
    }
    Some(table.into())
}
