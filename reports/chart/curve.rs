//! One figure against another, with the interval of each point.

use super::axis::Axis;
use super::canvas::{Frame, Stands, drawn};
use super::figure::{Figure, Words};
use super::ink::{BLUE, GREEN_DASHED, PAPER, TEXT, VERMILLION};
use super::key::{Sign, key, lines};
use super::{LEFT, RIGHT, WIDTH};

/// A point of a curve with its interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Along the axis below.
    pub x: f64,
    /// Along the axis to the left.
    pub y: f64,
    /// Lower end of the interval.
    pub low: f64,
    /// Upper end of the interval.
    pub high: f64,
}

/// A single point beside the curve.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Where.
    pub x: f64,
    /// Where.
    pub y: f64,
    /// What it is called in the key.
    pub name: String,
    /// Whether it is what the page recommends.
    pub chosen: bool,
}

/// What is shown, in the units of its axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// What the figure is called and says.
    pub words: Words,
    /// The axis below.
    pub x: Axis,
    /// The axis to the left.
    pub y: Axis,
    /// What the curve is called in the key.
    pub name: String,
    /// The curve, from left to right.
    pub samples: Vec<Sample>,
    /// A level worth seeing, with its name in the key.
    pub level: Option<(f64, String)>,
    /// Single points.
    pub marks: Vec<Mark>,
}

const HEIGHT: f64 = 200.0;

/// Draws a curve.
pub fn curve(shown: &Curve) -> Figure {
    let mut entries = vec![(Sign::Line(BLUE), shown.name.as_str())];
    if let Some((_, name)) = &shown.level {
        entries.push((Sign::Line(GREEN_DASHED), name));
    }
    for mark in &shown.marks {
        let sign = if mark.chosen {
            Sign::Dot(VERMILLION)
        } else {
            Sign::Cross(TEXT)
        };
        entries.push((sign, &mark.name));
    }
    let top = 14.0 + lines(1, entries.len()) + 24.0;
    let bottom = top + HEIGHT;
    drawn(shown.words.clone(), [WIDTH, bottom + 42.0], |canvas| {
        key(canvas, &[LEFT], 12.0, &entries);
        let frame = Frame::wide(top, bottom);
        let plot = canvas.plot(frame, &shown.x, &shown.y);
        if let Some((level, _)) = &shown.level {
            let ends = [[shown.x.low, *level], [shown.x.high, *level]];
            plot.line(&ends, GREEN_DASHED, 1.4);
        }
        let line: Vec<[f64; 2]> = shown.samples.iter().map(|s| [s.x, s.y]).collect();
        plot.line(&line, BLUE, 2.0);
        for sample in &shown.samples {
            plot.line(
                &[[sample.x, sample.low], [sample.x, sample.high]],
                BLUE,
                1.0,
            );
            canvas.dot(plot.place([sample.x, sample.y]), 2.6, BLUE);
        }
        for mark in &shown.marks {
            if !plot.holds([mark.x, mark.y]) {
                continue;
            }
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
            canvas.text(middle, "nothing to show", Stands::Middle, TEXT);
        }
    })
}
