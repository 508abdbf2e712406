//! What nobody means to do to the program: files of rubbish, strange characters, an answer over its own input,
//! a closed output, signals.

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::Duration;

use crate::given::{Folder, has, program, refused, run, said, text_of};

/// Every command whose file, of this name, takes the place of what it reads.
fn readers(file: &str) -> Vec<Vec<String>> {
    let shop = "examples/north-bench.shop.toml";
    let all: [&[&str]; 6] = [
        &["check", file],
        &["check", "--shop", file],
        &["next", file],
        &["ratio", "--target", "4", "--pairs", file],
        &["stock", "--shop", shop, "--have", file],
        &["stock", "--shop", shop, "--sizes-from", file],
    ];
    let words = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect();
    all.iter().map(|command| words(command)).collect()
}

/// 4 MB of the same line.
fn of_lines(line: &str) -> String {
    line.repeat((4 << 20) / line.len() - 1)
}

#[test]
fn four_megabytes_of_rubbish_are_refused_in_few_words_and_little_memory() {
    let folder = Folder::new("rubbish");
    let numbered = |line: &dyn Fn(usize) -> String| -> String {
        let mut all = String::new();
        for number in 0.. {
            let line = line(number);
            if all.len() + line.len() >= 4 << 20 {
                break;
            }
            all.push_str(&line);
        }
        all
    };
    let rubbish = [
        ("words", of_lines("x\n")),
        ("colons", of_lines("a: 1\n")),
        ("twice", of_lines("a=1\n")),
        ("returns", of_lines("a=1\r")),
        ("groups", of_lines("[[jobs]]\nx=1\n")),
        ("brackets", of_lines("[")),
        ("open lists", format!("a={}", of_lines("["))),
        ("open groups", of_lines("a={")),
        ("quotes", of_lines("\"\"\"\n")),
        ("one word", of_lines("x")),
        ("nothing", of_lines("\n")),
        ("semicolons", of_lines("a;b;c\n")),
        ("commas", of_lines(",")),
        ("keys", numbered(&|number| format!("k{number}=1\n"))),
        ("no values", numbered(&|number| format!("a = x{number}\n"))),
    ];
    for (name, text) in rubbish {
        let path = folder.path("rubbish.toml");
        fs::write(&path, text).expect("a temporary file");
        let path = path.to_str().expect("a plain path");
        for command in readers(path) {
            let words: Vec<&str> = command.iter().map(String::as_str).collect();
            let (output, memory) = weighed(&words);
            let told = said(&output.stderr);
            assert_eq!(output.status.code(), Some(2), "{name}, {words:?}: {told}");
            assert!(told.lines().count() <= 130, "{name}, {words:?}: {told}");
            if let Some(memory) = memory {
                assert!(memory < 300_000, "{name}, {words:?}: {memory} kB");
            }
        }
    }
}

/// Runs a command; how much memory it held at the most, kB, where that can be asked.
fn weighed(arguments: &[&str]) -> (Output, Option<u64>) {
    let mut child = program(arguments)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    #[allow(unused_mut, reason = "not every system can be asked")]
    let mut most = None;
    while child.try_wait().expect("a child").is_none() {
        #[cfg(target_os = "linux")]
        {
            most = most.max(crate::given::peak_memory(child.id()));
        }
        std::thread::sleep(Duration::from_millis(2));
    }
    (child.wait_with_output().expect("it ends"), most)
}

#[test]
fn the_first_twenty_lines_that_are_wrong_are_told_and_the_others_counted() {
    let folder = Folder::new("twenty");
    let told = |name: &str, text: &str, arguments: &[&str]| {
        fs::write(folder.path(name), text).expect("a temporary file");
        let path = folder.path(name);
        let mut all = arguments.to_vec();
        all.push(path.to_str().expect("a plain path"));
        refused(&all, 2)
    };
    let bad = told("a.axle.toml", &"a: 1\n".repeat(1000), &["check"]);
    assert_eq!(bad.matches("a colon in place of the `=`").count(), 20);
    has(&bad, "a.axle.toml:21:");
    has(&bad, "980 more lines can't be read from here on");
    let twice = told("b.axle.toml", &"a=1\n".repeat(100), &["check"]);
    assert_eq!(twice.matches("is given twice").count(), 20);
    has(&twice, "79 more lines can't be read from here on");
    let list = format!("ring_teeth,pinion_teeth\n{}", "x,10\n".repeat(321));
    let list = told("pairs.csv", &list, &["ratio", "--target", "4", "--pairs"]);
    assert_eq!(list.matches("is not a number").count(), 20);
    has(&list, "301 more flaws from here on");
}

