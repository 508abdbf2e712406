//! Keys swept, as a table for a spreadsheet: figures in full.

use super::points::Points;
use crate::questions::compare::measures::OfWay;
use crate::spreadsheet::line;

/// One head line, then a line a point, each estimate with the ends of its 95 % interval. Shares from 0 to 1,
/// hours, money in the shop's currency.
pub(super) fn csv(swept: &Points<'_>) -> String {
    let mut head: Vec<String> = swept.keys.to_vec();
    for column in OfWay::ALL {
        let key = column.key();
        head.extend([key.to_owned(), format!("{key}_low"), format!("{key}_high")]);
    }
    head.push("rebuilds".to_owned());
    let mut text = line(&head);
    for (point, way) in swept.points.iter().zip(&swept.comparison.ways) {
        let mut cells: Vec<String> = point.iter().map(f64::to_string).collect();
        for column in OfWay::ALL {
            let estimate = column.of(way);
            for figure in [estimate.value, estimate.low, estimate.high] {
                // what is not known is left empty
                cells.push(if figure.is_finite() {
                    figure.to_string()
                } else {
                    String::new()
                });
            }
        }
        cells.push(swept.comparison.rebuilds.to_string());
        text.push_str(&line(&cells));
    }
    text
}
