//! What is wrong with an input: where, what, and how to mend it.

use std::fmt;
use std::ops::Range;
use std::path::PathBuf;

use unicode_width::UnicodeWidthChar;

use crate::figures::counted;
use crate::printable::{Shown, is_strange, printable};

/// Widest excerpt of a source line that is shown, in characters.
const WIDEST: usize = 110;
/// Most problems that are shown at once.
const MOST_SHOWN: usize = 40;

/// Where a text came from.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// A file on disk.
    File(PathBuf),
    /// An example that is part of the program.
    BuiltIn(&'static str),
    /// One `--set KEY=VALUE`.
    Set,
}

/// How bad a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// The input is there and wrong.
    BadInput,
    /// The input could not be read.
    CannotRead,
    /// The input is used, though something in it has no effect or looks odd.
    Warning,
}

/// One flaw in one input.
///
/// Its [`Display`](fmt::Display) is `path:line:column: reason`, the source line with carets under
/// what is meant, and a line of help.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// How bad it is.
    pub kind: Kind,
    /// Where the text came from.
    pub origin: Origin,
    /// Line, counted from 1; 0 where the input as a whole is meant.
    pub line: u32,
    /// Column in characters, counted from 1; 0 where the input as a whole is meant.
    pub column: u32,
    /// Characters that carets point at; 0 shows no source line.
    pub width: u32,
    /// The line of the input.
    pub source_line: String,
    /// What is wrong.
    pub reason: String,
    /// How to mend it.
    pub help: Option<String>,
}

impl Problem {
    /// A problem of an input as a whole.
    pub(super) fn whole(kind: Kind, origin: Origin, reason: String, help: Option<String>) -> Self {
        Self {
            kind,
            origin,
            line: 0,
            column: 0,
            width: 0,
            source_line: String::new(),
            reason,
            help,
        }
    }

    fn place(&self) -> (u32, u32) {
        (self.line, self.column)
    }

