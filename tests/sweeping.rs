//! `sweep` as a process.

use serde_json::{Value, json as json_of};

use crate::given::{Folder, answer, estimate, has, json, list, number, refused, run};

#[test]
fn a_sweep_gives_a_table_a_file_and_json() {
    let folder = Folder::new("sweep");
    let file = folder.path("sweep.csv");
    let file = file.to_str().expect("text");
    let asked = [
        "sweep",
        "instruments.dial.sigma=0..0.02:2",
        "--rebuilds",
        "3000",
    ];
    let text = answer(&[&asked[..], &["--csv", file]].concat());
    has(
        &text,
        "instruments.dial.sigma, mm  first assembly  handed over",
    );
    has(
        &text,
        "From 0 to 0.02: the difference, on the very same parts",
    );
    let csv = std::fs::read_to_string(file).expect("a table");
    let rows = csv.lines().filter(|line| !line.starts_with('#'));
    let rows: Vec<Vec<&str>> = rows.map(|line| line.split(',').collect()).collect();
    // the files' own value, 0.005, comes in between
    assert_eq!(rows.len(), 5);
    assert_eq!(
        rows[0][..2],
        ["instruments.dial.sigma_mm", "first_assembly"]
    );
    assert!(rows.iter().all(|row| row.len() == rows[0].len()));
    assert_eq!(rows[3][0], "0.01");
    // a point is the very answer that the value alone gives
    let swept = json(&[&asked[..], &["--json"]].concat());
    assert_eq!(swept["keys"][0], "instruments.dial.sigma");
    let alone = json(&[
        "odds",
        "--set",
        "instruments.dial.sigma=0.01",
        "--rebuilds",
        "3000",
        "--json",
    ]);
    let point = &list(&swept["points"])[2];
    assert_eq!(point["values"][0], 0.01);
    assert_eq!(point["handed_over"], alone["handed_over"]["all"]);
    assert_eq!(point["hours_p80"], alone["effort"]["hours"]["p80"]);
    assert_eq!(
        number(&point["first_assembly"]["value"]).to_string(),
        rows[3][1]
    );
    assert!(list(&swept["points"])[0]["against_first"].is_null());
    // never over a file that stands there, unless that is asked for
    let chart = folder.path("sweep.svg");
    let chart = chart.to_str().expect("text");
    answer(&[&asked[..], &["-o", chart]].concat());
    for [option, file] in [["--csv", file], ["--chart", chart], ["-o", file]] {
        let again = [&asked[..], &[option, file]].concat();
        let refused = refused(&again, 3);
        has(
            &refused,
            "is not overwritten: name another file, or say --force\n",
        );
        answer(&[&again[..], &["--force"]].concat());
    }
}

/// The ending of a file says what is written into it.
#[test]
fn the_ending_of_a_file_says_what_a_sweep_is_written_as() {
    let folder = Folder::new("sweep-endings");
    let path = |name: &str| folder.path(name).to_str().expect("text").to_owned();
    let asked = ["sweep", "bench.guard=0..0.1:1", "--rebuilds", "300"];
    let [table, chart, object] = ["a.csv", "a.SVG", "a.json"].map(path);
    let files = ["-o", &table, "-o", &chart, "-o", &object];
    answer(&[&asked[..], &files[..]].concat());
    let read = |name: &str| std::fs::read_to_string(name).expect("a file");
    assert_eq!(
        read(&table),
        answer(&[&asked[..], &["--csv", "-"]].concat())
    );
    assert_eq!(read(&object), answer(&[&asked[..], &["--json"]].concat()));
    assert!(read(&chart).starts_with("<svg"));
    for (option, name, said) in [
        (
            "-o",
            "a.png",
            ".csv for a table, .svg for a chart, .json for one JSON object",
        ),
        ("-o", "a", ".csv for a table"),
        ("--csv", "b.svg", "says what is written: .csv for a table;"),
        (
            "--chart",
            "b.csv",
            "says what is written: .svg for a chart;",
        ),
        ("-o", "-", "--csv - prints the table"),
    ] {
        has(&refused(&[&asked[..], &[option, name]].concat(), 2), said);
    }
}

