//! One figure against another, with the interval of each point.

use super::canvas::{End, Frame, LEFT, RIGHT, WIDTH, drawn};
use super::drawing::Drawing;
use super::ink::{BLUE, GREEN_DASHED, PAPER, TEXT, VERMILLION};
use super::key::{Sign, key, lines};
use crate::document::{Axis, Curve, Mark};

const HEIGHT: f64 = 200.0;

/// Draws a curve.
pub(super) fn curve(shown: &Curve) -> Drawing {
    let mut entries = vec![(Sign::Line(BLUE), shown.name.as_str())];
    let holds = |axis: &Axis, value: f64| (axis.low..=axis.high).contains(&value);
    // what lies outside the picture is not drawn at its edge
    let level = shown.level.as_ref().filter(|(at, _)| holds(&shown.y, *at));
    let marks = shown.marks.iter();
    let marks: Vec<&Mark> = marks
        .filter(|mark| holds(&shown.x, mark.x) && holds(&shown.y, mark.y))
        .collect();
    if let Some((_, name)) = level {
        entries.push((Sign::Line(GREEN_DASHED), name));
    }
    for mark in &marks {
        let sign = if mark.chosen {
            Sign::Dot(VERMILLION)
        } else {
            Sign::Cross(TEXT)
        };
        entries.push((sign, &mark.name));
    }
    let top = 14.0 + lines(1, entries.len()) + 24.0;
    let bottom = top + HEIGHT;
    drawn([WIDTH, bottom + 42.0], |canvas| {
        key(canvas, &[LEFT], 12.0, &entries);
        let frame = Frame::wide(top, bottom);
        let plot = canvas.plot(frame, &shown.x, &shown.y);
        if let Some((level, _)) = level {
            let ends = [[shown.x.low, *level], [shown.x.high, *level]];
            plot.line(&ends, GREEN_DASHED, 1.4);
        }
        let line: Vec<[f64; 2]> = shown.samples.iter().map(|s| [s.x, s.y.value]).collect();
        plot.line(&line, BLUE, 2.0);
        for sample in &shown.samples {
            plot.line(
                &[[sample.x, sample.y.low], [sample.x, sample.y.high]],
                BLUE,
                1.0,
            );
            canvas.dot(plot.place([sample.x, sample.y.value]), 2.6, BLUE);
        }
        for mark in &marks {
            let place = plot.place([mark.x, mark.y]);
            if mark.chosen {
                canvas.dot(place, 6.5, PAPER);
                canvas.dot(place, 5.0, VERMILLION);
            } else {
                canvas.cross(place, 4.5, TEXT, 1.8);
            }
        }
        if shown.samples.is_empty() {
            let middle = [0.5 * (LEFT + RIGHT), 0.5 * (top + bottom)];
            canvas.text(middle, "nothing to show", End::Middle, TEXT);
        }
    })
}
