//! A file with all that is wrong with it: what its reader says, what no axle has, why no job can be set up,
//! and what files beside it say against it.

use shimcast_sim::axle::Condition;
use shimcast_sim::bench::setup::Setup;

use super::super::plausible::impossible;
use super::FileKind;
use crate::files::{
    Description, LoadedShop, Problem, Problems, Source, describe_axle, describe_shop, job_source,
    load_axle, load_shop,
};

/// A file as it was read, with all that is wrong with it by key.
pub(super) struct Read {
    pub description: Description,
    /// Flaws by key; those of no key have an empty one.
    pub flaws: Vec<(String, String)>,
    /// What files beside it say against it.
    pub remarks: Vec<(String, String)>,
}

/// Reads it.
///
/// # Errors
/// Where it can't be read at all.
pub(super) fn read(kind: &FileKind, source: &Source) -> Result<Read, Problems> {
    let mut remarks = Vec::new();
    let (description, flaws) = match kind {
        FileKind::Axle(shop) => {
            let shop = load_shop(shop, &[]);
            let description = describe_axle(source, shop.as_ref().ok())?;
            if let Err(problems) = &shop {
                let first = problems.0.first().map(ToString::to_string);
                let said = format!("The shop file can't be used: {}", first.unwrap_or_default());
                remarks.push((String::new(), said));
            }
            let flaws = match &shop {
                Ok(shop) => flaws_of_axle(source, shop),
                Err(_) => Vec::new(),
            };
            (description, flaws)
        }
        FileKind::Shop => {
            remarks = axles_against(source);
            (describe_shop(source)?, Vec::new())
        }
    };
    let of_keys = description.keys.iter().flat_map(|of| {
        let problems = of.problems.iter();
        problems.map(|problem| (of.key.clone(), in_words(problem)))
    });
    let others = description.problems.iter();
    let others = others.map(|problem| (String::new(), in_words(problem)));
    let flaws = of_keys.chain(others).chain(flaws).collect();
    Ok(Read {
        description,
        flaws,
        remarks,
    })
}

/// A problem as it is told beside its field, or with its line where it has none.
pub(super) fn in_words(problem: &Problem) -> String {
    match &problem.help {
        Some(help) => format!("{}: {help}", problem.reason),
        None => problem.reason.clone(),
    }
}

/// What no axle has, and why no job can be set up of an axle that reads well; by key.
fn flaws_of_axle(source: &Source, shop: &LoadedShop) -> Vec<(String, String)> {
    let Ok(loaded) = load_axle(source, shop, &[]) else {
        return Vec::new();
    };
    let impossible = impossible(&loaded.axle, loaded.units);
    if !impossible.is_empty() {
        let told = impossible.into_iter();
        return told
            .map(|of| (of.key, format!("{}: {}", of.reason, of.remedy)))
            .collect();
    }
    let new = Condition::New;
    match Setup::new(loaded.axle, shop.shop.clone(), new, new) {
        Ok(_) => Vec::new(),
        Err(flaws) => flaws.into_iter().map(|of| (of.key, of.reason)).collect(),
    }
}

/// What axles of the shop's jobs have against the shop, at the jobs' own keys.
fn axles_against(source: &Source) -> Vec<(String, String)> {
    let Ok(shop) = load_shop(source, &[]) else {
        return Vec::new();
    };
    let jobs = shop.shop.jobs.iter().enumerate();
    let against = jobs.filter_map(|(i, job)| {
        let problems = load_axle(&job_source(source, job), &shop, &[]).err()?;
        let first = problems.0.first()?;
        Some((format!("jobs.{}.axle", i + 1), in_words(first)))
    });
    against.collect()
}
