//! The page in a real browser: it asks for nothing, complains of nothing, prints the answer on page
//! one with no figure cut off, and fits a phone.
//!
//! Where there is no Chromium these tests say so and are skipped.

use std::fs;
use std::io::{Read, Write as _, stderr};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use serde_json::Value;

use crate::demo;
use crate::given::{Folder, answer};

/// What a run of the browser may take.
const PATIENCE: Duration = Duration::from_secs(120);

pub fn on_path(name: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path)
        .map(|folder| folder.join(name))
        .find(|file| file.is_file())
}

/// The browser, or a word that a test was skipped.
pub fn browser(test: &str) -> Option<PathBuf> {
    let found = ["chromium", "chromium-browser"]
        .iter()
        .find_map(|name| on_path(name));
    if found.is_none() {
        skipped(test, "no Chromium on the path");
    }
    found
}

/// Written past the harness, which keeps the output of tests that pass to itself.
pub fn skipped(test: &str, why: &str) {
    let _ = writeln!(stderr(), "skipped: {test}: {why}");
    assert!(
        std::env::var_os("SHIMCAST_BROWSER_TESTS").is_none(),
        "{test}: {why}, and SHIMCAST_BROWSER_TESTS asks for it"
    );
}

/// What the browser printed on stdout and stderr.
fn browse(program: &Path, folder: &Folder, own: &[&str], page: &Path) -> (String, String) {
    let profile = folder.path("profile");
    let mut child = Command::new(program)
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            "--disable-extensions",
            // what the browser itself would ask for goes nowhere
            "--host-resolver-rules=MAP * ~NOTFOUND",
            "--enable-logging=stderr",
        ])
        .arg(format!("--user-data-dir={}", profile.display()))
        .args(own)
        .arg(format!("file://{}", page.display()))
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the browser starts");
    let mut out = child.stdout.take().expect("stdout");
    let mut err = child.stderr.take().expect("stderr");
    let reading = std::thread::spawn(move || {
        let mut text = String::new();
        out.read_to_string(&mut text).map(|_| text)
    });
    let complaints = std::thread::spawn(move || {
        let mut text = Vec::new();
        err.read_to_end(&mut text).map(|_| text)
    });
    let started = Instant::now();
    loop {
        if let Some(status) = child.try_wait().expect("the browser runs") {
            assert!(status.success(), "the browser ended with {status}");
            break;
        }
        if started.elapsed() > PATIENCE {
            let _ = child.kill();
            panic!("the browser did not end");
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    let out = reading.join().expect("a reader").expect("text");
    let err = complaints.join().expect("a reader").expect("bytes");
    // the next run gets a fresh one
    let _ = fs::remove_dir_all(profile);
    (out, String::from_utf8_lossy(&err).into_owned())
}

/// Lines that the page left on the console.
fn console(err: &str) -> Vec<&str> {
    err.lines()
        .filter(|line| line.contains(":CONSOLE"))
        .collect()
}

/// Addresses that the page asked of the network, by the browser's own log. Its own requests, to
/// its maker, have no page behind them.
fn requests(log: &Path) -> Vec<String> {
    let text = fs::read_to_string(log).expect("the log of the network");
    let log: Value = serde_json::from_str(&text).expect("a log in JSON");
    let events = log["events"].as_array().expect("events");
    let asked = events.iter().filter_map(|event| {
        let params = &event["params"];
        let (url, from) = (params["url"].as_str()?, params["initiator"].as_str()?);
        let outside = ["http:", "https:", "ws:", "wss:", "ftp:"]
            .iter()
            .any(|scheme| url.starts_with(scheme));
        (outside && from != "not an origin").then(|| url.to_owned())
    });
    asked.collect()
}

/// The demo's page.
pub fn demo_page(folder: &Folder) -> PathBuf {
    let path = folder.path("demo.html");
    fs::write(&path, &demo::page().html).expect("a copy");
    path
}

fn page(folder: &Folder, name: &str, arguments: &[&str]) -> PathBuf {
    let path = folder.path(name);
    let output = path.to_str().expect("a path");
    answer(&[&["report", "-o", output], arguments].concat());
    path
}

/// The page with something put in before its end.
pub fn with(folder: &Folder, page: &Path, more: &str) -> PathBuf {
    let html = fs::read_to_string(page).expect("the page");
    let path = folder.path("changed.html");
    fs::write(&path, html.replace("</head>", &format!("{more}</head>"))).expect("a copy");
    path
}

#[test]
fn the_page_asks_for_nothing_and_complains_of_nothing() {
    let Some(program) = browser("the page asks for nothing") else {
        return;
    };
    let folder = Folder::new("network");
    let load = |page: &Path| {
        let log = folder.path("net.json");
        let to_log = format!("--log-net-log={}", log.display());
        let (dom, err) = browse(&program, &folder, &[&to_log, "--dump-dom"], page);
        assert!(dom.contains("</html>"), "{err}");
        let asked = requests(&log);
        let told: Vec<String> = console(&err).into_iter().map(str::to_owned).collect();
        (asked, told)
    };
    // what this test is to find is found
    let bad = folder.path("bad.html");
    let asks = "<!DOCTYPE html><title>x</title><img src=\"http://shim.invalid/x.png\">\
                <script>console.error('trouble')</script>";
    fs::write(&bad, asks).expect("a page");
    let (asked, told) = load(&bad);
    assert!(
        asked.iter().any(|url| url.contains("shim.invalid")),
        "{asked:?}"
    );
    assert!(told.iter().any(|line| line.contains("trouble")), "{told:?}");
    for page in [
        demo_page(&folder),
        page(&folder, "sheet.html", &["--sheet"]),
    ] {
        let (asked, told) = load(&page);
        assert!(asked.is_empty(), "{}: {asked:?}", page.display());
        assert!(told.is_empty(), "{}: {told:?}", page.display());
    }
}

/// How wide each page is on a phone, and how much of that is seen.
fn widths_on_a_phone(program: &Path, folder: &Folder, pages: &[String]) -> Vec<[u32; 2]> {
    // a frame is as narrow as it is told to be, which a window is not
    let frames = pages.iter().map(|html| {
        let inner = html
            .replace('&', "&amp;")
            .replace('"', "&quot;")
            .replace("<details>", "<details open>");
        format!("<iframe style=\"width:360px;height:800px;border:0\" srcdoc=\"{inner}\"></iframe>")
    });
    let frames: String = frames.collect();
    let outer = format!(
        "<!DOCTYPE html><title>waiting</title><body>{frames}<script>\
         onload = () => {{ document.title = Array.from(frames, w => {{\
         const d = w.document.documentElement;\
         return w.innerWidth + ' ' + d.scrollWidth + ' ' + d.clientWidth; }}).join(','); }}\
         </script></body>"
    );
    let path = folder.path("phone.html");
    fs::write(&path, outer).expect("a page");
    let (dom, err) = browse(program, folder, &["--dump-dom"], &path);
    let title = dom
        .split("<title>")
        .nth(1)
        .and_then(|rest| rest.split("</title>").next())
        .unwrap_or_else(|| panic!("{err}"));
    let sizes = title.split(',').map(|frame| {
        let sizes: Vec<u32> = frame
            .split(' ')
            .map(|size| size.parse().unwrap_or_else(|_| panic!("{title}")))
            .collect();
        assert_eq!(sizes[0], 360);
        [sizes[1], sizes[2]]
    });
    sizes.collect()
}

#[test]
fn no_page_scrolls_sideways_on_a_phone() {
    let Some(program) = browser("no page scrolls sideways") else {
        return;
    };
    let folder = Folder::new("phone");
    let long = folder.path("long.axle.toml");
    let text = crate::given::text_of("short.axle.toml");
    let name = "Hinterachse-mit-einem-Namen-der-kein-Ende-nimmt-und-keine-Leerzeichen-hat";
    let named = text
        .lines()
        .map(|line| match line.starts_with("name") {
            true => format!("name = \"{name}\"\n"),
            false => format!("{line}\n"),
        })
        .collect::<String>();
    fs::write(&long, named).expect("an axle");
    let long = long.to_str().expect("a path");
    let short = ["--rebuilds", "2000", "--no-stock"];
    let inches = "examples/sorrel-71.axle.toml";
    let mut pages = vec![demo_page(&folder)];
    for (file, arguments) in [
        ("long.html", [&[long][..], &short].concat()),
        ("inch.html", [&[inches][..], &short].concat()),
        ("sheet.html", vec!["--sheet"]),
    ] {
        pages.push(page(&folder, file, &arguments));
    }
    let texts = pages
        .iter()
        .map(|path| fs::read_to_string(path).expect("the page"));
    let mut all: Vec<String> = texts.collect();
    // what this test is to find is found
    all.push("<!DOCTYPE html><body><div style=\"width:500px\">x</div></body>".into());
    let mut widths = widths_on_a_phone(&program, &folder, &all);
    let [wide, seen] = widths.pop().expect("the last page");
    assert!(wide > seen);
    assert_eq!(widths.len(), pages.len());
    for ([wide, seen], page) in widths.into_iter().zip(pages) {
        let page = page.display();
        assert!(wide <= seen, "{page}: {wide} wide where {seen} are seen");
    }
}

/// A page printed on this paper.
pub fn on_paper(program: &Path, folder: &Folder, page: &Path, paper: &str) -> PathBuf {
    let style = format!("<style>@page {{ size: {paper}; }}</style>");
    let sized = with(folder, page, &style);
    let pdf = folder.path("printed.pdf");
    let to_pdf = format!("--print-to-pdf={}", pdf.display());
    browse(
        program,
        folder,
        &[&to_pdf, "--no-pdf-header-footer"],
        &sized,
    );
    pdf
}

/// Text as it can be looked for where lines may be broken anywhere.
fn unbroken(text: &str) -> String {
    text.chars()
        .filter(|c| !c.is_whitespace() && *c != '-')
        .collect()
}

/// Text of one page of a PDF, [`unbroken`].
pub fn printed(pdf: &Path, number: usize) -> String {
    let number = number.to_string();
    let output = Command::new("pdftotext")
        .args(["-f", &number, "-l", &number])
        .arg(pdf)
        .arg("-")
        .output()
        .expect("pdftotext");
    assert!(output.status.success());
    unbroken(&String::from_utf8_lossy(&output.stdout))
}

/// Pages and size of a PDF, points.
pub fn extent(pdf: &Path) -> (usize, [f64; 2]) {
    let output = Command::new("pdfinfo").arg(pdf).output().expect("pdfinfo");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let after = |key: &str| {
        let line = text.lines().find_map(|line| line.strip_prefix(key));
        line.unwrap_or_else(|| panic!("{text}")).trim().to_owned()
    };
    let pages = after("Pages:").parse().expect("a number");
    let size = after("Page size:");
    let mut sides = size.split(' ').filter_map(|word| word.parse().ok());
    let side = |side: Option<f64>| side.expect("a size");
    (pages, [side(sides.next()), side(sides.next())])
}

/// Where words lie on each sheet of paper: right and lower ends of all of them, in points.
fn ends_of_words(pdf: &Path) -> Vec<Vec<[f64; 2]>> {
    let output = Command::new("pdftotext")
        .arg("-bbox")
        .arg(pdf)
        .arg("-")
        .output()
        .expect("pdftotext");
    let text = String::from_utf8_lossy(&output.stdout);
    let end = |line: &str, key: &str| {
        let rest = line.split(key).nth(1)?;
        rest.split('"').nth(1)?.parse::<f64>().ok()
    };
    let words = |sheet: &str| {
        sheet
            .lines()
            .filter(|line| line.trim_start().starts_with("<word"))
            .filter_map(|line| Some([end(line, "xMax=")?, end(line, "yMax=")?]))
            .collect()
    };
    text.split("<page ").skip(1).map(words).collect()
}

/// What the style sheet leaves free at the top and at the foot of a sheet, points.
const MARGINS: [f64; 2] = [13.0 * 72.0 / 25.4, 12.0 * 72.0 / 25.4];

/// No sheet of this page is more than a third empty.
fn no_sheet_is_a_third_empty(pdf: &Path, what: &str) {
    let (_, [_, height]) = extent(pdf);
    let [top, foot] = MARGINS;
    for (sheet, words) in ends_of_words(pdf).iter().enumerate() {
        let ends = words.iter().map(|end| end[1]);
        // the number of the sheet stands in the margin
        let last = ends.filter(|end| *end < height - foot).fold(top, f64::max);
        let used = (last - top) / (height - top - foot);
        assert!(used > 0.66, "sheet {} of {what}: {used:.2}", sheet + 1);
    }
}

#[test]
fn printed_the_answer_is_on_page_one_and_no_figure_is_cut_off() {
    let Some(program) = browser("printing") else {
        return;
    };
    if on_path("pdftotext").is_none() || on_path("pdfinfo").is_none() {
        skipped("printing", "no pdftotext and pdfinfo on the path");
        return;
    }
    let folder = Folder::new("print");
    let short = page(&folder, "shop.html", &["--rebuilds", "20000"]);
    let whose = ["--for", "customer", "--rebuilds", "2000", "--tax", "20"];
    let offer = page(&folder, "offer.html", &whose);
    for paper in ["A4", "letter"] {
        let pdf = on_paper(&program, &folder, &short, paper);
        let (sheets, _) = extent(&pdf);
        assert!(
            sheets <= 7,
            "a shop's page takes {sheets} sheets of {paper}"
        );
        no_sheet_is_a_third_empty(&pdf, &format!("a shop's page on {paper}"));
        let (sheets, _) = extent(&on_paper(&program, &folder, &offer, paper));
        assert_eq!(sheets, 1, "a customer's page on {paper}");
    }
    let page = demo_page(&folder);
    let html = fs::read_to_string(&page).expect("the page");
    let tree = crate::page::parsed(&html);
    let words = |node: roxmltree::Node<'_, '_>| {
        let text: String = node
            .descendants()
            .filter_map(|n| n.text().filter(|_| n.is_text()))
            .collect();
        unbroken(&text)
    };
    for (paper, [width, height]) in [("A4", [595.0, 842.0]), ("letter", [612.0, 792.0])] {
        let pdf = on_paper(&program, &folder, &page, paper);
        let (pages, size) = extent(&pdf);
        assert!(
            (size[0] - width).abs() < 2.0 && (size[1] - height).abs() < 2.0,
            "{size:?}"
        );
        let pages: Vec<String> = (1..=pages).map(|number| printed(&pdf, number)).collect();
        let answer = tree
            .descendants()
            .find(|node| node.attribute("id") == Some("answer"))
            .expect("the answer");
        let lead = answer.children().find(|n| n.tag_name().name() == "p");
        assert!(
            pages[0].contains(&words(lead.expect("the answer in words"))),
            "{}",
            pages[0]
        );
        let numbers = answer.children().filter(|n| n.tag_name().name() == "div");
        let numbers = numbers
            .take(1)
            .flat_map(|n| n.descendants())
            .filter(|n| n.tag_name().name() == "tbody")
            .flat_map(|n| n.descendants())
            .filter(|n| n.has_tag_name(("http://www.w3.org/1999/xhtml", "td")));
        let cells: Vec<String> = numbers.map(words).collect();
        assert_eq!(cells.len(), 18);
        for cell in cells {
            assert!(
                pages[0].contains(&cell),
                "{cell} is not on page one: {}",
                pages[0]
            );
        }
        // a figure that is cut leaves its heading on one page and its foot on another
        let figures = tree
            .descendants()
            .filter(|n| n.attribute("class") == Some("exhibit"));
        let mut seen = 0;
        for figure in figures {
            seen += 1;
            let part = |class: &str| {
                figure
                    .descendants()
                    .find(|n| n.attribute("class") == Some(class))
            };
            let title = figure
                .descendants()
                .find(|n| n.tag_name().name() == "h3")
                .map(words);
            let title = title.expect("a heading");
            let finding = words(part("finding").expect("a finding"));
            let labels: Vec<String> = figure
                .descendants()
                .filter(|n| n.tag_name().name() == "text")
                .map(words)
                .filter(|text| text.len() > 12)
                .chain([words(part("reading").expect("how to read it"))])
                .collect();
            let on = pages.iter().filter(|text| text.contains(&finding)).count();
            assert_eq!(on, 1, "{title}: {finding}");
            let whole = pages.iter().any(|text| {
                text.contains(&title)
                    && text.contains(&finding)
                    && labels.iter().all(|label| text.contains(label))
            });
            assert!(whole, "{paper}: {title} is cut off: {labels:?}");
        }
        assert_eq!(seen, shimcast::questions::report::FIGURES.len());
        no_sheet_is_a_third_empty(&pdf, &format!("a student's page on {paper}"));
        for [right, foot] in ends_of_words(&pdf).into_iter().flatten() {
            assert!(right < size[0] && foot < size[1], "{paper}: {right} {foot}");
        }
    }
}

#[test]
fn the_job_sheet_is_two_sides_of_paper() {
    let Some(program) = browser("the job sheet") else {
        return;
    };
    if on_path("pdfinfo").is_none() {
        skipped("the job sheet", "no pdfinfo on the path");
        return;
    }
    let folder = Folder::new("sheet");
    let inches = [
        "--sheet",
        "examples/sorrel-71.axle.toml",
        "--set",
        "bench.bearing_heights=measured",
    ];
    let adjusters = [
        "--sheet",
        "examples/tamarack-88.axle.toml",
        "--shop",
        "examples/quay-lane.shop.toml",
    ];
    for (name, arguments) in [
        ("rowan.html", ["--sheet"].as_slice()),
        ("sorrel.html", &inches),
        ("tamarack.html", &adjusters),
    ] {
        let page = page(&folder, name, arguments);
        for paper in ["A4", "letter"] {
            let pdf = on_paper(&program, &folder, &page, paper);
            assert_eq!(extent(&pdf).0, 2, "{name} on {paper}");
        }
    }
}
