//! The style sheet and the scripts, which are part of the program.

use std::sync::LazyLock;

use crate::faces::html::STYLE;
use crate::files::fingerprint;

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

/// Something that pages load.
#[derive(Debug)]
pub struct Asset {
    name: &'static str,
    /// Its kind.
    pub kind: &'static str,
    /// What it says.
    pub text: String,
    /// What a browser knows this text by.
    pub tag: String,
}

impl Asset {
    fn new(name: &'static str, kind: &'static str, text: String) -> Self {
        Self {
            tag: format!("\"{}\"", fingerprint(&text)),
            name,
            kind,
            text,
        }
    }
}

/// All of them; the style is that of the page that is sent, and what the desk has besides.
static ALL: LazyLock<Vec<Asset>> = LazyLock::new(|| {
    let style = format!("{STYLE}{}", include_str!("assets/desk.css"));
    let style = Asset::new("desk.css", "text/css; charset=utf-8", style);
    let module = |(name, text): (&'static str, &str)| {
        Asset::new(name, "text/javascript; charset=utf-8", text.to_owned())
    };
    MODULES.into_iter().map(module).chain([style]).collect()
});

/// The asset of this name.
pub fn asset(name: &str) -> Option<&'static Asset> {
    ALL.iter().find(|asset| asset.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tag_is_summed_once() {
        let [one, other] = [(), ()].map(|()| asset("desk.js").expect("a script"));
        assert!(std::ptr::eq(one.tag.as_str(), other.tag.as_str()));
        assert_eq!(one.tag, format!("\"{}\"", fingerprint(&one.text)));
    }

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