#[test]
fn a_figure_is_held_to_one_rule_whichever_way_it_comes() {
    let folder = Folder::new("one-rule");
    let rowan = text_of("rowan-215.axle.toml");
    let as_measured = |value: &str| rowan.replace("{ nominal = 121.00, tol = 0.06 }", value);
    let list = r#"{ shape = "measured", from = "m.csv" }"#;
    for (figure, rule) in [
        ("1e5", "larger than 10000 mm"),
        ("-121.0", "must be above 0"),
    ] {
        fs::write(folder.path("m.csv"), format!("121.0\n{figure}\n")).expect("a file");
        let inline = format!("{{ shape = \"measured\", values = [121.0, {figure}] }}");
        let nominal = format!("{{ nominal = {figure}, tol = 0.06 }}");
        for value in [list, &inline, &nominal] {
            fs::write(folder.path("a.axle.toml"), as_measured(value)).expect("a file");
            let path = folder.path("a.axle.toml");
            has(
                &refused(&["check", path.to_str().expect("a path")], 2),
                rule,
            );
        }
        let set = format!("housing.head_seat.nominal={figure}");
        has(&refused(&["check", "--set", &set], 2), rule);
    }
    let window = "windows.pinion_torque=[1, 1000000]";
    has(
        &refused(&["odds", "--set", window], 2),
        "larger than 1000 N·m",
    );
}

#[test]
fn characters_that_nobody_sees_stay_out_of_files_and_off_the_screen() {
    let folder = Folder::new("unseen");
    let place = |name: &str| folder.path(name).to_str().expect("a path").to_owned();
    let [axle, shop] = [
        text_of("rowan-215.axle.toml"),
        text_of("north-bench.shop.toml"),
    ];
    let unseen = "\\u001b[31m";
    for (name, text) in [
        ("name.axle.toml", axle.replacen("Rowan 215", unseen, 1)),
        ("key.axle.toml", format!("\"{unseen}\" = 1\n{axle}")),
        (
            "currency.shop.toml",
            shop.replacen("\"EUR\"", "\"\\u202eEUR\"", 1),
        ),
        ("series.shop.toml", shop.replace("\"P-38\"", "\"P\\n38\"")),
    ] {
        fs::write(folder.path(name), text).expect("a file");
        let path = place(name);
        let told = match name.contains("shop") {
            true => refused(&["check", "--shop", &path], 2),
            false => refused(&["check", &path], 2),
        };
        has(&told, "a character in it that can't be printed");
        assert!(!told.contains(['\u{1b}', '\u{202e}']), "{told:?}");
    }
    for arguments in [
        &["check", "\u{1b}[31m.toml"][..],
        &["check", "--set", "axle.name=\"\\u0007\""],
        &["check", "--set", "\u{1b}.name=1"],
        &["compare", "--way", "a\u{9b}b: bench.guard=0.1"],
        &["odds", "--seed", "\u{1b}[31m"],
    ] {
        let (code, out, told) = run(arguments);
        assert!(
            [2, 3].contains(&code) && out.is_empty(),
            "{arguments:?}: {told}"
        );
        let strange = |c: char| c.is_control() && c != '\n' && c != '\t';
        assert!(!told.contains(strange), "{arguments:?}: {told:?}");
    }
    // what a list says beside its rows is shown, and disturbs nothing
    let pairs = "ring_teeth,pinion_teeth,note\n41,10,\"\u{1b}[31mred\"\n";
    fs::write(folder.path("pairs.csv"), pairs).expect("a file");
    let (_, out, _) = run(&["ratio", "--target", "4.1", "--pairs", &place("pairs.csv")]);
    has(&out, "\u{fffd}[31mred");
}

