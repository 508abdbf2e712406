//! Tables: one line a record while there is room, without what may go where there is less, then with
//! the last words of a row below it, and a line for each column of a record where there is least.

use unicode_width::UnicodeWidthStr;

use super::wrapped;
use crate::document::{Cell, Column, Shown, Table};

/// Blanks before each column.
const GAP: usize = 2;
/// The last words of a row are wrapped where they have at least so much room.
const LEAST_WORDS: usize = 22;
/// How far in stands what has a line of its own below a record.
const INSET: &str = "      ";

/// The rows as lines of at most so many columns, as far as words allow.
pub(super) fn lines(table: &Table, width: Option<usize>) -> Vec<String> {
    let natural = Laid::out(table);
    let Some(width) = width else {
        return natural.lines(usize::MAX);
    };
    if natural.fits(width) {
        return natural.lines(width);
    }
    let mut fewer = table.clone();
    loop {
        let may_go = |column: &usize| fewer.columns[*column].may_go;
        let columns: Vec<usize> = (0..fewer.columns.len()).rev().filter(may_go).collect();
        // the fewest go, the last first
        for column in &columns {
            let laid = Laid::out(&without(&fewer, *column));
            if laid.fits(width) {
                return laid.lines(width);
            }
        }
        let Some(last) = columns.first() else {
            break;
        };
        fewer = without(&fewer, *last);
    }
    let laid = Laid::out(&fewer);
    if laid.fits_without_last_words(width) {
        return laid.lines(width);
    }
    records(table, width)
}

/// The table without one of its columns.
fn without(table: &Table, column: usize) -> Table {
    let mut fewer = table.clone();
    fewer.drop_column(column);
    fewer
}

/// Parts of a row as they stand beside each other: a figure and its interval are two.
struct Laid {
    /// Whether each part stands to the right.
    right: Vec<bool>,
    /// Whether each part is a column of words.
    words: Vec<bool>,
    rows: Vec<Vec<String>>,
    widths: Vec<usize>,
}

impl Laid {
    fn out(table: &Table) -> Self {
        let of_column = |column: &Column| match column.shown {
            Shown::Words => vec![false],
            Shown::Figure | Shown::Half => vec![true],
            Shown::Interval => vec![true, false],
            Shown::Hidden => Vec::new(),
        };
        let right: Vec<bool> = table.columns.iter().flat_map(of_column).collect();
        let words = table.columns.iter().flat_map(|column| {
            let words = column.shown == Shown::Words;
            vec![words; of_column(column).len()]
        });
        let words = words.collect();
        let mut rows = Vec::new();
        if table.has_titles() {
            let titles = |column: &Column| match column.shown {
                Shown::Hidden => Vec::new(),
                Shown::Interval => vec![column.title.clone(), String::new()],
                _ => vec![column.title.clone()],
            };
            let parts = table.columns.iter().flat_map(titles);
            rows.push(parts.collect());
        }
        for row in &table.rows {
            let cells = table.columns.iter().zip(row);
            rows.push(
                cells
                    .flat_map(|(column, cell)| parts(column, cell))
                    .collect(),
            );
        }
        let widths = (0..right.len())
            .map(|part| {
                let parts = rows.iter().filter_map(|row: &Vec<String>| row.get(part));
                parts.map(|text| text.width()).max().unwrap_or(0)
            })
            .collect();
        Self {
            right,
            words,
            rows,
            widths,
        }
    }

    /// The last part that holds anything; the part before it ends there.
    fn last(&self) -> Option<(usize, usize)> {
        let last = self.widths.iter().rposition(|width| *width > 0)?;
        let before = self.widths[..last].iter().map(|width| width + GAP).sum();
        Some((last, before))
    }

    fn fits(&self, width: usize) -> bool {
        self.last().is_none_or(|(last, before)| {
            let least = if self.right[last] {
                self.widths[last]
            } else {
                self.widths[last].min(LEAST_WORDS)
            };
            before + GAP + least <= width
        })
    }

    /// Whether the rows fit where their last words stand below them.
    fn fits_without_last_words(&self, width: usize) -> bool {
        self.last()
            .is_some_and(|(last, before)| last > 0 && self.words[last] && before <= width)
    }

    fn lines(&self, width: usize) -> Vec<String> {
        let Some((last, before)) = self.last() else {
            return self.rows.iter().map(|_| String::new()).collect();
        };
        let below = !self.fits(width);
        let room = width.saturating_sub(before + GAP);
        let inset = " ".repeat(before + GAP);
        let mut lines = Vec::new();
        for row in &self.rows {
            let mut line = String::new();
            for (part, text) in row.iter().enumerate().take(last + 1) {
                if part == last && below {
                    break;
                }
                line.push_str(&" ".repeat(GAP));
                let pad = " ".repeat(self.widths[part] - text.width());
                if self.right[part] {
                    line.push_str(&pad);
                    line.push_str(text);
                } else if part == last && text.width() > room {
                    let mut folded = wrapped(text, room, ["", ""]).into_iter();
                    line.push_str(&folded.next().unwrap_or_default());
                    for more in folded {
                        lines.push(std::mem::replace(&mut line, format!("{inset}{more}")));
                    }
                } else {
                    line.push_str(text);
                    line.push_str(&pad);
                }
            }
            lines.push(line);
            if let Some(words) = row.get(last).filter(|words| below && !words.is_empty()) {
                lines.extend(wrapped(words, width, [INSET, INSET]));
            }
        }
        lines
    }
}

