//! The job sheet for the bench: one page to fill in while an axle is set up. Nothing on it is
//! simulated.

use shimcast_sim::axle::{Condition, Indicator, MarkSign, PinionSeat, PreloadBy, SideSeat};
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::shop::{PinionStart, SideCheck, SideStart};

use crate::document::{AT_WORK, Form, FormPart};
use crate::figures::{counted, plain};
use crate::printed::Printed;
use crate::questions::frame::renewed;
use crate::units::Length;

/// Rows for assemblies.
const ASSEMBLIES: usize = 6;

/// What a sheet is made for.
#[derive(Debug, Clone, Copy)]
pub struct Bench<'a> {
    /// The job.
    pub setup: &'a Setup,
    /// How lengths and torques are printed.
    pub print: Printed,
}

/// One page for the bench.
pub fn sheet(asked: Bench<'_>) -> Form {
    let setup = asked.setup;
    let lengths = match asked.print.units.length {
        Length::Millimetre => "mm",
        Length::Inch => "inches",
    };
    Form {
        title: format!("Job sheet: {}", setup.axle.name),
        under: format!(
            "{}, {}. Lengths in {lengths}, torque in {}. The axle's service manual rules over any \
             figure here.",
            setup.shop.name,
            renewed(setup),
            asked.print.units.torque.printed()
        ),
        above: &["Job", "Date", "Technician", "Vehicle and axle no."],
        halves: [parts(asked), windows(asked)],
        parts: vec![starting(asked), assemblies(asked), finals(asked)],
        note: AT_WORK,
        below: &["Set up by", "Checked by", "Road test", "Date"],
    }
}

fn titles(titles: &[&str]) -> Vec<String> {
    titles.iter().map(|title| (*title).to_owned()).collect()
}

fn named(names: &[&str]) -> Vec<Vec<String>> {
    names.iter().map(|name| vec![(*name).to_owned()]).collect()
}

