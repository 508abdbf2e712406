//! Every key that a file may have, whatever the kind of axle.

use super::axle::old_sides_assumed;
use super::describe::{Described, Takes, describe_as};
use super::edit::Said;
use super::job::described_job;
use super::set::Override;
use super::{FileKind, SHORT_AXLE, SHORT_AXLE_IN_INCHES, Source, describe_shop};
use crate::units::{Length, Units};

/// A key with a word that makes an axle of another kind.
pub type Switch = (&'static str, &'static str);

const SWITCHES: [Switch; 2] = [
    ("pinion_preload.by", "spacer"),
    ("side_shims.seat", "screw adjusters"),
];

/// A key as it may stand in one file or another.
#[derive(Debug, Clone)]
pub struct KnownKey {
    /// What is known of it; needed where every file needs it.
    pub of: Described,
    /// What it takes and whether it is needed, in each of [`every_kind`]; none where that has no such key.
    pub in_kinds: Vec<Option<(Takes, bool)>>,
}

impl KnownKey {
    /// What it takes in one file or another, without what a wider way takes as well. Where it has no effect
    /// in some it takes anything there, which comes last.
    pub fn ways(&self) -> Vec<&Takes> {
        let mut ways: Vec<&Takes> = Vec::new();
        for (takes, _) in self.in_kinds.iter().flatten() {
            ways.retain(|way| !takes.covers(way));
            if !ways.iter().any(|way| way.covers(takes)) {
                ways.push(takes);
            }
        }
        ways.sort_by_key(|way| **way == Takes::Nothing);
        ways
    }
}

/// The keys of every kind of axle, shop or job, with what makes it where a word in the file does.
pub fn every_kind(kind: FileKind, units: Units) -> Vec<(Option<Switch>, Vec<Described>)> {
    match kind {
        FileKind::Axle => {
            let switched = SWITCHES.map(|switch| (Some(switch), axle(Some(switch), units)));
            let usual = vec![(None, axle(None, units))];
            usual.into_iter().chain(switched).collect()
        }
        FileKind::Shop => {
            // without series of its own, too
            let series = least_shop(units, "EUR");
            let beside = [series.clone(), without_lists(&series)];
            let of = beside.map(|shop| describe_shop(&shop).map(|shop| shop.keys));
            let of = of.into_iter().map(Result::unwrap_or_default);
            of.map(|keys| (None, keys)).collect()
        }
        FileKind::Job => {
            let beside = [false, true].map(|adjusters| described_job(units, adjusters).keys);
            beside.into_iter().map(|keys| (None, keys)).collect()
        }
        FileKind::Counts | FileKind::Table => Vec::new(),
    }
}

/// Every key of a kind of file, those of a group right behind it, and of lists the keys of one entry:
/// `shims.1.price`. Nothing is stated in it; what is assumed is what a short file would be given.
pub fn every_key(kind: FileKind, units: Units) -> Vec<Described> {
    let all = united(&every_kind(kind, units)).into_iter();
    all.map(|known| known.of).collect()
}

/// The keys of all kinds, each once.
pub fn united(kinds: &[(Option<Switch>, Vec<Described>)]) -> Vec<KnownKey> {
    let mut all: Vec<KnownKey> = Vec::new();
    for (place, (_, keys)) in kinds.iter().enumerate() {
        let mut behind = 0;
        for of in keys {
            let bare = || Described {
                stated: None,
                unused: None,
                problems: Vec::new(),
                ..of.clone()
            };
            let at = all.iter().position(|known| known.of.key == of.key);
            let at = at.unwrap_or_else(|| {
                let (of, in_kinds) = (bare(), vec![None; kinds.len()]);
                all.insert(behind, KnownKey { of, in_kinds });
                behind
            });
            let known = &mut all[at];
            if known.of.takes == Takes::Nothing {
                known.of = bare();
            } else if of.takes != Takes::Nothing {
                known.of.needed &= of.needed;
            }
            if known.of.assumed.is_none() {
                known.of.assumed.clone_from(&of.assumed);
            }
            known.in_kinds[place] = Some((of.takes.clone(), of.needed));
            behind = at + 1;
        }
    }
    all
}

/// The keys of an axle of a kind that states no more than it must.
fn axle(switch: Option<Switch>, units: Units) -> Vec<Described> {
    let file = match units.length {
        Length::Millimetre => SHORT_AXLE,
        Length::Inch => SHORT_AXLE_IN_INCHES,
    };
    let set = switch.and_then(|(key, word)| format!("{key}={word}").parse().ok());
    let set: Vec<Override> = set.into_iter().collect();
    let described = |source: &Source, set: &[Override]| {
        let described = describe_as(source, None, set);
        described.map(|of| of.keys).unwrap_or_default()
    };
    // what a short axle states that might be left out
    let stated = described(&Source::Example(file), &[]);
    let may_go: Vec<u32> = stated
        .iter()
        .filter(|of| !of.needed && !of.takes.is_group())
        .filter_map(|of| Some(of.stated.as_ref()?.line))
        .collect();
    let lines = (1..).zip(file.text.lines());
    let kept = lines.filter(|(number, _)| !may_go.contains(number));
    let kept: Vec<&str> = kept.map(|(_, line)| line).collect();
    let mut keys = described(&Source::Kept(file.name.into(), kept.join("\n")), &set);
    let old_sides = old_sides_assumed(units);
    for of in keys.iter_mut().filter(|of| of.key == old_sides.key) {
        of.assumed = old_sides.as_assumed();
    }
    keys
}

/// The same shop without its lists.
fn without_lists(shop: &Source) -> Source {
    match shop {
        Source::Kept(path, text) => {
            let before = text.split("[[").next().unwrap_or_default();
            Source::Kept(path.clone(), before.to_owned())
        }
        other => other.clone(),
    }
}

/// A shop that states no more than it must, with one entry in each of its lists.
pub fn least_shop(units: Units, currency: &str) -> Source {
    let currency = Said::Text(currency.to_owned()).written();
    let text = format!(
        "name = \"A\"\nlength = \"{}\"\ntorque = \"{}\"\ncurrency = {currency}\n\
         [[shims]]\nseries = \"A\"\nsizes = [1.0]\n[[jobs]]\naxle = \"A\"\nper_month = 1\n",
        units.length.name(),
        units.torque.name()
    );
    Source::Kept("a.shop.toml".into(), text)
}
