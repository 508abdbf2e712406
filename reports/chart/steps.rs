//! Shares that grow step by step, as stacked bars.

use super::axis::Axis;
use super::canvas::{Frame, Stands, drawn};
use super::figure::{Figure, Words};
use super::ink::{BLUE, TEXT, VERMILLION_HATCHED};
use super::key::{Sign, key, lines};
use super::{LEFT, WIDTH};

/// One bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What stands below it.
    pub name: String,
    /// The lower part.
    pub right: f64,
    /// What stands on it.
    pub wrong: f64,
}

/// What is shown.
#[derive(Debug, Clone, PartialEq)]
pub struct Steps {
    /// What the figure is called and says.
    pub words: Words,
    /// The axis below.
    pub label: String,
    /// The axis to the left.
    pub share: String,
    /// What the lower and the upper part are called.
    pub parts: [String; 2],
    /// Bars from left to right.
    pub steps: Vec<Step>,
}

const HEIGHT: f64 = 190.0;

/// Draws the bars.
pub fn steps(shown: &Steps) -> Figure {
    let entries = [
        (Sign::Bar(VERMILLION_HATCHED), shown.parts[1].as_str()),
        (Sign::Bar(BLUE), shown.parts[0].as_str()),
    ];
    let top = 14.0 + lines(1, entries.len()) + 24.0;
    let bottom = top + HEIGHT;
    let number = shown.steps.len();
    let marks = shown.steps.iter().enumerate();
    let marks = marks.map(|(i, step)| (i as f64 + 1.0, step.name.clone()));
    let x =
        Axis::new(0.4, number.max(1) as f64 + 0.6, shown.label.clone(), 1).marked(marks.collect());
    let y = Axis::percent(1.0, shown.share.clone());
    drawn(shown.words.clone(), [WIDTH, bottom + 42.0], |canvas| {
        key(canvas, &[LEFT], 12.0, &entries);
        let frame = Frame::wide(top, bottom);
        let plot = canvas.plot(frame, &x, &y);
        for (i, step) in shown.steps.iter().enumerate() {
            let (left, right) = (i as f64 + 0.65, i as f64 + 1.35);
            let (low, high) = (100.0 * step.right, 100.0 * (step.right + step.wrong));
            plot.bar([[left, 0.0], [right, low]], BLUE);
            plot.bar([[left, low], [right, high]], VERMILLION_HATCHED);
            let [x, y] = plot.place([i as f64 + 1.0, high.min(100.0)]);
            if number <= 12 {
                // all is said of all alone
                let places = usize::from((99.0..100.0).contains(&high));
                let text = format!("{high:.places$}");
                canvas.text([x, y - 8.0], &text, Stands::Middle, TEXT);
            }
        }
    })
}
