//! A finished drawing, and the one function that writes it.

use super::ink::Ground;
use super::shapes::{Shape, USUAL};
use crate::document::Figure;
use crate::faces::xml::escaped;

/// Units of a drawing in one unit of a figure's size: drawing is done in whole units, so these are
/// made small.
pub(super) const FINE: f64 = 10.0;

/// Type size, in units of a figure's size.
pub(super) const TYPE: f64 = 13.0;

/// What is drawn of a figure.
pub(super) struct Drawing {
    /// Width and height.
    pub(super) size: [f64; 2],
    pub(super) shapes: Vec<Shape>,
}

impl Drawing {
    /// With a title, a description, a role, and names that are its own.
    pub(super) fn svg(
        &self,
        figure: &Figure,
        ground: Ground,
        attributes: &str,
        under: &str,
    ) -> String {
        let name = figure.name;
        let [width, height] = self.size.map(|side| side * FINE);
        let mut body = String::new();
        for shape in &self.shapes {
            shape.write(&mut body, ground, name);
        }
        format!(
            "<svg{attributes} viewBox=\"0 0 {width} {height}\" role=\"img\" \
             aria-labelledby=\"{name}-title {name}-description\" \
             font-family=\"system-ui, sans-serif\" font-size=\"{USUAL}\">\n\
             <title id=\"{name}-title\">{}</title>\n\
             <desc id=\"{name}-description\">{}</desc>\n\
             {}{under}{body}</svg>",
            escaped(&figure.question),
            escaped(&figure.description()),
            self.hatchings(name, ground),
        )
    }

    /// As a part of a page that says beside it what it is.
    pub(super) fn unlabelled(&self) -> String {
        let [width, height] = self.size.map(|side| side * FINE);
        let mut body = String::new();
        for shape in &self.shapes {
            shape.write(&mut body, Ground::Page, "");
        }
        format!(
            "<svg viewBox=\"0 0 {width} {height}\" aria-hidden=\"true\" \
             font-family=\"system-ui, sans-serif\" font-size=\"{USUAL}\">\n{body}</svg>"
        )
    }

    /// What defines the hatchings that are used, once each.
    fn hatchings(&self, name: &str, ground: Ground) -> String {
        let mut inks: Vec<_> = self.shapes.iter().map(Shape::ink).collect();
        inks.sort_unstable();
        inks.dedup();
        let hatchings = inks.iter().filter_map(|ink| ink.hatching(name));
        let definitions: String = hatchings.map(|h| h.definition(ground)).collect();
        match definitions.as_str() {
            "" => definitions,
            _ => format!("<defs>{definitions}</defs>\n"),
        }
    }
}
