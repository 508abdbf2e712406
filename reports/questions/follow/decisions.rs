//! Decisions at the bench in words, each with its reason.

use shimcast_sim::bench::Decision;
use shimcast_sim::bench::setup::{Preload, Setup};
use shimcast_sim::shop::Correction;
use shimcast_sim::units::{SLACK, Window};

use crate::figures::{Printed, signed_percent};
use crate::questions::odds::has_adjusters;

/// What a decision was made on.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct On<'a> {
    /// Backlash readings.
    pub backlash: Option<&'a [f64]>,
    /// Pattern readings.
    pub pattern: Option<[f64; 2]>,
    /// Reading of the torque rise.
    pub rise: Option<f64>,
    /// Reading of the pinion's torque.
    pub torque: Option<f64>,
    /// What comes of it on the ring-gear side.
    pub ring: Option<RingMove>,
    /// Whether the better of two packs was put back on the ring-gear side before.
    pub gone_back: bool,
    /// Whether turns of the adjusters were wanted last.
    pub turns: bool,
}

/// Packs on the ring-gear side, thickness as printed, mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct RingMove {
    /// What is there.
    pub before: f64,
    /// What is wanted.
    pub wanted: f64,
    /// What goes in.
    pub after: f64,
}

/// A decision with its reason.
pub(super) fn decision(setup: &Setup, print: Printed, on: On<'_>, made: &Decision) -> String {
    let said = Said { setup, print, on };
    let windows = &setup.axle.windows;
    let reason = match *made {
        Decision::Reseat { variation } => format!(
            "the readings vary by {}, more than {}; the ring gear comes off and is seated again",
            print.length(variation),
            print.length(windows.backlash_variation)
        ),
        Decision::ChangeSides {
            mean,
            belief,
            backlash,
            preload,
        } => said.change_sides(mean, belief, backlash, preload),
        Decision::SidesGoBack { mean } => format!(
            "again {}, now too {} (mean {}); {}, and the other one read nearer: {}",
            said.backlash(),
            if mean < windows.backlash.middle() {
                "tight"
            } else {
                "loose"
            },
            print.length(mean),
            said.nothing_between(),
            match has_adjusters(setup) {
                true => "back to it, and there it stays",
                false => "it goes back in and stays",
            }
        ),
        Decision::SidesCannotBeBettered { mean } => said.sides_stay(mean),
        Decision::ChangePinion {
            mean,
            wanted,
            taken,
        } => said.change_pinion(mean, wanted, taken),
        Decision::FlanksDisagree => format!(
            "the pattern reads {}; drive and coast are off by as much to either side, which no depth \
             mends: a compromise",
            said.how_outside(said.pattern_in_book())
        ),
        Decision::MoveTooSmall { mean, move_there } => {
            let reads = format!("{}; the nearest pack", said.pattern(mean));
            if move_there.abs() <= SLACK {
                format!("{reads} is the one fitted: a compromise")
            } else {
                format!(
                    "{reads} would move the pinion by less than the {} that anybody chases: a \
                     compromise",
                    print.length(setup.shop.bench.smallest_move)
                )
            }
        }
        Decision::Accept => said.accept(),
        Decision::GiveUp => return said.give_up(),
        Decision::SleeveTooFar => format!(
            "{}, and a sleeve can't be backed off; a new one",
            match said.torque_in_book() {
                true => said.how_outside(true),
                false => "read above the window",
            }
        ),
        Decision::TorqueAccepted => match setup.preload {
            Preload::Sleeve { aim, .. } => {
                format!("at or past the aim of {}; done", print.torque(aim))
            }
            Preload::Spacer { .. } if said.guarded() => {
                "inside the window by the margin the shop keeps; done".into()
            }
            Preload::Spacer { .. } => "inside the window; done".into(),
        },
        Decision::ChangeSpacer => format!("{}; another pack", said.torque()),
        Decision::SpacerGoesBack => format!(
            "again {}, now on the other side; no pack between the two tried can be built, and the \
             other one read nearer: it goes back in, whatever it reads then",
            said.torque()
        ),
        Decision::TorqueCannotBeBettered if on.torque.is_some() => {
            format!(
                "{}; nothing at hand betters it: a compromise",
                said.torque()
            )
        }
        Decision::TorqueCannotBeBettered => "nothing at hand betters it: a compromise".into(),
    };
    format!("decides: {reason}")
}

struct Said<'a> {
    setup: &'a Setup,
    print: Printed,
    on: On<'a>,
}

