//! Files and arguments that nobody would write: whatever comes in, the program says what is wrong with it or
//! answers, soon and in figures.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use clap::Parser;
use rand::rngs::SmallRng;
use rand::{Rng, RngExt, SeedableRng};
use serde_json::Value;
use shimcast::cli::Cli;
use shimcast::faces::terminal::{Paper, text};
use shimcast::files::{BENCH_JOB, Source, load_kept_job};

use crate::given::{Folder, text_of};

/// Inputs of one run of the suite; `SHIMCAST_INPUTS` asks for another number.
const INPUTS: u64 = 5_000;
/// No answer to so few rebuilds takes so long on the slowest of machines.
const LONG: Duration = Duration::from_secs(60);

/// What is put in the place of a figure.
const FIGURES: [&str; 22] = [
    "0",
    "0.0",
    "-0.0",
    "-1",
    "1",
    "1e-300",
    "1e9",
    "-1e9",
    "1e10",
    "1e308",
    "-1e308",
    "1e999",
    "nan",
    "inf",
    "-inf",
    "0.000001",
    "999999",
    "4294967296",
    "18446744073709551616",
    "0x7fffffffffffffff",
    "1_0",
    "\"1\"",
];
/// What is put anywhere.
const PIECES: [&str; 26] = [
    "\"",
    "'",
    "[",
    "]",
    "{",
    "}",
    "=",
    ",",
    "#",
    "\n",
    "\r",
    "\t",
    "\0",
    "\u{1b}[31m",
    "\u{202e}",
    "µ",
    "\u{feff}",
    "[[shims]]\n",
    "[bench]\n",
    "true",
    "\\u0007",
    "\"\"\"",
    "=cmd()",
    "..",
    "1979-05-27",
    "\u{10ffff}",
];

fn one_of<'a>(dice: &mut SmallRng, all: &[&'a str]) -> &'a str {
    all[dice.random_range(0..all.len())]
}

/// The spans of the figures of a text.
fn figures(text: &str) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let mut start = None;
    for (at, c) in text.char_indices().chain([(text.len(), ' ')]) {
        let in_figure = c.is_ascii_digit() || c == '.';
        match (in_figure, start) {
            (true, None) => start = Some(at),
            (false, Some(from)) => {
                found.push((from, at));
                start = None;
            }
            _ => {}
        }
    }
    found
}

/// A text with one thing changed.
fn mutated(text: &str, other: &str, dice: &mut SmallRng) -> String {
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    let any = |dice: &mut SmallRng| text.floor_char_boundary(dice.random_range(0..=text.len()));
    let line = |dice: &mut SmallRng| dice.random_range(0..lines.len().max(1));
    match dice.random_range(0..12_u32) {
        0..=4 => {
            let all = figures(text);
            let Some((from, to)) = all.get(dice.random_range(0..all.len().max(1))) else {
                return text.to_owned();
            };
            let new = match dice.random_range(0..3_u32) {
                0 => one_of(dice, &FIGURES).to_owned(),
                1 => format!("{}", dice.random_range(-1e3..1e3)),
                _ => match text[*from..*to].parse::<f64>() {
                    Ok(figure) => format!("{:?}", figure * one_of_factors(dice)),
                    Err(_) => "7".to_owned(),
                },
            };
            format!("{}{new}{}", &text[..*from], &text[*to..])
        }
        5 => {
            let at = any(dice);
            format!("{}{}{}", &text[..at], one_of(dice, &PIECES), &text[at..])
        }
        6 => {
            let (from, long) = (any(dice), dice.random_range(0..40_usize));
            let to = text.ceil_char_boundary((from + long).min(text.len()));
            format!("{}{}", &text[..from], &text[to..])
        }
        7 => {
            let out = line(dice);
            let kept = lines.iter().enumerate().filter(|(at, _)| *at != out);
            kept.map(|(_, line)| *line).collect()
        }
        8 => {
            let (twice, at) = (line(dice), line(dice));
            let mut all = lines.clone();
            all.insert(at, lines[twice]);
            all.concat()
        }
        9 => text[..any(dice)].to_owned(),
        10 => {
            let foreign: Vec<&str> = other.split_inclusive('\n').collect();
            let (at, from) = (line(dice), dice.random_range(0..foreign.len()));
            let mut all = lines.clone();
            all.insert(at, foreign[from]);
            all.concat()
        }
        _ => {
            let (one, two) = (line(dice), line(dice));
            let mut all = lines.clone();
            all.swap(one, two);
            all.concat()
        }
    }
}

fn one_of_factors(dice: &mut SmallRng) -> f64 {
    [0.5, 0.9, 1.1, 2.0, -1.0, 25.4, 1.0 / 25.4, 1e3, 1e-3][dice.random_range(0..9_usize)]
}

