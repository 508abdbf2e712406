//! The program as a process: what it answers, and what it refuses.

use std::process::{Command, Output};

use serde_json::Value;

pub fn shimcast(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shimcast"))
        .args(args)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env("NO_COLOR", "1")
        .output()
        .expect("the program runs")
}

pub fn said(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

/// What it printed, where nothing went wrong.
pub fn answer(args: &[&str]) -> String {
    let output = shimcast(args);
    assert!(
        output.status.success(),
        "{args:?}: {}",
        said(&output.stderr)
    );
    said(&output.stdout)
}

pub fn json(args: &[&str]) -> Value {
    serde_json::from_str(&answer(args)).expect("one JSON object")
}

/// What it said against these arguments, and nothing on stdout.
pub fn refused(args: &[&str], code: i32) -> String {
    let output = shimcast(args);
    let text = said(&output.stderr);
    assert_eq!(output.status.code(), Some(code), "{args:?}: {text}");
    assert!(output.stdout.is_empty(), "{args:?}");
    text
}

pub fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is no number"))
}

/// Low, value, high of an estimate.
pub fn estimate(value: &Value) -> [f64; 3] {
    let [low, middle, high] = ["low", "value", "high"].map(|key| number(&value[key]));
    assert!(low <= middle && middle <= high, "{value}");
    [low, middle, high]
}

pub fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}
