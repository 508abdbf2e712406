//! What `stock` and `kit` share: the shop, its lines of jobs, the series that these fit.

use std::path::{Path, PathBuf};

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::stock::{Aim, Present, Question, Shelf, shelves};

use crate::cli::ShopFiles;
use crate::files::{
    Assumption, Kind, LoadedAxle, LoadedShop, Offer, Origin, Override, Problem, Problems, ReadFile,
    Source, Target, have, job_source, load_axle, load_shop, offer, problem_at,
};
use crate::printable::Shown;
use crate::questions::check::{doubts_in, drawer_doubts};
use crate::questions::context::{Failure, failure, refuse_impossible, warn};
use crate::questions::drawer::list::printed;
use crate::questions::plausible;
use crate::sentences::listed;

/// A shop that was read, with all that its jobs need.
#[derive(Debug)]
pub(crate) struct Work {
    pub(crate) shop: LoadedShop,
    pub(crate) setups: Vec<Setup>,
    pub(crate) shelves: Vec<Shelf>,
    pub(crate) assumptions: Vec<Assumption>,
    /// The shop file and those of the axles.
    pub(crate) files: Vec<ReadFile>,
    /// Where the axle of the first job was read from.
    pub(crate) first_axle: Source,
    /// What looks wrong in the files, a sentence each.
    pub(crate) doubts: Vec<String>,
    /// Sizes that it does without, each with its series.
    pub(crate) without: Vec<String>,
}

impl Work {
    /// The lines that have a share of their own not to wait, by their place.
    fn own_fills(&self) -> Vec<(usize, f64)> {
        let fills = self.shop.shop.jobs.iter().map(|job| job.job_fill);
        let own = fills.enumerate();
        own.filter_map(|(line, fill)| Some((line, fill?))).collect()
    }

    /// The share of all jobs that the shop's drawer is to serve.
    pub(crate) fn aim(&self) -> Aim {
        Aim::Fill(self.shop.shop.drawer.job_fill)
    }

    /// What an answer is about: the drawer of the shop, or a box.
    pub(crate) fn title(&self, what: &str) -> String {
        let shop = &self.shop.shop.name;
        match &self.without[..] {
            [] => format!("{what} {shop}"),
            without => format!("{what} {shop} without {}", listed(without)),
        }
    }

    /// What the shop's drawer is to be good for, with these lines: nothing is there yet.
    pub(crate) fn question<'a>(&'a self, lines: &'a [(&'a Setup, f64)], seed: u64) -> Question<'a> {
        Question {
            lines,
            shelves: &self.shelves,
            drawer: &self.shop.shop.drawer,
            aim: self.aim(),
            own: self.own_fills(),
            have: None,
            intervals: false,
            nearness: false,
            busy: None,
            seed,
        }
    }

    /// What was counted of these series, where a count is named.
    pub(crate) fn counted(&self, path: Option<&Path>) -> Result<Option<Present>, Failure> {
        let counted = path.map(|path| have(path, &self.shelves, &self.shop.shop));
        counted.transpose().map_err(|problems| failure(&problems))
    }

    /// Each line of jobs with how many come a month.
    pub(crate) fn lines(&self) -> Vec<(&Setup, f64)> {
        let per_month = self.shop.shop.jobs.iter().map(|job| job.per_month);
        self.setups.iter().zip(per_month).collect()
    }
}

/// Reads the shop, the offer and the axles of the shop's jobs; what merely looks odd goes to
/// stderr.
pub(crate) fn read(files: &ShopFiles) -> Result<Work, Failure> {
    read_and_tell(files, &mut |warning| warn(warning))
}

