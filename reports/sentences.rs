//! Pieces of sentences.

use shimcast_sim::count::estimate::Estimate;

use crate::figures::said;

/// A share with its interval at the beginning of a sentence.
pub fn said_first(share: &Estimate) -> String {
    upper(&said(share))
}

/// The same words at the beginning of a sentence.
pub fn upper(text: &str) -> String {
    first_as(text, |c| c.to_uppercase().collect())
}

/// The same inside a sentence.
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
