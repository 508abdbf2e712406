//! From text to tree, with syntax errors in plain words.

use std::ops::Range;

use toml::de::DeTable;
use toml_parser::lexer::{Token, TokenKind};
use toml_parser::parser::{RecursionGuard, parse_document};
use toml_parser::{ParseError, Source};

use super::problem::{Kind, Problem, Text};
use super::ranges::Typed;
use super::tree::Node;

use crate::printable::is_strange;

/// Most lines of one text whose syntax errors are reported: what follows is noise, and counted.
const MOST: usize = 20;
/// What the parser says of a line without `=`.
const NO_VALUE: &str = "key with no value";
/// Bytes of a text that are looked into first: twenty times what a workshop writes.
const LOOK: usize = 1 << 18;
/// So many errors of the parser are noise, on however few lines.
const NOISE: usize = 1000;
/// Most keys, groups and lists of one text: a hundred times what a workshop writes.
const MOST_KEYS: usize = 50_000;
/// Lists and groups in one another, as many as the parser of values takes.
const DEEPEST: u32 = 80;

/// The tree of a text, which has the number `text`.
///
/// # Errors
/// Syntax errors, the first of each line, as many as somebody mends in one go, and how many lines are
/// wrong besides.
pub(super) fn parse(source: &Text, text: usize) -> Result<Node, Vec<Problem>> {
    let body = &source.body;
    let bad = BadLines::of(body);
    if bad.count == 0 {
        noise(source)?;
        if bad.keys > MOST_KEYS {
            let reason = format!("there are more than {MOST_KEYS} keys and groups in the file");
            let help = "check that this is the file you meant".to_owned();
            let origin = source.origin.clone();
            return Err(vec![Problem::whole(
                Kind::BadInput,
                origin,
                reason,
                Some(help),
            )]);
        }
        let (table, errors) = DeTable::parse_recoverable(body);
        if errors.is_empty() {
            let root = Node::of_table(&table, text);
            let strange = strange(&root, source);
            return match strange.is_empty() {
                true => Ok(root),
                false => Err(strange),
            };
        }
        return Err(told(source, &bad, &errors));
    }
    // the parser of values reads nothing behind a line that is no line, so it gets the text without those
    let mut rest = body[..bad.end].to_owned();
    for at in &bad.no_value {
        blank_line(&mut rest, at.start);
    }
    Err(told(source, &bad, &DeTable::parse_recoverable(&rest).1))
}

/// Words and keys with characters that nobody sees, which would disturb whatever shows them: names, a
/// currency, a file's name.
pub(super) fn strange(root: &Node, source: &Text) -> Vec<Problem> {
    let mut found = Vec::new();
    root.words(&mut |words, place| {
        if words.contains(is_strange) && found.len() < MOST {
            let span = place.start..place.end;
            let reason = "there is a character in it that can't be printed";
            let help = Some("write it anew, without copying it".to_owned());
            found.push(source.problem(Kind::BadInput, span, reason, help));
        }
    });
    found
}

/// A large text with too many errors at its beginning is not read as a whole: they would be more than the
/// machine can hold.
fn noise(source: &Text) -> Result<(), Vec<Problem>> {
    let body = &source.body;
    if body.len() <= LOOK {
        return Ok(());
    }
    let mut end = body.floor_char_boundary(LOOK);
    end = body[..end].rfind('\n').map_or(end, |at| at + 1);
    let (_, errors) = DeTable::parse_recoverable(&body[..end]);
    let problems = told(source, &BadLines::default(), &errors);
    if problems.len() <= MOST && errors.len() < NOISE {
        return Ok(());
    }
    Err(problems)
}

/// Lines that can't be read whatever their values are.
#[derive(Debug, Default)]
struct BadLines {
    /// Keys, groups and lists of the whole text.
    keys: usize,
    count: usize,
    /// The end of the last one that is looked into.
    end: usize,
    /// Where the next one is.
    next: Option<usize>,
    /// Those without `=` that are looked into.
    no_value: Vec<Range<usize>>,
}

