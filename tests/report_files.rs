//! What `report` writes: tables and rebuilds as CSV, and nothing over anything.

use std::collections::HashMap;
use std::fs;
use std::path::Path;

use crate::demo;
use crate::given::{Folder, answer, estimate, json, number, refused};

/// Rows by column.
pub fn rows(path: &Path) -> Vec<HashMap<String, String>> {
    rows_of(&fs::read_to_string(path).unwrap_or_else(|e| panic!("{path:?}: {e}")))
}

pub fn rows_of(table: &str) -> Vec<HashMap<String, String>> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(table.as_bytes());
    let head = reader.headers().expect("a header").clone();
    reader
        .records()
        .map(|record| {
            let record = record.expect("as many cells as columns");
            let pairs = head.iter().zip(record.iter());
            pairs.map(|(k, v)| (k.to_owned(), v.to_owned())).collect()
        })
        .collect()
}

pub fn figure(row: &HashMap<String, String>, column: &str) -> f64 {
    row[column]
        .parse()
        .unwrap_or_else(|_| panic!("{column}: {row:?}"))
}

#[test]
fn tables_hold_what_the_answer_holds() {
    let tables = &demo::page().tables;
    let odds = json(&["odds", "--rebuilds", demo::REBUILDS, "--json"]);
    let rebuilds: f64 = demo::REBUILDS.parse().expect("a number");
    let names = shimcast::questions::report::FIGURES
        .into_iter()
        .chain(shimcast::questions::report::TABLES);
    let mut all = HashMap::new();
    for name in names {
        let rows = rows_of(&tables[&format!("{name}.csv")]);
        assert!(!rows.is_empty(), "{name}");
        for row in &rows {
            for (column, cell) in row {
                // a value lies in its interval
                let ends = ["low", "high"].map(|end| row.get(&format!("{column}_{end}")));
                if let [Some(low), Some(high)] = ends
                    && !cell.is_empty()
                    && !low.is_empty()
                {
                    let [low, value, high] =
                        [low, cell, high].map(|x| x.parse::<f64>().expect("a number"));
                    assert!(
                        low <= value + 1e-9 && value <= high + 1e-9,
                        "{name}: {row:?}"
                    );
                }
            }
        }
        all.insert(name, rows);
    }
    // every rebuild is in one bar
    let jobs = |name: &str, stage: &str| {
        let rows = all[name].iter().filter(|row| row["stage"] == stage);
        rows.map(|row| figure(row, "jobs")).sum::<f64>()
    };
    let finished = (rebuilds * number(&odds["effort"]["finished"]["value"])).round();
    for name in ["backlash", "side-closure"] {
        assert_eq!(jobs(name, "first_assembly"), rebuilds);
        assert_eq!(jobs(name, "handed_over"), finished);
    }
    // bars of the closure window hold the share that the odds hold
    let inside: f64 = all["side-closure"]
        .iter()
        .filter(|row| row["stage"] == "first_assembly" && !row["from_mm"].is_empty())
        .filter(|row| !row["to_mm"].is_empty())
        .filter(|row| figure(row, "from_mm") > 0.1199 && figure(row, "to_mm") < 0.2401)
        .map(|row| figure(row, "jobs"))
        .sum();
    let share = number(&odds["first_assembly"]["side_closure"]["value"]);
    assert_eq!(inside, (rebuilds * share).round());
    let last = all["assemblies"].last().expect("a row");
    let [low, value, high] = estimate(&odds["effort"]["finished"]);
    let told = ["_low", "", "_high"].map(|end| figure(last, &format!("finished_share{end}")));
    for (told, exact) in told.into_iter().zip([low, value, high]) {
        assert!((told - exact).abs() < 1e-8);
    }
    let packs: f64 = all["packs"]
        .iter()
        .filter(|row| row["place"] == "pinion")
        .map(|row| figure(row, "jobs"))
        .sum();
    assert_eq!(packs, finished);
}

