//! Tables: one line a record while there is room, without what may go where there is less, then with
//! the last words of a row below it, and a line for each column of a record where there is least.

use unicode_width::UnicodeWidthStr;

use super::wrapped;
use crate::document::{Shown, Table};

/// Blanks before each column.
const GAP: usize = 2;
/// The last words of a row are wrapped where they have at least this much room.
const LEAST_WORDS: usize = 22;
/// Indent of what has a line of its own below a record.
const INSET: &str = "      ";

/// The rows as lines of at most this many columns, as far as words allow, and the titles of what was
/// left out for it.
pub(super) fn lines(table: &Table, width: Option<usize>) -> (Vec<String>, Vec<String>) {
    let natural = Laid::out(table);
    let Some(width) = width else {
        return (natural.lines(usize::MAX), Vec::new());
    };
    if natural.fits(width) {
        return (natural.lines(width), Vec::new());
    }
    if !stands_in_rows(table, Some(width)) {
        return (records(table, width), Vec::new());
    }
    let mut fewer = table.clone();
    let mut left_out = Vec::new();
    loop {
        let may_go = |column: &usize| fewer.columns[*column].may_go;
        let columns: Vec<usize> = (0..fewer.columns.len()).rev().filter(may_go).collect();
        // the fewest go, the last first
        for column in &columns {
            let without = without(&fewer, *column);
            let laid = Laid::out(&without);
            if laid.fits(width) {
                left_out.push(fewer.columns[*column].title.clone());
                return (laid.lines(width), left_out);
            }
        }
        let Some(last) = columns.first() else {
            break;
        };
        left_out.push(fewer.columns[*last].title.clone());
        fewer = without(&fewer, *last);
    }
    (Laid::out(&fewer).lines(width), left_out)
}

/// Whether it takes a line a record, or a line and the last words of it.
pub(super) fn stands_in_rows(table: &Table, width: Option<usize>) -> bool {
    let Some(width) = width else {
        return true;
    };
    let mut least = table.clone();
    for column in (0..table.columns.len()).rev() {
        if table.columns[column].may_go {
            least.drop_column(column);
        }
    }
    let laid = Laid::out(&least);
    laid.fits(width) || laid.fits_without_last_words(width)
}

/// With as many of its first columns as stand in rows; `None` where not even two do.
pub(super) fn in_rows(table: &Table, width: Option<usize>) -> Option<Table> {
    let mut fewer = table.clone();
    while !stands_in_rows(&fewer, width) {
        if fewer.columns.len() <= 2 {
            return None;
        }
        fewer.drop_column(fewer.columns.len() - 1);
    }
    Some(fewer)
}

/// The table without one of its columns.
fn without(table: &Table, column: usize) -> Table {
    let mut fewer = table.clone();
    fewer.drop_column(column);
    fewer
}

/// A column as it is laid out.
struct Slot<'a> {
    shown: Shown,
    title: &'a str,
    /// Width of the widest figure or words, and of what is beside them.
    widths: [usize; 2],
}

impl Slot<'_> {
    fn is_words(&self) -> bool {
        self.shown == Shown::Words
    }

    /// Figures with what is beside them.
    fn cells(&self) -> usize {
        match self.widths {
            [value, 0] => value,
            [value, beside] => value + GAP + beside,
        }
    }

    fn width(&self) -> usize {
        self.cells().max(self.title.width())
    }

    /// Figures are aligned to the right, under their title as long as it is no wider than they are.
    fn aligned(&self, text: &str) -> String {
        let pad = " ".repeat(self.widths[0].saturating_sub(text.width()));
        if self.is_words() {
            format!("{text}{pad}")
        } else {
            format!("{pad}{text}")
        }
    }
}

/// A table laid out.
struct Laid<'a> {
    slots: Vec<Slot<'a>>,
    /// For each row and slot the figure or words, and what is beside them.
    rows: Vec<Vec<[String; 2]>>,
}

impl<'a> Laid<'a> {
    fn out(table: &'a Table) -> Self {
        let rows: Vec<Vec<[String; 2]>> = table
            .rows
            .iter()
            .map(|row| {
                let cells = table.columns.iter().zip(row);
                let shown = cells.filter(|(column, _)| column.is_shown());
                shown.map(|(column, cell)| column.texts(cell)).collect()
            })
            .collect();
        let columns = table
            .columns
            .iter()
            .filter(|column| column.is_shown())
            .enumerate();
        let slots = columns.map(|(place, column)| {
            let widest = |part: usize| {
                let cells = rows.iter().filter_map(|row| row.get(place));
                cells.map(|cell| cell[part].width()).max().unwrap_or(0)
            };
            let widths = match [widest(0), widest(1)] {
                // a title over figures alone is aligned to the right as they are
                [value, 0] => [value.max(column.title.width()), 0],
                widths => widths,
            };
            Slot {
                shown: column.shown,
                title: &column.title,
                widths,
            }
        });
        Self {
            slots: slots.collect(),
            rows,
        }
    }

    /// The last slot that holds anything, and where it begins.
    fn last(&self) -> Option<(&Slot<'a>, usize, usize)> {
        let last = self.slots.iter().rposition(|slot| slot.width() > 0)?;
        let begins = self.slots[..last]
            .iter()
            .map(|slot| slot.width() + GAP)
            .sum::<usize>()
            + GAP;
        Some((&self.slots[last], last, begins))
    }

