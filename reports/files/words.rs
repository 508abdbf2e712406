//! Finding the word that was probably meant.

/// Spelling that differs by case, spaces, hyphens or underscores only is the same word.
fn plain(word: &str) -> String {
    word.chars()
        .filter(|c| !matches!(c, ' ' | '-' | '_' | '.'))
        .flat_map(char::to_lowercase)
        .collect()
}

/// Letters from which on a word may be the beginning of a name.
const LEAST_BEGUN: usize = 3;

/// Most letters of a word that is compared.
const LONGEST: usize = 60;

/// The candidate nearest to a word, if any is near enough to be meant.
pub(super) fn nearest<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    // a very long word is no slip of the finger, and comparing it would take its time
    let short = |word: &str| word.chars().nth(LONGEST).is_none();
    if !short(word) {
        return None;
    }
    let meant = plain(word);
    let candidates: Vec<&str> = candidates.into_iter().filter(|c| short(c)).collect();
    // a name that was cut short is meant before one that is spelt alike
    let mut begun = candidates
        .iter()
        .filter(|c| meant.len() >= LEAST_BEGUN && plain(c).starts_with(&meant));
    if let (Some(only), None) = (begun.next(), begun.next()) {
        return Some(only);
    }
    candidates
        .into_iter()
        .map(|c| (strsim::damerau_levenshtein(&meant, &plain(c)), c))
        .filter(|(steps, c)| *steps <= (plain(c).chars().count().max(3) / 3).min(4))
        .min_by_key(|(steps, _)| *steps)
        .map(|(_, c)| c)
}

/// "did you mean `ring_teeth`?", or what there is to choose from.
pub(super) fn did_you_mean<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str> + Clone,
    otherwise: &str,
) -> Option<String> {
    if let Some(near) = nearest(word, candidates.clone()) {
        return Some(format!("did you mean `{near}`?"));
    }
    let all: Vec<String> = candidates.into_iter().map(|c| format!("`{c}`")).collect();
    match all.len() {
        0 => None,
        _ => Some(format!("{otherwise} {}", all.join(", "))),
    }
}
