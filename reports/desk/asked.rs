//! What a request asks with: pairs of a name and a value, from its address or its form.

use form_urlencoded::{Serializer, parse};
use maud::{Markup, html};

/// Pairs at the most, and bytes of all of them.
const MOST_PAIRS: usize = 2000;
pub(super) const MOST_BYTES: usize = 256 * 1024;

/// Names and values in the order sent.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Asked(Vec<(String, String)>);

impl<N: Into<String>, V: Into<String>> FromIterator<(N, V)> for Asked {
    fn from_iter<I: IntoIterator<Item = (N, V)>>(pairs: I) -> Self {
        let pairs = pairs.into_iter();
        Self(
            pairs
                .map(|(name, value)| (name.into(), value.into()))
                .collect(),
        )
    }
}

impl Asked {
    /// Reads pairs as forms send them (WHATWG URL, clause 5.1).
    ///
    /// # Errors
    /// In words, where they are too many, or hold what no text of a form holds.
    pub fn read(sent: &[u8]) -> Result<Self, &'static str> {
        if sent.len() > MOST_BYTES {
            return Err("more was sent than any form here holds");
        }
        let mut pairs = Vec::new();
        for (name, value) in parse(sent) {
            if pairs.len() == MOST_PAIRS {
                return Err("more fields were sent than any form here has");
            }
            if !is_text(&name) || !is_text(&value) {
                return Err("what was sent holds characters that are not text");
            }
            pairs.push((name.into_owned(), value.into_owned()));
        }
        Ok(Self(pairs))
    }

    /// The first value under a name, without blanks around it; `None` where there is none or it is empty.
    pub fn get(&self, name: &str) -> Option<&str> {
        let found = self.0.iter().find(|(other, _)| other == name);
        found
            .map(|(_, value)| value.trim())
            .filter(|value| !value.is_empty())
    }

    /// All pairs.
    pub fn pairs(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0
            .iter()
            .map(|(name, value)| (name.as_str(), value.trim()))
    }

    /// The first under each of these names alone.
    pub fn only(&self, names: &[&str]) -> Self {
        let found = names.iter().filter_map(|name| {
            let value = self.get(name)?;
            Some(((*name).to_owned(), value.to_owned()))
        });
        Self(found.collect())
    }

    /// The same with another value under a name.
    pub fn with(&self, name: &str, value: &str) -> Self {
        let mut other = self.without(name);
        other.0.push((name.to_owned(), value.to_owned()));
        other
    }

    /// The same without a name.
    pub fn without(&self, name: &str) -> Self {
        let kept = self.0.iter().filter(|(other, _)| other != name);
        Self(kept.cloned().collect())
    }

    /// The same inside a form.
    pub fn hidden(&self) -> Markup {
        html! {
            @for (name, value) in self.pairs() {
                input type="hidden" name=(name) value=(value); "\n"
            }
        }
    }

    /// An address of this path that asks the same.
    pub fn address(&self, path: &str) -> String {
        let mut query = Serializer::new(String::new());
        for (name, value) in &self.0 {
            query.append_pair(name, value);
        }
        let query = query.finish();
        match query.is_empty() {
            true => path.to_owned(),
            false => format!("{path}?{query}"),
        }
    }
}

/// Whether this is text that somebody may have typed; what was no UTF-8 has left its mark.
fn is_text(text: &str) -> bool {
    let strange = |c: char| c == '\u{fffd}' || (c.is_control() && !matches!(c, '\n' | '\r' | '\t'));
    !text.contains(strange)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_read_asks_the_same_again() {
        let asked = Asked::read(b"axle=a+b.toml&set=x%3D1&set=%C3%A4").expect("pairs");
        assert_eq!(asked.get("axle"), Some("a b.toml"));
        let all: Vec<_> = asked.pairs().map(|(_, value)| value).collect();
        assert_eq!(all, ["a b.toml", "x=1", "ä"]);
        let address = asked.address("/quote");
        let query = address.strip_prefix("/quote?").expect("a query");
        assert_eq!(Asked::read(query.as_bytes()), Ok(asked.clone()));
        assert_eq!(
            asked.only(&["axle", "none"]).with("axle", "c").address("/"),
            "/?axle=c"
        );
    }

    #[test]
    fn what_is_no_text_is_refused() {
        for sent in ["a=%ff", "a=%00", "%1b=1", "a=\u{7f}"] {
            assert!(Asked::read(sent.as_bytes()).is_err(), "{sent}");
        }
        let many = "a&".repeat(MOST_PAIRS + 1);
        assert!(Asked::read(many.as_bytes()).is_err());
    }
}
