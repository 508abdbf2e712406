//! One axle on the bench as it is worked on: its picture, packs that somebody thinks of fitting, and the
//! sheet filled in. What is asked for over and over is asked at the house of the answers, not as a process.

use std::time::{Duration, Instant};

use roxmltree::Node;
use shimcast::document::{Chart, Cloud, Control, ControlKind, FormField};
use shimcast::faces;
use shimcast::files::{BENCH_JOB, Source, load_job};
use shimcast::questions::bench::{OfJob, OnTheBench, filled_sheet, on_the_bench};
use shimcast::questions::context::Failure;

use crate::figures::labelled;
use crate::given::{Folder, has, text_of};
use crate::page::{check, parsed, text};

/// A folder with axles and a job.
fn folder(job: &str) -> Folder {
    let folder = Folder::new("room");
    for name in [
        "rowan-215.axle.toml",
        "rowan-215-inch.axle.toml",
        "sorrel-71.axle.toml",
        "tamarack-88.axle.toml",
    ] {
        folder.file(name, text_of(name).as_bytes());
    }
    folder.file("van.job.toml", job.as_bytes());
    folder
}

fn pairs(typed: &[(&str, &str)]) -> Vec<(String, String)> {
    let own = |(name, typed): &(&str, &str)| ((*name).to_owned(), (*typed).to_owned());
    typed.iter().map(own).collect()
}

fn asked(
    folder: &Folder,
    typed: &[(&str, &str)],
    count: Option<&str>,
) -> Result<OnTheBench, Failure> {
    let job = Source::File(folder.path("van.job.toml"))
        .keep()
        .expect("a job file");
    let have = count.map(|name| folder.path(name));
    on_the_bench(&OfJob {
        job: &job,
        shop: &Source::BuiltIn,
        set: &[],
        anyway: false,
        have: have.as_deref(),
        what_if: &pairs(typed),
        seed: 1,
    })
}

fn on_bench(job: &str, typed: &[(&str, &str)]) -> OnTheBench {
    asked(&folder(job), typed, None).unwrap_or_else(|wrong| panic!("{}", wrong.message()))
}

fn cloud_of(of: &OnTheBench) -> Cloud {
    match of.picture().expect("a picture").chart {
        Chart::Cloud(cloud) => cloud,
        other => panic!("{other:?}"),
    }
}

/// The example without its assemblies.
fn start() -> &'static str {
    let at = BENCH_JOB.text.find("[[assemblies]]").expect("assemblies");
    &BENCH_JOB.text[..at]
}

#[test]
fn the_document_is_that_of_the_command() {
    let folder = folder(BENCH_JOB.text);
    let of = asked(&folder, &[], None).unwrap_or_else(|wrong| panic!("{}", wrong.message()));
    let told = faces::terminal::text(&of.document(), faces::terminal::Paper::endless(false));
    let job = folder.path("van.job.toml");
    let job = job.to_str().expect("text");
    let (code, out, err) = crate::given::run(&["next", job, "--all"]);
    assert_eq!((code, told.as_str()), (0, out.as_str()), "{err}");
    // what merely looks odd stands in the document
    let odd = BENCH_JOB.text.replace("# preload_pack", "preload_pack");
    let doubts = on_bench(&odd, &[]).document().doubts;
    has(
        &doubts[0],
        "van.job.toml, line 14: known.preload_pack has no effect here",
    );
}

#[test]
fn the_picture_shows_where_the_axle_stood_and_stands() {
    let of = on_bench(BENCH_JOB.text, &[("packs.pinion", "0.88")]);
    let figure = of.picture().expect("a picture");
    let cloud = cloud_of(&of);
    assert!(
        (200..=400).contains(&cloud.dots.len()),
        "{}",
        cloud.dots.len()
    );
    assert_eq!(cloud.path.0.len(), 2);
    assert!(cloud.numbered);
    // 0.04 mm less of pinion pack, under the head bearing, stands the pinion that much shallower
    for (dot, moved) in cloud.dots.iter().zip(&cloud.moved.0) {
        assert!((moved[0] - dot.x - 0.04).abs() < 1e-9 && (moved[1] - dot.y).abs() < 1e-9);
    }
    // the belief of the last assembly is where the line ends
    let json = crate::given::json(&["next", "examples/rowan-bench.job.toml", "--json"]);
    let mean = |key: &str| json["belief"][key]["mean"].as_f64().expect("a figure");
    let last = cloud.path.0[1];
    assert!((last[0] - mean("depth")).abs() < 1e-12 && (last[1] - mean("ring")).abs() < 1e-12);
    let all = json["cloud"]["depth"].as_array().expect("draws");
    assert_eq!(all.len(), cloud.dots.len());
    has(
        &figure.finding,
        "that it is right in every window as it sits",
    );
    has(
        &figure.finding,
        "the middle of the cloud goes from -0.069 to -0.029 mm in depth",
    );
    has(&figure.finding, "stays at +0.015 mm in ring position");
    let svg = faces::svg::inline(&figure);
    assert!(svg.len() < 25_000, "{} bytes", svg.len());
    let page = parsed(&svg);
    let drawn = page.root_element();
    labelled(drawn);
    let words: Vec<String> = drawn
        .descendants()
        .filter(|node: &Node<'_, '_>| node.has_tag_name("text"))
        .map(text)
        .collect();
    for wanted in [
        "1",
        "2",
        "its assemblies",
        "with your packs",
        "out of a window",
    ] {
        assert!(
            words.iter().any(|word| word == wanted),
            "{wanted}: {words:?}"
        );
    }
    // for another look: the figure in a page of its own
    if let Some(folder) = std::env::var_os("SHOW_PICTURES") {
        let mut document = of.document();
        document.section("This axle", [figure.into()]);
        let path = std::path::Path::new(&folder).join("this-axle.html");
        std::fs::write(path, faces::html::page(&document)).expect("a page");
    }
}

