//! From text to tree, with syntax errors in plain words.

use std::ops::Range;

use toml::de::DeTable;

use super::problem::{Kind, Problem, Text};
use super::ranges::Typed;
use super::tree::Node;

/// Most syntax errors reported of one text: what follows is noise.
const MOST: usize = 20;
/// What the parser says of a line without `=`.
const NO_VALUE: &str = "key with no value";

/// The tree of a text, which has the number `text`.
///
/// # Errors
/// Every syntax error, the first of each line.
pub(super) fn parse(source: &Text, text: usize) -> Result<Node, Vec<Problem>> {
    let body = &source.body;
    let (table, errors) = DeTable::parse_recoverable(body);
    let root = Node::of_table(&table, text);
    if errors.is_empty() {
        return Ok(root);
    }
    let mut flaws: Vec<SyntaxFlaw> = Vec::new();
    let mut errors = errors;
    let mut rest = body.clone();
    for _ in 0..MOST {
        let gave_up = errors.iter().find(|e| e.message().contains(NO_VALUE));
        let gave_up = gave_up.and_then(toml::de::Error::span);
        flaws.extend(
            errors
                .iter()
                .map(|e| flaw(body, e.message(), e.span().unwrap_or(0..0))),
        );
        // the parser reads nothing behind a line that is no line: on without it
        let Some(at) = gave_up else { break };
        blank_line(&mut rest, at.start);
        errors = DeTable::parse_recoverable(&rest).1;
    }
    // what follows a list or group that was never closed is only read wrongly because of it
    let open = unclosed(body);
    if let Some(span) = &open {
        flaws.retain(|f| f.span.start < span.start);
        flaws.push(SyntaxFlaw {
            span: span.clone(),
            reason: "the list or group that begins here is never closed".to_owned(),
            help: Some("close it with `]` or `}`".to_owned()),
        });
    }
    flaws.sort_by_key(|f| f.span.start);
    let mut last_line = 0;
    let problems = flaws
        .into_iter()
        .map(|f| source.problem(Kind::BadInput, f.span, f.reason, f.help))
        .filter(|p| std::mem::replace(&mut last_line, p.line) != p.line)
        .take(MOST)
        .collect();
    Err(problems)
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