/// Arguments, with the text of a file in place of its name: axle, shop, or a list.
struct Input {
    arguments: Vec<String>,
    files: Vec<(String, String)>,
    /// Whether it is asked, too: an option may have come to want a thousand million rebuilds.
    asked: bool,
}

/// One or a few changes of what a command reads.
fn input(folder: &Path, dice: &mut SmallRng) -> Input {
    let path = |name: &str| folder.join(name).to_string_lossy().into_owned();
    let axles = [
        "rowan-215.axle.toml",
        "sorrel-71.axle.toml",
        "short.axle.toml",
        "tamarack-88.axle.toml",
    ];
    let shops = [
        "north-bench.shop.toml",
        "home-garage.shop.toml",
        "quay-lane.shop.toml",
    ];
    let [mut axle, mut shop] =
        [one_of(dice, &axles), one_of(dice, &shops)].map(|n| text_of(n).to_owned());
    let few = ["--rebuilds", "24", "--seed", "1", "--threads", "1"];
    let mut arguments: Vec<String> = Vec::new();
    let mut files = Vec::new();
    let mut say = |words: &[&str]| arguments.extend(words.iter().map(|word| (*word).to_owned()));
    let which = dice.random_range(0..16_u32);
    let (mut in_axle, mut in_shop) = (dice.random_range(0..3_u32), dice.random_range(0..3_u32));
    match which {
        0..=4 => say(&["odds"]),
        5 | 6 => say(&["quote", "--no-stock"]),
        7 => say(&["check"]),
        8 => {
            let way = mutated("gauge: bench.pinion_start=gauge, gears=kept", &shop, dice);
            say(&["compare", "--way", &way]);
        }
        9 => say(&["causes"]),
        10 => {
            let range = mutated("bench.guard=0..0.4:3", &axle, dice);
            say(&["sweep", &path("a.axle.toml"), &range]);
        }
        11 => say(&["follow", "--rebuild", "7"]),
        12 => {
            let pairs = "ring_teeth,pinion_teeth,note\n41,10,usual\n43,11,\"a, b\"\n37,9,\n";
            files.push((path("pairs.csv"), mutated(pairs, &axle, dice)));
            say(&["ratio", "--target", "4.1", "--pairs", &path("pairs.csv")]);
        }
        13 => {
            let lines = axle
                .lines()
                .filter(|line| line.contains('=') && !line.starts_with('#'));
            let lines: Vec<&str> = lines.collect();
            let set = mutated(
                one_of(dice, &lines).split('#').next().unwrap_or(""),
                &shop,
                dice,
            );
            say(&["odds", "--set", &format!("housing.{set}"), "--set", &set]);
        }
        14 => {
            axle = text_of("rowan-215.axle.toml").replace(
                "{ nominal = 121.00, tol = 0.06 }",
                "{ shape = \"measured\", from = \"m.csv\", column = \"height\" }",
            );
            let measured = "part,height\n1,121.01\n2,120.98\n3,\"121,02\"\n# remark\n4,121.0\n";
            files.push((path("m.csv"), mutated(measured, &shop, dice)));
            (in_axle, in_shop) = (0, 0);
            say(&["odds"]);
        }
        _ => {
            // what is given as an option
            let options = [
                "--rebuilds=64",
                "--seed=1",
                "--within=5",
                "--gears=kept",
                "--bearings=kept",
            ];
            let option = mutated(one_of(dice, &options), &axle, dice);
            say(&["odds", &format!("--{}", option.trim_start_matches('-'))]);
        }
    }
    for _ in 0..in_axle {
        axle = mutated(&axle, &shop, dice);
    }
    for _ in 0..in_shop {
        shop = mutated(&shop, &axle, dice);
    }
    match which {
        10 => say(&["--shop", &path("s.shop.toml")]),
        12 => say(&[&path("a.axle.toml")]),
        _ => say(&[&path("a.axle.toml"), "--shop", &path("s.shop.toml")]),
    }
    match which {
        7 | 12 => {}
        11 => say(&["--seed", "1"]),
        15 => say(&["--threads", "1"]),
        _ => say(&few),
    }
    if dice.random_range(0..4_u32) == 0 {
        say(&["--anyway"]);
    }
    files.push((path("a.axle.toml"), axle));
    files.push((path("s.shop.toml"), shop));
    Input {
        arguments,
        files,
        asked: which < 15,
    }
}

