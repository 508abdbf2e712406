//! One axle on the bench, as it is answered.

use std::path::Path;

use serde_json::Value;
use shimcast::files::BENCH_JOB;

use crate::given::{Folder, estimate, has, list, number, run, text_of};

/// A folder with the demo's axles and one job.
fn bench(text: &str) -> Folder {
    let folder = Folder::new("bench");
    for name in ["rowan-215.axle.toml", "sorrel-71.axle.toml"] {
        folder.file(name, text_of(name).as_bytes());
    }
    let adjusters = text_of("rowan-215.axle.toml")
        .replace("seat  = \"outboard\"", "seat  = \"screw adjusters\"")
        .replace("stock = \"S-80\"", "");
    folder.file("adjusters.axle.toml", adjusters.as_bytes());
    folder.file("van.job.toml", text.as_bytes());
    folder
}

/// Runs `next` on the job of a folder; gives exit code, stdout, stderr.
fn next_in(folder: &Folder, options: &[&str]) -> (i32, String, String) {
    let job = folder.path("van.job.toml");
    let job = job.to_str().expect("text");
    run(&[&["next", job], options].concat())
}

/// The first screen of a job, which fits one.
#[track_caller]
pub fn screen(text: &str, options: &[&str]) -> String {
    let (code, out, err) = next_in(&bench(text), options);
    assert_eq!(code, 0, "{err}");
    let widest = out.lines().map(|line| line.chars().count()).max();
    assert!(out.lines().count() <= 22 && widest <= Some(80), "{out}");
    out
}

#[track_caller]
pub fn json(text: &str, options: &[&str]) -> Value {
    let (code, out, err) = next_in(&bench(text), &[options, &["--json"]].concat());
    assert_eq!(code, 0, "{err}");
    serde_json::from_str(&out).expect("one JSON object")
}

/// Text in one line, as it is before it is broken into several.
pub fn flowing(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

const HEAD: &str = "axle = \"rowan-215.axle.toml\"\ngears = \"new\"\nbearings = \"new\"\n";

/// The example without its assemblies.
fn start() -> &'static str {
    let at = BENCH_JOB.text.find("[[assemblies]]").expect("assemblies");
    &BENCH_JOB.text[..at]
}

/// One assembly on set-up bearings whose depth is far off.
pub fn deep() -> String {
    format!(
        "{}[[assemblies]]\non = \"set-up bearings\"\nzero_total = 3.93\npinion = 1.00\nring = 1.99\n\
         far = 2.12\nbacklash = [0.15, 0.17, 0.18, 0.15]\ndrive = -0.35\ncoast = -0.40\n",
        start()
    )
}

#[test]
fn the_first_screen_says_what_to_do_and_what_is_believed() {
    let told = screen(&deep(), &[]);
    has(
        &told,
        "Blue van, rear: Rowan 215 at North Bench, gears new, bearings new",
    );
    has(&flowing(&told), "Fit 0.");
    has(&flowing(&told), "at the pinion (");
    has(&flowing(&told), "that it reads inside;");
    has(&told, "pinion depth off its best");
    let moves = told
        .lines()
        .filter(|line| line.starts_with("  pinion 0."))
        .count();
    assert_eq!(moves, 3, "the best and the two next-best: {told}");
}

