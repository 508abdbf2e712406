//! One axle on the bench: what its readings say of it, and what to fit next.

mod belief;
mod drawer;
mod json;
mod moves;
mod odd;
mod own;
mod preload;
mod tell;
mod words;

use serde_json::Value;
use shimcast_sim::bench::PackPlace;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::next::{Move, Next, Question, next};

use self::drawer::Drawer;
use super::check::doubts;
use super::context::{Failure, failure, on_so_many_threads, set_up_as, warn};
use super::{Answer, Exit, Form, Reply};
use crate::asking::terminal::Terminal;
use crate::asking::{self, Asked};
use crate::cli;
use crate::document::Document;
use crate::files::{Assumption, LoadedJob, Problem, Problems, Source, load_job};
use crate::printed::Printed;

/// What is asked of a job, and the answer.
#[derive(Debug)]
struct OnTheBench {
    job: LoadedJob,
    setup: Setup,
    /// Name of the job file, without folders.
    file: String,
    seed: u64,
    answer: Next,
    /// What was counted, and the best move were everything at hand.
    drawer: Option<(Drawer, Option<Move>)>,
    assumptions: Vec<Assumption>,
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
    let drawer = match &args.have {
        Some(path) => Some(Drawer::read(path, &setup, &job.bench)?),
        None => None,
    };
    let question = Question {
        own_moves: &own,
        ..Question::of(&setup, &job.bench, args.seed)
    };
    let question = match &job.loaded.old_sides {
        Some(old_side_closure) => Question {
            old_side_closure: old_side_closure.clone(),
            ..question
        },
        None => question,
    };
    let (answer, best) = work_out(&question, drawer.as_ref(), args.threads, &job)?;
    let doubts = doubts(&setup, &job.loaded);
    let mut assumptions = [job.assumptions.clone(), job.loaded.assumptions.clone()].concat();
    if job.loaded.old_sides.is_none() {
        assumptions.push(job.loaded.old_sides_assumed());
    }
    let name = args.job.file_name().unwrap_or(args.job.as_os_str());
    let mut answer = OnTheBench {
        file: name.to_string_lossy().into_owned(),
        seed: args.seed,
        drawer: drawer.map(|drawer| (drawer, best)),
        job,
        setup,
        answer,
        assumptions,
    };
    let (remarks, assumed) = odd::remarks(&answer);
    answer.assumptions.extend(assumed);
    let doubts = [remarks, doubts].concat();
    Ok(Some(
        Reply::new(answer, Form::json_or_text(args.json)).with_doubts(doubts),
    ))
}

/// The answer with what is in the drawer, and the best move were everything there.
fn work_out(
    question: &Question<'_>,
    drawer: Option<&Drawer>,
    threads: Option<usize>,
    job: &LoadedJob,
) -> Result<(Next, Option<Move>), Failure> {
    let refused = |flaws: Vec<shimcast_sim::bench::setup::Flaw>| {
        let place = |flaw: shimcast_sim::bench::setup::Flaw| job.flaw_at(&flaw.key, flaw.reason);
        let problems: Vec<Problem> = flaws.into_iter().map(place).collect();
        failure(&Problems(problems))
    };
    on_so_many_threads(threads, |_| {
        let all = next(question)?;
        let Some(drawer) = drawer else {
            return Ok((all, None));
        };
        let can_build = |place: PackPlace, pack: usize| drawer.builds(place, pack);
        let counted = Question {
            can_build: Some(&can_build),
            ..question.clone()
        };
        let best = all.moves.into_iter().find(|one| !one.own);
        Ok((next(&counted)?, best))
    })?
    .map_err(refused)
}

impl OnTheBench {
    fn print(&self) -> Printed {
        self.job.loaded.printed()
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