#[test]
fn an_answer_never_takes_the_place_of_what_it_is_made_from() {
    let folder = Folder::new("own-input");
    let place = |name: &str| folder.path(name).to_str().expect("a path").to_owned();
    folder.file("a.axle.toml", text_of("rowan-215.axle.toml").as_bytes());
    folder.file("m.csv", b"121.0\n121.1\n");
    let list = "{ shape = \"measured\", from = \"m.csv\" }";
    let text = text_of("rowan-215.axle.toml").replace("{ nominal = 121.00, tol = 0.06 }", list);
    folder.file("b.axle.toml", text.as_bytes());
    let names = ["a.axle.toml", "m.csv", "b.axle.toml"];
    let before = names.map(|name| fs::read_to_string(folder.path(name)).expect("a file"));
    let [a, b, m] = [place("a.axle.toml"), place("b.axle.toml"), place("m.csv")];
    let few = ["--rebuilds", "64", "--force"];
    for command in [
        &["report", &a, "--no-stock", "-o", &a][..],
        &["report", &b, "--no-stock", "-o", &b],
        &["sweep", &b, "bench.guard=0..0.1:1", "-o", &m],
    ] {
        let all = [command, &few].concat();
        has(
            &refused(&all, 3),
            "is one of the files that the answer is made from",
        );
    }
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(folder.path("a.axle.toml"), folder.path("link"))
            .expect("a link");
        let link = place("link");
        let all = [&["report", &a, "--no-stock", "-o", &link][..], &few].concat();
        has(&refused(&all, 3), "is one of the files");
    }
    let after = names.map(|name| fs::read_to_string(folder.path(name)).expect("a file"));
    assert!(before == after);
}

#[test]
fn a_read_only_file_is_not_replaced() {
    let folder = Folder::new("read-only");
    let path = folder.path("page.html");
    fs::write(&path, "mine").expect("a file");
    let mut rights = fs::metadata(&path).expect("a file").permissions();
    rights.set_readonly(true);
    fs::set_permissions(&path, rights).expect("rights");
    let page = path.to_str().expect("a path");
    let told = refused(
        &[
            "report",
            "--rebuilds",
            "64",
            "--no-stock",
            "--force",
            "-o",
            page,
        ],
        3,
    );
    has(&told, "is read-only and stays as it is");
    assert_eq!(fs::read_to_string(&path).expect("a file"), "mine");
}