#[test]
fn nothing_is_overwritten_unasked_and_nothing_is_left_behind() {
    let folder = Folder::new("overwrite");
    let page = folder.path("page.html");
    let charts = folder.path("charts");
    fs::create_dir(&charts).expect("a folder");
    fs::write(charts.join("hours.svg"), "mine").expect("a file");
    let (output, dir) = (page.to_str().expect("text"), charts.to_str().expect("text"));
    // it would take minutes, so it is refused before the run
    let long = ["report", "--rebuilds", "1e9", "--no-stock"];
    let told = refused(
        &[&long, ["-o", output, "--charts", dir].as_slice()].concat(),
        3,
    );
    assert!(
        told.contains("hours.svg") && told.contains("--force"),
        "{told}"
    );
    let names = |path: &Path| {
        let entries = fs::read_dir(path).expect("a folder");
        let mut names: Vec<String> = entries
            .map(|entry| {
                entry
                    .expect("an entry")
                    .file_name()
                    .to_string_lossy()
                    .into_owned()
            })
            .collect();
        names.sort();
        names
    };
    assert_eq!(names(&folder.path("")), ["charts"]);
    assert_eq!(names(&charts), ["hours.svg"]);
    fs::write(&page, "mine").expect("a file");
    let told = refused(&[&long, ["-o", output].as_slice()].concat(), 3);
    assert!(told.contains("page.html"), "{told}");
    assert_eq!(fs::read_to_string(&page).expect("a file"), "mine");
    for nowhere in ["no/such/folder/page.html", dir] {
        let nowhere = folder.path(nowhere);
        let told = refused(
            &[&long, ["-o", nowhere.to_str().expect("text")].as_slice()].concat(),
            3,
        );
        assert!(told.contains("name"), "{told}");
    }
    // a file in the way of a folder
    let told = refused(
        &[&long, ["-o", "-", "--csv", output].as_slice()].concat(),
        3,
    );
    assert!(told.contains("can't make the folder"), "{told}");
    let short = ["report", "--rebuilds", "50", "--no-stock", "--force"];
    let told = answer(&[&short, ["-o", output, "--charts", dir].as_slice()].concat());
    assert!(
        told.contains("page.html") && told.contains("20 figures, a file each"),
        "{told}"
    );
    assert!(
        fs::read_to_string(&page)
            .expect("a page")
            .starts_with("<!DOCTYPE html>")
    );
    assert!(
        fs::read_to_string(charts.join("hours.svg"))
            .expect("a figure")
            .starts_with("<svg")
    );
    // no drawer, so none of its figures
    assert!(!charts.join("service.svg").exists());
    assert!(
        names(&charts).iter().all(|name| name.ends_with(".svg")),
        "{:?}",
        names(&charts)
    );
}

#[test]
fn what_does_not_go_together_is_refused() {
    for arguments in [
        ["report", "--sample", "10"].as_slice(),
        &["report", "--sample", "0", "--csv", "x"],
        &["report", "--sheet", "--csv", "x"],
        &["report", "--risk", "120"],
    ] {
        refused(arguments, 2);
    }
    assert!(!Path::new(env!("CARGO_MANIFEST_DIR")).join("x").exists());
}

#[test]
fn a_page_does_without_a_drawer_where_there_are_no_jobs() {
    let folder = Folder::new("no-jobs");
    let shop = folder.path("x.shop.toml");
    let text = crate::given::text_of("north-bench.shop.toml");
    fs::write(&shop, text.split("[[jobs]]").next().expect("a head")).expect("a shop");
    let output = crate::given::shimcast(&[
        "report",
        "--rebuilds",
        "100",
        "-o",
        "-",
        "--shop",
        shop.to_str().expect("text"),
    ]);
    assert!(output.status.success());
    let (page, told) = (
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr),
    );
    assert!(
        told.contains("without the shim drawer") && told.contains("[[jobs]]"),
        "{told}"
    );
    assert!(page.contains("id=\"quote\"") && !page.contains("id=\"stock\""));
}

