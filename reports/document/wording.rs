//! Words that depend on who reads: what is typed at a terminal is a field on a screen, and on paper it is
//! nothing at all.
//!
//! A sentence holds them between characters for private use (Unicode, clause 23.5); each face puts its own
//! words in their place ([`Document::worded`]).

use super::{Block, Cell, Document, Figure, Section, Table};

/// What a sentence names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Named<'a> {
    /// An option by its name without dashes; its field is called the same.
    Option(&'a str),
    /// A command: what is typed behind the program's name, and the place on a screen that tells the same.
    Command(&'a str, Option<&'a str>),
    /// A key of a file as it is written there, and in words.
    Key(&'a str, &'a str),
}

/// How a face names these; `None` where it has no way to.
pub type Wording<'a> = &'a dyn Fn(Named<'_>) -> Option<String>;

const OPEN: char = '\u{e000}';
const BETWEEN: char = '\u{e001}';
const CLOSE: char = '\u{e002}';
const HINT: char = '\u{e003}';
const END_OF_HINT: char = '\u{e004}';

/// An option of a command.
pub fn option(name: &str) -> String {
    format!("{OPEN}option{BETWEEN}{name}{CLOSE}")
}

/// A command, with the place on a screen that tells the same; empty where there is none.
pub fn command(typed: &str, place: &str) -> String {
    format!("{OPEN}command{BETWEEN}{typed}{BETWEEN}{place}{CLOSE}")
}

/// A key of a file, and the same in words.
pub fn key(key: &str, in_words: &str) -> String {
    format!("{OPEN}key{BETWEEN}{key}{BETWEEN}{in_words}{CLOSE}")
}

/// A part of a text that is left out where something in it has no name.
pub fn hint(text: &str) -> String {
    format!("{HINT}{text}{END_OF_HINT}")
}

/// As people read it at a terminal.
pub fn typed(named: Named<'_>) -> Option<String> {
    Some(match named {
        Named::Option(name) => format!("--{name}"),
        Named::Command(typed, _) => format!("shimcast {typed}"),
        Named::Key(key, _) => key.to_owned(),
    })
}

/// As people read it on paper, where nothing can be asked for.
pub fn printed(named: Named<'_>) -> Option<String> {
    match named {
        Named::Option(_) | Named::Command(..) => None,
        Named::Key(_, in_words) => Some(in_words.to_owned()),
    }
}

/// A text with its names as this face has them.
fn in_words(text: &str, by: Wording<'_>) -> String {
    let mut said = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, behind)) = rest.split_once(HINT) {
        let (hint, behind) = behind.split_once(END_OF_HINT).unwrap_or((behind, ""));
        said.push_str(&named(before, by).0);
        if let (hint, true) = named(hint, by) {
            said.push_str(&hint);
        }
        rest = behind;
    }
    said + &named(rest, by).0
}

/// The same of a text without hints, and whether all in it has a name.
fn named(text: &str, by: Wording<'_>) -> (String, bool) {
    let mut said = String::new();
    let (mut rest, mut all) = (text, true);
    while let Some((before, behind)) = rest.split_once(OPEN) {
        let (mark, behind) = behind.split_once(CLOSE).unwrap_or((behind, ""));
        let parts: Vec<&str> = mark.split(BETWEEN).collect();
        let name = match parts.as_slice() {
            ["option", name] => by(Named::Option(name)),
            ["command", typed, place] => by(Named::Command(
                typed,
                Some(*place).filter(|of| !of.is_empty()),
            )),
            ["key", key, in_words] => by(Named::Key(key, in_words)),
            _ => Some(mark.to_owned()),
        };
        all &= name.is_some();
        said.push_str(before);
        said.push_str(&name.unwrap_or_default());
        rest = behind;
    }
    (said + rest, all)
}

/// Puts the words of a face into a text; says whether nothing is left of it.
fn word(text: &mut String, by: Wording<'_>) -> bool {
    let is_marked = text.contains([OPEN, HINT]);
    if is_marked {
        *text = in_words(text, by);
    }
    is_marked && text.trim().is_empty()
}

impl Document {
    /// The same in the words of a face.
    pub fn worded(&self, by: Wording<'_>) -> Self {
        let mut all = self.clone();
        for texts in [&mut all.under, &mut all.doubts, &mut all.assumptions] {
            texts.retain_mut(|text| !word(text, by));
        }
        if let Some(most) = &mut all.moved_most {
            word(most, by);
        }
        all.sections.iter_mut().for_each(|of| of.word(by));
        all
    }
}

impl Section {
    /// The same in the words of a face.
    pub fn worded(&self, by: Wording<'_>) -> Self {
        let mut all = self.clone();
        all.word(by);
        all
    }

    fn word(&mut self, by: Wording<'_>) {
        word(&mut self.heading, by);
        self.blocks.retain_mut(|block| !block.word(by));
    }
}

impl Block {
    /// Whether nothing is left of it.
    fn word(&mut self, by: Wording<'_>) -> bool {
        match self {
            Self::Table(of) | Self::Folded(of) => of.word(by),
            Self::Figure(of) => of.word(by),
            Self::Heading(text) | Self::Note(text) | Self::Under(text) | Self::Text(text) => {
                return word(text, by);
            }
            Self::Step(_, _, blocks) => blocks.retain_mut(|block| !block.word(by)),
        }
        false
    }
}

impl Figure {
    /// The same in the words of a face.
    pub fn worded(&self, by: Wording<'_>) -> Self {
        let mut all = self.clone();
        all.word(by);
        all
    }

    fn word(&mut self, by: Wording<'_>) {
        word(&mut self.finding, by);
        word(&mut self.reading, by);
        self.table.word(by);
    }
}

impl Table {
    fn word(&mut self, by: Wording<'_>) {
        word(&mut self.caption, by);
        for text in self.rows.iter_mut().flatten().flat_map(Cell::texts_mut) {
            word(text, by);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn note() -> Document {
        let mut document = Document::about("x");
        let how = hint(&format!("; {} puts it in", option("margin")));
        let only = hint(&format!("{} tells more.", command("stock --all", "")));
        let key = key("prices.hour", "an hour (prices.hour)");
        let mut table = Table::named();
        table.name("a", Cell::from("b").beside(key.as_str()));
        let blocks = [
            table.into(),
            Block::Note(format!("Without margin{how}; {key}.")),
            Block::Note(only),
        ];
        document.section("", blocks);
        document
    }

    fn said(by: Wording<'_>) -> Vec<String> {
        let document = note().worded(by);
        let blocks = document.sections[0].blocks.iter();
        blocks
            .map(|block| match block {
                Block::Table(table) => table.rows[0][1].range(),
                Block::Note(text) => text.clone(),
                other => panic!("{other:?}"),
            })
            .collect()
    }

    #[test]
    fn each_face_names_what_it_can_and_leaves_out_the_rest() {
        assert_eq!(
            said(&typed),
            [
                "prices.hour",
                "Without margin; --margin puts it in; prices.hour.",
                "shimcast stock --all tells more.",
            ]
        );
        assert_eq!(
            said(&printed),
            [
                "an hour (prices.hour)",
                "Without margin; an hour (prices.hour).",
            ]
        );
    }

    #[test]
    fn what_a_file_holds_by_chance_does_no_harm() {
        for text in [
            "\u{e000}",
            "a\u{e003}b\u{e000}c",
            "\u{e002}\u{e000}option\u{e002}",
        ] {
            in_words(text, &printed);
        }
    }
}
