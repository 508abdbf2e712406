//! Answers on narrow terminals: paragraphs wrapped anew, tables folded between two columns, so that
//! what belongs together stays in line.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Hanging text is written in lines of at least so many columns, or the next word would have had
/// room.
const WRITTEN_FOR: usize = 92;
/// A line of running text is at least so long where the sentence goes on.
const RUNNING: usize = 72;
/// How far in the second half of a folded row stands.
const INSET: usize = 6;
/// Nothing is folded into less.
const LEAST: usize = 40;

/// The text in lines of at most so many columns, as far as words allow.
pub fn fold(text: &str, width: usize) -> String {
    let width = width.max(LEAST);
    if text.lines().all(|line| shown(line) <= width) {
        return text.to_owned();
    }
    let lines: Vec<&str> = text.lines().collect();
    let mut folded = String::with_capacity(text.len() + 512);
    for run in lines.chunk_by(|a, b| Kind::of(a) == Kind::of(b)) {
        match Kind::of(run[0]) {
            _ if run.iter().all(|line| shown(line) <= width) => {
                for line in run {
                    put(&mut folded, line);
                }
            }
            Kind::Row => rows(&mut folded, run, width),
            Kind::Words => paragraphs(&mut folded, run, width),
        }
    }
    folded
}

/// What a line is part of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// A table.
    Row,
    /// A sentence, a heading, an empty line.
    Words,
}

impl Kind {
    fn of(line: &str) -> Self {
        if line.starts_with("  ") && line.trim().contains("  ") {
            Self::Row
        } else {
            Self::Words
        }
    }
}

fn put(folded: &mut String, line: &str) {
    folded.push_str(line.trim_end());
    folded.push('\n');
}

/// Columns that a line takes; what only switches a style takes none.
fn shown(line: &str) -> usize {
    let mut columns = 0;
    let mut parts = line.split('\x1b');
    columns += parts.next().map_or(0, UnicodeWidthStr::width);
    for part in parts {
        let text = part.split_once('m').map_or(part, |(_, text)| text);
        columns += text.width();
    }
    columns
}

fn inset(line: &str) -> usize {
    line.len() - line.trim_start_matches(' ').len()
}

/// Whether the next line belongs to the sentence that began with the first one and has come to
/// another.
fn goes_on(first: &str, last: &str, next: &str) -> bool {
    let Some(word) = next.split_whitespace().next() else {
        return false;
    };
    match (inset(first), inset(last), inset(next)) {
        (0, 0, 0) => shown(last) >= RUNNING,
        // what goes on hangs; lines of a list begin all at the same place
        (one, two, three) if three > one && (two == one || two == three) => {
            shown(last) + 1 + word.width() > WRITTEN_FOR
        }
        _ => false,
    }
}

/// Puts together what was one sentence, and wraps it anew.
fn paragraphs(folded: &mut String, lines: &[&str], width: usize) {
    let mut from = 0;
    while from < lines.len() {
        let mut to = from + 1;
        while to < lines.len() && goes_on(lines[from], lines[to - 1], lines[to]) {
            to += 1;
        }
        let sentence = &lines[from..to];
        from = to;
        if sentence.iter().all(|line| shown(line) <= width) {
            for line in sentence {
                put(folded, line);
            }
            continue;
        }
        let first = " ".repeat(inset(sentence[0]));
        let rest = " ".repeat(sentence.get(1).map_or_else(
            || inset(sentence[0]) + if first.is_empty() { 0 } else { 2 },
            |second| inset(second),
        ));
        let mut line = first;
        let mut empty = true;
        for word in sentence.iter().flat_map(|line| line.split_whitespace()) {
            if !empty && shown(&line) + 1 + shown(word) > width {
                put(folded, &line);
                line.clone_from(&rest);
                empty = true;
            }
            if !empty {
                line.push(' ');
            }
            line.push_str(word);
            empty = false;
        }
        put(folded, &line);
    }
}

/// Folds a table between the last two columns that leave room.
fn rows(folded: &mut String, lines: &[&str], width: usize) {
    // one cell a column, so that columns can be counted
    let cells: Vec<Vec<char>> = lines
        .iter()
        .map(|line| {
            let mut cells = Vec::new();
            for c in line.chars() {
                cells.push(c);
                cells.extend(vec!['\0'; c.width().unwrap_or(1).saturating_sub(1)]);
            }
            cells
        })
        .collect();
    let Some(at) = fold_at(&cells, width) else {
        for line in lines {
            paragraphs(folded, &[line], width);
        }
        return;
    };
    let text = |cells: &[char]| -> String { cells.iter().filter(|c| **c != '\0').collect() };
    let mut second: Vec<String> = Vec::new();
    let mut halves = Vec::new();
    for row in &cells {
        let (left, right) = row.split_at(at.min(row.len()));
        let right = format!("{}{}", " ".repeat(INSET), text(right));
        halves.push((text(left), second.len()));
        if !right.trim().is_empty() {
            second.push(right);
        }
    }
    // what is still too wide is folded once more, row by row in the same place
    let seconds: Vec<&str> = second.iter().map(String::as_str).collect();
    let mut again = Vec::new();
    if seconds.iter().any(|line| shown(line) > width) {
        for line in &seconds {
            let mut text = String::new();
            rows(&mut text, &[line], width);
            again.push(text);
        }
    } else {
        again.extend(seconds.iter().map(|line| format!("{}\n", line.trim_end())));
    }
    for (i, (left, place)) in halves.iter().enumerate() {
        if !left.trim().is_empty() {
            put(folded, left);
        }
        let end = halves.get(i + 1).map_or(second.len(), |next| next.1);
        for text in &again[*place..end] {
            folded.push_str(text);
        }
    }
}

