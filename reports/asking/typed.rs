//! Figures in the digits in which they were typed.

use crate::files::Said;

/// What a file is to say: figures in the digits in which they were typed, where these are what is meant.
pub fn as_typed(text: &str, figures: Vec<f64>, is_list: bool) -> Said {
    let apart = text.split(|c: char| c.is_whitespace() || c == ';');
    let words = apart.map(|word| word.trim_end_matches(','));
    let numerals: Option<Vec<String>> =
        words.filter(|word| !word.is_empty()).map(numeral).collect();
    let same = |numerals: &Vec<String>| {
        let typed = numerals.iter().map(|one| one.parse::<f64>());
        typed.eq(figures.iter().map(|figure| Ok(*figure)))
    };
    match (numerals.filter(same), figures.as_slice()) {
        (Some(numerals), _) if is_list => Said::Typed(format!("[{}]", numerals.join(", "))),
        (Some(numerals), _) => Said::Typed(numerals.concat()),
        (None, [one]) if !is_list => Said::Figure(*one),
        (None, _) => Said::Figures(figures),
    }
}

/// A figure in plain digits, as a file has it: `0,15` as `0.15`, `.5` as `0.5`.
fn numeral(word: &str) -> Option<String> {
    let (sign, bare) = match word.strip_prefix(['-', '−']) {
        Some(bare) => ("-", bare),
        None => ("", word.strip_prefix('+').unwrap_or(word)),
    };
    let (whole, decimals) = bare.split_once(['.', ',']).unwrap_or((bare, ""));
    let plain = |digits: &str| digits.bytes().all(|digit| digit.is_ascii_digit());
    let count = whole.len() + decimals.len();
    if !plain(whole) || !plain(decimals) || !(1..=15).contains(&count) {
        return None;
    }
    let whole = match whole.trim_start_matches('0') {
        "" => "0",
        whole => whole,
    };
    let point = if decimals.is_empty() { "" } else { "." };
    Some(format!("{sign}{whole}{point}{decimals}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_stay_as_they_were_typed() {
        let said =
            |text: &str, figures: &[f64], list| as_typed(text, figures.to_vec(), list).written();
        for (text, figure, written) in [
            ("0.880", 0.88, "0.880"),
            ("0,15", 0.15, "0.15"),
            ("+.50", 0.5, "0.50"),
            ("−0.02", -0.02, "-0.02"),
            ("50", 50.0, "50"),
            ("007.5", 7.5, "7.5"),
            ("5 thou", 0.127, "0.127"),
            ("1/2", 0.5, "0.5"),
            ("15", 0.15, "0.15"),
            ("1e-3", 0.001, "0.001"),
        ] {
            assert_eq!(said(text, &[figure], false), written, "{text}");
        }
        assert_eq!(said("0,130 0.20", &[0.13, 0.2], true), "[0.130, 0.20]");
        assert_eq!(
            said("0.1, 0.2; .3", &[0.1, 0.2, 0.3], true),
            "[0.1, 0.2, 0.3]"
        );
        assert_eq!(said("5 9 thou", &[0.127, 0.2286], true), "[0.127, 0.2286]");
        assert_eq!(said("0.5", &[0.5], true), "[0.5]");
    }
}
