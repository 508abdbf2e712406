//! From the two files to what the model computes with.
//!
//! An axle file and a shop file are TOML; their format is shown by the files in `examples/`. Each
//! is parsed into a tree in which every value knows its place, keys given by `--set` are put into
//! that tree, and the tree is read once. Whatever a file leaves out comes from the built-in axle or
//! shop, is converted to the file's own units as if it had been written there, and is listed as an
//! [`Assumption`]. Lengths and torques are converted to mm and N·m here and nowhere else.
//!
//! Everything that is wrong in both files is found in one go, as [`Problems`].

mod axle;
mod basis;
mod checks;
mod counts;
mod csv;
mod describe;
mod drawer;
mod edit;
mod every_key;
mod fields;
mod file_units;
mod gears;
mod job;
mod kind;
mod limits;
mod lists;
mod load;
mod loops;
mod meanings;
mod measure;
mod notes;
mod open;
mod optional;
mod pairs;
mod places;
mod problem;
mod ranges;
mod read;
mod section;
mod set;
mod shop;
mod spread;
mod spread_keys;
mod stock;
mod supply;
mod syntax;
mod tree;
mod values;
mod vary;
mod wider;
mod words;

use std::path::PathBuf;

use shimcast_sim::axle::Axle;
use shimcast_sim::axle::tolerance::Tolerance;
use shimcast_sim::shop::{Job, Shop};

use crate::printable::Shown;
use crate::printed::Printed;
use crate::units::Units;

pub use axle::seats;
pub use basis::{Basis, basis};
pub use counts::{Booking, CountedSize, Counts, NotBooked, new_counts};
pub use csv::cells_of;
pub use describe::{Assumed, Described, Description, Stated, Takes, describe_axle, describe_shop};
pub use drawer::{Offer, have, offer};
pub use edit::{Change, Edited, Group, NotWritten, Said, before, is_before, put_back};
pub use every_key::{KnownKey, Switch, every_key, every_kind, least_shop, united};
pub use job::{
    Comeback, Done, LoadedJob, Verdict, axle_named_by, load_job, load_job_beside, load_kept_job,
};
pub use kind::{FileKind, UNNAMED, kind_of, name_in};
pub use limits::Limits;
pub use measure::Quantity;
pub use notes::Assumption;
pub use pairs::{ListedPair, load_pairs};
pub use problem::{Kind, Origin, Problem, Problems};
pub use read::{ReadFile, fingerprint};
pub use set::{Override, Target};
pub use supply::Supply;
pub use vary::Variation;
pub use wider::{rounded, state, wider};

use axle::ShopFacts;
use places::Places;
use problem::Text;

/// A file that is part of the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BuiltInFile {
    /// Its name in `examples/`.
    pub name: &'static str,
    /// Its text.
    pub text: &'static str,
}

impl BuiltInFile {
    fn as_text(self) -> Text {
        Text {
            origin: Origin::BuiltIn(self.name),
            body: self.text.to_owned(),
        }
    }
}

macro_rules! built_in {
    ($name:literal) => {
        BuiltInFile {
            name: $name,
            text: include_str!(concat!("../../examples/", $name)),
        }
    };
}

