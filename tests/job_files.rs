//! Job files: what is read of them, and every flaw at its place.

use shimcast::files::{
    BENCH_JOB, BENCH_JOB_IN_INCHES, Comeback, Done, LoadedJob, Problems, Source, Verdict, load_job,
};
use shimcast_sim::axle::Condition;
use shimcast_sim::bench::minutes::Task;

use crate::given::{Folder, has, only, text_of};

/// A folder with the demo's axle files and this job.
fn job_in(folder: &Folder, text: &str) -> Result<LoadedJob, Problems> {
    for name in [
        "rowan-215.axle.toml",
        "sorrel-71.axle.toml",
        "rowan-215-inch.axle.toml",
    ] {
        folder.file(name, text_of(name).as_bytes());
    }
    let adjusters = text_of("rowan-215.axle.toml")
        .replace("seat  = \"outboard\"", "seat  = \"screw adjusters\"")
        .replace("stock = \"S-80\"", "");
    folder.file("adjusters.axle.toml", adjusters.as_bytes());
    folder.file("van.job.toml", text.as_bytes());
    load_job(&folder.path("van.job.toml"), &Source::BuiltIn, &[])
}

fn job(text: &str) -> LoadedJob {
    job_in(&Folder::new("job"), text).unwrap_or_else(|problems| panic!("{problems}"))
}

fn flaws(text: &str) -> Problems {
    job_in(&Folder::new("job"), text).expect_err("something is wrong")
}

#[test]
fn the_example_is_read_as_it_stands() {
    let job = job(BENCH_JOB.text);
    assert_eq!((job.gears, job.bearings), (Condition::New, Condition::New));
    assert_eq!(job.name, "Blue van, rear");
    let known = &job.bench.known;
    assert_eq!(known.mark_old, Some(-0.02));
    assert_eq!(known.mark_new, Some(0.05));
    assert_eq!(known.head_height, Some([28.08, 28.11]));
    assert_eq!(known.gauge, Some(0.86));
    assert_eq!(known.preload_pack, None);
    let [first, second] = job.bench.assemblies.as_slice() else {
        panic!("two assemblies: {:?}", job.bench);
    };
    assert!(first.on_setup_bearings && second.on_setup_bearings);
    assert_eq!(first.zero_total, Some(3.93));
    assert_eq!((first.pinion, first.ring, first.far), (0.87, 1.99, 2.12));
    assert_eq!(first.backlash, [0.15, 0.17, 0.18, 0.15]);
    assert_eq!((second.drive, second.coast), (Some(0.0), Some(-0.05)));
    assert!(job.assumptions.is_empty() && job.warnings.is_empty());
}

#[test]
fn figures_are_in_the_units_of_the_axle_file() {
    let job = job(BENCH_JOB_IN_INCHES.text);
    let first = &job.bench.assemblies[0];
    assert!((first.pinion - 0.034 * 25.4).abs() < 1e-12);
    assert!((first.backlash[1] - 0.007 * 25.4).abs() < 1e-12);
    assert_eq!(first.drive, Some(0.15));
}

#[test]
fn nothing_but_the_axle_must_be_given() {
    let job = job("axle = \"rowan-215.axle.toml\"\n");
    assert_eq!(job.name, "van");
    assert!(job.bench.assemblies.is_empty());
    let assumed: Vec<&str> = job.assumptions.iter().map(|a| a.key.as_str()).collect();
    assert_eq!(assumed, ["gears", "bearings"]);
}

const ENTRY: &str = "\n[[assemblies]]\npinion = 0.87\nring = 1.99\nfar = 2.12\n";

/// What an entry stands on where it does not say, by what came before.
#[test]
fn an_entry_is_on_set_up_bearings_until_one_is_on_real_ones() {
    let head = "axle = \"rowan-215.axle.toml\"\ngears = \"new\"\n";
    let real = ENTRY.to_owned() + "on = \"real bearings\"\n";
    let on = |text: &str| -> Vec<bool> {
        let entries = job(text).bench.assemblies;
        entries
            .iter()
            .map(|entry| entry.on_setup_bearings)
            .collect()
    };
    let three = |middle: &str| format!("{head}bearings = \"new\"\n{ENTRY}{middle}{ENTRY}");
    assert_eq!(on(&three(ENTRY)), [true, true, true]);
    assert_eq!(on(&three(&real)), [true, false, false]);
    assert_eq!(on(&format!("{head}bearings = \"kept\"\n{ENTRY}")), [false]);
    let assumed = job(&three(&real)).assumptions;
    has(
        &assumed[0].text,
        "assemblies.1.on = \"set-up bearings\" (as the shop works)",
    );
}

