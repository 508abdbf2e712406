//! Shops that take long.

use std::thread::available_parallelism;

use shimcast_sim::stock::Question;

use crate::questions::context::warn;

/// A plan that is thought to take longer, seconds, is spoken of before it starts.
const LONG: f64 = 60.0;

/// Says on stderr that a plan will take long, and what makes it so.
pub(crate) fn large_shop(question: &Question<'_>, threads: Option<usize>) {
    let all = available_parallelism().map_or(1, usize::from);
    let seconds = question.seconds() / threads.unwrap_or(all) as f64;
    if seconds > LONG {
        warn(format!(
            "so many jobs between an order and the delivery of the next take about {:.0} minutes to \
             plan for (order_every_days, lead_time_days, per_month); Ctrl-C breaks it off",
            (seconds / 60.0).ceil()
        ));
    }
}
