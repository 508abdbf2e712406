//! The job sheet for the bench: two sides of paper to fill in by hand while an axle is set up, or with what
//! a job file states written into it. Nothing on it is simulated.

mod filled;
mod starts;

use shimcast_sim::axle::{Condition, Indicator, PreloadBy};
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::next::Known;
use shimcast_sim::shop::{PinionStart, SideCheck};

use crate::document::{AT_WORK, CAUTION, Form, FormField, FormLine, FormPart, PrintedTable};
use crate::figures::plain;
use crate::files::{Assumption, LoadedJob};
use crate::printed::Printed;
use crate::questions::frame::renewed;
use crate::units::Length;

/// Assemblies that there is room for, and how many where torque is read of each as well.
const ASSEMBLIES: u32 = 5;
const ASSEMBLIES_WITH_TORQUE: u32 = 4;
/// Most boxes for readings of one kind; more go on a sheet of their own.
const MOST_READINGS: u32 = 12;
/// Readings of torque that there is room for, try after try.
const TORQUES: u32 = 8;

/// What a sheet is made for.
#[derive(Debug, Clone, Copy)]
pub struct Bench<'a> {
    /// The job.
    pub setup: &'a Setup,
    /// How lengths and torques are printed.
    pub print: Printed,
    /// What looks wrong in the files, a sentence each.
    pub doubts: &'a [String],
    /// What is used and no file states.
    pub assumptions: &'a [Assumption],
    /// The job whose figures are written into it.
    pub job: Option<&'a LoadedJob>,
}

/// What stands behind a figure that no file states.
const ASSUMED: char = '*';

impl Bench<'_> {
    /// Whether a bearing's height has a say in the start.
    fn measures_heights(self) -> bool {
        self.setup.shop.bench.measures_heights && self.setup.bearings == Condition::New
    }

    /// A figure as it is printed, marked where no file states it.
    fn stated(self, key: &str, mut text: String) -> String {
        let of = |assumed: &Assumption| {
            let inside = key.strip_prefix(assumed.key.as_str());
            inside.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        };
        if self.assumptions.iter().any(of) {
            text.push(ASSUMED);
        }
        text
    }

    fn new_gears(self) -> bool {
        self.setup.gears == Condition::New
    }

    /// Whether the mark on the pinion has a say in the start: with the old pack it is only what
    /// changes that counts.
    fn uses_marks(self) -> bool {
        self.new_gears() || self.setup.shop.bench.pinion_start != PinionStart::OldPack
    }
}

/// The sheet for the bench.
pub fn sheet(asked: Bench<'_>) -> Form {
    let setup = asked.setup;
    let lengths = match asked.print.units.length {
        Length::Millimetre => "mm",
        Length::Inch => "inches",
    };
    let mut parts = vec![
        windows(asked),
        before(asked),
        starts::starts(asked),
        assemblies(asked),
        preload(asked),
        finals(asked),
    ];
    if parts
        .iter()
        .flat_map(FormPart::texts)
        .any(|text| text.contains(ASSUMED))
    {
        parts[0].notes.push(format!(
            "{ASSUMED} Assumed, since the files do not say: look it up in the axle's service manual \
             before anyone works by it."
        ));
    }
    Form {
        title: format!("Job sheet: {}", setup.axle.name),
        under: format!(
            "{}, {}. Lengths in {lengths}, torque in {}.",
            setup.shop.name,
            renewed(setup),
            asked.print.units.torque.printed()
        ),
        cautions: vec![CAUTION, AT_WORK],
        doubts: asked.doubts.to_vec(),
        above: vec![
            ("Job", asked.name()),
            ("Date", String::new()),
            ("Technician", String::new()),
            ("Vehicle and axle no.", String::new()),
        ],
        parts,
        below: vec![
            ("Set up by", String::new()),
            ("Checked by", String::new()),
            ("Road test", String::new()),
            ("Date", asked.finished_on()),
        ],
    }
}

fn box_of(label: &str) -> FormField {
    FormField::reading(label)
}