#[test]
fn one_reading_may_stand_for_a_list_of_one() {
    let text = format!(
        "axle = \"rowan-215.axle.toml\"\n{ENTRY}on = \"real bearings\"\ntorque = 1.5\nbacklash = 0.15\n"
    );
    let entry = &job(&text).bench.assemblies[0];
    assert_eq!(
        (entry.torque.as_slice(), entry.backlash.as_slice()),
        (&[1.5][..], &[0.15][..])
    );
}

/// The one flaw of a job, as it is told: what it says, the text under its carets, and how to mend it.
#[track_caller]
fn told(text: &str, reason: &str, at: &str, help: &str) {
    let problem = only(flaws(text), text);
    has(&problem.reason, reason);
    has(problem.help.as_deref().unwrap_or(""), help);
    if at.is_empty() {
        return;
    }
    let line: Vec<char> = problem.source_line.chars().collect();
    let start = problem.column as usize - 1;
    let marked: String = line[start..start + problem.width as usize].iter().collect();
    assert_eq!(marked, at, "{problem}");
}

#[test]
fn what_contradicts_the_axle_or_itself_is_told_at_its_place() {
    let rowan = "axle = \"rowan-215.axle.toml\"\n";
    let sorrel = "axle = \"sorrel-71.axle.toml\"\n";
    let with = |head: &str, tail: &str| format!("{head}{ENTRY}{tail}");
    told(
        &format!("{rowan}gears = \"kept\"\n[known]\nmark_old = 0.02\nmark_new = 0.03\n"),
        "both are one mark",
        "0.03",
        "gears = \"new\"",
    );
    told(
        &format!("{rowan}bearings = \"kept\"\n[known]\nhead_height = [28.0, 28.1]\n"),
        "the bearings are kept",
        "[28.0, 28.1]",
        "twice",
    );
    told(
        &with(
            &format!("{rowan}bearings = \"kept\"\n"),
            "on = \"set-up bearings\"\n",
        ),
        "can't be \"set-up bearings\"",
        "\"set-up bearings\"",
        "real bearings",
    );
    told(
        &with(rowan, "torque = 1.5\n"),
        "belongs to real bearings",
        "1.5",
        "on = \"real bearings\"",
    );
    told(
        &with(
            rowan,
            "on = \"real bearings\"\npreload = [1.5]\ntorque = [1.5]\n",
        ),
        "this axle has a crush sleeve",
        "[1.5]",
        "take it out",
    );
    let real = "on = \"real bearings\"\n";
    let with = |head: &str, tail: &str| {
        let entry = "[[assemblies]]\npinion = 0.035\nring = 0.090\nfar = 0.085\n";
        format!("{head}{entry}{tail}")
    };
    told(
        &with(sorrel, &format!("{real}torque = [15]\n")),
        "does not say with which packs",
        "[15]",
        "add preload",
    );
    told(
        &with(
            sorrel,
            &format!("{real}preload = [0.058]\ntorque = [15, 16]\n"),
        ),
        "has 2 figures and assemblies.1.preload has 1",
        "[15, 16]",
        "one torque for each pack",
    );
    let adjusters =
        "axle = \"adjusters.axle.toml\"\n[[assemblies]]\npinion = 0.87\nring = 0.5\nfar = 0.0\n";
    told(adjusters, "so here it is 0", "0.5", "write ring = 0.0");
}

