//! The page, its figures and tables, and the job sheet.

mod customer;
mod places;
pub mod reported;
mod sheet;
mod tell;

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::causes::{Causes, causes};
use shimcast_sim::chance::run::Until;
use shimcast_sim::compare::{Comparison, compare_with};
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::follow::{SearchResult, find};
use shimcast_sim::odds::odds;
use shimcast_sim::pictures::{Whole, whole};
use shimcast_sim::quote::quote;
use shimcast_sim::stock::{Question, Stock, stock};

pub use self::tell::{FIGURES, TABLES};

use self::customer::Offered;
use self::places::Places;
use self::reported::{Reported, grain};
use self::sheet::{Bench, sheet};
use super::Exit;
use super::assumed::{self, Headline, moved_most};
use super::check::doubts;
use super::context::{
    Failure, on_threads, read_sources, set_up, set_up_as, sources, warn, warn_of,
};
use crate::cli::{Audience, Dated, Job, PriceTerms, Range, Report};
use crate::document::{Document, Form, Made};
use crate::faces;
use crate::files::{Loaded, LoadedJob, Problems, Source};
use crate::progress::Watch;
use crate::questions::context::print;
use crate::questions::drawer::{ShimCosts, ShimsFrom, Work, work_beside, work_to_charge};
use crate::questions::follow;
use crate::questions::jobs::jobs_a_year;
use crate::questions::made;
use crate::questions::odds::figures::Pictured;
use crate::questions::quote::luck::Luck;
use crate::questions::quote::{Choice, terms};
use crate::questions::rebuilds::Rebuilds;
use crate::questions::stock::Planned;
use crate::questions::sweep::Grid;

/// Rebuilds behind the causes and the sweep, which do each again and again: enough for a page, and
/// not what it takes longest to wait for.
const EXPLAINED: u64 = 16_384;

pub(crate) fn run(args: &Report) -> Result<Exit, Failure> {
    let decimal = args.decimal.of_csv(args.csv.is_some(), "--csv DIR");
    let decimal = decimal.map_err(Failure::BadInput)?;
    let ranges = args.ranges().map_err(Failure::BadInput)?;
    let read = Read::of(args)?;
    warn_of(&read.doubts);
    if args.sheet {
        return write_sheet(args, &read);
    }
    if args.audience == Audience::Customer {
        return write_customer(args, &read.sources, &read.loaded, read.setup);
    }
    let grid = read.grid(args, ranges)?;
    let places = Places::claim(args)?;
    let work = read.work(args);
    let runs = read.simulate(args, &grid, work.as_ref())?;
    let unplanned = work.is_some() && runs.planned.is_none();
    let (written, partial, searched) =
        read.reported(args, &grid, work.as_ref(), runs, |asked, searched| {
            let of_rebuilds = Made {
                rebuilds: args.sampled.sample,
                ..asked.made.clone()
            };
            let rebuilds = args.sampled.sample.map(|number| Rebuilds {
                setup: asked.setup(),
                units: read.loaded.axle_units,
                seed: asked.seed,
                number,
                made: &of_rebuilds,
                decimal,
            });
            let written = places.write(asked, args.audience, rebuilds, decimal);
            (written, asked.partial(), searched)
        });
    print(&written?)?;
    Ok(if partial || unplanned {
        Exit::Interrupted
    } else {
        searched
    })
}

/// The page as HTML, for whoever does not want it written.
///
/// # Errors
/// Where the files can't be read, or there is no such job.
pub fn page(args: &Report) -> Result<String, Failure> {
    let ranges = args.ranges().map_err(Failure::BadInput)?;
    let read = Read::of(args)?;
    let grid = read.grid(args, ranges)?;
    let work = read.work(args);
    let runs = read.simulate(args, &grid, work.as_ref())?;
    Ok(read.reported(args, &grid, work.as_ref(), runs, |asked, _| {
        faces::html::page(&tell::tell(asked, args.audience))
    }))
}

/// What a page is made from.
struct Read {
    sources: [Source; 2],
    loaded: Loaded,
    setup: Setup,
    /// What looks wrong in the files.
    doubts: Vec<String>,
}

impl Read {
    fn of(args: &Report) -> Result<Self, Failure> {
        let sources = sources(&args.job.files)?;
        let loaded = read_sources(&sources, &args.job.files)?;
        let setup = set_up(&loaded, &args.job.renewed)?;
        let doubts = doubts(&setup, &loaded);
        Ok(Self {
            sources,
            loaded,
            setup,
            doubts,
        })
    }

    fn grid(&self, args: &Report, ranges: Vec<Range>) -> Result<Grid, Failure> {
        let Job { files, renewed, .. } = &args.job;
        Grid::lay(&self.sources, files, renewed, &self.loaded, ranges)
    }

    /// All jobs of the shop, where its drawer is planned.
    fn work(&self, args: &Report) -> Option<Work> {
        match args.no_stock {
            true => None,
            false => drawer_of(args),
        }
    }

