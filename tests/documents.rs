//! Every command in README.md and every file in examples/ is run.

use std::path::Path;

use crate::given::{
    FEW_SIZES, Folder, PARTS_KEPT, answer, answered, has, refused, run, run_once, text_of, words,
};

/// Commands that stand in README.md but are run elsewhere.
const ELSEWHERE: [&str; 1] = ["cargo test --profile edit"];

/// The arguments of the program in each line of each block of commands.
fn commands(text: &str) -> Vec<Vec<String>> {
    let mut commands = Vec::new();
    let mut inside = false;
    for line in text.lines().map(str::trim) {
        if line.starts_with("```") {
            inside = line == "```sh";
        } else if inside && !ELSEWHERE.contains(&line) {
            let arguments = line
                .strip_prefix("cargo run --release -- ")
                .or_else(|| line.strip_prefix("shimcast "));
            let arguments = arguments.unwrap_or_else(|| panic!("what is {line:?}?"));
            commands.push(words(arguments));
        }
    }
    commands
}

/// What a command of a document prints; it must end well.
fn works(command: &[String], of: &str) -> String {
    let words: Vec<&str> = command.iter().map(String::as_str).collect();
    let output = run_once(&words);
    assert!(
        answered(&words, &output),
        "{of}, {command:?}: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// A command as it is typed, but of few rebuilds, or for a drawer of few sizes: what is printed is
/// looked at elsewhere.
fn shortened(command: &[String]) -> Vec<String> {
    let mut short = command.to_vec();
    let has = |option: &str| command.iter().any(|word| word == option);
    let simulates = ["odds", "quote", "compare", "causes", "sweep", "report"];
    if simulates.contains(&command[0].as_str()) && !has("--rebuilds") && !has("--within") {
        short.extend(["--rebuilds", "2000"].map(str::to_owned));
    }
    if ["stock", "kit"].contains(&command[0].as_str()) && !has("--help") {
        short.extend(
            FEW_SIZES
                .iter()
                .chain(&PARTS_KEPT)
                .map(|&word| word.to_owned()),
        );
    }
    if command[0] == "report" && !has("--no-stock") && !has("--sheet") {
        short.push("--no-stock".to_owned());
    }
    short
}

#[test]
fn every_command_of_the_readme_works() {
    let readme = include_str!("../README.md");
    let commands = commands(readme);
    assert!(commands.len() >= 10, "{commands:?}");
    for command in commands {
        works(&shortened(&command), "README.md");
    }
}

/// Lines that a document shows as printed.
fn shown(text: &str) -> Vec<&str> {
    let mut shown = Vec::new();
    let mut inside = false;
    for line in text.lines() {
        if line.starts_with("```") {
            inside = line == "```text";
        } else if inside {
            shown.push(line.trim());
        }
    }
    shown
}

#[test]
fn every_lesson_runs_and_shows_what_is_printed() {
    let lessons = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/lessons");
    let mut count = 0;
    for entry in std::fs::read_dir(lessons).expect("lessons") {
        let path = entry.expect("an entry").path();
        if path.file_name().is_some_and(|name| name == "README.md") {
            continue;
        }
        let text = std::fs::read_to_string(&path).expect("a lesson");
        for part in [
            "## Try it",
            "## What to see",
            "## A variation",
            "## Answers",
            "## The formula",
            "\nGoal: ",
            "\nTime: about ",
        ] {
            assert!(text.contains(part), "{}: {part}", path.display());
        }
        assert!(text.contains("Source: "), "{}", path.display());
        let shown = shown(&text);
        let mut printed = String::new();
        for mut command in commands(&text) {
            // where nothing is shown, it has to work
            if shown.is_empty() {
                command = shortened(&command);
            }
            printed.push_str(&works(&command, &path.display().to_string()));
        }
        for line in shown {
            let found = printed.lines().any(|printed| printed.trim() == line);
            assert!(found, "{}: {line:?} is not printed", path.display());
        }
        count += 1;
    }
    assert_eq!(count, 11);
}

/// Every lesson there is, as it is, with the files that they work on.
#[test]
fn the_lessons_are_written_whole_and_never_over_anything() {
    let folder = Folder::new("lessons");
    let course = folder.path("course");
    let command = ["new", course.to_str().expect("text"), "--lessons"];
    let told = answer(&command);
    let lessons = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/lessons");
    let mut many = 0;
    for entry in std::fs::read_dir(lessons).expect("lessons") {
        let entry = entry.expect("an entry");
        let name = entry.file_name();
        has(&told, name.to_str().expect("text"));
        let written = std::fs::read(course.join(&name)).expect("a lesson");
        assert_eq!(written, std::fs::read(entry.path()).expect("a lesson"));
        many += 1;
    }
    for name in ["rowan-215.axle.toml", "north-bench.shop.toml"] {
        has(&told, name);
        let written = std::fs::read_to_string(course.join(name)).expect("a file");
        assert_eq!(written, text_of(name));
    }
    let written = std::fs::read_dir(&course).expect("a folder").count();
    assert_eq!((many, written), (12, 14));
    has(&refused(&command, 3), "nothing was written");
}

/// The examples at the head of a help text; what is explained behind them is left out.
fn examples(help: &str) -> Vec<Vec<String>> {
    let shown = help.split("Examples:\n").nth(1).unwrap_or_default();
    let shown = shown.split("\n\n").next().unwrap_or_default();
    let whole = shown.replace("\\\n", " ");
    let lines = whole
        .lines()
        .filter_map(|line| line.trim().strip_prefix("shimcast "));
    lines
        .map(|line| words(line.split("   ").next().unwrap_or_default()))
        .collect()
}

#[test]
fn every_example_in_the_help_works() {
    let mut tried = 0;
    for command in [
        "", "odds", "check", "quote", "compare", "causes", "sweep", "follow", "next", "ratio",
        "stock", "kit", "report", "learn", "generate",
    ] {
        let help = works(&words(&format!("{command} --help")), "help");
        for example in examples(&help) {
            // it goes on until it is ended: `tests/desk` opens it
            if example.first().is_some_and(|word| word == "desk") {
                continue;
            }
            works(&shortened(&example), command);
            tried += 1;
        }
    }
    assert!(tried > 25, "only {tried} were found");
}

#[test]
fn the_readme_shows_what_the_program_prints() {
    let parts = include_str!("../README.md").split("```text\n").skip(1);
    let shown: Vec<&str> = parts.filter_map(|rest| rest.split("```").next()).collect();
    let commands = [
        "odds",
        "next examples/rowan-bench.job.toml",
        "learn examples/rowan-215.axle.toml --jobs examples/jobs --shop examples/north-bench.shop.toml",
    ];
    let printed = commands.map(|command| works(&words(command), "README.md"));
    assert_eq!(printed[..], shown[..]);
}

/// Files whose shim series stand in another shop file than the built-in one.
const SHOPS: [(&str, &str); 1] = [("tamarack-88.axle.toml", "quay-lane.shop.toml")];

/// Files in which something looks wrong indeed: a spacer's shims coarser than its torque window.
const DOUBTED: [&str; 1] = ["sorrel-71.axle.toml"];

#[test]
fn every_example_file_is_run() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let (mut axles, mut shops, mut jobs) = (0, 0, 0);
    for entry in std::fs::read_dir(&folder).expect("examples") {
        let name = entry.expect("an entry").file_name();
        let name = name.to_str().expect("text");
        let path = format!("examples/{name}");
        if name.ends_with(".axle.toml") {
            axles += 1;
            let shop = SHOPS.iter().find(|(axle, _)| *axle == name);
            let shop = shop.map_or("north-bench.shop.toml", |(_, shop)| shop);
            let shop = format!("examples/{shop}");
            answer(&["odds", &path, "--shop", &shop, "--rebuilds", "2000"]);
            let (code, checked, _) = run(&["check", &path, "--shop", &shop]);
            let doubted = DOUBTED.contains(&name);
            assert_eq!(code, i32::from(doubted), "{checked}");
            assert!(!checked.contains("OUTSIDE"), "{checked}");
            assert!(!checked.contains("loop does not close"), "{checked}");
        } else if name.ends_with(".shop.toml") {
            shops += 1;
            let axle = SHOPS.iter().find(|(_, shop)| *shop == name);
            let axle = axle.map_or("rowan-215.axle.toml", |(axle, _)| axle);
            let axle = format!("examples/{axle}");
            answer(&["odds", &axle, "--shop", &path, "--rebuilds", "2000"]);
        } else if name.ends_with(".job.toml") {
            jobs += 1;
            let inches = name.contains("inch");
            let shop = if inches {
                "north-bench-inch"
            } else {
                "north-bench"
            };
            let shop = format!("{shop}.shop.toml");
            let told = answer(&["next", &path, "--shop", &format!("examples/{shop}")]);
            assert!(!told.contains("Looks wrong"), "{told}");
        }
    }
    assert!(axles >= 4 && shops >= 2 && jobs >= 2);
}
