//! The columns of single rebuilds: what each is called and holds, and where its figure is found.

use shimcast_sim::bench::Rebuild;
use shimcast_sim::bench::job::Ending;
use shimcast_sim::bench::outcome::{Inside, Outcome};
use shimcast_sim::bench::parts::Parts;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::bench::truth::Assembly;

use super::seen::{Readings, Seen};
use crate::document::in_full as cell;
use crate::parts;
use crate::units::Units;

/// One rebuild, done.
pub(super) struct Done {
    pub(super) number: u64,
    pub(super) parts: Parts,
    pub(super) rebuild: Rebuild,
    pub(super) ending: Ending,
    pub(super) seen: Seen,
    pub(super) minutes: f64,
    pub(super) cost: f64,
}

/// A column.
pub(super) struct Column {
    /// Its name, which ends in its unit.
    pub(super) name: String,
    /// The unit; nothing where it has none.
    pub(super) unit: String,
    /// What it holds.
    pub(super) what: String,
    pub(super) of: Box<dyn Fn(&Done) -> String>,
}

/// A figure of an assembly's truth.
pub struct TruthColumn {
    name: &'static str,
    unit: &'static str,
    what: &'static str,
    /// Where it is found.
    pub of: fn(&Assembly) -> f64,
}

impl TruthColumn {
    /// Its name, which ends in its unit.
    pub fn name(&self) -> String {
        format!("{}_{}", self.name, self.unit)
    }
}

macro_rules! truth {
    ($($name:literal $unit:literal $what:literal $of:expr;)+) => {
        [$(TruthColumn { name: $name, unit: $unit, what: $what, of: $of }),+]
    };
}

/// The truth of an assembly, which no bench sees.
pub static TRUTH: [TruthColumn; 9] = truth! {
    "depth" "mm" "pinion depth against the best of its pair, + too shallow" |t| t.depth;
    "ring" "mm" "ring position against the best of its pair" |t| t.ring;
    "backlash" "mm" "backlash, mean of a turn" |t| t.backlash;
    "half_swing" "mm" "half of what backlash varies in a turn" |t| t.swing;
    "side_closure" "mm" "side bearings past zero end play" |t| t.closure;
    "drive_length" "share" "drive pattern off the centre along the tooth" |t| t.pattern[0];
    "drive_profile" "share" "drive pattern off the centre up the tooth" |t| t.pattern[1];
    "coast_length" "share" "coast pattern off the centre along the tooth" |t| t.pattern[2];
    "coast_profile" "share" "coast pattern off the centre up the tooth" |t| t.pattern[3];
};

/// All columns, in order.
pub(super) fn columns(setup: &Setup, units: Units) -> Vec<Column> {
    let mut all = List(Vec::new());
    all.add("rebuild", "", "number of the rebuild", |d| {
        d.number.to_string()
    });
    for part in parts::columns(setup) {
        let what = format!("{}, as drawn", part.what);
        all.add(part.column, part.unit, what, move |d| {
            (part.of)(&d.parts).map_or_else(String::new, cell)
        });
    }
    all.stage("first", |d| (&d.rebuild.first, d.ending.first));
    all.stage("last", |d| (&d.rebuild.last, d.ending.last));
    all.work(units);
    all.read(setup, units);
    all.end(setup);
    all.0
}

struct List(Vec<Column>);

/// Whether a truth lies inside one of its windows.
type InWindow = fn(Inside) -> bool;
/// One figure of many readings.
type OfReadings = fn(&[f64]) -> f64;

/// Windows by name.
const WINDOWS: [(&str, InWindow); 4] = [
    ("backlash", |so| so.backlash),
    ("pattern", |so| so.pattern),
    ("side_closure", |so| so.closure),
    ("depth", |so| so.depth),
];

/// Places of packs, in their order.
const PACKS: [&str; 4] = ["pinion", "ring_side", "far_side", "spacer"];

impl List {
    fn add(
        &mut self,
        name: &str,
        unit: &str,
        what: impl Into<String>,
        of: impl Fn(&Done) -> String + 'static,
    ) {
        let name = match unit {
            "" => name.to_owned(),
            unit => format!("{name}_{unit}"),
        };
        self.0.push(Column {
            name,
            unit: unit.to_owned(),
            what: what.into(),
            of: Box::new(of),
        });
    }

    fn count(&mut self, name: &str, what: &str, of: fn(&Rebuild) -> u32) {
        self.add(name, "", what, move |d| of(&d.rebuild).to_string());
    }

    fn flag(&mut self, name: &str, what: impl Into<String>, of: impl Fn(&Done) -> bool + 'static) {
        let what = format!("{}: true or false", what.into());
        self.add(name, "", what, move |d| of(d).to_string());
    }

    /// The truth of an assembly, and which windows hold it.
    fn stage(&mut self, stage: &'static str, of: fn(&Done) -> (&Assembly, Inside)) {
        let whose = format!("truth of the {stage} assembly");
        for truth in &TRUTH {
            let name = format!("{stage}_{}", truth.name);
            let what = format!("{whose}: {}", truth.what);
            self.add(&name, truth.unit, what, move |d| cell((truth.of)(of(d).0)));
        }
        for (window, so) in WINDOWS {
            let what = format!("{whose}: {} inside its window", window.replace('_', " "));
            self.flag(&format!("{stage}_{window}_inside"), what, move |d| {
                so(of(d).1)
            });
        }
    }

