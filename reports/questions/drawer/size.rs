//! Shops that take long.

use std::thread::available_parallelism;

use shimcast_sim::stock::Question;

use crate::questions::context::{Failure, warn};

/// What makes a shop large.
const WHAT: &str = "order_every_days, lead_time_days, per_month";
/// A plan that is thought to take longer, seconds, is spoken of before it starts.
const LONG: f64 = 60.0;

/// A plan that is thought to take more memory, bytes, is refused.
const TOO_LARGE: f64 = 3e8;

/// Says on stderr that a plan will take long, and what makes it so.
///
/// # Errors
/// Where it would take more memory than a plan may.
pub(crate) fn large_shop(question: &Question<'_>, threads: Option<usize>) -> Result<(), Failure> {
    let bytes = question.bytes();
    if bytes > TOO_LARGE {
        return Err(Failure::BadInput(format!(
            "so many jobs between an order and the delivery of the next ({WHAT}) take about {:.0} MB of \
             memory to plan for\n  help: plan for a part of them, e.g. a tenth of every per_month: what \
             to keep grows a little less than the jobs",
            (bytes / 1e6).ceil()
        )));
    }
    let many = format!("so many jobs between an order and the delivery of the next ({WHAT})");
    warn_of_time(question.seconds(), threads, &many);
    Ok(())
}

/// Says on stderr that something will take long: `seconds` on one processor.
pub(crate) fn warn_of_time(seconds: f64, threads: Option<usize>, many: &str) {
    let all = available_parallelism().map_or(1, usize::from);
    let seconds = seconds / threads.unwrap_or(all) as f64;
    if seconds > LONG {
        let minutes = (seconds / 60.0).ceil();
        warn(format!(
            "{many} take about {minutes:.0} minutes to plan for; Ctrl-C breaks it off"
        ));
    }
}
