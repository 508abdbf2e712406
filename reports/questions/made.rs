//! What an answer is made from, gathered from what was read.

use shimcast_sim::bench::setup::Setup;

use super::drawer::Work;
use super::frame;
use crate::cli::{Dated, Files};
use crate::document::{ChangedKey, Made};
use crate::files::{Assumption, Override, ReadFile, Source, Target, load};

/// What an answer about one job is made from; the number of its rebuilds is known later.
pub fn of_job(
    setup: &Setup,
    [axle, shop]: &[Source; 2],
    files: &Files,
    seed: u64,
    date: &Dated,
) -> Made {
    let read = [axle.files(Target::Axle), shop.files(Target::Shop)].concat();
    // what a file leaves out has its default, which is among what is assumed without the key
    let assumed = match files.set.is_empty() {
        true => Vec::new(),
        false => load(axle, shop, &[]).map_or_else(|_| Vec::new(), |plain| plain.assumptions),
    };
    Made {
        of: frame::title(setup),
        seed,
        rebuilds: None,
        date: date.date.clone(),
        files: read,
        changed: changed(&files.set, &assumed, |target| match target {
            Target::Axle => axle,
            Target::Shop => shop,
        }),
    }
}

/// Adds the files that a page reads for the drawer alone.
pub fn with_drawer(made: &mut Made, work: &Work) {
    let known = |file: &ReadFile| made.files.iter().any(|other| other.text == file.text);
    let more = work.files.iter().filter(|file| !known(file));
    let more = more.map(|file| ReadFile {
        what: "axle file of the drawer",
        ..file.clone()
    });
    made.files.extend(more.collect::<Vec<_>>());
}

/// What a list of sizes is made from, with the CSV files that were named for it.
pub fn of_drawer(
    title: String,
    work: &Work,
    set: &[Override],
    lists: Vec<ReadFile>,
    seed: u64,
    date: &Dated,
) -> Made {
    Made {
        of: title,
        seed,
        rebuilds: None,
        date: date.date.clone(),
        files: [work.files.clone(), lists].concat(),
        changed: changed(set, &work.assumptions, |target| match target {
            Target::Axle => &work.first_axle,
            Target::Shop => &work.shop.source,
        }),
    }
}

/// Each key that was set once, as it was set last, with what its file says.
fn changed<'a>(
    set: &[Override],
    assumed: &[Assumption],
    source: impl Fn(Target) -> &'a Source,
) -> Vec<ChangedKey> {
    let last = set.iter().enumerate().filter(|(i, one)| {
        let later = &set[i + 1..];
        !later.iter().any(|other| other.same_key(one))
    });
    let before = |one: &Override| {
        let stated = one.stated_in(source(one.target()));
        stated.unwrap_or_else(|| {
            let key = one.key();
            let default = assumed.iter().find(|assumption| assumption.key == key);
            let value = default.and_then(|assumption| assumption.text.split_once(" = "));
            match value {
                Some((_, value)) => format!("not stated, {value}"),
                None => "not stated".to_owned(),
            }
        })
    };
    last.map(|(_, one)| ChangedKey::new(one, before(one)))
        .collect()
}
