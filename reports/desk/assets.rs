//! The style sheet and the scripts, which are part of the program.

use std::sync::LazyLock;

use crate::faces::html::STYLE;

/// The modules, by name; the first one calls the others.
const MODULES: [(&str, &str); 5] = [
    ("desk.js", include_str!("assets/desk.js")),
    ("live.js", include_str!("assets/live.js")),
    ("place.js", include_str!("assets/place.js")),
    ("fields.js", include_str!("assets/fields.js")),
    ("news.js", include_str!("assets/news.js")),
];
/// Where the first module and the style sheet are.
pub const SCRIPT: &str = "/assets/desk.js";
pub const STYLE_SHEET: &str = "/assets/desk.css";

/// The style of the page that is sent, and what the desk has besides.
static SHEET: LazyLock<String> =
    LazyLock::new(|| format!("{STYLE}{}", include_str!("assets/desk.css")));

/// An asset and its kind.
pub fn asset(name: &str) -> Option<(&'static str, &'static str)> {
    if name == "desk.css" {
        return Some((SHEET.as_str(), "text/css; charset=utf-8"));
    }
    let module = MODULES.iter().find(|(known, _)| *known == name)?;
    Some((module.1, "text/javascript; charset=utf-8"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scripts_are_few_and_ask_for_nothing_from_elsewhere() {
        let lines: usize = MODULES.iter().map(|(_, text)| text.lines().count()).sum();
        assert!(lines < 1000, "{lines} lines");
        for (name, text) in MODULES {
            assert!(asset(name).is_some());
            for word in ["http:", "https:", "eval(", "new Function", "import("] {
                // the name of a kind of shapes is no address that anything is loaded from
                let text = text.replace("http://www.w3.org/2000/svg", "");
                assert!(!text.contains(word), "{name}: {word}");
            }
        }
    }
}
