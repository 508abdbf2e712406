//! Named figures below each other, each a few bars with their intervals.

use super::WIDTH;
use super::axis::{Axis, ends};
use super::canvas::{Canvas, Frame, Plot, Stands, drawn};
use super::figure::{Figure, Words};
use super::ink::{BLUE, Ink, MUTED, PURPLE, TEXT, VERMILLION_HATCHED};
use super::key::{Sign, key, lines};

/// One bar, from zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bar {
    /// How long.
    pub value: f64,
    /// Its interval, where it has one.
    pub interval: Option<[f64; 2]>,
}

/// One row.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What it is.
    pub name: String,
    /// A bar for each entry of the key; nothing where there is none.
    pub bars: Vec<Option<Bar>>,
}

/// How a bar is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fill {
    /// Dark.
    Dark,
    /// Light.
    Light,
    /// Hatched.
    Hatched,
    /// Grey.
    Grey,
}

impl Fill {
    fn ink(self) -> Ink {
        match self {
            Self::Dark => BLUE,
            Self::Light => PURPLE,
            Self::Hatched => VERMILLION_HATCHED,
            Self::Grey => MUTED,
        }
    }
}

/// What is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct Rows {
    /// What the figure is called and says.
    pub words: Words,
    /// The axis below, with its unit.
    pub label: String,
    /// What the bars of a row are, from above, and how each is drawn.
    pub key: Vec<(Fill, String)>,
    /// The rows from above.
    pub rows: Vec<Row>,
}

const LEFT: f64 = 12.0;
const RIGHT: f64 = 428.0;
const NAME: f64 = 16.0;
const BAR: f64 = 8.0;
const GAP: f64 = 5.0;

/// Draws the rows.
pub fn rows(shown: &Rows) -> Figure {
    let entries: Vec<(Sign, &str)> = shown
        .key
        .iter()
        .map(|(fill, name)| (Sign::Bar(fill.ink()), name.as_str()))
        .collect();
    let pitch = NAME + BAR * shown.key.len() as f64 + GAP;
    let top = 10.0 + lines(1, entries.len());
    let bottom = top + pitch * shown.rows.len().max(1) as f64;
    let (low, high) = extent(&shown.rows);
    let x = Axis::new(low, high, shown.label.clone(), 7);
    // a plot has an axis to the left, here without anything on it
    let y = Axis::new(0.0, 1.0, "", 1).marked(Vec::new());
    drawn(shown.words.clone(), [WIDTH, bottom + 44.0], |canvas| {
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
            canvas.text([LEFT + 4.0, y + 0.5 * NAME], &row.name, Stands::Left, TEXT);
            for (j, (bar, (fill, _))) in row.bars.iter().zip(&shown.key).enumerate() {
                if let Some(bar) = bar {
                    let y = y + NAME + BAR * j as f64;
                    draw(canvas, &plot, bar, y, fill.ink());
                }
            }
        }
        if shown.rows.is_empty() {
            let middle = [0.5 * (LEFT + RIGHT), 0.5 * (top + bottom)];
            canvas.text(middle, "nothing to show", Stands::Middle, TEXT);
        }
    })
}

fn draw(canvas: &Canvas<'_>, plot: &Plot<'_, '_>, bar: &Bar, y: f64, ink: Ink) {
    let at = |x: f64| plot.place([x, 0.0])[0];
    let (zero, end) = (at(0.0), at(bar.value));
    let corners = [[zero.min(end), y], [zero.max(end), y + BAR - 1.0]];
    canvas.rectangle(corners, ink);
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
