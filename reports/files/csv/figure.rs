//! Which decimal mark the figures of a file have, and which of them could be thousands as well.

use super::cells::{Cell, Line};
use crate::spreadsheet::may_be_thousands;

/// The decimal marks that a file is seen to use: some figure of it can't be read otherwise.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Marks {
    pub(super) comma: bool,
    pub(super) point: bool,
}

impl Marks {
    pub(super) fn of<'a>(lines: impl IntoIterator<Item = &'a Line>) -> Self {
        let mut seen = Self::default();
        for Cell { text, .. } in lines.into_iter().flatten() {
            seen.comma |= settles(text, ',');
            seen.point |= settles(text, '.');
        }
        seen
    }

    /// What is wrong with a figure that could be a number of thousands as well, and how to write it. A point
    /// is a decimal point where nothing speaks against it.
    pub(super) fn doubtful(self, figure: &str, divider: char) -> Option<[String; 2]> {
        let (fraction, mark) = match divider {
            ',' if may_be_thousands(figure, ',') => (figure.replace(',', "."), ','),
            ',' => return None,
            _ if !self.comma && may_be_thousands(figure, ',') => (format!("{figure}0"), ','),
            _ if self.comma && !self.point && may_be_thousands(figure, '.') => {
                (figure.replace('.', ","), '.')
            }
            _ => return None,
        };
        let whole = figure.replace(mark, "");
        Some([
            format!("could be {} or {whole}", figure.replace(mark, ".")),
            format!(
                "write {whole} without a mark between the thousands, or {fraction} for a fraction"
            ),
        ])
    }
}

/// Whether a text is a figure in which this can only be the decimal mark.
fn settles(text: &str, mark: char) -> bool {
    let figure = text.contains(mark)
        && text
            .bytes()
            .next()
            .is_some_and(|first| !first.is_ascii_alphabetic())
        && with_point(text, mark).is_some_and(|point| point.parse::<f64>().is_ok());
    figure && !may_be_thousands(text, mark)
}

/// A figure with a decimal point in place of its one mark.
fn with_point(text: &str, mark: char) -> Option<String> {
    (text.matches(mark).count() == 1).then(|| text.replace(mark, "."))
}

/// Whether a text is a figure with a mark between its thousands and another mark besides.
pub(super) fn has_thousands(text: &str) -> bool {
    let digits = |group: &&str| !group.is_empty() && group.bytes().all(|b| b.is_ascii_digit());
    let figure = text.strip_prefix(['+', '-']).unwrap_or(text);
    let groups: Vec<&str> = figure.split(['.', ',']).collect();
    let [_, thousands @ .., _] = &groups[..] else {
        return false;
    };
    let three = |group: &&str| group.len() == 3;
    !thousands.is_empty() && groups.iter().all(digits) && thousands.iter().all(three)
}
