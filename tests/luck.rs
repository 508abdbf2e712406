//! What a quote says of a year, of jobs that are not to be quoted, of parts and of the other kind of
//! preload, asked of the program as a process.

use serde_json::Value;

use crate::given::{Folder, answer, estimate, has, json, list, number, refused, run};
use crate::page::{named, parsed, text as text_of};
use crate::report_files::rows;

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Figures in 0 … 1 (Marsaglia's xorshift).
struct Other(u64);

impl Other {
    fn uniform(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A Poisson figure, by the waiting times between its events.
    fn poisson(&mut self, mean: f64) -> usize {
        let mut waited = 0.0;
        let mut events = 0;
        loop {
            waited -= (1.0 - self.uniform()).ln();
            if waited > mean {
                return events;
            }
            events += 1;
        }
    }
}

/// The band and the chance of a losing year again, from the single rebuilds that the program writes.
/// Costs there hold returns at what they cost on average, so prices have none here.
///
/// False-alarm rate: 4.5 standard errors, once in 150 000 for each share.
#[test]
fn a_year_is_that_of_the_single_rebuilds() {
    let folder = Folder::new("luck");
    let path = folder.path("rebuilds.csv");
    let csv = path.to_str().expect("text");
    let set = ["--set", "prices.comeback=0"];
    let sampled = ["odds", "--rebuilds", "10", "--sample", "8000", "--csv", csv];
    answer(&[&sampled[..], &set].concat());
    let costs: Vec<f64> = rows(&path)
        .iter()
        .map(|row| row["cost_EUR"].parse().expect("a number"))
        .collect();
    assert_eq!(costs.len(), 8000);
    let asked = ["quote", "--no-stock", "--rebuilds", "8000", "--json"];
    let quote = json(&[&asked[..], &set].concat());
    assert_eq!(number(&quote["finished"]["value"]), 1.0);
    let mut other = Other(0x9e37_1234_5678_9abd);
    for hours in [8.25, 8.5] {
        let flat = list(&quote["flat"])
            .iter()
            .find(|flat| number(&flat["hours"]) == hours)
            .expect("such hours");
        let year = &flat["year"];
        assert_eq!(number(&year["jobs"]), 72.0);
        let price = number(&flat["price"]);
        const YEARS: usize = 20_000;
        let gains: Vec<f64> = (0..YEARS)
            .map(|_| {
                let jobs = other.poisson(72.0);
                let cost = |_| costs[(other.uniform() * costs.len() as f64) as usize];
                (0..jobs).map(cost).map(|cost| price - cost).sum()
            })
            .collect();
        let below =
            |limit: f64| gains.iter().filter(|gain| **gain < limit).count() as f64 / YEARS as f64;
        let near = |share: f64, limit: f64, what: &str| {
            let error = 4.5 * (share * (1.0 - share) / YEARS as f64).sqrt() + 1e-3;
            assert!((below(limit) - share).abs() < error, "{hours}, {what}");
        };
        let [_, losing, _] = estimate(&year["losing"]);
        near(losing, 0.0, "losing years");
        // the band is 0.5 % wider for what 8000 rebuilds leave open
        near(0.025, number(&year["band"]["low"]), "the band's lower end");
        near(0.975, number(&year["band"]["high"]), "the band's upper end");
    }
    // the mean pays long before most years do
    let pays = &quote["pays_from"];
    assert!(number(&pays["on_average"]) < number(&pays["in_19_of_20_years"]));
    let at = |hours: f64| -> &Value {
        let flats = list(&quote["flat"]).iter();
        let mut flats = flats.filter(|flat| number(&flat["hours"]) == hours);
        &flats.next().expect("such hours")["year"]
    };
    let hours = number(&pays["in_19_of_20_years"]);
    assert!(estimate(&at(hours)["losing"])[2] < 0.05);
    assert!(estimate(&at(hours - 0.25)["losing"])[2] >= 0.05);
}

#[test]
fn the_first_screen_tells_a_years_luck() {
    let (code, screen, _) = run(&["quote", "--rebuilds", "20000"]);
    assert_eq!(code, 0);
    assert!(screen.lines().count() <= 22, "{screen}");
    let said = one_line(&screen);
    let quote = json(&["quote", "--rebuilds", "20000", "--json"]);
    let year = &quote["year"];
    let tens = |end: &str| {
        let figure = number(&year["band"][end]);
        format!("{:+.0}", 100.0 * (figure / 100.0).round())
    };
    has(
        &said,
        &format!("95 of 100 years bring {} to {}", tens("low"), tens("high")),
    );
    has(&said, "Losing years fewer than 1 in 1000");
    let [mean, years] = ["on_average", "in_19_of_20_years"].map(|key| {
        let hours = number(&quote["pays_from"][key]);
        format!("{hours:.2}")
    });
    has(
        &said,
        &format!("Pays on average from {mean} flat hours, in 19 of 20 years from {years}"),
    );
    let felt = number(&quote["felt_after_jobs"]["value"]);
    has(&said, &format!("Luck evens out after {felt} jobs"));
    // a year of few jobs loses more often, and a price at the mean many a year
    let share = |more: &[&str]| {
        let asked = ["quote", "--no-stock", "--rebuilds", "8000", "--json"];
        estimate(&json(&[&asked[..], more].concat())["year"]["losing"])[1]
    };
    assert!(share(&["--jobs-a-year", "4"]) > 0.02);
    assert!(share(&["--risk", "42"]) > 0.2);
    // the same on any number of threads
    let on = |threads| {
        answer(&[
            "quote",
            "--no-stock",
            "--rebuilds",
            "8000",
            "--threads",
            threads,
        ])
    };
    assert_eq!(on("1"), on("3"));
}

#[test]
fn without_jobs_there_is_no_year_and_few_rebuilds_do_not_say() {
    let said = one_line(&answer(&[
        "quote",
        "--rebuilds",
        "300",
        "--jobs-a-year",
        "0",
    ]));
    has(&said, "Over a year no such jobs");
    let said = one_line(&answer(&["quote", "--rebuilds", "60"]));
    for what in ["Over a year", "Pays", "Luck evens out"] {
        has(&said, &format!("{what} too few rebuilds to say"));
    }
    let quote = json(&["quote", "--rebuilds", "60", "--json"]);
    assert!(quote["year"].is_null() && quote["felt_after_jobs"].is_null());
    assert!(quote["quoted"] == true && quote["not_quoted"].is_null());
}

/// A screen of rows, with those that matter among them however the steps fall.
#[test]
fn the_table_of_flat_hours_is_a_screen() {
    let home = [
        "--shop",
        "examples/home-garage.shop.toml",
        "--set",
        "prices.hour=20",
    ];
    let home: Vec<&str> = [&home[..], &["--jobs-a-year", "10"]].concat();
    for more in [&[][..], &["--risk", "3"], &["--risk", "94"], &home] {
        let asked = [&["quote", "--no-stock", "--rebuilds", "8000"], more].concat();
        let text = answer(&asked);
        let rows: Vec<&str> = text
            .lines()
            .skip_while(|line| !line.trim_start().starts_with("flat hours  "))
            .skip(1)
            .take_while(|line| !line.starts_with("  Gains ") && !line.starts_with("  Jobs "))
            .collect();
        assert!((8..=16).contains(&rows.len()), "{asked:?}: {rows:#?}");
        let marked = |mark: &str| -> f64 {
            let row = rows.iter().find(|row| row.contains(mark));
            let row = row.unwrap_or_else(|| panic!("{asked:?}: no {mark} in {rows:#?}"));
            let hours = row.split_whitespace().next().expect("hours");
            hours.parse().expect("a number")
        };
        let quote = json(&[&asked[..], &["--json"]].concat());
        assert_eq!(marked("to quote"), number(&quote["recommend"]["hours"]));
        let pays = &quote["pays_from"];
        assert_eq!(marked("pays on average"), number(&pays["on_average"]));
        assert_eq!(marked("in 19 of 20"), number(&pays["in_19_of_20_years"]));
        // other programs get every quarter hour
        assert!(list(&quote["flat"]).len() >= rows.len() - 3);
    }
}

#[test]
fn a_job_that_never_comes_right_is_not_quoted() {
    let pattern = ["--set", "windows.pattern.profile=0.001", "--anyway"];
    let asked = [&["quote", "--no-stock", "--rebuilds", "4000"], &pattern[..]].concat();
    let (code, screen, _) = run(&asked);
    assert_eq!(code, 1);
    let said = one_line(&screen);
    has(&said, "don't quote this: the pattern window is ");
    has(
        &said,
        "A job is quoted where at least half of such jobs are finished",
    );
    for word in ["flat hours,", "Expected gain", "before tax"] {
        assert!(!said.contains(word), "{word}: {said}");
    }
    let (code, text, _) = run(&[&asked[..], &["--json"]].concat());
    assert_eq!(code, 1);
    let quote: Value = serde_json::from_str(&text).expect("one object");
    assert_eq!(quote["quoted"], false);
    assert!(quote["recommend"].is_null() && quote["year"].is_null());
    assert!(quote["pays_from"]["on_average"].is_null());
    let windows = list(&quote["not_quoted"]["windows"]);
    assert_eq!(windows.len(), 1);
    assert_eq!(windows[0]["window"], "pattern");
    assert!(estimate(&windows[0]["share"])[1] < 0.01);
    // most are given up
    let soon = [
        "quote",
        "--rebuilds",
        "4000",
        "--set",
        "bench.most_assemblies=1",
    ];
    let (code, screen, _) = run(&soon);
    assert_eq!(code, 1);
    has(&one_line(&screen), "of jobs are given up; the ");
    // a page says so as well, and a customer gets none
    let page = [
        &["report", "--rebuilds", "4000", "--no-stock", "-o", "-"],
        &pattern[..],
    ];
    has(
        &answer(&page.concat()),
        "Don&#39;t quote this: the pattern window",
    );
    let offer = [
        "report",
        "--for",
        "customer",
        "-o",
        "-",
        "--rebuilds",
        "4000",
    ];
    let told = refused(&[&offer[..], &pattern].concat(), 1);
    has(
        &told,
        "no page for a customer: Don't quote this: the pattern window",
    );
    // what seldom comes right is quoted all the same: here 6 in 100
    let home = [
        "quote",
        "--rebuilds",
        "4000",
        "--shop",
        "examples/home-garage.shop.toml",
    ];
    assert_eq!(run(&home).0, 0);
}

#[test]
fn parts_are_charged_with_what_is_put_on_them() {
    let parts = [
        "--gear-price",
        "480",
        "--bearing-price",
        "200",
        "--tax",
        "20",
    ];
    let asked = [
        &["quote", "--no-stock", "--rebuilds", "8000", "--json"],
        &parts[..],
    ]
    .concat();
    let at_cost = json(&asked);
    let marked_up = json(&[&asked[..], &["--parts-margin", "15"]].concat());
    let figure = |quote: &Value, key: &str| number(&quote["recommend"][key]);
    let more = figure(&marked_up, "price") - figure(&at_cost, "price");
    assert!((more - 102.0).abs() < 1e-9, "{more}");
    let taxed = figure(&marked_up, "price_with_tax") - figure(&at_cost, "price_with_tax");
    assert!((taxed - 122.4).abs() < 1e-9, "{taxed}");
    let gain = |quote: &Value| estimate(&quote["recommend"]["gain"])[1];
    // every job of these is finished, and paid
    assert_eq!(estimate(&at_cost["finished"])[1], 1.0);
    assert!((gain(&marked_up) - gain(&at_cost) - 102.0).abs() < 1e-9);
    assert_eq!(marked_up["terms"]["parts_margin"], 0.15);
    assert_eq!(marked_up["terms"]["parts_charged"], 782.0);
    // what is kept is not charged
    let charged: Vec<f64> = list(&marked_up["choices"])
        .iter()
        .map(|choice| number(&choice["parts_charged"]))
        .collect();
    assert_eq!(charged, [0.0, 230.0, 552.0, 782.0]);
    let terms = [&parts[..], &["--parts-margin", "15", "--rebuilds", "2000"]].concat();
    let text = one_line(&answer(&[&["quote"], &terms[..]].concat()));
    has(
        &text,
        "parts 680 at what they cost the shop put on the parts 102 15 %",
    );
    // the customer sees what is charged, and nothing of the rest
    let offer = ["report", "--for", "customer", "-o", "-"];
    let html = answer(&[&offer[..], &terms].concat());
    has(&html, "552 EUR");
    has(&html, "230 EUR");
    let tree = parsed(&html);
    let told = text_of(named(&tree, &["body"])[0]);
    for word in ["480", "15 %", "margin", "put on"] {
        assert!(!told.contains(word), "{word}: {told}");
    }
    let shop = answer(&[&["report", "--no-stock", "-o", "-"], &terms[..]].concat());
    has(&shop, "782 EUR of parts (15 % put on what they cost)");
    has(
        &refused(&["quote", "--parts-margin=-5"], 2),
        "--parts-margin",
    );
    has(
        &refused(&["quote", "--parts-margin", "much"], 2),
        "percent of what parts cost",
    );
}

/// The rows with the other kind of preload are those of files that state it.
#[test]
fn the_other_kind_of_preload_is_that_of_a_file_that_has_it() {
    let asked = ["quote", "--no-stock", "--rebuilds", "4000", "--json"];
    let own = json(&asked);
    let set = |pairs: &[&'static str]| -> Vec<&str> {
        pairs.iter().flat_map(|pair| ["--set", pair]).collect()
    };
    let spacer = set(&[
        "pinion_preload.by=spacer",
        "pinion_preload.stock=T-11in",
        "pinion_preload.usual=1.143",
    ]);
    let stated = json(&[&asked[..], &spacer].concat());
    let others = list(&own["other_preload"]["choices"]);
    assert_eq!(others.len(), 4);
    for (other, stated) in others.iter().zip(list(&stated["choices"])) {
        assert_eq!(other["preload"], "solid spacer");
        for key in [
            "gears",
            "bearings",
            "hours",
            "handed_over",
            "cost",
            "recommend",
        ] {
            assert_eq!(other[key], stated[key], "{key}");
        }
    }
    assert_eq!(own["choices"][3]["preload"], "crush sleeve");
    has(
        own["other_preload"]["note"].as_str().expect("a note"),
        "as_built.closure",
    );
    // the reverse, and a shop whose series have other names
    let sorrel = [
        "quote",
        "examples/sorrel-71.axle.toml",
        "--no-stock",
        "--rebuilds",
        "2000",
        "--json",
    ];
    let sleeved = json(&[&sorrel[..], &set(&["pinion_preload.by=sleeve"])].concat());
    let with_spacer = json(&sorrel);
    let [other, stated] = [
        &with_spacer["other_preload"]["choices"][3],
        &sleeved["choices"][3],
    ];
    assert_eq!(other["preload"], "crush sleeve");
    assert_eq!(other["cost"], stated["cost"]);
    let folder = Folder::new("series");
    let shop = std::fs::read_to_string("examples/north-bench.shop.toml").expect("a shop");
    let shop = shop.replace("\"T-11in\"", "\"T-others\"");
    std::fs::write(folder.path("own.shop.toml"), shop).expect("written");
    let path = folder.path("own.shop.toml");
    let elsewhere = json(&[&asked[..], &["--shop", path.to_str().expect("text")]].concat());
    let [here, there] = [&own, &elsewhere].map(|quote| &quote["other_preload"]);
    assert_eq!(here["choices"][3]["cost"], there["choices"][3]["cost"]);
    has(there["note"].as_str().expect("a note"), "series T-11in");
    // one table, a row each
    let text = answer(&["quote", "--rebuilds", "2000", "--gears", "kept"]);
    let rows: Vec<&str> = text
        .lines()
        .skip_while(|line| !line.starts_with("What to renew, and what it buys"))
        .skip(2)
        .take_while(|line| line.starts_with("  kept ") || line.starts_with("  new "))
        .collect();
    assert_eq!(rows.len(), 8, "{text}");
    let asked_for: Vec<&&str> = rows
        .iter()
        .filter(|row| row.ends_with("asked for"))
        .collect();
    assert_eq!(asked_for.len(), 1);
    assert!(asked_for[0].starts_with("  kept   new       sleeve"));
}

/// Wherever a gain is told, it is said that the hours earn nothing in it where nobody said what they
/// cost; and a customer hears neither.
#[test]
fn every_gain_says_what_it_leaves_out() {
    let own = ["--set", "prices.hour_cost=61"];
    let page = ["report", "--no-stock", "-o", "-"];
    fn with<'a>(command: &[&'a str], more: &[&'a str]) -> Vec<&'a str> {
        [command, &["--rebuilds", "3000"], more].concat()
    }
    let words = "without what its hours earn: prices.hour_cost is not given";
    let screen = |more: &[&str]| one_line(&run(&with(&["quote"], more)).1);
    has(&screen(&[]), words);
    assert!(!screen(&own).contains("hour_cost is not given"));
    let html = |more: &[&str]| one_line(&answer(&with(&page, more)));
    let words =
        "without what its hours earn: what an hour costs the shop (prices.hour_cost) is not given";
    assert_eq!(
        html(&[]).matches(words).count(),
        3,
        "the numbers, a figure and its description"
    );
    assert!(!html(&own).contains("is not given"));
    let text = |more: &[&str]| one_line(&answer(&with(&["quote"], more)));
    has(
        &text(&[]),
        "Gains are without what the hours themselves earn",
    );
    assert!(!text(&own).contains("Gains are without"));
    let assumed = |more: &[&str]| {
        let quote = json(&with(&["quote", "--json"], more));
        quote["money"]["hour_cost_assumed"].clone()
    };
    assert_eq!((assumed(&[]), assumed(&own)), (true.into(), false.into()));
    let offer = with(&["report", "--for", "customer", "-o", "-"], &[]);
    assert!(!answer(&offer).contains("hour_cost"));
}
