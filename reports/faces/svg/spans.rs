//! Figures against windows of their own, a strip each.

use super::canvas::{Canvas, End, WIDTH, drawn};
use super::drawing::Drawing;
use super::ink::{BAND, GREEN_DASHED, MUTED, PAPER, TEXT};
use super::key::{Sign, filled, key, lines};
use crate::document::{Fill, SpanStrip, Spans};

/// The sides of all windows, and as far as anything is drawn; names are to the left of it.
const WINDOW: [f64; 2] = [208.0, 308.0];
const SIDES: [f64; 2] = [142.0, 374.0];
const NAMES: f64 = 4.0;
const BAR: f64 = 9.0;
const ENDS: f64 = 19.0;

/// Draws the strips.
pub(super) fn spans(shown: &Spans) -> Drawing {
    let mut entries: Vec<(Sign, &str)> = shown
        .key
        .iter()
        .map(|(fill, name)| (Sign::Fill(*fill), name.as_str()))
        .collect();
    entries.push((Sign::Window, "the window"));
    let top = 16.0 + lines(1, entries.len());
    let deep = BAR * shown.key.len() as f64 + 4.0;
    let pitch = deep + ENDS;
    let height = top + pitch * shown.strips.len().max(1) as f64;
    drawn([WIDTH, height], |canvas| {
        key(canvas, &[NAMES], 12.0, &entries);
        for (i, strip) in shown.strips.iter().enumerate() {
            let y = top + pitch * i as f64;
            canvas.text([NAMES, y + 0.5 * deep], &strip.name, End::Left, TEXT);
            window(canvas, strip, y, deep);
            for (j, ((fill, _), bar)) in shown.key.iter().zip(&strip.bars).enumerate() {
                if let Some(bar) = bar {
                    let y = y + 2.0 + BAR * j as f64;
                    draw(canvas, strip, bar, y, *fill);
                }
            }
        }
    })
}

/// Where a figure lies, its window drawn as wide as all others.
fn place(strip: &SpanStrip, figure: f64) -> f64 {
    let [low, high] = strip.window;
    let [left, right] = WINDOW;
    left + (right - left) * (figure - low) / (high - low)
}

fn window(canvas: &Canvas<'_>, strip: &SpanStrip, y: f64, deep: f64) {
    let [left, right] = WINDOW;
    canvas.rectangle([[left, y], [right, y + deep]], BAND);
    let ends = [(left, &strip.ends[0]), (right, &strip.ends[1])];
    for (x, text) in ends {
        canvas.line(&[[x, y], [x, y + deep]], GREEN_DASHED, 1.2);
        canvas.text([x, y + deep + 8.0], text, End::Middle, MUTED);
    }
}

/// A bar with its middle marked; it stays open where it goes on outside the picture.
fn draw(
    canvas: &Canvas<'_>,
    strip: &SpanStrip,
    [low, middle, high]: &[f64; 3],
    y: f64,
    fill: Fill,
) {
    let [first, last] = SIDES;
    let [from, at, to] = [low, middle, high].map(|figure| place(strip, *figure));
    let corners = [[from.max(first), y], [to.min(last), y + BAR - 2.0]];
    if corners[0][0] >= corners[1][0] {
        return;
    }
    filled(canvas, corners, fill);
    let half = 0.5 * (BAR - 2.0);
    for (beyond, tip, back) in [(from < first, first, 6.0), (to > last, last, -6.0)] {
        if beyond {
            // an arrow head in place of an end
            let head = [
                [tip, y + half],
                [tip + back, y - 2.0],
                [tip + back, y + 2.0 * half + 2.0],
            ];
            canvas.polygon(&head, TEXT);
        }
    }
    if (first..=last).contains(&at) {
        canvas.line(&[[at, y - 1.0], [at, y + BAR - 1.0]], PAPER, 3.0);
        canvas.line(&[[at, y - 1.0], [at, y + BAR - 1.0]], TEXT, 1.4);
    }
}
