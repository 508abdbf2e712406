//! Jobs that are given up or clearly out are told of wherever something is made of them.

use crate::given::{answer, estimate, has, json, list, run};

/// Words that claim that something is better or worse as a whole.
const CLAIMS: [&str; 6] = [
    "cheaper",
    "dearer",
    "saved a job",
    "quicker",
    "slower",
    "save most",
];

/// Of every line that claims anything, that it tells of jobs given up as well.
fn no_claim_without_jobs_given_up(text: &str, at_least: usize) {
    let claims: Vec<&str> = text
        .lines()
        .filter(|line| CLAIMS.iter().any(|claim| line.contains(claim)))
        .collect();
    assert!(claims.len() >= at_least, "{text}");
    for line in claims {
        assert!(line.contains("jobs are given up"), "{line}");
    }
}

/// False-alarm rate: none; 14 of 100 jobs are given up, or 41.
#[test]
fn nothing_is_cheaper_without_a_word_on_jobs_given_up() {
    let hasty = "hasty: bench.most_assemblies=2, prices.given_up=0";
    let asked = ["--rebuilds", "4096"];
    let compared = answer(
        &[
            &["compare", "--way", hasty, "--costs", "hasty=50"],
            &asked[..],
        ]
        .concat(),
    );
    no_claim_without_jobs_given_up(&compared, 3);
    has(&compared, "cheaper, but more jobs are given up");
    has(&compared, "quicker, but more jobs are given up");
    has(&compared, "saved a job");
    let compared = json(&[&["compare", "--way", hasty, "--json"], &asked[..]].concat());
    let money = list(&compared["differences"]).last().expect("money");
    assert_eq!(money["verdict"], "cheaper, but more jobs are given up");

    let key = "bench.most_assemblies=4..2";
    let free = ["--set", "prices.given_up=0"];
    let swept = answer(&[&["sweep", key], &free[..], &asked[..]].concat());
    no_claim_without_jobs_given_up(&swept, 2);
    has(&swept, "finished at all");
}

/// Less spread, fewer jobs given up: what is saved is partly that.
#[test]
fn what_halving_saves_tells_of_jobs_given_up() {
    let hasty = ["--set", "bench.most_assemblies=3", "--rebuilds", "4096"];
    let causes = answer(&[&["causes"], &hasty[..]].concat());
    let buys = causes.split("What would it buy").nth(1).expect("a section");
    let head = buys.lines().find(|line| line.starts_with("  halved "));
    let head = head.expect("a head");
    assert!(
        head.contains("finished") && head.contains("clearly out"),
        "{head}"
    );
    has(buys, "Jobs given up count under \"finished\"");
    let causes = json(&[&["causes", "--json"], &hasty[..]].concat());
    let pattern = &list(&causes["halved"])[0];
    assert_eq!(pattern["key"], "instruments.pattern");
    assert_eq!(pattern["verdict"], "cheaper, and fewer jobs are given up");

    let page = answer(
        &[
            &["report", "--for", "student", "--no-stock", "-o", "-"],
            &hasty[..],
        ]
        .concat(),
    );
    let finding = page
        .lines()
        .find(|line| line.contains("Halved one at a time, these save most"))
        .expect("a finding");
    has(finding, "and fewer jobs are given up");
    has(&page, "reading the pattern (fewer jobs given up)");
}

/// The rows of what a job costs, as printed, are what stands under them.
#[test]
fn the_printed_costs_add_up() {
    let rows = |arguments: &[&str]| -> Vec<(String, i64)> {
        let text = answer(arguments);
        let table = text.split("What a job costs the shop").nth(1).expect("it");
        let rows = table.lines().skip(2).map(|line| {
            let mut cells = line.trim().split("  ").filter(|cell| !cell.is_empty());
            let name = cells.next().expect("a name").to_owned();
            let figure = cells.next().map(|cell| cell.trim().parse::<f64>());
            let figure = figure.and_then(Result::ok);
            figure.map(|figure| (name, (100.0 * figure).round() as i64))
        });
        rows.map_while(|row| row).collect()
    };
    let adjusters = ["--set", "side_shims.seat=screw adjusters"];
    let flange = [
        "examples/tamarack-88.axle.toml",
        "--shop",
        "examples/quay-lane.shop.toml",
    ];
    for (arguments, rebuilds, cones, given_up) in [
        (&["--set", "bench.guard=0"][..], "20000", true, false),
        (&["--set", "bench.most_assemblies=3"], "4096", true, true),
        (&["--set", "bench.most_assemblies=3"], "100", true, true),
        (&adjusters, "300", true, false),
        (&["examples/sorrel-71.axle.toml"], "5000", true, false),
        (&flange, "5000", false, false),
    ] {
        let asked = [&["quote", "--no-stock", "--rebuilds", rebuilds], arguments].concat();
        let rows = rows(&asked);
        let (together, parts) = rows.split_last().expect("rows");
        assert_eq!(together.0, "together");
        let sum: i64 = parts.iter().map(|(_, figure)| figure).sum();
        assert_eq!(sum, together.1, "{rows:?}");
        let named = |name: &str| parts.iter().any(|(own, _)| own == name);
        assert_eq!(named("expected cones"), cones, "{arguments:?}");
        assert_eq!(named("jobs given up"), given_up, "{arguments:?}");
    }
}