impl BadLines {
    /// One pass over a text.
    fn of(body: &str) -> Self {
        let mut bad = Self::default();
        let mut end = 0;
        let tokens = Source::new(body).lex().into_vec();
        let is_key = |token: &&Token| {
            matches!(
                token.kind(),
                TokenKind::Equals | TokenKind::LeftSquareBracket
            )
        };
        bad.keys = tokens.iter().filter(is_key).count();
        let mut sink = |error: ParseError| {
            let span = error.unexpected().or(error.context());
            let span = span.map_or(0..0, |span| span.start()..span.end());
            if !next_line(body, span.start, &mut end) {
                return;
            }
            bad.count += 1;
            if bad.count > MOST {
                bad.next.get_or_insert(span.start);
                return;
            }
            bad.end = end;
            if error.description().contains(NO_VALUE) {
                bad.no_value.push(span);
            }
        };
        parse_document(
            &tokens,
            &mut RecursionGuard::new(&mut (), DEEPEST),
            &mut sink,
        );
        bad
    }

    /// How many there are besides those that are looked into.
    fn others(&self) -> usize {
        self.count.saturating_sub(MOST)
    }
}

/// Whether a byte stands behind the line that ends at `end`; its own line's end takes that place.
fn next_line(body: &str, at: usize, end: &mut usize) -> bool {
    if at < *end {
        return false;
    }
    let rest = body.as_bytes().get(at..).unwrap_or_default();
    let length = rest.iter().position(|b| *b == b'\n');
    *end = length.map_or(body.len(), |length| at + length + 1);
    true
}

/// The problems of a text: what the parser of values says, and the lines that it could not see.
fn told(source: &Text, bad: &BadLines, errors: &[toml::de::Error]) -> Vec<Problem> {
    let body = &source.body;
    // what follows a list or group that was never closed is only read wrongly because of it
    let open = unclosed(body);
    let limit = open.as_ref().map_or(usize::MAX, |open| open.start);
    let errors = errors
        .iter()
        .map(|e| (e.span().unwrap_or(0..0), e.message()));
    let no_value = bad.no_value.iter().map(|at| (at.clone(), NO_VALUE));
    let before = |(span, _): &(Range<usize>, &str)| span.start < limit;
    let mut found: Vec<(Range<usize>, &str)> = errors.chain(no_value).filter(before).collect();
    found.sort_by_key(|(span, _)| span.start);
    let mut end = 0;
    found.retain(|(span, _)| next_line(body, span.start, &mut end));
    let others = found.split_off(found.len().min(MOST));
    let next = others.first().map(|(span, _)| span.start).or(bad.next);
    let flaws = found.into_iter();
    let flaws = flaws.map(|(span, message)| flaw(body, message, span));
    let unclosed = open.map(|span| SyntaxFlaw {
        span,
        reason: "the list or group that begins here is never closed".to_owned(),
        help: Some("close it with `]` or `}`".to_owned()),
    });
    let problem = |f: SyntaxFlaw| source.problem(Kind::BadInput, f.span, f.reason, f.help);
    let mut problems: Vec<Problem> = flaws.chain(unclosed).map(problem).collect();
    problems.dedup_by_key(|problem| problem.line);
    if let Some(next) = next.filter(|at| *at < limit) {
        let number = others.len() + bad.others();
        let flaws = ["more line can't be read", "more lines can't be read"];
        problems.push(source.more(next, number, flaws));
    }
    problems
}

/// Spaces in place of the line around a byte, so that all other places stay where they are.
fn blank_line(body: &mut String, at: usize) {
    let at = at.min(body.len());
    let start = body.as_bytes()[..at].iter().rposition(|b| *b == b'\n');
    let start = start.map_or(0, |i| i + 1);
    let length = body.as_bytes()[start..].iter().position(|b| *b == b'\n');
    let end = length.map_or(body.len(), |i| start + i);
    body.replace_range(start..end, &" ".repeat(end - start));
}

struct SyntaxFlaw {
    span: Range<usize>,
    reason: String,
    help: Option<String>,
}

/// The outermost list or group of a value that runs on to the end of the text, as far as its line.
fn unclosed(body: &str) -> Option<Range<usize>> {
    let mut open: Vec<usize> = Vec::new();
    let mut in_value = false;
    let mut chars = body.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        match c {
            '\n' if open.is_empty() => in_value = false,
            '#' => while chars.next_if(|(_, c)| *c != '\n').is_some() {},
            '"' | '\'' => {
                // text in quotes ends with its line, closed or not
                while let Some((_, inner)) = chars.next_if(|(_, c)| *c != '\n') {
                    if inner == '\\' && c == '"' {
                        chars.next();
                    } else if inner == c {
                        break;
                    }
                }
            }
            '=' => in_value = true,
            '[' | '{' if in_value => open.push(at),
            ']' | '}' => {
                open.pop();
            }
            _ => {}
        }
    }
    let start = *open.first()?;
    let line = body[start..].find('\n').unwrap_or(body.len() - start);
    Some(start..start + line)
}

