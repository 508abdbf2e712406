//! Borders of the house: what each part of it must not know, and what DEVELOPERS.md says of it.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every file of Rust in the project, with its path from the top and its text.
fn sources() -> Vec<(String, String)> {
    let mut folders: Vec<PathBuf> = ["sim", "reports", "tests", "benches", "examples"]
        .map(|name| root().join(name))
        .to_vec();
    let mut sources = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                let name = path.strip_prefix(root()).expect("below the top");
                let text = std::fs::read_to_string(&path).expect("text");
                sources.push((name.display().to_string(), text));
            }
        }
    }
    assert!(sources.len() > 200, "{} files", sources.len());
    sources
}

fn is_test(path: &str) -> bool {
    path.starts_with("tests/") || path.contains("/tests/") || path.ends_with("/tests.rs")
}

/// Code without its comments, and without the tests at its end.
fn code(text: &str) -> String {
    let code = text.split("#[cfg(test)]\nmod tests {").next();
    let lines = code.unwrap_or_default().lines();
    let bare = lines.map(|line| line.split("//").next().unwrap_or_default());
    bare.collect::<Vec<_>>().join("\n")
}

fn words(code: &str) -> impl Iterator<Item = &str> {
    code.split(|c: char| !(c.is_alphanumeric() || c == '_'))
        .filter(|word| !word.is_empty())
}

#[test]
fn a_library_is_known_in_one_place_only() {
    for (library, places) in [
        ("clap", &["reports/cli/", "reports/main.rs"][..]),
        ("clap_complete", &["reports/cli/generate.rs"]),
        ("clap_mangen", &["reports/cli/generate.rs"]),
        ("plotters", &["reports/faces/svg/"]),
        ("plotters_backend", &["reports/faces/svg/shapes.rs"]),
        ("terminal_size", &["reports/run.rs"]),
        ("textwrap", &["reports/faces/terminal/"]),
        (
            "maud",
            &[
                "reports/faces/html/",
                "reports/faces/form.rs",
                "reports/desk/",
            ],
        ),
        ("axum", &["reports/desk/"]),
        ("tokio", &["reports/desk/"]),
        ("hyper", &["reports/desk/listening.rs"]),
        ("hyper_util", &["reports/desk/listening.rs"]),
        ("tokio_stream", &["reports/desk/stream.rs"]),
        ("form_urlencoded", &["reports/desk/asked.rs"]),
        ("getrandom", &["reports/desk/door.rs"]),
        ("qrcode", &["reports/desk/mod.rs"]),
        ("pulldown_cmark", &["reports/desk/rooms/lessons.rs"]),
        ("signal_hook", &["reports/progress.rs"]),
        ("ctrlc", &["reports/progress.rs"]),
        ("crossterm", &["reports/asking/terminal.rs"]),
        ("toml_parser", &["reports/files/syntax.rs"]),
        ("inquire", &["reports/asking/terminal.rs"]),
        ("toml_edit", &["reports/files/edit"]),
        ("tempfile", &["reports/written.rs"]),
        ("rayon", &["sim/", "reports/questions/context.rs"]),
        ("wyrand", &["sim/chance/dice.rs", "sim/chance/ziggurat.rs"]),
    ] {
        let mut known = 0;
        for (path, text) in sources() {
            if is_test(&path) || !words(&code(&text)).any(|word| word == library) {
                continue;
            }
            known += 1;
            let may = places.iter().any(|place| path.starts_with(place))
                || path.starts_with("benches/")
                || path.starts_with("examples/");
            assert!(may, "{path} knows {library}; only {places:?} may");
        }
        assert!(known > 0, "nobody knows {library}");
    }
}

#[test]
fn the_library_reads_writes_and_prints_nothing() {
    for (path, text) in sources() {
        if !path.starts_with("sim/") || is_test(&path) {
            continue;
        }
        let code = code(&text);
        for outside in [
            "std::fs",
            "std::io",
            "std::env",
            "std::net",
            "std::process",
            "std::time",
            "println!",
            "eprintln!",
            "print!",
        ] {
            assert!(!code.contains(outside), "{path} uses {outside}");
        }
    }
}

