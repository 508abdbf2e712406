//! What somebody moved: each change by itself, what is wrong with it, and the job with all that are right.

use std::ops::ControlFlow;

use shimcast_sim::axle::Condition;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::chance::run::{Progress, Until};
use shimcast_sim::compare::{Comparison, compare};

use super::Base;
use super::choices::GEARS;
use super::knob::{Knob, knobs};
use crate::document::{ControlKind, Otherwise};
use crate::files::{Loaded, Override, Problem, Problems, load};
use crate::questions::context::{set_up_as, set_up_like};
use crate::questions::plausible::ANYWAY;

/// A change that was made.
#[derive(Debug, Clone)]
pub struct Change {
    /// The key that `--set` takes; `gears` or `bearings` for what is renewed.
    pub key: String,
    /// What people call it.
    pub label: String,
    /// What the files say, in words, with its unit.
    pub from: String,
    /// What it is now, said alike.
    pub to: String,
    /// What it is now, as it is sent.
    pub value: String,
    /// The keys that make it, in order; none for what is renewed. The last one is the key itself; before
    /// it stands what has to be stated with it, where the file leaves out the group around it.
    pub set: Vec<Override>,
}

/// What somebody moved, held against the files.
#[derive(Debug)]
pub struct Tried<'a> {
    pub(super) base: &'a Base,
    /// What is changed, in the order sent, without what the files say themselves.
    pub changes: Vec<Change>,
    /// What was sent and is refused: the key, what was sent, and why.
    pub refused: Vec<Refused>,
    /// What the files say with the changes.
    pub loaded: Loaded,
    /// The job with the changes.
    pub setup: Setup,
}

/// What was sent and is refused.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// Its key.
    pub key: String,
    /// What was sent.
    pub sent: String,
    /// Why.
    pub reason: String,
}

impl<'a> Tried<'a> {
    /// Takes pairs of a key and what was sent for it; of a key that is there twice the last one holds.
    /// What is empty, or what the files say themselves, changes nothing. What is refused leaves the rest
    /// as it is.
    pub fn of(base: &'a Base, sent: &[(String, String)]) -> Self {
        let knobs = knobs(base);
        let mut refused = Vec::new();
        let mut wanted: Vec<Change> = Vec::new();
        for (at, (key, value)) in sent.iter().enumerate() {
            let again = sent[at + 1..].iter().any(|(later, _)| later == key);
            if again || value.trim().is_empty() {
                continue;
            }
            match change(base, &knobs, key, value) {
                Ok(change) => wanted.extend(change),
                Err(reason) => refused.push(Refused {
                    key: key.clone(),
                    sent: value.clone(),
                    reason,
                }),
            }
        }
        let (changes, (loaded, setup)) = match job(base, &wanted) {
            Ok(job) => (wanted, job),
            Err(_) => one_by_one(base, wanted, &mut refused),
        };
        Self {
            base,
            changes,
            refused,
            loaded,
            setup,
        }
    }

    /// The change by which something stands at a value; `None` where that is what the files say.
    pub(super) fn moved(base: &Base, knob: &Knob, value: &str) -> Option<Change> {
        let knobs = std::slice::from_ref(knob);
        change(base, knobs, &knob.key, value).ok().flatten()
    }

    /// What was sent for a key and is refused.
    pub(super) fn refusal(&self, key: &str) -> Option<&Refused> {
        self.refused.iter().find(|refused| refused.key == key)
    }

    /// The change of a key.
    pub(super) fn change(&self, key: &str) -> Option<&Change> {
        self.changes.iter().find(|change| change.key == key)
    }

    /// Simulates the files as they are and with the changes, on the very same parts; the files alone
    /// where nothing is changed.
    pub fn compared(
        &self,
        seed: u64,
        until: Until,
        watch: &mut dyn FnMut(Progress) -> ControlFlow<()>,
    ) -> Comparison {
        let mut ways = vec![self.base.setup.clone()];
        ways.extend((!self.changes.is_empty()).then(|| self.setup.clone()));
        compare(&ways, seed, until, watch)
    }
}

