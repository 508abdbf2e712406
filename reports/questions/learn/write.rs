//! New axle and shop files with the figures that jobs teach.

use std::path::{Path, PathBuf};

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::learn::{Learnable, Lesson};

use super::named::{Named, named};
use crate::figures::{Digits, counted};
use crate::files::{
    BUILT_IN_AXLE, BUILT_IN_SHOP, BuiltInFile, Change, Edited, Loaded, Said, Source, load, rounded,
    state, wider,
};
use crate::questions::context::{Failure, failure};
use crate::written::{OutputFile, folder};

/// What to do where a file of that name is there.
const INSTEAD: &str = "name another folder with --write; what is there is never overwritten";
/// How far a figure may be from what was learned, as a share, once it is rounded and written.
const ROUNDING: f64 = 2e-3;

/// New files of an axle and a shop, claimed before there is anything to write.
pub(super) struct NewFiles {
    edited: [Edited; 2],
    places: [OutputFile; 2],
}

impl NewFiles {
    /// Claims a place for both in a folder, which is made where there is none.
    ///
    /// # Errors
    /// Where one of them is there already, or can't be written.
    pub(super) fn claim(into: &Path, sources: &[Source; 2]) -> Result<Self, Failure> {
        folder(into).map_err(Failure::CannotAccess)?;
        let axle = opened(&sources[0], BUILT_IN_AXLE, into)?;
        let shop = opened(&sources[1], BUILT_IN_SHOP, into)?;
        let place = |file: &Edited| {
            OutputFile::claim_new(file.path(), INSTEAD).map_err(Failure::CannotAccess)
        };
        Ok(Self {
            places: [place(&axle)?, place(&shop)?],
            edited: [axle, shop],
        })
    }

    /// The files with what was learned from so many jobs, each with its text: only those of the two in which
    /// anything changes.
    ///
    /// # Errors
    /// Where a figure can't be written as it was learned.
    pub(super) fn with(
        self,
        lessons: &[&Lesson],
        setup: &Setup,
        loaded: &Loaded,
        jobs: usize,
    ) -> Result<Vec<(OutputFile, String)>, Failure> {
        let [mut axle, mut shop] = self.edited;
        let of_axle = change(&mut axle, lessons, setup, loaded, (true, jobs))?;
        let of_shop = change(&mut shop, lessons, setup, loaded, (false, jobs))?;
        let written = [&axle, &shop].map(Edited::source_changed);
        let read = load(&written[0], &written[1], &[]).map_err(|problems| failure(&problems))?;
        for lesson in lessons {
            let wanted = lesson.now.learned.value;
            let found = lesson.of.read(&read.axle, &read.shop);
            if found.is_none_or(|found| (found - wanted).abs() > ROUNDING * wanted.abs()) {
                let key = named(&lesson.of, setup, loaded.printed()).key;
                return Err(Failure::BadInput(format!(
                    "{key} can't be written as it was learned: write it by hand"
                )));
            }
        }
        let texts = [(of_axle, axle.written()), (of_shop, shop.written())];
        let files = self.places.into_iter().zip(texts);
        let changed = files.filter(|(_, (changed, _))| *changed);
        Ok(changed.map(|(place, (_, text))| (place, text)).collect())
    }
}

/// A file as it is, to be written into another folder.
fn opened(source: &Source, built_in: BuiltInFile, into: &Path) -> Result<Edited, Failure> {
    let (path, text): (PathBuf, String) = match source {
        Source::BuiltIn => (built_in.name.into(), built_in.text.to_owned()),
        Source::Example(file) => (file.name.into(), file.text.to_owned()),
        Source::File(path) => (
            path.clone(),
            Edited::open(path, "").map_err(|e| failure(&e))?.written(),
        ),
        Source::Kept(path, text) => (path.clone(), text.clone()),
    };
    let name = path.file_name().unwrap_or(path.as_os_str());
    Edited::of_text(&into.join(name), &text).map_err(|problems| failure(&problems))
}

