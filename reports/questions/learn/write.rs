//! New axle and shop files with the figures that jobs teach.

use std::io;
use std::path::{Path, PathBuf};

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::causes::Input;
use shimcast_sim::learn::{Learnable, Lesson};
use shimcast_sim::shop::Span;

use super::named::{Named, named};
use crate::figures::{Digits, counted};
use crate::files::{
    BUILT_IN_AXLE, BUILT_IN_SHOP, BuiltInFile, Change, Edited, Loaded, Said, Source, load, rounded,
    state, wider,
};
use crate::questions::Reply;
use crate::questions::context::{Failure, failure, warn};
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

    /// The answer with these files and what was learned from so many jobs: only those of the two in which
    /// anything changes. What can't be written is said.
    pub(super) fn of(
        self,
        reply: Reply,
        lessons: &[&Lesson],
        (setup, loaded): (&Setup, &Loaded),
        jobs: usize,
    ) -> Reply {
        let Self {
            edited: [mut axle, mut shop],
            places,
        } = self;
        let of = Taught {
            setup,
            loaded,
            jobs,
        };
        let of_axle = of.put(&mut axle, lessons, true);
        let of_shop = of.put(&mut shop, lessons, false);
        for left in of_axle.left.iter().chain(&of_shop.left) {
            warn(left);
        }
        let written = [of_axle.written.as_slice(), &of_shop.written].concat();
        let right = of.reads_as_learned(&written, [&axle, &shop]);
        let [to_axle, to_shop] = places;
        let files = [(to_axle, axle, of_axle), (to_shop, shop, of_shop)];
        let changed = files
            .into_iter()
            .filter(|(_, _, put)| !put.written.is_empty());
        changed.fold(reply, |reply, (place, file, _)| {
            let text = right.clone().map(|()| file.written());
            reply.with_file(place, move |out| {
                out.write_all(text.map_err(io::Error::other)?.as_bytes())
            })
        })
    }
}

/// What was learned, of which axle and shop, from how many jobs.
struct Taught<'a> {
    setup: &'a Setup,
    loaded: &'a Loaded,
    jobs: usize,
}

/// What of it was put into a file, and what could not be, a sentence each.
struct Put<'a> {
    written: Vec<&'a Lesson>,
    left: Vec<String>,
}

impl Taught<'_> {
    fn named(&self, lesson: &Lesson) -> Named {
        named(&lesson.of, self.setup, self.loaded.printed())
    }

    /// Puts into a file what belongs there, with a remark above each.
    fn put<'l>(&self, file: &mut Edited, lessons: &[&'l Lesson], of_axle: bool) -> Put<'l> {
        let before = file.clone();
        let mut put = Put {
            written: Vec::new(),
            left: Vec::new(),
        };
        for lesson in lessons {
            let named = self.named(lesson);
            if named.of_axle != of_axle {
                continue;
            }
            let changes = changes_for(file, lesson, &named, self.loaded);
            let with = changes.and_then(|changes| Ok((file.with(&changes)?, changes)));
            match with {
                Ok((mut with, changes)) => {
                    let keys = changes.iter().filter_map(|change| match change {
                        Change::State(key, _) => Some(key.as_str()),
                        Change::TakeOut(_) => None,
                    });
                    let keys: Vec<&str> = keys.collect();
                    let was: Vec<String> = keys.iter().map(|key| as_it_was(&before, key)).collect();
                    let remark = remark(lesson, &named, self.jobs, &was.join(", "));
                    with.remark(keys.first().unwrap_or(&named.key.as_str()), &remark);
                    *file = with;
                    put.written.push(lesson);
                }
                Err(why) => put.left.push(why),
            }
        }
        put
    }

    /// That files with these lessons say what was learned, once they are read.
    fn reads_as_learned(
        &self,
        lessons: &[&Lesson],
        [axle, shop]: [&Edited; 2],
    ) -> Result<(), String> {
        let read = load(&axle.source_changed(), &shop.source_changed(), &[]);
        let read = read.map_err(|problems| problems.in_short())?;
        for lesson in lessons {
            let wanted = lesson.now.learned.value;
            let found = lesson.of.read(&read.axle, &read.shop);
            if found.is_none_or(|found| (found - wanted).abs() > ROUNDING * wanted.abs()) {
                let key = self.named(lesson).key;
                return Err(format!(
                    "{key} can't be written as it was learned: write it by hand"
                ));
            }
        }
        Ok(())
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

/// The changes that put a lesson into a file; what stands beside a figure in one line comes with it where the
/// file leaves the line out.
fn changes_for(
    file: &Edited,
    lesson: &Lesson,
    named: &Named,
    loaded: &Loaded,
) -> Result<Vec<Change>, String> {
    let now = lesson.now.learned.value;
    let times = now / lesson.before;
    let key = named.key.as_str();
    let units = file_units(file);
    let line = |key: &str, all: Vec<f64>| {
        let all = all.into_iter().map(rounded).collect();
        vec![Change::State(key.to_owned(), Said::Figures(all))]
    };
    Ok(match &lesson.of {
        // angles and shares have no unit of length
        Learnable::Spread(Input::ShaftAngle | Input::Pattern | Input::ScatterProfile) => {
            wider(file, key, times, now)?
        }
        Learnable::Spread(_) => wider(file, key, times, now * units)?,
        Learnable::Row(flank, mover) => {
            // the place in the row is the last part of the key
            let key = key.rsplit_once('.').map_or(key, |(row, _)| row);
            let pattern = &loaded.axle.gears.pattern;
            let row = [pattern.drive_profile, pattern.coast_profile][*flank];
            // three rates are by length, the last by angle
            let row = [row[0] / units, row[1] / units, row[2] / units, row[3]];
            let mut all = file.figures_at(key).unwrap_or(row.into());
            if let Some(place) = all.get_mut(*mover) {
                *place = now / units;
            }
            line(key, all)
        }
        Learnable::Minutes(timed) => {
            let Span { least, usual, most } = timed.span(&loaded.axle, &loaded.shop.minutes);
            let all = file.figures_at(key).unwrap_or(vec![least, usual, most]);
            line(key, all.iter().map(|minutes| times * minutes).collect())
        }
        Learnable::Spoiled(series) => {
            let entry = key.rsplit_once('.').map_or(key, |(entry, _)| entry);
            if file.word_at(&format!("{entry}.series")) != Some(series) {
                return Err(format!(
                    "{series} is in no [[shims]] of the file, so the share of them that was learned is not written"
                ));
            }
            vec![state(key, now)]
        }
        Learnable::DepthBelief => vec![state(key, now / units)],
        Learnable::RingBelief | Learnable::JobSpread | Learnable::ComebackShare => {
            vec![state(key, now)]
        }
    })
}

/// Units of length of a file in one of the model's.
fn file_units(file: &Edited) -> f64 {
    match file.word_at("length") {
        Some("in") => 1.0 / 25.4,
        _ => 1.0,
    }
}

#[cfg(test)]
mod tests;