fn parts(column: &Column, cell: &Cell) -> Vec<String> {
    match column.shown {
        Shown::Words | Shown::Figure => vec![cell.value()],
        Shown::Half => vec![cell.with_half()],
        Shown::Interval => vec![cell.value(), cell.range()],
        Shown::Hidden => Vec::new(),
    }
}

/// A line for the first cell of each row, and below it one for each column that has a title; what
/// stands in columns without one goes on in a line. A row that begins with nothing belongs to the
/// one above.
fn records(table: &Table, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    for row in &table.rows {
        let begins = row.first().is_some_and(|cell| !cell.value().is_empty());
        let mut record: Vec<(&str, String)> = Vec::new();
        for (column, cell) in table.columns.iter().zip(row) {
            let mut said = parts(column, cell);
            said.retain(|part| !part.is_empty());
            let said = said.join("  ");
            let begun = record.len() > usize::from(begins);
            match record.last_mut() {
                _ if said.is_empty() => {}
                Some((_, line)) if column.title.is_empty() && begun => {
                    line.push_str("  ");
                    line.push_str(&said);
                }
                _ => record.push((&column.title, said)),
            }
        }
        for (place, (title, said)) in record.into_iter().enumerate() {
            let inset = if begins && place == 0 { "  " } else { INSET };
            let text = match title {
                "" => said,
                title => format!("{title}: {said}"),
            };
            lines.extend(wrapped(&text, width, [inset, &format!("{inset}  ")]));
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use shimcast_sim::estimate::Estimate;

    use super::*;

    fn table() -> Table {
        let mut table = Table::new([
            Column::words(""),
            Column::words("window").may_go(),
            Column::intervals("handed over"),
        ]);
        for (name, window, hits) in [
            ("backlash", "0.13 to 0.20 mm", 8800),
            ("pattern", "±20 % long, ±12 % high", 9900),
        ] {
            let share = Cell::share(&Estimate::share(hits, 10_000));
            table.row([name.into(), window.into(), share]);
        }
        table
    }

    #[test]
    fn a_row_is_one_line_while_there_is_room() {
        let wide = [
            "            window                  handed over              ",
            "  backlash  0.13 to 0.20 mm              88.0 %  87.3 to 88.6",
            "  pattern   ±20 % long, ±12 % high       99.0 %  98.8 to 99.2",
        ];
        let trimmed = wide.map(|line| line.trim_end().to_owned());
        let laid = |width| {
            lines(&table(), width)
                .into_iter()
                .map(|l| l.trim_end().to_owned())
        };
        assert!(laid(None).eq(trimmed.clone()));
        assert!(laid(Some(61)).eq(trimmed));
    }

    #[test]
    fn what_may_go_goes_before_a_figure_loses_its_interval() {
        let narrow = lines(&table(), Some(48));
        assert_eq!(narrow[1], "  backlash       88.0 %  87.3 to 88.6");
    }

    #[test]
    fn with_least_room_each_column_has_a_line() {
        let mut table = table();
        table.columns[0].title = "what".into();
        let told = lines(&table, Some(30));
        let first = [
            "  what: backlash",
            "      window: 0.13 to 0.20 mm",
            "      handed over: 88.0 %",
            "        87.3 to 88.6",
        ];
        assert_eq!(told[..4], first);
    }

    #[test]
    fn a_row_that_begins_with_nothing_belongs_to_the_one_above() {
        let mut table = Table::new([Column::words(""), Column::words(""), Column::words("")]);
        table
            .row(["pinion bearings".into(), "0.28 N·m".into()])
            .row(["".into(), "0.12 N·m".into(), "for each degree".into()]);
        let told = records(&table, 30);
        let all = [
            "  pinion bearings",
            "      0.28 N·m",
            "      0.12 N·m  for each",
            "        degree",
        ];
        assert_eq!(told, all);
    }

    #[test]
    fn the_last_words_of_a_row_stand_below_it_where_there_is_no_room_beside_it() {
        let mut table = Table::new([
            Column::words(""),
            Column::halves("hours"),
            Column::words(""),
        ]);
        table.row([
            "slow strip".into(),
            Cell::from("8.44 ±0.05"),
            "no difference seen at 4000 rebuilds".into(),
        ]);
        table.row(["now".into(), Cell::from("8.13 ±0.05")]);
        let told = lines(&table, Some(40));
        let all = [
            "                   hours",
            "  slow strip  8.44 ±0.05",
            "      no difference seen at 4000",
            "      rebuilds",
            "  now         8.13 ±0.05",
        ];
        assert_eq!(told, all);
    }

    #[test]
    fn the_last_words_of_a_row_go_on_below_themselves() {
        let mut table = Table::named();
        table.name(
            "Hours",
            Cell::from("8.2").beside("4 jobs in 5 take at most 9.4 hours or so"),
        );
        let told = lines(&table, Some(42));
        let all = [
            "  Hours  8.2  4 jobs in 5 take at most 9.4",
            "              hours or so",
        ];
        assert_eq!(told, all);
    }
}
