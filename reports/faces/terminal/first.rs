//! The first screen of an answer: its headline and what matters most about it, and how to see more.

use super::{Lines, Paper, table, text, wrapped};
use crate::document::wording::typed;
use crate::document::{Block, CAUTION_IN_SHORT, Document, Section};

/// Lines of a screen, with room for the command and the prompt after it.
const MOST_LINES: usize = 22;
/// Columns of a screen, where nothing says how wide it is.
const WIDTH: usize = 80;
/// Lines of a note that is left out before any row.
const LONG_NOTE: usize = 4;
/// Rows that go only after the notes.
const FEW_ROWS: usize = 6;
/// Fewer rows than these are no table.
const LEAST_ROWS: usize = 2;
/// Doubts that are spelled out; the others are counted.
const MOST_DOUBTS: usize = 2;

/// What fits a screen. The whole answer where it does.
pub fn first(document: &Document, paper: Paper) -> String {
    let width = paper.rows.unwrap_or(WIDTH).min(WIDTH);
    let paper = Paper {
        text: width,
        rows: Some(width),
        ..paper
    };
    let document = &document.worded(&typed);
    let whole = text(document, paper);
    if whole.lines().count() <= MOST_LINES {
        return whole;
    }
    let mut head = Lines::on(paper);
    let (spelled_out, others) = document
        .doubts
        .split_at(document.doubts.len().min(MOST_DOUBTS));
    head.head(document, spelled_out);
    if !others.is_empty() {
        head.line(&format!("Looks wrong: {} more with --all", others.len()));
    }
    let foot = |left_out: usize, moved_most: &Option<String>| {
        let mut foot = Lines::on(paper);
        foot.line("");
        if let Some(most) = moved_most {
            foot.wrapped(most, ["", ""]);
        }
        foot.wrapped(&rest(document, left_out), ["", ""]);
        if !document.cautions.is_empty() {
            foot.wrapped(CAUTION_IN_SHORT, ["", ""]);
        }
        foot
    };
    let most = |moved_most| {
        let foot = foot(document.sections.len(), moved_most).count();
        MOST_LINES.saturating_sub(head.count() + foot)
    };
    let mut moved_most = &document.moved_most;
    let mut body = sections(document, paper, most(moved_most));
    if body.lost && moved_most.is_some() {
        // an answer goes before what its assumptions do
        moved_most = &None;
        body = sections(document, paper, most(moved_most));
    }
    for line in body.lines {
        head.line(&line);
    }
    head.text + &foot(body.left_out, moved_most).text
}

/// What of the sections has room.
struct Body {
    lines: Vec<String>,
    /// Sections with a heading that have no line.
    left_out: usize,
    /// Whether one of those is meant to be shown first.
    lost: bool,
}

fn sections(document: &Document, paper: Paper, mut room: usize) -> Body {
    let mut body = Body {
        lines: Vec::new(),
        left_out: 0,
        lost: false,
    };
    for section in &document.sections {
        let lines = match section.first {
            true => fitted(section, paper, room),
            false => Vec::new(),
        };
        room = room.saturating_sub(lines.len());
        body.left_out += usize::from(lines.is_empty() && !section.heading.is_empty());
        body.lost |= lines.is_empty() && section.first && !section.blocks.is_empty();
        body.lines.extend(lines);
    }
    body
}

impl Lines {
    fn count(&self) -> usize {
        self.text.lines().count()
    }
}

/// What more there is, with so many sections left out.
fn rest(document: &Document, left_out: usize) -> String {
    let mut more = Vec::new();
    match document.assumptions.len() {
        0 => {}
        1 => more.push("1 figure is assumed".to_owned()),
        n => more.push(format!("{n} figures are assumed")),
    }
    more.push(match left_out {
        0 => "more with --all".to_owned(),
        1 => "--all shows all, and 1 more table".to_owned(),
        n => format!("--all shows all, and {n} more tables"),
    });
    format!("{}.", more.join("; "))
}

