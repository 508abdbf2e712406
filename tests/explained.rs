//! Why jobs differ, what a sweep shows and how one rebuild went, as figures and on the page.

use serde_json::Value;

use crate::given::{Folder, answer, has, json, list, number, refused, run};
use crate::page::{check, parsed};
use crate::report_files::rows;

fn page(arguments: &[&str]) -> String {
    answer(
        &[
            &["report", "--for", "student", "--no-stock", "-o", "-"],
            arguments,
        ]
        .concat(),
    )
}

/// The text of the section, exhibit or chapter of this name.
fn section(html: &str, id: &str) -> String {
    let tree = parsed(html);
    let node = tree
        .descendants()
        .find(|node| node.attribute("id") == Some(id))
        .unwrap_or_else(|| panic!("no {id}"));
    let texts: Vec<&str> = node
        .descendants()
        .filter(roxmltree::Node::is_text)
        .filter_map(|text| text.text())
        .collect();
    texts.join("")
}

#[test]
fn the_page_says_what_causes_says() {
    let folder = Folder::new("causes-page");
    let dir = folder.path("tables");
    let dir_name = dir.to_str().expect("text");
    page(&["--rebuilds", "3000", "--csv", dir_name]);
    let causes = json(&["causes", "--rebuilds", "3000", "--json"]);
    let same = |cell: &str, value: &Value| {
        let cell: f64 = cell.parse().expect("a number");
        assert!((cell - number(value)).abs() < 1e-8, "{cell} {value}");
    };
    let halved = rows(&dir.join("halved.csv"));
    assert_eq!(halved.len(), list(&causes["halved"]).len());
    for (row, buy) in halved.iter().zip(list(&causes["halved"])) {
        assert_eq!(row["key"], buy["key"]);
        same(&row["money_EUR"], &buy["money"]["value"]);
        same(&row["hours_low"], &buy["hours"]["low"]);
        same(&row["handed_over_share"], &buy["handed_over"]["value"]);
        same(&row["clearly_out_share"], &buy["clearly_out"]["value"]);
        same(&row["finished_share"], &buy["finished"]["value"]);
    }
    for (name, question) in [
        ("causes-landed", "first_assembly"),
        ("causes-right", "handed_over"),
        ("causes-hours", "hours"),
    ] {
        let told = rows(&dir.join(format!("{name}.csv")));
        assert_eq!(told.len(), list(&causes["inputs"]).len());
        for row in &told {
            let input = list(&causes["inputs"])
                .iter()
                .find(|input| input["key"] == row["key"].as_str())
                .expect("the input");
            same(
                &row["alone_share"],
                &input[question]["first_order"]["value"],
            );
            same(
                &row["with_others_share"],
                &input[question]["total"]["value"],
            );
        }
        let leading: Vec<f64> = told
            .iter()
            .map(|row| row["with_others_share"].parse().expect("a number"))
            .collect();
        assert!(leading.is_sorted_by(|a, b| a >= b), "{name}");
    }
    for (name, of) in [
        ("stack-depth", "depth"),
        ("stack-backlash", "backlash"),
        ("stack-closure", "side_closure"),
    ] {
        let told = rows(&dir.join(format!("{name}.csv")));
        let of = list(&causes["loops"]).iter().find(|l| l["loop"] == of);
        let of = of.expect("the loop");
        let sum = |column: &str| -> f64 {
            let cells = told.iter().map(|row| row[column].as_str());
            cells
                .filter(|cell| !cell.is_empty())
                .map(|cell| cell.parse::<f64>().expect("a number"))
                .sum()
        };
        assert!((sum("limit_mm") - number(&of["worst_case"])).abs() < 1e-7);
        for whole in ["worst_case_share", "root_sum_square_share"] {
            assert!((sum(whole) - 1.0).abs() < 1e-7, "{name} {whole}");
        }
    }
}

#[test]
fn a_handful_of_rebuilds_explains_nothing_and_says_so() {
    let text = answer(&["causes", "--rebuilds", "99"]);
    assert_eq!(
        text.matches("Too few rebuilds to say.").count(),
        4,
        "{text}"
    );
    let html = page(&["--rebuilds", "99"]);
    for name in ["halved", "causes-landed", "causes-right", "causes-hours"] {
        has(&section(&html, name), "Too few rebuilds to say.");
    }
    let text = answer(&["causes", "--rebuilds", "100"]);
    assert!(!text.contains("Too few"));
}

