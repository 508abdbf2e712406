//! Counts as bars to the right, group by group, in two columns.

use super::canvas::{Canvas, End, WIDTH, drawn};
use super::drawing::Drawing;
use super::ink::{BLUE, TEXT};
use crate::document::Group;

const PITCH: f64 = 16.0;
const COLUMN: f64 = 190.0;
const NAMES: f64 = 58.0;
const BARS: f64 = 98.0;

/// One line of a column.
enum Line<'a> {
    Name(&'a str),
    Row(&'a str, u32),
}

/// Draws counts.
pub(super) fn levels(groups: &[Group]) -> Drawing {
    let columns = in_columns(groups);
    let longest = columns.iter().map(Vec::len).max().unwrap_or(0);
    let most = groups.iter().flat_map(|g| &g.rows).map(|row| row.1).max();
    let scale = BARS / f64::from(most.unwrap_or(0).max(1));
    let height = 12.0 + PITCH * longest.max(1) as f64;
    drawn([WIDTH, height], |canvas| {
        for (column, lines) in columns.iter().enumerate() {
            for (row, line) in lines.iter().enumerate() {
                let place = [8.0 + COLUMN * column as f64, 12.0 + PITCH * row as f64];
                draw(canvas, place, line, scale);
            }
        }
        if longest == 0 {
            canvas.text([8.0, 12.0], "nothing is kept", End::Left, TEXT);
        }
    })
}

/// Two columns of about equal length; a group that goes on in the second has its name there too.
fn in_columns(groups: &[Group]) -> [Vec<Line<'_>>; 2] {
    let all: usize = groups.iter().map(|group| 1 + group.rows.len()).sum();
    let half = all.div_ceil(2);
    let mut columns = [Vec::new(), Vec::new()];
    let mut placed = 0;
    for group in groups {
        // a name is never alone at the foot of a column
        let column = usize::from(placed + 1 >= half);
        columns[column].push(Line::Name(&group.name));
        placed += 1;
        for (name, count) in &group.rows {
            let column = usize::from(placed >= half || column == 1);
            if columns[column].is_empty() {
                columns[column].push(Line::Name(&group.name));
            }
            columns[column].push(Line::Row(name, *count));
            placed += 1;
        }
    }
    columns
}

fn draw(canvas: &Canvas<'_>, [x, y]: [f64; 2], line: &Line<'_>, scale: f64) {
    match line {
        Line::Name(name) => canvas.text([x, y], name, End::Left, TEXT),
        Line::Row(name, count) => {
            let from = x + NAMES;
            let to = from + scale * f64::from(*count);
            canvas.text([from - 6.0, y], name, End::Right, TEXT);
            canvas.rectangle([[from, y - 5.5], [to, y + 5.5]], BLUE);
            let count = count.to_string();
            canvas.text([to + 4.0, y], &count, End::Left, TEXT);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_count_has_its_place_and_its_name_above_it() {
        for (groups, rows) in [(0, 0), (1, 1), (1, 9), (2, 1), (5, 7), (3, 40)] {
            let groups: Vec<Group> = (0..groups)
                .map(|g| Group {
                    name: format!("g{g}"),
                    rows: (0..rows).map(|r| (format!("{g}-{r}"), 1)).collect(),
                })
                .collect();
            let columns = in_columns(&groups);
            let mut seen = 0;
            for lines in &columns {
                let mut name = None;
                for (i, line) in lines.iter().enumerate() {
                    match line {
                        Line::Name(text) => {
                            assert!(i + 1 < lines.len(), "a name alone at the foot");
                            name = Some(*text);
                        }
                        Line::Row(text, _) => {
                            let own = format!("g{}", text.split('-').next().unwrap_or_default());
                            assert_eq!(name, Some(own.as_str()));
                            seen += 1;
                        }
                    }
                }
            }
            let all: usize = groups.iter().map(|g| g.rows.len()).sum();
            assert_eq!(seen, all);
            assert!(columns[0].len().abs_diff(columns[1].len()) <= 3 || all < 4);
        }
    }
}
