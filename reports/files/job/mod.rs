//! A job file: one axle on the bench, with the axle and the shop that it is read beside.

mod done;
mod entries;
mod known;
use std::path::{Path, PathBuf};

use shimcast_sim::axle::{Axle, Condition, PreloadBy, SideSeat};
use shimcast_sim::next::BenchJob;

use super::describe::{Description, Takes, described};
use super::measure::Quantity;
use super::notes::{Assumption, Notes};
use super::open::open;
use super::places::Places;
use super::problem::{Kind, Origin, Problem, Problems, Text};
use super::section::Section;
use super::tree::{Node, Value, quoted};
use super::{BENCH_JOB, FileKind, Loaded, Override, Source, load, syntax};
use crate::printable::Shown;
use crate::units::Units;

pub use done::{Comeback, Done, Verdict};

/// Number of the text that holds the example, beside the file itself as 0.
const EXAMPLE: usize = 1;

/// A job file that was read, with its axle and the shop.
#[derive(Debug, Clone)]
pub struct LoadedJob {
    /// What is known, fitted and read.
    pub bench: BenchJob,
    /// What the shop calls it; the name of the file where it has none.
    pub name: String,
    /// Whether the gears are new.
    pub gears: Condition,
    /// Whether the bearings are new.
    pub bearings: Condition,
    /// How it ended, where that is stated.
    pub done: Option<Done>,
    /// The axle that it names and the shop.
    pub loaded: Loaded,
    /// Defaults in use that the job file does not state.
    pub assumptions: Vec<Assumption>,
    /// What in it has no effect, each at its place.
    pub warnings: Vec<Problem>,
    places: Places,
}

impl LoadedJob {
    /// A flaw at a key of any of the three files.
    pub fn flaw_at(&self, key: &str, reason: String) -> Problem {
        let own = ["known", "assemblies", "done"];
        match own.contains(&key.split('.').next().unwrap_or(key)) {
            true => self.problem_at(key, reason),
            false => self.loaded.problem_at(key, reason),
        }
    }

    /// A flaw at a dotted key of the job file, such as `assemblies.2.backlash`.
    pub fn problem_at(&self, key: &str, reason: String) -> Problem {
        self.places.problem(key, reason)
    }
}

/// Whether new parts go in or the old ones stay, as files write it.
pub(super) const CONDITIONS: [(&str, Condition); 2] =
    [("new", Condition::New), ("kept", Condition::Kept)];

/// Reads a job file and the axle that it names, which lies beside it, for a shop; `set` is for the keys
/// of these two.
///
/// # Errors
/// Everything that is wrong with the three files and with `set`.
pub fn load_job(path: &Path, shop: &Source, set: &[Override]) -> Result<LoadedJob, Problems> {
    read_job(path, open(path)?, Beside::Named(shop, set))
}

/// The same of a file as it was kept.
///
/// # Errors
/// The same, and where it is no file.
pub fn load_kept_job(
    file: &Source,
    shop: &Source,
    set: &[Override],
) -> Result<LoadedJob, Problems> {
    let path = match file {
        Source::File(path) | Source::Kept(path, _) => path,
        Source::BuiltIn | Source::Example(_) => {
            let reason = "a job file is wanted, beside which its axle file lies".to_owned();
            let origin = Origin::BuiltIn(BENCH_JOB.name);
            return Err(Problem::whole(Kind::BadInput, origin, reason, None).into());
        }
    };
    read_job(path, file.text(BENCH_JOB)?, Beside::Named(shop, set))
}

/// The same beside files that were read already, whatever axle file it names.
///
/// # Errors
/// Everything that is wrong with the job file.
pub fn load_job_beside(path: &Path, loaded: &Loaded) -> Result<LoadedJob, Problems> {
    read_job(path, open(path)?, Beside::Given(loaded))
}

/// Where the axle file lies that a job file names.
///
/// # Errors
/// Where it names none, or is no job file.
pub fn axle_named_by(path: &Path) -> Result<PathBuf, Problems> {
    let text = open(path)?;
    let root = syntax::parse(&text, 0).map_err(Problems)?;
    is_a_job(&text, &root)?;
    let notes = Notes::new(vec![text], None);
    let named = axle_path(path, &Section::file(&notes, Units::MODEL, &root, None));
    named.ok_or_else(|| Problems(notes.problems.take()))
}

/// The axle and the shop of a job.
enum Beside<'a> {
    /// The axle file that it names, a shop, and keys of these two.
    Named(&'a Source, &'a [Override]),
    /// Both as they were read.
    Given(&'a Loaded),
}