/// A section in at most this many lines; nothing where that is too few.
fn fitted(section: &Section, paper: Paper, room: usize) -> Vec<String> {
    let lines = |section: &Section| -> Vec<String> {
        let mut out = Lines::of_a_first_screen(paper);
        out.section(section);
        out.text.lines().map(str::to_owned).collect()
    };
    let mut cut = section.clone();
    let mut left_out = 0;
    loop {
        let mut all = lines(&cut);
        if left_out > 0 {
            let more = wrapped(
                &format!("{left_out} more with --all"),
                paper.text,
                ["  ", "  "],
            );
            all.extend(more);
        }
        if all.len() <= room {
            return all;
        }
        // a line a record rather than a line a column; then what takes longest to read goes first, then
        // what tables have beyond a few rows, then the other notes from the end, then more rows, then
        // whole blocks
        if narrowed(&mut cut, paper) {
            continue;
        }
        let note = |longer_than| {
            let is_note = |block: &Block| lines_of_note(block, paper) > longer_than;
            cut.blocks.iter().rposition(is_note)
        };
        let (long, any) = (note(LONG_NOTE), note(0));
        if let Some(at) = long {
            cut.blocks.remove(at);
        } else if last_row(&mut cut, FEW_ROWS) {
            left_out += 1;
        } else if let Some(at) = any {
            cut.blocks.remove(at);
        } else if last_row(&mut cut, LEAST_ROWS) {
            left_out += 1;
        } else if cut.blocks.len() > 1 {
            cut.blocks.pop();
        } else {
            return Vec::new();
        }
    }
}

/// Leaves out the last columns of a table that would take a line a column, if there is one.
fn narrowed(section: &mut Section, paper: Paper) -> bool {
    let wide = section.blocks.iter_mut().find_map(|block| match block {
        Block::Table(table) if !table::stands_in_rows(table, paper.rows) => Some(table),
        _ => None,
    });
    let fewer = wide.and_then(|wide| Some((table::in_rows(wide, paper.rows)?, wide)));
    fewer.map(|(fewer, wide)| *wide = fewer).is_some()
}

/// Lines that a note takes; none where it is no note.
fn lines_of_note(block: &Block, paper: Paper) -> usize {
    match block {
        Block::Note(text) | Block::Under(text) | Block::Text(text) => {
            wrapped(text, paper.text, ["", ""]).len()
        }
        _ => 0,
    }
}

/// Takes the last row off the last table that has more rows than these, if any; where the rows tell
/// what came of what, one after the first ones.
fn last_row(section: &mut Section, least: usize) -> bool {
    let table = section
        .blocks
        .iter_mut()
        .rev()
        .find_map(|block| match block {
            Block::Table(table) if table.rows.len() > least => Some(table),
            _ => None,
        });
    let Some(table) = table else {
        return false;
    };
    let last = table.rows.len() - 1;
    let goes = if table.in_order { last.min(2) } else { last };
    table.rows.remove(goes);
    true
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::{CAUTION, Cell, Table};

    fn long(rows: usize) -> Document {
        let mut document = Document::about("What it is about");
        let mut table = Table::named();
        for row in 0..rows {
            table.name(format!("row {row}"), Cell::count(row));
        }
        document
            .section("", [table.into(), Block::Note("a note".into())])
            .first()
            .section("Later", [Block::Note("a later note".into())]);
        document.doubts = (0..5).map(|n| format!("doubt {n}")).collect();
        document.cautions.push(CAUTION);
        document
    }

    #[test]
    fn a_screen_is_never_longer_and_says_what_it_leaves_out() {
        for rows in [1, 5, 12, 30, 300] {
            let screen = first(&long(rows), Paper::of_width(80, false));
            assert!(screen.lines().count() <= MOST_LINES, "{rows}: {screen}");
            assert!(screen.contains("row 0"), "{rows}: {screen}");
            assert!(screen.contains("doubt 1"), "{rows}: {screen}");
            if rows > 12 {
                assert!(screen.contains("more with --all"), "{rows}: {screen}");
                assert!(screen.contains("Looks wrong: 3 more"), "{rows}: {screen}");
                assert!(!screen.contains("a later note"), "{rows}: {screen}");
            }
        }
    }

    #[test]
    fn what_fits_a_screen_is_shown_whole() {
        let mut document = Document::about("Short");
        document.section("", [Block::Note("all of it".into())]);
        let paper = Paper::of_width(80, false);
        assert_eq!(first(&document, paper), text(&document, paper));
    }
}
