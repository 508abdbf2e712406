//! One figure over two: cells, shaded by their value.

use super::canvas::{Canvas, End, WIDTH, drawn};
use super::drawing::Drawing;
use super::ink::{BLUE, GRID, MUTED, TEXT};
use crate::document::{Map, Maps, Shade, ends};

/// The cells lie between these.
const LEFT: f64 = 62.0;
const RIGHT: f64 = 376.0;
/// A row that has room for text or for two lines of it, and the least height that is seen.
const ROW: f64 = 19.0;
const TALL_ROW: f64 = 33.0;
const LEAST_ROW: f64 = 5.0;
/// Rows beyond which they get lower.
const MANY_ROWS: f64 = 14.0;
/// A line of text, and the letters in it.
const LINE: f64 = 15.0;
const LETTER: f64 = 7.3;
const SMALL: f64 = 12.8;
/// The darkest shade, on which text is still read.
const DARKEST: f64 = 0.55;
const PALEST: f64 = 0.05;

/// Draws the maps below each other.
pub(super) fn maps(shown: &Maps) -> Drawing {
    let rows = shown.down.1.len().max(1) as f64;
    let apart = apart(shown, column(shown));
    let usual = if apart.is_some() { TALL_ROW } else { ROW };
    let row = (usual * MANY_ROWS / rows).clamp(LEAST_ROW, usual);
    let apart = apart.filter(|_| row >= 2.0 * LINE);
    let one = LINE + row * rows + 2.0 * LINE;
    let mut lines = vec![
        format!("down: {}", shown.down.0),
        format!("across: {}", shown.across.0),
        "the stronger the shade, the higher the figure".to_owned(),
        format!("outlined: {}", shown.base.1),
    ];
    if apart.is_some() {
        lines.push("below: the difference from it, where one was seen".to_owned());
    }
    let head = LINE * lines.len() as f64 + 14.0;
    let height = head + one * shown.maps.len().max(1) as f64;
    drawn([WIDTH, height], |canvas| {
        for (i, line) in lines.iter().enumerate() {
            let place = [4.0, 12.0 + LINE * i as f64];
            canvas.text(place, line, End::Left, TEXT);
        }
        for (i, map) in shown.maps.iter().enumerate() {
            let top = head + one * i as f64;
            canvas.text([4.0, top + 6.0], &map.name, End::Left, TEXT);
            cells(canvas, shown, map, [top + LINE, row], apart);
        }
    })
}

/// Width of a column.
fn column(shown: &Maps) -> f64 {
    (RIGHT - LEFT) / shown.across.1.len().max(1) as f64
}

/// Which text of a difference has room in all cells: with its interval, without, or neither.
fn apart(shown: &Maps, column: f64) -> Option<usize> {
    let cells = || shown.maps.iter().flat_map(|map| map.cells.iter().flatten());
    let fits = |which: &usize| {
        let long = |cell: &Shade| cell.apart[*which].chars().count();
        let longest = cells().map(long).max().unwrap_or(0);
        longest > 0 && column >= LETTER * longest as f64 + 4.0
    };
    [0, 1].into_iter().find(fits)
}

fn cells(canvas: &Canvas<'_>, shown: &Maps, map: &Map, [top, row]: [f64; 2], apart: Option<usize>) {
    let column = column(shown);
    let (least, most) = ends(map.cells.iter().flatten().map(|cell| cell.value));
    let longest = map
        .cells
        .iter()
        .flatten()
        .map(|cell| cell.text.chars().count())
        .max();
    let room = row >= LINE && column >= LETTER * longest.unwrap_or(0) as f64 + 4.0;
    for (j, cells) in map.cells.iter().enumerate() {
        let y = top + row * j as f64;
        for (k, cell) in cells.iter().enumerate() {
            let x = LEFT + column * k as f64;
            let corners = [[x, y], [x + column, y + row]];
            if cell.value.is_finite() {
                let above = if most > least {
                    (cell.value - least) / (most - least)
                } else {
                    0.0
                };
                canvas.shade(corners, BLUE, PALEST + (DARKEST - PALEST) * above);
            }
            if room {
                let [middle, height] = [x + 0.5 * column, y + 0.5 * row];
                let below = apart.map_or("", |which| &cell.apart[which]);
                let up = if below.is_empty() { 0.0 } else { 0.5 * LINE };
                canvas.text_sized([middle, height - up], &cell.text, End::Middle, TEXT, SMALL);
                canvas.text_sized([middle, height + up], below, End::Middle, TEXT, SMALL);
            }
            if shown.base.0 == [j, k] {
                canvas.outline(corners, BLUE, 1.8);
            }
        }
    }
    let bottom = top + row * map.cells.len() as f64;
    for y in [top, bottom] {
        canvas.line(&[[LEFT, y], [RIGHT, y]], GRID, 0.8);
    }
    // as many values as have room
    let every = (LINE / row).ceil().max(1.0) as usize;
    for (j, value) in shown.down.1.iter().enumerate().step_by(every) {
        let y = top + row * (j as f64 + 0.5);
        canvas.text_sized([LEFT - 5.0, y], value, End::Right, MUTED, SMALL);
    }
    let widest = shown
        .across
        .1
        .iter()
        .map(|value| value.chars().count())
        .max();
    let wanted = LETTER * widest.unwrap_or(0) as f64 + 6.0;
    let every = (wanted / column).ceil().max(1.0) as usize;
    for (k, value) in shown.across.1.iter().enumerate().step_by(every) {
        let x = LEFT + column * (k as f64 + 0.5);
        canvas.text_sized([x, bottom + 9.0], value, End::Middle, MUTED, SMALL);
    }
}
