//! The job sheet: the sums of the first packs as this axle and shop reckon them, and a box for
//! every reading.

use crate::given::answer;
use crate::page::{check, parsed, text};

/// The labels of the boxes and what is printed between them, line by line, each behind its name.
fn lines(arguments: &[&str]) -> Vec<(String, Vec<String>)> {
    let html = answer(&[&["report", "--sheet", "-o", "-"], arguments].concat());
    check(&html);
    // cautions come before the first step
    let first = html.find("<h2>").expect("a heading");
    for caution in ["the manual rules over any figure here", "Axle on stands"] {
        assert!(html.find(caution).is_some_and(|at| at < first), "{caution}");
    }
    let tree = parsed(&html);
    let class = |name: &'static str| {
        move |node: &roxmltree::Node<'_, '_>| {
            let classes = node.attribute("class").unwrap_or_default();
            classes.split(' ').any(|class| class == name)
        }
    };
    tree.descendants()
        .filter(class("line"))
        .map(|line| {
            let name = line.descendants().find(class("name")).map(text);
            let fields = line
                .descendants()
                .filter(|node| class("field")(node) || class("said")(node));
            let first = |field| {
                text(field)
                    .trim()
                    .lines()
                    .next()
                    .map(|line| line.trim().to_owned())
            };
            let labels = fields.map(|field| first(field).unwrap_or_default());
            (name.expect("a name"), labels.collect())
        })
        .collect()
}

/// One line by its name.
fn line(arguments: &[&str], name: &str) -> Vec<String> {
    let all = lines(arguments);
    let found = all.iter().find(|(own, _)| own == name);
    found
        .unwrap_or_else(|| panic!("no {name}: {all:?}"))
        .1
        .clone()
}

const TAMARACK: [&str; 3] = [
    "examples/tamarack-88.axle.toml",
    "--shop",
    "examples/quay-lane.shop.toml",
];

#[test]
fn the_pinion_pack_is_reckoned_in_the_sense_of_its_marks() {
    let fitted = ["= wanted", "shim 1", "2", "3", "fitted, sum"];
    let starts: [(&[&str], &[&str]); 6] = [
        (&[], &["old pack", "+ old mark", "− new mark"]),
        // a mark that asks for a shorter distance, or a shim that stands the pinion shallower
        (
            &["--set", "gears.mark.plus=deeper"],
            &["old pack", "− old mark", "+ new mark"],
        ),
        (
            &["--set", "pinion_shim.seat=cartridge flange"],
            &["old pack", "− old mark", "+ new mark"],
        ),
        (&["--gears", "kept"], &["old pack"]),
        (
            &["--set", "bench.pinion_start=gauge", "--gears", "kept"],
            &["gauge", "− 92.00", "− mark"],
        ),
        (
            &["--set", "bench.pinion_start=usual"],
            &["usual 0.90", "− new mark"],
        ),
    ];
    for (arguments, sum) in starts {
        let told = line(arguments, "Pinion pack");
        assert_eq!(told, [sum, &fitted].concat(), "{arguments:?}");
    }
    let told = line(&TAMARACK, "Pinion pack");
    assert_eq!(told[..3], ["118.00", "− gauge", "− new mark"]);
    let heights = ["--set", "bench.bearing_heights=measured"];
    let told = line(&heights, "Pinion pack");
    assert_eq!(told[3..5], ["+ old head bearing", "− new head bearing"]);
}

#[test]
fn nothing_is_asked_about_marks_that_play_no_part() {
    for (arguments, asked) in [
        ([].as_slice(), &["mark, old", "mark, new"][..]),
        (&["--gears", "kept"], &[]),
        (
            &["--gears", "kept", "--set", "bench.pinion_start=usual"],
            &["mark, on the pinion"],
        ),
    ] {
        let told = line(arguments, "Gear set");
        let marks: Vec<&String> = told.iter().filter(|label| label.contains("mark")).collect();
        assert_eq!(marks, asked, "{arguments:?}");
    }
    let html = answer(&["report", "--sheet", "--gears", "kept", "-o", "-"]);
    assert!(!html.contains("Marks with their sign"));
}

#[test]
fn there_is_a_box_for_every_reading() {
    let five = ["--set", "bench.backlash_points=5"];
    let told = line(&five, "No. 1");
    let read = ["backlash 1", "2", "3", "4", "5", "varies by"];
    assert_eq!(told[..2], ["drive side", "coast side"].map(str::to_owned));
    assert_eq!(told[2..8], read);
    let with_torque = line(&TAMARACK, "No. 4");
    assert_eq!(with_torque[7..11], ["rise 1", "2", "3", "4"]);
    assert_eq!(with_torque[13..], ["ring notches", "far notches"]);
    let many = ["--set", "bench.backlash_points=40"];
    let html = answer(&[&["report", "--sheet", "-o", "-"], &many[..]].concat());
    assert!(html.contains("Backlash is read at 40 points: the others go on"));
    let spacer = ["examples/sorrel-71.axle.toml"];
    assert_eq!(line(&spacer, "Torques").len(), 8);
    assert_eq!(line(&[], "First sleeve").len(), 8);
    // a spacer behind a head cup goes with the pinion's pack
    let told = line(&spacer, "Spacer pack");
    assert_eq!(
        told[..2],
        ["old pack (usual 0.045)", "+ growth of pinion pack"]
    );
}

#[test]
fn adjusters_are_set_in_notches() {
    // 0.279 mm and 0.178 mm by notches of a thousandth of an inch
    let ring = line(&TAMARACK, "Ring-gear side adjuster");
    assert_eq!(
        ring,
        [
            "zero backlash at notch",
            "back off 11 notches (0.279)",
            "= set at notch"
        ]
    );
    let far = line(&TAMARACK, "Far side adjuster");
    assert_eq!(far[1], "in by 7 notches (0.178)");
    assert!(
        lines(&TAMARACK)
            .iter()
            .all(|(name, _)| name != "Both sides")
    );
}

#[test]
fn what_no_file_states_is_marked() {
    let note = "* Assumed, since the files do not say";
    let short = [
        "examples/short.axle.toml",
        "--set",
        "bench.pinion_start=gauge",
    ];
    let pack = line(&short, "Pinion pack");
    assert_eq!(pack[..2], ["gauge", "− 85.581*"]);
    let html = answer(&[&["report", "--sheet", "-o", "-"], &short[..]].concat());
    // stated, and assumed
    assert!(
        html.contains(">0.13 to 0.20 mm<") && html.contains(">0.07 mm*<"),
        "{html}"
    );
    assert!(
        html.contains("a shallower pinion*.") && html.contains(note),
        "{html}"
    );
    let stated = "gears.mounting_distance=85.581";
    let pack = line(&[&short[..], &["--set", stated]].concat(), "Pinion pack");
    assert_eq!(pack[1], "− 85.581");
    let whole = answer(&["report", "--sheet", "-o", "-"]);
    assert!(!whole.contains(note));
}
