//! Shares that grow step by step, as stacked bars.

use super::canvas::{End, Frame, LEFT, WIDTH, drawn};
use super::drawing::Drawing;
use super::ink::{BLUE, Ink, TEXT, VERMILLION, VERMILLION_HATCHED};
use super::key::{Sign, key, lines};
use crate::document::{Axis, Stacked};

const HEIGHT: f64 = 190.0;
/// The parts from below.
const INKS: [Ink; 3] = [BLUE, VERMILLION_HATCHED, VERMILLION];

/// Draws the bars.
pub(super) fn stacked(shown: &Stacked) -> Drawing {
    let mut entries: Vec<(Sign, &str)> = INKS
        .into_iter()
        .zip(&shown.parts)
        .map(|(ink, name)| (Sign::Bar(ink), name.as_str()))
        .collect();
    // as they lie
    entries.reverse();
    let top = 14.0 + lines(1, entries.len()) + 24.0;
    let bottom = top + HEIGHT;
    let number = shown.bars.len();
    let marks = shown.bars.iter().enumerate();
    let marks = marks.map(|(i, step)| (i as f64 + 1.0, step.name.clone()));
    let x =
        Axis::new(0.4, number.max(1) as f64 + 0.6, shown.label.clone(), 1).marked(marks.collect());
    let y = Axis::percent(1.0, shown.share.clone());
    drawn([WIDTH, bottom + 42.0], |canvas| {
        key(canvas, &[LEFT], 12.0, &entries);
        let frame = Frame::wide(top, bottom);
        let plot = canvas.plot(frame, &x, &y);
        for (i, step) in shown.bars.iter().enumerate() {
            let (left, right) = (i as f64 + 0.65, i as f64 + 1.35);
            let mut high = 0.0;
            for (ink, part) in INKS.into_iter().zip(step.parts) {
                let low = high;
                high += 100.0 * part;
                plot.bar([[left, low], [right, high]], ink);
            }
            let [x, y] = plot.place([i as f64 + 1.0, high.min(100.0)]);
            if number <= 12 {
                // all is said of all alone
                let places = usize::from((99.0..100.0).contains(&high));
                let text = format!("{high:.places$}");
                canvas.text([x, y - 8.0], &text, End::Middle, TEXT);
            }
        }
    })
}
