//! Single rebuilds as CSV, with a page and without.

use std::collections::HashMap;
use std::path::Path;

use crate::given::{Folder, answer, json, number, refused};
use crate::report_files::{figure, rows, rows_of};

#[test]
fn single_rebuilds_are_those_of_the_odds() {
    // JSON is read back to all but the last bit
    let same = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} {b}");
    let folder = Folder::new("sample");
    for (axle, spacer) in [
        ("examples/rowan-215.axle.toml", false),
        ("examples/sorrel-71.axle.toml", true),
    ] {
        let [page, tables] = ["page.html", "tables"].map(|name| folder.path(name));
        let (page, dir) = (page.to_str().expect("text"), tables.to_str().expect("text"));
        answer(&[
            "report",
            axle,
            "--rebuilds",
            "10",
            "--no-stock",
            "--force",
            "-o",
            page,
            "--csv",
            dir,
            "--sample",
            "3000",
        ]);
        let rows = rows(&tables.join("rebuilds.csv"));
        assert_eq!(rows.len(), 3000);
        let odds = json(&["odds", axle, "--rebuilds", "3000", "--json"]);
        let share = |so: &dyn Fn(&HashMap<String, String>) -> bool,
                     of: &dyn Fn(&HashMap<String, String>) -> bool| {
            let of: Vec<_> = rows.iter().filter(|row| of(row)).collect();
            of.iter().filter(|row| so(row)).count() as f64 / of.len() as f64
        };
        let inside = |stage: &'static str| {
            move |row: &HashMap<String, String>| {
                ["backlash", "pattern", "side_closure"]
                    .iter()
                    .all(|what| row[&format!("{stage}_{what}_inside")] == "true")
            }
        };
        let first = share(&inside("first"), &|_| true);
        same(first, number(&odds["first_assembly"]["all"]["value"]));
        let handed_over = share(
            &|row| inside("last")(row) && row["pinion_torque_inside"] == "true",
            &|row| row["finished"] == "true",
        );
        same(handed_over, number(&odds["handed_over"]["all"]["value"]));
        let clearly_out = share(&|row| row["clearly_out"] == "true", &|row| {
            row["finished"] == "true"
        });
        let told = number(&odds["handed_over"]["clearly_out"]["value"]);
        assert!((clearly_out - told).abs() < 1e-12, "{clearly_out} {told}");
        let mean = |column: &str| rows.iter().map(|row| figure(row, column)).sum::<f64>() / 3000.0;
        let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-8, "{a} {b}");
        close(
            mean("assemblies"),
            number(&odds["effort"]["assemblies"]["mean"]["value"]),
        );
        close(
            mean("minutes") / 60.0,
            number(&odds["effort"]["hours"]["mean"]["value"]),
        );
        close(
            mean("first_depth_mm"),
            number(&odds["spread"]["first_depth"]["mean"]),
        );
        close(
            mean("first_side_closure_mm"),
            number(&odds["spread"]["first_closure"]["mean"]),
        );
        // parts and truth belong together: thicker heads stand deeper
        assert!((mean("head_height_mm") - if spacer { 24.6 } else { 28.1 }).abs() < 0.05);
        assert!(
            rows.iter()
                .all(|row| row["spacer_gap_mm"].is_empty() != spacer)
        );
        // printed sizes are in the file's own unit
        let pack = if spacer {
            "spacer_pack_in"
        } else {
            "spacer_pack_mm"
        };
        assert!(
            rows.iter()
                .all(|row| row[pack].is_empty() != spacer || row["finished"] == "false")
        );
        has_a_key(&tables, &rows);
    }
}

/// Every column is in the key beside the rebuilds, and ends in the unit that the key gives.
fn has_a_key(tables: &Path, rebuilds: &[HashMap<String, String>]) {
    let key = rows(&tables.join("rebuilds-columns.csv"));
    assert_eq!(key.len(), rebuilds[0].len());
    for column in &key {
        let (name, unit) = (&column["column"], &column["unit"]);
        assert!(rebuilds[0].contains_key(name), "{name}");
        assert!(name.ends_with(unit.as_str()), "{name}: {unit}");
        assert!(!column["what"].is_empty(), "{name}");
    }
}

/// A rebuild written by itself is the one that `follow` tells.
#[test]
fn single_rebuilds_without_a_page_are_those_that_follow_tells() {
    for axle in [
        "examples/rowan-215.axle.toml",
        "examples/sorrel-71.axle.toml",
    ] {
        let table = answer(&["odds", axle, "--sample", "12", "--csv", "-"]);
        let unit = if axle.contains("sorrel") { "in" } else { "mm" };
        for row in rows_of(&table) {
            let told = json(&["follow", axle, "--rebuild", &row["rebuild"], "--json"]);
            let steps = told["steps"].as_array().expect("steps");
            let decisions: Vec<&str> = steps
                .iter()
                .filter_map(|step| step["do"].as_str())
                .collect();
            assert_eq!(row["decisions"], decisions.join(" "));
            let read: Vec<f64> = steps
                .iter()
                .filter(|step| step["step"] == "backlash")
                .map(|step| {
                    let all = step["readings"].as_array().expect("readings");
                    all.iter().map(number).fold(0.0, f64::max)
                })
                .collect();
            let scale = if unit == "in" { 25.4 } else { 1.0 };
            let most = figure(&row, &format!("last_read_backlash_most_{unit}"));
            let last = read.last().expect("a reading");
            assert!((most * scale - last).abs() < 1e-6, "{row:?}");
            assert!(figure(&row, "cost_EUR") > 0.0);
            let right = row["outcome"].starts_with("right");
            let truth = [
                "last_backlash_inside",
                "last_pattern_inside",
                "last_side_closure_inside",
            ];
            let inside = truth.iter().all(|name| row[*name] == "true");
            assert_eq!(right, inside && row["pinion_torque_inside"] == "true");
        }
    }
}

#[test]
fn single_rebuilds_go_beside_the_odds_with_the_key_of_their_columns() {
    let folder = Folder::new("singles");
    let path = folder.path("some.csv");
    let name = path.to_str().expect("text");
    let ask = ["odds", "--rebuilds", "50", "--sample", "4", "--csv", name];
    assert!(answer(&ask).contains("Right at first assembly"));
    assert_eq!(rows(&path).len(), 4);
    assert!(folder.path("some-columns.csv").exists());
    let told = refused(&ask, 3);
    assert!(told.contains("some.csv is there already"), "{told}");
    refused(&["odds", "--sample", "4"], 2);
    refused(&["odds", "--csv", name], 2);
}