fn parts(asked: Bench<'_>) -> FormPart {
    let setup = asked.setup;
    let mut names = vec!["pair number, ring and pinion", "pinion mark"];
    if setup.shop.bench.measures_heights && setup.bearings == Condition::New {
        names.extend(["head bearing height", "side bearing heights"]);
    }
    names.extend([
        "backlash before strip",
        "turning torque before",
        "ring runout",
    ]);
    let mark = match setup.axle.gears.mark.plus {
        MarkSign::Farther => "+ asks for a longer mounting distance: a shallower pinion",
        MarkSign::Deeper => "+ asks for a shorter mounting distance: a deeper pinion",
    };
    FormPart {
        heading: "Parts and marks",
        caption: "Note before stripping",
        columns: titles(&["", "old", "new"]),
        rows: named(&names),
        note: format!("Mark: {mark}."),
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
    let rows = [
        (
            "backlash, every tooth",
            print.window(windows.backlash),
            print.window(margin.backlash),
        ),
        ("dial held", held.to_owned(), String::new()),
        (
            "backlash varies by at most",
            format!(
                "{} {}",
                print.bare_given(windows.backlash_variation),
                print.length_unit()
            ),
            String::new(),
        ),
        (
            "pattern off the centre",
            format!(
                "±{:.0} % along, ±{:.0} % up",
                100.0 * windows.pattern_length,
                100.0 * windows.pattern_profile
            ),
            format!("±{:.0} % up", 100.0 * margin.pattern_profile),
        ),
        (
            "sides past zero end play",
            print.window(windows.side_closure),
            String::new(),
        ),
        (
            "pinion torque, with seal",
            print.torques(setup.torque_window),
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
        caption: "What counts as right",
        columns: titles(head),
        rows,
        note: String::new(),
    }
}

fn starting(asked: Bench<'_>) -> FormPart {
    let print = asked.print;
    let axle = &asked.setup.axle;
    let habits = &asked.setup.shop.bench;
    let thicker = match axle.pinion_shim.seat {
        PinionSeat::UnderHeadBearing | PinionSeat::BehindHeadCup => "thicker is deeper",
        PinionSeat::CartridgeFlange => "thicker is shallower",
    };
    let (minus, plus) = match axle.pinion_shim.seat {
        PinionSeat::CartridgeFlange => ("new", "old"),
        _ => ("old", "new"),
    };
    let usual = print.bare_given(axle.pinion_shim.usual);
    let pinion = match habits.pinion_start {
        // the marks as "farther": a longer distance asks for a thinner pack, except at a flange
        PinionStart::OldPack => {
            format!("old pack + {minus} mark − {plus} mark (marks with + as farther)")
        }
        PinionStart::Gauge => "by depth gauge and new mark".to_owned(),
        PinionStart::Usual if axle.pinion_shim.seat == PinionSeat::CartridgeFlange => {
            format!("{usual} + new mark (with + as farther)")
        }
        PinionStart::Usual => format!("{usual} − new mark (with + as farther)"),
    };
    let [ring, far] = axle.side_shims.usual.map(|mm| print.bare_given(mm));
    let side = match habits.side_start {
        SideStart::OldPacks => "as the old pack".to_owned(),
        SideStart::Usual => format!("usual, {ring}"),
        SideStart::ZeroLash => "from zero backlash, backed off".to_owned(),
    };
    let added = print.bare_given(habits.side_preload_added);
    let other = format!("total at zero end play + {added}, less the other side (usual {far})");
    let place = if axle.side_shims.seat == SideSeat::ScrewAdjusters {
        ["ring-gear side adjuster", "far side adjuster"]
    } else {
        ["ring-gear side", "far side"]
    };
    let mut rows = vec![
        vec![format!("pinion ({thicker})"), pinion],
        vec![place[0].to_owned(), side],
        vec![place[1].to_owned(), other],
    ];
    if let PreloadBy::Spacer { usual, .. } = &axle.pinion_preload.by {
        rows.push(vec![
            "pinion spacer".to_owned(),
            format!(
                "old pack (usual {}); thicker turns easier",
                print.bare_given(*usual)
            ),
        ]);
    }
    FormPart {
        heading: "Starting shims",
        caption: "Measure each shim alone, keep them apart by side",
        columns: titles(&[
            "place",
            "start from",
            "old pack, measured",
            "wanted",
            "fitted: sizes",
            "sum",
        ]),
        rows,
        note: String::new(),
    }
}

fn assemblies(asked: Bench<'_>) -> FormPart {
    let habits = &asked.setup.shop.bench;
    let points = habits.backlash_points;
    let backlash = format!(
        "backlash at {}",
        counted(points.into(), ["point", "points"])
    );
    let mut head = vec![
        "no.",
        backlash.as_str(),
        "varies",
        "pattern drive",
        "pattern coast",
    ];
    if habits.side_check == SideCheck::TorqueRise {
        head.push("torque rise");
    }
    head.extend([
        "decision: move what, how far",
        "pinion pack",
        "ring side",
        "far side",
    ]);
    let rows: Vec<Vec<String>> = (1..=ASSEMBLIES).map(|n| vec![n.to_string()]).collect();
    let belief = plain(habits.ring_belief);
    let rate = asked.setup.rates.per_ring_move;
    let caption = match asked.setup.has_adjusters() {
        true => "One row an assembly or a turn of the adjusters",
        false => "One row an assembly",
    };
    let how = format!(
        "Backlash first, then the pattern. A ring gear moved by 1 changes backlash by about \
         {rate:.2} on this axle; the shop reckons with {belief}. Any pinion change repeats \
         everything, and the ring gear follows it. Pattern: note toe or heel, top or root."
    );
    FormPart {
        heading: "Assemblies: read, decide, change",
        caption,
        columns: titles(&head),
        rows,
        note: how,
    }
}

fn finals(asked: Bench<'_>) -> FormPart {
    let preload = match asked.setup.axle.pinion_preload.by {
        PreloadBy::Sleeve { .. } => "new sleeve and nut",
        PreloadBy::Spacer { .. } => "spacer pack",
    };
    FormPart {
        heading: "Final values",
        caption: "After final assembly, read again; what is outside by more than one graduation is \
                  clearly out",
        columns: titles(&[
            "",
            "backlash least",
            "backlash most",
            "pattern drive",
            "pattern coast",
            "pinion torque",
            "side preload",
            preload,
        ]),
        rows: named(&["value", "inside? yes / no"]),
        note: String::new(),
    }
}