    /// All of it in a sentence, for where its line is not shown.
    pub fn in_a_sentence(&self) -> String {
        let origin = match &self.origin {
            Origin::File(path) => {
                let name = path.file_name().unwrap_or(path.as_os_str());
                name.shown()
            }
            Origin::BuiltIn(name) => format!("built-in {name}"),
            Origin::Set => format!("--set {}", printable(&self.source_line)),
        };
        let line = match self.line {
            0 => String::new(),
            line => format!(", line {line}"),
        };
        let help = self.help.as_ref();
        let help = help.map_or_else(String::new, |help| format!("; {help}"));
        format!("{origin}{line}: {}{help}", self.reason)
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let kind = if self.kind == Kind::Warning {
            "warning: "
        } else {
            ""
        };
        match &self.origin {
            Origin::File(path) => write!(f, "{}", path.shown())?,
            Origin::BuiltIn(name) => write!(f, "built-in {name}")?,
            Origin::Set => write!(f, "--set {}", printable(&self.source_line))?,
        }
        if self.line > 0 && self.origin != Origin::Set {
            write!(f, ":{}:{}", self.line, self.column)?;
        }
        write!(f, ": {kind}{}", self.reason)?;
        if self.width > 0 {
            let (line, carets) =
                excerpt(&self.source_line, self.column as usize, self.width as usize);
            write!(f, "\n    {line}\n    {carets}")?;
        }
        if let Some(help) = &self.help {
            write!(f, "\n  help: {help}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Problem {}

/// A character that can't disturb a terminal; a tab is kept, for the carets below it.
fn seen(c: char) -> char {
    match is_strange(c) && c != '\t' {
        true => char::REPLACEMENT_CHARACTER,
        false => c,
    }
}

/// The part of a line that holds a span, and the carets that go under it.
fn excerpt(line: &str, column: usize, width: usize) -> (String, String) {
    let chars: Vec<char> = line.chars().map(seen).collect();
    let start = (column.max(1) - 1).min(chars.len());
    let (from, to) = if chars.len() <= WIDEST {
        (0, chars.len())
    } else {
        let from = start.saturating_sub(WIDEST / 3);
        (from, (from + WIDEST).min(chars.len()))
    };
    let end = (start + width).min(to).max(start);
    let cells = |c: &char| c.width().unwrap_or(1);
    let mut shown = String::new();
    let mut carets = String::new();
    if from > 0 {
        shown.push('…');
        carets.push(' ');
    }
    shown.extend(&chars[from..to]);
    if to < chars.len() {
        shown.push('…');
    }
    for c in &chars[from..start] {
        // a tab under a tab keeps the carets in place whatever the terminal's tab width
        if *c == '\t' {
            carets.push('\t');
        } else {
            carets.extend(std::iter::repeat_n(' ', cells(c)));
        }
    }
    let wide: usize = chars[start..end].iter().map(cells).sum();
    carets.extend(std::iter::repeat_n('^', wide.max(1)));
    (shown, carets)
}

/// Everything that is wrong with what was asked to be read, sorted by place.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Problems(pub Vec<Problem>);

impl Problems {
    /// Sorts by line and column and drops what is said twice; the order of the inputs stays.
    pub(super) fn tidied(mut self) -> Self {
        let mut inputs: Vec<Origin> = Vec::new();
        for problem in &self.0 {
            if !inputs.contains(&problem.origin) {
                inputs.push(problem.origin.clone());
            }
        }
        let rank = |p: &Problem| inputs.iter().position(|o| *o == p.origin);
        self.0.sort_by_key(|p| (rank(p), p.place()));
        self.0.dedup();
        self
    }

    /// The first of them in a sentence, and how many there are besides.
    pub fn in_short(&self) -> String {
        let first = self.0.first().map(Problem::in_a_sentence);
        let more = match self.0.len() {
            0 | 1 => String::new(),
            several => format!("; and {} more", several - 1),
        };
        first.unwrap_or_default() + &more
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self(vec![problem])
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, problem) in self.0.iter().take(MOST_SHOWN).enumerate() {
            if i > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{problem}")?;
        }
        if self.0.len() > MOST_SHOWN {
            write!(f, "\nand {} more", self.0.len() - MOST_SHOWN)?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

/// A text with the place it came from.
#[derive(Debug, Clone)]
pub(super) struct Text {
    pub origin: Origin,
    pub body: String,
}

/// Bytes `start` to `end` of the text with number `text`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Place {
    pub text: usize,
    pub start: usize,
    pub end: usize,
}

impl Place {
    pub(super) fn new(text: usize, span: &Range<usize>) -> Self {
        Self {
            text,
            start: span.start,
            end: span.end,
        }
    }

    /// The first line of a text as a whole: for what is missing there.
    pub(super) const fn top(text: usize) -> Self {
        Self {
            text,
            start: 0,
            end: 0,
        }
    }
}

fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

impl Text {
    /// How many flaws there are from a byte on: `flaws` says what comes behind the number, for one and for
    /// several.
    pub(super) fn more(&self, from: usize, number: usize, flaws: [&str; 2]) -> Problem {
        let reason = format!("{} from here on", counted(number as u64, flaws));
        Problem {
            width: 0,
            source_line: String::new(),
            ..self.problem(Kind::BadInput, from..from, reason, None)
        }
    }

    /// A problem at a span of bytes. An empty span at the very start means the text as a whole.
    pub(super) fn problem(
        &self,
        kind: Kind,
        span: Range<usize>,
        reason: impl Into<String>,
        help: Option<String>,
    ) -> Problem {
        let floor = |at: usize| {
            let mut at = at.min(self.body.len());
            while !self.body.is_char_boundary(at) {
                at -= 1;
            }
            at
        };
        let start = floor(span.start);
        let before = &self.body[..start];
        let line_start = before.rfind('\n').map_or(0, |i| i + 1);
        let line_end = self.body[start..]
            .find('\n')
            .map_or(self.body.len(), |i| start + i);
        let end = floor(span.end.clamp(start, line_end.max(start)));
        let wide = self.body[start..end].trim_end().chars().count();
        let as_a_whole = span.start == 0 && span.end == 0 && self.origin != Origin::Set;
        Problem {
            kind,
            origin: self.origin.clone(),
            line: count(1 + before.matches('\n').count()),
            column: count(1 + self.body[line_start..start].chars().count()),
            width: if as_a_whole { 0 } else { count(wide.max(1)) },
            source_line: self.body[line_start..line_end]
                .trim_end_matches('\r')
                .to_owned(),
            reason: reason.into(),
            help,
        }
    }
}