/// The axle that is used where none is named, and from which defaults are taken.
pub const BUILT_IN_AXLE: BuiltInFile = built_in!("rowan-215.axle.toml");
/// The shop that is used where none is named, and from which defaults are taken.
pub const BUILT_IN_SHOP: BuiltInFile = built_in!("north-bench.shop.toml");
/// A second full axle, which the built-in shop works on as well.
pub const SECOND_AXLE: BuiltInFile = built_in!("sorrel-71.axle.toml");
/// An axle file with the figures that any workshop can find, to start from.
pub const SHORT_AXLE: BuiltInFile = built_in!("short.axle.toml");
/// A shop of another kind: a first-timer at home.
pub const GARAGE_SHOP: BuiltInFile = built_in!("home-garage.shop.toml");
/// An axle with screw adjusters and bevel gears.
pub const TAMARACK: BuiltInFile = built_in!("tamarack-88.axle.toml");
/// The same short axle file in inches.
pub const SHORT_AXLE_IN_INCHES: BuiltInFile = built_in!("short-inch.axle.toml");
/// The built-in axle in inches.
pub const AXLE_IN_INCHES: BuiltInFile = built_in!("rowan-215-inch.axle.toml");
/// The built-in shop in inches.
pub const SHOP_IN_INCHES: BuiltInFile = built_in!("north-bench-inch.shop.toml");
/// The list of tooth pairs that is used where none is named.
pub const BUILT_IN_PAIRS: BuiltInFile = built_in!("gear-sets.csv");
/// One axle on the bench: what is known of it and what was read.
pub const BENCH_JOB: BuiltInFile = built_in!("rowan-bench.job.toml");
/// The same in inches.
pub const BENCH_JOB_IN_INCHES: BuiltInFile = built_in!("rowan-bench-inch.job.toml");
/// Every example of an axle or a shop, the built-in ones first.
pub const EXAMPLES: [BuiltInFile; 10] = [
    BUILT_IN_AXLE,
    BUILT_IN_SHOP,
    SECOND_AXLE,
    TAMARACK,
    SHORT_AXLE,
    built_in!("quay-lane.shop.toml"),
    GARAGE_SHOP,
    SHORT_AXLE_IN_INCHES,
    AXLE_IN_INCHES,
    SHOP_IN_INCHES,
];

/// Where an axle or a shop is read from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Source {
    /// The built-in axle or shop.
    BuiltIn,
    /// Another file that is part of the program.
    Example(BuiltInFile),
    /// A file on disk.
    File(PathBuf),
    /// A file on disk as it was when it was kept, to the byte.
    Kept(PathBuf, String),
}

impl From<Option<PathBuf>> for Source {
    /// The file named, or what is built in.
    fn from(named: Option<PathBuf>) -> Self {
        named.map_or(Self::BuiltIn, Self::File)
    }
}

impl Source {
    /// The same, read now if it is a file: whoever reads it more than once finds the same each time.
    ///
    /// # Errors
    /// A problem where the file can't be read.
    pub fn keep(self) -> Result<Self, Problem> {
        match self {
            Self::File(path) => {
                let text = open::whole(&path)?;
                Ok(Self::Kept(path, text.body))
            }
            other => Ok(other),
        }
    }

    fn text(&self, built_in: BuiltInFile) -> Result<Text, Problem> {
        let built_in = match self {
            Self::BuiltIn => built_in,
            Self::Example(built_in) => *built_in,
            Self::File(path) => return open::open(path),
            Self::Kept(path, body) => {
                return Ok(open::without_mark(Text {
                    origin: Origin::File(path.clone()),
                    body: body.clone(),
                }));
            }
        };
        Ok(built_in.as_text())
    }

    /// The shop file as messages call it.
    fn called(&self) -> String {
        match self {
            Self::BuiltIn => format!("the built-in {}", BUILT_IN_SHOP.name),
            Self::Example(built_in) => format!("the built-in {}", built_in.name),
            Self::File(path) | Self::Kept(path, _) => path.shown().to_string(),
        }
    }
}

/// Where the axle of a job is to be read from: beside the shop file that names it; among the
/// examples where the shop itself is one.
pub fn job_source(shop: &Source, job: &Job) -> Source {
    match shop {
        Source::File(path) | Source::Kept(path, _) => Source::File(path.with_file_name(&job.axle)),
        Source::BuiltIn | Source::Example(_) => EXAMPLES
            .into_iter()
            .find(|built_in| built_in.name == job.axle)
            .map_or_else(|| Source::File(PathBuf::from(&job.axle)), Source::Example),
    }
}

