//! The shop's own jobs beside the simulated ones.

use std::fs;
use std::path::Path;

use crate::given::{Folder, answer, has, json, list, number, refused, run, text_of};
use crate::next::flowing;

/// The program that makes up the jobs of `examples/jobs`.
#[path = "../examples/north_bench_jobs.rs"]
#[expect(dead_code, reason = "its own main is not run")]
mod north_bench_jobs;

const LEARN: [&str; 6] = [
    "learn",
    "examples/rowan-215.axle.toml",
    "--jobs",
    "examples/jobs",
    "--shop",
    "examples/north-bench.shop.toml",
];

#[test]
fn the_made_up_jobs_are_those_that_their_program_writes() {
    let folder = Folder::new("made-up-jobs");
    north_bench_jobs::write_to(&folder.path("")).expect("jobs");
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/jobs");
    let names = |folder: &Path| {
        let entries = fs::read_dir(folder).expect("a folder");
        let names = entries.map(|entry| entry.expect("a file").file_name());
        let mut names: Vec<_> = names.collect();
        names.sort();
        names
    };
    assert_eq!(names(&folder.path("")), names(&kept));
    for name in names(&kept) {
        let [made, kept] =
            [folder.path(""), kept.clone()].map(|dir| fs::read_to_string(dir.join(&name)));
        assert_eq!(made.expect("made"), kept.expect("kept"), "{name:?}");
    }
}

/// They come of bearings that differ more, zero end play that is found less well and a longer strip: these
/// are found, and nothing else is called odd.
#[test]
#[cfg_attr(debug_assertions, ignore = "slow without optimisation: use --release")]
fn what_the_made_up_jobs_hold_is_found() {
    let answer = json(&[&LEARN[..], &["--json"]].concat());
    assert_eq!(list(&answer["jobs"]).len(), 40);
    assert_eq!(list(&answer["left_out"]).len(), 0);
    assert!(number(&answer["agreement"]["chance"]) < 0.05);
    let mut odd = Vec::new();
    for figure in list(&answer["agreement"]["figures"]) {
        for of in ["place", "scatter"] {
            if figure[of]["odd"] == true {
                odd.push(format!(
                    "{} {of}",
                    figure["figure"].as_str().expect("a name")
                ));
            }
        }
    }
    has(&odd.join(", "), "hours place");
    has(&odd.join(", "), "zero-again scatter");
    has(&odd.join(", "), "heights scatter");
    // head bearings move the first pattern, side bearings the first backlash
    let planted = [
        "hours place",
        "zero-again scatter",
        "head-heights scatter",
        "ring-heights scatter",
        "far-heights scatter",
        "first-drive scatter",
        "first-coast scatter",
        "first-backlash scatter",
    ];
    assert!(
        odd.iter().all(|odd| planted.contains(&odd.as_str())),
        "{odd:?}"
    );
}

/// A folder with the demo's axle and some of the made-up jobs.
fn shop(name: &str, jobs: &[&str]) -> Folder {
    let folder = Folder::new(name);
    for axle in ["rowan-215.axle.toml", "sorrel-71.axle.toml"] {
        folder.file(axle, text_of(axle).as_bytes());
    }
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/jobs");
    for job in jobs {
        let text = fs::read_to_string(kept.join(job)).expect("a job");
        folder.file(job, text.replace("../", "").as_bytes());
    }
    folder
}

fn learn_in(folder: &Folder, options: &[&str]) -> (i32, String, String) {
    let path = |name: &str| folder.path(name).to_str().expect("text").to_owned();
    let (axle, jobs) = (path("rowan-215.axle.toml"), path(""));
    run(&[&["learn", &axle, "--jobs", &jobs], options].concat())
}

#[test]
fn a_file_that_is_broken_or_of_another_axle_is_named_and_left_out() {
    let folder = shop("left-out", &["job-01.job.toml", "job-02.job.toml"]);
    folder.file("broken.job.toml", b"axle = \"rowan-215.axle.toml\"\n[[assemblies]]\npinion = \"thick\"\nring = 2.0\nfar = 2.1\n");
    folder.file("other.job.toml", b"axle = \"sorrel-71.axle.toml\"\n");
    folder.file("new.job.toml", b"axle = \"rowan-215.axle.toml\"\n");
    let (code, out, err) = learn_in(&folder, &["--all"]);
    assert_eq!(code, 0, "{err}");
    let out = flowing(&out);
    has(
        &out,
        "2 jobs of this axle were read. Too few to say whether they look as simulated",
    );
    has(&out, "3 files are left out");
    has(
        &out,
        "broken.job.toml: line 3: assemblies.1.pinion should be a number",
    );
    has(&out, "it is of another axle, sorrel-71.axle.toml");
    has(&out, "nothing was fitted yet");
}

