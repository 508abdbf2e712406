//! Decisions at the bench, each as JSON and in words with its reason.

use serde_json::{Value, json};
use shimcast_sim::bench::Decision;
use shimcast_sim::bench::setup::Preload;
use shimcast_sim::shop::Correction;
use shimcast_sim::units::{SLACK, Window};

use super::events::{Description, Grounds};
use crate::pattern;
use crate::printed::Printed;

/// A decision as JSON, and why it was made.
type Reason = (Value, String);

impl Grounds<'_> {
    pub(super) fn decision(&self, made: Decision) -> Description {
        let (mut json, reason) = match made {
            Decision::Reseat { variation } => self.reseat(variation),
            Decision::ChangeSides {
                mean,
                belief,
                backlash,
                preload,
            } => self.change_sides(mean, belief, [backlash, preload]),
            Decision::SidesGoBack { mean } => self.sides_go_back(mean),
            Decision::SidesCannotBeBettered { mean } => self.sides_stay(mean),
            Decision::ChangePinion {
                mean,
                asked,
                halved,
                wanted,
                taken,
            } => self.change_pinion(mean, [asked, wanted, taken], halved),
            Decision::FlanksDisagree => self.flanks_disagree(),
            Decision::MoveTooSmall { mean, move_there } => self.pinion_stays(mean, move_there),
            Decision::Accept => self.accept(),
            Decision::GiveUp => self.give_up(),
            Decision::SleeveTooFar => self.sleeve_too_far(),
            Decision::ChangeSpacer { asked, wanted } => self.change_spacer(asked, wanted),
            Decision::SpacerGoesBack => self.spacer_goes_back(),
            Decision::TorqueCannotBeBettered => self.torque_stays(),
            Decision::TorqueAccepted => self.torque_accepted(),
        };
        json["step"] = "decision".into();
        // giving up goes on from what was decided before
        let decides = match made {
            Decision::GiveUp => "",
            _ => "decides: ",
        };
        (json, vec![format!("{decides}{reason}")])
    }

    /// Whether readings are held to windows narrower than the book's.
    fn guarded(&self) -> bool {
        self.setup.shop.bench.guard > 0.0
    }

    /// Behind what reads inside a window that the shop has narrowed.
    fn margin(&self) -> &'static str {
        match self.guarded() {
            true => " by the margin the shop keeps",
            false => "",
        }
    }

    /// Where a reading lies that is not as wanted: outside the book's window, or inside it and yet
    /// not by the shop's margin.
    fn outside(&self, in_book: bool, outside: &'static str) -> &'static str {
        match self.guarded() && in_book {
            true => "inside the book's window, but not by the margin the shop keeps",
            false => outside,
        }
    }

    /// Whether every backlash reading lies in a window.
    fn backlash_in(&self, window: Window) -> bool {
        let readings = self.open.and_then(|open| open.backlash.as_deref());
        let mut readings = readings.unwrap_or_default().iter();
        readings.all(|reading| window.holds(*reading))
    }

    fn rise(&self) -> Option<f64> {
        self.open?.rise.map(|[_, read]| read)
    }

    fn backlash_reads(&self) -> String {
        let in_book = self.backlash_in(self.setup.axle.windows.backlash);
        let outside = self.outside(in_book, "outside");
        format!("a backlash reading is {outside}")
    }

    fn preload_reads(&self) -> String {
        let window = self.setup.rise_window;
        let in_book = self.rise().is_some_and(|rise| window.holds(rise));
        let outside = self.outside(in_book, "outside");
        format!("the side preload reads {outside}")
    }

    fn pattern_reads(&self) -> String {
        let limit = self.setup.axle.windows.pattern_profile + SLACK;
        let readings = self.open.and_then(|open| open.pattern);
        let in_book = readings.is_some_and(|both| both.iter().all(|at| at.abs() <= limit));
        let outside = self.outside(in_book, "outside");
        format!("the pattern reads {outside}")
    }

    fn mean_pattern_reads(&self, mean: f64) -> String {
        format!(
            "{}, the mean of both flanks {}: the pinion sits too {}",
            self.pattern_reads(),
            pattern::up(mean, self.setup.axle.windows.pattern_profile),
            if mean > 0.0 { "shallow" } else { "deep" }
        )
    }

    fn torque_reads(&self, outside: &'static str) -> &'static str {
        let window = self.setup.torque_window;
        let in_book = self.torque.is_some_and(|torque| window.holds(torque));
        self.outside(in_book, outside)
    }

    fn reseat(&self, variation: f64) -> Reason {
        let most = self.setup.axle.windows.backlash_variation;
        let [varies, most] = [variation, most].map(|mm| self.print.given(mm));
        let json = json!({ "do": "reseat", "variation": variation });
        let said = format!(
            "the readings vary by {varies}, more than {most}; the ring gear comes off and is seated \
             again"
        );
        (json, said)
    }

    fn change_sides(&self, mean: f64, belief: f64, [backlash, preload]: [bool; 2]) -> Reason {
        let print = self.print;
        let missing = self.setup.axle.windows.backlash.middle() - mean;
        let reads = match backlash {
            true => {
                let side = if missing > 0.0 { "short of" } else { "over" };
                let [mean, off] = [print.bare_length(mean), print.length(missing.abs())];
                let besides = match preload {
                    true => format!("; besides, {}", self.preload_reads()),
                    false => String::new(),
                };
                let reads = self.backlash_reads();
                format!("{reads}, and the mean of {mean} is {off} {side} the middle{besides}")
            }
            false => self.preload_reads(),
        };
        let asked = missing / belief;
        let moves = out(print, asked);
        let asks = format!("ring gear {moves} (believed {belief:.2} to one)");
        let does = match self.ring {
            Some(ring) if (ring.after - ring.before).abs() <= SLACK => {
                "the ring-gear side stays as it is, the far side changes".to_owned()
            }
            // a thinner pack lets the ring gear move out
            Some(ring) if (ring.wanted - (ring.before - asked)).abs() > SLACK => {
                let pack = self.of_sides("notch", "pack");
                let goes = self.of_sides("is taken", "goes in");
                let moves = out(print, ring.before - ring.after);
                format!(
                    "that asks for the {asks}, no nearer than a {pack} already tried; the two tried \
                     bracket it, and the {pack} nearest to halfway between them {goes}: {moves}"
                )
            }
            _ => asks,
        };
        let json = json!({
            "do": "change_sides",
            "mean": mean,
            "ring_belief": belief,
            "backlash_outside": backlash,
            "preload_outside": preload,
        });
        (json, format!("{reads}; {does}"))
    }

    fn sides_go_back(&self, mean: f64) -> Reason {
        let tight = mean < self.setup.axle.windows.backlash.middle();
        let too = if tight { "tight" } else { "loose" };
        let (reads, at) = (self.backlash_reads(), self.print.length(mean));
        let why = self.of_sides(
            "no notch lies between the two tried",
            "no pack between the two tried can be built",
        );
        let back = self.of_sides(
            "back to it, and there it stays",
            "it goes back in and stays",
        );
        let json = json!({ "do": "sides_go_back", "mean": mean });
        let said = format!(
            "again {reads}, now too {too} (mean {at}); {why}, and the other one read nearer: {back}"
        );
        (json, said)
    }

    /// Backlash or side preload is not as wanted, and stays.
    fn sides_stay(&self, mean: f64) -> Reason {
        let reads = match self.backlash_in(self.setup.reading_windows.backlash) {
            true => self.preload_reads(),
            false => {
                let at = self.print.length(mean);
                format!("{} (mean {at})", self.backlash_reads())
            }
        };
        let stays = match self.gone_back {
            true => "this is the better one of the two, and it stays",
            false => self.of_sides("no better notch is left", "no better pack can be built"),
        };
        let json = json!({ "do": "leave_sides", "mean": mean });
        (json, format!("{reads}; {stays}: a compromise"))
    }

    fn change_pinion(&self, mean: f64, [asked, wanted, taken]: [f64; 3], halved: bool) -> Reason {
        let halving = self.setup.shop.bench.correction == Correction::Halving;
        let bracketed = (asked - wanted).abs() > SLACK;
        let [asks, wants, gives] = [asked, wanted, taken].map(|mm| deeper(self.print, mm));
        let asks = match (halving, halved) {
            (true, true) => format!("the direction has turned, so the move is halved: {asks}"),
            (true, false) => format!("by halving, the next move is {asks}"),
            _ => format!("that asks for the pinion {asks}"),
        };
        let wants = match bracketed {
            true => format!(
                "{asks}, no nearer than a pack already tried; the two tried bracket it, and halfway \
                 between them is {wants}"
            ),
            false => asks,
        };
        let reads = self.mean_pattern_reads(mean);
        let json = json!({
            "do": "change_pinion",
            "mean": mean,
            "asked_deeper": asked,
            "halved": halved,
            "wanted_deeper": wanted,
            "taken_deeper": taken,
        });
        let said =
            format!("{reads}; {wants}; the nearest pack gives {gives}; the ring gear follows");
        (json, said)
    }

    fn flanks_disagree(&self) -> Reason {
        let reads = self.pattern_reads();
        let said = format!(
            "{reads}; drive and coast are off by as much to either side, which no change of depth puts right: a \
             compromise"
        );
        (json!({ "do": "leave_pinion", "mean": 0.0 }), said)
    }

    fn pinion_stays(&self, mean: f64, move_there: f64) -> Reason {
        let reads = self.mean_pattern_reads(mean);
        let smallest = self.print.given(self.setup.shop.bench.smallest_move);
        let stays = match move_there.abs() <= SLACK {
            true => "is the one fitted".to_owned(),
            false => {
                format!("would move the pinion by less than the {smallest} worth a change")
            }
        };
        let json = json!({ "do": "leave_pinion", "mean": mean, "move_deeper": move_there });
        (
            json,
            format!("{reads}; the nearest pack {stays}: a compromise"),
        )
    }

    fn accept(&self) -> Reason {
        let held = &self.setup.reading_windows;
        let preload = self.rise().is_none_or(|rise| held.rise.holds(rise));
        let what = match (preload && self.backlash_in(held.backlash), self.compromised) {
            (true, false) => "all of it reads inside",
            (true, true) => "backlash and pattern read inside",
            (false, _) => "the pattern reads inside",
        };
        let margin = self.margin();
        let despite = match self.compromised {
            true => ", with the compromise made before",
            false => "",
        };
        let said = format!("{what}{margin}; accepted{despite}");
        (json!({ "do": "accept" }), said)
    }

    fn give_up(&self) -> Reason {
        let bench = &self.setup.shop.bench;
        let (turns, assemblies) = (bench.most_turns(), bench.most_assemblies);
        let more = match self.turns_wanted {
            true => format!(
                "turn of the adjusters more than the {turns} this shop makes (four times \
                 bench.most_assemblies)"
            ),
            false => format!("assembly more than the {assemblies} this shop makes"),
        };
        let said = format!("but that would be one {more}: given up");
        (json!({ "do": "give_up" }), said)
    }

    /// Decisions about the pinion's preload.
    fn sleeve_too_far(&self) -> Reason {
        let reads = self.torque_reads("read above the window");
        let said = format!("{reads}, and a sleeve can't be backed off; a new one");
        (json!({ "do": "new_sleeve" }), said)
    }

    fn change_spacer(&self, asked: f64, wanted: f64) -> Reason {
        let reads = self.torque_reads("outside the window");
        let [asks, wants] = [asked, wanted].map(|mm| thicker(self.print, mm));
        let wants = match (asked - wanted).abs() > SLACK {
            true => format!(
                "{asks}, no nearer than a pack already tried; the two tried bracket it, and halfway \
                 between them is {wants}"
            ),
            false => asks,
        };
        let json = json!({
            "do": "change_spacer", "asked_thicker": asked, "wanted_thicker": wanted,
        });
        (json, format!("{reads}; that asks for a pack {wants}"))
    }

    fn spacer_goes_back(&self) -> Reason {
        let reads = self.torque_reads("outside the window");
        let said = format!(
            "again {reads}, now on the other side; no pack between the two tried can be built, and \
             the other one read nearer: it goes back in, whatever it reads then"
        );
        (json!({ "do": "spacer_goes_back" }), said)
    }

    fn torque_stays(&self) -> Reason {
        let reads = self.torque.map(|_| self.torque_reads("outside the window"));
        let reads = reads.map(|reads| format!("{reads}; ")).unwrap_or_default();
        let said = format!("{reads}nothing at hand betters it: a compromise");
        (json!({ "do": "leave_torque" }), said)
    }

    fn torque_accepted(&self) -> Reason {
        let accepted = match self.setup.preload {
            Preload::Sleeve { aim, .. } => {
                format!("at or past the aim of {}", self.print.torque(aim))
            }
            Preload::Spacer { .. } => format!("inside the window{}", self.margin()),
        };
        (
            json!({ "do": "accept_torque" }),
            format!("{accepted}; done"),
        )
    }
}

/// A ring-gear move in words.
fn out(print: Printed, by: f64) -> String {
    let way = if by > 0.0 { "out" } else { "in" };
    format!("{way} by {}", print.length(by.abs()))
}

/// A pinion move in words.
fn deeper(print: Printed, by: f64) -> String {
    let way = if by > 0.0 { "deeper" } else { "shallower" };
    format!("{} {way}", print.length(by.abs()))
}

/// A change of a pack in words.
fn thicker(print: Printed, by: f64) -> String {
    let way = if by > 0.0 { "thicker" } else { "thinner" };
    format!("{} {way}", print.length(by.abs()))
}