/// The same, with a say in what becomes of what merely looks odd.
pub(crate) fn read_and_tell(
    files: &ShopFiles,
    tell: &mut dyn FnMut(&str),
) -> Result<Work, Failure> {
    let kept = Source::from(files.shop.clone()).keep();
    let source = kept.map_err(|problem| failure(&problem.into()))?;
    let mut shop = load_shop(&source, &files.set).map_err(|problems| failure(&problems))?;
    let jobs = shop.shop.jobs.clone();
    if jobs.is_empty() {
        let reason =
            "there are no kinds of job ([[jobs]]), so nothing is wanted of a drawer".to_owned();
        let mut problem = shop.problem_at("jobs", reason);
        problem.help = Some(
            "add a group [[jobs]] for each kind of job: axle = \"…\", per_month = …".to_owned(),
        );
        return Err(failure(&problem.into()));
    }
    let mut axles_named: Vec<&str> = jobs.iter().map(|job| job.axle.as_str()).collect();
    axles_named.sort_unstable();
    axles_named.dedup();
    refuse_axle_keys(&files.set, axles_named.len())?;
    let mut offered = match &files.sizes_from {
        Some(path) => offer(path, &shop.shop).map_err(|problems| failure(&problems))?,
        None => Offer::default(),
    };
    for (series, size) in &files.without {
        let left_out = offered.leave_out(&shop.shop, series, *size);
        left_out.map_err(|why| Failure::BadInput(format!("--without {series}={size}: {why}")))?;
    }
    offered.put_into(&mut shop.shop);
    let axles = axles_of(&shop, files)?;
    let mut warnings: Vec<String> = Vec::new();
    let of_axles = axles.iter().flat_map(|axle| &axle.warnings);
    for warning in shop.warnings.iter().chain(of_axles) {
        let warning = warning.to_string();
        if !warnings.contains(&warning) {
            tell(&warning);
            warnings.push(warning);
        }
    }
    let without = (files.without.iter())
        .map(|(name, size)| {
            let unit = shop.shop.series(name).map_or(1.0, |series| series.unit);
            let in_words = if unit == 1.0 { "mm" } else { "in" };
            format!("{name} {} {in_words}", printed(size * unit, unit))
        })
        .collect();
    let (setups, doubts) = set_up_all(&shop, &axles, files.anyway)?;
    let of_lines: Vec<&Setup> = setups.iter().collect();
    let prices = |name: &str| offered.prices.get(name).cloned();
    let mut shelves = shelves(&shop.shop, &of_lines, &prices).map_err(|name| {
        let reason = "its sizes make too many packs".to_owned();
        failure(
            &shop
                .problem_at(&format!("shims.{name}.sizes"), reason)
                .into(),
        )
    })?;
    for shelf in &mut shelves {
        let supply = shop.supplies.iter().find(|of| of.series == shelf.name);
        shelf.least_order = supply.map_or(1, |supply| supply.least_order);
    }
    Ok(Work {
        assumptions: assumptions(&shop, &axles),
        files: read_for(&shop, &axles),
        first_axle: axles
            .first()
            .map_or(Source::BuiltIn, |axle| axle.source.clone()),
        doubts,
        shop,
        setups,
        shelves,
        without,
    })
}

/// The axle of each of the shop's jobs.
fn axles_of(shop: &LoadedShop, files: &ShopFiles) -> Result<Vec<LoadedAxle>, Failure> {
    let mut axles = Vec::new();
    let mut problems = Problems::default();
    for (i, job) in shop.shop.jobs.iter().enumerate() {
        let axle = job_source(&shop.source, job).keep().map_err(Problems::from);
        match axle.and_then(|axle| load_axle(&axle, shop, &files.set)) {
            Ok(axle) => axles.push(axle),
            Err(found) => {
                let key = format!("jobs.{}.axle", i + 1);
                let told = found.0.into_iter();
                let told = told.map(|problem| named_by(shop, &key, problem));
                problems.0.extend(told);
            }
        }
    }
    none_or(problems)?;
    Ok(axles)
}

