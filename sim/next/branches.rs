//! Cases of an axle: side bearings closed past zero end play, or open. The ring gear moves with the closing of
//! the first alone, so that each case is a model of its own; all of them together are the belief.

use super::approximation::Approximation;
use super::assemblies::End;
use super::model::{Model, Told};

/// Deviations from zero end play beyond which the other case does not come up.
const SURE: f64 = 5.0;
/// Most assemblies whose cases are told apart: those nearest to zero end play.
const MOST: usize = 3;

/// One case, with the normal distribution near its belief.
#[derive(Debug, Clone)]
pub(super) struct Branch {
    pub(super) model: Model,
    pub(super) near: Approximation,
}

/// All cases of what is told.
pub(super) fn branches(told: &Told<'_>) -> Vec<Branch> {
    branches_with(told, None)
}

/// The same with both cases of one assembly, by its place, unless its bearings are surely closed: what else
/// might be read of it may lie on the other side.
pub(super) fn branches_with(told: &Told<'_>, both: Option<usize>) -> Vec<Branch> {
    let closed = End {
        closed: true,
        split: false,
    };
    let ends = vec![closed; told.entries];
    let first = branch(told, &ends);
    let distances: Vec<f64> = first
        .model
        .assemblies
        .iter()
        .map(|assembly| {
            let (mean, deviation) = first.near.spread(&assembly.closure);
            mean / deviation.max(1e-9)
        })
        .collect();
    let read = |entry: usize| {
        let moved = |site: &super::likelihood::Site| site.moved.is_some_and(|(at, _)| at == entry);
        first.model.sites.iter().any(moved)
    };
    let mut doubtful: Vec<usize> = (0..ends.len())
        .filter(|at| {
            let other_side = Some(*at) == both && distances[*at] < 0.0;
            (distances[*at].abs() < SURE || other_side) && read(*at)
        })
        .collect();
    let near = |at: &usize| match Some(*at) == both {
        true => 0.0,
        false => distances[*at].abs(),
    };
    doubtful.sort_by(|a, b| near(a).total_cmp(&near(b)));
    doubtful.truncate(MOST);
    let open = |at: usize| distances[at] < 0.0 && read(at);
    if doubtful.is_empty() && !(0..ends.len()).any(open) {
        return vec![first];
    }
    let cases = (0..1_usize << doubtful.len()).map(|case| {
        let ends: Vec<End> = (0..ends.len())
            .map(
                |at| match doubtful.iter().position(|doubtful| *doubtful == at) {
                    Some(place) => End {
                        closed: case >> place & 1 == 0,
                        split: true,
                    },
                    None => End {
                        closed: !open(at),
                        split: false,
                    },
                },
            )
            .collect();
        branch(told, &ends)
    });
    cases.collect()
}

fn branch(told: &Told<'_>, ends: &[End]) -> Branch {
    let model = Model::new(told, ends);
    let near = Approximation::new(&model);
    Branch { model, near }
}
