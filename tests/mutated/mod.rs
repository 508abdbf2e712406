//! Files and arguments that nobody would write: whatever comes in, the program says what is wrong with it or
//! answers, soon and in figures.

pub mod changed;
mod inputs;

use std::fs;
use std::ops::Range;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::atomic::{AtomicU64, AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use clap::Parser;
use rand::rngs::SmallRng;
use rand::{Rng, SeedableRng};
use serde_json::Value;
use shimcast::cli::Cli;
use shimcast::faces::terminal::{Paper, text};
use shimcast::files::{BENCH_JOB, Source, load_kept_job};

use self::changed::mutated;
use self::inputs::{How, Input, PAGE, input};
use crate::given::{Folder, program, text_of};

/// Inputs of one run of the suite; `SHIMCAST_INPUTS` asks for another number, or for those of a range: 158..159.
const INPUTS: u64 = 10_000;
/// No answer to so few rebuilds takes so long on the slowest of machines.
const LONG: Duration = Duration::from_secs(120);
/// The exit codes that are documented.
const ENDS: [u8; 5] = [0, 1, 2, 3, 130];

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

/// What is strange in a text that is shown, but for what stands in the files themselves.
fn strange(told: &str, input: &Input) -> Option<String> {
    let own = |word: &str| {
        let in_files = input.files.iter().any(|(_, text)| text.contains(word));
        in_files || input.words.iter().any(|given| given.contains(word))
    };
    let mut words = told.split(|c: char| !c.is_alphanumeric());
    let word = words.find(|word| ["NaN", "inf"].contains(word) && !own(word))?;
    Some(format!("it says {word}:\n{told}"))
}

/// Asks in this process, and says what is wrong with how it went.
fn asked(input: &Input, answers: &AtomicUsize) -> Option<String> {
    let all = std::iter::once("shimcast").chain(input.words.iter().map(String::as_str));
    // what is no usage ends with 2
    let cli = Cli::try_parse_from(all).ok()?;
    if input.how == How::UnderstoodOnly {
        return None;
    }
    match shimcast::reply(&cli.command, false) {
        Ok(Some(reply)) => {
            answers.fetch_add(1, Ordering::Relaxed);
            let told = text(&reply.answer.tell(), Paper::of_width(80, false));
            strange(&told, input).or_else(|| flaw(&reply.answer.json(), "answer"))
        }
        Ok(None) => None,
        Err(failure) if ENDS.contains(&failure.code()) && !failure.message().is_empty() => None,
        Err(failure) => Some(format!("{failure:?} is no documented end")),
    }
}

/// Asks the program itself, and says what is wrong with how it ended and what it left behind.
fn told_by_program(input: &Input, folder: &Path, answers: &AtomicUsize) -> Option<String> {
    // no word of a command line has this
    if input.words.iter().any(|word| word.contains('\0')) {
        return None;
    }
    let words: Vec<&str> = input.words.iter().map(String::as_str).collect();
    let output = program(&words).current_dir(folder).output();
    let output = output.expect("the program starts");
    let said = String::from_utf8_lossy(&output.stderr);
    let code = output
        .status
        .code()
        .and_then(|code| u8::try_from(code).ok());
    if !code.is_some_and(|code| ENDS.contains(&code)) {
        return Some(format!("{} is no documented end:\n{said}", output.status));
    }
    if code == Some(0) {
        answers.fetch_add(1, Ordering::Relaxed);
    } else if said.is_empty() {
        return Some("it fails without a word".to_owned());
    }
    let page = folder.join(PAGE);
    if words[0] == "report" && page.exists() != (code == Some(0)) {
        return Some(format!(
            "{} and the page do not agree:\n{said}",
            output.status
        ));
    }
    // what `new` writes is another matter
    let known = |name: &Path| name == page || input.files.iter().any(|(file, _)| file == name);
    let left = fs::read_dir(folder).expect("the folder").flatten();
    let litter = left.map(|entry| entry.path()).find(|path| !known(path));
    if let Some(litter) = litter.filter(|_| words[0] != "new") {
        return Some(format!("it leaves {} behind", litter.display()));
    }
    strange(&fs::read_to_string(page).unwrap_or_default(), input)
}

/// Input and what is wrong with how it went, if anything.
fn tried(number: u64, seed: u64, answers: &AtomicUsize) -> Option<String> {
    let mut dice = SmallRng::seed_from_u64(seed << 32 | number);
    let parent = Folder::new("mutated");
    // where it may go up by one
    let folder = parent.path("in");
    fs::create_dir(&folder).expect("a folder");
    let input = input(&folder, &mut dice);
    for (path, text) in &input.files {
        fs::write(path, text).expect("a temporary file");
    }
    let started = Instant::now();
    let went = catch_unwind(AssertUnwindSafe(|| match input.how {
        How::ToProgram => told_by_program(&input, &folder, answers),
        How::Here | How::UnderstoodOnly => asked(&input, answers),
    }));
    let flaw = match went {
        Err(_) => "it panics".to_owned(),
        Ok(None) if started.elapsed() > LONG => "it takes long".to_owned(),
        Ok(flaw) => flaw?,
    };
    // left for a closer look
    std::mem::forget(parent);
    Some(format!(
        "input {number} of seed {seed}: {:?}\n{flaw}",
        input.words
    ))
}

/// Inputs of a seed, on as many threads as there are.
fn attack(inputs: Range<u64>, seed: u64) -> (usize, Vec<String>) {
    let (next, answers) = (AtomicU64::new(inputs.start), AtomicUsize::new(0));
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let work = || {
        let numbers = std::iter::repeat_with(|| next.fetch_add(1, Ordering::Relaxed));
        let numbers = numbers.take_while(|number| *number < inputs.end);
        let found = numbers.filter_map(|number| tried(number, seed, &answers));
        found.collect::<Vec<String>>()
    };
    let found = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        let joined = workers.into_iter().map(|worker| worker.join());
        joined.flat_map(|found| found.expect("no panic")).collect()
    });
    (answers.into_inner(), found)
}

#[test]
fn mutated_inputs_are_answered_or_refused() {
    if cfg!(debug_assertions) {
        return;
    }
    let number = |text: &str| text.parse().expect("a number");
    let inputs = match std::env::var("SHIMCAST_INPUTS") {
        Ok(asked) => match asked.split_once("..") {
            Some((from, to)) => number(from)..number(to),
            None => 0..number(&asked),
        },
        Err(_) => 0..INPUTS,
    };
    let (answers, found) = attack(inputs.clone(), 1);
    let all = found.join("\n\n");
    assert!(found.is_empty(), "{} flaws:\n{all}", found.len());
    // an attack of which everything is refused tests the reader alone
    let asked = inputs.end - inputs.start;
    let (least, of) = (asked / 6, format!("{answers} of {asked}"));
    assert!(answers as u64 >= least, "only {of} were answered");
    println!("{of} were answered");
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
