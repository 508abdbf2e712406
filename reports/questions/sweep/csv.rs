//! Keys swept, as a table for a spreadsheet: figures in full.

use shimcast_sim::count::estimate::Estimate;

use super::points::{Key, Points};
use crate::cli::Value;
use crate::questions::compare::measures::{Measure, OfWay};
use crate::spreadsheet::{Decimal, Entry};

/// One head line, the unit of a key behind its name, then a line a point, each estimate with the ends of its 95 % interval, and what it
/// differs by from the files' own point, pair by pair. Shares from 0 to 1, hours, money in the
/// currency that the head names.
pub(super) fn csv(swept: &Points<'_>, decimal: Decimal) -> String {
    let currency = &swept.setups[0].shop.currency;
    let named = |measure: Option<Measure>, key: &str| match measure {
        Some(Measure::Money) => format!("{key}_{currency}"),
        _ => key.to_owned(),
    };
    let mut head: Vec<String> = swept.keys.iter().map(Key::column).collect();
    for column in OfWay::ALL {
        head.extend(with_ends(&named(column.measure(), column.key())));
    }
    head.extend(["rebuilds".to_owned(), "own".to_owned()]);
    for measure in Measure::ALL {
        let key = named(Some(measure), measure.key());
        head.extend(with_ends(&format!("{key}_against_own")));
    }
    let mut text = decimal.names(head);
    for (place, (point, way)) in swept.points.iter().zip(&swept.comparison.ways).enumerate() {
        let mut cells: Vec<String> = point.iter().map(Value::in_full).collect();
        for column in OfWay::ALL {
            cells.extend(in_full(Some(column.of(way))));
        }
        cells.push(swept.comparison.rebuilds.to_string());
        cells.push((swept.own == Some(place)).to_string());
        let differences = swept.against_own(place);
        for measure in Measure::ALL {
            cells.extend(in_full(differences.map(|d| measure.difference(d))));
        }
        text.push_str(&decimal.line(cells.into_iter().map(Entry::Figure)));
    }
    text
}

/// The names of an estimate and of the ends of its interval.
fn with_ends(key: &str) -> [String; 3] {
    [key.to_owned(), format!("{key}_low"), format!("{key}_high")]
}

/// An estimate with its ends; what is not known is left empty.
fn in_full(estimate: Option<&Estimate>) -> [String; 3] {
    estimate.map_or_else(Default::default, |estimate| {
        [estimate.value, estimate.low, estimate.high].map(|figure| {
            if figure.is_finite() {
                figure.to_string()
            } else {
                String::new()
            }
        })
    })
}
