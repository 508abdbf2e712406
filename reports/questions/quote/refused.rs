//! What is said of a job that is not to be quoted.

use shimcast_sim::quote::{NotQuoted, WindowMet, WindowName};

use crate::figures::said;
use crate::questions::outside::rest;

/// When a job is quoted.
pub const CRITERION: &str = "A job is quoted where at least half of such jobs are finished, and at least 1 \
                             in 100 is right in every window when handed over.";

/// Half of the jobs: fewer finished ones are worth a word.
const HALF: f64 = 0.5;

/// That it is not to be quoted, and why: `don't quote this: the pattern window is never met`.
pub fn words(of: &NotQuoted) -> String {
    let mut reasons = Vec::new();
    if of.finished.value < HALF {
        let given_up = rest(&of.finished);
        reasons.push(match given_up.value {
            1.0 => "every job is given up".to_owned(),
            _ => format!("{} of jobs are given up", said(&given_up)),
        });
    }
    reasons.extend(of.windows.iter().map(met));
    format!("don't quote this: {}", reasons.join("; "))
}

/// How often a window is met.
fn met(of: &WindowMet) -> String {
    let window = name(of.window);
    match of.share.value {
        0.0 => format!("the {window} window is never met"),
        share if share < 0.01 => format!(
            "the {window} window is hardly ever met, by {} of jobs",
            said(&of.share)
        ),
        _ => format!("the {window} window is met by {} of jobs", said(&of.share)),
    }
}

/// What a window is called.
pub fn name(window: WindowName) -> &'static str {
    match window {
        WindowName::Backlash => "backlash",
        WindowName::Pattern => "pattern",
        WindowName::SidePreload => "side preload",
        WindowName::PinionTorque => "pinion torque",
    }
}
