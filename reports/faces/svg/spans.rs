//! Figures against windows of their own, a strip each.

use super::canvas::{Canvas, End, WIDTH, drawn};
use super::drawing::Drawing;
use super::ink::{BAND, GREEN_DASHED, MUTED, PAPER, TEXT};
use super::key::{Sign, filled, key, lines};
use crate::document::{Fill, SpanScale, SpanStrip, Spans, ends};

/// The sides of all windows, and as far as anything is drawn; names are to the left of it.
const WINDOW: [f64; 2] = [208.0, 308.0];
const SIDES: [f64; 2] = [142.0, 374.0];
const NAMES: f64 = 4.0;
const BAR: f64 = 9.0;
const ENDS: f64 = 19.0;
const SLACK: f64 = 1e-6;

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
            let scale = Scale::of(shown.scale, strip);
            match shown.scale {
                SpanScale::Window => window(canvas, strip, y, deep),
                SpanScale::Bars => narrow_window(canvas, strip, &scale, [y, deep]),
            }
            for (j, ((fill, _), bar)) in shown.key.iter().zip(&strip.bars).enumerate() {
                if let Some(bar) = bar {
                    let y = y + 2.0 + BAR * j as f64;
                    draw(canvas, &scale, bar, y, *fill);
                }
            }
        }
    })
}

/// What is drawn from where to where.
struct Scale {
    figures: [f64; 2],
    places: [f64; 2],
}

impl Scale {
    fn of(kind: SpanScale, strip: &SpanStrip) -> Self {
        match kind {
            SpanScale::Window => Self {
                figures: strip.window,
                places: WINDOW,
            },
            SpanScale::Bars => {
                let (low, high) = ends(strip.bars.iter().flatten().flatten().copied());
                let [from, to] = strip.window;
                Self {
                    figures: [low.min(from), high.max(to)],
                    places: SIDES,
                }
            }
        }
    }

    fn place(&self, figure: f64) -> f64 {
        let ([low, high], [left, right]) = (self.figures, self.places);
        left + (right - left) * (figure - low) / (high - low)
    }
}

/// A window that may be too narrow for a label at either end.
fn narrow_window(canvas: &Canvas<'_>, strip: &SpanStrip, scale: &Scale, [y, deep]: [f64; 2]) {
    let [left, right] = strip.window.map(|end| scale.place(end));
    canvas.rectangle([[left, y], [right, y + deep]], BAND);
    for x in [left, right] {
        canvas.line(&[[x, y], [x, y + deep]], GREEN_DASHED, 1.2);
    }
    let below = y + deep + 8.0;
    let window = format!("{} to {}", strip.ends[0], strip.ends[1]);
    canvas.text([0.5 * (left + right), below], &window, End::Middle, TEXT);
    let [low, high] = &strip.widest;
    canvas.text([SIDES[0], below], low, End::Left, MUTED);
    canvas.text([SIDES[1], below], high, End::Right, MUTED);
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
fn draw(canvas: &Canvas<'_>, scale: &Scale, [low, middle, high]: &[f64; 3], y: f64, fill: Fill) {
    let [first, last] = SIDES;
    let [from, at, to] = [low, middle, high].map(|figure| scale.place(*figure));
    let corners = [[from.max(first), y], [to.min(last), y + BAR - 2.0]];
    if corners[0][0] >= corners[1][0] {
        return;
    }
    filled(canvas, corners, fill);
    let half = 0.5 * (BAR - 2.0);
    // what only rounding puts outside is not cut off
    let outside = [from < first - SLACK, to > last + SLACK];
    for (beyond, tip, back) in [(outside[0], first, 6.0), (outside[1], last, -6.0)] {
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
