//! The page, its figures and tables, and the job sheet.

pub mod reported;

use std::ffi::OsStr;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use shimcast_sim::causes::causes;
use shimcast_sim::chance::run::Until;
use shimcast_sim::compare::compare;
use shimcast_sim::follow::{SearchResult, find};
use shimcast_sim::pictures::{Whole, whole};
use shimcast_sim::quote::Terms;
use shimcast_sim::stock::{Aim, Question, stock};

use self::reported::{Drawer, Reported, grain};
use super::Ended;
use super::context::{Failure, on_threads, read_sources, set_up, sources, tell_doubts, warn};
use crate::cli::{Report, ShopFiles};
use crate::faces;
use crate::files::{Override, Target};
use crate::page::{self, Bench, Rebuilds};
use crate::progress::heed_interrupts;
use crate::questions::context::print;
use crate::questions::drawer::{self, Work};
use crate::questions::follow;
use crate::questions::quote::Choice;
use crate::questions::sweep::Laid;
use crate::written::{Place, folder};

/// Where a page goes when nobody says.
const PAGE: &str = "shimcast-report.html";
const SHEET: &str = "shimcast-sheet.html";
/// Rebuilds behind the causes and the sweep, which do each again and again: enough for a page, and
/// not what it takes longest to wait for.
const EXPLAINED: u64 = 16_384;
/// The file of single rebuilds.
const REBUILDS: &str = "rebuilds";

pub(crate) fn run(args: &Report) -> Result<Ended, Failure> {
    let ranges = args.ranges().map_err(Failure::BadInput)?;
    let sources = sources(&args.files)?;
    let loaded = read_sources(&sources, &args.files)?;
    let setup = set_up(&loaded, &args.renewed)?;
    tell_doubts(&setup, loaded.axle_units);
    if args.sheet {
        let sheet = page::sheet(Bench {
            setup: &setup,
            units: loaded.axle_units,
        });
        let mut told = String::new();
        Places::claim(args)?.page(&sheet, "the job sheet", &mut told)?;
        print(&told)?;
        return Ok(Ended::Done);
    }
    let laid = Laid::lay(&sources, &args.files, &args.renewed, &loaded, ranges)?;
    heed_interrupts();
    let places = Places::claim(args)?;
    let (until, seed) = (args.effort.until(), args.effort.seed);
    let explained = Until::Rebuilds(args.effort.rebuilds.map_or(EXPLAINED, |n| n.min(EXPLAINED)));
    let work = if args.no_stock { None } else { drawer_of(args) };
    let lines = work.as_ref().map(Work::lines).unwrap_or_default();
    let question = work.as_ref().map(|work| Question {
        lines: &lines,
        shelves: &work.shelves,
        drawer: &work.shop.shop.drawer,
        aim: Aim::Fill(work.shop.shop.drawer.job_fill),
        have: None,
        seed,
    });
    let grain = grain(loaded.axle_units);
    let (whole, causes, comparison, found, planned) = on_threads(&args.effort, |watch| {
        let whole = whole(&setup, grain, seed, until, &mut |progress| {
            watch.see(progress)
        });
        let causes = causes(&setup, seed, explained, &mut |progress| watch.see(progress));
        let comparison = compare(&laid.setups, seed, explained, &mut |progress| {
            watch.see(progress)
        });
        let found = args.find.map(|wanted| {
            find(&setup, seed, wanted.telling(), &mut |progress| {
                watch.see(progress)
            })
        });
        let planned = question.as_ref().map(|question| {
            stock(question, &mut |step| {
                watch.see_step(step.doing, step.served)
            })
        });
        (whole, causes, comparison, found, planned)
    })?;
    let Whole {
        odds,
        quote,
        pictures,
        ..
    } = whole;
    let (number, found, searched) = match args.find.zip(found) {
        None => (args.rebuild, None, Ended::Done),
        Some((wanted, SearchResult::Number(number))) => (number, Some(wanted.word()), Ended::Done),
        Some((wanted, SearchResult::None(among))) => {
            warn(format!(
                "{}; the page tells the first one instead",
                follow::none(wanted, among, seed)
            ));
            (args.rebuild, None, Ended::Missed)
        }
        Some((wanted, SearchResult::BrokenOff(among))) => {
            warn(format!(
                "--find {}: broken off, none among {among} rebuilds; the page tells the first one \
                 instead",
                wanted.word()
            ));
            (args.rebuild, None, Ended::Interrupted)
        }
    };
    let story = shimcast_sim::follow::follow(&setup, seed, number);
    let broken_off = matches!(planned, Some(None));
    let planned = planned.flatten();
    let terms = Terms {
        margin: 0.0,
        tax: 0.0,
        parts: 0.0,
    };
    let choice = Choice {
        setup,
        quote,
        terms,
    };
    let asked = Reported {
        odds: &odds,
        pictures: &pictures,
        choice: &choice,
        risk: args.risk / 100.0,
        seed,
        units: loaded.axle_units,
        assumptions: &loaded.assumptions,
        causes: (causes.rebuilds > 0).then_some(&causes),
        sweep: (comparison.rebuilds > 0).then(|| laid.swept(&comparison, seed)),
        story: &story,
        found,
        drawer: work
            .as_ref()
            .zip(planned.as_ref())
            .map(|(work, stock)| Drawer {
                shop: &work.shop.shop,
                lines: &lines,
                shelves: &work.shelves,
                stock,
            }),
    };
    let rebuilds = args.sample.map(|number| Rebuilds {
        setup: &choice.setup,
        seed,
        number,
    });
    let told = places.write(&asked, rebuilds)?;
    print(&told)?;
    Ok(if asked.partial() || broken_off {
        Ended::Interrupted
    } else {
        searched
    })
}

