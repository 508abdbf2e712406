//! Pieces of sentences.

use shimcast_sim::count::estimate::Estimate;

use crate::figures::said;

/// A share with its interval at the beginning of a sentence.
pub fn said_first(share: &Estimate) -> String {
    capital(&said(share))
}

/// Words at the beginning of a sentence.
pub fn capital(text: &str) -> String {
    first_as(text, |c| c.to_uppercase().collect())
}

/// Words as a sentence of their own.
pub fn sentence(text: &str) -> String {
    capital(text) + "."
}

/// Words inside a sentence.
pub fn lower(text: &str) -> String {
    first_as(text, |c| c.to_lowercase().collect())
}

fn first_as(text: &str, change: impl Fn(char) -> String) -> String {
    let mut chars = text.chars();
    let first = chars.next().map(change).unwrap_or_default();
    first + chars.as_str()
}

/// "a, b and c".
pub fn listed(all: &[String]) -> String {
    match all {
        [] => "none".into(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
