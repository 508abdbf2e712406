//! What can be moved, as fields: what matters most first, everything else folded away by what it is about.

use super::knob::{Knob, knobs};
use super::tried::Tried;
use super::weigh::Weighed;
use super::words::Part;
use crate::document::{Control, ControlKind, Controls};
use crate::sentences::capital;

/// So many fields are shown at once.
const SHOWN: usize = 8;

/// The fields as they stand: what matters most, then keys that have no field of their own and were sent
/// all the same, then the rest in folded groups. A group in which something is moved is open.
pub fn controls(tried: &Tried<'_>, weighed: &Weighed) -> Vec<Controls> {
    let knobs = knobs(tried.base);
    let first: Vec<&Knob> = weighed
        .first(SHOWN)
        .filter_map(|key| knobs.iter().find(|knob| knob.key == key))
        .collect();
    let is_first = |knob: &Knob| first.iter().any(|shown| shown.key == knob.key);
    let mut all = vec![Controls {
        heading: "What matters most here".to_owned(),
        said: Vec::new(),
        fields: first.iter().map(|knob| control(knob, tried)).collect(),
        folded: false,
    }];
    all.push(Controls {
        heading: "Other keys of the files".to_owned(),
        fields: others(&knobs, tried),
        ..Controls::default()
    });
    all.extend(Part::ALL.into_iter().map(|part| {
        let rest = knobs.iter().filter(|knob| knob.part == part);
        let rest = rest.filter(|knob| !is_first(knob));
        let rest: Vec<&Knob> = rest.collect();
        let is_moved =
            |knob: &&Knob| tried.change(&knob.key).is_some() || tried.refusal(&knob.key).is_some();
        Controls {
            heading: part.heading().to_owned(),
            said: part.said().map(str::to_owned).into_iter().collect(),
            folded: !rest.iter().any(is_moved),
            fields: rest.into_iter().map(|knob| control(knob, tried)).collect(),
        }
    }));
    all.retain(|group| !group.fields.is_empty());
    all
}

fn control(knob: &Knob, tried: &Tried<'_>) -> Control {
    let refusal = tried.refusal(&knob.key);
    let change = tried.change(&knob.key);
    let value = match (refusal, change) {
        (Some(refused), _) => &refused.sent,
        (None, Some(change)) => &change.value,
        (None, None) => &knob.own,
    };
    let control = Control::new(
        knob.key.clone(),
        capital(&knob.label),
        knob.kind.control.clone(),
    );
    Control {
        otherwise: (!knob.is_of_no_file()).then(|| knob.otherwise.clone()),
        problem: refusal.map(|refused| refused.reason.clone()),
        ..control
            .at(value.clone())
            .unit(knob.unit.clone())
            .help(knob.help.clone())
    }
}

/// Keys that were sent and have no field of their own.
fn others(knobs: &[Knob], tried: &Tried<'_>) -> Vec<Control> {
    let has_none = |key: &str| knobs.iter().all(|knob| knob.key != key);
    let words = |key: &str, value: &str| {
        Control::new(key.to_owned(), key.to_owned(), ControlKind::Words).at(value.to_owned())
    };
    let changed = tried.changes.iter().filter(|change| has_none(&change.key));
    let refused = tried
        .refused
        .iter()
        .filter(|refused| has_none(&refused.key));
    let changed = changed.map(|change| words(&change.key, &change.value));
    let refused = refused.map(|refused| Control {
        problem: Some(refused.reason.clone()),
        ..words(&refused.key, &refused.sent)
    });
    changed.chain(refused).collect()
}
