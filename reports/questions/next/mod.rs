//! One axle on the bench: what its readings say of it, and what to fit next.

mod belief;
mod done;
mod drawer;
mod json;
mod moves;
mod odd;
mod own;
mod picture;
mod preload;
mod tell;
mod what_if;
mod words;

use std::path::Path;

use serde_json::Value;
use shimcast_sim::bench::PackPlace;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::next::{Move, Next, Question, next};

use self::drawer::Drawer;
use self::what_if::WhatIf;
use super::check::doubts;
use super::context::{Failure, failure, on_so_many_threads, set_up_as, warn};
use super::{Answer, Exit, Form, Reply};
use crate::asking::terminal::Terminal;
use crate::asking::{self, Asked};
use crate::cli;
use crate::document::{Controls, Document, Figure, Section};
use crate::files::{
    Assumption, Done, LoadedJob, Override, Problem, Problems, Source, load_job, load_kept_job,
};
use crate::printable::Shown;
use crate::printed::Printed;
use crate::progress::goes_on;

/// One axle on the bench: what is asked of its job file, and the answer.
#[derive(Debug)]
pub struct OnTheBench {
    job: LoadedJob,
    setup: Setup,
    /// Name of the job file, without folders.
    file: String,
    seed: u64,
    answer: Next,
    /// What was counted, and the best move were everything at hand.
    drawer: Option<(Drawer, Option<Move>)>,
    /// Packs that somebody thinks of fitting.
    what_if: WhatIf,
    assumptions: Vec<Assumption>,
    /// What looks wrong, a sentence each.
    doubts: Vec<String>,
}

/// Packs to fit next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToFit {
    /// Pinion, ring side, far side as printed, mm; with screw adjusters the sides' travel.
    pub packs: [f64; 3],
    /// Whether the assembly stands on set-up bearings.
    pub setup_bearings: bool,
}

/// What to do where nobody can be asked.
const WITHOUT_A_TERMINAL: &str = "write the job file with an editor; `shimcast new` writes an example, \
                                  rowan-bench.job.toml, with a comment at each key";

/// `shimcast next`; `None` where the questions are to be taken up again.
pub fn ask(args: &cli::Next, colour: bool) -> Result<Option<Reply>, Failure> {
    let shop = Source::from(args.shop.clone()).keep();
    let shop = shop.map_err(|problem| failure(&problem.into()))?;
    if args.ask {
        let mut terminal = Terminal::open(colour, WITHOUT_A_TERMINAL)?;
        if asking::job(&args.job, &shop, &args.set, &mut terminal)? == Asked::Later {
            return Ok(None);
        }
    }
    let mut job = load_job(&args.job, &shop, &args.set).map_err(|all| failure(&all))?;
    job.loaded.anyway = args.anyway;
    for warning in job.loaded.warnings.iter().chain(&job.warnings) {
        warn(warning);
    }
    let setup = set_up_as(&job.loaded, job.gears, job.bearings).map_err(|all| failure(&all))?;
    let own = own::moves(&args.moves, &job, &setup).map_err(Failure::BadInput)?;
    let prepared = Prepared {
        drawer: drawer_of(args.have.as_deref(), &setup, &job)?,
        own,
        what_if: WhatIf::default(),
        seed: args.seed,
        file: name_of(&args.job),
        job,
        setup,
    };
    let answer = on_so_many_threads(args.threads, |_| prepared.answered())??;
    let doubts = answer.doubts.clone();
    Ok(Some(
        Reply::new(answer, Form::json_or_text(args.json)).with_doubts(doubts),
    ))
}

/// What is asked of a job file by somebody who is not at a terminal.
#[derive(Debug, Clone, Copy)]
pub struct OfJob<'a> {
    /// The job file.
    pub job: &'a Source,
    /// The shop.
    pub shop: &'a Source,
    /// Keys of the axle and the shop that take other values.
    pub set: &'a [Override],
    /// Whether figures that no axle has are taken, too.
    pub anyway: bool,
    /// The drawer as it was counted.
    pub have: Option<&'a Path>,
    /// What was set in the fields of [`OnTheBench::stops`]: names, and what was typed.
    pub what_if: &'a [(String, String)],
    /// The seed.
    pub seed: u64,
}