#[test]
fn the_page_sweeps_what_is_asked() {
    let folder = Folder::new("sweep-page");
    let dir = folder.path("tables");
    let asked = ["--rebuilds", "2000"];
    let dir_name = dir.to_str().expect("text");
    let key = "instruments.dial.sigma=0..0.02:2";
    let html = page(&[&asked[..], &["--sweep", key, "--csv", dir_name]].concat());
    check(&html);
    has(&html, "What does instruments.dial.sigma do?");
    let swept = json(&[&["sweep", key, "--json"], &asked[..]].concat());
    let told = rows(&dir.join("sweep.csv"));
    // what the files say, 0.005, is among them
    assert_eq!(told.len(), 4 * 8);
    assert_eq!(told.iter().filter(|row| row["own"] == "true").count(), 8);
    for row in &told {
        let value: f64 = row["value"].parse().expect("a number");
        let point = list(&swept["points"])
            .iter()
            .find(|point| number(&point["values"][0]) == value)
            .expect("the point");
        let estimate: f64 = row["estimate"].parse().expect("a number");
        let same = number(&point[row["figure"].as_str()]["value"]);
        let against = &point["against_own"][row["figure"].as_str()]["value"];
        if row["figure"] != "hours_p80" {
            let told: f64 = row["against_own"].parse().expect("a number");
            assert!((told - number(against)).abs() < 1e-8, "{row:?}");
        }
        assert!((estimate - same).abs() < 1e-8, "{row:?}");
    }
    let both = [
        "--sweep",
        "bench.ring_belief=0.6..1:2",
        "--sweep",
        "bench.backlash_points=2..4",
    ];
    let html = page(&[&asked[..], &both[..]].concat());
    check(&html);
    let sweep = section(&html, "sweep");
    has(
        &sweep,
        "What do bench.ring_belief and bench.backlash_points do together?",
    );
    has(&sweep, "down: bench.ring_belief");
    let three = [
        &["report", "--no-stock"],
        &both[..],
        &["--sweep", "windows.depth=0.01..0.02"],
    ];
    has(&refused(&three.concat(), 2), "--sweep: one key or two");
    has(
        &refused(&["report", "--sweep", "windows.bcklash=0..1"], 2),
        "did you mean `backlash`",
    );
    has(
        &refused(
            &[
                "report",
                "--no-stock",
                "--sweep",
                "bench.backlash_points=0..3",
            ],
            2,
        ),
        "must lie between 1 and 200",
    );
}

#[test]
fn the_page_tells_the_very_rebuild() {
    for find in [&["--rebuild", "12"][..], &["--find", "many-tries"]] {
        let html = page(&[&["--rebuilds", "500"], find].concat());
        check(&html);
        let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
        let story = words(&section(&html, "story"));
        let told = answer(&[&["follow"], find].concat());
        // every decision, in order
        let told = words(&told);
        let mut from = 0;
        let mut decided = 0;
        for decision in told.split(" decides: ").skip(1) {
            let start: String = decision.chars().take(40).collect();
            let found = story[from..].find(&start);
            from += found.unwrap_or_else(|| panic!("{start}\n{story}")) + start.len();
            decided += 1;
        }
        assert!(decided > 1);
    }
    // given up, and not even a first assembly right
    let html = page(&[
        "--rebuilds",
        "500",
        "--find",
        "given-up",
        "--set",
        "bench.most_assemblies=2",
    ]);
    check(&html);
    has(
        &section(&html, "story"),
        "In the end it was given up after 2 assemblies",
    );
}

/// A sweep of two keys that finds nothing says so, and names no best point.
#[test]
fn maps_claim_no_more_than_was_seen() {
    let asked = ["--rebuilds", "2000"];
    let keys = [
        "--sweep",
        "windows.depth=0.02..0.04:1",
        "--sweep",
        "housing.head_seat.tol=0.03..0.0301:1",
    ];
    let sweep = section(&page(&[&asked[..], &keys[..]].concat()), "sweep");
    has(&sweep, "right when handed over about ");
    has(&sweep, " everywhere");
    let html = page(&["--rebuilds", "1"]);
    has(&section(&html, "sweep"), "Too few rebuilds to say.");
    has(&section(&html, "sweep"), "1 rebuild, the very same parts");
}

#[test]
fn a_page_whose_telling_rebuild_is_not_there_tells_another_and_says_so() {
    let folder = Folder::new("none");
    let path = folder.path("page.html");
    let name = path.to_str().expect("text");
    let narrow = "windows.side_closure=[0.90, 0.91]";
    let (code, _, err) = run(&[
        "report",
        "--no-stock",
        "--rebuilds",
        "200",
        "--find",
        "many-tries",
        "--set",
        narrow,
        "-o",
        name,
    ]);
    assert_eq!(code, 1);
    has(&err, "there is none among 2000 rebuilds of seed 1");
    has(&err, "the page shows the first one instead");
    let html = std::fs::read_to_string(path).expect("the page is there all the same");
    has(&html, "One rebuild, step by step: number 1");
}