/// What the first screen tells is what JSON gives, and JSON is as agreed.
#[test]
fn json_gives_what_was_agreed() {
    let answer = json(&deep(), &[]);
    assert_eq!(answer["answer"], "next");
    assert_eq!(answer["job"]["name"], "Blue van, rear");
    assert_eq!(answer["job"]["assemblies"], 1);
    let effective = number(&answer["effective"]);
    assert!(
        effective > 100.0 && effective <= number(&answer["rebuilds"]),
        "{effective}"
    );
    for key in [
        "depth",
        "ring",
        "backlash",
        "variation",
        "closure",
        "drive",
        "coast",
    ] {
        let figure = &answer["belief"][key];
        let [low, middle, high] = ["p05", "p50", "p95"].map(|key| number(&figure[key]));
        assert!(low <= middle && middle <= high, "{key}: {figure}");
        assert!(number(&figure["sd"]) > 0.0 && number(&figure["before"]["sd"]) > 0.0);
    }
    // where it stood ends where it stands, of which there are some hundred draws
    let last = &list(&answer["path"])[0];
    for key in ["depth", "ring"] {
        let figure = &answer["belief"][key];
        assert_eq!(
            (&last[key]["mean"], &last[key]["sd"]),
            (&figure["mean"], &figure["sd"])
        );
        let draws = list(&answer["cloud"][key]);
        let mean = draws.iter().map(number).sum::<f64>() / draws.len() as f64;
        let error = number(&figure["sd"]) / (draws.len() as f64).sqrt();
        assert!(
            (mean - number(&figure["mean"])).abs() < 4.5 * error,
            "{key}: {mean}"
        );
    }
    assert_eq!(answer["pack_rates"]["depth_per_pinion"], -1.0);
    assert!(answer["job"]["done"].is_null());
    // the pattern says that it is too deep, and the readings narrow what is believed
    let depth = &answer["belief"]["depth"];
    assert!(number(&depth["p95"]) < 0.0, "{depth}");
    assert!(
        number(&depth["sd"]) < number(&depth["before"]["sd"]),
        "{depth}"
    );
    estimate(&answer["as_it_stands"]["right"]);
    let moves = list(&answer["moves"]);
    let best = &moves[0];
    assert_eq!(best["less_than_best"], false);
    assert!(number(&best["pinion"]) < 0.97, "shallower: {best}");
    let accept: Vec<&Value> = moves.iter().filter(|one| one["accept"] == true).collect();
    assert_eq!(accept.len(), 1);
    assert_eq!(
        accept[0]["less_than_best"], true,
        "what reads outside is not accepted"
    );
    for one in moves {
        for key in ["right", "clearly_out", "assemblies", "hours", "cost"] {
            estimate(&one[key]);
        }
        // shims of packs that are fitted anew add up to them
        let sum: f64 = list(&one["shims"])
            .iter()
            .filter(|shim| shim["place"] == "pinion")
            .map(|shim| number(&shim["size"]) * number(&shim["count"]))
            .sum();
        let pinion = number(&one["pinion"]);
        assert!(
            (sum - pinion).abs() < 1e-6 || (sum == 0.0 && pinion == 1.0),
            "{one}"
        );
    }
    let backlash = &answer["expected"]["backlash"];
    assert!(number(&backlash["smallest"]["p50"]) <= number(&backlash["largest"]["p50"]));
    assert_eq!(
        list(&answer["surprise"]).len(),
        2,
        "what was known, and one assembly"
    );
}

#[test]
fn the_answer_is_the_same_on_any_number_of_threads() {
    let of = |threads| json(&deep(), &["--threads", threads]);
    assert_eq!(of("1"), of("3"));
    let other = json(&deep(), &["--seed", "2"]);
    assert_ne!(of("1")["effective"], other["effective"]);
}

#[test]
fn without_an_assembly_it_gives_starting_packs() {
    let told = screen(start(), &[]);
    has(&told, "Start with 0.");
    assert!(!told.contains("before reading"), "{told}");
    let answer = json(start(), &[]);
    assert!(answer["as_it_stands"].is_null());
    assert!(
        list(&answer["moves"])
            .iter()
            .all(|one| one["accept"] == false)
    );
}

#[test]
fn nothing_known_but_the_axle_is_enough() {
    has(
        &screen("axle = \"rowan-215.axle.toml\"\n", &[]),
        "Start with 0.",
    );
}

/// Packs of one's own are judged beside the others, and told first.
#[test]
fn packs_of_ones_own_are_judged_as_well() {
    let options = ["--moves", "pinion=0.90,ring=1.97", "--moves", "ring=2.00"];
    let told = screen(BENCH_JOB.text, &options);
    // what is not named stays; a ring side alone takes from the far side
    has(&told, "pinion 0.90, sides 1.97 / 2.14 (yours)");
    has(&told, "pinion 0.92, sides 2.00 / 2.10 (yours)");
    let answer = json(BENCH_JOB.text, &options);
    let own = list(&answer["moves"])
        .iter()
        .filter(|one| one["own"] == true);
    assert_eq!(own.count(), 2);
}