#[test]
fn flaws_of_the_file_itself_are_told_at_their_place() {
    let rowan = "axle = \"rowan-215.axle.toml\"\n";
    told(
        "name = \"A\"\n",
        "axle is missing",
        "",
        "name the axle file",
    );
    told(
        "axle = \"rowan-251.axle.toml\"\n",
        "there is no such file",
        "\"rowan-251.axle.toml\"",
        "rowan-215.axle.toml",
    );
    told(
        &format!("{rowan}[known]\nmark_od = 0.02\n"),
        "no key `mark_od`",
        "mark_od",
        "`mark_old`",
    );
    told(
        &format!("{rowan}baclash = [0.1]\n"),
        "no key `baclash`",
        "baclash",
        "its keys are",
    );
    told(
        &format!("{rowan}[[assemblies]]\npinion = 0.87\nring = 1.99\n"),
        "assemblies.1.far is missing",
        "[[assemblies]]",
        "a number of mm",
    );
    told(
        &format!("{rowan}{ENTRY}backlash = [0.15, \"0,17\"]\n"),
        "number 2 of assemblies.1.backlash",
        "\"0,17\"",
        "0.17",
    );
    told(
        &format!("{rowan}{ENTRY}drive = 15\n"),
        "must lie between -1 and 1",
        "15",
        "",
    );
    told(
        &format!("{rowan}{ENTRY}on = \"setup bearings\"\n"),
        "can't be",
        "\"setup bearings\"",
        "`set-up bearings`",
    );
    told(
        &format!("{rowan}{ENTRY}backlash = [-0.15]\n"),
        "must lie between 0 and 5",
        "-0.15",
        "",
    );
    told(
        &format!("{rowan}gears = 3\n"),
        "gears should be one of",
        "3",
        "",
    );
    told(
        &format!("{rowan}{ENTRY}reseated = \"yes\"\n"),
        "true or false",
        "\"yes\"",
        "without quotes",
    );
    told(
        &format!("{rowan}[known]\npinion_pack = 94\n"),
        "must be above 0 and below 50",
        "94",
        "e.g. 0.9",
    );
    told("", "nothing in the file", "", "name the axle file");
    told(
        text_of("rowan-215.axle.toml"),
        "this is an axle file",
        "",
        "names the axle file",
    );
    told(
        text_of("north-bench.shop.toml"),
        "this is a shop file",
        "",
        "--shop",
    );
}

#[test]
fn everything_wrong_in_job_and_axle_is_told_at_once() {
    let folder = Folder::new("both");
    let axle = text_of("rowan-215.axle.toml").replace("stiffness   = 45.0", "stiffness   = -1");
    folder.file("bad.axle.toml", axle.as_bytes());
    let text = format!("axle = \"bad.axle.toml\"\nbearing = \"new\"\n{ENTRY}torque = [0, \"x\"]\n");
    folder.file("bad.job.toml", text.as_bytes());
    let problems =
        load_job(&folder.path("bad.job.toml"), &Source::BuiltIn, &[]).expect_err("flaws");
    let told = problems.to_string();
    assert_eq!(problems.0.len(), 3, "{told}");
    has(&told, "did you mean `bearings`?");
    has(&told, "number 2 of assemblies.1.torque");
    has(&told, "housing.stiffness");
}

#[test]
fn what_has_no_effect_is_said() {
    let text = format!(
        "axle = \"rowan-215.axle.toml\"\n[known]\npreload_pack = 1.5\n{ENTRY}other_tooth = true\n"
    );
    let job = job(&text);
    let said: Vec<String> = job.warnings.iter().map(ToString::to_string).collect();
    assert_eq!(said.len(), 2, "{said:?}");
    has(&said[0], "known.preload_pack has no effect here");
    has(&said[1], "assemblies.1.other_tooth has no effect here");
    assert_eq!(job.bench.known.preload_pack, None);
}

/// How closely the old sides were closed may stand in the axle file.
#[test]
fn the_old_sides_may_be_stated() {
    let folder = Folder::new("sides");
    let axle = text_of("rowan-215.axle.toml");
    assert!(axle.contains("[as_built]"));
    let axle = axle.replace("[as_built]", "[as_built]\nside_closure = { sigma = 0.05 }");
    folder.file("a.axle.toml", axle.as_bytes());
    folder.file("a.job.toml", b"axle = \"a.axle.toml\"\n");
    let job = load_job(&folder.path("a.job.toml"), &Source::BuiltIn, &[]).expect("a job");
    let sides = job.loaded.old_sides.clone().expect("it is stated");
    assert!(
        (sides.worst() - 0.15).abs() < 1e-12,
        "three sigma: {}",
        sides.worst()
    );
    let plain = self::job("axle = \"rowan-215.axle.toml\"\n");
    assert!(plain.loaded.old_sides.is_none());
    has(
        &plain.loaded.old_sides_assumed().text,
        "as_built.side_closure = sigma 0.03 mm",
    );
}

