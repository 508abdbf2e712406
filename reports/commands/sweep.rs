//! `shimcast sweep`.

use std::collections::BTreeSet;
use std::path::Path;

use shimcast_sim::compare::{Comparison, compare};
use shimcast_sim::setup::Setup;

use super::{
    Ended, Failure, STDOUT, csv_file, failure_as, fitted, new_file, on_threads, print,
    read_sources, set_up, set_up_as, sources, tell_doubts, warn,
};
use crate::answers::sweep::Swept;
use crate::args::{Files, Range, Renewed, Sweep, in_a_way};
use crate::files::{Assumption, Loaded, Problems, Source, load};
use crate::json;
use crate::page;
use crate::progress::heed_interrupts;
use crate::spreadsheet;
use crate::terminal::{self, Ink};

/// Most points of a sweep: what a run holds in memory grows with them.
const MOST_POINTS: usize = 144;

pub(crate) fn run(args: &Sweep, ink: Ink) -> Result<Ended, Failure> {
    let ranges = args.ranges().map_err(Failure::BadInput)?;
    let files = args.files().map_err(Failure::BadInput)?;
    let sources = sources(&files)?;
    // what is wrong or odd with the files themselves is told once, not at every point
    let plain = read_sources(&sources, &files)?;
    // what can't be a job without the swept value may be one with it
    if let Ok(setup) = set_up(&plain, &args.renewed) {
        tell_doubts(&setup, plain.axle_units);
    }
    let laid = Laid::lay(&sources, &files, &args.renewed, &plain, ranges)?;
    let seed = args.effort.seed;
    let until = args.effort.until();
    heed_interrupts();
    let to_file = csv_file(args.csv.as_deref())?;
    if args.chart.as_deref() == Some(Path::new(STDOUT)) {
        return Err(Failure::BadInput(
            "--chart -: a figure is not printed; name a file, e.g. sweep.svg".into(),
        ));
    }
    let figure = args.chart.as_deref().map(new_file).transpose()?;
    let comparison = on_threads(&args.effort, |watch| {
        compare(&laid.setups, seed, until, &mut |progress| {
            watch.see(progress)
        })
    })?;
    let swept = laid.swept(&comparison, seed);
    let text = if args.json {
        format!("{:#}\n", json::sweep(&swept))
    } else if args.csv.as_deref() == Some(Path::new(STDOUT)) {
        spreadsheet::sweep(&swept)
    } else {
        fitted(&terminal::sweep::render(&swept, ink))
    };
    // first of all, so that the answer is there whatever becomes of the files
    print(&text)?;
    let table = to_file.map(|place| place.fill_with(&spreadsheet::sweep(&swept)));
    let figure = figure.map(|place| place.fill_with(&page::swept(&swept).figure.file()));
    let mut refused = Vec::new();
    for written in [table, figure].into_iter().flatten() {
        match written {
            Ok(path) => warn(format!("written: {}", path.display())),
            Err(reason) => refused.push(reason),
        }
    }
    if !refused.is_empty() {
        return Err(Failure::CannotAccess(refused.join("\n")));
    }
    Ok(if comparison.partial {
        Ended::Interrupted
    } else {
        Ended::Done
    })
}

/// Keys swept, with the job at every point.
pub(super) struct Laid {
    keys: Vec<String>,
    points: Vec<Vec<f64>>,
    pub(super) setups: Vec<Setup>,
    assumptions: Vec<Assumption>,
}

impl Laid {
    /// Works the files out anew for every point; `plain` is what they say without any.
    pub(super) fn lay(
        sources: &[Source; 2],
        files: &Files,
        renewed: &Renewed,
        plain: &Loaded,
        ranges: Vec<Range>,
    ) -> Result<Self, Failure> {
        let points = points(&ranges)?;
        let mut assumptions: Vec<Assumption> = Vec::new();
        let mut varying = BTreeSet::new();
        let mut setups = Vec::new();
        for point in &points {
            let (setup, assumed) = at(sources, files, renewed, &ranges, point)?;
            for assumption in assumed {
                let known = assumptions.iter_mut().find(|a| a.key == assumption.key);
                match known {
                    None => assumptions.push(assumption),
                    Some(known) if known.text != assumption.text => {
                        varying.insert(assumption.key);
                    }
                    Some(_) => {}
                }
            }
            setups.push(setup);
        }
        for assumption in &mut assumptions {
            if varying.contains(&assumption.key) {
                assumption
                    .text
                    .push_str(" at the first point; it goes with what is swept");
            }
        }
        // a swept key may stand in for one that was assumed, and then is not
        assumptions.retain(|a| plain.assumptions.iter().any(|b| b.key == a.key));
        Ok(Self {
            keys: ranges.into_iter().map(|range| range.key).collect(),
            points,
            setups,
            assumptions,
        })
    }

    /// What came of it.
    pub(super) fn swept<'a>(&'a self, comparison: &'a Comparison, seed: u64) -> Swept<'a> {
        Swept {
            keys: &self.keys,
            points: &self.points,
            setups: &self.setups,
            comparison,
            seed,
            assumptions: &self.assumptions,
        }
    }
}

/// Every value of the first key with every value of the second.
fn points(ranges: &[Range]) -> Result<Vec<Vec<f64>>, Failure> {
    let mut points = vec![Vec::new()];
    for range in ranges {
        points = points
            .iter()
            .flat_map(|point: &Vec<f64>| {
                range
                    .values
                    .iter()
                    .map(|value| [point.as_slice(), &[*value]].concat())
            })
            .collect();
    }
    if points.len() > MOST_POINTS {
        return Err(Failure::BadInput(format!(
            "that makes {} points; at most {MOST_POINTS} are swept at once: name fewer steps",
            points.len()
        )));
    }
    Ok(points)
}

/// The job at one point, and what is assumed there.
fn at(
    [axle, shop]: &[Source; 2],
    files: &Files,
    renewed: &Renewed,
    ranges: &[Range],
    point: &[f64],
) -> Result<(Setup, Vec<Assumption>), Failure> {
    let mut set = files.set.clone();
    for (range, value) in ranges.iter().zip(point) {
        // the swept keys come last, so that they hold
        set.push(range.set(*value).map_err(Failure::BadInput)?);
    }
    let read = || -> Result<(Setup, Vec<Assumption>), Problems> {
        let loaded = load(axle, shop, &set)?;
        let setup = set_up_as(&loaded, renewed.gears.into(), renewed.bearings.into())?;
        Ok((setup, loaded.assumptions))
    };
    read().map_err(|problems| {
        let told: Vec<String> = problems
            .0
            .iter()
            .map(|problem| in_a_way(&problem.to_string()))
            .collect();
        let point: Vec<String> = set[files.set.len()..]
            .iter()
            .map(|set| format!("{}={}", set.key(), set.value()))
            .collect();
        failure_as(
            &problems,
            format!("swept to {}:\n{}", point.join(", "), told.join("\n")),
        )
    })
}