fn read_job(path: &Path, text: Text, axle_and_shop: Beside<'_>) -> Result<LoadedJob, Problems> {
    let root = syntax::parse(&text, 0).map_err(Problems)?;
    is_a_job(&text, &root)?;
    let usual = syntax::parse(&BENCH_JOB.as_text(), EXAMPLE).expect("an example parses");
    let notes = Notes::new(vec![text, BENCH_JOB.as_text()], Some(usual.clone()));
    let mut file = Section::file(&notes, Units::MODEL, &root, Some(&usual));
    let mut beside = Problems::default();
    let loaded = match (axle_path(path, &file), axle_and_shop) {
        (None, _) => None,
        (Some(_), Beside::Given(loaded)) => Some(loaded.clone()),
        (Some(axle), Beside::Named(shop, set)) => match load(&Source::File(axle), shop, set) {
            Ok(loaded) => Some(loaded),
            Err(problems) => {
                beside = named_by(&file, problems);
                None
            }
        },
    };
    if let Some(loaded) = &loaded {
        file.units = loaded.axle_units;
    }
    let fits = Fits::new(loaded.as_ref());
    let Own {
        name,
        gears,
        bearings,
        bench,
        done,
    } = own(&file, &fits, loaded.as_ref().map(|of| &of.axle));
    let problems = notes.problems.take();
    let Some(loaded) = loaded.filter(|_| problems.is_empty()) else {
        let all = [problems, beside.0].concat();
        return Err(Problems(all).tidied());
    };
    Ok(LoadedJob {
        bench,
        name: name.unwrap_or_else(|| stem(path)),
        gears,
        bearings,
        done,
        loaded,
        assumptions: notes.assumptions.take(),
        warnings: Problems(notes.warnings.take()).tidied().0,
        places: Places::of(&root, notes),
    })
}

/// What a job file says beside its axle file.
struct Own {
    name: Option<String>,
    gears: Condition,
    bearings: Condition,
    bench: BenchJob,
    done: Option<Done>,
}

/// What the file says of a job on this axle, where that could be read; whatever is wrong is noted.
fn own(file: &Section<'_>, fits: &Fits, axle: Option<&Axle>) -> Own {
    let name = file.optional_text(
        "name",
        "give the job a name, e.g. name = \"Blue van, rear\"",
    );
    let gears = condition(file, "gears");
    let bearings = condition(file, "bearings");
    let bench = BenchJob {
        known: known::read(&file.sub("known"), fits, gears, bearings),
        assemblies: entries::read(file, fits, bearings),
    };
    let done = done::read(&file.sub("done"), axle);
    file.finish();
    Own {
        name,
        gears,
        bearings,
        bench,
        done,
    }
}

/// A job file that states no more than it must.
const LEAST: &str = "axle = \"a.axle.toml\"\n[[assemblies]]\npinion = 1.0\nring = 1.0\nfar = 1.0\n";

/// What such a file is asked for beside an axle in these units, with screw adjusters or without.
pub(super) fn described_job(units: Units, adjusters: bool) -> Description {
    let text = Text {
        origin: Origin::BuiltIn(BENCH_JOB.name),
        body: LEAST.to_owned(),
    };
    let root = syntax::parse(&text, 0).expect("the least file parses");
    let usual = syntax::parse(&BENCH_JOB.as_text(), EXAMPLE).expect("an example parses");
    let texts = vec![text, BENCH_JOB.as_text()];
    let notes = Notes::new(texts, Some(usual.clone())).recording(true);
    let file = Section::file(&notes, units, &root, Some(&usual));
    axle_path(Path::new(""), &file);
    let fits = Fits {
        adjusters,
        ..Fits::default()
    };
    own(&file, &fits, None);
    described(notes, &root, FileKind::Job, units)
}

/// What of axle and shop the reading of a job depends on; nothing is known of them where they could not
/// be read.
#[derive(Debug, Clone, Copy, Default)]
struct Fits {
    adjusters: bool,
    sleeve: bool,
    spacer: bool,
    setup_bearings: bool,
}

impl Fits {
    fn new(loaded: Option<&Loaded>) -> Self {
        let Some(Loaded { axle, shop, .. }) = loaded else {
            return Self::default();
        };
        let sleeve = matches!(axle.pinion_preload.by, PreloadBy::Sleeve { .. });
        Self {
            adjusters: axle.side_shims.seat == SideSeat::ScrewAdjusters,
            sleeve,
            spacer: !sleeve,
            setup_bearings: shop.bench.setup_bearings,
        }
    }
}