/// Each job set up, and what looks wrong.
fn set_up_all(
    shop: &LoadedShop,
    axles: &[LoadedAxle],
    anyway: bool,
) -> Result<(Vec<Setup>, Vec<String>), Failure> {
    let mut setups = Vec::new();
    let mut problems = Problems::default();
    // the shop's own doubts are no axle's
    let of_shop = plausible::of_shop(&shop.shop, shop.units);
    let mut doubts = of_shop.clone();
    for (job, axle) in shop.shop.jobs.iter().zip(axles) {
        let possible = refuse_impossible(&axle.axle, axle.units, |key, reason| {
            axle.problem_at(key, reason)
        });
        if let (Err(found), false) = (possible, anyway) {
            problems.0.extend(found.0);
            continue;
        }
        let setup = Setup::new(
            axle.axle.clone(),
            shop.shop.clone(),
            job.gears,
            job.bearings,
        );
        match setup {
            Ok(setup) => {
                let of_axle = doubts_in(&setup, axle.units, shop.units).into_iter();
                let of_axle = of_axle.chain(drawer_doubts(&setup, shop.units));
                for doubt in of_axle.filter(|doubt| !of_shop.contains(doubt)) {
                    let doubt = format!("{}: {doubt}", axle.axle.name);
                    if !doubts.contains(&doubt) {
                        doubts.push(doubt);
                    }
                }
                setups.push(setup);
            }
            Err(flaws) => problems.0.extend(
                flaws
                    .into_iter()
                    .map(|flaw| problem_at(axle, shop, &flaw.key, flaw.reason)),
            ),
        }
    }
    none_or(problems)?;
    Ok((setups, doubts))
}

/// A failure where there are problems, each told once.
fn none_or(mut problems: Problems) -> Result<(), Failure> {
    problems.0.dedup();
    match problems.0.is_empty() {
        true => Ok(()),
        false => Err(failure(&problems)),
    }
}

/// A file that can't be read is told at the line of the shop file that names it.
fn named_by(shop: &LoadedShop, key: &str, problem: Problem) -> Problem {
    match (&problem.kind, &problem.origin) {
        (Kind::CannotRead, Origin::File(path)) => {
            let reason = format!("{}: {}", path.shown(), problem.reason);
            Problem {
                kind: problem.kind,
                help: problem
                    .help
                    .or_else(|| Some("an axle file is looked for beside the shop file".to_owned())),
                ..shop.problem_at(key, reason)
            }
        }
        _ => problem,
    }
}

/// Keys of an axle file mean something only where there is one axle.
fn refuse_axle_keys(set: &[Override], axles: usize) -> Result<(), Failure> {
    let of_axle = set.iter().find(|o| o.target() == Target::Axle);
    match of_axle {
        Some(key) if axles > 1 => Err(Failure::BadInput(format!(
            "--set {}={}: the shop's jobs name {axles} axles, and this is a key of an axle file\n  \
             help: change it in the file of the axle that is meant",
            key.key(),
            key.value()
        ))),
        _ => Ok(()),
    }
}

/// The shop file and those of the axles, each once.
fn read_for(shop: &LoadedShop, axles: &[LoadedAxle]) -> Vec<ReadFile> {
    let mut all = shop.source.files(Target::Shop);
    for axle in axles {
        for file in axle.source.files(Target::Axle) {
            if !all.contains(&file) {
                all.push(file);
            }
        }
    }
    all
}

/// The shop's defaults, then each axle's behind its name.
fn assumptions(shop: &LoadedShop, axles: &[LoadedAxle]) -> Vec<Assumption> {
    let mut all = shop.assumptions.clone();
    for axle in axles {
        for assumption in &axle.assumptions {
            let text = format!("{}: {}", axle.axle.name, assumption.text);
            if !all.iter().any(|other| other.text == text) {
                all.push(Assumption {
                    text,
                    ..assumption.clone()
                });
            }
        }
    }
    all
}

/// The lists that were given, each with what it is, as they were read.
pub(crate) fn lists(given: [(&Option<PathBuf>, &'static str); 2]) -> Vec<ReadFile> {
    let read = |(path, what): (&Option<PathBuf>, _)| ReadFile::on_disk(what, path.as_deref()?);
    given.into_iter().filter_map(read).collect()
}
