//! Ways of working compared, on the very same parts.

mod json;
pub mod measures;
mod tell;

use std::fmt::Display;
use std::path::PathBuf;

use serde_json::Value;
use shimcast_sim::axle::Condition;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::compare::{Comparison, compare};

use self::measures::Measure;
use super::assumed::{self, Headline, moved_most};
use super::check;
use super::context::{Failure, failure, failure_as, on_threads, set_up_as, warn};
use super::jobs::jobs_a_year;
use super::{Answer, Exit, Form, Reply};
use crate::cli::{Compare, Way, in_a_way};
use crate::document::Document;
use crate::files::{Assumption, Loaded, Override, Problems, Source, load};

/// What a way costs once.
#[derive(Debug)]
struct Investment {
    /// The way's place.
    way: usize,
    /// In its shop's currency.
    amount: f64,
    /// Such jobs in a year, where its shop's file says it.
    jobs_a_year: Option<f64>,
}

/// The answer.
#[derive(Debug)]
struct Ways {
    /// What the ways are called, the first one first.
    names: Vec<String>,
    /// The job in each way.
    setups: Vec<Setup>,
    comparison: Comparison,
    /// What ways cost once.
    costs: Vec<Investment>,
    seed: u64,
    /// Defaults in use in any way.
    assumptions: Vec<Assumption>,
}

/// `shimcast compare`.
pub fn ask(args: &Compare) -> Result<Reply, Failure> {
    let ways = ways(&args.ways)?;
    let costs = costs(args, &ways)?;
    let mut assumptions: Vec<Assumption> = Vec::new();
    let mut setups = Vec::new();
    // what is wrong with the files themselves is reported once, not in every way
    let plain = read_plain(args)?;
    for warning in &plain.warnings {
        warn(warning);
    }
    let [mut doubts, mut of_first] = [const { Vec::new() }; 2];
    let mut first = None;
    for (place, way) in ways.iter().enumerate() {
        let WayRead {
            sources,
            set,
            loaded,
            setup,
        } = read_way(args, way)?;
        for warning in &loaded.warnings {
            if !plain.warnings.contains(warning) {
                warn(in_way(way, &warning.to_string()));
            }
        }
        // what the first way has as well is said once
        let bare = check::bare_doubts(&setup, &loaded);
        if place == 0 {
            doubts = check::doubts(&setup, &loaded);
            of_first.clone_from(&bare);
        }
        let own = bare.iter().filter(|doubt| !of_first.contains(doubt));
        doubts.extend(own.map(|doubt| in_way(way, doubt)));
        for assumption in &loaded.assumptions {
            if !assumptions.iter().any(|a| a.text == assumption.text) {
                assumptions.push(assumption.clone());
            }
        }
        first.get_or_insert((sources, set, loaded));
        setups.push(setup);
    }
    let costs = costs.into_iter().map(|(way, amount)| Investment {
        way,
        amount,
        jobs_a_year: jobs_a_year(
            &setups[way].shop,
            &args.job.files,
            (setups[way].gears, setups[way].bearings),
        ),
    });
    let costs = costs.collect();
    let (until, seed) = (args.job.effort.until(), args.job.effort.seed);
    let form = Form::json_or_text(args.json);
    let (comparison, moved_most) = on_threads(&args.job.effort, |watch| {
        let comparison = compare(&setups, seed, until, &mut |progress| watch.see(progress));
        let asked = form == Form::Text && !comparison.partial;
        let moved_most = first.filter(|_| asked).and_then(|(sources, set, loaded)| {
            let job = assumed::Files {
                sources: &sources,
                set: &set,
                loaded: &loaded,
            };
            moved_most(Headline::Right, job, &setups[0], seed)
        });
        (comparison, moved_most)
    })?;
    let answer = Ways {
        names: ways.into_iter().map(|way| way.name).collect(),
        setups,
        comparison,
        costs,
        seed,
        assumptions,
    };
    let reply = Reply::new(answer, form).with_doubts(doubts);
    Ok(reply.with_moved_most(moved_most))
}

impl Ways {
    /// The currency of every way; `None` where they have not one in common.
    fn currency(&self) -> Option<&str> {
        let first = self.setups[0].shop.currency.as_str();
        self.setups
            .iter()
            .all(|setup| setup.shop.currency == first)
            .then_some(first)
    }

