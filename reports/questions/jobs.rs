//! How many jobs of a kind a shop expects.

use std::path::Path;

use shimcast_sim::axle::Condition;
use shimcast_sim::shop::Shop;

use crate::cli::Files;
use crate::files::BUILT_IN_AXLE;

/// Such jobs in a year, by the shop's `[[jobs]]`; `None` where no line names this axle with gears
/// and bearings so.
pub(super) fn jobs_a_year(
    shop: &Shop,
    files: &Files,
    (gears, bearings): (Condition, Condition),
) -> Option<f64> {
    let axle = match &files.axle {
        Some(path) => path.file_name()?,
        None => BUILT_IN_AXLE.name.as_ref(),
    };
    let lines = shop.jobs.iter().filter(|job| {
        Path::new(&job.axle).file_name() == Some(axle)
            && (job.gears, job.bearings) == (gears, bearings)
    });
    let a_month: Vec<f64> = lines.map(|job| job.per_month).collect();
    (!a_month.is_empty()).then(|| 12.0 * a_month.iter().sum::<f64>())
}
