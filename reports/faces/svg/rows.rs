//! Named figures below each other, each a few bars with their intervals.

use super::canvas::{Canvas, End, Frame, Plot, WIDTH, drawn};
use super::drawing::Drawing;
use super::ink::{MUTED, TEXT};
use super::key::{Sign, filled, key, lines};
use crate::document::{Axis, Bar, Fill, Row, Rows, ends};

const LEFT: f64 = 12.0;
const RIGHT: f64 = 368.0;
const NAME: f64 = 16.0;
const BAR: f64 = 8.0;
const GAP: f64 = 5.0;

/// Draws the rows.
pub(super) fn rows(shown: &Rows) -> Drawing {
    let entries: Vec<(Sign, &str)> = shown
        .key
        .iter()
        .map(|(fill, name)| (Sign::Fill(*fill), name.as_str()))
        .collect();
    let pitch = NAME + BAR * shown.key.len() as f64 + GAP;
    let top = 10.0 + lines(1, entries.len());
    let bottom = top + pitch * shown.rows.len().max(1) as f64;
    let (low, high) = extent(&shown.rows);
    let x = Axis::new(low, high, shown.label.clone(), 7);
    // a plot has an axis to the left, here without anything on it
    let y = Axis::new(0.0, 1.0, "", 1).marked(Vec::new());
    drawn([WIDTH, bottom + 44.0], |canvas| {
        key(canvas, &[LEFT], 10.0, &entries);
        let frame = Frame {
            left: LEFT,
            right: RIGHT,
            top,
            bottom,
        };
        let plot = canvas.plot(frame, &x, &y);
        let [zero, _] = plot.place([0.0, 0.0]);
        for (i, row) in shown.rows.iter().enumerate() {
            let y = top + pitch * i as f64;
            // not across the names
            let ends = [[zero, y + NAME - 1.0], [zero, y + pitch - GAP]];
            canvas.line(&ends, MUTED, 1.0);
            canvas.text([LEFT + 4.0, y + 0.5 * NAME], &row.name, End::Left, TEXT);
            for (j, (bar, (fill, _))) in row.bars.iter().zip(&shown.key).enumerate() {
                if let Some(bar) = bar {
                    let y = y + NAME + BAR * j as f64;
                    draw(canvas, &plot, bar, y, *fill);
                }
            }
        }
        if shown.rows.is_empty() {
            let middle = [0.5 * (LEFT + RIGHT), 0.5 * (top + bottom)];
            canvas.text(middle, "nothing to show", End::Middle, TEXT);
        }
    })
}

fn draw(canvas: &Canvas<'_>, plot: &Plot<'_, '_>, bar: &Bar, y: f64, fill: Fill) {
    let at = |x: f64| plot.place([x, 0.0])[0];
    let (zero, end) = (at(0.0), at(bar.value));
    let corners = [[zero.min(end), y], [zero.max(end), y + BAR - 1.0]];
    filled(canvas, corners, fill);
    if let Some([low, high]) = bar.interval {
        let middle = y + 0.5 * (BAR - 1.0);
        canvas.line(&[[at(low), middle], [at(high), middle]], TEXT, 1.2);
    }
}

/// From the least to the greatest, zero among them.
fn extent(rows: &[Row]) -> (f64, f64) {
    let bars = rows.iter().flat_map(|row| row.bars.iter().flatten());
    let figures = bars.flat_map(|bar| {
        let [low, high] = bar.interval.unwrap_or([bar.value; 2]);
        [bar.value, low, high]
    });
    let (low, high) = ends(figures.chain([0.0]));
    let air = 0.02 * (high - low);
    match (low < 0.0, high > 0.0) {
        (true, true) => (low - air, high + air),
        (true, false) => (low - air, 0.0),
        _ => (0.0, high + air),
    }
}
