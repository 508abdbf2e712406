//! A finished figure, and the one function that finishes it.

use super::ink::Ground;
use super::svg::{Shape, escaped};

/// Units of a drawing in one unit of a figure's size: drawing is done in whole units, so these are
/// made small.
pub(super) const FINE: f64 = 10.0;

/// Type size, in units of a figure's size.
pub(super) const TYPE: f64 = 13.0;

/// What a figure is called and says, for those who do not see it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    /// Its name: lower case and hyphens, its own in a page; its file is called by it.
    pub name: String,
    /// The question that it answers.
    pub title: String,
    /// What it shows and what is seen in it.
    pub description: String,
}

/// A figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// What it is called and says.
    pub words: Words,
    size: [f64; 2],
    shapes: Vec<Shape>,
}

impl Figure {
    /// A drawing of this size with a title, a description, a role, and names that are its own.
    pub(super) fn finished(words: Words, size: [f64; 2], shapes: Vec<Shape>) -> Self {
        Self {
            words,
            size,
            shapes,
        }
    }

    /// As part of a page, whose style gives the paints.
    pub fn inline(&self) -> String {
        self.on(Ground::Page, "", "")
    }

    /// As a file of its own, on white.
    pub fn file(&self) -> String {
        let [width, height] = self.size;
        let size =
            format!(" xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\"");
        let ground = "<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n";
        format!("{}\n", self.on(Ground::White, &size, ground))
    }

    fn on(&self, ground: Ground, attributes: &str, under: &str) -> String {
        let Words {
            name,
            title,
            description,
        } = &self.words;
        let [width, height] = self.size.map(|side| side * FINE);
        let mut body = String::new();
        for shape in &self.shapes {
            shape.write(&mut body, ground, name);
        }
        format!(
            "<svg{attributes} viewBox=\"0 0 {width} {height}\" role=\"img\" \
             aria-labelledby=\"{name}-title {name}-description\" \
             font-family=\"system-ui, sans-serif\">\n\
             <title id=\"{name}-title\">{}</title>\n\
             <desc id=\"{name}-description\">{}</desc>\n\
             {}{under}{body}</svg>",
            escaped(title),
            escaped(description),
            self.hatchings(ground),
        )
    }

    /// What defines the hatchings that are used, once each.
    fn hatchings(&self, ground: Ground) -> String {
        let mut inks: Vec<_> = self.shapes.iter().map(Shape::ink).collect();
        inks.sort_unstable();
        inks.dedup();
        let hatchings = inks.iter().filter_map(|ink| ink.hatching(&self.words.name));
        let definitions: String = hatchings.map(|h| h.definition(ground)).collect();
        match definitions.as_str() {
            "" => definitions,
            _ => format!("<defs>{definitions}</defs>\n"),
        }
    }
}