/// What is wrong with an answer, if anything.
fn flaw(value: &Value, place: &str) -> Option<String> {
    match value {
        Value::Object(keys) => {
            // an estimate lies between its ends; where too little was seen to say, they are null
            let ends = ["low", "value", "high"].map(|key| keys.get(key).and_then(Value::as_f64));
            if let [Some(low), Some(value), Some(high)] = ends
                && !(low <= value && value <= high)
            {
                return Some(format!("{place}: {value} is not from {low} to {high}"));
            }
            keys.iter()
                .find_map(|(key, value)| flaw(value, &format!("{place}.{key}")))
        }
        Value::Array(items) => items.iter().find_map(|item| flaw(item, place)),
        _ => None,
    }
}

/// Asks, and says what is wrong with how it went.
fn tried(input: &Input, answers: &AtomicUsize) -> Option<String> {
    for (path, text) in &input.files {
        std::fs::write(path, text).expect("a temporary file");
    }
    let all = std::iter::once("shimcast").chain(input.arguments.iter().map(String::as_str));
    // what is no usage ends with 2
    let cli = Cli::try_parse_from(all).ok().filter(|_| input.asked)?;
    match shimcast::reply(&cli.command, false) {
        Ok(Some(reply)) => {
            answers.fetch_add(1, Ordering::Relaxed);
            let told = text(&reply.answer.tell(), Paper::of_width(80, false));
            let words = told.split(|c: char| !c.is_alphanumeric());
            // but for a name that has come to hold it
            let own = |word: &str| input.files.iter().any(|(_, text)| text.contains(word));
            let strange = |word: &&str| ["NaN", "inf"].contains(word) && !own(word);
            let strange = words.into_iter().find(strange);
            if let Some(word) = strange {
                return Some(format!("it says {word}:\n{told}"));
            }
            flaw(&reply.answer.json(), "answer")
        }
        Ok(None) => None,
        Err(failure)
            if [1, 2, 3, 130].contains(&failure.code()) && !failure.message().is_empty() =>
        {
            None
        }
        Err(failure) => Some(format!("{failure:?} is no documented end")),
    }
}

/// So many inputs from a seed on, on as many threads as there are.
fn attack(inputs: u64, seed: u64) -> (usize, Vec<String>) {
    let (next, answers) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let found: Vec<String> = std::thread::scope(|scope| {
        let worker = |_| {
            scope.spawn(|| {
                let folder = Folder::new("mutated");
                let mut found = Vec::new();
                loop {
                    let number = next.fetch_add(1, Ordering::Relaxed) as u64;
                    if number >= inputs {
                        return found;
                    }
                    let mut dice = SmallRng::seed_from_u64(seed << 32 | number);
                    let input = input(&folder.path(""), &mut dice);
                    let started = Instant::now();
                    let went = catch_unwind(AssertUnwindSafe(|| tried(&input, &answers)));
                    let flaw = match went {
                        Err(_) => Some("it panics".to_owned()),
                        Ok(None) if started.elapsed() > LONG => Some("it takes long".to_owned()),
                        Ok(flaw) => flaw,
                    };
                    if let Some(flaw) = flaw {
                        found.push(format!(
                            "input {number} of seed {seed}: {:?}\n{flaw}",
                            input.arguments
                        ));
                    }
                }
            })
        };
        let workers: Vec<_> = (0..threads).map(worker).collect();
        let joined = workers
            .into_iter()
            .map(|worker| worker.join().expect("no panic"));
        joined.flatten().collect()
    });
    (answers.into_inner(), found)
}

#[test]
fn mutated_inputs_are_answered_or_refused() {
    if cfg!(debug_assertions) {
        return;
    }
    let asked = std::env::var("SHIMCAST_INPUTS").ok();
    let inputs = asked.map_or(INPUTS, |number| number.parse().expect("a number"));
    let (answers, found) = attack(inputs, 1);
    assert!(
        found.is_empty(),
        "{} flaws:\n{}",
        found.len(),
        found.join("\n\n")
    );
    // an attack of which everything is refused tests the reader alone
    assert!(answers as u64 > inputs / 20, "only {answers} were answered");
}

#[test]
fn mutated_job_files_are_read_or_refused() {
    let folder = Folder::new("mutated-jobs");
    folder.file(
        "rowan-215.axle.toml",
        text_of("rowan-215.axle.toml").as_bytes(),
    );
    let (job, other) = (BENCH_JOB.text, text_of("north-bench.shop.toml"));
    let mut dice = SmallRng::seed_from_u64(2);
    let mut read = 0;
    for _ in 0..2000 {
        let mut text = mutated(job, other, &mut dice);
        if dice.next_u32() % 2 == 0 {
            text = mutated(&text, other, &mut dice);
        }
        let source = Source::Kept(folder.path("x.job.toml"), text.clone());
        let went = catch_unwind(|| load_kept_job(&source, &Source::BuiltIn, &[]).is_ok());
        assert!(went.is_ok(), "reading this panics:\n{text}");
        read += u32::from(went.is_ok_and(|read| read));
    }
    assert!(read > 200, "only {read} were read");
}
