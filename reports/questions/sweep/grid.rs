//! Keys on a grid: the job at every point.

use std::collections::BTreeSet;

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::compare::Comparison;

use super::points::Points;
use crate::cli::{Files, Range, Renewed, in_a_way};
use crate::files::{Assumption, Loaded, Problems, Source, load};
use crate::questions::context::{Failure, failure_as, set_up_as};

/// Most points of a sweep: what a run holds in memory grows with them.
const MOST_POINTS: usize = 144;

/// Keys swept, with the job at every point.
#[derive(Debug)]
pub(crate) struct Grid {
    keys: Vec<String>,
    points: Vec<Vec<f64>>,
    pub(crate) setups: Vec<Setup>,
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
    pub(crate) fn swept<'a>(&'a self, comparison: &'a Comparison, seed: u64) -> Points<'a> {
        Points {
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
        let loaded = load(axle, shop, &set)?.taken(files.anyway);
        let setup = set_up_as(&loaded, renewed.gears.into(), renewed.bearings.into())?;
        Ok((setup, loaded.assumptions))
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