/// Limits that no axle passes, in the units of a file: slips of a decimal point or of a unit.
mod most {
    use crate::files::section::{Limits, Section};
    use crate::units::{Length, Torque};

    fn length(s: &Section<'_>, mm: f64, inches: f64) -> f64 {
        match s.units.length {
            Length::Millimetre => mm,
            Length::Inch => inches,
        }
    }

    /// Of a pack of shims.
    pub(super) fn pack(s: &Section<'_>) -> Limits {
        Limits::Between(0.0, length(s, 50.0, 2.0))
    }

    /// Of a mark, or the travel of an adjuster.
    pub(super) fn either_way(s: &Section<'_>) -> Limits {
        let most = length(s, 10.0, 0.4);
        Limits::Within(-most, most)
    }

    /// Of a bearing's height.
    pub(super) fn height(s: &Section<'_>) -> Limits {
        Limits::Between(0.0, length(s, 500.0, 20.0))
    }

    /// Of a backlash reading.
    pub(super) fn backlash(s: &Section<'_>) -> Limits {
        Limits::Within(0.0, length(s, 5.0, 0.2))
    }

    /// Of a turning torque.
    pub(super) fn torque(s: &Section<'_>) -> Limits {
        Limits::Within(
            0.0,
            match s.units.torque {
                Torque::NewtonMetre => 100.0,
                Torque::PoundForceInch => 1000.0,
            },
        )
    }
}

/// The name of a job file without what all of them end in.
fn stem(path: &Path) -> String {
    let name = path.file_name().unwrap_or(path.as_os_str());
    let name = name.to_string_lossy();
    let stem = name.trim_end_matches(".toml").trim_end_matches(".job");
    stem.to_owned()
}

/// Where the axle file that the file names lies; `None` after noting that it names none.
fn axle_path(path: &Path, file: &Section<'_>) -> Option<PathBuf> {
    let help = "name the axle file, e.g. axle = \"rowan-215.axle.toml\"; it is looked for beside this file";
    let named = file.text("axle", help);
    (!named.is_empty()).then(|| path.with_file_name(named))
}

/// An axle file that can't be read is told at the line that names it.
fn named_by(file: &Section<'_>, problems: Problems) -> Problems {
    let named = file.stated("axle");
    let told = problems
        .0
        .into_iter()
        .map(|problem| match (&problem.origin, named) {
            (Origin::File(path), Some(node))
                if problem.kind == Kind::CannotRead && is_axle(path, node) =>
            {
                let reason = format!("{}: {}", path.shown(), problem.reason);
                let help = "an axle file is looked for beside the job file".to_owned();
                let help = problem.help.unwrap_or(help);
                file.notes
                    .problem(Kind::CannotRead, node.place, reason, Some(help))
            }
            _ => problem,
        });
    Problems(told.collect())
}

fn is_axle(path: &Path, node: &Node) -> bool {
    let named = node.text().map(Path::new);
    named.is_some_and(|named| path.ends_with(named))
}

/// New or kept; left out, new.
fn condition(file: &Section<'_>, key: &'static str) -> Condition {
    file.takes(key, false, || Takes::of_words(&CONDITIONS));
    if file.entry(key).is_none() {
        let others = vec![quoted("kept")];
        file.assume_among(key, &quoted("new"), quoted("new"), "usual", others);
        return Condition::New;
    }
    file.choice_or(key, &CONDITIONS, None)
}

/// Refuses at once what would otherwise give one error for each key.
fn is_a_job(text: &Text, root: &Node) -> Result<(), Problem> {
    let is_group =
        |key: &str| matches!(root.get(key).map(|node| &node.value), Some(Value::Table(_)));
    let (reason, help) = if matches!(&root.value, Value::Table(entries) if entries.is_empty()) {
        (
            "there is nothing in the file",
            "name the axle file, e.g. axle = \"rowan-215.axle.toml\"",
        )
    } else if ["gears", "housing", "windows"].into_iter().any(is_group) {
        (
            "this is an axle file, not a job file",
            "a job file names the axle file: axle = \"…\"",
        )
    } else if ["bench", "instruments", "prices"].into_iter().any(is_group) {
        (
            "this is a shop file, not a job file",
            "a shop file is named with --shop FILE",
        )
    } else {
        return Ok(());
    };
    Err(Problem::whole(
        Kind::BadInput,
        text.origin.clone(),
        reason.to_owned(),
        Some(help.to_owned()),
    ))
}

/// A figure as the file's reader would write it, for messages.
fn told(section: &Section<'_>, q: Quantity, figure: f64) -> String {
    let in_file = q.to_file(figure, section.units);
    q.told(in_file, section.units)
}