/// The column before which to fold: where two blanks stand in every row, and all before has room.
fn fold_at(cells: &[Vec<char>], width: usize) -> Option<usize> {
    let blank = |column: usize| {
        cells
            .iter()
            .all(|row| row.get(column).is_none_or(|c| *c == ' '))
    };
    let ends = |column: usize| {
        let used = |row: &Vec<char>| {
            let row = &row[..column.min(row.len())];
            row.iter()
                .rposition(|c| *c != ' ')
                .map_or(0, |last| last + 1)
        };
        cells.iter().map(used).max().unwrap_or(0)
    };
    let widest = cells.iter().map(Vec::len).max().unwrap_or(0);
    let begins = cells
        .iter()
        .filter_map(|row| row.iter().position(|c| *c != ' '))
        .min()?;
    (begins + 3..widest)
        .filter(|column| blank(column - 1) && blank(column - 2) && !blank(*column))
        .rfind(|column| ends(*column) <= width)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_has_room_stays_as_it_is() {
        let text = "A heading\n  a    1.00  2.00\n\nWords.\n";
        assert_eq!(fold(text, 80), text);
    }

    #[test]
    fn a_table_is_folded_in_one_place_for_all_its_rows() {
        let text = "  name        window           first assembly            handed over\n  \
                    backlash    0.13 to 0.20 mm          30.7 %  30 to 31       88.3 %\n  \
                    none        short\n";
        let folded = fold(text, 56);
        assert_eq!(
            folded,
            "  name        window           first assembly\n      handed over\n  \
             backlash    0.13 to 0.20 mm          30.7 %  30 to 31\n           88.3 %\n  \
             none        short\n"
        );
        // the second half of every row starts in the same place
        let words = |text: &str| {
            text.split_whitespace()
                .map(str::to_owned)
                .collect::<Vec<_>>()
        };
        assert_eq!(words(&folded), words(text));
    }

    #[test]
    fn sentences_are_wrapped_anew_and_headings_are_left_alone() {
        let long = "A simulated chance is not a measurement: every assembly is to be checked by the \
                    readings that\nthe manual asks for.\nAnother line.\n";
        let folded = fold(long, 60);
        assert!(
            folded.lines().all(|line| line.chars().count() <= 60),
            "{folded}"
        );
        assert!(folded.contains("readings that the manual"), "{folded}");
        assert!(folded.ends_with("\nAnother line.\n"), "{folded}");
    }

    #[test]
    fn lines_of_a_list_stay_apart_and_what_hangs_goes_on() {
        let item = "  housing.ring_seat = 89.312 ± 0.08 mm (nominal: built-in, scaled by the ring \
                    diameter; spread: built-in)\n";
        let folded = fold(&item.repeat(2), 60);
        let begins = |line: &&str| line.starts_with("  housing");
        assert_eq!(folded.lines().filter(begins).count(), 2, "{folded}");
        let hanging = "  decides: a backlash reading is outside, and the mean of 0.18 is 0.02 mm over \
                       the middle; ring\n    gear in by 0.02 mm\n";
        let folded = fold(hanging, 80);
        assert!(
            folded.contains("\n    the middle; ring gear in by"),
            "{folded}"
        );
    }

    #[test]
    fn colours_take_no_room() {
        let text = format!("\x1b[1m{}\x1b[0m\n", "x".repeat(60));
        assert_eq!(fold(&text, 60), text);
        assert_eq!(shown(text.trim_end()), 60);
    }

    #[test]
    fn no_word_is_lost_at_any_width() {
        let text = include_str!("../../tests/answers/odds-rowan.txt");
        let words = |text: &str| {
            let mut words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
            words.sort();
            words
        };
        for width in 40..130 {
            let folded = fold(text, width);
            assert_eq!(words(&folded), words(text), "{width}");
            if width >= 72 {
                let long = folded.lines().find(|line| line.chars().count() > width);
                assert!(long.is_none(), "{width}: {long:?}");
            }
        }
    }
}
