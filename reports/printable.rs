//! Text from outside, so that it can't disturb whatever shows it: names of files, what was typed, notes.
//!
//! In the files of an axle, a shop and a job such characters are refused (`files/syntax.rs`); everywhere else
//! a mark stands in their place.

use std::borrow::Cow;
use std::ffi::OsStr;
use std::path::Path;

/// Whether a character is none that is seen: controls, ends of lines and paragraphs, and what turns the
/// direction of the text behind it (Unicode Technical Report 36, section 3.3).
pub fn is_strange(c: char) -> bool {
    c.is_control() || matches!(c, '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// A text with a mark in place of each such character.
pub fn printable(text: &str) -> Cow<'_, str> {
    match text.contains(is_strange) {
        true => text.replace(is_strange, "\u{fffd}").into(),
        false => text.into(),
    }
}

/// The same for several lines, in which tabs stay.
pub fn printable_lines(text: &str) -> String {
    text.replace(|c| is_strange(c) && !matches!(c, '\n' | '\t'), "\u{fffd}")
}

/// What has a name on a disk, as it is shown.
pub trait Shown {
    /// Its name for people.
    fn shown(&self) -> String;
}

impl Shown for OsStr {
    fn shown(&self) -> String {
        printable(&self.to_string_lossy()).into_owned()
    }
}

impl Shown for Path {
    fn shown(&self) -> String {
        self.as_os_str().shown()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_seen_has_a_mark_in_its_place() {
        assert_eq!(printable("Rowan 215, µm, 大"), "Rowan 215, µm, 大");
        let strange = "a\u{1b}[31mb\u{7}\u{9b}c\nd\u{202e}e\u{feff}";
        assert_eq!(printable(strange), "a�[31mb��c�d�e�");
        assert_eq!(printable_lines("a\tb\nc\r\u{1b}"), "a\tb\nc��");
        assert_eq!(Path::new("x\r.toml").shown(), "x�.toml");
    }
}
