//! `causes` as a process.

use serde_json::Value;

use crate::given::{Folder, answer, estimate, has, json, list, number, run};

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
        "worst case ±0.353 mm, root-sum-square ±0.160 mm",
        "Mean backlash of the first assembly, mm",
        "Side preload of the first assembly, mm",
    ] {
        has(&text, part);
    }
    // never one index without the other
    let questions = text.split("Why jobs differ").nth(1).expect("a section");
    let questions = questions.split("Pinion depth").next().expect("a section");
    let named = |line: &&str| line.starts_with("  ") && line.contains(" % (");
    let rows: Vec<&str> = questions.lines().filter(named).collect();
    assert!(rows.len() > 20, "{questions}");
    for line in rows {
        let told = line.matches(" to ").count() + line.matches("too few to say").count();
        assert!(told >= 2, "{line}");
    }
    let inches = answer(&[
        "causes",
        "examples/sorrel-71.axle.toml",
        "--rebuilds",
        "2000",
    ]);
    has(&inches, "Pinion depth of the first assembly, in");
    let words: Vec<&str> = inches.split_whitespace().collect();
    has(&words.join(" "), "gap that the spacer fills");
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

/// A row is shown where its difference stands out among all that were tried, the others in one line.
#[test]
fn what_stands_out_among_all_that_is_tried_is_shown() {
    let text = answer(&["causes", "--rebuilds", "4000"]);
    let causes = json(&["causes", "--rebuilds", "4000", "--json"]);
    let halved = list(&causes["halved"]);
    has(&text, &format!("stands out among {} tried", halved.len()));
    let table = text.split("  halved ").nth(1).expect("a table");
    let (rows, notes) = table.split_once("  On the very same parts").expect("notes");
    let words: Vec<&str> = notes.split_whitespace().collect();
    let (mut seen, mut by_itself) = (0, 0);
    for buy in halved {
        let name = buy["name"].as_str().expect("a name");
        let shown = rows.contains(&format!("\n  {name} "));
        assert_eq!(buy["seen_among_all"], shown, "{name}");
        seen += usize::from(shown);
        let [low, _, high] = estimate(&buy["money"]);
        by_itself += usize::from(low > 0.0 || high < 0.0);
        let unseen = words.join(" ").contains(name);
        assert!(shown || unseen, "{name}: {notes}");
    }
    assert!(
        5 < seen && seen < halved.len(),
        "{seen} of {}",
        halved.len()
    );
    assert!(by_itself > 0);
    has(
        &text,
        "Better first: reading the pattern (instruments.pattern), the most that the shop itself can",
    );
    has(&text, "Nothing here is a list to work off");
    // the dial's error and its graduation do opposite things to right axles, and it is said why
    let of = |key: &str| {
        let buy = halved.iter().find(|buy| buy["key"] == key).expect(key);
        estimate(&buy["handed_over"])
    };
    assert!(of("instruments.dial.sigma")[2] < 0.0 && of("instruments.dial.step")[0] > 0.0);
    has(&words.join(" "), "a reading on a limit counts as inside");
}

/// As printed no share lies outside 0 to 100 %, and what is hardly known is not told.
#[test]
fn shares_are_told_within_their_bounds() {
    for (rebuilds, hidden) in [("300", true), ("6000", false)] {
        let text = answer(&["causes", "--rebuilds", rebuilds]);
        let questions = text.split("Why jobs differ").nth(1).expect("a section");
        assert_eq!(questions.contains("too few to say"), hidden, "{questions}");
        let mut told = 0;
        for part in questions.split(" % (").skip(1) {
            let Some((interval, _)) = part.split_once(')') else {
                continue;
            };
            let Some((low, high)) = interval.split_once(" to ") else {
                continue;
            };
            let ends = [low, high].map(|end| end.parse::<f64>().expect("a number"));
            assert!(
                0.0 <= ends[0] && ends[1] <= 100.0 && ends[1] - ends[0] <= 20.5,
                "{interval}"
            );
            told += 1;
        }
        assert!(told > 10, "{told}");
    }
}

