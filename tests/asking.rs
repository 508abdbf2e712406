//! Questions put one by one: what is written of the answers, step back, stop and correction.

use std::fs;
use std::path::PathBuf;

use shimcast::asking::{Asked, files, job};
use shimcast::files::{BENCH_JOB, Source, load, load_job};
use shimcast_sim::axle::{PinionSeat, PreloadBy, SideSeat};

use crate::given::{Folder, has, program, text_of};
use crate::script::Script;

/// A folder with the demo's axle, and the place of a job file in it.
fn beside_rowan() -> (Folder, PathBuf) {
    let folder = Folder::new("asking");
    folder.file(
        "rowan-215.axle.toml",
        text_of("rowan-215.axle.toml").as_bytes(),
    );
    let path = folder.path("van.job.toml");
    (folder, path)
}

fn ask(path: &std::path::Path, answers: &[&'static str]) -> (Asked, Script) {
    let mut script = Script::new(answers);
    let asked = job(path, &Source::BuiltIn, &[], &mut script);
    let asked = asked.unwrap_or_else(|failure| panic!("{}", failure.message()));
    script.all_were_used();
    (asked, script)
}

/// Answers to all that is asked about the job and the old packs.
const BEFORE: [&str; 10] = [
    "rowan",
    "Blue van",
    "a new pair",
    "new ones",
    "+2 thou",
    "-0,02",
    "0.94",
    "",
    "2.11",
    "",
];

#[test]
fn a_job_is_filled_in_from_nothing() {
    let (_folder, path) = beside_rowan();
    let first = [
        "assembly 1",
        "set-up",
        "3.93",
        "0,87",
        "1.99",
        "2.12",
        "15 17 18 15 hundredths",
        "15 % top",
        "centred",
        "that is all",
    ];
    let (asked, script) = ask(&path, &[&BEFORE[..], &first[..]].concat());
    assert_eq!(asked, Asked::Ready);
    has(&script.heard(), "mark_new = 0.0508 mm");
    has(&script.heard(), "backlash = [0.15, 0.17, 0.18, 0.15] mm");
    has(
        &script.heard(),
        "in mm, e.g. 0.15 or 6 thou; Enter leaves it out; or type back, stop",
    );
    let job = load_job(&path, &Source::BuiltIn, &[]).expect("a job that is whole");
    assert_eq!(job.name, "Blue van");
    let known = &job.bench.known;
    assert_eq!(
        (known.mark_new, known.mark_old),
        (Some(0.0508), Some(-0.02))
    );
    assert_eq!(
        (known.ring_pack, known.far_pack, known.gauge),
        (None, Some(2.11), None)
    );
    let entry = &job.bench.assemblies[0];
    assert!(entry.on_setup_bearings);
    assert_eq!(
        (entry.zero_total, entry.pinion, entry.far),
        (Some(3.93), 0.87, 2.12)
    );
    assert_eq!((entry.drive, entry.coast), (Some(0.15), Some(0.0)));
    let text = fs::read_to_string(&path).expect("a file");
    has(&text, "# One axle on the bench");
    has(
        &text,
        "pinion_pack = 0.94   # the packs that came out, as measured",
    );
}

#[test]
fn every_answer_is_saved_at_once_and_taken_up_again() {
    let (_folder, path) = beside_rowan();
    let (asked, script) = ask(&path, &["rowan", "Blue van", "<ctrl-c>"]);
    assert_eq!(asked, Asked::Later);
    has(
        &script.heard(),
        "van.job.toml; the same command takes it up again",
    );
    has(
        &fs::read_to_string(&path).expect("saved"),
        "name = \"Blue van\"",
    );
    // what is answered is not asked again
    let (_, script) = ask(
        &path,
        &["what is still open of the parts", "a new pair", "<ctrl-c>"],
    );
    assert!(
        !script.heard().contains("What do you call"),
        "{}",
        script.heard()
    );
}

#[test]
fn stopping_before_the_first_answer_writes_nothing() {
    let (_folder, path) = beside_rowan();
    assert_eq!(ask(&path, &["<ctrl-c>"]).0, Asked::Later);
    assert!(!path.exists());
}

#[test]
fn back_goes_to_the_question_before_and_shows_what_was_said() {
    let (_folder, path) = beside_rowan();
    let answers = [
        "rowan",
        "Blue van",
        "<esc>",
        "Red van",
        "a new pair",
        "new ones",
        "0.05",
        "0.02",
        "back",
        "-0.02",
        "stop",
    ];
    let (_, script) = ask(&path, &answers);
    has(&script.heard(), "Enter keeps Blue van");
    has(&script.heard(), "Enter keeps 0.02 mm");
    let text = fs::read_to_string(&path).expect("a file");
    has(&text, "name = \"Red van\"");
    has(&text, "mark_old = -0.02 ");
    has(&text, "mark_new = 0.05 ");
}

#[test]
fn what_can_not_be_is_asked_again_with_a_reason() {
    let (_folder, path) = beside_rowan();
    let answers = [
        "rowan",
        "",
        "a new pair",
        "new ones",
        "",
        "",
        "ninety",
        "94",
        "0.94",
        "",
        "",
        "",
        "assembly 1",
        "set-up",
        "",
        "",
        "0.87",
        "1.99",
        "2.12",
        "15",
        "0.15, 0.17",
        "toe",
        "root 10",
        "",
        "that is all",
    ];
    let (_, script) = ask(&path, &answers);
    let heard = script.heard();
    has(&heard, "`ninety` is no figure: say 0.15 or 6 thou");
    has(
        &heard,
        "94 mm is not expected here, but something from 0.02 to 30; for 94 hundredths say `0.94`",
    );
    has(&heard, "this one is needed; `stop` ends here, all is saved");
    has(&heard, "15 mm is not expected here");
    has(
        &heard,
        "only how far up or down the tooth it lies is entered here",
    );
    let job = load_job(&path, &Source::BuiltIn, &[]).expect("a job that is whole");
    assert_eq!(job.name, "van");
    assert_eq!(job.bench.assemblies[0].drive, Some(-0.1));
    assert_eq!(job.bench.assemblies[0].backlash, [0.15, 0.17]);
}

#[test]
fn an_answer_can_be_taken_back() {
    let (_folder, path) = beside_rowan();
    fs::write(&path, BENCH_JOB.text).expect("a file");
    let answers = [
        "correct an answer",
        "gauge",
        "none",
        "correct an answer",
        "mark_old",
        "",
        "that is all",
    ];
    let (_, script) = ask(&path, &answers);
    has(&script.heard(), "Enter keeps 0.86 mm, none takes it out");
    let job = load_job(&path, &Source::BuiltIn, &[]).expect("a job that is whole");
    assert_eq!(
        (job.bench.known.gauge, job.bench.known.mark_old),
        (None, Some(-0.02))
    );
}

/// A file with comments of its own: only the answers change.
#[test]
fn the_next_assembly_is_added_and_an_answer_corrected() {
    let (_folder, path) = beside_rowan();
    fs::write(&path, BENCH_JOB.text).expect("a file");
    let answers = [
        "assembly 3",
        "the real",
        "3.94",
        "0.92",
        "1.97",
        "2.13",
        "no",
        "yes",
        "16 17 18 16 hundredths",
        "0",
        "0",
        "1.5 2.1",
        "correct an answer",
        "mark_new",
        "0.04",
        "correct an answer",
        "assembly 2, ring",
        "1.96",
        "that is all",
    ];
    let (asked, _) = ask(&path, &answers);
    assert_eq!(asked, Asked::Ready);
    let text = fs::read_to_string(&path).expect("a file");
    let before: Vec<&str> = BENCH_JOB.text.lines().collect();
    let now: Vec<&str> = text.lines().collect();
    let changed: Vec<(&str, &str)> = before
        .iter()
        .zip(&now)
        .filter(|(before, now)| before != now)
        .map(|(before, now)| (*before, *now))
        .collect();
    let same_but = |key: &str, from: &str, to: &str| {
        let line = before
            .iter()
            .rfind(|line| line.starts_with(key))
            .expect("a line");
        (*line, line.replace(from, to))
    };
    let wanted = [
        same_but("mark_new", " 0.050", " 0.04"),
        same_but("ring  ", "1.97", "1.96"),
    ];
    assert_eq!(changed.len(), 2, "{changed:?}");
    for ((line, to), (before, now)) in wanted.iter().zip(&changed) {
        assert_eq!((line, to.as_str()), (before, *now));
    }
    let job = load_job(&path, &Source::BuiltIn, &[]).expect("a job that is whole");
    let third = &job.bench.assemblies[2];
    assert!(!third.on_setup_bearings && third.other_tooth && !third.reseated);
    assert_eq!(third.torque, [1.5, 2.1]);
    assert_eq!(job.bench.assemblies[1].ring, 1.96);
}

#[test]
fn screw_adjusters_count_from_the_first_assembly() {
    let (folder, path) = beside_rowan();
    let axle = text_of("rowan-215.axle.toml")
        .replace("seat  = \"outboard\"", "seat  = \"screw adjusters\"")
        .replace("stock = \"S-80\"", "");
    folder.file("rowan-215.axle.toml", axle.as_bytes());
    let answers = [
        "rowan",
        "Van",
        "the old pair",
        "the old ones",
        "",
        "",
        "",
        "assembly 1",
        "",
        "0.87",
        "6 7 7 6 thou",
        "",
        "",
        "",
        "assembly 2",
        "",
        "0.87",
        "-0.05",
        "0.05",
        "no",
        "no",
        "0.15 0.16",
        "",
        "",
        "2.0",
        "that is all",
    ];
    let (_, script) = ask(&path, &answers);
    let heard = script.heard();
    assert!(!heard.contains("Side shims"), "{heard}");
    let job = load_job(&path, &Source::BuiltIn, &[]).expect("a job that is whole");
    let [first, second] = job.bench.assemblies.as_slice() else {
        panic!("{:?}", job.bench);
    };
    assert_eq!((first.ring, first.far), (0.0, 0.0));
    assert_eq!((second.ring, second.far), (-0.05, 0.05));
    assert!(!second.on_setup_bearings);
    assert_eq!(second.torque, [2.0]);
}

#[test]
fn an_axle_file_that_is_wrong_is_told_as_elsewhere() {
    let (folder, path) = beside_rowan();
    folder.file("rowan-215.axle.toml", b"name = 3\n");
    let mut script = Script::new(&["rowan"]);
    let Err(failure) = job(&path, &Source::BuiltIn, &[], &mut script) else {
        panic!("a job on an axle that can't be read");
    };
    has(failure.message(), "rowan-215.axle.toml:1:8");
    assert!(!path.exists());
}

/// A shop and an axle, each whole in itself.
#[test]
fn a_shop_and_an_axle_are_filled_in() {
    let folder = Folder::new("files");
    let answers = [
        "a new one",
        "Mill Street!",
        "inches",
        "inch pounds",
        "USD",
        "95",
        "yes",
        "the old pack",
        "the old packs",
        "4",
        "1 thou",
        "in the plane",
        "",
        "the shop's own",
        "P-30",
        "10 12 15 20 30 thou",
        "3.5",
        "3",
        "one more",
        "S-30",
        "20 30 50 70 thou",
        "",
        "4",
        "that is all",
        "Front axle",
        "inches",
        "inch pounds",
        "11",
        "41",
        "8 1/2 in",
        "behind the head",
        "P-30",
        "35 thou",
        "outboard",
        "S-30",
        "80 84 thou",
        "a crush sleeve",
        "6 9 thou",
        "in the plane",
        "14 24",
        "5 10 thou",
    ];
    let mut script = Script::new(&answers);
    let filled = files(&folder.path(""), &mut script);
    let filled = filled
        .unwrap_or_else(|failure| panic!("{}", failure.message()))
        .expect("all of it");
    script.all_were_used();
    let shop = filled.shop.expect("a shop of its own");
    assert!(shop.ends_with("mill-street.shop.toml"), "{shop:?}");
    let loaded = load(&Source::File(filled.axle), &Source::File(shop.clone()), &[]);
    let loaded = loaded.unwrap_or_else(|problems| panic!("{problems}"));
    let (axle, shop_read) = (&loaded.axle, &loaded.shop);
    assert_eq!(
        (axle.name.as_str(), shop_read.name.as_str()),
        ("Front axle", "Mill Street!")
    );
    assert!((axle.gears.ring_diameter - 8.5 * 25.4).abs() < 1e-9);
    assert_eq!(axle.pinion_shim.seat, PinionSeat::BehindHeadCup);
    assert_eq!(axle.side_shims.seat, SideSeat::Outboard);
    assert!((axle.side_shims.usual[1] - 2.1336).abs() < 1e-9);
    assert!(matches!(axle.pinion_preload.by, PreloadBy::Sleeve { .. }));
    assert!((axle.windows.backlash.low - 0.1524).abs() < 1e-9);
    assert_eq!(shop_read.shims.len(), 2);
    assert!((shop_read.shims[0].sizes[1] - 0.3048).abs() < 1e-9);
    assert_eq!(shop_read.instruments.micrometer, None);
    assert!(shop_read.bench.setup_bearings);
    // taken up again, nothing is asked but which, and what was left out
    let mut script = Script::new(&["mill", "", "", "that is all", "Front axle"]);
    let filled = files(&folder.path(""), &mut script);
    assert!(
        filled.is_ok_and(|filled| filled.is_some()),
        "{}",
        script.heard()
    );
}

#[test]
fn without_a_terminal_it_says_what_to_use_instead() {
    let folder = Folder::new("no-terminal");
    let place = folder.path("van.job.toml");
    for (arguments, instead) in [
        (
            ["next", place.to_str().expect("text"), "--ask"],
            "`shimcast new` writes an example",
        ),
        (
            ["new", folder.path("mine").to_str().expect("text"), "--ask"],
            "writes starters",
        ),
    ] {
        let output = program(&arguments).output().expect("the program starts");
        assert_eq!(output.status.code(), Some(2));
        let said = String::from_utf8(output.stderr).expect("text");
        has(&said, "there is none here");
        has(&said, instead);
    }
    assert!(!place.exists() && !folder.path("mine").exists());
}