#[test]
fn what_no_simulated_job_comes_to_state_has_no_mean_there() {
    let folder = shop("far-off", &["job-01.job.toml"]);
    // so far off that no simulated pattern lies on the tooth
    let text = text_of("rowan-215.axle.toml").replace("nominal = 121.00", "nominal = 519.46");
    folder.file("rowan-215.axle.toml", text.as_bytes());
    let (code, out, err) = learn_in(&folder, &["--all", "--anyway"]);
    assert_eq!(code, 0, "{err}");
    assert!(!out.contains("NaN"), "{out}");
    let (_, out, _) = learn_in(&folder, &["--json", "--anyway"]);
    let answer: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    let figures = list(&answer["agreement"]["figures"]);
    let means = figures.iter().map(|figure| &figure["simulated_mean"]);
    assert!(means.clone().any(|mean| mean.is_null()), "{figures:?}");
    assert!(means.clone().any(|mean| mean.is_number()), "{figures:?}");
}

#[test]
fn an_axle_file_under_another_name_is_the_same_axle() {
    let folder = shop("renamed", &["job-01.job.toml"]);
    let axle = folder.path("learned.axle.toml");
    fs::copy(folder.path("rowan-215.axle.toml"), &axle).expect("a copy");
    let jobs = folder.path("");
    let out = answer(&[
        "learn",
        axle.to_str().expect("text"),
        "--jobs",
        jobs.to_str().expect("text"),
    ]);
    has(&flowing(&out), "1 job of this axle was read.");
}

#[test]
#[cfg_attr(debug_assertions, ignore = "slow without optimisation: use --release")]
fn the_page_has_a_picture_of_each_figure_and_is_not_overwritten() {
    let folder = shop(
        "learned-page",
        &["job-01.job.toml", "job-02.job.toml", "job-03.job.toml"],
    );
    let page = folder.path("fit.html");
    let page = page.to_str().expect("text");
    let (code, _, err) = learn_in(&folder, &["-o", page]);
    assert_eq!(code, 0, "{err}");
    let html = fs::read_to_string(page).expect("a page");
    for name in [
        "first-backlash",
        "variation",
        "hours",
        "zero-again",
        "head-heights",
    ] {
        has(&html, &format!("id=\"{name}\""));
    }
    let (code, _, err) = learn_in(&folder, &["-o", page]);
    assert_eq!(code, 3, "{err}");
    assert_eq!(fs::read_to_string(page).expect("a page"), html);
}

/// Few jobs, none, and some that are not over.
#[test]
fn it_says_how_much_there_is_to_go_by() {
    let told = |folder: &Folder| {
        let (code, out, err) = learn_in(folder, &[]);
        assert_eq!(code, 0, "{err}");
        flowing(&out)
    };
    let none = told(&shop("no-jobs", &[]));
    has(
        &none,
        "No job of this axle was read: job files end in .job.toml",
    );
    assert!(!none.contains("Too few"), "{none}");
    let few = "Too few to say whether they look as simulated: a figure is judged once five jobs state it.";
    has(
        &told(&shop("one-job", &["job-01.job.toml"])),
        &format!("1 job of this axle was read. {few}"),
    );
    let names: Vec<String> = (1..=5).map(|n| format!("job-0{n}.job.toml")).collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let four = shop("four-jobs", &names[..4]);
    has(
        &told(&four),
        &format!("4 jobs of this axle were read. {few}"),
    );
    let five = shop("five-jobs", &names);
    has(
        &told(&five),
        "5 jobs of this axle were read. They look as simulated, as far as 5 jobs can tell: ",
    );
    let path = five.path("job-05.job.toml");
    let text = fs::read_to_string(&path).expect("a job");
    let (begun, _) = text.split_once("[done]").expect("an end");
    fs::write(&path, begun).expect("written");
    has(
        &told(&five),
        "5 jobs of this axle were read. 1 has no [done] yet and tells by its readings alone. They look",
    );
}

/// A figure that the made-up jobs teach.
fn taught<'a>(answer: &'a serde_json::Value, key: &str) -> &'a serde_json::Value {
    let all = list(&answer["learned"]).iter();
    let mut of_it = all.filter(|lesson| lesson["key"] == key);
    of_it.next().unwrap_or_else(|| panic!("{key} is learned"))
}

/// What the made-up jobs were made with lies in what is believed of it, which is nearer to it than the file
/// is; of all the rest hardly anything changes.
#[test]
#[cfg_attr(debug_assertions, ignore = "slow without optimisation: use --release")]
fn what_the_made_up_jobs_were_made_with_is_learned() {
    let answer = json(&[&LEARN[..], &["--json"]].concat());
    for (key, made_with) in [
        ("bearings.head.height", 0.036),
        ("bearings.side.height", 0.036),
        ("instruments.end_play", 0.034),
        ("minutes.strip", (110.0 + 165.0 + 260.0) / 3.0),
    ] {
        let lesson = taught(&answer, key);
        let [low, high] = ["low", "high"].map(|end| number(&lesson["learned"][end]));
        assert!(low <= made_with && made_with <= high, "{lesson}");
        let [files, now] = [&lesson["files"], &lesson["learned"]["value"]].map(number);
        assert!(
            (now - made_with).abs() < (files - made_with).abs(),
            "{lesson}"
        );
    }
    let all = list(&answer["learned"]);
    assert!(all.len() > 35, "{}", all.len());
    let changed: Vec<&str> = (all.iter())
        .filter(|lesson| lesson["changes"] == true)
        .map(|lesson| lesson["key"].as_str().expect("a key"))
        .collect();
    for key in [
        "bearings.side.height",
        "instruments.end_play",
        "minutes.strip",
    ] {
        assert!(changed.contains(&key), "{changed:?}");
    }
    assert!(changed.len() <= 6, "{changed:?}");
    // zero end play that is found less well spoils jobs; a longer strip costs hours and no shims
    let moves = |key: &str| taught(&answer, key)["moves"].clone();
    let end_play = moves("instruments.end_play");
    assert!(
        number(&end_play["handed_over"]["high"]) < -0.04,
        "{end_play}"
    );
    let strip = moves("minutes.strip");
    assert!(number(&strip["hours"]["low"]) > 0.3, "{strip}");
    assert_eq!(strip["handed_over"]["value"], 0.0);
    assert!(strip["drawer"].is_null());
    let together = &answer["all_adopted"];
    assert!(number(&together["price"]) > 40.0, "{together}");
    assert!(number(&together["drawer"]).is_finite(), "{together}");
}