    /// Those of the measures that can be held against each other.
    fn comparable(&self, mut measures: Vec<Measure>) -> Vec<Measure> {
        measures.retain(|measure| *measure != Measure::Money || self.currency().is_some());
        measures
    }
}

impl Answer for Ways {
    fn tell(&self) -> Document {
        tell::tell(self)
    }

    fn json(&self) -> Value {
        json::json(self)
    }

    fn exit(&self) -> Exit {
        Exit::whole_or(self.comparison.partial)
    }
}

/// The ways, with the files as they are before a single one.
fn ways(typed: &[Way]) -> Result<Vec<Way>, Failure> {
    let mut ways = typed.to_vec();
    if ways.len() == 1 {
        ways.insert(
            0,
            Way {
                name: "as it is".to_owned(),
                shop: None,
                gears: None,
                bearings: None,
                set: Vec::new(),
            },
        );
    }
    for (i, way) in ways.iter().enumerate() {
        if ways[..i].iter().any(|earlier| earlier.name == way.name) {
            return Err(Failure::BadInput(format!(
                "--way: two ways are called \"{}\"; give each a name of its own",
                way.name
            )));
        }
    }
    Ok(ways)
}

/// The places of the ways that cost something, with the amounts.
fn costs(args: &Compare, ways: &[Way]) -> Result<Vec<(usize, f64)>, Failure> {
    args.costs
        .iter()
        .map(
            |cost| match ways.iter().position(|way| way.name == cost.way) {
                Some(0) => Err(Failure::BadInput(format!(
                    "--costs {}: this is the first way, against which the others are held; it has \
                     nothing to pay back",
                    cost.way
                ))),
                Some(place) => Ok((place, cost.amount)),
                None => Err(Failure::BadInput(format!(
                    "--costs {}: no way is called that; there is {}",
                    cost.way,
                    ways[1..]
                        .iter()
                        .map(|way| format!("\"{}\"", way.name))
                        .collect::<Vec<_>>()
                        .join(", ")
                ))),
            },
        )
        .collect()
}

fn source(path: Option<&PathBuf>) -> Source {
    path.cloned().into()
}

/// The files as they are.
fn read_plain(args: &Compare) -> Result<Loaded, Failure> {
    let files = &args.job.files;
    load(
        &source(files.axle.as_ref()),
        &source(files.shop.as_ref()),
        &files.set,
    )
    .map_err(|problems| failure(&problems))
}

/// A way, with the files that it was read from.
struct WayRead {
    sources: [Source; 2],
    set: Vec<Override>,
    loaded: Loaded,
    setup: Setup,
}

fn read_way(args: &Compare, way: &Way) -> Result<WayRead, Failure> {
    let files = &args.job.files;
    let shop = way.shop.as_ref().or(files.shop.as_ref());
    // the way's own keys come last, so that they hold
    let set = [files.set.as_slice(), &way.set].concat();
    let sources = [source(files.axle.as_ref()), source(shop)];
    let read = || -> Result<(Loaded, Setup), Problems> {
        let loaded = load(&sources[0], &sources[1], &set)?.taken(files.anyway);
        let (gears, bearings) = renewed(args, way);
        let setup = set_up_as(&loaded, gears, bearings)?;
        Ok((loaded, setup))
    };
    let (loaded, setup) = read().map_err(|problems| {
        let messages: Vec<String> = problems
            .0
            .iter()
            .map(|problem| in_way(way, problem))
            .collect();
        failure_as(&problems, messages.join("\n"))
    })?;
    Ok(WayRead {
        sources,
        set,
        loaded,
        setup,
    })
}

/// Whether the gears and the bearings of a way are new or kept.
fn renewed(args: &Compare, way: &Way) -> (Condition, Condition) {
    let all = &args.job.renewed;
    (
        way.gears.unwrap_or(all.gears).into(),
        way.bearings.unwrap_or(all.bearings).into(),
    )
}

fn in_way(way: &Way, problem: &impl Display) -> String {
    format!("way \"{}\": {}", way.name, in_a_way(&problem.to_string()))
}