/// What next for the axle of a job file, on the threads of whoever asks. Nothing is printed: what looks
/// odd is in the document.
///
/// # Errors
/// Where a file can't be read or used, or no belief can be formed. Packs that can't be built are told at
/// their fields instead.
pub fn on_the_bench(of: &OfJob<'_>) -> Result<OnTheBench, Failure> {
    let mut job = load_kept_job(of.job, of.shop, of.set).map_err(|all| failure(&all))?;
    job.loaded.anyway = of.anyway;
    let setup = set_up_as(&job.loaded, job.gears, job.bearings).map_err(|all| failure(&all))?;
    let what_if = WhatIf::read(of.what_if, &job, &setup);
    let path = match of.job {
        Source::File(path) | Source::Kept(path, _) => path.as_path(),
        Source::BuiltIn | Source::Example(_) => Path::new(""),
    };
    let prepared = Prepared {
        drawer: drawer_of(of.have, &setup, &job)?,
        own: what_if.packs.into_iter().collect(),
        what_if,
        seed: of.seed,
        file: name_of(path),
        job,
        setup,
    };
    let mut answer = prepared.answered()?;
    let warnings = answer
        .job
        .loaded
        .warnings
        .iter()
        .chain(&answer.job.warnings);
    let warnings: Vec<String> = warnings.map(Problem::in_a_sentence).collect();
    answer.doubts = [warnings, answer.doubts].concat();
    Ok(answer)
}

fn name_of(path: &Path) -> String {
    let name = path.file_name().unwrap_or(path.as_os_str());
    name.shown()
}

fn drawer_of(
    have: Option<&Path>,
    setup: &Setup,
    job: &LoadedJob,
) -> Result<Option<Drawer>, Failure> {
    have.map(|path| Drawer::read(path, setup, &job.bench))
        .transpose()
}

/// Everything that was read for a question.
struct Prepared {
    job: LoadedJob,
    setup: Setup,
    drawer: Option<Drawer>,
    /// Packs to judge beside the others, mm.
    own: Vec<[f64; 3]>,
    what_if: WhatIf,
    seed: u64,
    file: String,
}

impl Prepared {
    fn answered(self) -> Result<OnTheBench, Failure> {
        let Self {
            job,
            setup,
            drawer,
            own,
            what_if,
            seed,
            file,
        } = self;
        let question = Question {
            own_moves: &own,
            goes_on: &goes_on,
            ..Question::of(&setup, &job.bench, seed)
        };
        let question = match &job.loaded.old_sides {
            Some(old_side_closure) => Question {
                old_side_closure: old_side_closure.clone(),
                ..question
            },
            None => question,
        };
        let (answer, best) = work_out(&question, drawer.as_ref(), &job)?;
        let doubts = doubts(&setup, &job.loaded);
        let mut assumptions = [job.assumptions.clone(), job.loaded.assumptions.clone()].concat();
        if job.loaded.old_sides.is_none() {
            assumptions.push(job.loaded.old_sides_assumed());
        }
        let mut answer = OnTheBench {
            file,
            seed,
            drawer: drawer.map(|drawer| (drawer, best)),
            what_if,
            job,
            setup,
            answer,
            assumptions,
            doubts: Vec::new(),
        };
        let (remarks, assumed) = odd::remarks(&answer);
        answer.assumptions.extend(assumed);
        answer.doubts = [remarks, doubts].concat();
        Ok(answer)
    }
}

/// The answer with what is in the drawer, and the best move were everything there.
fn work_out(
    question: &Question<'_>,
    drawer: Option<&Drawer>,
    job: &LoadedJob,
) -> Result<(Next, Option<Move>), Failure> {
    let refused = |flaws: Vec<shimcast_sim::bench::setup::Flaw>| {
        if flaws.is_empty() {
            return Failure::BrokenOff("broken off before there was an answer".into());
        }
        let place = |flaw: shimcast_sim::bench::setup::Flaw| job.flaw_at(&flaw.key, flaw.reason);
        let problems: Vec<Problem> = flaws.into_iter().map(place).collect();
        failure(&Problems(problems))
    };
    let all = next(question).map_err(refused)?;
    let Some(drawer) = drawer else {
        return Ok((all, None));
    };
    let can_build = |place: PackPlace, pack: usize| drawer.builds(place, pack);
    let counted = Question {
        can_build: Some(&can_build),
        ..question.clone()
    };
    let best = all.moves.into_iter().find(|one| !one.own);
    Ok((next(&counted).map_err(refused)?, best))
}

