//! What tests of files start from.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, LazyLock, Mutex, OnceLock};

use serde_json::Value;
use shimcast::files::{BUILT_IN_AXLE, EXAMPLES, Loaded, Override, Problem, Problems, Source, load};
use shimcast_sim::axle::tolerance::Tolerance;

static NEXT: AtomicU32 = AtomicU32::new(0);

/// A folder of its own for each test, gone when the test is.
pub struct Folder(PathBuf);

impl Folder {
    pub fn new(name: &str) -> Self {
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let own = format!("shimcast-{name}-{}-{number}", std::process::id());
        let path = std::env::temp_dir().join(own);
        std::fs::create_dir_all(&path).expect("a temporary folder");
        Self(path)
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    pub fn file(&self, name: &str, bytes: &[u8]) -> Source {
        let path = self.path(name);
        std::fs::write(&path, bytes).expect("a temporary file");
        Source::File(path)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // a folder left behind does no harm
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

pub fn example(name: &str) -> Source {
    Source::File(
        PathBuf::from(env!("CARGO_MANIFEST_DIR"))
            .join("examples")
            .join(name),
    )
}

pub fn text_of(name: &str) -> &'static str {
    EXAMPLES
        .iter()
        .find(|e| e.name == name)
        .expect("an example")
        .text
}

pub fn set(all: &[&str]) -> Vec<Override> {
    all.iter()
        .map(|s| s.parse().unwrap_or_else(|e| panic!("{e}")))
        .collect()
}

pub fn read(axle: &Source, shop: &Source, overrides: &[&str]) -> Loaded {
    load(axle, shop, &set(overrides)).unwrap_or_else(|e| panic!("{e}"))
}

/// The short example in another unit or with other lines.
pub fn short(folder: &Folder, change: impl Fn(&str) -> String) -> Source {
    folder.file(
        "short.axle.toml",
        change(text_of("short.axle.toml")).as_bytes(),
    )
}

/// A text without the lines that state a key.
pub fn without(text: &str, key: &str) -> String {
    let states = |line: &&str| line.split(['=', ' ']).next() == Some(key);
    let kept: Vec<&str> = text.lines().filter(|line| !states(line)).collect();
    assert!(kept.len() < text.lines().count(), "{key} is not stated");
    kept.join("\n")
}

pub const SHORT_IN_INCHES: &str = r#"
name   = "Short, inches"
length = "in"
torque = "lbf.in"
gears = { pinion_teeth = 9, ring_teeth = 40, ring_diameter = 7.1 }
pinion_shim = { seat = "behind head cup", stock = "P-28in", usual = 0.035 }
side_shims = { seat = "behind side bearings", stock = "S-31in", usual = [0.090, 0.0825] }
pinion_preload = { by = "spacer", stock = "T-11in", usual = 0.045 }
windows = { backlash = [0.005, 0.009], pinion_torque = [14.0, 24.0] }
"#;

/// A deviation, measured values of a column of this file in the folder.
pub fn deviation_from(folder: &Folder, file: &str, column: &str) -> Tolerance {
    let value = format!("{{ shape = \"measured\", from = \"{file}\", column = \"{column}\" }}");
    let text = BUILT_IN_AXLE
        .text
        .replace("{ tol = 0.10, cpk = 0.85, inspected = true }", &value);
    let axle = folder.file("a.axle.toml", text.as_bytes());
    let loaded = load(&axle, &Source::BuiltIn, &[]).unwrap_or_else(|e| panic!("{e}"));
    loaded.axle.gears.depth_deviation
}

/// Reads and expects to fail.
pub fn flaws(axle: &Source, shop: &Source, set: &[&str]) -> Problems {
    let set: Result<Vec<Override>, Problem> = set.iter().map(|s| s.parse()).collect();
    match set {
        Ok(set) => load(axle, shop, &set).expect_err("something is wrong"),
        Err(problem) => problem.into(),
    }
}

pub fn only(problems: Problems, case: &str) -> Problem {
    assert_eq!(problems.0.len(), 1, "{case}:\n{problems}");
    problems.0.into_iter().next().expect("one")
}

pub fn has(text: &str, part: &str) {
    assert!(text.contains(part), "`{part}` is not in\n{text}");
}

/// The program with these arguments, not yet run, away from any terminal.
pub fn program(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_shimcast"));
    command
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env_remove("NO_COLOR")
        .stdin(Stdio::null());
    command
}

/// Runs the program.
pub fn shimcast(arguments: &[&str]) -> Output {
    program(arguments).output().expect("the program starts")
}

pub fn said(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("text")
}

/// Runs the program and gives its exit code, stdout and stderr.
pub fn run(arguments: &[&str]) -> (i32, String, String) {
    let output = shimcast(arguments);
    (
        output.status.code().expect("it was not killed"),
        said(&output.stdout),
        said(&output.stderr),
    )
}

/// The whole answer of the program when all goes well; a run that takes longer shows its progress
/// on stderr.
pub fn answer(arguments: &[&str]) -> String {
    let (code, out, err) = run(&[arguments, &["--all"]].concat());
    assert_eq!(code, 0, "{arguments:?}: {err}");
    out
}

fn copy_examples(to: &Path) {
    copy_files(&Path::new(env!("CARGO_MANIFEST_DIR")).join("examples"), to);
}

/// Copies the files of a folder, and its folder of jobs.
fn copy_files(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("a folder");
    for entry in std::fs::read_dir(from).expect("examples") {
        let path = entry.expect("an entry").path();
        let copy = to.join(path.file_name().expect("a name"));
        if path.is_file() {
            std::fs::copy(&path, copy).expect("a copy");
        } else if path.ends_with("jobs") {
            copy_files(&path, &copy);
        }
    }
}

type Runs = HashMap<Vec<String>, Arc<OnceLock<Output>>>;

/// Runs the program beside the examples and the starter files; each command is run once, whichever
/// tests and documents name it. Files that it writes are gone afterwards.
pub fn run_once(arguments: &[&str]) -> Output {
    static RUNS: LazyLock<Mutex<Runs>> = LazyLock::new(Mutex::default);
    let command = arguments.iter().map(|&word| word.to_owned()).collect();
    let mut runs = RUNS.lock().expect("no test fails here");
    let run = runs.entry(command).or_default().clone();
    drop(runs);
    run.get_or_init(|| {
        let folder = Folder::new("once");
        copy_examples(&folder.path("examples"));
        let run = |arguments: &[&str]| {
            let output = program(arguments).current_dir(folder.path("")).output();
            output.expect("the program starts")
        };
        if arguments[0] != "new" {
            assert!(run(&["new", "mine"]).status.success());
        }
        run(arguments)
    })
    .clone()
}

/// Whether a run gave its answer: `check` ends with 1 where something looks wrong, and says so.
pub fn answered(arguments: &[&str], output: &Output) -> bool {
    let said_nothing = String::from_utf8_lossy(&output.stdout).contains("  nothing");
    match output.status.code() {
        Some(0) => true,
        Some(1) => arguments.first() == Some(&"check") && !said_nothing,
        _ => false,
    }
}

/// What such a run prints, where all goes well.
#[track_caller]
pub fn answer_once(arguments: &[&str]) -> String {
    let output = run_once(arguments);
    let complaint = String::from_utf8_lossy(&output.stderr);
    assert!(answered(arguments, &output), "{arguments:?}: {complaint}");
    said(&output.stdout)
}

/// What makes a drawer quick to plan: few sizes of each series …
pub const FEW_SIZES: [&str; 10] = [
    "--set",
    "shims.P-38.sizes=[0.2, 0.3, 0.5, 0.8]",
    "--set",
    "shims.S-80.sizes=[0.2, 0.4, 0.7, 1.5]",
    "--set",
    "shims.P-28in.sizes=[0.01, 0.02]",
    "--set",
    "shims.S-31in.sizes=[0.015, 0.04]",
    "--set",
    "shims.T-11in.sizes=[0.01, 0.02]",
];

/// … and the parts of all jobs kept, so that a job wants few packs.
pub const PARTS_KEPT: [&str; 6] = [
    "--set",
    "jobs.1.gears=kept",
    "--set",
    "jobs.1.bearings=kept",
    "--set",
    "jobs.2.bearings=kept",
];

/// The one JSON object that it prints.
pub fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&answer(arguments)).expect("one JSON object")
}

/// What it said against these arguments, and nothing on stdout.
pub fn refused(arguments: &[&str], expected: i32) -> String {
    let (code, out, err) = run(arguments);
    assert_eq!(code, expected, "{arguments:?}: {err}");
    assert!(out.is_empty(), "{arguments:?}");
    err
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

/// Splits a command line as a shell does, as far as documents and tests need it.
pub fn words(line: &str) -> Vec<String> {
    let (mut words, mut word, mut quoted) = (Vec::new(), String::new(), false);
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(std::mem::take(&mut word)),
            _ => word.push(c),
        }
    }
    words.push(word);
    words.retain(|word| !word.is_empty());
    words
}

/// The most memory that a running process has had, kB, as the system counts it.
#[cfg(target_os = "linux")]
pub fn peak_memory(process: u32) -> Option<u64> {
    let status = std::fs::read_to_string(format!("/proc/{process}/status")).ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}