#[test]
fn an_hour_is_charged_at_one_price_and_costs_another() {
    let text = answer(&["quote", "--no-stock", "--rebuilds", "300"]);
    has(&text, "92 an hour, as charged");
    has(
        &text,
        "An hour is taken to cost the shop the 92 that it charges",
    );
    let own = [
        "quote",
        "--no-stock",
        "--rebuilds",
        "300",
        "--set",
        "prices.hour_cost=60",
    ];
    let text = answer(&own);
    has(&text, "60 an hour to the shop");
    has(
        &text,
        "An hour is charged at 92 (prices.hour) and costs the shop 60",
    );
    has(&text, "at 92 an hour, as charged");
    // the price is the same, the gain larger
    let quote = |arguments: &[&str]| json(&[arguments, &["--json"]].concat());
    let (charged, costs) = (
        quote(&["quote", "--no-stock", "--rebuilds", "300"]),
        quote(&own),
    );
    assert_eq!(charged["recommend"]["price"], costs["recommend"]["price"]);
    let gain = |quote: &serde_json::Value| estimate(&quote["recommend"]["gain"])[1];
    let hours = estimate(&costs["hours"]["mean"])[1];
    assert!((gain(&costs) - gain(&charged) - 32.0 * hours).abs() < 1e-6);
}

/// Every answer that tells of jobs wrongly passed says how many are clearly out, and what that is.
#[test]
fn clearly_out_is_told_and_explained() {
    let asked = ["--rebuilds", "3000"];
    let meaning = "outside a window by more than one graduation of the instrument that reads it";
    let one_line = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for command in [
        &["odds"][..],
        &["quote"],
        &["causes"],
        &["compare", "--way", "gauge: bench.pinion_start=gauge"],
        &["sweep", "bench.guard=0..0.1:1"],
        &["report", "--for", "student", "--no-stock", "-o", "-"],
    ] {
        let text = one_line(&answer(&[command, &asked[..]].concat()));
        has(&text.to_lowercase(), "clearly out");
        has(&text, meaning);
    }
    // other graduations, another yardstick
    let finer = "finer: instruments.dial.step=0.005";
    let text = one_line(&answer(
        &[&["compare", "--way", finer], &asked[..]].concat(),
    ));
    has(&text, "Graduations are not the same here");
    // a figure of points, of ways and of differences
    let swept = json(&[&["sweep", "bench.guard=0..0.1:1", "--json"], &asked[..]].concat());
    let points = list(&swept["points"]);
    estimate(&points[0]["clearly_out"]);
    estimate(&points[1]["against_first"]["clearly_out"]);
    let odds = json(&[&["odds", "--json"], &asked[..]].concat());
    assert_eq!(points[0]["clearly_out"], odds["handed_over"]["clearly_out"]);
}

#[test]
fn habits_and_prices_far_off_are_doubted() {
    for (set, words) in [
        ("bench.guard=0.4", "bench.guard is 0.4;"),
        ("bench.cone_spoiled=0.6", "bench.cone_spoiled is 0.6;"),
        ("prices.cone=3800", "prices.cone is 3800 EUR"),
        ("prices.given_up=25000", "prices.given_up is 25000 EUR"),
        ("prices.given_up=2.5", "prices.given_up is 2.5 EUR"),
        (
            "prices.hour_cost=120",
            "prices.hour_cost is 120, prices.hour 92 EUR",
        ),
    ] {
        let told = answer(&["odds", "--rebuilds", "50", "--set", set]);
        has(&told, "\nLooks wrong: ");
        has(&told.replace("\n  ", " "), words);
        let (code, checked, _) = run(&["check", "--all", "--set", set]);
        assert_eq!(code, 1, "{set}");
        has(&checked, words);
    }
    for set in ["prices.cone=0", "prices.given_up=0", "prices.hour=0"] {
        let told = answer(&["odds", "--rebuilds", "50", "--set", set]);
        assert!(!told.contains("Looks wrong"), "{set}: {told}");
    }
}

#[test]
fn check_tells_what_counts_in_money_and_what_readings_are_held_to() {
    let text = answer(&["check", "--set", "bench.guard=0.1"]);
    has(&text, "backlash 0.137 to 0.193 mm");
    has(
        &text,
        "420 EUR; 25 % of the jobs handed over clearly out come back",
    );
    has(&text, "250 EUR beside its hours, after 12 assemblies");
    assert!(!answer(&["check"]).contains("What the shop accepts"));
}
