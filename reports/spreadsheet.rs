//! Answers as tables for a spreadsheet: comma-separated, one head line, figures in full.

use crate::answers::sweep::{Column, Swept};

/// A sweep: a line a point, each estimate with the ends of its 95 % interval. Shares from 0 to 1,
/// hours, money in the shop's currency.
pub fn sweep(swept: &Swept<'_>) -> String {
    let mut head: Vec<String> = swept.keys.to_vec();
    for column in Column::ALL {
        let key = column.key();
        head.extend([key.to_owned(), format!("{key}_low"), format!("{key}_high")]);
    }
    head.push("rebuilds".to_owned());
    let mut text = line(&head);
    for (point, way) in swept.points.iter().zip(&swept.comparison.ways) {
        let mut cells: Vec<String> = point.iter().map(f64::to_string).collect();
        for column in Column::ALL {
            let estimate = column.of(way);
            for figure in [estimate.value, estimate.low, estimate.high] {
                // what is not known is left empty
                cells.push(if figure.is_finite() {
                    figure.to_string()
                } else {
                    String::new()
                });
            }
        }
        cells.push(swept.comparison.rebuilds.to_string());
        text.push_str(&line(&cells));
    }
    text
}

/// One line, cells quoted where they have to be.
pub fn line<S: AsRef<[u8]>>(cells: &[S]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let written = writer.write_record(cells);
    written.expect("memory can be written to");
    let bytes = writer.into_inner().expect("memory can be written to");
    String::from_utf8(bytes).expect("cells are text, and so are commas")
}

#[cfg(test)]
mod tests {
    use super::line;

    #[test]
    fn a_cell_is_quoted_where_it_has_to_be() {
        assert_eq!(
            line(&["0.10", "", "a, b", "3\" ring", "two\nlines", "µm"]),
            "0.10,,\"a, b\",\"3\"\" ring\",\"two\nlines\",µm\n"
        );
    }
}
