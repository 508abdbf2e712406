//! Whole answers as they were last looked at. Where a change is meant, run the tests once with
//! `UPDATE_ANSWERS=1` in the environment and look at what `git diff` shows.

use std::path::Path;

use crate::given::answer;

fn holds(name: &str, arguments: &[&str]) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/answers")
        .join(format!("{name}.txt"));
    let now = answer(arguments);
    if std::env::var_os("UPDATE_ANSWERS").is_some() {
        std::fs::write(&path, &now).expect("the answer is written");
    }
    let before = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        now == before,
        "{arguments:?} no longer gives {}:\n{now}",
        path.display()
    );
}

const TAMARACK: &str = "examples/tamarack-88.axle.toml";
const QUAY_LANE: &str = "examples/quay-lane.shop.toml";

#[test]
fn odds() {
    holds("odds-rowan", &["odds", "--rebuilds", "20000"]);
    holds(
        "odds-sorrel-kept",
        &[
            "odds",
            "examples/sorrel-71.axle.toml",
            "--gears",
            "kept",
            "--rebuilds",
            "20000",
        ],
    );
    holds(
        "odds-short",
        &["odds", "examples/short.axle.toml", "--rebuilds", "100"],
    );
}

#[test]
fn check() {
    holds("check-rowan", &["check"]);
    holds("check-sorrel", &["check", "examples/sorrel-71.axle.toml"]);
    holds("check-tamarack", &["check", TAMARACK, "--shop", QUAY_LANE]);
}

#[test]
fn what_looks_wrong() {
    holds(
        "check-wrong",
        &[
            "check",
            "--set",
            "windows.backlash=[0.001, 0.010]",
            "--set",
            "shims.P-38.sizes=[0.5, 1.0]",
            "--set",
            "bench.ring_belief=0.5",
            "--set",
            "instruments.dial.indicator=square to the tooth",
            "--set",
            "housing.far_seat.nominal=88.0",
            "--set",
            "gears.mounting_distance=92.04",
        ],
    );
}