/// What is noted before the axle is stripped.
fn before(asked: Bench<'_>) -> FormPart {
    let [pair, mark]: [&[&str]; 2] = match asked.new_gears() {
        true => [&["old", "new"], &["old", "new"]],
        false => [&["pair that stays"], &["on the pinion"]],
    };
    let mut numbers: Vec<FormField> = pair
        .iter()
        .map(|label| FormField::words(format!("number, ring and pinion, {label}")))
        .collect();
    if asked.uses_marks() {
        let stated = asked.marks();
        numbers.extend(
            mark.iter()
                .zip(stated)
                .map(|(label, stated)| box_of(&format!("mark, {label}")).filled(stated)),
        );
    }
    let mut measured = ["backlash", "torque", "ring runout"].map(box_of).to_vec();
    if asked.measures_heights() {
        let heights = |label: &str, of: fn(&Known) -> Option<[f64; 2]>| {
            ["old", "new"]
                .into_iter()
                .zip(asked.heights(of))
                .map(move |(which, stated)| box_of(&format!("{label}, {which}")).filled(stated))
                .collect::<Vec<_>>()
        };
        measured.extend(heights("head", |known| known.head_height));
        if matches!(asked.setup.axle.pinion_preload.by, PreloadBy::Spacer { .. }) {
            measured.extend(heights("tail", |known| known.tail_height));
        }
        measured.extend(heights("ring", |known| known.ring_height));
    }
    let name = match asked.measures_heights() {
        true => "As it came; heights",
        false => "As it came",
    };
    let lines = vec![
        FormLine::new("Gear set", numbers),
        FormLine::new(name, measured),
    ];
    FormPart {
        heading: "Before stripping",
        lines,
        ..FormPart::default()
    }
}

fn windows(asked: Bench<'_>) -> FormPart {
    let print = asked.print;
    let setup = asked.setup;
    let windows = &setup.axle.windows;
    let held = match windows.indicator {
        Indicator::PlaneOfRotation => "in the plane of rotation",
        Indicator::SquareToTooth => "square to the tooth",
    };
    // a window, and what the shop holds readings to where it keeps a margin
    let margin = &setup.reading_windows;
    let torque = match setup.bearings {
        Condition::New => "windows.pinion_torque",
        Condition::Kept => "windows.pinion_torque_used",
    };
    let along = format!("±{:.0} % along", 100.0 * windows.pattern_length);
    let up = format!("±{:.0} % up", 100.0 * windows.pattern_profile);
    let rows = [
        (
            "backlash, every tooth",
            asked.stated("windows.backlash", print.window(windows.backlash)),
            print.window(margin.backlash),
        ),
        (
            "dial held",
            asked.stated("windows.indicator", held.to_owned()),
            String::new(),
        ),
        (
            "backlash varies by at most",
            asked.stated(
                "windows.backlash_variation",
                print.given(windows.backlash_variation),
            ),
            String::new(),
        ),
        (
            "pattern off the centre",
            format!(
                "{}, {}",
                asked.stated("windows.pattern.length", along),
                asked.stated("windows.pattern.profile", up)
            ),
            format!("±{:.0} % up", 100.0 * margin.pattern_profile),
        ),
        (
            "sides past zero end play",
            asked.stated("windows.side_closure", print.window(windows.side_closure)),
            String::new(),
        ),
        (
            "pinion torque, with seal",
            asked.stated(torque, print.torques(setup.torque_window)),
            print.torques(margin.torque),
        ),
    ];
    let guarded = setup.shop.bench.guard > 0.0;
    let rows: Vec<Vec<String>> = rows
        .into_iter()
        .map(|(name, window, read)| {
            let mut row = vec![name.to_owned(), window];
            // what has no window of its own to be read against is no blank to fill in
            row.extend(guarded.then(|| match read.as_str() {
                "" => "-".to_owned(),
                _ => read,
            }));
            row
        })
        .collect();
    let head: &[&str] = match guarded {
        true => &["", "window", "read inside"],
        false => &["", "window"],
    };
    FormPart {
        heading: "Windows",
        printed: Some(PrintedTable {
            caption: "What counts as right at the end",
            columns: head.iter().map(|title| (*title).to_owned()).collect(),
            rows,
        }),
        ..FormPart::default()
    }
}

