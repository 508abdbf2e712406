//! A tolerance or an instrument's error that is to be so many times as wide, as changes of its file.

use super::edit::{Change, Edited, Said};

/// The changes that make a spread so many times as wide; `sigma` is what one of it is to be, in the file's
/// unit, where the file does not state it. Limits of a drawing stay as they are: `cpk` changes. Those of an
/// inspection, and of shapes that end at them, move.
///
/// # Errors
/// In words, where no figure of the file can say it.
pub fn wider(file: &Edited, key: &str, times: f64, sigma: f64) -> Result<Vec<Change>, String> {
    let to = |key: &str, figure: f64| vec![state(key, figure)];
    if let Some(figure) = file.figure_at(key) {
        return Ok(to(key, times * figure));
    }
    let inner = |name: &str| format!("{key}.{name}");
    for name in ["sigma", "cv", "profile"] {
        if let Some(figure) = file.figure_at(&inner(name)) {
            return Ok(to(&inner(name), times * figure));
        }
    }
    if !file.has(key) {
        // a figure by itself, or the sigma of a group
        let whole = ["sigma", "profile"].iter().any(|end| key.ends_with(end));
        let key = if whole {
            key.to_owned()
        } else {
            inner("sigma")
        };
        return Ok(to(&key, sigma));
    }
    let normal = matches!(file.word_at(&inner("shape")), None | Some("normal"));
    if normal && !file.flag_at(&inner("inspected")) {
        let cpk = file.figure_at(&inner("cpk")).unwrap_or(1.0);
        return Ok(to(&inner("cpk"), cpk / times));
    }
    if let Some(tol) = file.figure_at(&inner("tol")) {
        return Ok(to(&inner("tol"), times * tol));
    }
    let side = |name: &str| file.figure_at(&inner(name)).unwrap_or(0.0);
    let (minus, plus) = (side("minus"), side("plus"));
    let (middle, half) = (0.5 * (plus - minus), 0.5 * (plus + minus) * times);
    let [minus, plus] = [half - middle, half + middle];
    if half > 0.0 && minus >= 0.0 && plus >= 0.0 {
        return Ok([("minus", minus), ("plus", plus)]
            .map(|(name, figure)| state(&inner(name), figure))
            .into());
    }
    Err(format!(
        "{key} has no figure that can say it: write it by hand, {} times as wide as it is",
        rounded(times)
    ))
}

/// A key that is to say a figure, to four digits.
pub fn state(key: &str, figure: f64) -> Change {
    Change::State(key.to_owned(), Said::Figure(rounded(figure)))
}

/// To four digits.
pub fn rounded(figure: f64) -> f64 {
    if figure == 0.0 || !figure.is_finite() {
        return figure;
    }
    let text = format!("{figure:.3e}");
    text.parse().unwrap_or(figure)
}