#[cfg(unix)]
#[test]
fn an_interrupt_gives_a_page_of_what_there_is() {
    let folder = Folder::new("interrupted");
    let page = folder.path("page.html");
    let output = page.to_str().expect("text");
    let arguments = [
        "report",
        "--rebuilds",
        "1e11",
        "--threads",
        "1",
        "--no-stock",
        "-o",
        output,
    ];
    let child = crate::given::program(&arguments)
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .expect("the program starts");
    std::thread::sleep(std::time::Duration::from_millis(1500));
    let killed = std::process::Command::new("sh")
        .arg("-c")
        .arg(format!("kill -INT {}", child.id()))
        .status();
    assert!(killed.expect("a shell").success());
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(output.status.code(), Some(130));
    let html = fs::read_to_string(&page).expect("a page");
    assert!(html.contains("PARTIAL"));
    crate::page::check(&html);
    // odds and quote tell of the same rebuilds
    assert!(html.contains("Flat hours to quote"));
}

#[cfg(unix)]
#[test]
fn a_second_interrupt_ends_at_once_and_leaves_nothing_unfinished() {
    use std::time::Duration;

    let folder = Folder::new("ended");
    let page = folder.path("page.html");
    let dir = folder.path("tables");
    // so many single rebuilds take seconds to write, and the first interrupt does not end that
    let mut child = crate::given::program(&["report", "--rebuilds", "50", "--no-stock"])
        .args(["--sample", "1e6", "--csv"])
        .arg(&dir)
        .arg("-o")
        .arg(&page)
        .stdout(std::process::Stdio::null())
        .spawn()
        .expect("the program starts");
    let unfinished = |dir: &Path| {
        let entries = fs::read_dir(dir).into_iter().flatten().flatten();
        entries
            .filter(|entry| entry.file_name().to_string_lossy().starts_with('.'))
            .map(|entry| {
                (
                    entry.path(),
                    entry.metadata().map_or(0, |about| about.len()),
                )
            })
            .collect::<Vec<_>>()
    };
    let mut waited = 0;
    while !unfinished(&dir).iter().any(|(_, length)| *length > 0) {
        std::thread::sleep(Duration::from_millis(10));
        waited += 1;
        assert!(waited < 3000, "no rebuild was written in half a minute");
    }
    let interrupt = || {
        let killed = std::process::Command::new("sh")
            .arg("-c")
            .arg(format!("kill -INT {}", child.id()))
            .status();
        assert!(killed.expect("a shell").success());
    };
    interrupt();
    // two at once could count as one
    std::thread::sleep(Duration::from_millis(300));
    assert!(!unfinished(&dir).is_empty() && !unfinished(&folder.path("")).is_empty());
    interrupt();
    assert_eq!(child.wait().expect("it ends").code(), Some(130));
    assert_eq!(unfinished(&dir), []);
    assert_eq!(unfinished(&folder.path("")), []);
    assert!(!page.exists() && !dir.join("rebuilds.csv").exists());
}

/// Only plain files are replaced, and through a link the file that it leads to.
#[cfg(unix)]
#[test]
fn forcing_replaces_a_plain_file_and_nothing_else() {
    let folder = Folder::new("force");
    let (real, link) = (folder.path("real.html"), folder.path("link.html"));
    fs::write(&real, "old").expect("a file");
    std::os::unix::fs::symlink(&real, &link).expect("a link");
    let report = ["report", "--no-stock", "--rebuilds", "50", "--force", "-o"];
    let name = link.to_str().expect("text");
    let told = answer(&[&report[..], &[name]].concat());
    assert!(told.contains("link.html"), "{told}");
    assert!(fs::symlink_metadata(&link).expect("it").is_symlink());
    assert!(
        fs::read_to_string(&real)
            .expect("it")
            .starts_with("<!DOCTYPE")
    );
    let said = refused(&[&report[..], &["/dev/full"]].concat(), 3);
    assert!(
        said.contains("is no plain file and is not overwritten"),
        "{said}"
    );
}