/// A shop file that was read.
#[derive(Debug, Clone)]
pub struct LoadedShop {
    /// The shop.
    pub shop: Shop,
    /// Where its series are bought, in the order of the shop's.
    pub supplies: Vec<Supply>,
    /// Where it was read from.
    pub source: Source,
    /// The units that the file uses.
    pub units: Units,
    /// Defaults in use that the file does not state.
    pub assumptions: Vec<Assumption>,
    /// What has no effect.
    pub warnings: Vec<Problem>,
    places: Places,
}

/// An axle file that was read for one shop.
#[derive(Debug, Clone)]
pub struct LoadedAxle {
    /// The axle.
    pub axle: Axle,
    /// How closely the old sides were closed, less `side_preload_added`, where the file says so.
    pub old_sides: Option<Tolerance>,
    /// Where it was read from.
    pub source: Source,
    /// The units that the file uses.
    pub units: Units,
    /// Defaults in use that the file does not state.
    pub assumptions: Vec<Assumption>,
    /// What has no effect or looks odd.
    pub warnings: Vec<Problem>,
    places: Places,
}

/// An axle and a shop that were read.
#[derive(Debug, Clone)]
pub struct Loaded {
    /// The axle.
    pub axle: Axle,
    /// The shop.
    pub shop: Shop,
    /// Where the shop was read from; [`job_source`] needs it.
    pub shop_source: Source,
    /// The units that the axle file uses.
    pub axle_units: Units,
    /// The units that the shop file uses.
    pub shop_units: Units,
    /// Defaults in use that the files do not state: the axle's, then the shop's, in the order of
    /// the keys in a full file.
    pub assumptions: Vec<Assumption>,
    /// What has no effect or looks odd.
    pub warnings: Vec<Problem>,
    /// Whether figures that no axle has are to be taken, too.
    pub anyway: bool,
    /// As in [`LoadedAxle`].
    pub old_sides: Option<Tolerance>,
    axle_places: Places,
    shop_places: Places,
}

impl Loaded {
    /// What is taken for the closing of the old sides where the axle file does not say it.
    pub fn old_sides_assumed(&self) -> Assumption {
        axle::old_sides_assumed(self.axle_units)
    }

    /// How lengths and torques of this job are printed.
    pub fn printed(&self) -> Printed {
        Printed::read_with(self.axle_units, &self.shop.instruments)
    }

    /// The same, with a word on whether figures that no axle has are to be taken, too.
    pub fn taken(self, anyway: bool) -> Self {
        Self { anyway, ..self }
    }

    /// Gives a flaw that was found later its place: at the key that a file states, or at the
    /// file as a whole where the key was left out.
    pub fn problem_at(&self, key: &str, reason: String) -> Problem {
        match set::target(key) {
            Some((Target::Shop, key)) => self.shop_places.problem(key, reason),
            Some((Target::Axle, key)) => self.axle_places.problem(key, reason),
            None => self.axle_places.problem(key, reason),
        }
    }
}

impl Loaded {
    /// What holds for a key, as TOML: what a file or `--set` states, or the default in its place.
    pub fn value_of(&self, key: &Override) -> Option<String> {
        let path = key.path();
        let stated = self.places(key).value_of(&path);
        let default = || self.assumptions.iter().find_map(|a| a.value_of(&path));
        stated.or_else(default)
    }

    /// Whether a key takes whole numbers only.
    pub fn takes_whole(&self, key: &Override) -> bool {
        self.places(key).takes_whole(&key.path())
    }

    /// The unit of the number that a stated key holds, as its file has it; empty where it has none.
    pub fn unit_of(&self, key: &Override) -> String {
        self.places(key).unit_of(&key.path())
    }

    fn places(&self, key: &Override) -> &Places {
        match key.target() {
            Target::Axle => &self.axle_places,
            Target::Shop => &self.shop_places,
        }
    }
}