    /// The work and what stands at its end.
    fn work(&mut self, units: Units) {
        self.flag("finished", "finished, not given up", |d| d.rebuild.finished);
        self.flag(
            "compromised",
            "something that read outside its window was accepted, since no pack betters it",
            |d| d.rebuild.compromised,
        );
        self.count("assemblies", "assemblies, the first included", |r| {
            r.assemblies
        });
        self.count("pinion_changes", "changes of the pinion shim", |r| {
            r.pinion_changes
        });
        self.count("side_changes", "changes of the sides alone", |r| {
            r.side_changes
        });
        self.count("reseats", "times the ring gear was seated again", |r| {
            r.reseats
        });
        self.count("preload_tries", "sleeves, or goes at the spacer", |r| {
            r.preload_tries
        });
        self.add(
            "pinion_torque",
            "N.m",
            "true torque to turn the pinion alone",
            |d| d.rebuild.pinion_torque.map_or_else(String::new, cell),
        );
        self.add(
            "pinion_torque_inside",
            "",
            "true pinion torque inside its window: true or false",
            |d| {
                d.ending
                    .torque
                    .map_or_else(String::new, |so| so.to_string())
            },
        );
        let length = units.length;
        for (place, name) in PACKS.into_iter().enumerate() {
            let what = format!("{}, as printed, at the end", pack_words(name));
            self.add(&format!("{name}_pack"), length.name(), what, move |d| {
                let pack = d.rebuild.packs[place];
                pack.map_or_else(String::new, |pack| cell(pack.printed / length.mm()))
            });
        }
        self.add("minutes", "", "minutes of work", |d| cell(d.minutes));
        self.flag(
            "clearly_out",
            "finished, and the truth outside a window by more than one graduation",
            |d| d.ending.outcome.is_clearly_out(),
        );
        self.count("cones_pulled", "bearing cones pulled", |r| r.cones_pulled);
    }

    /// What was read, in the units in which people read.
    fn read(&mut self, setup: &Setup, units: Units) {
        self.flag(
            "marks_misread",
            "the sign of the marks was taken the wrong way round",
            |d| d.seen.slipped,
        );
        let length = units.length;
        for (place, name) in PACKS.into_iter().take(3).enumerate() {
            let what = format!("{}, as printed, of the first assembly", pack_words(name));
            let name = format!("first_{name}_pack");
            self.add(&name, length.name(), what, move |d| {
                d.seen.packs[place].map_or_else(String::new, |mm| cell(mm / length.mm()))
            });
        }
        let rise = setup.shop.bench.side_check == shimcast_sim::shop::SideCheck::TorqueRise;
        self.readings("first", |d| &d.seen.first, units, rise);
        self.readings("last", |d| &d.seen.last, units, rise);
        let torque = units.torque;
        self.add(
            "read_pinion_torque",
            torque.name(),
            "torque to turn the pinion alone, as read last",
            move |d| {
                let read = d.seen.torque;
                read.map_or_else(String::new, |nm| cell(nm / torque.newton_metres()))
            },
        );
        self.add(
            "decisions",
            "",
            "decisions in order, divided by blanks, as follow --json calls them",
            |d| d.seen.decisions.join(" "),
        );
    }

    fn readings(
        &mut self,
        stage: &'static str,
        of: fn(&Done) -> &Readings,
        units: Units,
        rise: bool,
    ) {
        let whose = format!("{stage} assembly as read");
        let (length, torque) = (units.length, units.torque);
        let ends: [(&str, &str, OfReadings); 3] = [
            ("least", "least", |all| {
                all.iter().copied().fold(f64::INFINITY, f64::min)
            }),
            ("mean", "mean", |all| {
                all.iter().sum::<f64>() / all.len() as f64
            }),
            ("most", "largest", |all| {
                all.iter().copied().fold(f64::NEG_INFINITY, f64::max)
            }),
        ];
        for (key, word, end) in ends {
            let name = format!("{stage}_read_backlash_{key}");
            let what = format!("{whose}: {word} backlash reading");
            self.add(&name, length.name(), what, move |d| {
                cell(end(&of(d).backlash) / length.mm())
            });
        }
        if rise {
            let name = format!("{stage}_read_torque_rise");
            let what = format!("{whose}: rise of the torque with the carrier in");
            self.add(&name, torque.name(), what, move |d| {
                let read = of(d).rise;
                read.map_or_else(String::new, |nm| cell(nm / torque.newton_metres()))
            });
        }
        for (place, flank) in ["drive", "coast"].into_iter().enumerate() {
            let name = format!("{stage}_read_{flank}_profile");
            let what = format!("{whose}: {flank} pattern off the centre up the tooth");
            self.add(&name, "share", what, move |d| {
                of(d)
                    .pattern
                    .map_or_else(String::new, |both| cell(both[place]))
            });
        }
    }

    /// What it came to.
    fn end(&mut self, setup: &Setup) {
        let currency = setup.shop.currency.clone();
        let what = "cost of the job: hours, sleeves and shims, and what is to be expected of cones \
                    spoiled, comebacks and giving up";
        self.add("cost", &currency, what, |d| cell(d.cost));
        self.add(
            "outcome",
            "",
            "right_at_once, right_after_corrections, slightly_out, clearly_out or given_up",
            |d| {
                let how = match d.ending.outcome {
                    Outcome::GivenUp => "given_up",
                    Outcome::WronglyPassed { clearly: true } => "clearly_out",
                    Outcome::WronglyPassed { clearly: false } => "slightly_out",
                    Outcome::Right if d.rebuild.assemblies == 1 => "right_at_once",
                    Outcome::Right => "right_after_corrections",
                };
                how.to_owned()
            },
        );
    }
}

fn pack_words(name: &str) -> String {
    format!("{} pack", name.replace('_', " "))
}
