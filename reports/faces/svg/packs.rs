//! Packs by thickness, one plot a place on the axle.

use super::canvas::{End, Frame, LEFT, RIGHT, WIDTH, drawn};
use super::drawing::Drawing;
use super::ink::{BLUE, TEXT};
use crate::document::{Axis, Packs};

const HEIGHT: f64 = 80.0;
const PITCH: f64 = 132.0;

/// Draws one plot a place, below each other.
pub(super) fn packs(shown: &Packs) -> Drawing {
    let Packs { label, places } = shown;
    let height = PITCH * places.len().max(1) as f64 + 18.0;
    drawn([WIDTH, height], |canvas| {
        for (i, place) in places.iter().enumerate() {
            let top = PITCH * i as f64 + 32.0;
            let frame = Frame::wide(top, top + HEIGHT);
            let name = format!("{}: share of jobs, %", place.name);
            canvas.text([4.0, top - 18.0], &name, End::Left, TEXT);
            let (thinnest, thickest, width) = extent(&place.packs);
            let most = place.packs.iter().map(|p| p.1).fold(0.0, f64::max);
            let below = if i + 1 == places.len() {
                label.as_str()
            } else {
                ""
            };
            let x = Axis::new(thinnest - width, thickest + width, below, 8);
            let mut y = Axis::percent(most, "");
            let every = y.marks.len().div_ceil(4).max(1);
            y.marks = y.marks.into_iter().step_by(every).collect();
            let plot = canvas.plot(frame, &x, &y);
            // no bar thinner than can be seen
            let least = 0.9 * (x.high - x.low) / (RIGHT - LEFT);
            let half = (0.4 * width).max(least);
            for (thickness, share) in &place.packs {
                plot.bar(
                    [[thickness - half, 0.0], [thickness + half, 100.0 * share]],
                    BLUE,
                );
            }
        }
    })
}

/// Thinnest and thickest pack, and the smallest step between two.
fn extent(packs: &[(f64, f64)]) -> (f64, f64, f64) {
    let thinnest = packs.first().map_or(0.0, |p| p.0);
    let thickest = packs.last().map_or(0.0, |p| p.0);
    let steps = packs.windows(2).map(|pair| pair[1].0 - pair[0].0);
    let step = steps.fold(f64::INFINITY, f64::min);
    let step = if step.is_finite() {
        step
    } else {
        0.05 * thickest.abs().max(0.1)
    };
    (thinnest, thickest, step)
}