/// New files have the figures that change, each with a remark, and every other line as it was; they say what
/// was learned; and nothing is overwritten.
#[test]
#[cfg_attr(debug_assertions, ignore = "slow without optimisation: use --release")]
fn new_files_have_only_the_changed_figures() {
    let folder = Folder::new("learned-files");
    let into = folder.path("new");
    let into = into.to_str().expect("text");
    let (code, out, err) = run(&[&LEARN[..], &["--write", into]].concat());
    assert_eq!(code, 0, "{err}");
    has(&flowing(&out), "--write puts them into new files.");
    let mut remarks = 0;
    for name in ["rowan-215.axle.toml", "north-bench.shop.toml"] {
        let before = text_of(name);
        let after = fs::read_to_string(folder.path("new").join(name)).expect("a new file");
        let mut old = before.lines();
        for line in after.lines() {
            if line.starts_with("# ") && line.contains("learned from 40 jobs; before ") {
                remarks += 1;
                continue;
            }
            let was = old.next().expect("as many lines");
            if line != was {
                let key = |line: &str| line.split('=').next().map(str::to_owned);
                assert_eq!(key(line), key(was));
                let comment = |line: &str| line.split_once('#').map(|(_, rest)| rest.to_owned());
                assert_eq!(comment(line), comment(was));
            }
        }
        assert_eq!(old.next(), None);
    }
    assert!((3..=6).contains(&remarks), "{remarks}");
    let [axle, shop] =
        ["rowan-215.axle.toml", "north-bench.shop.toml"].map(|name| format!("{into}/{name}"));
    let (code, _, err) = run(&["check", &axle, "--shop", &shop]);
    assert_eq!(code, 0, "{err}");
    let again = json(&[
        "learn",
        &axle,
        "--jobs",
        "examples/jobs",
        "--shop",
        &shop,
        "--json",
    ]);
    // the new files are the prior now, and the same jobs pull less at them
    let side = taught(&again, "bearings.side.height");
    assert!(number(&side["files"]) > 0.03, "{side}");
    assert_eq!(side["changes"], false);
    let kept = fs::read_to_string(folder.path("new/rowan-215.axle.toml")).expect("a file");
    let (code, _, err) = run(&[&LEARN[..], &["--write", into]].concat());
    assert_eq!(code, 3, "{err}");
    has(&err, "is there already");
    assert_eq!(
        fs::read_to_string(folder.path("new/rowan-215.axle.toml")).expect("a file"),
        kept
    );
}

/// A file in inches gets its own figures, and one that is built in is written from its text.
#[test]
#[cfg_attr(debug_assertions, ignore = "slow without optimisation: use --release")]
fn a_shop_that_is_built_in_is_written_too() {
    let folder = Folder::new("learned-built-in");
    let into = folder.path("new");
    let into = into.to_str().expect("text");
    let (code, _, err) = run(&[&LEARN[..4], &["--write", into]].concat());
    assert_eq!(code, 0, "{err}");
    let shop = fs::read_to_string(folder.path("new/north-bench.shop.toml")).expect("a shop");
    has(&shop, "# finding zero end play, one sigma: 0.0");
}

#[test]
#[cfg_attr(debug_assertions, ignore = "slow without optimisation: use --release")]
fn figures_that_are_trusted_more_move_less() {
    let of = |trust: &str| {
        let answer = json(&[&LEARN[..], &["--json", "--trust", trust]].concat());
        number(&taught(&answer, "instruments.end_play")["learned"]["value"])
    };
    let [little, much] = ["1", "5000"].map(of);
    assert!(little > 0.035, "{little}");
    assert!((much - 0.02).abs() < 0.001, "{much}");
    refused(&[&LEARN[..], &["--trust", "0"]].concat(), 2);
    refused(&[&LEARN[..], &["--trust", "many"]].concat(), 2);
}

#[test]
fn a_folder_that_is_not_there_is_told() {
    let told = refused(
        &[
            "learn",
            "examples/rowan-215.axle.toml",
            "--jobs",
            "no-such-folder",
        ],
        3,
    );
    has(&told, "can't read no-such-folder");
}