/// One error of the parser in plain words.
fn flaw(body: &str, message: &str, span: Range<usize>) -> SyntaxFlaw {
    if let Some(whole) = decimal_comma(body, span.start) {
        let mended = body[whole.clone()].replace(',', ".");
        return SyntaxFlaw {
            span: whole,
            reason: "there is a comma inside a number".to_owned(),
            help: Some(format!("write a decimal point: {mended}")),
        };
    }
    let word = body.get(span.clone()).unwrap_or("").trim();
    if let Some(flaw) = slip(body, message, &span) {
        return flaw;
    }
    let (reason, help) = plain(message, word);
    let span = if message.contains("basic string") || message.contains("literal string") {
        from_quote(body, span)
    } else {
        widened(body, span)
    };
    SyntaxFlaw {
        span,
        reason,
        help: help.map(str::to_owned),
    }
}

/// Slips of the hand that the parser can't tell from other nonsense.
fn slip(body: &str, message: &str, span: &Range<usize>) -> Option<SyntaxFlaw> {
    let whole = widened(body, span.start..span.start);
    let word = body.get(whole.clone())?;
    // the second part of 0,005
    if message.contains("leading zero")
        && let Some(whole) = decimal_comma(body, span.start.checked_sub(1)?)
    {
        return Some(SyntaxFlaw {
            help: Some(format!(
                "write a decimal point: {}",
                body[whole.clone()].replace(',', ".")
            )),
            span: whole,
            reason: "there is a comma inside a number".to_owned(),
        });
    }
    let line_start = body[..span.start].rfind('\n').map_or(0, |i| i + 1);
    let line = body[line_start..].lines().next().unwrap_or_default();
    if line.contains(['“', '”', '„', '‘', '’', '«', '»']) {
        return Some(SyntaxFlaw {
            span: line_start..line_start + line.len(),
            reason: "curly quotes mean nothing here".to_owned(),
            help: Some("use straight ones, as in \"in\"".to_owned()),
        });
    }
    let before = line.split('#').next().unwrap_or_default();
    if let Some((key, value)) = before.split_once(':')
        && !before.contains('=')
        && !key.trim().is_empty()
    {
        return Some(SyntaxFlaw {
            span: line_start..line_start + before.trim_end().len(),
            reason: "there is a colon in place of the `=`".to_owned(),
            help: Some(format!("write {} = {}", key.trim(), value.trim())),
        });
    }
    if let Some((key, value)) = before.split_once('=')
        && let Some(typed) = Typed::of(value.trim().trim_matches(['[', ']']))
    {
        let start = line_start + before.len() - value.trim_start().len();
        return Some(SyntaxFlaw {
            span: start..start + value.trim().len(),
            reason: "this is a range".to_owned(),
            help: Some(typed.as_window(key.trim())),
        });
    }
    // 8.2in
    let start = body[..whole.start]
        .rfind(|c: char| !c.is_ascii_digit() && c != '.')
        .map_or(0, |i| i + 1);
    let word = body.get(start..whole.start + word.len())?;
    let figure = word.trim_end_matches(|c: char| c.is_alphabetic() || matches!(c, '"' | '°' | '%'));
    if figure.len() < word.len() && figure.parse::<f64>().is_ok() {
        return Some(SyntaxFlaw {
            span: start..start + word.len(),
            reason: "something follows right behind the number".to_owned(),
            help: Some(format!(
                "write {figure} alone; the units of the file are named once, by `length` and `torque`"
            )),
        });
    }
    None
}

/// The number around a comma that was meant as a decimal point, as in `0,13`.
fn decimal_comma(body: &str, at: usize) -> Option<Range<usize>> {
    let bytes = body.as_bytes();
    if bytes.get(at) != Some(&b',') {
        return None;
    }
    let digits = |b: &u8| b.is_ascii_digit();
    let before = bytes[..at].iter().rev().take_while(|b| digits(b)).count();
    let after = bytes[at + 1..].iter().take_while(|b| digits(b)).count();
    (before > 0 && after > 0).then(|| at - before..at + 1 + after)
}

