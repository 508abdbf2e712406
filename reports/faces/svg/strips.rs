//! Several figures over one axis, one strip each below the other: a line with its intervals as a
//! band.

use super::canvas::{End, Frame, LEFT, RIGHT, WIDTH, drawn};
use super::drawing::Drawing;
use super::ink::{BAND, BLUE, TEXT};
use crate::document::{Axis, Sample, Strips, ends};

const HEIGHT: f64 = 96.0;
const PITCH: f64 = 146.0;
/// Width of a letter, more or less.
const LETTER: f64 = 7.0;
/// Share of a strip left free above and below its band.
const AIR: f64 = 0.08;
/// And at least this share of the figure itself: what is the same everywhere looks flat.
const LEAST_AIR: f64 = 0.005;

/// Draws the strips.
pub(super) fn strips(shown: &Strips) -> Drawing {
    let Strips {
        label,
        marks,
        strips,
    } = shown;
    let height = PITCH * strips.len().max(1) as f64 + 22.0;
    let all = || strips.iter().flat_map(|strip| &strip.samples);
    let (low, high) = ends(all().map(|sample| sample.x));
    let widest = marks.iter().map(|mark| mark.1.chars().count()).max();
    let room = (RIGHT - LEFT) / (LETTER * widest.unwrap_or(1).max(1) as f64 + LETTER);
    let every = (marks.len() as f64 / room).ceil().max(1.0) as usize;
    let marks: Vec<(f64, String)> = marks.iter().step_by(every).cloned().collect();
    drawn([WIDTH, height], |canvas| {
        for (i, strip) in strips.iter().enumerate() {
            let top = PITCH * i as f64 + 32.0;
            let frame = Frame::wide(top, top + HEIGHT);
            canvas.text([4.0, top - 18.0], &strip.name, End::Left, TEXT);
            let known: Vec<&Sample> = strip
                .samples
                .iter()
                .filter(|s| s.y.value.is_finite())
                .collect();
            if known.is_empty() {
                let middle = [0.5 * (LEFT + RIGHT), top + 0.5 * HEIGHT];
                canvas.text(middle, "nothing to show", End::Middle, TEXT);
                continue;
            }
            let below = if i + 1 == strips.len() {
                label.as_str()
            } else {
                ""
            };
            let x = Axis::new(low, high, below, 7).marked(marks.clone());
            let (least, most) = ends(known.iter().flat_map(|s| [s.y.value, s.y.low, s.y.high]));
            let air = (AIR * (most - least)).max(LEAST_AIR * most.abs()).max(1e-9);
            let y = Axis::new(least - air, most + air, "", 4);
            let plot = canvas.plot(frame, &x, &y);
            // what has no interval yet has no band
            let banded = known
                .iter()
                .filter(|s| s.y.low.is_finite() && s.y.high.is_finite());
            let upper: Vec<[f64; 2]> = banded.clone().map(|s| [s.x, s.y.high]).collect();
            let lower: Vec<[f64; 2]> = banded.map(|s| [s.x, s.y.low]).collect();
            let around: Vec<[f64; 2]> = upper.iter().chain(lower.iter().rev()).copied().collect();
            plot.area(&around, BAND);
            for edge in [&upper, &lower] {
                plot.line(edge, BLUE, 0.7);
            }
            let line: Vec<[f64; 2]> = known.iter().map(|s| [s.x, s.y.value]).collect();
            plot.line(&line, BLUE, 2.0);
            for place in line {
                canvas.dot(plot.place(place), 2.6, BLUE);
            }
        }
    })
}