#[test]
fn before_the_first_assembly_the_best_start_is_shown() {
    let of = on_bench(start(), &[]);
    let cloud = cloud_of(&of);
    assert!(cloud.path.0.is_empty() && cloud.moved.0.is_empty());
    let figure = of.picture().expect("a picture");
    assert_eq!(figure.question, "Where would this axle stand?");
    labelled(parsed(&faces::svg::inline(&figure)).root_element());
    // other packs move it, and zero end play is found again
    let [pinion, ring] = stops(&of, false).try_into().expect("two places to set");
    let other = |field: &Control| {
        let ControlKind::Stops(stops) = &field.kind else {
            panic!("{field:?}");
        };
        let at = stops.iter().position(|(sent, _)| *sent == field.value);
        stops[at.expect("its own stop") + 2].0.clone()
    };
    let typed = [
        ("packs.pinion", other(&pinion)),
        ("packs.ring", other(&ring)),
    ];
    let typed: Vec<(&str, &str)> = typed.iter().map(|(a, b)| (*a, b.as_str())).collect();
    let of = on_bench(start(), &typed);
    let cloud = cloud_of(&of);
    let moved = cloud.moved.0.first().expect("moved");
    let by = |at: usize, field: &Control| {
        let [to, from] = [typed[at].1, &field.value].map(|text| text.parse::<f64>().unwrap());
        from - to
    };
    let dot = &cloud.dots[0];
    assert!((moved[0] - dot.x - by(0, &pinion)).abs() < 1e-6);
    assert!((moved[1] - dot.y - by(1, &ring)).abs() < 1e-6);
    assert!(of.what_if().is_some());
}

/// The fields of packs, without those that hold for themselves.
fn stops(of: &OnTheBench, far: bool) -> Vec<Control> {
    let fields = of.stops().fields.into_iter();
    fields
        .filter(|field| far || field.name != "packs.far")
        .collect()
}

