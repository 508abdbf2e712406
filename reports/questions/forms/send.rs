//! What was typed, put into the file where nothing is wrong with it.

use super::read::{Read, in_words, read};
use super::{FormFile, Refused, Sent, fields, told, typed};
use crate::files::{Change, Edited};

/// Writes what was typed into a file that was seen with this fingerprint, a key each; what is as the file
/// has it is no change, and what is left empty is taken out.
///
/// # Errors
/// Where the file can't be read at all, is no longer as it was seen, or can't be written.
pub fn send(file: &FormFile, seen: &str, typed: &[(String, String)]) -> Result<Sent, Refused> {
    let edited = Edited::open(&file.path, "")?;
    edited.as_seen(seen)?;
    let now = read(&file.kind, &edited.source())?;
    let blank = fields::blank_entries(&file.kind, &now.description);
    let meant = typed::meant(&now.description, &blank, typed);
    if meant.changes.is_empty() && meant.wrong.is_empty() {
        return Ok(Sent::AsItWas);
    }
    let mut wrong = meant.wrong;
    let mut changed = match edited.with(&meant.changes) {
        Ok(changed) => changed,
        Err(why) => {
            wrong.push((String::new(), why));
            edited.clone()
        }
    };
    let then = match read(&file.kind, &changed.source_changed()) {
        Ok(then) => then,
        // what is wrong with the file as a whole now comes of what was typed
        Err(problems) => {
            let all = problems.0.iter().map(|p| (String::new(), in_words(p)));
            wrong.extend(all);
            return Ok(Sent::Wrong(Box::new(told(
                file, &edited, &now, typed, &wrong,
            ))));
        }
    };
    if !wrong.is_empty() || !new_flaws(&now, &then, &meant.changes).is_empty() {
        // what could not be understood is not in the text, so what was wrong there is no longer meant
        let misread: Vec<String> = wrong.iter().map(|(key, _)| key.clone()).collect();
        let others = then.flaws.into_iter().chain(then.remarks);
        wrong.extend(others.filter(|(key, _)| key.is_empty() || !misread.contains(key)));
        let form = told(file, &edited, &now, typed, &wrong);
        return Ok(Sent::Wrong(Box::new(form)));
    }
    changed.save_keeping()?;
    Ok(Sent::Written)
}

/// What is wrong since a change: flaws that were not there before, and those of what was changed.
fn new_flaws(now: &Read, then: &Read, changes: &[Change]) -> Vec<(String, String)> {
    let touched = |key: &str| {
        changes.iter().any(|change| {
            let (Change::State(changed, _) | Change::TakeOut(changed)) = change;
            let inside = changed.strip_prefix(key);
            !key.is_empty() && inside.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        })
    };
    let flaws = then.flaws.iter();
    flaws
        .filter(|flaw| touched(&flaw.0) || !now.flaws.contains(flaw))
        .cloned()
        .collect()
}
