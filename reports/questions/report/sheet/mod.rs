//! The job sheet for the bench: two sides of paper to fill in by hand while an axle is set up. Nothing
//! on it is simulated.

mod starts;

use shimcast_sim::axle::{Condition, Indicator, PreloadBy};
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::shop::{PinionStart, SideCheck};

use crate::document::{AT_WORK, CAUTION, Form, FormField, FormLine, FormPart, PrintedTable};
use crate::figures::plain;
use crate::files::Assumption;
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
        above: &["Job", "Date", "Technician", "Vehicle and axle no."],
        parts,
        below: &["Set up by", "Checked by", "Road test", "Date"],
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
    let boxes = |labels: &[&str]| labels.iter().map(|label| box_of(label)).collect::<Vec<_>>();
    let mut numbers: Vec<FormField> = pair
        .iter()
        .map(|label| FormField::Words(format!("number, ring and pinion, {label}")))
        .collect();
    if asked.uses_marks() {
        numbers.extend(boxes(mark).into_iter().map(|field| match field {
            FormField::Reading(label) => FormField::Reading(format!("mark, {label}")),
            other => other,
        }));
    }
    let mut measured = boxes(&["backlash", "torque", "ring runout"]);
    if asked.measures_heights() {
        let mut labels = vec!["head, old", "head, new"];
        if matches!(asked.setup.axle.pinion_preload.by, PreloadBy::Spacer { .. }) {
            labels.extend(["tail, old", "tail, new"]);
        }
        labels.extend(["ring, old", "ring, new"]);
        measured.extend(boxes(&labels));
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
    let one = |number: u32| {
        let mut fields = FormField::readings("backlash", points.min(MOST_READINGS));
        fields.push(box_of("varies by"));
        if with_torque {
            let readings = habits.torque_readings.min(MOST_READINGS);
            fields.push(FormField::Break);
            fields.extend(FormField::readings("rise", readings));
        }
        fields.extend(["drive side", "coast side"].map(|side| FormField::Tooth(side.into())));
        fields.push(FormField::Break);
        fields.push(FormField::Words("move what, how far".into()));
        fields.push(box_of("pinion"));
        fields.extend(side.map(box_of));
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
            let torques = FormField::readings("torque", TORQUES);
            let lines = ["First sleeve", "Second sleeve"]
                .map(|name| FormLine::new(name, torques.clone()))
                .to_vec();
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
            let of =
                |name: &str, label: &str| FormLine::new(name, FormField::readings(label, TORQUES));
            let note = format!(
                "A pack and a torque for every try, {}. Adding shim lowers the torque.",
                print.torques(window)
            );
            (
                vec![of("Spacer packs", "pack"), of("Torques", "torque")],
                note,
            )
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
    let mut read = FormField::readings("backlash", habits.backlash_points.min(MOST_READINGS));
    read.extend(
        [
            "varies by",
            "pinion torque",
            "zero end play",
            "side preload",
        ]
        .map(box_of),
    );
    let mut seen = ["drive side", "coast side"]
        .map(|side| FormField::Tooth(side.into()))
        .to_vec();
    seen.push(FormField::Words("inside every window? what is not".into()));
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