#[test]
fn packs_that_can_not_be_are_refused() {
    let folder = bench(start());
    for (moves, said) in [
        ("pinion=0.92", "nothing is fitted yet"),
        (
            "pinion=0.07,ring=2.0,far=2.1",
            "P-38 can't build pinion=0.07 mm",
        ),
        ("pinion=0.92,pinion=0.93", "pinion is named twice"),
        ("depth=0.92", "packs are wanted as pinion=0.92"),
        ("pinion=0,92", "packs are wanted as pinion=0.92"),
    ] {
        let (code, out, err) = next_in(&folder, &["--moves", moves]);
        assert_eq!((code, out.as_str()), (2, ""), "{moves}: {err}");
        has(&err, said);
    }
}

/// Only what can be built of the drawer, and what is missing for the best.
#[test]
fn what_is_in_the_drawer_is_kept_to() {
    let folder = bench(start());
    let count =
        "series,size,count\nP-38,0.50,1\nP-38,0.30,1\nS-80,1.50,2\nS-80,0.30,3\nS-80,0.20,1\n";
    folder.file("count.csv", count.as_bytes());
    let counted = folder.path("count.csv");
    let options = ["--have", counted.to_str().expect("text")];
    let (code, out, err) = next_in(&folder, &options);
    assert_eq!(code, 0, "{err}");
    has(&out, "Start with 0.80 at the pinion (0.50 + 0.30)");
    has(
        &flowing(&out),
        "Were every size there, the best would be pinion 0.8",
    );
    has(&flowing(&out), "missing for it: P-38 0.");
    let (_, out, _) = next_in(&folder, &[&options[..], &["--json"]].concat());
    let answer: Value = serde_json::from_str(&out).expect("one JSON object");
    let best = &list(&answer["moves"])[0];
    for shim in list(&best["shims"]) {
        let line = |line: &&str| {
            let cells: Vec<&str> = line.split(',').collect();
            cells[0] == shim["series"] && cells[1].parse() == Ok(number(&shim["size"]))
        };
        let there = count.lines().find(line).expect("a size of the drawer");
        let there: f64 = there
            .rsplit(',')
            .next()
            .expect("a count")
            .parse()
            .expect("a number");
        assert!(number(&shim["count"]) <= there, "{shim}");
    }
}

/// Marks whose signs were misread are told above all else, by name.
#[test]
fn surprising_figures_are_told_above_all_else() {
    let text = deep()
        .replace("mark_old    = -0.02", "mark_old    = 0.12")
        .replace("mark_new    =  0.050", "mark_new    = -0.15");
    let told = flowing(&screen(&text, &[]));
    let first =
        told.find("First of all: what was known before the first assembly can hardly be so");
    assert!(
        first.is_some_and(|at| at < told.find("that it reads inside").unwrap_or(0)),
        "{told}"
    );
    has(&told, "the old mark with the other sign (");
    has(&told, "times likelier)");
    let surprise = &json(&text, &[])["surprise"][0];
    assert!(number(&surprise["chance"]) < 0.001, "{surprise}");
    for suspect in list(&surprise["suspects"]) {
        assert!(number(&suspect["times"]) >= 100.0, "{suspect}");
    }
}

/// Ten times a reading fits no axle: that comes first, and no advice is made of it.
#[test]
fn no_advice_is_made_of_what_can_not_be() {
    let text = deep().replace("[0.15, 0.17, 0.18, 0.15]", "[0.15, 0.17, 1.8, 0.15]");
    let told = screen(&text, &[]);
    let second = told.lines().nth(1).unwrap_or_default();
    has(
        second,
        "First of all: the readings of assembly 1 can hardly be so",
    );
    let told = flowing(&told);
    has(
        &told,
        "backlash reading 3 with its decimal point slipped, 0.18 mm in truth (",
    );
    has(&told, "can't be told before that is settled");
    assert!(
        !told.contains("Fit ") && !told.contains("Accept these"),
        "{told}"
    );
}