/// What is meant by a key and what was sent for it; none where it is what the files say.
fn change(base: &Base, knobs: &[Knob], key: &str, sent: &str) -> Result<Option<Change>, String> {
    let knob = knobs.iter().find(|knob| knob.key == key);
    let value = knob.map_or_else(|| Ok(sent.trim().to_owned()), |knob| knob.taken(sent))?;
    if knob.is_some_and(|knob| knob.is_own(&value)) {
        return Ok(None);
    }
    let of_knob = |knob: &Knob| {
        let (Otherwise::File(from) | Otherwise::Assumed(from)) = &knob.otherwise;
        (knob.label.clone(), from.clone(), knob.said(&value))
    };
    let of_none = || {
        let from = base
            .value_of(key)
            .unwrap_or_else(|| "not stated".to_owned());
        (key.to_owned(), from, value.clone())
    };
    let (label, from, to) = knob.map_or_else(of_none, of_knob);
    let set = match knob {
        Some(knob) if knob.is_of_no_file() => {
            let ControlKind::Choice(options) = &knob.kind.control else {
                return Ok(None);
            };
            if options.iter().all(|(sent, _)| *sent != value) {
                return Err("write new or kept".to_owned());
            }
            Vec::new()
        }
        _ => {
            let set: Override = format!("{key}={value}")
                .parse()
                .map_err(|problem: Problem| said(&problem))?;
            let mut all = base.loaded.stated_with(&set);
            all.push(set);
            all
        }
    };
    Ok(Some(Change {
        key: key.to_owned(),
        label,
        from,
        to,
        value,
        set,
    }))
}

/// The job with changes.
pub(super) fn job(base: &Base, changes: &[Change]) -> Result<(Loaded, Setup), Problems> {
    let mut set: Vec<Override> = Vec::new();
    let own = &base.setup;
    let (mut gears, mut bearings) = (own.gears, own.bearings);
    // what is only stated comes first, so that no change is taken back by it
    for change in changes {
        if let Some((_, stated)) = change.set.split_last() {
            let unknown = stated.iter().filter(|one| !set.contains(one));
            let unknown: Vec<Override> = unknown.cloned().collect();
            set.extend(unknown);
        }
    }
    for change in changes {
        let kept = || match change.value == Condition::Kept.word() {
            true => Condition::Kept,
            false => Condition::New,
        };
        match change.set.last() {
            Some(own) => set.push(own.clone()),
            None if change.key == GEARS => gears = kept(),
            None => bearings = kept(),
        }
    }
    let [axle, shop] = &base.sources;
    let loaded = load(axle, shop, &set)?.taken(base.loaded.anyway);
    let setup = match (gears, bearings) == (own.gears, own.bearings) {
        true => set_up_like(own, &loaded)?,
        false => set_up_as(&loaded, gears, bearings)?,
    };
    Ok((loaded, setup))
}

/// The changes that can be made one after the other; the others are refused.
fn one_by_one(
    base: &Base,
    wanted: Vec<Change>,
    refused: &mut Vec<Refused>,
) -> (Vec<Change>, (Loaded, Setup)) {
    let mut made: Vec<Change> = Vec::new();
    let mut last = (base.loaded.clone(), base.setup.clone());
    for change in wanted {
        made.push(change);
        match job(base, &made) {
            Ok(job) => last = job,
            Err(problems) => {
                let reasons = problems.0.iter().map(said).collect::<Vec<_>>();
                refused.extend(made.pop().map(|change| Refused {
                    key: change.key,
                    sent: change.value,
                    reason: reasons.join("; "),
                }));
            }
        }
    }
    (made, last)
}

/// What is wrong, beside the field: the reason, and how to mend it.
fn said(problem: &Problem) -> String {
    // a field has no such switch
    let help = problem.help.as_deref().unwrap_or_default();
    let help = help.trim_end_matches(ANYWAY).trim_end_matches(';');
    match help {
        "" => problem.reason.clone(),
        help => format!("{}; {help}", problem.reason),
    }
}