#[test]
fn packs_that_somebody_thinks_of_are_judged_in_the_words_of_the_answer() {
    let folder = folder(BENCH_JOB.text);
    let begun = Instant::now();
    let of = asked(&folder, &[("packs.pinion", "0,88")], None).expect("packs");
    let took = begun.elapsed();
    let [pinion, ring, far] = stops(&of, true).try_into().expect("three places");
    let ControlKind::Stops(sums) = &pinion.kind else {
        panic!("{pinion:?}");
    };
    assert_eq!(pinion.value, "0.88");
    assert!(sums.len() >= 20, "{sums:?}");
    let sum = |sent: &str| &sums.iter().find(|(own, _)| own == sent).expect("a sum").1;
    // what is shown adds up
    let (_, parts) = sum("0.88").split_once(" = ").expect("a sum");
    let total: f64 = parts
        .split(" + ")
        .map(|part| part.parse::<f64>().unwrap())
        .sum();
    assert!((total - 0.88).abs() < 1e-9, "{parts}");
    assert!(sums.is_sorted_by(|(a, _), (b, _)| a.parse::<f64>().unwrap() < b.parse().unwrap()));
    assert_eq!((ring.value.as_str(), far.value.as_str()), ("1.97", ""));
    // the same as `--moves` says, which plays it on from the same figures
    let section = of.what_if().expect("an answer");
    let mut document = shimcast::document::Document::about("x");
    document.sections.push(section);
    let told = faces::terminal::text(&document, faces::terminal::Paper::endless(false));
    has(&told, "Fit 0.88 at the pinion (");
    let row = told
        .lines()
        .find(|line| line.contains("(yours)"))
        .expect("a row");
    let job = folder.path("van.job.toml");
    let arguments = [
        "next",
        job.to_str().unwrap(),
        "--moves",
        "pinion=0.88",
        "--all",
    ];
    let (_, all, _) = crate::given::run(&arguments);
    let theirs = all
        .lines()
        .find(|line| line.contains("(yours)"))
        .expect("a row");
    let figures = |row: &str| {
        row.split_whitespace()
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    assert_eq!(figures(row), figures(theirs), "{told}\n{all}");
    if !cfg!(debug_assertions) {
        assert!(
            took < Duration::from_secs(3),
            "{took:?}, of which others may take a part"
        );
    }
}

#[test]
fn packs_that_can_not_be_built_are_told_at_their_field() {
    let of = on_bench(
        BENCH_JOB.text,
        &[("packs.pinion", "0.883"), ("packs.ring", "1.99")],
    );
    assert!(of.what_if().is_none());
    let fields = stops(&of, true);
    let why = fields[0].problem.as_deref().expect("a problem");
    has(
        why,
        "can't build pinion=0.883 mm: the nearest pack is 0.88 mm",
    );
    assert_eq!(
        (fields[0].value.as_str(), &fields[1].problem),
        ("0.883", &None)
    );
    let of = on_bench(BENCH_JOB.text, &[("packs.ring", "wide")]);
    has(
        stops(&of, true)[1].problem.as_deref().unwrap(),
        "`wide` is no figure",
    );
    let of = on_bench(start(), &[("packs.ring", "1.99")]);
    has(
        stops(&of, true)[0].problem.as_deref().unwrap(),
        "nothing is fitted yet",
    );
    // those that stand are no other ones
    let of = on_bench(BENCH_JOB.text, &[("packs.pinion", "0.92")]);
    let blocks = of.what_if().expect("an answer").blocks;
    has(
        &format!("{:?}", blocks[0]),
        "These packs are fitted already; 62 %",
    );
}

#[test]
fn a_counted_drawer_holds_the_fields_to_what_it_can_build() {
    let folder = folder(BENCH_JOB.text);
    let mut count = "series,size,count\n".to_owned();
    for size in ["0.30", "0.50"] {
        count.push_str(&format!("P-38,{size},1\n"));
    }
    folder.file("count.csv", count.as_bytes());
    let begun = Instant::now();
    let of = asked(&folder, &[], Some("count.csv")).unwrap_or_else(|e| panic!("{}", e.message()));
    println!("next of a counted drawer: {:?}", begun.elapsed());
    let begun = Instant::now();
    assert_eq!(of.stops().fields.len(), 3);
    println!("its fields: {:?}", begun.elapsed());
    let ControlKind::Stops(sums) = &stops(&of, true)[0].kind else {
        panic!("stops");
    };
    let all = asked(&folder, &[], None).unwrap_or_else(|e| panic!("{}", e.message()));
    let ControlKind::Stops(every) = &stops(&all, true)[0].kind else {
        panic!("stops");
    };
    let has_sum = |sums: &[(String, String)], sum: &str| sums.iter().any(|(sent, _)| sent == sum);
    // 0.30 and 0.50 are there, and the shims of 0.92 that come out
    assert!(has_sum(sums, "0.8") && has_sum(sums, "0.92"), "{sums:?}");
    assert!(!has_sum(sums, "0.88") && has_sum(every, "0.88"), "{sums:?}");
}

/// The boxes of a line of the sheet: label and what stands in it.
fn boxes(form: &shimcast::document::Form, name: &str) -> Vec<(String, String)> {
    let lines = form.parts.iter().flat_map(|part| &part.lines);
    let line = lines.into_iter().find(|line| line.name == name);
    let fields = line
        .unwrap_or_else(|| panic!("no line {name}"))
        .fields
        .iter();
    fields
        .filter_map(|field| match field {
            FormField::Reading(label, inside) | FormField::Words(label, inside) => {
                Some((label.clone(), inside.clone()))
            }
            FormField::Tooth(label, Some((_, words))) => Some((label.clone(), words.clone())),
            _ => None,
        })
        .collect()
}

fn filled(job: &str, shop: &Source) -> shimcast::document::Form {
    let folder = folder(job);
    let job = load_job(&folder.path("van.job.toml"), shop, &[]).unwrap_or_else(|e| panic!("{e}"));
    filled_sheet(&job).unwrap_or_else(|e| panic!("{e}"))
}

#[test]
fn the_sheet_has_in_its_boxes_what_the_job_states() {
    let text = format!(
        "{}\n[[assemblies]]\non = \"real bearings\"\nzero_total = 3.94\npinion = 0.88\nring = 1.97\n\
         far = 2.14\nbacklash = [0.16, 0.17, 0.17, 0.15, 0.16]\ndrive = 0.05\ntorque = [1.2, 2.05]\n\n\
         [done]\nverdict = \"accepted\"\ndate = 2031-04-09\n",
        BENCH_JOB.text
    );
    let form = filled(&text, &Source::BuiltIn);
    assert_eq!(form.above[0], ("Job", "Blue van, rear".to_owned()));
    assert_eq!(form.below[3], ("Date", "2031-04-09".to_owned()));
    let inside = |name: &str| -> Vec<String> {
        let all = boxes(&form, name).into_iter();
        all.map(|(_, inside)| inside).collect()
    };
    assert_eq!(inside("Gear set"), ["", "", "-0.02", "+0.05"]);
    assert_eq!(inside("Pinion pack")[..3], ["0.94", "-0.02", "+0.05"]);
    assert_eq!(inside("Pinion pack").last().unwrap(), "0.87");
    assert_eq!(inside("Both sides")[0], "3.93");
    assert_eq!(inside("Ring-gear side")[0], "1.98");
    let first = boxes(&form, "No. 1");
    let pair = |label: &str, inside: &str| (label.to_owned(), inside.to_owned());
    for wanted in [
        pair("drive side", "15 % toward top"),
        pair("coast side", "centred"),
        pair("backlash 1", "0.15"),
        pair("4", "0.15"),
        pair("varies by", "0.03"),
        pair(
            "move what, how far",
            "pinion +0.05, ring side -0.02, far side +0.02",
        ),
        pair("pinion", "0.92"),
        pair("ring side", "1.97"),
        pair("far side", "2.14"),
    ] {
        assert!(first.contains(&wanted), "{wanted:?}: {first:?}");
    }
    let second = boxes(&form, "No. 2");
    assert!(second.contains(&pair("move what, how far", "pinion -0.04, real bearings")));
    // five readings where the shop takes four
    let third = boxes(&form, "No. 3");
    assert!(third.contains(&pair("5", "0.16")) && third.contains(&pair("pinion", "")));
    assert_eq!(inside("First sleeve")[..3], ["1.20", "2.05", ""]);
    assert_eq!(inside("Second sleeve")[0], "");
    let last = boxes(&form, "Readings");
    for wanted in [
        pair("backlash 1", "0.16"),
        pair("pinion torque", "2.05"),
        pair("zero end play", "3.94"),
        pair("side preload", "0.17"),
    ] {
        assert!(last.contains(&wanted), "{wanted:?}: {last:?}");
    }
    assert_eq!(inside("Pattern"), ["5 % toward top", "accepted"]);
    let page = faces::form::page(&form);
    check(&page);
    has(&page, "<span class=\"box\">0.94</span>");
    if let Some(folder) = std::env::var_os("SHOW_PICTURES") {
        let path = std::path::Path::new(&folder).join("sheet.html");
        std::fs::write(path, &page).expect("a page");
    }
    // without an end there are no final values, and a seventh assembly has a line too
    let more = "\n[[assemblies]]\npinion = 0.88\nring = 1.97\nfar = 2.14\n".repeat(5);
    let form = filled(&format!("{}{more}", BENCH_JOB.text), &Source::BuiltIn);
    assert_eq!(boxes(&form, "Readings")[0].1, "");
    assert!(!boxes(&form, "No. 7").is_empty());
}

#[test]
fn adjusters_and_spacers_are_filled_in_too() {
    let folder = Folder::new("adjusters");
    let shop = folder.file("quay.shop.toml", text_of("quay-lane.shop.toml").as_bytes());
    let travel = "axle = \"tamarack-88.axle.toml\"\n[[assemblies]]\npinion = 0.90\nring = 0.0\nfar = 0.0\n\
                  rise = 0.4\n[[assemblies]]\npinion = 0.90\nring = 0.0508\nfar = -0.0508\n";
    let form = filled(travel, &shop);
    let first = boxes(&form, "No. 1");
    let notches: Vec<&str> = first[first.len() - 2..]
        .iter()
        .map(|(_, of)| of.as_str())
        .collect();
    assert_eq!(notches, ["+2", "-2"], "{first:?}");
    let spacer = "axle = \"sorrel-71.axle.toml\"\n[known]\npreload_pack = 0.045\n[[assemblies]]\n\
                  on = \"real bearings\"\npinion = 0.040\nring = 0.080\nfar = 0.080\n\
                  preload = [0.044, 0.046]\ntorque = [15.0, 18.0]\n";
    let form = filled(spacer, &Source::BuiltIn);
    let packs = boxes(&form, "Spacer packs");
    assert_eq!(
        (packs[0].1.as_str(), packs[1].1.as_str()),
        ("0.044", "0.046")
    );
    assert_eq!(boxes(&form, "Torques")[1].1, "18.0");
    assert_eq!(boxes(&form, "Spacer pack")[0].1, "0.045");
}