/// One loop alone, and every contributor as a table.
#[test]
fn one_loop_can_be_asked_for_and_contributors_are_a_table() {
    let asked = ["causes", "--rebuilds", "3000"];
    let all = answer(&asked);
    let depth = answer(&[&asked[..], &["--loop", "depth"]].concat());
    has(&depth, "Pinion depth of the first assembly");
    for other in [
        "Mean backlash",
        "Side preload",
        "What would it buy",
        "Why jobs differ",
    ] {
        assert!(!depth.contains(other), "{depth}");
        has(&all, other);
    }
    let table = |arguments: &[&str]| {
        let text = answer(&[&asked[..], arguments].concat());
        let mut reader = csv::ReaderBuilder::new();
        let reader = reader.comment(Some(b'#'));
        let mut reader = reader.has_headers(false).from_reader(text.as_bytes());
        let row = |row: Result<csv::StringRecord, csv::Error>| {
            let row = row.expect("a row");
            row.iter().map(str::to_owned).collect()
        };
        reader.records().map(row).collect::<Vec<Vec<String>>>()
    };
    let every = table(&["--csv", "-"]);
    assert_eq!(
        every[0][..5],
        [
            "outcome",
            "key",
            "name",
            "worst_case_mm",
            "root_sum_square_mm"
        ]
    );
    let mut outcomes: Vec<&str> = every[1..].iter().map(|row| row[0].as_str()).collect();
    outcomes.dedup();
    let loops = ["depth", "backlash", "side_closure"];
    assert_eq!(
        outcomes,
        [&loops[..], &["first_assembly", "handed_over", "hours"]].concat()
    );
    let one = table(&["--csv", "-", "--loop", "depth"]);
    let of_depth = every.iter().filter(|row| row[0] == "depth").cloned();
    assert_eq!(one[1..], of_depth.collect::<Vec<_>>());
    // the same as in the JSON, and the mark's rounding by itself
    let causes = json(&[&asked[..], &["--json"]].concat());
    let links = list(&list(&causes["loops"])[0]["contributors"]);
    for link in links {
        let row = one
            .iter()
            .find(|row| link["key"] == row[1].as_str())
            .expect("a row");
        let worst: f64 = row[3].parse().expect("a number");
        assert!(
            (worst - number(&link["worst_case"])).abs() < 1e-8,
            "{row:?}"
        );
    }
    assert!(links.iter().any(|link| link["key"] == "gears.mark.step"));
    assert!(links.iter().any(|link| link["key"] == "gears.mark.error"));
}

/// The three spans of a loop stand against its window.
#[test]
fn textbook_sums_and_simulation_stand_against_the_window() {
    let text = answer(&["causes", "--rebuilds", "12000", "--loop", "backlash"]);
    let causes = json(&["causes", "--rebuilds", "12000", "--json"]);
    let backlash = &list(&causes["loops"])[1];
    let row = text
        .lines()
        .find(|line| line.starts_with("  Mean backlash"));
    let cells: Vec<&str> = row.expect("a row").split("  ").map(str::trim).collect();
    let around = |middle: &Value, half: f64| {
        let middle = number(middle);
        format!("{:.3} to {:.3}", middle - half, middle + half)
    };
    let window = list(&backlash["window"]);
    let window = format!("{:.2} to {:.2}", number(&window[0]), number(&window[1]));
    let spans = [
        window,
        around(
            &backlash["mean"]["value"],
            estimate(&backlash["simulated"])[1],
        ),
        around(&backlash["middle"], number(&backlash["root_sum_square"])),
        around(&backlash["middle"], number(&backlash["worst_case"])),
    ];
    for span in spans {
        assert!(cells.contains(&span.as_str()), "{span}: {cells:?}");
    }
}

#[test]
fn a_dial_held_otherwise_says_what_it_does_before_anything_is_bettered() {
    let home = [
        "examples/short.axle.toml",
        "--shop",
        "examples/home-garage.shop.toml",
    ];
    let odds = json(&[&["odds", "--json", "--rebuilds", "40000"], &home[..]].concat());
    let book = "instruments.dial.indicator=plane of rotation";
    let as_book = json(
        &[
            &["odds", "--json", "--rebuilds", "40000", "--set", book],
            &home[..],
        ]
        .concat(),
    );
    let right = |odds: &Value| 100.0 * estimate(&odds["handed_over"]["all"])[0];
    let doubts = list(&odds["doubts"]);
    let doubt = doubts[0].as_str().expect("text");
    let (_, said) = doubt.split_once("corrects for that: about ").expect(doubt);
    let figures: Vec<f64> = said
        .split(" % ")
        .take(2)
        .map(|part| {
            part.rsplit(' ')
                .next()
                .expect("a word")
                .parse()
                .expect(part)
        })
        .collect();
    for (said, right) in figures.iter().zip([right(&odds), right(&as_book)]) {
        assert!((said - right).abs() < 1.6, "{doubt} {right}");
    }
    let otherwise = |doubt: &Value| {
        doubt
            .to_string()
            .contains("holds its indicator another way")
    };
    assert!(!list(&as_book["doubts"]).iter().any(otherwise));
    let (_, causes, _) = run(&[&["causes", "--rebuilds", "4000"], &home[..]].concat());
    has(
        &causes,
        "Before all of these, hold the dial as the book says",
    );
    has(&causes, "Better next: ");
    has(&causes, "halved  ");
}
