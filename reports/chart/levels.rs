//! Counts as bars to the right, group by group, in two columns.

use super::WIDTH;
use super::canvas::{Canvas, Stands, drawn};
use super::figure::{Figure, Words};
use super::ink::{BLUE, TEXT};

/// Counts that belong together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// What they are called.
    pub name: String,
    /// What is counted, and how many.
    pub rows: Vec<(String, u32)>,
}

const PITCH: f64 = 16.0;
const COLUMN: f64 = 220.0;
const NAMES: f64 = 58.0;
const BARS: f64 = 120.0;

/// One line of a column.
enum Line<'a> {
    Name(&'a str),
    Row(&'a str, u32),
}

/// Draws counts.
pub fn levels(words: Words, groups: &[Group]) -> Figure {
    let mut lines: Vec<Line<'_>> = Vec::new();
    for group in groups {
        lines.push(Line::Name(&group.name));
        let rows = group.rows.iter();
        lines.extend(rows.map(|(name, count)| Line::Row(name, *count)));
    }
    let mut half = lines.len().div_ceil(2);
    // a name never stands alone at the foot of a column
    if half > 0 && matches!(lines.get(half - 1), Some(Line::Name(_))) {
        half -= 1;
    }
    let longest = half.max(lines.len() - half);
    let most = groups.iter().flat_map(|g| &g.rows).map(|row| row.1).max();
    let scale = BARS / f64::from(most.unwrap_or(0).max(1));
    let height = 12.0 + PITCH * longest.max(1) as f64;
    drawn(words, [WIDTH, height], |canvas| {
        for (i, line) in lines.iter().enumerate() {
            let (column, row) = if i < half { (0.0, i) } else { (1.0, i - half) };
            let place = [8.0 + COLUMN * column, 12.0 + PITCH * row as f64];
            draw(canvas, place, line, scale);
        }
        if lines.is_empty() {
            canvas.text([8.0, 12.0], "nothing is kept", Stands::Left, TEXT);
        }
    })
}

fn draw(canvas: &Canvas<'_>, [x, y]: [f64; 2], line: &Line<'_>, scale: f64) {
    match line {
        Line::Name(name) => canvas.text([x, y], name, Stands::Left, TEXT),
        Line::Row(name, count) => {
            let from = x + NAMES;
            let to = from + scale * f64::from(*count);
            canvas.text([from - 6.0, y], name, Stands::Right, TEXT);
            canvas.rectangle([[from, y - 5.5], [to, y + 5.5]], BLUE);
            let count = count.to_string();
            canvas.text([to + 4.0, y], &count, Stands::Left, TEXT);
        }
    }
}