/// Choices, true and false, and numbers by list; what the files say is among them and marked.
#[test]
fn lists_are_swept_and_held_against_the_files_own_value() {
    let rebuilds = ["--rebuilds", "2000"];
    for (list_typed, values, own) in [
        (
            "bench.pinion_start=gauge,usual",
            json_of!(["old pack", "gauge", "usual"]),
            0,
        ),
        ("bench.learns=false,true", json_of!([false, true]), 1),
        (
            "bench.guard=0.01,0.05,0.2",
            json_of!([0.0, 0.01, 0.05, 0.2]),
            0,
        ),
        (
            "bench.most_assemblies=4..8:1",
            json_of!([4.0, 8.0, 12.0]),
            2,
        ),
        ("bench.backlash_points=1..7:2", json_of!([1.0, 4.0, 7.0]), 1),
        // the files write it with other blanks and digits
        (
            "windows.backlash=[0.12, 0.2],[0.130,0.2]",
            json_of!(["[0.12, 0.2]", "[0.130,0.2]"]),
            1,
        ),
    ] {
        let swept = json(&[&["sweep", list_typed, "--json"], &rebuilds[..]].concat());
        let points = list(&swept["points"]);
        let found: Vec<&Value> = points.iter().map(|point| &point["values"][0]).collect();
        assert_eq!(json_of!(found), values, "{list_typed}");
        for (place, point) in points.iter().enumerate() {
            assert_eq!(point["own"], place == own, "{list_typed}");
            let [value, low, high] = {
                let e = estimate(&point["against_own"]["hours"]);
                [e[1], e[0], e[2]]
            };
            let apart = number(&point["hours"]["value"]) - number(&points[own]["hours"]["value"]);
            assert!(
                (value - apart).abs() < 1e-9,
                "{list_typed}: {value} {apart}"
            );
            // pairs know it better than the two by themselves
            let half = 0.5 * (high - low);
            let alone = estimate(&point["hours"]);
            assert!(half < 0.8 * (alone[2] - alone[0]), "{list_typed}: {half}");
            assert_eq!(place == own, half == 0.0, "{list_typed}");
        }
    }
    let text = answer(&[&["sweep", "bench.pinion_start=gauge,usual"], &rebuilds[..]].concat());
    has(&text, "  * old pack ");
    has(
        &text,
        "Difference from old pack, the files' own value, on the very same parts",
    );
    // what --set says holds, and both keys have a value of their own
    let csv = answer(&[
        "sweep",
        "bench.guard=0..0.2:1",
        "bench.learns=true,false",
        "--set",
        "bench.guard=0.1",
        "--rebuilds",
        "300",
        "--csv",
        "-",
    ]);
    let rows = csv.lines().filter(|line| !line.starts_with('#'));
    let own = rows.clone().filter(|line| line.contains(",true,0,0,0,"));
    let own: Vec<&str> = own.collect();
    assert_eq!(rows.count(), 7);
    assert!(own.len() == 1 && own[0].starts_with("0.1,true,"), "{own:?}");
}

#[test]
fn two_keys_make_a_map_and_an_item_of_a_list_can_be_swept() {
    let text = answer(&[
        "sweep",
        "examples/rowan-215.axle.toml",
        "windows.backlash.2=0.20..0.24:2",
        "bench.backlash_points=2..4",
        "--rebuilds",
        "2000",
    ]);
    has(
        &text,
        "windows.backlash.2, mm (down) and bench.backlash_points (across) swept",
    );
    let map = text
        .split("Right at the first assembly\n")
        .nth(1)
        .expect("a map");
    let rows: Vec<&str> = map.lines().take(4).map(str::trim).collect();
    assert_eq!(
        rows[0].split_whitespace().collect::<Vec<_>>(),
        ["2", "3", "*", "4"]
    );
    assert!(rows[1].starts_with("* 0.2 ") && rows[3].starts_with("0.24 "));
    has(&text, "* the files' own values.");
    has(&text, "Difference from 0.2 and 4, the files' own values");
}

#[test]
fn what_is_wrong_with_a_sweep_is_said() {
    for (arguments, part) in [
        (
            vec!["sweep", "bench.backlash_points=0..3"],
            "must lie between 1 and 200",
        ),
        (
            vec!["sweep", "bench.backlash_points=1.5..4.5:2"],
            "should be a whole number",
        ),
        (
            vec!["sweep", "bench.backlash_points=1,2.5"],
            "should be a whole number",
        ),
        (
            vec!["sweep", "bench.pinion_start=gauge,guage"],
            "bench.pinion_start can't be \"guage\"",
        ),
        (
            vec!["sweep", "windows.bcklash=0..1"],
            "did you mean `backlash`",
        ),
        (vec!["sweep", "windows.backlash.3=0..1"], "it has no `3`"),
        (
            vec![
                "sweep",
                "windows.depth=0.01..0.02",
                "windows.depth=0.01..0.03",
            ],
            "is named twice",
        ),
        (
            vec!["sweep", "bench.pinion_start=0..1"],
            "bench.pinion_start",
        ),
        (
            vec![
                "sweep",
                "windows.depth=0.01..0.02:20",
                "bench.ring_belief=0.6..0.9:20",
            ],
            "that makes 441 points",
        ),
    ] {
        has(&refused(&arguments, 2), part);
    }
}