impl Said<'_> {
    /// Whether readings are held to windows narrower than the book's.
    fn guarded(&self) -> bool {
        self.setup.shop.bench.guard > 0.0
    }

    /// Where a reading lies that is not as wanted.
    fn how_outside(&self, in_book: bool) -> &'static str {
        if in_book {
            "inside the book's window, but not by the margin the shop keeps"
        } else {
            "outside"
        }
    }

    fn backlash_in_book(&self) -> bool {
        let window = &self.setup.axle.windows.backlash;
        let readings = self.on.backlash.unwrap_or_default();
        self.guarded() && readings.iter().all(|reading| window.holds(*reading))
    }

    fn pattern_in_book(&self) -> bool {
        let limit = self.setup.axle.windows.pattern_profile + SLACK;
        let readings = self.on.pattern;
        self.guarded() && readings.is_some_and(|both| both.iter().all(|at| at.abs() <= limit))
    }

    fn torque_in_book(&self) -> bool {
        self.guarded() && self.holds(self.setup.torque_window, self.on.torque)
    }

    fn holds(&self, window: Window, reading: Option<f64>) -> bool {
        reading.is_some_and(|reading| window.holds(reading))
    }

    /// Whether every backlash reading is as wanted.
    fn backlash_as_wanted(&self) -> bool {
        let readings = self.on.backlash.unwrap_or_default();
        let held = self.setup.reading_windows.backlash;
        readings.iter().all(|reading| held.holds(*reading))
    }

    /// Whether the side preload, where it is read, is as wanted.
    fn preload_as_wanted(&self) -> bool {
        self.on
            .rise
            .is_none_or(|rise| self.setup.reading_windows.rise.holds(rise))
    }

    fn backlash(&self) -> String {
        format!(
            "a backlash reading is {}",
            self.how_outside(self.backlash_in_book())
        )
    }

    fn preload(&self) -> String {
        let in_book = self.guarded() && self.holds(self.setup.rise_window, self.on.rise);
        format!("the side preload reads {}", self.how_outside(in_book))
    }

    fn torque(&self) -> String {
        match self.torque_in_book() {
            true => self.how_outside(true).into(),
            false => "outside the window".into(),
        }
    }

    fn pattern(&self, mean: f64) -> String {
        format!(
            "the pattern reads {}, the mean of both flanks {} from the middle, too {}",
            self.how_outside(self.pattern_in_book()),
            signed_percent(mean),
            if mean > 0.0 { "shallow" } else { "deep" }
        )
    }

    fn nothing_between(&self) -> &'static str {
        match has_adjusters(self.setup) {
            true => "no notch lies between the two tried",
            false => "no pack between the two tried can be built",
        }
    }

    fn change_sides(&self, mean: f64, belief: f64, backlash: bool, preload: bool) -> String {
        let print = self.print;
        let missing = self.setup.axle.windows.backlash.middle() - mean;
        let mut said = if backlash {
            format!(
                "{}, and the mean of {} is {} {}",
                self.backlash(),
                print.bare_length(mean),
                print.length(missing.abs()),
                if missing > 0.0 {
                    "short of the middle"
                } else {
                    "over the middle"
                }
            )
        } else {
            self.preload()
        };
        if backlash && preload {
            said.push_str(&format!("; besides, {}", self.preload()));
        }
        let asked = missing / belief;
        let believed = format!("(believed {belief:.2} to one)");
        let [pack, goes] = match has_adjusters(self.setup) {
            true => ["notch", "is taken"],
            false => ["pack", "goes in"],
        };
        said.push_str(&match self.on.ring {
            Some(ring) if (ring.after - ring.before).abs() <= SLACK => {
                "; the ring-gear side stays as it is, the far side changes".to_owned()
            }
            // a thinner pack lets the ring gear move out
            Some(ring) if (ring.wanted - (ring.before - asked)).abs() > SLACK => format!(
                "; that asks for the ring gear {} {believed}, which is a {pack} tried before or past \
                 it; a {pack} between the two tried {goes}: {}",
                out(print, asked),
                out(print, ring.before - ring.after)
            ),
            _ => format!("; ring gear {} {believed}", out(print, asked)),
        });
        said
    }

    /// Backlash or side preload is not as wanted, and stays.
    fn sides_stay(&self, mean: f64) -> String {
        let reads = if self.backlash_as_wanted() {
            self.preload()
        } else {
            format!("{} (mean {})", self.backlash(), self.print.length(mean))
        };
        let stays = match (self.on.gone_back, has_adjusters(self.setup)) {
            (true, _) => "this is the better one of the two, and it stays",
            (false, true) => "no better notch is left",
            (false, false) => "no better pack can be built",
        };
        format!("{reads}; {stays}: a compromise")
    }

    fn change_pinion(&self, mean: f64, wanted: f64, taken: f64) -> String {
        let print = self.print;
        let habits = &self.setup.shop.bench;
        let asked = mean / habits.depth_belief;
        let narrowed = habits.correction == Correction::Measured && (asked - wanted).abs() > SLACK;
        let wants = if narrowed {
            format!(
                "that asks for the pinion {}, which is a pack tried before or past it; between the \
                 two tried lies {}",
                deeper(print, asked),
                deeper(print, wanted)
            )
        } else {
            format!("wants the pinion {}", deeper(print, wanted))
        };
        format!(
            "{}; {wants}, the nearest pack gives {}; the ring gear follows",
            self.pattern(mean),
            deeper(print, taken)
        )
    }

    fn accept(&self) -> String {
        let what = match self.backlash_as_wanted() && self.preload_as_wanted() {
            true => "all of it",
            false => "the pattern",
        };
        let margin = if self.guarded() {
            " by the margin the shop keeps"
        } else {
            ""
        };
        format!("{what} reads inside{margin}; accepted")
    }

    fn give_up(&self) -> String {
        let bench = &self.setup.shop.bench;
        let most = bench.most_assemblies;
        if self.on.turns {
            format!(
                "but that would be one turn of the adjusters more than the {} this shop makes (four \
                 times bench.most_assemblies): given up",
                bench.most_turns()
            )
        } else {
            format!("but that would be one assembly more than the {most} this shop makes: given up")
        }
    }
}

/// A ring-gear move in words.
fn out(print: Printed, by: f64) -> String {
    format!(
        "{} by {}",
        if by > 0.0 { "out" } else { "in" },
        print.length(by.abs())
    )
}

/// A pinion move in words.
fn deeper(print: Printed, by: f64) -> String {
    format!(
        "{} {}",
        print.length(by.abs()),
        if by > 0.0 { "deeper" } else { "shallower" }
    )
}