/// Readings in another unit than the dial's step are known by how they read.
#[test]
fn readings_in_thou_on_a_dial_in_millimetres_are_known() {
    let text = format!(
        "{HEAD}[known]\nmark_new = 0.0508\n[[assemblies]]\non = \"set-up bearings\"\npinion = 0.87\n\
         ring = 1.99\nfar = 2.12\nbacklash = [0.1524, 0.1651, 0.1778, 0.1524]\n"
    );
    let (_, told, _) = next_in(&bench(&text), &["--all"]);
    let told = flowing(&told);
    let marks = "0.051 mm reads like 2 thou: are the marks in thou? Then say so by gears.mark.step in the axle";
    let dial = "like 6, 6.5, 7 and 6 thou: does the dial read in thou? Then say so by instruments.dial.step";
    has(&told, marks);
    has(&told, dial);
}

/// Nothing that contradicts instruments, series or the entry before is passed over in silence.
#[test]
fn what_does_not_agree_is_told_with_its_line() {
    let text = format!(
        "{HEAD}[known]\nmark_new = 0.053\n\
         [[assemblies]]\non = \"set-up bearings\"\npinion = 0.87\nring = 1.99\nfar = 2.12\n\
         backlash = [0.155, 0.17, 0.184, 0.15]\n\
         [[assemblies]]\non = \"set-up bearings\"\npinion = 0.89\nring = 1.99\nfar = 2.13\n\
         backlash = [0.15, 0.17, 0.18, 0.15, 0.16]\n"
    );
    let (_, told, _) = next_in(&bench(&text), &["--all"]);
    let told = flowing(&told);
    has(
        &told,
        "van.job.toml, line 5: 0.053 mm is no multiple of 0.01 mm",
    );
    has(
        &told,
        "van.job.toml, line 11: 0.155 mm and 0.184 mm are no multiples of 0.01 mm",
    );
    has(
        &told,
        "van.job.toml, line 16: no shims of the series make the far-side pack of 2.13 mm",
    );
    has(
        &told,
        "van.job.toml, line 17: 5 backlash readings where there were 4 before",
    );
    has(&told, "assemblies.1.zero_total = ");
    let answer = json(&text, &[]);
    assert!(list(&answer["doubts"]).len() >= 4, "{}", answer["doubts"]);
}

const REAL: &str = "[[assemblies]]\non = \"real bearings\"\nzero_total = 3.93\npinion = 0.92\nring = 1.97\n\
                    far = 2.14\nbacklash = [0.15, 0.17, 0.18, 0.15]\ndrive = 0.0\ncoast = 0.0\n";

#[test]
fn a_sleeve_that_is_not_done_is_gone_on_with() {
    let text = format!("{HEAD}{REAL}torque = [0.9, 1.4]\n");
    let told = flowing(&screen(&text, &[]));
    has(
        &told,
        "Leave the packs as they are and finish the pinion preload",
    );
    has(&told, "degrees left to the aim in nine of ten");
    has(&told, "more at one go: inside in");
    let answer = json(&text, &[]);
    let goes = list(&answer["preload"]["goes"]);
    let past: Vec<f64> = goes.iter().map(|go| number(&go["past"]["value"])).collect();
    assert!(past.is_sorted(), "the further it is turned: {past:?}");
    let (_, all, _) = next_in(&bench(&text), &["--all"]);
    has(&all, "A nut is never turned back");
}

#[test]
fn what_reads_right_is_left_alone() {
    let text = format!("{HEAD}{REAL}torque = [1.4, 2.2]\n");
    has(
        &screen(&text, &[]),
        "Stop: it is right as far as can be told, ",
    );
    let answer = json(&text, &[]);
    assert!(answer["expected"].is_null(), "nothing follows");
    assert_eq!(list(&answer["moves"])[0]["accept"], true);
}

#[test]
fn a_spacer_gets_its_next_pack() {
    let text = "axle = \"sorrel-71.axle.toml\"\ngears = \"kept\"\nbearings = \"kept\"\n[[assemblies]]\n\
                pinion = 0.035\nring = 0.088\nfar = 0.085\nbacklash = [0.0059, 0.0063, 0.0067, 0.0063]\n\
                drive = 0.0\ncoast = 0.0\npreload = [0.045]\ntorque = [5.3]\n";
    let told = flowing(&screen(text, &[]));
    has(&told, "beside the spacer; torque to turn the pinion then");
    let answer = json(text, &[]);
    assert_eq!(answer["preload"]["by"], "spacer");
    // what turned too easily gets less shim
    assert!(
        number(&answer["preload"]["pack"]) < 0.045 * 25.4,
        "{}",
        answer["preload"]
    );
}