/// What is read, decided and fitted, an assembly each.
fn assemblies(asked: Bench<'_>) -> FormPart {
    let (setup, habits) = (asked.setup, &asked.setup.shop.bench);
    let points = habits.backlash_points;
    let side = match setup.has_adjusters() {
        true => ["ring notches", "far notches"],
        false => ["ring side", "far side"],
    };
    let with_torque = habits.side_check == SideCheck::TorqueRise;
    let room = match with_torque {
        true => ASSEMBLIES_WITH_TORQUE,
        false => ASSEMBLIES,
    };
    let room = room.max(asked.entries());
    let one = |number: u32| {
        let read = asked.entry(number);
        let mut fields = asked.backlash(read, points);
        if with_torque {
            let readings = habits.torque_readings.min(MOST_READINGS);
            fields.push(FormField::Break);
            fields.extend(FormField::readings("rise", readings));
            fields.extend(asked.rise(read));
        }
        fields.extend(asked.teeth(read));
        fields.push(FormField::Break);
        // the packs of the next assembly are what is decided at this one
        let next = read.and_then(|_| asked.entry(number + 1));
        fields.push(FormField::words("move what, how far").filled(asked.moved(read, next)));
        fields.push(box_of("pinion").filled(asked.pinion(next)));
        let sides = asked.sides(next);
        fields.extend(
            side.into_iter()
                .zip(sides)
                .map(|(label, stated)| box_of(label).filled(stated)),
        );
        FormLine::new(format!("No. {number}"), fields)
    };
    let belief = asked.stated("bench.ring_belief", plain(habits.ring_belief));
    let rate = setup.rates.per_ring_move;
    let mut notes = vec![format!(
        "One line an assembly{}. Backlash first, then the pattern: draw what the paint shows on both \
         sides of the tooth. Moving the ring gear by 1 changes backlash by about {rate:.2} on this \
         axle; the shop reckons with {belief}. After any change of the pinion shim everything is read \
         again, and the ring gear follows it.",
        match setup.has_adjusters() {
            true => " or turn of the adjusters",
            false => "",
        }
    )];
    if with_torque {
        notes.push(
            "Rise: by how much the carrier, fitted, raises the torque that turns the pinion."
                .into(),
        );
    }
    if points > MOST_READINGS {
        notes.push(format!(
            "Backlash is read at {points} points: the others go on a sheet of their own."
        ));
    }
    FormPart {
        heading: "Assemblies: read, decide, change",
        lines: (1..=room).map(one).collect(),
        notes,
        ..FormPart::default()
    }
}

/// Torque, try by try.
fn preload(asked: Bench<'_>) -> FormPart {
    let (setup, print) = (asked.setup, asked.print);
    let window = setup.reading_windows.torque;
    let (lines, note) = match setup.axle.pinion_preload.by {
        PreloadBy::Sleeve { .. } => {
            let aim = window.low + setup.shop.bench.sleeve_aim * (window.high - window.low);
            let lines = asked.sleeves();
            let note = format!(
                "A torque after every turn of the nut, {} to {}, aimed at {}. A sleeve is only ever \
                 crushed further: past the window it is thrown away with its nut.",
                print.bare_torque(window.low),
                print.torque(window.high),
                print.torque(aim)
            );
            (lines, note)
        }
        PreloadBy::Spacer { .. } => {
            let note = format!(
                "A pack and a torque for every try, {}. Adding shim lowers the torque.",
                print.torques(window)
            );
            (asked.goes_at_the_spacer(), note)
        }
    };
    FormPart {
        heading: "Pinion preload",
        lines,
        notes: vec![note],
        ..FormPart::default()
    }
}

/// What is read after the final assembly.
fn finals(asked: Bench<'_>) -> FormPart {
    let habits = &asked.setup.shop.bench;
    let last = asked.final_entry();
    let mut read = asked.backlash(last, habits.backlash_points);
    let labels = ["pinion torque", "zero end play", "side preload"];
    let stated = asked.finals(last);
    read.extend(
        labels
            .into_iter()
            .zip(stated)
            .map(|(label, stated)| box_of(label).filled(stated)),
    );
    let mut seen = asked.teeth(last).to_vec();
    let verdict = FormField::words("inside every window? what is not");
    seen.push(verdict.filled(asked.verdict()));
    FormPart {
        heading: "Final values, read again after final assembly",
        lines: vec![
            FormLine::new("Readings", read),
            FormLine::new("Pattern", seen),
        ],
        notes: vec![
            "What is outside its window by more than one graduation of the instrument is clearly out."
                .into(),
        ],
        ..FormPart::default()
    }
}