#[test]
fn paths_are_shown_by_one_place_and_unsafe_attributes_stand_in_one() {
    for (path, text) in sources() {
        if !path.starts_with("reports/") || is_test(&path) {
            continue;
        }
        let code = code(&text);
        let body = code.split("#[cfg(test)]").next().unwrap_or_default();
        assert!(!body.contains(".display()"), "{path} shows a path as it is");
        let forms = [
            "unsafe(",
            "unsafe {",
            "unsafe fn",
            "unsafe impl",
            "unsafe extern",
        ];
        let vouched = path == "reports/standard_out.rs";
        let is_unsafe = forms.iter().any(|form| body.contains(form));
        assert_eq!(is_unsafe, vouched, "{path}");
    }
}

#[test]
fn files_stay_short_enough_for_one_subject() {
    for (path, text) in sources() {
        let lines = text.lines().count();
        assert!(lines <= 500, "{path} has {lines} lines");
    }
}

#[test]
fn the_top_level_holds_what_belongs_there() {
    let known = [
        "CHANGELOG.md",
        "CITATION.cff",
        "Cargo.lock",
        "Cargo.toml",
        "DEVELOPERS.md",
        "LICENSE-APACHE",
        "LICENSE-MIT",
        "README.md",
        "benches",
        "examples",
        "reports",
        "sim",
        "target",
        "tests",
    ];
    let entries = std::fs::read_dir(env!("CARGO_MANIFEST_DIR")).expect("the project");
    for entry in entries {
        let name = entry.expect("an entry").file_name();
        let name = name.to_str().expect("text");
        // editors keep theirs in hidden folders
        assert!(
            name.starts_with('.') || known.contains(&name),
            "{name} is left at the top level"
        );
    }
}

/// Functions that only tests call, and why they are there.
const FOR_TESTS: [(&str, &str); 2] = [
    ("mean_normal_module", "held against a published gear set"),
    (
        "unaccounted",
        "every shim of a year in the shop is accounted for",
    ),
];

/// Functions that libraries call, since they belong to traits of theirs.
const BY_LIBRARIES: [&str; 10] = [
    "main",
    "from_str",
    "get_size",
    "ensure_prepared",
    "draw_pixel",
    "draw_line",
    "draw_rect",
    "draw_circle",
    "fill_polygon",
    "draw_text",
];

#[test]
fn every_function_is_called() {
    let sources = sources();
    let mut uses: HashMap<&str, u32> = HashMap::new();
    let code: Vec<(&str, String)> = sources
        .iter()
        .filter(|(path, _)| !is_test(path))
        .map(|(path, text)| (path.as_str(), code(text)))
        .collect();
    for word in code.iter().flat_map(|(_, code)| words(code)) {
        *uses.entry(word).or_default() += 1;
    }
    for (path, code) in &code {
        let mut before = "";
        for word in words(code) {
            let called = uses[word] > 1
                || BY_LIBRARIES.contains(&word)
                || FOR_TESTS.iter().any(|(name, _)| *name == word);
            assert!(before != "fn" || called, "{path}: nobody calls {word}");
            before = word;
        }
    }
}

/// Paths between backquotes; one without a folder lies beside the one before it.
fn paths(text: &str) -> Vec<String> {
    const TOPS: [&str; 5] = ["sim/", "reports/", "tests/", "benches/", "examples/"];
    let mut paths = Vec::new();
    for line in text.lines() {
        let mut beside = None;
        for quoted in line.split('`').skip(1).step_by(2) {
            let of_the_house = TOPS.iter().any(|top| quoted.starts_with(top));
            if of_the_house && !quoted.contains([' ', '*', '<']) {
                let folder = quoted.rsplit_once('/').map_or("", |(folder, _)| folder);
                beside = Some(folder.to_owned());
                paths.push(quoted.to_owned());
            } else if let (Some(folder), true) = (&beside, quoted.ends_with(".rs")) {
                paths.push(format!("{folder}/{quoted}"));
            }
        }
    }
    paths
}

#[test]
fn every_path_in_the_documents_exists() {
    let mut found = 0;
    for document in ["DEVELOPERS.md", "README.md", "benches/README.md"] {
        let text = std::fs::read_to_string(root().join(document)).expect("a document");
        for path in paths(&text) {
            let there = ["", ".rs"]
                .iter()
                .any(|ending| root().join(format!("{path}{ending}")).exists());
            assert!(there, "{document} names {path}, which is not there");
            found += 1;
        }
    }
    assert!(found > 60, "only {found} paths were found");
}
