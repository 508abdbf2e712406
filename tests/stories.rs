//! `follow` as a process.

use crate::given::{answer, has, json, list, number, program, refused, run, said};

#[test]
fn a_story_tells_what_its_json_says() {
    let story = json(&["follow", "--rebuild", "12", "--json"]);
    assert_eq!(story["answer"], "follow");
    assert_eq!(story["rebuild"], 12);
    let steps = list(&story["steps"]);
    let minutes: f64 = steps
        .iter()
        .filter_map(|step| step["minutes"].as_f64())
        .sum();
    assert!((minutes - number(&story["minutes"])).abs() < 1e-9);
    let assemblies = steps.iter().filter(|s| s["step"] == "assembly").count() as u64;
    assert!(assemblies >= story["assemblies"].as_u64().expect("a count"));
    let text = answer(&["follow", "--rebuild", "12"]);
    has(&text, "Rebuild 12 of seed 1");
    has(
        &text,
        "The parts as drawn: nobody at the bench can see these",
    );
    for step in steps.iter().filter(|s| s["step"] == "pack") {
        let real = format!("{:.3} mm)", number(&step["truth"]));
        has(&text, &real);
    }
    assert_eq!(text, answer(&["follow", "--rebuild", "12"]));
}

#[test]
fn a_telling_rebuild_is_found_or_it_is_said_that_there_is_none() {
    for (find, outcome) in [
        ("first-time", "right"),
        ("many-tries", "right"),
        ("wrongly-passed", "wrongly passed"),
    ] {
        let story = json(&["follow", "--find", find, "--json"]);
        assert_eq!(story["outcome"], outcome);
        assert_eq!(story["found"], find);
    }
    let given_up = json(&[
        "follow",
        "--find",
        "given-up",
        "--set",
        "bench.most_assemblies=3",
        "--json",
    ]);
    assert_eq!(given_up["outcome"], "given up");
    assert!(given_up["handed_over"].is_null());
    let (code, out, err) = run(&[
        "follow",
        "--find",
        "many-tries",
        "--set",
        "windows.side_closure=[0.90, 0.91]",
    ]);
    assert_eq!(code, 1, "{err}");
    assert!(out.is_empty());
    has(&err, "there is none among 2000 rebuilds of seed 1");
    has(&refused(&["follow", "--rebuild", "0"], 2), "from 1 on");
}

/// The row that is outside says so, and no other.
#[test]
fn what_is_outside_is_marked_where_it_is() {
    let mut told = 0;
    for (rebuild, set) in [
        ("56", None),
        ("23", Some("windows.backlash_variation=0.03")),
        ("2", None),
    ] {
        let mut arguments = vec!["follow", "--rebuild", rebuild];
        arguments.extend(set.iter().flat_map(|set| ["--set", set]));
        let story = json(&[&arguments[..], &["--json"]].concat());
        let text = answer(&arguments);
        let end = text.split("In the end, true state").nth(1).expect("an end");
        let row = |name: &str| {
            let row = end.lines().find(|line| line.trim_start().starts_with(name));
            row.unwrap_or_else(|| panic!("{name}\n{end}"))
        };
        let outside = |name: &str| row(name).contains("OUTSIDE");
        let right = &story["handed_over"];
        let said = |kind: &str| right[kind].as_bool().expect("yes or no");
        assert_eq!(
            said("backlash"),
            !outside("backlash round") && !outside("how far it varies"),
            "{end}"
        );
        assert_eq!(
            said("pattern"),
            !outside("pattern on the drive") && !outside("pattern on the coast"),
            "{end}"
        );
        assert_eq!(said("side_closure"), !outside("side preload"), "{end}");
        told += usize::from(end.contains("OUTSIDE"));
        match rebuild {
            "56" => assert!(outside("pattern on the coast") && !outside("pattern on the drive")),
            "23" => assert!(outside("how far it varies") && !outside("backlash round")),
            _ => {}
        }
    }
    assert_eq!(told, 3);
}

#[test]
fn every_job_can_be_followed() {
    for arguments in [
        vec!["follow", "examples/sorrel-71.axle.toml", "--gears", "kept"],
        vec![
            "follow",
            "examples/sorrel-71.axle.toml",
            "--set",
            "bench.pinion_start=gauge",
        ],
        vec![
            "follow",
            "examples/tamarack-88.axle.toml",
            "--shop",
            "examples/quay-lane.shop.toml",
            "--find",
            "compromise",
        ],
        vec![
            "follow",
            "--bearings",
            "kept",
            "--set",
            "bench.side_check=torque rise",
        ],
        vec![
            "follow",
            "--set",
            "bench.bearing_heights=measured",
            "--set",
            "bench.side_start=usual",
        ],
    ] {
        let output = program(&arguments).output().expect("it starts");
        assert!(output.status.success(), "{}", said(&output.stderr));
        let text = said(&output.stdout);
        assert!(!text.contains("NaN"), "{text}");
        let long = text.lines().find(|line| line.chars().count() > 140);
        assert!(long.is_none(), "{long:?}");
    }
}
