//! The shop's own jobs: whether they look like those that are simulated for it.

mod adopted;
mod figures;
mod jobs;
mod json;
mod named;
mod taught;
mod tell;
mod words;
mod write;

use serde_json::Value;
use shimcast_sim::axle::Condition;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::learn::{
    Agreement, Drift, FinishedJob, Lesson, Question, Taught, agreement, drift, lessons,
};

use self::adopted::Moves;
use self::jobs::Jobs;
use self::write::NewFiles;
use super::check::doubts;
use super::context::{Failure, on_so_many_threads, read_sources, set_up_as, sources, warn};
use super::{Answer, Exit, Form, Reply, made};
use crate::cli::{self, Files};
use crate::document::{Document, Made};
use crate::faces::html;
use crate::files::Loaded;
use crate::questions::context::failure;
use crate::written::OutputFile;

/// The level of the test of agreement: the chance that a shop whose jobs are as simulated is told that some
/// figure is not.
pub(super) const LEVEL: f64 = 0.05;

/// The answer.
#[derive(Debug)]
struct Learned {
    made: Made,
    loaded: Loaded,
    /// The kind of job that most of them are: gears and bearings new or kept.
    setup: Setup,
    jobs: Jobs,
    agreement: Agreement,
    /// How many jobs each figure of the files is worth.
    trust: f64,
    /// Every figure that the jobs say something of.
    lessons: Vec<Lesson>,
    /// What each of those that change moves, and all of them together, the last.
    moves: Vec<Moves>,
    /// What shows in the order of their days.
    drift: Vec<Drift>,
    seed: u64,
}

/// `shimcast learn`.
pub fn ask(args: &cli::Learn) -> Result<Reply, Failure> {
    let claim = |path| OutputFile::claim(path, args.force).map_err(Failure::CannotAccess);
    let page = args.output.as_deref().map(claim).transpose()?;
    let files = Files {
        axle: Some(args.axle.clone()),
        shop: args.shop.clone(),
        set: args.set.clone(),
        anyway: args.anyway,
    };
    let sources = sources(&files)?;
    let loaded = read_sources(&sources, &files)?;
    let new_files = (args.write.as_deref())
        .map(|into| NewFiles::claim(into, &sources))
        .transpose()?;
    let jobs = jobs::read(&args.jobs, &args.axle, &loaded)?;
    for (file, job) in &jobs.read {
        for warning in &job.warnings {
            warn(format!("{file}: {}", warning.reason));
        }
    }
    let (kinds, of_jobs) = by_kind(&loaded, &jobs)?;
    let question = Question {
        kinds: &kinds,
        jobs: &of_jobs,
        seed: args.seed,
    };
    let most =
        (0..kinds.len()).max_by_key(|kind| of_jobs.iter().filter(|(of, _)| of == kind).count());
    let setup = kinds[most.unwrap_or(0)].clone();
    let taught = Taught {
        kinds: &kinds,
        jobs: &of_jobs,
        trust: args.trust,
        seed: args.seed,
    };
    let in_order = jobs.in_order(&of_jobs);
    let learned = on_so_many_threads(args.threads, |watch| {
        let agreement = agreement(&question);
        let drift = drift(&kinds, &in_order, args.seed);
        let lessons = lessons(&taught);
        let changed: Vec<&Lesson> = lessons.iter().filter(|lesson| lesson.changes()).collect();
        let moves = match changed.is_empty() {
            true => Vec::new(),
            false => adopted::moves(&changed, &setup, &files, args.seed, watch)?,
        };
        Some((agreement, drift, lessons, moves))
    })?;
    let Some((agreement, drift, lessons, moves)) = learned else {
        let said = "broken off before it was known what the jobs teach";
        return Err(Failure::BrokenOff(said.into()));
    };
    let doubts = doubts(&setup, &loaded);
    let made = Made {
        rebuilds: Some(agreement.rebuilds),
        ..made::of_job(&setup, &sources, &files, args.seed, &args.dated)
    };
    let learned = Learned {
        made,
        loaded,
        setup,
        jobs,
        agreement,
        trust: args.trust,
        lessons,
        moves,
        drift,
        seed: args.seed,
    };
    let page = page.map(|place| {
        let document = Document {
            doubts: doubts.clone(),
            ..learned.on_a_page()
        };
        (place, html::page(&document))
    });
    let form = Form::json_or_text(args.json);
    let jobs = learned.jobs.read.len();
    let (setup, loaded) = (learned.setup.clone(), learned.loaded.clone());
    let changed: Vec<Lesson> = learned
        .changed()
        .map(|(lesson, _)| lesson.clone())
        .collect();
    let reply = Reply::new(learned, form)
        .with_doubts(doubts)
        .with_files(page);
    Ok(match new_files {
        Some(files) => {
            let changed: Vec<&Lesson> = changed.iter().collect();
            files.of(reply, &changed, (&setup, &loaded), jobs)
        }
        None => reply,
    })
}

/// Kinds of job, and jobs with the number of their kind.
type Kinds = (Vec<Setup>, Vec<(usize, FinishedJob)>);

/// A kind of job for each that the shop has, and its jobs with the number of their kind. Without any jobs
/// one kind, of new gears and bearings.
fn by_kind(loaded: &Loaded, jobs: &Jobs) -> Result<Kinds, Failure> {
    let set_up = |(gears, bearings): (Condition, Condition)| {
        set_up_as(loaded, gears, bearings).map_err(|all| failure(&all))
    };
    let mut kinds: Vec<(Condition, Condition)> = Vec::new();
    let mut all = Vec::new();
    for (_, job) in &jobs.read {
        let own = (job.gears, job.bearings);
        let kind = kinds
            .iter()
            .position(|kind| *kind == own)
            .unwrap_or_else(|| {
                kinds.push(own);
                kinds.len() - 1
            });
        all.push((kind, Jobs::finished(job)));
    }
    if kinds.is_empty() {
        kinds.push((Condition::New, Condition::New));
    }
    let setups: Result<Vec<Setup>, Failure> = kinds.into_iter().map(set_up).collect();
    Ok((setups?, all))
}

impl Learned {
    /// The figures that change, each with what it moves.
    fn changed(&self) -> impl Iterator<Item = (&Lesson, &Moves)> {
        let changed = self.lessons.iter().filter(|lesson| lesson.changes());
        changed.zip(&self.moves)
    }

    /// The answer with a picture of each figure.
    fn on_a_page(&self) -> Document {
        let mut document = tell::tell(self);
        document.made = Some(self.made.clone());
        document.sections.push(figures::section(self));
        document
    }
}

impl Answer for Learned {
    fn tell(&self) -> Document {
        tell::tell(self)
    }

    fn json(&self) -> Value {
        json::json(self)
    }

    fn exit(&self) -> Exit {
        Exit::Done
    }
}