/// Puts into a file what belongs there, with a remark above each; whether there was anything.
fn change(
    file: &mut Edited,
    lessons: &[&Lesson],
    setup: &Setup,
    loaded: &Loaded,
    (of_axle, jobs): (bool, usize),
) -> Result<bool, Failure> {
    let print = loaded.printed();
    let mut changes = Vec::new();
    let mut remarks = Vec::new();
    for lesson in lessons {
        let named = named(&lesson.of, setup, print);
        if named.of_axle != of_axle {
            continue;
        }
        let own = changes_for(file, lesson, &named).map_err(Failure::BadInput)?;
        let before: Vec<String> = (own.iter())
            .filter_map(|change| match change {
                Change::State(key, _) => Some(as_it_was(file, key)),
                Change::TakeOut(_) => None,
            })
            .collect();
        remarks.push((
            line(&own, &named),
            remark(lesson, &named, jobs, &before.join(", ")),
        ));
        changes.extend(own);
    }
    *file = file.with(&changes).map_err(Failure::BadInput)?;
    for (key, remark) in &remarks {
        file.remark(key, remark);
    }
    Ok(!remarks.is_empty())
}

/// The key of the first change, above whose line the remark stands.
fn line(changes: &[Change], named: &Named) -> String {
    match changes.first() {
        Some(Change::State(key, _) | Change::TakeOut(key)) => key.clone(),
        None => named.key.clone(),
    }
}

/// What a key said, as its file has it.
fn as_it_was(file: &Edited, key: &str) -> String {
    let last = key.rsplit('.').next().unwrap_or(key);
    let figures = file.figures_at(key).map(|all| {
        let all: Vec<String> = all.iter().map(ToString::to_string).collect();
        format!("[{}]", all.join(", "))
    });
    let said = file.figure_at(key).map(|figure| figure.to_string());
    match figures.or(said) {
        Some(said) => format!("{last} = {said}"),
        None => format!("no {last}"),
    }
}

/// What was learned, in a line.
fn remark(lesson: &Lesson, named: &Named, jobs: usize, before: &str) -> String {
    let now = named.told(&lesson.now.learned);
    let digits = Digits::of(&now, named.decimals);
    let sigma = match lesson.of {
        Learnable::Spread(_) => ", one sigma",
        _ => "",
    };
    format!(
        "{}{sigma}: {} {} ({}), learned from {}; before {} ({before})",
        named.name,
        digits.text(now.value),
        named.unit,
        digits.ends(&now),
        counted(jobs as u64, ["job", "jobs"]),
        named.of_files(lesson.before),
    )
    .replace("  ", " ")
}

/// The changes that put a lesson into a file.
fn changes_for(file: &Edited, lesson: &Lesson, named: &Named) -> Result<Vec<Change>, String> {
    let now = lesson.now.learned.value;
    let times = now / lesson.before;
    let key = named.key.as_str();
    match &lesson.of {
        Learnable::Spread(_) => wider(file, key, times, now * file_units(file)),
        Learnable::Row(_, mover) => {
            // the place in the row is the last part of the key
            let row = key.rsplit_once('.').map_or(key, |(row, _)| row);
            let mut all = file.figures_at(row).ok_or_else(|| by_hand(row))?;
            let place = all.get_mut(*mover).ok_or_else(|| by_hand(row))?;
            *place = match lesson.before != 0.0 {
                true => rounded(times * *place),
                false => rounded(now / file_units(file)),
            };
            Ok(vec![Change::State(row.to_owned(), Said::Figures(all))])
        }
        Learnable::Minutes(_) => {
            let all = file.figures_at(key).ok_or_else(|| by_hand(key))?;
            let all = all.iter().map(|minutes| rounded(times * minutes)).collect();
            Ok(vec![Change::State(key.to_owned(), Said::Figures(all))])
        }
        Learnable::Spoiled(_) => {
            let entry = key.rsplit_once('.').map_or(key, |(entry, _)| entry);
            match file.has(&format!("{entry}.series")) {
                true => Ok(vec![state(key, now)]),
                false => Err(by_hand(key)),
            }
        }
        Learnable::RingBelief | Learnable::JobSpread | Learnable::ComebackShare => {
            Ok(vec![state(key, now)])
        }
        Learnable::DepthBelief => Ok(vec![match file.figure_at(key) {
            Some(stated) => state(key, times * stated),
            None => state(key, now / file_units(file)),
        }]),
    }
}

/// Units of length of a file in one of the model's.
fn file_units(file: &Edited) -> f64 {
    match file.word_at("length") {
        Some("in") => 1.0 / 25.4,
        _ => 1.0,
    }
}

fn by_hand(key: &str) -> String {
    format!(
        "{key} is not in the file, so what was learned of it can't be written: state it there first"
    )
}