impl OnTheBench {
    fn print(&self) -> Printed {
        self.job.loaded.printed()
    }

    /// All of the answer as `next` tells it, with what looks odd in the files.
    pub fn document(&self) -> Document {
        Document {
            doubts: self.doubts.clone(),
            ..tell::tell(self)
        }
    }

    /// Where this axle stands and stood, and where packs would put it: those of [`OfJob::what_if`], or
    /// those of the best move. `None` where nothing is known of where it stands.
    pub fn picture(&self) -> Option<Figure> {
        picture::picture(self)
    }

    /// Fields to set packs in: the sums that can be built near those that are fitted.
    pub fn stops(&self) -> Controls {
        what_if::stops(self)
    }

    /// What comes of the packs of [`OfJob::what_if`], beside the best move; `None` where there are none.
    pub fn what_if(&self) -> Option<Section> {
        what_if::told(self)
    }

    /// The packs of the best move, to begin the next assembly with; `None` where there is none to begin.
    pub fn fit(&self) -> Option<ToFit> {
        let best = self.best().filter(|_| !self.cannot_be_told())?;
        // what is accepted on set-up bearings is bolted up once more on real ones
        let goes_on = !best.accept || self.on_trial();
        let setup_bearings = match self.last() {
            Some(last) => last.on_setup_bearings && !best.accept,
            None => self.setup.on_setup_bearings(),
        };
        goes_on.then_some(ToFit {
            packs: [best.pinion, best.ring, best.far],
            setup_bearings,
        })
    }

    /// The shims of the packs that stand in the axle: series, size in mm, and how many.
    ///
    /// # Errors
    /// In words, where there are none, or what a pack is built of is not known.
    pub fn shims_fitted(&self) -> Result<Vec<(String, f64, u32)>, String> {
        drawer::shims_fitted(&self.setup, &self.job.bench)
    }

    /// How the job ended, where that is stated.
    pub fn done(&self) -> Option<&Done> {
        self.job.done.as_ref()
    }

    /// Whether all packs of a move can be built together, where the drawer is counted.
    fn can_be_built(&self, one: &Move) -> bool {
        self.drawer.is_none() || self.shims(one).is_ok()
    }

    /// The move to make: the best one that can be built.
    fn best(&self) -> Option<&Move> {
        self.answer.moves.iter().find(|one| self.can_be_built(one))
    }
}

impl Answer for OnTheBench {
    fn tell(&self) -> Document {
        tell::tell(self)
    }

    fn json(&self) -> Value {
        json::json(self)
    }

    fn exit(&self) -> Exit {
        Exit::met_or(self.best().is_some())
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicUsize, Ordering};

    use shimcast_sim::next::BenchJob;

    use super::*;
    use crate::progress::Listener;

    #[test]
    fn what_nobody_waits_for_ends_at_its_next_step() {
        let setup = shimcast_sim::demo::setup();
        let job = BenchJob::default();
        let asked = AtomicUsize::new(0);
        let mut steps = 0;
        // left after one step, after two …
        loop {
            asked.store(0, Ordering::Relaxed);
            let goes_on = || asked.fetch_add(1, Ordering::Relaxed) < steps;
            let question = Question {
                goes_on: &goes_on,
                ..Question::of(&setup, &job, 1)
            };
            match next(&question) {
                Ok(_) => break,
                Err(flaws) => assert!(flaws.is_empty()),
            }
            assert_eq!(asked.load(Ordering::Relaxed), steps + 1);
            steps += 1;
        }
        assert!(steps > 8, "only {steps} steps");
        let gone = Listener::default();
        gone.leave();
        let example = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/rowan-bench.job.toml");
        let asked = OfJob {
            job: &Source::File(example.into()),
            shop: &Source::BuiltIn,
            set: &[],
            anyway: false,
            have: None,
            what_if: &[],
            seed: 1,
        };
        let left = gone.answer(|| on_so_many_threads(None, |_| on_the_bench(&asked)));
        let left = left.expect("threads").err();
        assert!(matches!(left, Some(Failure::BrokenOff(_))), "{left:?}");
    }
}
