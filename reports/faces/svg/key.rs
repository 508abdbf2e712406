//! The key of a figure: what is drawn how.

use super::canvas::{Canvas, End};
use super::ink::{BAND, BLUE, GREEN_DASHED, Ink, PURPLE, TEXT, VERMILLION, VERMILLION_HATCHED};
use crate::document::Fill;

/// How something is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Sign {
    Bar(Ink),
    Fill(Fill),
    Line(Ink),
    Dot(Ink),
    Cross(Ink),
    Triangle(Ink),
    Whisker(Ink),
    Window,
}

/// A bar between two corners, filled as its key shows.
pub(super) fn filled(canvas: &Canvas<'_>, corners: [[f64; 2]; 2], fill: Fill) {
    let ink = match fill {
        Fill::Dark => BLUE,
        Fill::Light => PURPLE,
        Fill::Hatched => VERMILLION_HATCHED,
        Fill::Alarm => VERMILLION,
        Fill::Hollow => return canvas.outline(corners, TEXT, 1.0),
    };
    canvas.rectangle(corners, ink);
    if fill == Fill::Alarm {
        // in grey it would be as dark as the dark one
        canvas.outline(corners, TEXT, 1.5);
    }
}

/// Width of a sign.
const SIGN: f64 = 22.0;
/// Line height.
pub(super) const LINE: f64 = 18.0;

/// Draws a key from a place to the right and down, in columns that start at these places.
pub(super) fn key(canvas: &Canvas<'_>, columns: &[f64], top: f64, entries: &[(Sign, &str)]) {
    for (i, (sign, text)) in entries.iter().enumerate() {
        let x = columns[i % columns.len()];
        let y = top + LINE * (i / columns.len()) as f64;
        match sign {
            Sign::Bar(ink) => canvas.rectangle([[x, y - 5.0], [x + SIGN, y + 5.0]], *ink),
            Sign::Fill(fill) => filled(canvas, [[x, y - 5.0], [x + SIGN, y + 5.0]], *fill),
            Sign::Line(ink) => canvas.line(&[[x, y], [x + SIGN, y]], *ink, 2.0),
            Sign::Dot(ink) => canvas.dot([x + 0.5 * SIGN, y], 3.5, *ink),
            Sign::Cross(ink) => canvas.cross([x + 0.5 * SIGN, y], 3.5, *ink, 1.4),
            Sign::Triangle(ink) => canvas.triangle([x + 0.5 * SIGN, y], 4.5, *ink, 1.2),
            Sign::Whisker(ink) => {
                let middle = x + 0.5 * SIGN;
                canvas.whisker([[middle, y - 6.0], [middle, y + 6.0]], *ink, 1.4);
            }
            Sign::Window => {
                canvas.rectangle([[x, y - 6.0], [x + SIGN, y + 6.0]], BAND);
                for side in [x, x + SIGN] {
                    canvas.line(&[[side, y - 6.0], [side, y + 6.0]], GREEN_DASHED, 1.2);
                }
            }
        }
        canvas.text([x + SIGN + 6.0, y], text, End::Left, TEXT);
    }
}

/// Lines that a key of this many entries takes.
pub(super) fn lines(columns: usize, entries: usize) -> f64 {
    LINE * entries.div_ceil(columns) as f64
}