#[test]
fn screw_adjusters_are_turned() {
    let text = "axle = \"adjusters.axle.toml\"\ngears = \"kept\"\nbearings = \"kept\"\n[[assemblies]]\n\
                pinion = 0.87\nring = 0.0\nfar = 0.0\nbacklash = [0.25, 0.27, 0.28, 0.24]\ndrive = 0.0\n\
                coast = 0.0\n";
    let told = flowing(&screen(text, &[]));
    has(&told, "Turn the ring-side adjuster in by 0.");
    has(&told, "and the far-side adjuster out by 0.");
    let best = &list(&json(text, &[])["moves"])[0].clone();
    assert_eq!(best["takes_apart"], false);
    assert!(list(&best["shims"]).is_empty());
}

#[test]
fn a_job_file_that_is_wrong_is_refused_as_elsewhere() {
    let folder = bench(
        "axle = \"rowan-215.axle.toml\"\n[[assemblies]]\npinoin = 0.9\nring = 2.0\nfar = 2.1\n",
    );
    let (code, out, err) = next_in(&folder, &[]);
    assert_eq!((code, out.as_str()), (2, ""));
    has(&err, "van.job.toml:3:1: [assemblies.1] has no key `pinoin`");
    has(&err, "did you mean `pinion`?");
    let (code, _, err) = run(&["next", "nowhere/van.job.toml"]);
    assert_eq!(code, 3, "{err}");
    // and a job file in place of an axle file is told as what it is
    let example = Path::new("examples").join(BENCH_JOB.name);
    let (code, _, err) = run(&["odds", example.to_str().expect("text")]);
    assert_eq!(code, 2);
    has(&err, "this is a job file: one axle on the bench");
}

/// A side gap that leaves the bearings loose is no ordinary axle, however far it is off.
#[test]
fn a_slip_in_the_side_packs_is_seen() {
    for zero in ["4.20", "4.30", "4.39"] {
        let text = BENCH_JOB
            .text
            .replace("zero_total = 3.93", &format!("zero_total = {zero}"));
        let surprise = &json(&text, &[])["surprise"][1];
        assert!(number(&surprise["chance"]) < 0.001, "{zero}: {surprise}");
    }
}

/// A torque that no sleeve gives, or one past the window: a new sleeve, whatever else.
#[test]
fn a_sleeve_past_the_window_is_thrown_away() {
    const TRIAL: &str = "\"set-up bearings\"";
    let at = BENCH_JOB.text.rfind(TRIAL).expect("the last assembly");
    let mut text = BENCH_JOB.text.to_owned();
    text.replace_range(at..at + TRIAL.len(), "\"real bearings\"");
    for torque in ["[13]", "[0.9, 1.3, 3.4]"] {
        let told = flowing(&screen(&format!("{text}\ntorque = {torque}\n"), &[]));
        has(
            &told,
            "is past the window of 1.70 to 2.80 N·m, and a nut is never turned back",
        );
        assert!(!told.contains("Stop: it is right"), "{told}");
    }
}

/// Two side packs that each could be built, and not both: that is no advice.
#[test]
fn packs_that_can_not_be_built_together_are_not_advised() {
    let folder = bench(HEAD);
    folder.file(
        "count.csv",
        b"series,size,count\nP-38,0.80,1\nP-38,0.10,1\nS-80,2.00,1\nS-80,0.10,1\n",
    );
    let count = folder.path("count.csv");
    let (code, told, err) = next_in(&folder, &["--have", count.to_str().expect("text")]);
    assert_eq!(code, 1, "{err}");
    let told = flowing(&told);
    has(
        &told,
        "There is nothing that could be done: no packs can be built.",
    );
    has(&told, "Were every size there, the best would be");
    assert!(!told.contains("Start with"), "{told}");
}
