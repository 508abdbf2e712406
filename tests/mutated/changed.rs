//! Texts as nobody would write them: one thing in them changed.

use rand::RngExt;
use rand::rngs::SmallRng;

/// What is put in the place of a figure.
const FIGURES: [&str; 22] = [
    "0",
    "0.0",
    "-0.0",
    "-1",
    "1",
    "1e-300",
    "1e9",
    "-1e9",
    "1e10",
    "1e308",
    "-1e308",
    "1e999",
    "nan",
    "inf",
    "-inf",
    "0.000001",
    "999999",
    "4294967296",
    "18446744073709551616",
    "0x7fffffffffffffff",
    "1_0",
    "\"1\"",
];
/// What is put anywhere.
const PIECES: [&str; 26] = [
    "\"",
    "'",
    "[",
    "]",
    "{",
    "}",
    "=",
    ",",
    "#",
    "\n",
    "\r",
    "\t",
    "\0",
    "\u{1b}[31m",
    "\u{202e}",
    "µ",
    "\u{feff}",
    "[[shims]]\n",
    "[bench]\n",
    "true",
    "\\u0007",
    "\"\"\"",
    "=cmd()",
    "..",
    "1979-05-27",
    "\u{10ffff}",
];

/// One of them, as the dice fall.
pub fn one_of<'a>(dice: &mut SmallRng, all: &[&'a str]) -> &'a str {
    all[dice.random_range(0..all.len())]
}

/// The spans of the figures of a text.
fn figures(text: &str) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let mut start = None;
    for (at, c) in text.char_indices().chain([(text.len(), ' ')]) {
        let in_figure = c.is_ascii_digit() || c == '.';
        match (in_figure, start) {
            (true, None) => start = Some(at),
            (false, Some(from)) => {
                found.push((from, at));
                start = None;
            }
            _ => {}
        }
    }
    found
}

/// A text with one thing changed.
pub fn mutated(text: &str, other: &str, dice: &mut SmallRng) -> String {
    if text.is_empty() {
        return one_of(dice, &PIECES).to_owned();
    }
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let any = |dice: &mut SmallRng| text.floor_char_boundary(dice.random_range(0..=text.len()));
    let line = |dice: &mut SmallRng| dice.random_range(0..lines.len());
    match dice.random_range(0..12_u32) {
        0..=4 => {
            let all = figures(text);
            let Some((from, to)) = all.get(dice.random_range(0..all.len().max(1))) else {
                return text.to_owned();
            };
            let new = match dice.random_range(0..4_u32) {
                0 => one_of(dice, &FIGURES).to_owned(),
                1 => format!("{}", dice.random_range(-1e3..1e3)),
                _ => match text[*from..*to].parse::<f64>() {
                    Ok(figure) => format!("{:?}", figure * one_of_factors(dice)),
                    Err(_) => "7".to_owned(),
                },
            };
            format!("{}{new}{}", &text[..*from], &text[*to..])
        }
        5 => {
            let at = any(dice);
            format!("{}{}{}", &text[..at], one_of(dice, &PIECES), &text[at..])
        }
        6 => {
            let (from, long) = (any(dice), dice.random_range(0..40_usize));
            let to = text.ceil_char_boundary((from + long).min(text.len()));
            format!("{}{}", &text[..from], &text[to..])
        }
        7 => {
            let out = line(dice);
            let kept = lines.iter().enumerate().filter(|(at, _)| *at != out);
            kept.map(|(_, line)| *line).collect()
        }
        8 => {
            let (twice, at) = (line(dice), line(dice));
            let mut all = lines.clone();
            all.insert(at, lines[twice]);
            all.concat()
        }
        9 => text[..any(dice)].to_owned(),
        10 => {
            let foreign: Vec<&str> = other.split_inclusive('\n').collect();
            let (at, from) = (line(dice), dice.random_range(0..foreign.len()));
            let mut all = lines.clone();
            all.insert(at, foreign[from]);
            all.concat()
        }
        _ => {
            let (one, two) = (line(dice), line(dice));
            let mut all = lines.clone();
            all.swap(one, two);
            all.concat()
        }
    }
}

fn one_of_factors(dice: &mut SmallRng) -> f64 {
    [
        0.5, 0.8, 0.95, 0.99, 1.01, 1.05, 1.2, 2.0, -1.0, 25.4, 1e3, 1e-3,
    ][dice.random_range(0..12_usize)]
}
