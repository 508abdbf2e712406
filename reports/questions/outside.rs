//! Jobs handed over with something outside a window: how many at all, and how many clearly.

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::count::estimate::Estimate;

use crate::figures::{percent, percent_interval};

/// What "clearly out" means.
pub const CLEARLY_OUT: &str = "Clearly out: outside a window by more than one graduation of the \
                               instrument that reads it; only these can come back.";

/// What is to be said beside it where jobs are compared; more where they are not read with the same
/// graduations, since it is these that say what is clearly out.
pub fn compared(setups: &[Setup]) -> String {
    let steps = |setup: &Setup| {
        let instruments = &setup.shop.instruments;
        [
            instruments.dial.step,
            instruments.pattern.step,
            instruments.torque.step,
        ]
    };
    let first = setups.first().map(steps);
    if setups.iter().all(|setup| Some(steps(setup)) == first) {
        CLEARLY_OUT.into()
    } else {
        format!(
            "{CLEARLY_OUT} Graduations are not the same here: the finer they are, the less it takes to \
             be clearly out."
        )
    }
}

/// The share of all others.
pub fn rest(share: &Estimate) -> Estimate {
    Estimate {
        value: 1.0 - share.value,
        low: 1.0 - share.high,
        high: 1.0 - share.low,
        n: share.n,
    }
}

/// What "clearly out" means, and how many jobs are outside at all, of those that were handed over.
pub fn told(right: &Estimate, clearly_out: &Estimate) -> String {
    let outside = rest(right);
    if outside.n == 0 {
        return CLEARLY_OUT.into();
    }
    if outside.value == 0.0 {
        return format!("{CLEARLY_OUT} No finished job was seen outside a window.");
    }
    let most = if clearly_out.high < 0.5 * outside.low {
        ", most by less than any bench can see"
    } else {
        ""
    };
    let interval = percent_interval(&outside);
    match outside.value {
        1.0 => format!("{CLEARLY_OUT} All finished jobs ({interval}) are outside{most}."),
        _ => format!(
            "{CLEARLY_OUT} In all, {} of finished jobs ({interval}) are outside{most}.",
            percent(&outside)
        ),
    }
}

/// How many finished jobs are clearly out, in the middle of a sentence.
pub fn clearly(share: &Estimate) -> String {
    let interval = match percent_interval(share).as_str() {
        "" => return "no job is finished".into(),
        interval => format!(" ({interval})"),
    };
    match share.value {
        0.0 => format!("no finished job was seen clearly out{interval}"),
        1.0 => format!("all finished jobs are clearly out{interval}"),
        _ => format!(
            "{} of finished jobs are clearly out{interval}",
            percent(share)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn how_far_outside_is_said_only_where_it_is_so() {
        let told = |right, clearly| {
            let share = |hits| Estimate::share(hits, 10_000);
            told(&share(right), &share(clearly))
        };
        let less = "most by less than any bench can see";
        assert!(told(8600, 150).contains("14.0 % of finished jobs"));
        assert!(told(8600, 150).ends_with(&format!("{less}.")));
        assert!(!told(8600, 1200).contains(less));
        assert!(told(10_000, 0).ends_with("No finished job was seen outside a window."));
        assert!(told(0, 10_000).contains("All finished jobs (above"));
        let none = Estimate::share(0, 0);
        assert_eq!(super::told(&none, &none), CLEARLY_OUT);
    }
}