/// The names in a folder, hidden ones too.
#[cfg(unix)]
fn names(folder: &Folder) -> Vec<String> {
    let entries = fs::read_dir(folder.path("")).expect("a folder");
    let name = |entry: std::io::Result<fs::DirEntry>| entry.expect("an entry").file_name();
    let mut names: Vec<String> = entries
        .map(|e| name(e).to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

/// Runs a command in a shell, which says before it how it is to be run.
#[cfg(unix)]
fn in_shell(before: &str, arguments: &[&str], after: &str) -> Output {
    let words: Vec<String> = arguments.iter().map(|word| format!("'{word}'")).collect();
    let script = format!(
        "{before} exec '{}' {} {after}",
        env!("CARGO_BIN_EXE_shimcast"),
        words.join(" ")
    );
    Command::new("sh")
        .arg("-c")
        .arg(script)
        .output()
        .expect("a shell")
}

#[test]
#[cfg(target_os = "linux")]
fn a_closed_output_is_an_error_and_nowhere_is_not() {
    for arguments in [
        &["check"][..],
        &["odds", "--rebuilds", "64"],
        &["odds", "--rebuilds", "64", "--json"],
    ] {
        let closed = in_shell("", arguments, ">&-");
        assert_eq!(closed.status.code(), Some(3), "{arguments:?}");
        has(&said(&closed.stderr), "standard output is closed");
        assert!(in_shell("", arguments, "> /dev/null").status.success());
        assert!(
            in_shell("", arguments, "<> /dev/null 1<>/dev/null")
                .status
                .success()
        );
    }
}

#[test]
#[cfg(target_os = "linux")]
fn files_that_were_written_before_a_fault_are_listed() {
    let folder = Folder::new("fault");
    let [table, picture] = ["t.csv", "t.svg"].map(|name| folder.path(name));
    let [table, picture] =
        [&table, &picture].map(|path: &std::path::PathBuf| path.to_str().expect("a path"));
    let sweep = [
        "sweep",
        "bench.guard=0..0.2:2",
        "--rebuilds",
        "64",
        "-o",
        table,
        "-o",
        picture,
    ];
    // no file may hold more than 4 KiB
    let output = in_shell("ulimit -f 8;", &sweep, "");
    let told = said(&output.stderr);
    assert_eq!(output.status.code(), Some(3), "{told}");
    has(&told, &format!("written: {table}"));
    has(&told, "can't write");
    assert_eq!(names(&folder), ["t.csv"]);
}

/// A long run with a page to write, once its place is claimed.
#[cfg(unix)]
fn long_run(folder: &Folder) -> std::process::Child {
    let page = folder.path("page.html");
    let page = page.to_str().expect("a path");
    let child = program(&["report", "--rebuilds", "1e9", "--no-stock", "-o", page])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    while names(folder).iter().all(|name| !name.contains("partial")) {
        std::thread::sleep(Duration::from_millis(5));
    }
    child
}

#[cfg(unix)]
fn send(signal: &str, child: &std::process::Child) {
    let kill = format!("kill -{signal} {}", child.id());
    let sent = Command::new("sh").arg("-c").arg(kill).status();
    assert!(sent.expect("a shell").success());
}

#[test]
#[cfg(unix)]
fn whatever_signal_ends_it_there_is_an_answer_and_no_litter() {
    for signal in ["HUP", "INT", "QUIT", "TERM", "USR1"] {
        let folder = Folder::new("signal");
        let child = long_run(&folder);
        send(signal, &child);
        let output = child.wait_with_output().expect("it ends");
        let told = said(&output.stderr);
        assert_eq!(output.status.code(), Some(130), "{signal}: {told}");
        let left = names(&folder);
        assert!(
            left.is_empty() || left == ["page.html"],
            "{signal}: {left:?}"
        );
        if let Ok(page) = fs::read_to_string(folder.path("page.html")) {
            has(&page, "PARTIAL");
        }
    }
}

#[test]
#[cfg(target_os = "linux")]
fn what_was_told_to_outlive_its_terminal_does() {
    let command = "trap '' HUP;";
    let words = ["odds", "--rebuilds", "60000"];
    let script = format!(
        "{command} exec '{}' {}",
        env!("CARGO_BIN_EXE_shimcast"),
        words.join(" ")
    );
    let child = Command::new("sh")
        .arg("-c")
        .arg(script)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("a shell");
    std::thread::sleep(Duration::from_millis(100));
    send("HUP", &child);
    let output = child.wait_with_output().expect("it ends");
    assert!(output.status.success(), "{}", said(&output.stderr));
}

#[test]
#[cfg(unix)]
fn what_a_killed_run_leaves_blocks_no_other() {
    let folder = Folder::new("killed");
    let mut child = long_run(&folder);
    child.kill().expect("it runs");
    child.wait().expect("it ends");
    assert_eq!(names(&folder).len(), 1, "a part of a page");
    let page = folder.path("page.html");
    let page = page.to_str().expect("a path");
    let (code, _, told) = run(&["report", "--rebuilds", "64", "--no-stock", "-o", page]);
    assert_eq!(code, 0, "{told}");
    assert!(Path::new(page).is_file());
}

#[test]
fn flat_hours_fill_a_page_and_no_more_however_wide_they_spread() {
    let strip = "minutes.strip=[0, 5000, 10000]";
    let all = [
        "quote",
        "--rebuilds",
        "400",
        "--no-stock",
        "--json",
        "--set",
        strip,
    ];
    let (code, out, told) = run(&all);
    assert_eq!(code, 0, "{told}");
    let answer: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    let flat = answer["flat"].as_array().expect("a list");
    let hours = |at: usize| flat[at]["hours"].as_f64().expect("hours");
    assert!((80..=162).contains(&flat.len()), "{}", flat.len());
    let step = hours(1) - hours(0);
    assert!(step > 0.25 && (step / 0.25).fract() == 0.0, "{step}");
}
