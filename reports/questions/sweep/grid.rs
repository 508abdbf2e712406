//! Keys on a grid: the job at every point.

use std::collections::BTreeSet;

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::compare::Comparison;

use super::points::{Key, Points};
use crate::cli::{Files, Range, Renewed, Value, in_a_way};
use crate::files::{Assumption, Loaded, Problems, Source, load};
use crate::questions::context::{Failure, failure_as, set_up_as};

/// Most points that may be asked for: what a run holds in memory grows with them.
const MOST_POINTS: usize = 144;

/// Keys swept, with the job at every point.
#[derive(Debug)]
pub(crate) struct Grid {
    keys: Vec<Key>,
    points: Vec<Vec<Value>>,
    pub(crate) setups: Vec<Setup>,
    /// The point that the files themselves are at, where they say.
    own: Option<usize>,
    assumptions: Vec<Assumption>,
}

impl Grid {
    /// Works the files out anew for every point; `plain` is what they say without any.
    pub(crate) fn lay(
        sources: &[Source; 2],
        files: &Files,
        renewed: &Renewed,
        plain: &Loaded,
        ranges: Vec<Range>,
    ) -> Result<Self, Failure> {
        let in_steps = ranges.into_iter().map(|range| in_steps(range, plain));
        let mut ranges = in_steps.collect::<Result<Vec<Range>, Failure>>()?;
        few_enough(&ranges)?;
        let worked_out = |ranges: &[Range]| {
            let point = |point: &Vec<Value>| at(sources, files, renewed, ranges, point);
            points(ranges)
                .iter()
                .map(point)
                .collect::<Result<Vec<_>, Failure>>()
        };
        let as_it_is = set_up_as(plain, renewed.gears.into(), renewed.bearings.into()).ok();
        let is_own = |job: &Job| {
            let same = |own: &Setup| own.axle == job.setup.axle && own.shop == job.setup.shop;
            as_it_is.as_ref().is_some_and(same)
        };
        let mut jobs = worked_out(&ranges)?;
        if !jobs.iter().any(is_own)
            && let Some(own) = own_values(&ranges, plain)
            // what does not give the job of the files back is not their value
            && at(sources, files, renewed, &ranges, &own).is_ok_and(|job| is_own(&job))
        {
            for (range, own) in ranges.iter_mut().zip(own) {
                range.with(own);
            }
            jobs = worked_out(&ranges)?;
        }
        let own = jobs.iter().position(is_own);
        let keys = ranges.iter().zip(&jobs[0].units).map(|(range, unit)| Key {
            name: range.key.clone(),
            unit: unit.clone(),
        });
        let keys = keys.collect();
        let jobs = jobs.into_iter().map(|job| (job.setup, job.assumptions));
        let (setups, assumed): (Vec<Setup>, Vec<Vec<Assumption>>) = jobs.unzip();
        let mut assumptions = told_once(assumed);
        // a swept key may stand in for one that was assumed, and then is not
        assumptions.retain(|a| plain.assumptions.iter().any(|b| b.key == a.key));
        Ok(Self {
            points: points(&ranges),
            keys,
            setups,
            own,
            assumptions,
        })
    }

    /// The point that all others are held against: the files' own, or the first.
    pub(crate) fn base(&self) -> usize {
        self.own.unwrap_or_default()
    }

    /// What came of it.
    pub(crate) fn swept<'a>(&'a self, comparison: &'a Comparison, seed: u64) -> Points<'a> {
        Points {
            keys: &self.keys,
            points: &self.points,
            setups: &self.setups,
            own: self.own,
            comparison,
            seed,
            assumptions: &self.assumptions,
        }
    }
}

/// What is assumed at any point, with a word on what goes with what is swept.
fn told_once(assumed: Vec<Vec<Assumption>>) -> Vec<Assumption> {
    let mut assumptions: Vec<Assumption> = Vec::new();
    let mut varying = BTreeSet::new();
    for assumption in assumed.into_iter().flatten() {
        let known = assumptions.iter().find(|a| a.key == assumption.key);
        match known {
            None => assumptions.push(assumption),
            Some(known) if known.text != assumption.text => {
                varying.insert(assumption.key);
            }
            Some(_) => {}
        }
    }
    for assumption in &mut assumptions {
        if varying.contains(&assumption.key) {
            assumption
                .text
                .push_str(" at the first point; it goes with what is swept");
        }
    }
    assumptions
}

/// A range in whole steps where its key takes nothing else.
fn in_steps(range: Range, plain: &Loaded) -> Result<Range, Failure> {
    let key = range.set(&range.values[0]).map_err(Failure::BadInput)?;
    match plain.takes_whole(&key) {
        true => range.in_whole_steps().map_err(Failure::BadInput),
        false => Ok(range),
    }
}

/// What the files say of each key; not there where one of them is not known.
fn own_values(ranges: &[Range], plain: &Loaded) -> Option<Vec<Value>> {
    let own = |range: &Range| {
        let key = range.set(range.values.first()?).ok()?;
        Some(Value::of(&plain.value_of(&key)?))
    };
    ranges.iter().map(own).collect()
}

/// Refuses more points than are swept at once.
fn few_enough(ranges: &[Range]) -> Result<(), Failure> {
    let many: usize = ranges.iter().map(|range| range.values.len()).product();
    if many > MOST_POINTS {
        return Err(Failure::BadInput(format!(
            "that makes {many} points; at most {MOST_POINTS} are swept at once: name fewer steps"
        )));
    }
    Ok(())
}

/// Every value of the first key with every value of the second.
fn points(ranges: &[Range]) -> Vec<Vec<Value>> {
    let mut points = vec![Vec::new()];
    for range in ranges {
        points = points
            .iter()
            .flat_map(|point: &Vec<Value>| {
                let values = range.values.iter();
                values.map(|value| [point.as_slice(), std::slice::from_ref(value)].concat())
            })
            .collect();
    }
    points
}

/// The job at one point.
struct Job {
    setup: Setup,
    assumptions: Vec<Assumption>,
    /// The unit of each key, as its file has it; empty where it has none.
    units: Vec<String>,
}

/// Works the files out at one point.
fn at(
    [axle, shop]: &[Source; 2],
    files: &Files,
    renewed: &Renewed,
    ranges: &[Range],
    point: &[Value],
) -> Result<Job, Failure> {
    let mut set = files.set.clone();
    for (range, value) in ranges.iter().zip(point) {
        // the swept keys come last, so that they hold
        set.push(range.set(value).map_err(Failure::BadInput)?);
    }
    let read = || -> Result<Job, Problems> {
        let loaded = load(axle, shop, &set)?.taken(files.anyway);
        let setup = set_up_as(&loaded, renewed.gears.into(), renewed.bearings.into())?;
        let swept = set[files.set.len()..].iter();
        Ok(Job {
            setup,
            units: swept.map(|key| loaded.unit_of(key)).collect(),
            assumptions: loaded.assumptions,
        })
    };
    read().map_err(|problems| {
        let messages: Vec<String> = problems
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
            format!("swept to {}:\n{}", point.join(", "), messages.join("\n")),
        )
    })
}