    fn simulate(&self, args: &Report, grid: &Grid, work: Option<&Work>) -> Result<Runs, Failure> {
        let seed = args.job.effort.seed;
        let shim_costs = ShimCosts::of(work, &self.loaded, args.no_stock);
        let lines = work.map(Work::lines).unwrap_or_default();
        let question = work.map(|work| work.question(&lines, seed));
        let job = assumed::Files {
            sources: &self.sources,
            set: &args.job.files.set,
            loaded: &self.loaded,
        };
        on_threads(&args.job.effort, |watch| {
            let drawer = (question.as_ref(), shim_costs);
            let mut runs = Runs::of(args, &self.setup, &self.loaded, grid, drawer, watch);
            if !runs.whole.odds.partial {
                runs.moved_most = moved_most(Headline::Right, job, &self.setup, seed);
            }
            runs
        })
    }

    /// All that a page shows, for whoever makes something of it, with how a search for a rebuild ended.
    fn reported<T>(
        &self,
        args: &Report,
        grid: &Grid,
        work: Option<&Work>,
        runs: Runs,
        make: impl FnOnce(&Reported<'_>, Exit) -> T,
    ) -> T {
        let (seed, setup) = (args.job.effort.seed, &self.setup);
        let (number, found, searched) = rebuild_to_follow(args, runs.found);
        let story = shimcast_sim::follow::follow(setup, seed, number);
        let Whole {
            odds,
            quote,
            pictures,
            ..
        } = runs.whole;
        let choice = Choice {
            terms: terms(&args.terms, setup),
            setup: setup.clone(),
            quote,
            shims: runs.shims,
        };
        let renewed = (setup.gears, setup.bearings);
        let jobs = jobs_a_year(&self.loaded.shop, &args.job.files, renewed);
        let luck = Luck::of(&choice, args.terms.risk / 100.0, jobs);
        let drawer = work.zip(runs.planned.as_ref());
        let mut made = Made {
            rebuilds: Some(odds.rebuilds),
            ..made::of_job(setup, &self.sources, &args.job.files, seed, &args.dated)
        };
        if let Some((work, _)) = drawer {
            made::with_drawer(&mut made, work);
        }
        let asked = Reported {
            job: Pictured {
                setup,
                odds: &odds,
                pictures: &pictures,
                print: self.loaded.printed(),
            },
            choice: &choice,
            luck: &luck,
            risk: args.terms.risk / 100.0,
            seed,
            assumptions: &self.loaded.assumptions,
            moved_most: runs.moved_most.as_deref(),
            held_as_the_book: runs.held_as_the_book,
            causes: (runs.causes.rebuilds > 0).then_some(&runs.causes),
            sweep: (runs.comparison.rebuilds > 0).then(|| grid.swept(&runs.comparison, seed)),
            sweep_asked_for: !args.sweep.is_empty(),
            doubts: &self.doubts,
            made: &made,
            story: &story,
            found,
            drawer: drawer.map(|(work, stock)| Planned {
                work,
                aim: work.aim(),
                have: None,
                stock,
            }),
        };
        make(&asked, searched)
    }
}

/// The job sheet alone: nothing is simulated.
fn write_sheet(args: &Report, read: &Read) -> Result<Exit, Failure> {
    let mut list = String::new();
    Places::claim(args)?.page(&blank_sheet(read), "the job sheet", &mut list)?;
    print(&list)?;
    Ok(Exit::Done)
}

/// The job sheet as HTML.
///
/// # Errors
/// Where the files can't be read, or there is no such job.
pub fn empty_sheet(args: &Report) -> Result<String, Failure> {
    Read::of(args).map(|read| blank_sheet(&read))
}

fn blank_sheet(read: &Read) -> String {
    faces::form::page(&sheet(Bench {
        setup: &read.setup,
        print: read.loaded.printed(),
        doubts: &read.doubts,
        assumptions: &read.loaded.assumptions,
        job: None,
    }))
}

/// The job sheet with everything that a job file states written into its boxes.
///
/// # Errors
/// Everything because of which there is no such job.
pub fn filled_sheet(job: &LoadedJob) -> Result<Form, Problems> {
    let setup = set_up_as(&job.loaded, job.gears, job.bearings)?;
    Ok(sheet(Bench {
        setup: &setup,
        print: job.loaded.printed(),
        doubts: &doubts(&setup, &job.loaded),
        assumptions: &job.loaded.assumptions,
        job: Some(job),
    }))
}

/// The customer's page: only the quote is simulated.
fn write_customer(
    args: &Report,
    sources: &[Source; 2],
    loaded: &Loaded,
    setup: Setup,
) -> Result<Exit, Failure> {
    if args.asks_for_figures() {
        return Err(Failure::BadInput(
            "--for customer: this page has no figures, tables or rebuilds\n  help: leave out --charts, \
             --csv, --sweep, --find and --rebuild, or make a shop's page of its own"
                .into(),
        ));
    }
    let places = Places::claim(args)?;
    let effort = &args.job.effort;
    let work = work_to_charge(&args.job.files, loaded, args.no_stock, effort.threads);
    let shim_costs = ShimCosts::of(work.as_ref(), loaded, args.no_stock);
    let (quote, shims) = on_threads(effort, |watch| {
        let (seed, until) = (effort.seed, effort.until());
        let (charged, shims) = shim_costs.charged(&[&setup], seed, None, watch);
        let quote = quote(&setup, charged[0], seed, until, &mut |p| watch.see(p));
        (quote, shims)
    })?;
    let choice = Choice {
        terms: terms(&args.terms, &setup),
        setup,
        quote,
        shims,
    };
    let page = for_customer(&choice, &args.terms, sources, &args.job, &args.dated)?;
    let mut list = String::new();
    places.page(&faces::html::page(&page), "the customer's page", &mut list)?;
    print(&list)?;
    Ok(Exit::whole_or(choice.quote.partial))
}

/// The customer's page of a job that was quoted.
///
/// # Errors
/// Where the job is not to be quoted: nobody is handed a price for what never comes right.
pub fn for_customer(
    choice: &Choice,
    terms: &PriceTerms,
    sources: &[Source; 2],
    job: &Job,
    date: &Dated,
) -> Result<Document, Failure> {
    if choice.quote.not_quoted().is_some() {
        return Err(Failure::NotThere(format!(
            "no page for a customer: {}",
            choice.why_no_price()
        )));
    }
    let made = Made {
        rebuilds: Some(choice.quote.rebuilds),
        ..made::of_job(&choice.setup, sources, &job.files, job.effort.seed, date)
    };
    Ok(customer::tell(Offered {
        choice,
        terms,
        made: &made,
    }))
}

/// All that is simulated for a page.
struct Runs {
    whole: Whole,
    /// Where the shims of the job come from.
    shims: ShimsFrom,
    causes: Causes,
    comparison: Comparison,
    /// The rebuild searched for, where one was.
    found: Option<SearchResult>,
    /// The drawer's plan; `None` where it was not asked for or broken off.
    planned: Option<Stock>,
    /// The assumptions that move the share right when handed over most, in a sentence.
    moved_most: Option<String>,
    /// That share by a dial held as the book holds it, where the shop holds its own otherwise.
    held_as_the_book: Option<Estimate>,
}

impl Runs {
    fn of(
        args: &Report,
        setup: &Setup,
        loaded: &Loaded,
        grid: &Grid,
        (question, shim_costs): (Option<&Question<'_>>, ShimCosts<'_>),
        watch: &mut Watch,
    ) -> Self {
        let (until, seed) = (args.job.effort.until(), args.job.effort.seed);
        let few = args
            .job
            .effort
            .rebuilds
            .map_or(EXPLAINED, |n| n.min(EXPLAINED));
        let explained = Until::Rebuilds(few);
        // the drawer first: what a job uses up of it is part of the job's cost
        let planned = question.and_then(|question| {
            stock(question, &mut |step| {
                watch.see_step(step.doing, step.served)
            })
        });
        let levels = planned.as_ref().map(|stock| &stock.plan.levels);
        let (charged, shims) = shim_costs.charged(&[setup], seed, levels, watch);
        let grain = grain(loaded.axle_units);
        Self {
            shims,
            whole: whole(setup, charged[0], grain, seed, until, &mut |p| watch.see(p)),
            held_as_the_book: setup
                .held_as_the_book()
                .map(|setup| odds(&setup, seed, until, &mut |p| watch.see(p)))
                .map(|odds| odds.handed_over.all),
            moved_most: None,
            causes: causes(setup, seed, explained, &mut |p| watch.see(p)),
            comparison: compare_with(&grid.setups, Some(grid.base()), seed, explained, &mut |p| {
                watch.see(p)
            }),
            found: args
                .find
                .map(|wanted| find(setup, seed, wanted.telling(), &mut |p| watch.see(p))),
            planned,
        }
    }
}

/// The rebuild that the page shows step by step, what it was found by, and how the search ended.
fn rebuild_to_follow(
    args: &Report,
    found: Option<SearchResult>,
) -> (u64, Option<&'static str>, Exit) {
    const INSTEAD: &str = "the page shows the first one instead";
    let (wanted, found) = match args.find.zip(found) {
        Some(searched) => searched,
        None => return (args.rebuild, None, Exit::Done),
    };
    match found {
        SearchResult::Number(number) => (number, Some(wanted.word()), Exit::Done),
        SearchResult::None(among) => {
            let none = follow::none(wanted, among, args.job.effort.seed);
            warn(format!("{none}; {INSTEAD}"));
            (args.rebuild, None, Exit::Missed)
        }
        SearchResult::BrokenOff(among) => {
            warn(format!(
                "--find {}: broken off, none among {among} rebuilds; {INSTEAD}",
                wanted.word()
            ));
            (args.rebuild, None, Exit::Interrupted)
        }
    }
}

/// What the drawer has to serve: all jobs of the shop. Where these can't be read the page does
/// without, and says so on stderr; the axle that was asked for needs none of it.
fn drawer_of(args: &Report) -> Option<Work> {
    match work_beside(&args.job.files, args.job.effort.threads) {
        Ok(work) => Some(work),
        Err(failure) => {
            let why = failure.message();
            warn(format!("the page does without the shim drawer: {why}"));
            None
        }
    }
}