/// What the drawer has to serve: all jobs of the shop. Where these can't be read the page does
/// without, and says so on stderr; the axle that was asked for needs none of it.
fn drawer_of(args: &Report) -> Option<Work> {
    let of_shop = |o: &&Override| o.target() == Target::Shop;
    let files = ShopFiles {
        shop: args.files.shop.clone(),
        set: args.files.set.iter().filter(of_shop).cloned().collect(),
        sizes_from: None,
    };
    // the shop's own oddities have been told
    match drawer::read_and_tell(&files, &mut |_| {}) {
        Ok(work) => Some(work),
        Err(failure) => {
            let why = failure.message();
            warn(format!("the page does without the shim drawer: {why}"));
            None
        }
    }
}

/// Where everything goes, claimed before the run.
struct Places {
    /// `None` prints the page.
    page: Option<Place>,
    charts: Vec<Place>,
    tables: Vec<Place>,
    rebuilds: Option<Place>,
}

impl Places {
    fn claim(args: &Report) -> Result<Self, Failure> {
        let claim = |path: &Path| Place::claim(path, args.force).map_err(Failure::CannotAccess);
        let inside = |dir: &Option<PathBuf>, names: &[&str], ending: &str| {
            let Some(dir) = dir else {
                return Ok(Vec::new());
            };
            folder(dir).map_err(Failure::CannotAccess)?;
            names
                .iter()
                .map(|name| claim(&dir.join(format!("{name}.{ending}"))))
                .collect::<Result<Vec<Place>, Failure>>()
        };
        let tables: Vec<&str> = page::FIGURES.into_iter().chain(page::TABLES).collect();
        let usual = if args.sheet { SHEET } else { PAGE };
        let output = args.output.as_deref().unwrap_or(Path::new(usual));
        Ok(Self {
            page: if output == Path::new("-") {
                None
            } else {
                Some(claim(output)?)
            },
            charts: inside(&args.charts, &page::FIGURES, "svg")?,
            tables: inside(&args.csv, &tables, "csv")?,
            rebuilds: match (args.sample, &args.csv) {
                (Some(_), Some(dir)) => Some(claim(&dir.join(format!("{REBUILDS}.csv")))?),
                _ => None,
            },
        })
    }

    fn write(
        self,
        asked: &Reported<'_>,
        rebuilds: Option<Rebuilds<'_>>,
    ) -> Result<String, Failure> {
        let chapters = page::chapters(asked);
        let figures = chapters
            .iter()
            .flat_map(|chapter| &chapter.exhibits)
            .map(|exhibit| &exhibit.figure);
        let figures: Vec<(&str, String)> = if self.charts.is_empty() {
            Vec::new()
        } else {
            figures
                .map(|figure| (figure.words.name.as_str(), figure.file()))
                .collect()
        };
        let data = page::data(asked, &chapters);
        let tables: Vec<(&str, String)> = if self.tables.is_empty() {
            Vec::new()
        } else {
            data.iter()
                .map(|(name, table)| (name.as_str(), faces::csv::text(table)))
                .collect()
        };
        let html = page::page(asked, &chapters);
        let mut told = String::new();
        let Self {
            page,
            charts,
            tables: table_places,
            rebuilds: rebuilds_place,
        } = self;
        all(charts, &figures, "figure", &mut told)?;
        all(table_places, &tables, "table", &mut told)?;
        if let (Some(place), Some(rebuilds)) = (rebuilds_place, rebuilds) {
            let path = place
                .fill(|mut out| rebuilds.write(&mut out))
                .map_err(Failure::CannotAccess)?;
            let _ = writeln!(
                told,
                "  {}  {} rebuilds, one a row",
                path.display(),
                rebuilds.number
            );
        }
        let places = Self {
            page,
            charts: Vec::new(),
            tables: Vec::new(),
            rebuilds: None,
        };
        places.page(&html, "the page", &mut told)?;
        Ok(told)
    }

    /// Writes or prints the page, last of all, so that it tells of what is there.
    fn page(self, html: &str, what: &str, told: &mut String) -> Result<(), Failure> {
        let Some(place) = self.page else {
            // what else was written is no part of the page
            *told = html.to_owned();
            return Ok(());
        };
        let path = place.fill_with(html).map_err(Failure::CannotAccess)?;
        *told = format!("Written:\n  {}  {what}\n{told}", path.display());
        Ok(())
    }
}

/// Fills the places whose names are those of texts; the others are given back.
fn all(
    places: Vec<Place>,
    texts: &[(&str, String)],
    what: &str,
    told: &mut String,
) -> Result<(), Failure> {
    for place in places {
        let stem = place.path().file_stem().and_then(OsStr::to_str);
        let text = texts.iter().find(|(name, _)| stem == Some(*name));
        if let Some((name, text)) = text {
            let path = place.fill_with(text).map_err(Failure::CannotAccess)?;
            let _ = writeln!(told, "  {}  {what}: {name}", path.display());
        }
    }
    Ok(())
}