/// How a job ended is read and changes nothing else.
#[test]
fn a_finished_job_says_how_it_ended() {
    let head = "axle = \"rowan-215.axle.toml\"\n";
    assert_eq!(job(head).done, None);
    let text = format!(
        "{head}{ENTRY}[done]\nverdict = \"given up\"\nhours = 4.5\nminutes = {{ refit = 50, strip = 105 }}\nsleeves = 2\n\
         spoiled = {{ \"P-38\" = 1, S-80 = 0 }}\ncomeback = \"no\"\n\
         date = 2031-04-09\n"
    );
    let finished = job(&text);
    let done = finished.done.expect("an end");
    assert_eq!(done.verdict, Some(Verdict::GivenUp));
    assert_eq!((done.hours, done.sleeves), (Some(4.5), Some(2)));
    assert_eq!(done.minutes, [(Task::Strip, 105.0), (Task::Refit, 50.0)]);
    let spoiled = [("P-38".to_owned(), 1), ("S-80".to_owned(), 0)];
    assert_eq!(done.spoiled, spoiled);
    assert_eq!(done.comeback, Some(Comeback::No));
    assert_eq!(done.date.as_deref(), Some("2031-04-09"));
    assert_eq!(finished.bench, job(&format!("{head}{ENTRY}")).bench);
    let empty = job(&format!("{head}[done]\n")).done.expect("an end");
    assert_eq!(empty, Done::default());
    let quoted = job(&format!("{head}[done]\ndate = \"2032-02-29\"\n")).done;
    assert_eq!(
        quoted.and_then(|done| done.date).as_deref(),
        Some("2032-02-29")
    );
    for (line, reason, at, help) in [
        (
            "verdict = \"rigt\"",
            "done.verdict can't be \"rigt\"",
            "\"rigt\"",
            "did you mean `right`?",
        ),
        (
            "hours = -1",
            "done.hours must lie between 0 and 500",
            "-1",
            "number",
        ),
        (
            "hours = 501",
            "done.hours must lie between 0 and 500",
            "501",
            "number",
        ),
        (
            "minutes = { strip = 40000 }",
            "done.minutes.strip must lie between 0 and 30000",
            "40000",
            "number",
        ),
        (
            "sleeves = 1.5",
            "done.sleeves",
            "1.5",
            "write one between 0 and 100",
        ),
        (
            "spoiled = { P38 = 1 }",
            "this axle takes no shims of a series `P38`",
            "P38",
            "did you mean `P-38`?",
        ),
        (
            "spoiled = { \"X\" = 1 }",
            "this axle takes no shims of a series `X`",
            "\"X\"",
            "its series are `P-38`, `S-80`",
        ),
        (
            "spoiled = { P-38 = -1 }",
            "done.spoiled.P-38 must lie between 0 and 1000",
            "-1",
            "whole number",
        ),
        (
            "spoiled = 2",
            "done.spoiled should be a group of keys",
            "2",
            "",
        ),
        (
            "comeback = true",
            "done.comeback should be one of",
            "true",
            "",
        ),
        (
            "date = \"9.4.2031\"",
            "done.date is not a day",
            "\"9.4.2031\"",
            "YYYY-MM-DD",
        ),
        (
            "date = 2031-04-09T10:00:00",
            "done.date is not a day",
            "2031-04-09T10:00:00",
            "YYYY-MM-DD",
        ),
        ("date = 7", "done.date is not a day", "7", "YYYY-MM-DD"),
        (
            "verdikt = \"right\"",
            "[done] has no key `verdikt`",
            "verdikt",
            "did you mean `verdict`?",
        ),
    ] {
        told(&format!("{head}[done]\n{line}\n"), reason, at, help);
    }
}
