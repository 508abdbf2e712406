//! The choice of gear set, asked of the program as a process.

use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::given::{Folder, json, list, number, refused, said, shimcast};

fn ratio(args: &[&str]) -> Value {
    let mut all = vec!["ratio", "--json"];
    all.extend(args);
    json(&all)
}

fn near(value: &Value, wanted: f64) {
    let value = number(value);
    assert!(
        (value - wanted).abs() < 1e-9 * wanted.abs().max(1.0),
        "{value} is not {wanted}"
    );
}

#[test]
fn gear_set_arithmetic_by_hand() {
    // 700 to 770 mm is 10 % more: 4.00 feels like 3.636…, and 4.40 gives 4.00 back
    let answer = ratio(&[
        "--ratio",
        "4",
        "--old-tyre",
        "700mm",
        "--new-tyre",
        "770mm",
        "--spread",
        "0",
    ]);
    near(&answer["effective"]["value"], 4.0 / 1.1);
    near(&answer["effective"]["low"], 4.0 / 1.1);
    near(&answer["wanted"]["value"], 4.4);
    near(&answer["speedometer"]["value"], 1.0 / 1.1 - 1.0);
    assert_eq!(answer["seed"], Value::Null);

    // 90 km/h is 1500 m a minute; 2.00 m a turn make 750 turns, times 4.00 · 0.80
    let answer = ratio(&[
        "--ratio",
        "4",
        "--old-tyre",
        "660mm",
        "--old-rolls",
        "2000mm",
        "--speed",
        "90km/h",
        "--gearbox",
        "1,0.8",
        "--spread",
        "1",
    ]);
    let gears = list(&answer["engine_speed"]["new_tyres"]);
    near(&gears[0]["a_minute"]["value"], 3000.0);
    near(&gears[1]["a_minute"]["value"], 2400.0);
    near(&gears[1]["a_minute"]["low"], 2400.0 / 1.01);
    near(&gears[1]["a_minute"]["high"], 2400.0 / 0.99);

    // a size code: 381 + 2 · 176.25 = 733.5 mm, taken to roll 0.96 to 0.97 of its circumference
    let answer = ratio(&["--new-tyre", "235/75R15", "--loaded-radius", "350mm"]);
    let tyre = &answer["tyres"]["new"];
    near(&tyre["diameter"], 733.5);
    let free = std::f64::consts::PI * 733.5;
    near(&tyre["free_circumference"], free);
    near(&tyre["rolling_circumference"]["low"], 0.96 * free);
    near(&tyre["rolling_circumference"]["high"], 0.97 * free);
    near(
        &answer["tyres"]["new_loaded_circumference"],
        std::f64::consts::TAU * 350.0,
    );
    // the same tyre before and after changes nothing, exactly
    near(&answer["wanted"]["low"], 41.0 / 11.0);
}

#[test]
fn pairs_come_from_a_list_nearest_first() {
    let folder = Folder::new("pairs");
    let list_of = |text: &str| {
        folder.file("sets.csv", text.as_bytes());
        folder.path("sets.csv")
    };
    let ask = |path: &Path, more: &[&str]| {
        let path = path.to_str().expect("a plain path");
        let mut args = vec!["--ratio", "4", "--pairs", path, "--near", "3"];
        args.extend(more);
        ratio(&args)
    };
    let path = list_of("# mine\nnote;pinion_teeth;ring_teeth\nours;10;41\n;10;40\nfar;9;41\n");
    let answer = ask(&path, &[]);
    let pairs = list(&answer["pairs"]);
    assert_eq!(pairs.len(), 2);
    assert_eq!(
        (&pairs[0]["ring_teeth"], &pairs[0]["hunting"]),
        (&40.into(), &false.into())
    );
    assert_eq!(
        (&pairs[1]["note"], &pairs[1]["hunting"]),
        (&"ours".into(), &true.into())
    );
    near(&pairs[1]["off"]["value"], 0.025);
    let hunting = ask(&path, &["--hunting"]);
    assert_eq!(list(&hunting["pairs"]).len(), 1);

    for (text, words) in [
        (
            "ring_teeth,pinion_tooth\n41,11\n",
            "is it `pinion_tooth`? Then name it pinion_teeth",
        ),
        ("ring_teeth,pinion_teeth\n41,eleven\n", "`eleven`"),
        (
            "ring_teeth,pinion_teeth\n11,41\n",
            "are the columns swapped",
        ),
        ("ring_teeth,pinion_teeth\n", "no tooth pairs"),
    ] {
        let path = list_of(text);
        let path = path.to_str().expect("a plain path");
        let told = refused(&["ratio", "--pairs", path], 2);
        assert!(told.contains(words) && told.contains("sets.csv"), "{told}");
    }
    refused(&["ratio", "--pairs", "nowhere.csv"], 3);
}

#[test]
fn both_driven_axles_agree_within_one_percent_or_are_warned_of() {
    let output = shimcast(&["ratio", "--ratio", "4.00", "--other-axle", "4.05"]);
    assert!(output.status.success());
    assert!(said(&output.stderr).starts_with("warning: the two driven axles differ by 1.2 %"));
    let told = said(&output.stdout).replace("\n    ", " ");
    assert!(told.contains("WARNING: more than the 1 %"), "{told}");
    let output = shimcast(&["ratio", "--ratio", "4.00", "--other-axle", "4.04"]);
    assert!(output.stderr.is_empty());
    let told = said(&output.stdout).replace("\n    ", " ");
    assert!(told.contains("within the 1 %"), "{told}");
    let answer = ratio(&["--ratio", "4.00", "--other-axle", "41/10"]);
    assert_eq!(answer["other_axle"]["agrees"], false);
    near(&answer["other_axle"]["apart"], 0.025);
}

#[test]
fn an_axle_file_gives_its_teeth_whatever_shop_has_its_shims() {
    let answer = ratio(&["examples/tamarack-88.axle.toml"]);
    let text = std::fs::read_to_string(
        PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples/tamarack-88.axle.toml"),
    )
    .expect("an example");
    let teeth = |key: &str| -> f64 {
        let line = text.lines().find(|l| l.starts_with(key)).expect("a key");
        let figure = line.split(['=', '#']).nth(1).expect("a value");
        figure.trim().parse().expect("teeth")
    };
    near(
        &answer["ratio"],
        teeth("ring_teeth") / teeth("pinion_teeth"),
    );
    assert_eq!(answer["axle"], "Tamarack 88");
}

#[test]
fn gear_set_questions_that_make_no_sense_are_refused() {
    for (args, words) in [
        (&["--ratio", "11/41"][..], "ring teeth come first"),
        (&["--new-tyre", "235/75"], "construction code"),
        (&["--new-tyre", "31"], "its unit"),
        (&["--speed", "100km/h"], "add --old-tyre"),
        (
            &["--new-tyre", "31in", "--speed", "100"],
            "100km/h or 60mph",
        ),
        (&["--gearbox", "0.8"], "--speed"),
    ] {
        let mut all = vec!["ratio"];
        all.extend(args);
        let text = refused(&all, 2);
        assert!(text.contains(words), "{args:?}: {text}");
    }
    let output = shimcast(&["ratio", "--new-tyre", "31in", "--new-rolls", "93in"]);
    assert!(output.status.success());
    assert!(output.stderr.is_empty(), "{}", said(&output.stderr));
    let output = shimcast(&["ratio", "--new-tyre", "31in", "--new-rolls", "1300mm"]);
    assert!(said(&output.stderr).contains("Wrong unit"));
}
