//! Decisions at the bench in words, each with its reason.

use shimcast_sim::bench::Decision;
use shimcast_sim::setup::{Preload, Setup};
use shimcast_sim::units::SLACK;

use crate::figures::{Printed, signed_percent};

/// A decision with its reason.
pub(super) fn decision(setup: &Setup, print: Printed, made: &Decision) -> String {
    let windows = &setup.axle.windows;
    match *made {
        Decision::Reseat { variation } => format!(
            "decides: the readings vary by {}, more than {}; the ring gear comes off and is seated \
             again",
            print.length(variation),
            print.length(windows.backlash_variation)
        ),
        Decision::ChangeSides {
            mean,
            belief,
            backlash,
            preload,
        } => {
            let missing = windows.backlash.middle() - mean;
            let mut said = if backlash {
                format!(
                    "decides: a backlash reading is outside, and the mean of {} is {} {}",
                    print.bare_length(mean),
                    print.length(missing.abs()),
                    if missing > 0.0 {
                        "short of the middle"
                    } else {
                        "over the middle"
                    }
                )
            } else {
                "decides: the side preload reads outside its window".to_owned()
            };
            if backlash && preload {
                said.push_str(", and the side preload reads outside as well");
            }
            said.push_str(&format!(
                "; ring gear {} by {} (believed {belief:.2} to one)",
                if missing > 0.0 { "out" } else { "in" },
                print.length((missing / belief).abs())
            ));
            said
        }
        Decision::SidesGoBack { mean } => format!(
            "decides: mean backlash {} and a reading outside again, on the other side; nothing in \
             between can be built, and the pack before was nearer: it goes back in",
            print.length(mean)
        ),
        Decision::SidesCannotBeBettered { mean } => format!(
            "decides: mean backlash {} or a reading is not as wanted, but nothing better can be \
             built; a compromise",
            print.length(mean)
        ),
        Decision::ChangePinion {
            mean,
            wanted,
            taken,
        } => format!(
            "decides: the pattern reads outside, the mean of both flanks {} from the middle, too {}; \
             wants the pinion {}, the nearest pack gives {}; the ring gear follows",
            signed_percent(mean),
            if mean > 0.0 { "shallow" } else { "deep" },
            deeper(print, wanted),
            deeper(print, taken)
        ),
        Decision::FlanksDisagree => "decides: drive and coast are off by as much to either side, \
                                     which no depth mends; a compromise"
            .into(),
        Decision::MoveTooSmall { mean, move_there } => {
            let reads = format!(
                "decides: the pattern reads outside, the mean of both flanks {} from the middle, too \
                 {}, but the nearest pack",
                signed_percent(mean),
                if mean > 0.0 { "shallow" } else { "deep" }
            );
            if move_there.abs() <= SLACK {
                format!("{reads} is the one fitted; a compromise")
            } else {
                format!(
                    "{reads} would move the pinion by less than the {} that anybody chases; a \
                     compromise",
                    print.length(setup.shop.bench.smallest_move)
                )
            }
        }
        Decision::Accept => "decides: all of it reads inside; accepted".into(),
        Decision::GiveUp => format!(
            "but that would be one assembly more than the {} this shop makes: given up",
            setup.shop.bench.most_assemblies
        ),
        Decision::SleeveTooFar => {
            "decides: read above the window, and a sleeve can't be backed off; a new one".into()
        }
        Decision::TorqueAccepted => match setup.preload {
            Preload::Sleeve { aim, .. } => {
                format!("decides: at or past the aim of {}; done", print.torque(aim))
            }
            Preload::Spacer { .. } => "decides: inside the window; done".into(),
        },
        Decision::ChangeSpacer => "decides: outside the window; another pack".into(),
        Decision::SpacerGoesBack => {
            "decides: outside on the other side, nothing in between can be \
                                     built, and the pack before was nearer: it goes back in"
                .into()
        }
        Decision::TorqueCannotBeBettered => {
            "decides: nothing at hand betters it; a compromise".into()
        }
    }
}

/// A pinion move in words.
fn deeper(print: Printed, by: f64) -> String {
    format!(
        "{} {}",
        print.length(by.abs()),
        if by > 0.0 { "deeper" } else { "shallower" }
    )
}