/// A sweep's figure is a labelled SVG of its own, whatever is swept.
#[test]
fn a_sweep_is_drawn() {
    let folder = Folder::new("drawn");
    for (i, keys) in [
        &["instruments.dial.sigma=0..0.02:4"][..],
        &[
            "bench.ring_belief=0.6..1.1:5",
            "instruments.dial.sigma=0..0.02:3",
        ],
        &[
            "windows.backlash.2=0.18..0.26:60",
            "bench.backlash_points=1..2",
        ],
        &[
            "windows.backlash.1=0.1234567..0.1334567:11",
            "windows.depth=0.0333333..0.0444444:11",
        ],
        // a single step, and the wrong way round
        &["prices.hour=90..30:1"],
    ]
    .into_iter()
    .enumerate()
    {
        let path = folder.path(&format!("{i}.svg"));
        let name = path.to_str().expect("text");
        let rebuilds = [
            "--rebuilds",
            if i == 4 { "1" } else { "300" },
            "--chart",
            name,
        ];
        answer(&[&["sweep"], keys, &rebuilds[..]].concat());
        let svg = std::fs::read_to_string(&path).expect("a figure");
        let tree = parsed(&svg);
        let root = tree.root_element();
        assert_eq!(root.attribute("role"), Some("img"));
        assert!(!svg.contains("NaN") && !svg.contains("inf") && !svg.contains("var(--"));
        let texts: Vec<&str> = root
            .descendants()
            .filter(|node| node.tag_name().name() == "text")
            .filter_map(|node| node.text())
            .map(str::trim)
            .collect();
        for key in keys {
            let key = key.split('=').next().expect("a key");
            assert!(
                texts.iter().any(|text| text.contains(key)),
                "{key}: {texts:?}"
            );
        }
        // nothing runs over the edge: a letter takes about seven units
        for node in root.descendants().filter(|n| n.tag_name().name() == "text") {
            let at = |key| node.attribute(key).and_then(|x| x.parse::<f64>().ok());
            let long = 65.0 * node.text().unwrap_or_default().trim().chars().count() as f64;
            let x = at("x").expect("a place");
            let (from, to) = match node.attribute("text-anchor") {
                Some("end") => (x - long, x),
                Some("middle") => (x - 0.5 * long, x + 0.5 * long),
                _ => (x, x + long),
            };
            assert!(from > -20.0 && to < 4500.0, "{:?} {from} {to}", node.text());
        }
    }
    // every cell of a map holds what the JSON says of its point
    let keys = [
        "bench.ring_belief=0.6..1.1:5",
        "instruments.dial.sigma=0..0.02:3",
    ];
    let swept = json(&[&["sweep"], &keys[..], &["--rebuilds", "300", "--json"]].concat());
    let svg = std::fs::read_to_string(folder.path("1.svg")).expect("a figure");
    let tree = parsed(&svg);
    let texts: Vec<&str> = tree
        .descendants()
        .filter(|node| node.tag_name().name() == "text")
        .filter_map(|node| node.text())
        .map(str::trim)
        .collect();
    for (title, figure, times) in [
        ("Right when handed over", "handed_over", 100.0),
        ("Hours, mean", "hours", 1.0),
        ("What a job costs", "money", 1.0),
    ] {
        let from = texts.iter().position(|text| text.starts_with(title));
        let points = list(&swept["points"]);
        // under a figure there may be its difference
        let difference = |text: &&&str| text.starts_with(['+', '-']);
        let cells = texts[from.expect("the map") + 1..].iter();
        let cells: Vec<&&str> = cells
            .filter(|text| !difference(text))
            .take(points.len())
            .collect();
        for (cell, point) in cells.into_iter().zip(points) {
            let shown: f64 = cell.parse().unwrap_or_else(|_| panic!("{cell}"));
            let places = cell.split_once('.').map_or(0, |(_, after)| after.len());
            let value = times * number(&point[figure]["value"]);
            let off = (shown - value).abs() * 10_f64.powi(places as i32);
            assert!(
                off < 0.51 || shown % 10.0 == 0.0 && off < 5.1,
                "{cell} {value}"
            );
        }
    }
    let taken = folder.path("0.svg");
    let again = [
        "sweep",
        "instruments.dial.sigma=0..0.02:4",
        "--rebuilds",
        "100",
        "--chart",
    ];
    let said = refused(&[&again[..], &[taken.to_str().expect("text")]].concat(), 3);
    has(&said, "is not overwritten");
}
