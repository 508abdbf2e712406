//! What a figure in a file of its own says around its drawing.

use super::canvas::{End, WIDTH, drawn};
use super::drawing::Drawing;
use super::ink::{MUTED, TEXT};
use super::key::LINE;

/// Room at either side of a line of text, and below the last.
const MARGIN: f64 = 8.0;
/// Characters of a line, which few texts fill.
const CHARACTERS: usize = 54;

/// A text in lines that have room; a word is never broken.
fn wrapped(text: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= CHARACTERS => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

impl Drawing {
    /// With a heading above, and lines below.
    pub(super) fn captioned(self, heading: &str, below: &[String]) -> Self {
        let above = wrapped(heading);
        let below: Vec<String> = below.iter().flat_map(|text| wrapped(text)).collect();
        let [width, height] = self.size;
        let width = width.max(WIDTH);
        let top = MARGIN + LINE * above.len() as f64;
        let bottom = top + height;
        let whole = bottom + LINE * below.len() as f64 + MARGIN;
        let mut text = drawn([width, whole], |canvas| {
            for (lines, from, ink) in [(&above, MARGIN, TEXT), (&below, bottom, MUTED)] {
                for (i, line) in lines.iter().enumerate() {
                    let y = from + LINE * (i as f64 + 0.5);
                    canvas.text([MARGIN, y], line, End::Left, ink);
                }
            }
        });
        let shapes = self.shapes.into_iter();
        text.shapes.extend(shapes.map(|shape| shape.lower(top)));
        text
    }
}
