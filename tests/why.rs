//! `causes` as a process.

use serde_json::Value;

use crate::given::{Folder, answer, estimate, has, json, list, number};

#[test]
fn causes_as_json_keeps_its_contract() {
    let causes = json(&["causes", "--rebuilds", "5000", "--json"]);
    assert_eq!(causes["answer"], "causes");
    assert_eq!(causes["rebuilds"], 5000);
    for path in [
        "first_assembly",
        "handed_over",
        "finished",
        "hours",
        "money",
    ] {
        estimate(&causes[path]);
    }
    let odds = json(&["odds", "--rebuilds", "5000", "--json"]);
    assert_eq!(causes["first_assembly"], odds["first_assembly"]["all"]);
    assert_eq!(causes["handed_over"], odds["handed_over"]["all"]);
    let loops = list(&causes["loops"]);
    let names: Vec<&Value> = loops.iter().map(|l| &l["loop"]).collect();
    assert_eq!(names, ["depth", "backlash", "side_closure"]);
    for one in loops {
        let links = list(&one["contributors"]);
        let worst: f64 = links.iter().map(|l| number(&l["worst_case"])).sum();
        assert!((worst - number(&one["worst_case"])).abs() < 1e-12);
        assert!(number(&one["root_sum_square"]) < worst);
        estimate(&one["simulated"]);
    }
    for input in list(&causes["inputs"]) {
        assert!(input["key"].is_string() && input["name"].is_string());
        for question in [
            "first_assembly",
            "handed_over",
            "hours",
            "depth",
            "backlash",
        ] {
            estimate(&input[question]["first_order"]);
            estimate(&input[question]["total"]);
        }
    }
    let halved = list(&causes["halved"]);
    let money: Vec<f64> = halved.iter().map(|b| estimate(&b["money"])[1]).collect();
    assert!(money.is_sorted() && money.len() > 20);
    // the key is one that --set and compare know
    let pattern = &halved[0];
    assert_eq!(pattern["key"], "instruments.pattern");
    assert_eq!(pattern["saves"], true);
    assert_eq!(pattern["verdict"], "cheaper");
}

/// What halving buys is what a comparison says of the files with that figure halved.
#[test]
fn what_halving_buys_can_be_checked_by_hand() {
    let causes = json(&["causes", "--rebuilds", "5000", "--json"]);
    let compared = json(&[
        "compare",
        "--way",
        "half: housing.offset.tol=0.015",
        "--rebuilds",
        "5000",
        "--json",
    ]);
    let bought = list(&causes["halved"])
        .iter()
        .find(|buy| buy["key"] == "housing.offset")
        .expect("the offset varies");
    for difference in list(&compared["differences"]) {
        let measure = difference["measure"].as_str().expect("a name");
        assert_eq!(bought[measure], difference["difference"], "{measure}");
    }
}

#[test]
fn causes_shows_both_indices_and_what_they_mean() {
    let text = answer(&["causes", "--rebuilds", "5000"]);
    for part in [
        "What would it buy: each spread or error halved, one at a time",
        "alone: the share of the variance that would go, on average, if this alone were known",
        "with others: the share that would remain, on average, if everything else were known",
        "Pinion depth of the first assembly, mm",
        "worst case ±0.35 mm, root-sum-square ±0.16 mm",
        "Mean backlash of the first assembly, mm",
        "Side closure of the first assembly, mm",
    ] {
        has(&text, part);
    }
    // never one index without the other
    let questions = text.split("Why jobs differ").nth(1).expect("a section");
    let questions = questions.split("Pinion depth").next().expect("a section");
    let named = |line: &&str| line.starts_with("  ") && line.contains(" % ±");
    let rows: Vec<&str> = questions.lines().filter(named).collect();
    assert!(rows.len() > 20, "{questions}");
    for line in rows {
        if !line.contains("What they do alone") {
            assert_eq!(line.matches('±').count(), 2, "{line}");
        }
    }
    let inches = answer(&[
        "causes",
        "examples/sorrel-71.axle.toml",
        "--rebuilds",
        "2000",
    ]);
    has(&inches, "Pinion depth of the first assembly, in");
    has(&inches, "gap that the spacer fills");
}

/// With nothing that varies there is nothing to explain, and nothing breaks.
#[test]
fn causes_of_a_job_that_never_misses() {
    let folder = Folder::new("exact");
    let exact: String = crate::given::text_of("rowan-215.axle.toml")
        .lines()
        .map(|line| {
            let zero = ["tol = ", "sigma = ", "cv = "]
                .iter()
                .fold(line.to_owned(), |line, key| match line.split_once(key) {
                    Some((before, after)) => {
                        let rest =
                            after.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
                        format!("{before}{key}0.0{rest}")
                    }
                    None => line,
                });
            format!("{zero}\n")
        })
        .collect();
    folder.file("exact.axle.toml", exact.as_bytes());
    let path = folder.path("exact.axle.toml");
    let path = path.to_str().expect("text");
    let mut arguments = vec!["causes", path, "--rebuilds", "500"];
    let quiet = [
        "bench.mark_slip=0",
        "instruments.dial.sigma=0",
        "instruments.end_play.sigma=0",
        "instruments.pattern.profile=0",
        "instruments.micrometer.sigma=0",
        "instruments.setup_bearing.sigma=0",
    ];
    for set in &quiet {
        arguments.extend(["--set", set]);
    }
    let text = answer(&arguments);
    assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
}

/// A slip of the unit still gives an answer, but not without a word.
#[test]
fn what_looks_wrong_is_said_beside_every_answer() {
    for command in [
        &["odds"][..],
        &["quote"],
        &["causes"],
        &["follow"],
        &["compare", "--way", "dial: instruments.dial.sigma=0.001"],
        &["sweep", "windows.depth=0.04..0.05:1"],
        &["report", "--for", "student", "--no-stock", "-o", "-"],
    ] {
        let mut arguments = command.to_vec();
        if command[0] != "follow" {
            arguments.extend(["--rebuilds", "50"]);
        }
        arguments.extend(["--set", "gears.pressure_angle=40"]);
        let text = answer(&arguments);
        let told = text
            .matches("Looks wrong: gears.pressure_angle is 40")
            .count();
        assert_eq!(told, 1, "{arguments:?}: {text}");
        let text = answer(&arguments[..arguments.len() - 2]);
        assert!(!text.contains("Looks wrong"), "{text}");
        if command[0] != "report" {
            arguments.push("--json");
            let doubts = json(&arguments)["doubts"].clone();
            let doubts = doubts.as_array().expect("a list").clone();
            let said = |doubt: &Value| {
                doubt
                    .as_str()
                    .is_some_and(|d| d.starts_with("gears.pressure"))
            };
            assert!(doubts.iter().any(said), "{doubts:?}");
        }
    }
}
