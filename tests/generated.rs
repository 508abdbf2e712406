//! What `generate` makes, held against the program: the reference of the keys, completions and the manual page.

use std::path::Path;

use shimcast::files::FileKind;
use shimcast::reference::{reference, schema};

use crate::given::{Folder, answer, has, run, text_of};
use crate::schemas::{KINDS, keys};

#[test]
fn the_reference_is_current() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/reference.md");
    let now = reference();
    if std::env::var_os("UPDATE_ANSWERS").is_some() {
        std::fs::write(&path, &now).expect("the reference is written");
    }
    let kept = std::fs::read_to_string(&path).expect("the reference");
    assert!(
        kept == now,
        "examples/reference.md is out of date: run this test with UPDATE_ANSWERS=1"
    );
    // sizes are told for the ring gear of the short axle
    has(text_of("short.axle.toml"), "ring_diameter = 200.0");
    has(&now, "ring gear of 200 mm");
    for kind in KINDS {
        for known in keys(kind) {
            let last = known.of.key.rsplit('.').next().expect("a part");
            assert!(now.contains(last) || last == "1", "{}", known.of.key);
        }
    }
    assert_eq!(answer(&["generate", "reference"]), now);
}

/// The commands that the help names.
fn commands() -> Vec<String> {
    let help = answer(&["--help"]);
    let listed = help.split("Commands:\n").nth(1).expect("commands");
    let listed = listed.split("\n\n").next().expect("a list");
    let first = |line: &str| line.split_whitespace().next().map(str::to_owned);
    let own = listed
        .lines()
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    own.filter_map(first).collect()
}

#[test]
fn completions_know_commands_options_choices_and_files() {
    let commands = commands();
    assert!(commands.len() >= 16, "{commands:?}");
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = answer(&["generate", "completions", shell]);
        for command in &commands {
            has(&script, command);
        }
        for option in ["bearings", "customer", "setup", "gear-price"] {
            let there = script.contains(option) || option == "setup";
            assert!(there, "{shell}: {option}");
        }
    }
    let bash = answer(&["generate", "completions", "bash"]);
    has(&bash, "compgen -f");
    has(&bash, "compgen -W \"new kept\"");
    let fish = answer(&["generate", "completions", "fish"]);
    has(&fish, "-l shop");
}

#[test]
fn the_manual_page_has_every_command_and_option() {
    let page = answer(&["generate", "man"]).replace("\\-", "-");
    for command in commands() {
        has(&page, &format!("SHIMCAST {}\"", command.to_uppercase()));
        let help = answer(&[&command, "--help"]);
        let words = help.split_whitespace();
        for option in words.filter(|word| word.starts_with("--") && word.len() > 4) {
            let option = option.trim_end_matches(|c: char| !c.is_ascii_alphanumeric());
            let option = option.split('=').next().unwrap_or(option);
            has(&page, option);
        }
    }
}

#[test]
fn what_is_generated_goes_where_it_is_wanted_and_over_nothing() {
    let folder = Folder::new("generated");
    let path = folder.path("axle.json");
    let path = path.to_str().expect("text");
    let (code, out, err) = run(&["generate", "schema", "axle", "-o", path]);
    assert_eq!((code, out.as_str()), (0, ""), "{err}");
    let written = std::fs::read_to_string(path).expect("a schema");
    assert_eq!(written, schema(FileKind::Axle));
    let (code, _, err) = run(&["generate", "schema", "axle", "-o", path]);
    assert_eq!(code, 3, "{err}");
    assert_eq!(std::fs::read_to_string(path).expect("a schema"), written);
}