/// Less money may mean that jobs are given up sooner, so that is told beside it.
#[test]
fn jobs_given_up_are_told_of() {
    let key = "bench.most_assemblies=1..3";
    let swept = json(&["sweep", key, "--rebuilds", "3000", "--json"]);
    let last = &list(&swept["points"])[2]["against_first"];
    let [low, value, high] = {
        let e = estimate(&last["finished"]);
        [e[0], e[1], e[2]]
    };
    assert!(
        low > 0.5 && low < value && value < high && high < 0.9,
        "{value}"
    );
    let text = answer(&["sweep", key, "--rebuilds", "3000"]);
    has(&text, "finished at all");
    has(&text, "more often finished");
    let text = answer(&[
        "compare",
        "--way",
        "patient: bench.most_assemblies=3",
        "--set",
        "bench.most_assemblies=1",
        "--rebuilds",
        "3000",
    ]);
    has(&text, "Finished at all");
    has(&text, "more often finished");
    // a way that finishes nothing has no share that could be compared
    let none = [
        "sweep",
        "prices.hour=90..92:1",
        "--rebuilds",
        "300",
        "--set",
        "bench.most_assemblies=1",
        "--set",
        "windows.backlash=[0.150,0.15001]",
        "--set",
        "instruments.dial.step=0",
        "--set",
        "windows.backlash_variation=0.00001",
    ];
    let text = answer(&none);
    has(&text, "cannot be compared: a way finishes no job");
    assert!(!text.contains("-100 to +100"), "{text}");
}

#[test]
fn what_plays_no_part_is_said_to_play_none() {
    let text = answer(&["sweep", "drawer.job_fill=0.5..0.9:1", "--rebuilds", "300"]);
    has(&text, "what is swept plays no part in this job");
    let text = answer(&["sweep", "windows.depth=0.03..0.06:1", "--rebuilds", "300"]);
    has(&text, "what is swept plays no part in this job");
}

#[test]
fn a_sweep_names_the_point_that_is_wrong_and_what_goes_with_it() {
    let said = refused(&["sweep", "windows.backlash.1=0.1..0.3:4"], 2);
    has(&said, "swept to windows.backlash.1=0.2:");
    let twice = [
        "sweep",
        "axle.windows.depth=0.01..0.02:1",
        "windows.depth=0.03..0.04:1",
    ];
    has(&refused(&twice, 2), "is named twice");
    has(
        &refused(&["sweep", "windows.depth=0.03..0.04:1", "--chart", "-"], 2),
        "a figure is not printed",
    );
    let text = answer(&[
        "sweep",
        "examples/short.axle.toml",
        "gears.ring_diameter=200..260:2",
        "--rebuilds",
        "100",
    ]);
    let varies = |line: &&str| line.contains("gears.face_width");
    let line = text.lines().find(varies).expect("an assumption");
    has(line, "at the first point; it goes with what is swept");
}

#[test]
fn swept_keys_have_the_unit_of_their_file() {
    let rebuilds = ["--rebuilds", "100"];
    let two = ["windows.pinion_torque.1=1.6,1.7", "prices.hour=80,92"];
    let inch = [
        "examples/sorrel-71.axle.toml",
        "windows.backlash.2=0.008,0.009",
        "bench.guard=0,0.1",
    ];
    for (asked, units, columns) in [
        (
            &two[..],
            ["N·m", "EUR"],
            "windows.pinion_torque.1_N.m,prices.hour_EUR,first",
        ),
        (
            &inch[..],
            ["in", ""],
            "windows.backlash.2_in,bench.guard,first",
        ),
    ] {
        let asked = [&["sweep"], asked, &rebuilds].concat();
        let swept = json(&[&asked[..], &["--json"]].concat());
        assert_eq!(swept["units"], json_of!(units));
        let table = answer(&[&asked[..], &["--csv", "-"]].concat());
        assert!(table.contains(&format!("\n{columns}")), "{table}");
    }
}

#[test]
fn the_first_screen_says_what_each_point_changes() {
    let (_, swept, _) = run(&["sweep", "bench.backlash_points=1..4", "--rebuilds", "2000"]);
    has(&swept, "Difference from 4, the files' own value");
    // of two keys, what they change comes first
    let keys = ["bench.backlash_points=1..4", "bench.guard=0,0.04"];
    let (_, swept, _) = run(&[&["sweep"], &keys[..], &["--rebuilds", "2000"]].concat());
    has(&swept, "Right when handed over");
    assert!(!swept.contains("Right at the first assembly"), "{swept}");
}