    fn fits(&self, width: usize) -> bool {
        self.last().is_none_or(|(slot, _, begins)| {
            let [value, beside] = slot.widths;
            let cells = match beside {
                _ if slot.is_words() => value.min(LEAST_WORDS),
                0 => value,
                _ => value + GAP + beside.min(LEAST_WORDS),
            };
            begins + cells.max(slot.title.width()) <= width
        })
    }

    /// Whether the rows fit where their last words go below them.
    fn fits_without_last_words(&self, width: usize) -> bool {
        self.last().is_some_and(|(slot, last, begins)| {
            last > 0 && slot.is_words() && slot.title.is_empty() && begins <= width + GAP
        })
    }

    fn lines(&self, width: usize) -> Vec<String> {
        let Some((end, last, begins)) = self.last() else {
            return self.rows.iter().map(|_| String::new()).collect();
        };
        let mut lines = Vec::new();
        if self.slots.iter().any(|slot| !slot.title.is_empty()) {
            let titles = self.slots[..=last].iter().map(|slot| {
                let title = slot.aligned(slot.title);
                format!("{title}{}", " ".repeat(slot.width() - title.width()))
            });
            lines.push(indented(titles));
        }
        // the last words go on below themselves, or go below the row where there is no room at all
        let below = !self.fits(width);
        let at = begins
            + if end.is_words() {
                0
            } else {
                end.widths[0] + GAP
            };
        for row in &self.rows {
            let slots = self.slots.iter().zip(row).take(last);
            let mut cells: Vec<String> = slots
                .map(|(slot, [value, beside])| {
                    let cell = match beside.as_str() {
                        "" => slot.aligned(value),
                        _ => format!("{}{}{beside}", slot.aligned(value), " ".repeat(GAP)),
                    };
                    let pad = " ".repeat(slot.width().saturating_sub(cell.width()));
                    format!("{cell}{pad}")
                })
                .collect();
            let mut words = String::new();
            if let Some([value, beside]) = row.get(last) {
                if end.is_words() {
                    words.clone_from(value);
                } else {
                    cells.push(end.aligned(value));
                    words.clone_from(beside);
                }
            }
            if below {
                lines.push(indented(cells));
                if !words.is_empty() {
                    lines.extend(wrapped(&words, width, [INSET, INSET]));
                }
                continue;
            }
            let mut folded = wrapped(&words, width.saturating_sub(at), ["", ""]).into_iter();
            cells.extend(folded.next());
            lines.push(indented(cells));
            lines.extend(folded.map(|more| format!("{}{more}", " ".repeat(at))));
        }
        lines
    }
}

/// Cells in a line, each behind its gap.
fn indented(cells: impl IntoIterator<Item = String>) -> String {
    let gap = " ".repeat(GAP);
    cells
        .into_iter()
        .map(|cell| format!("{gap}{cell}"))
        .collect()
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
            let [value, beside] = column.texts(cell);
            let said = match (value.as_str(), beside.as_str()) {
                ("", _) | (_, "") => format!("{value}{beside}"),
                _ => format!("{value}  {beside}"),
            };
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
    use shimcast_sim::count::estimate::Estimate;

    use super::*;
    use crate::document::{Cell, Column};

    fn laid_out(table: &Table, width: Option<usize>) -> Vec<String> {
        let (lines, _) = lines(table, width);
        lines
            .iter()
            .map(|line| line.trim_end().to_owned())
            .collect()
    }

    fn table() -> Table {
        let mut table = Table::new([
            Column::words(""),
            Column::words("window").may_go(),
            Column::intervals("handed over"),
        ]);
        for (name, window, hits) in [
            ("backlash", "0.13 to 0.20 mm", 8800),
            ("pattern", "±20 % along, ±12 % up", 9900),
        ] {
            let share = Cell::share(&Estimate::share(hits, 10_000));
            table.row([name.into(), window.into(), share]);
        }
        table
    }

    #[test]
    fn a_row_is_one_line_while_there_is_room() {
        let wide = [
            "            window                 handed over",
            "  backlash  0.13 to 0.20 mm        88.0 %  87.3 to 88.6",
            "  pattern   ±20 % along, ±12 % up  99.0 %  98.8 to 99.2",
        ];
        let trimmed = wide.map(|line| line.trim_end().to_owned());
        let laid = |width| laid_out(&table(), width).into_iter();
        assert!(laid(None).eq(trimmed.clone()));
        assert!(laid(Some(56)).eq(trimmed));
    }

    #[test]
    fn what_may_go_goes_before_a_figure_loses_its_interval() {
        let narrow = laid_out(&table(), Some(48));
        assert_eq!(narrow[1], "  backlash  88.0 %  87.3 to 88.6");
        assert_eq!(lines(&table(), Some(48)).1, ["window"]);
    }

    #[test]
    fn with_least_room_each_column_has_a_line() {
        let mut table = table();
        table.columns[0].title = "what".into();
        let told = laid_out(&table, Some(30));
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
        let told = laid_out(&table, Some(40));
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
        let told = laid_out(&table, Some(42));
        let all = [
            "  Hours  8.2  4 jobs in 5 take at most 9.4",
            "              hours or so",
        ];
        assert_eq!(told, all);
    }
}
