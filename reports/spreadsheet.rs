//! Lines of tables for a spreadsheet, by the habits of whoever opens them: what divides the cells,
//! what mark figures have, and what a reader has to take back.

use std::borrow::Cow;

/// The mark before the decimals of figures, which says what divides the cells as well.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Decimal {
    /// A point; commas divide the cells.
    #[default]
    Point,
    /// A comma; semicolons divide the cells.
    Comma,
}

/// A cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Entry {
    /// Words, names and keys: as they are, even where they look like a figure.
    Words(String),
    /// A figure with a decimal point; where it is none, it is taken for words.
    Figure(String),
}

impl Decimal {
    fn divider(self) -> u8 {
        match self {
            Self::Point => b',',
            Self::Comma => b';',
        }
    }

    /// One line, cells quoted where they have to be: where they hold what divides the cells, a quote, an end
    /// of line, or the # that begins a remark.
    pub fn line(self, cells: impl IntoIterator<Item = Entry>) -> String {
        let mut writer = csv::WriterBuilder::new()
            .delimiter(self.divider())
            .comment(Some(b'#'))
            .from_writer(Vec::new());
        let cells = cells.into_iter().map(|cell| self.cell(cell));
        let written = writer.write_record(cells.collect::<Vec<_>>());
        written.expect("memory can be written to");
        let bytes = writer.into_inner().expect("memory can be written to");
        String::from_utf8(bytes).expect("cells are text, and so is what divides them")
    }

    /// A line of names.
    pub fn names<S: Into<String>>(self, names: impl IntoIterator<Item = S>) -> String {
        self.line(names.into_iter().map(|name| Entry::Words(name.into())))
    }

    /// A figure by itself.
    pub fn figure(self, figure: &str) -> String {
        self.cell(Entry::Figure(figure.to_owned()))
    }

    fn cell(self, cell: Entry) -> String {
        match (self, cell) {
            (Self::Comma, Entry::Figure(text)) if is_figure(&text) => with_comma(&text),
            (_, Entry::Words(text) | Entry::Figure(text)) => no_formula(text),
        }
    }
}

fn is_figure(text: &str) -> bool {
    text.parse::<f64>().is_ok_and(f64::is_finite)
}

/// A figure with a decimal comma. Three decimals get a fourth where they could be taken for the rest of a
/// thousand: `28,0120`.
fn with_comma(figure: &str) -> String {
    let mut text = figure.replacen('.', ",", 1);
    if may_be_thousands(&text, ',') {
        text.push('0');
    }
    text
}

/// Whether a figure with one such mark could be a number of thousands as well: `1,234`, and neither
/// `0,234` nor `1234,567`.
pub fn may_be_thousands(figure: &str, mark: char) -> bool {
    let figure = figure.strip_prefix(['+', '-']).unwrap_or(figure);
    let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    figure.split_once(mark).is_some_and(|(whole, rest)| {
        let thousands = (1..=3).contains(&whole.len()) && !whole.starts_with('0');
        thousands && rest.len() == 3 && digits(whole) && digits(rest)
    })
}

/// What a spreadsheet takes for the beginning of a formula.
const FORMULA: [char; 4] = ['=', '+', '-', '@'];

/// Words that a spreadsheet does not take for a formula: with an apostrophe before them where it would, and
/// with one more where they have some already, so that the first can always be taken back.
fn no_formula(text: String) -> String {
    let taken_back = is_escaped(&text);
    if taken_back || text.starts_with(FORMULA) && !is_figure(&text) {
        format!("'{text}")
    } else {
        text
    }
}

fn is_escaped(text: &str) -> bool {
    text.starts_with('\'') && text.trim_start_matches('\'').starts_with(FORMULA)
}

/// What a cell says, without the apostrophe that keeps a spreadsheet from taking it for a formula.
pub fn without_apostrophe(text: &str) -> Cow<'_, str> {
    match text.strip_prefix('\'') {
        Some(rest) if is_escaped(text) => rest.into(),
        _ => text.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figures(decimal: Decimal, cells: &[&str]) -> String {
        decimal.line(cells.iter().map(|cell| Entry::Figure((*cell).to_owned())))
    }

    #[test]
    fn a_cell_is_quoted_where_it_has_to_be() {
        let cells = [
            "0.10",
            "",
            "a, b",
            "a; b",
            "3\" ring",
            "two\nlines",
            "µm",
            "#1",
        ];
        assert_eq!(
            figures(Decimal::Point, &cells),
            "0.10,,\"a, b\",a; b,\"3\"\" ring\",\"two\nlines\",µm,\"#1\"\n"
        );
        assert_eq!(
            figures(Decimal::Comma, &cells),
            "0,10;;a, b;\"a; b\";\"3\"\" ring\";\"two\nlines\";µm;\"#1\"\n"
        );
    }

    #[test]
    fn figures_have_the_comma_and_words_keep_their_points() {
        assert_eq!(
            figures(
                Decimal::Comma,
                &["-0.5", "12", "true", "1.2.3", "inf", "0.127", "28.012"]
            ),
            "-0,5;12;true;1.2.3;inf;0,127;28,0120\n"
        );
        assert_eq!(
            Decimal::Comma.names(["1.5", "bench.guard"]),
            "1.5;bench.guard\n"
        );
        assert_eq!(Decimal::Point.names(["1.5"]), "1.5\n");
        assert_eq!(figures(Decimal::Point, &["28.012"]), "28.012\n");
    }

    #[test]
    fn what_could_be_thousands_is_told_from_what_can_not() {
        for figure in ["1,234", "-28,012", "+999,000"] {
            assert!(may_be_thousands(figure, ','), "{figure}");
        }
        for figure in [
            "0,234",
            "-0,234",
            "1234,567",
            ",234",
            "1,23",
            "1,2340",
            "1.234",
            "1,2e4",
            "28",
            "a,234",
            "1,234,567",
        ] {
            assert!(!may_be_thousands(figure, ','), "{figure}");
        }
        assert!(may_be_thousands("1.234", '.'));
    }

    #[test]
    fn no_words_are_taken_for_a_formula_and_all_can_be_taken_back() {
        for (words, written) in [
            ("=1+1", "'=1+1"),
            ("+a", "'+a"),
            ("-", "'-"),
            ("@sum", "'@sum"),
            ("'=1", "''=1"),
            ("''-1.5", "'''-1.5"),
            ("-1.5", "-1.5"),
            ("+0.5", "+0.5"),
            ("'tis", "'tis"),
            ("a=b", "a=b"),
            ("'", "'"),
            ("", ""),
        ] {
            for decimal in [Decimal::Point, Decimal::Comma] {
                let cell = decimal.cell(Entry::Words(words.to_owned()));
                assert_eq!(cell, written);
                assert_eq!(without_apostrophe(&cell), words);
            }
        }
        assert_eq!(figures(Decimal::Comma, &["-1.5", "=1"]), "-1,5;'=1\n");
    }
}