/// Text that is not closed is shown from its quote to the end of the line.
fn from_quote(body: &str, span: Range<usize>) -> Range<usize> {
    if span.end > span.start || !body.is_char_boundary(span.start) {
        return span;
    }
    let line = body[..span.start].rfind('\n').map_or(0, |i| i + 1);
    match body[line..span.start].find(['"', '\'']) {
        Some(quote) => line + quote..span.start,
        None => widened(body, span),
    }
}

/// An empty span covers the word that follows it or, at the end of a line, the word before it, so
/// that carets have something to point at.
fn widened(body: &str, span: Range<usize>) -> Range<usize> {
    if span.end > span.start || !body.is_char_boundary(span.start) {
        return span;
    }
    let length = |chars: &mut dyn Iterator<Item = char>| -> usize {
        chars
            .take_while(|c| !c.is_whitespace() && !matches!(c, ',' | ']' | '}' | '#'))
            .map(char::len_utf8)
            .sum()
    };
    let after = length(&mut body[span.start..].chars());
    if after > 0 {
        return span.start..span.start + after;
    }
    let before = body[..span.start].trim_end_matches([' ', '\t']);
    before.len() - length(&mut before.chars().rev())..before.len()
}

fn plain(message: &str, word: &str) -> (String, Option<&'static str>) {
    let has = |part: &str| message.contains(part);
    let entry = Some("a line reads: key = value");
    if has("duplicate key") && matches!(word, "shims" | "jobs") {
        (
            format!("`{word}` is given twice"),
            Some("each one begins with a line in two brackets: [[shims]], [[jobs]]"),
        )
    } else if has("duplicate key") {
        (
            format!("`{word}` is given twice"),
            Some("keep one of the two; a group in [brackets] is opened once"),
        )
    } else if has("string values must be quoted") && word.is_empty() {
        (
            "a value is missing".to_owned(),
            Some("write one behind the `=`, or take the key out to use the default"),
        )
    } else if word.contains(' ') && word.split_whitespace().all(|w| w.parse::<f64>().is_ok()) {
        (
            "a comma is missing".to_owned(),
            Some("separate the values by commas"),
        )
    } else if has("string values must be quoted") {
        (
            format!("`{word}` is neither a number nor text in quotes"),
            Some("put text in quotes; write a number alone, without its unit"),
        )
    } else if has("invalid mantissa") || has("invalid fraction") || has("invalid float") {
        (
            "this number is not complete".to_owned(),
            Some("write a digit on both sides of the point: 0.5, 5.0"),
        )
    } else if has("leading zero") {
        (
            "a number can't begin with a zero before other digits".to_owned(),
            Some("leave the leading zero out"),
        )
    } else if has("invalid boolean") {
        (
            format!("`{word}` is not a value"),
            Some("write true or false, or put text in quotes"),
        )
    } else if has("basic string") || has("literal string") {
        (
            "text in quotes is not closed, or holds a lone backslash".to_owned(),
            Some("close it with a second quote; write \\\\ for a backslash"),
        )
    } else if has("missing comma") {
        (
            "a comma is missing".to_owned(),
            Some("separate the values by commas"),
        )
    } else if has("extra comma") {
        ("one comma too many".to_owned(), Some("take the comma out"))
    } else if has(NO_VALUE) || has("missing assignment") {
        ("a key without a value".to_owned(), entry)
    } else if has("extra `=`") || has("extra assignment") || has("unexpected `=`") {
        ("an `=` too many".to_owned(), entry)
    } else if has("unclosed table") || has("unclosed array table") {
        (
            "the bracket that opens this group is not closed".to_owned(),
            Some("a group begins with a line like [housing]"),
        )
    } else if has("keys cannot be empty") || has("missing value for key") {
        ("the key in front of the `=` is missing".to_owned(), entry)
    } else if has("unquoted key") {
        (
            "a key is made of letters, digits, `_` and `-`".to_owned(),
            Some("put any other key in quotes"),
        )
    } else if has("unexpected key or value") || has("unexpected content") {
        (
            "something follows the value".to_owned(),
            Some("one key and one value a line; begin a remark with #"),
        )
    } else if has("recurs") {
        ("groups are nested too deep".to_owned(), None)
    } else {
        // the parser's own words, less the list of what it would have liked
        let short = message.split(", expected").next().unwrap_or(message);
        (format!("not a line of TOML: {short}"), entry)
    }
}