impl LoadedAxle {
    /// As [`Loaded::problem_at`], for a key of the axle file.
    pub fn problem_at(&self, key: &str, reason: String) -> Problem {
        let key = key.strip_prefix("axle.").unwrap_or(key);
        self.places.problem(key, reason)
    }
}

impl LoadedShop {
    /// As [`Loaded::problem_at`], for a key of the shop file.
    pub fn problem_at(&self, key: &str, reason: String) -> Problem {
        let key = key.strip_prefix("shop.").unwrap_or(key);
        self.places.problem(key, reason)
    }
}

/// As [`Loaded::problem_at`], for an axle and a shop that were read apart.
pub fn problem_at(axle: &LoadedAxle, shop: &LoadedShop, key: &str, reason: String) -> Problem {
    match set::target(key) {
        Some((Target::Shop, key)) => shop.places.problem(key, reason),
        Some((Target::Axle, key)) => axle.places.problem(key, reason),
        None => axle.places.problem(key, reason),
    }
}

/// Reads an axle and a shop, with the keys of `set` in place of what the files say.
///
/// # Errors
/// Everything that is wrong with both files and with `set`, sorted by place.
pub fn load(axle: &Source, shop: &Source, set: &[Override]) -> Result<Loaded, Problems> {
    let (shop_problems, loaded_shop) = match load_shop(shop, set) {
        Ok(loaded) => (Problems::default(), Some(loaded)),
        Err(problems) => (problems, None),
    };
    let loaded_axle = match &loaded_shop {
        Some(shop) => load_axle(axle, shop, set),
        // the axle is read all the same, so that everything wrong is reported at once
        None => load_axle_alone(axle, set),
    };
    match (loaded_axle, loaded_shop) {
        (Ok(axle), Some(shop)) => Ok(Loaded {
            axle: axle.axle,
            shop: shop.shop,
            shop_source: shop.source,
            axle_units: axle.units,
            shop_units: shop.units,
            assumptions: [axle.assumptions, shop.assumptions].concat(),
            warnings: [axle.warnings, shop.warnings].concat(),
            anyway: false,
            old_sides: axle.old_sides,
            axle_places: axle.places,
            shop_places: shop.places,
        }),
        (axle, _) => {
            let mut all = axle.err().unwrap_or_default();
            all.0.extend(shop_problems.0);
            Err(all.tidied())
        }
    }
}

/// Reads a shop alone; of `set`, only the shop's keys are used.
///
/// # Errors
/// Everything that is wrong with the file and with the shop's keys of `set`.
pub fn load_shop(source: &Source, set: &[Override]) -> Result<LoadedShop, Problems> {
    load::shop(source, set)
}

/// Reads an axle for an answer that needs no shop: whether one has its shims is not asked. Of
/// `set`, only the axle's keys are used.
///
/// # Errors
/// Everything that is wrong with the file and with the axle's keys of `set`.
pub fn load_axle_alone(source: &Source, set: &[Override]) -> Result<LoadedAxle, Problems> {
    let stand_in = load_shop(&Source::BuiltIn, &[])?;
    let beside = ShopFacts {
        series: None,
        ..beside(&stand_in)
    };
    load::axle(source, &beside, set)
}

/// Reads an axle for a shop; of `set`, only the axle's keys are used.
///
/// # Errors
/// Everything that is wrong with the file and with the axle's keys of `set`.
pub fn load_axle(
    source: &Source,
    shop: &LoadedShop,
    set: &[Override],
) -> Result<LoadedAxle, Problems> {
    load::axle(source, &beside(shop), set)
}

fn beside(shop: &LoadedShop) -> ShopFacts<'_> {
    ShopFacts {
        side_preload_added: shop.shop.bench.side_preload_added,
        series: Some(shop.shop.shims.iter().map(|s| s.name.as_str()).collect()),
        shop_file: shop.source.called(),
        no_shop_named: shop.source == Source::BuiltIn,
    }
}
