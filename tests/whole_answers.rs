//! Whole answers as they were last looked at: text, JSON and CSV of every command, and the page.
//! Where a change is meant, run these tests once with `UPDATE_ANSWERS=1` in the environment and look
//! at what `git diff` shows.

use std::path::Path;

use crate::demo;
use crate::given::{answer, answer_once, words};

/// Holds what a run gave against what is kept of it.
fn hold(name: &str, of: &str, now: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/answers")
        .join(name);
    if std::env::var_os("UPDATE_ANSWERS").is_some() {
        std::fs::write(&path, now).expect("the answer is written");
    }
    let before = std::fs::read_to_string(&path).unwrap_or_default();
    let differs = before.lines().zip(now.lines()).position(|(a, b)| a != b);
    let line = differs.unwrap_or_else(|| before.lines().count().min(now.lines().count()));
    let at = |text: &str| text.lines().nth(line).unwrap_or("(nothing)").to_owned();
    assert!(
        now == before,
        "{of} no longer gives {}, from line {}:\n  before {}\n  now    {}",
        path.display(),
        line + 1,
        at(&before),
        at(now),
    );
}

fn holds(name: &str, line: &str, ways: &[(&str, &str)]) {
    let name = name.replace('_', "-");
    for (ending, options) in ways {
        let line = format!("{line} {options}");
        let arguments = words(&line);
        let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
        let now = answer_once(&arguments);
        if *ending == "first.txt" {
            let widest = now.lines().map(|line| line.chars().count()).max();
            assert!(now.lines().count() <= 22 && widest <= Some(80), "{now}");
        }
        hold(&format!("{name}.{ending}"), &line, &now);
    }
}

const FIRST: (&str, &str) = ("first.txt", "");
const ALL: (&str, &str) = ("txt", "--all");
const TEXT: &[(&str, &str)] = &[FIRST, ALL];
const TEXT_AND_JSON: &[(&str, &str)] = &[FIRST, ALL, ("json", "--json")];
const TEXT_JSON_AND_CSV: &[(&str, &str)] = &[FIRST, ALL, ("json", "--json"), ("csv", "--csv -")];

macro_rules! answers {
    ($($name:ident, $ways:ident, $line:literal;)*) => {
        $(
            #[test]
            fn $name() {
                holds(stringify!($name), $line, $ways);
            }
        )*
    };
}

answers! {
    odds_rowan, TEXT_AND_JSON, "odds --rebuilds 20000";
    odds_sorrel_kept, TEXT_AND_JSON,
        "odds examples/sorrel-71.axle.toml --gears kept --rebuilds 20000";
    odds_tamarack, TEXT_AND_JSON,
        "odds examples/tamarack-88.axle.toml --shop examples/quay-lane.shop.toml --rebuilds 8000";
    odds_short, TEXT, "odds examples/short.axle.toml --rebuilds 100";
    odds_of_few, TEXT, "odds --rebuilds 5";

    learn_rowan, TEXT_AND_JSON,
        "learn examples/rowan-215.axle.toml --jobs examples/jobs --shop examples/north-bench.shop.toml";

    check_rowan, TEXT, "check";
    check_sorrel, TEXT, "check examples/sorrel-71.axle.toml";
    check_tamarack, TEXT,
        "check examples/tamarack-88.axle.toml --shop examples/quay-lane.shop.toml";
    check_wrong, TEXT,
        "check --set \"windows.backlash=[0.001, 0.010]\" --set \"shims.P-38.sizes=[0.5, 1.0]\" \
         --set bench.ring_belief=0.5 --set \"instruments.dial.indicator=square to the tooth\" \
         --set housing.far_seat.nominal=88.0 --set gears.mounting_distance=92.04";

    quote_rowan, TEXT_AND_JSON, "quote --rebuilds 8000";
    quote_terms, TEXT_AND_JSON,
        "quote examples/sorrel-71.axle.toml --rebuilds 4000 --risk 10 --margin 15 --tax 20 \
         --gear-price 480 --bearing-price 260 --jobs-a-year 40 --gears kept";
    quote_given_up, TEXT,
        "quote --rebuilds 4000 --set bench.most_assemblies=2 --set prices.given_up=900";

    compare_gauge, TEXT_AND_JSON,
        "compare --way \"gauge: bench.pinion_start=gauge\" --costs gauge=650 --rebuilds 8000";
    compare_three, TEXT_AND_JSON,
        "compare --way \"now:\" --way \"slow strip: minutes.strip=[100, 140, 200]\" \
         --way \"no set-up bearings: bench.setup_bearings=false\" --rebuilds 4000";
    compare_home, TEXT,
        "compare --way \"workshop:\" --way \"at home: shop=examples/home-garage.shop.toml\" \
         --rebuilds 4000";

    causes_rowan, TEXT_AND_JSON, "causes --rebuilds 2000";
    causes_sorrel, TEXT_AND_JSON, "causes examples/sorrel-71.axle.toml --rebuilds 1000";

    sweep_dial, TEXT_JSON_AND_CSV, "sweep instruments.dial.sigma=0..0.02 --rebuilds 4000";
    sweep_points, TEXT_JSON_AND_CSV,
        "sweep bench.backlash_points=1..4 --rebuilds 2000";
    sweep_two, TEXT_JSON_AND_CSV,
        "sweep bench.ring_belief=0.6..1.1:3 instruments.dial.sigma=0..0.02:3 --rebuilds 2000";

    follow_first, TEXT_AND_JSON, "follow";
    follow_sorrel, TEXT_AND_JSON,
        "follow examples/sorrel-71.axle.toml --find compromise --seed 3";
    follow_wrong, TEXT, "follow --find wrongly-passed";
    follow_given_up, TEXT, "follow --find given-up --set bench.most_assemblies=3";

    next_rowan, TEXT_AND_JSON, "next examples/rowan-bench.job.toml";

    ratio_tyres, TEXT_AND_JSON, "ratio --ratio 41/11 --old-tyre 235/75R15 --new-tyre 31in";
    ratio_speed, TEXT_AND_JSON,
        "ratio --ratio 3.73 --new-tyre 785mm --spread 1 --speed 100km/h --gearbox 1,0.8";
    ratio_pairs, TEXT_AND_JSON,
        "ratio examples/sorrel-71.axle.toml --target 4.3 --pairs examples/gear-sets.csv \
         --other-axle 40/9";

    stock_rowan, TEXT_JSON_AND_CSV, "stock";
    kit_ten, TEXT_JSON_AND_CSV, "kit --jobs 10";
}

#[test]
fn page() {
    let line = demo::PAGE.join(" ");
    let page = demo::page();
    hold("page-student.html", &line, &page.html);
    let shop = ["report", "--rebuilds", "2000", "--no-stock", "-o", "-"];
    hold("page.html", &shop.join(" "), &answer(&shop));
    let offer = "report --for customer --rebuilds 2000 --tax 20 --gear-price 480 -o -";
    hold(
        "page-customer.html",
        offer,
        &answer(&words(offer).iter().map(String::as_str).collect::<Vec<_>>()),
    );
    let sheet = ["report", "--sheet", "-o", "-"];
    hold("sheet.html", &sheet.join(" "), &answer(&sheet));
    // one file of all tables, each behind its name
    let mut all = String::new();
    for (name, text) in &page.tables {
        // single rebuilds: the first ones are enough
        let rows: Vec<&str> = text.lines().take(60).collect();
        all.push_str(&format!("== {name}\n{}\n", rows.join("\n")));
    }
    hold("tables.csv", &line, &all);
}
