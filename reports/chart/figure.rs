//! A finished figure, and the one function that finishes it.

use super::ink::{on_white, painted};

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
    patterns: String,
    body: String,
}

impl Figure {
    /// Finishes a drawing of this size: real paints in place of codes, the type that was asked for,
    /// a title, a description, a role, and names that are its own.
    pub(super) fn finished(words: Words, size: [f64; 2], drawn: &str) -> Self {
        // what the library wraps round it is written anew
        let inner = match (drawn.find('>'), drawn.rfind("</svg>")) {
            (Some(start), Some(end)) if drawn.starts_with("<svg") => &drawn[start + 1..end],
            _ => drawn,
        };
        let plain = inner
            .replace(" opacity=\"1\"", "")
            .replace(" stroke=\"none\"", "")
            .replace(" font-family=\"sans-serif\"", "")
            .replace(" \"/>", "\"/>");
        // text is its element's only content: the library breaks lines round it
        let plain = tight_text(&plain);
        let (body, patterns) = painted(plain.trim(), &words.name);
        Self {
            words,
            size,
            patterns,
            body,
        }
    }

    /// As part of a page, whose style gives the paints.
    pub fn inline(&self) -> String {
        self.wrapped("", "")
    }

    /// As a file of its own, on white.
    pub fn file(&self) -> String {
        let [width, height] = self.size;
        let size =
            format!(" xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\"");
        let ground = "<rect width=\"100%\" height=\"100%\" fill=\"var(--paper)\"/>\n";
        format!("{}\n", on_white(&self.wrapped(&size, ground)))
    }

    fn wrapped(&self, attributes: &str, ground: &str) -> String {
        let Words {
            name,
            title,
            description,
        } = &self.words;
        let [width, height] = self.size.map(|side| side * FINE);
        let patterns = if self.patterns.is_empty() {
            String::new()
        } else {
            format!("<defs>{}</defs>\n", self.patterns)
        };
        format!(
            "<svg{attributes} viewBox=\"0 0 {width} {height}\" role=\"img\" \
             aria-labelledby=\"{name}-title {name}-description\" \
             font-family=\"system-ui, sans-serif\">\n\
             <title id=\"{name}-title\">{}</title>\n\
             <desc id=\"{name}-description\">{}</desc>\n\
             {patterns}{ground}{}\n</svg>",
            escaped(title),
            escaped(description),
            self.body
        )
    }
}

fn tight_text(svg: &str) -> String {
    let mut lines = svg.lines();
    let mut text = String::with_capacity(svg.len());
    while let Some(line) = lines.next() {
        text.push_str(line);
        if line.starts_with("<text") && !line.contains("</text>") {
            for inner in lines.by_ref() {
                text.push_str(inner);
                if inner.ends_with("</text>") {
                    break;
                }
            }
        }
        text.push('\n');
    }
    text
}

/// Text that says what it says wherever it stands in XML or HTML.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            // XML has no way to write them
            c if c.is_control() && !matches!(c, '\n' | '\t') => safe.push('\u{fffd}'),
            '\u{fffe}' | '\u{ffff}' => safe.push('\u{fffd}'),
            c => safe.push(c),
        }
    }
    safe
}
