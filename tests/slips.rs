//! Slips of one figure: every number that an example file states, times and divided by what slips
//! of the finger and of the unit come to. What moves an answer is refused, or said to look wrong,
//! or is a figure that some axle or shop has.

use std::fmt;
use std::ops::ControlFlow;

use shimcast::files::{Loaded, Override, Source, load};
use shimcast::questions::check::doubts;
use shimcast::questions::context::set_up_as;
use shimcast::questions::plausible::{Row, axle_rows, shop_rows};
use shimcast_sim::axle::Condition;
use shimcast_sim::bench::money::ShimsCharged;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::chance::run::Until;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::quote::quote;
use toml::Value;

use crate::given::{Folder, answer, example, has, refused, run, text_of, without};

/// A point misplaced by one or two digits, and inches taken for millimetres or the reverse.
const FACTORS: [f64; 6] = [0.01, 1.0 / 25.4, 0.1, 10.0, 25.4, 100.0];
/// Enough to see what moves an answer that is worth a word.
const REBUILDS: u64 = 1000;

/// Each axle with a shop that has its shims.
const AXLES: [(&str, &str); 6] = [
    ("rowan-215.axle.toml", "north-bench.shop.toml"),
    ("sorrel-71.axle.toml", "north-bench.shop.toml"),
    ("tamarack-88.axle.toml", "quay-lane.shop.toml"),
    ("short.axle.toml", "north-bench.shop.toml"),
    ("short-inch.axle.toml", "north-bench-inch.shop.toml"),
    ("rowan-215-inch.axle.toml", "north-bench-inch.shop.toml"),
];
/// Each shop with an axle that it has shims for.
const SHOPS: [(&str, &str); 4] = [
    ("north-bench.shop.toml", "rowan-215.axle.toml"),
    ("quay-lane.shop.toml", "tamarack-88.axle.toml"),
    ("home-garage.shop.toml", "rowan-215.axle.toml"),
    ("north-bench-inch.shop.toml", "rowan-215-inch.axle.toml"),
];

/// A number that a file states.
struct Stated {
    key: String,
    figure: f64,
    whole: bool,
}

/// The numbers of a file, by their dotted keys.
fn stated(file: &str) -> Vec<Stated> {
    fn walk(value: &Value, key: &str, all: &mut Vec<Stated>) {
        let inner = |part: &str| match key {
            "" => part.to_owned(),
            key => format!("{key}.{part}"),
        };
        match value {
            Value::Table(table) => table
                .iter()
                .for_each(|(part, value)| walk(value, &inner(part), all)),
            Value::Array(list) => {
                for (i, value) in list.iter().enumerate() {
                    let series = value.get("series").and_then(Value::as_str);
                    let part = series.map_or_else(|| (i + 1).to_string(), str::to_owned);
                    walk(value, &inner(&part), all);
                }
            }
            Value::Integer(whole) => all.push(Stated {
                key: key.to_owned(),
                figure: *whole as f64,
                whole: true,
            }),
            Value::Float(figure) => all.push(Stated {
                key: key.to_owned(),
                figure: *figure,
                whole: false,
            }),
            _ => {}
        }
    }
    let mut all = Vec::new();
    let tree: toml::Table = text_of(file).parse().expect("an example parses");
    walk(&Value::Table(tree), "", &mut all);
    all
}

/// The rows that look at a key.
fn rows_of<'a>(rows: &'a [Row], key: &str) -> Vec<&'a Row> {
    let looks_at = |row: &Row| {
        let whole = key.strip_prefix(&row.key).is_some_and(|rest| {
            rest.is_empty() || rest.starts_with('.') && !rest.ends_with(".nominal")
        });
        // a middle may be said by its limits
        whole || row.key.strip_suffix(".nominal") == Some(key)
    };
    rows.iter().filter(|row| looks_at(row)).collect()
}

/// What became of the slips.
#[derive(Default)]
struct Counts {
    slips: u32,
    refused: u32,
    told: u32,
    harmless: u32,
    plausible: u32,
    silent: Vec<String>,
}

impl fmt::Display for Counts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} slips: {} refused, {} told, {} silent and harmless, {} silent and plausible, {} \
             silent otherwise",
            self.slips,
            self.refused,
            self.told,
            self.harmless,
            self.plausible,
            self.silent.len()
        )
    }
}

/// Shares right as first bolted up and when handed over, mean hours, mean cost.
fn headline(setup: &Setup) -> [Estimate; 4] {
    let mut go_on = |_| ControlFlow::Continue(());
    let charged = ShimsCharged::FinallyFitted;
    let quote = quote(setup, charged, 1, Until::Rebuilds(REBUILDS), &mut go_on);
    [
        quote.first_assembly,
        quote.handed_over,
        quote.hours.mean,
        quote.money.cost,
    ]
}

/// Doubts without their figures: one that only says another figure than before is no new one.
fn bare(doubts: Vec<String>) -> Vec<String> {
    let figure = |c: char| c.is_ascii_digit() || c == '.';
    doubts
        .into_iter()
        .map(|doubt| doubt.replace(figure, ""))
        .collect()
}

/// A job as its files are, with what is said of it.
struct Job {
    axle: Source,
    shop: Source,
    doubts: Vec<String>,
    setup: Setup,
    headline: [Estimate; 4],
}

fn set_up(loaded: &Loaded) -> Option<Setup> {
    set_up_as(loaded, Condition::New, Condition::New).ok()
}

impl Job {
    fn of(axle: &str, shop: &str) -> Self {
        let (axle, shop) = (example(axle), example(shop));
        let loaded = load(&axle, &shop, &[]).expect("an example reads");
        let setup = set_up(&loaded).expect("an example is a job");
        Self {
            doubts: bare(doubts(&setup, &loaded)),
            headline: headline(&setup),
            axle,
            shop,
            setup,
        }
    }

    /// What becomes of one slip.
    fn slip(&self, stated: &Stated, factor: f64, counts: &mut Counts) {
        let figure = stated.figure * factor;
        let value = match stated.whole && figure.fract() == 0.0 {
            true => format!("{figure}"),
            false => format!("{figure:?}"),
        };
        counts.slips += 1;
        let key: Vec<String> = stated
            .key
            .split('.')
            .map(|part| format!("\"{part}\""))
            .collect();
        let set: Override = key_of(&key, &value);
        let loaded = load(&self.axle, &self.shop, &[set]);
        let Some((loaded, setup)) = loaded.ok().and_then(|loaded| {
            let setup = set_up(&loaded)?;
            Some((loaded, setup))
        }) else {
            counts.refused += 1;
            return;
        };
        let told = bare(doubts(&setup, &loaded));
        if told.iter().any(|doubt| !self.doubts.contains(doubt)) {
            counts.told += 1;
            return;
        }
        // a drawer's service and money are not simulated here: its rows have to do
        let of_drawer = ["drawer.", "jobs."]
            .iter()
            .any(|of| stated.key.starts_with(of));
        let moved = self.setup.axle != setup.axle || self.setup.shop != setup.shop;
        let moved = moved && {
            let slipped = headline(&setup);
            let pairs = self.headline.iter().zip(&slipped);
            pairs.into_iter().any(|(before, after)| {
                let nobody_finished = after.value.is_nan() && before.value.is_nan();
                let inside = (before.low..=before.high).contains(&after.value);
                !(inside || nobody_finished)
            })
        };
        let rows = [axle_rows(&setup.axle), shop_rows(&setup.shop)].concat();
        let rows = rows_of(&rows, &stated.key);
        if !(moved || of_drawer) {
            counts.harmless += 1;
        } else if !rows.is_empty() && rows.iter().all(|row| row.is_usual()) {
            counts.plausible += 1;
            if std::env::var_os("LIST_SLIPS").is_some() {
                println!("plausible: {} = {value}", stated.key);
            }
        } else {
            counts.silent.push(format!("{} = {value}", stated.key));
        }
    }
}

fn key_of(parts: &[String], value: &str) -> Override {
    let key = parts.join(".").replacen('"', "", 2);
    let set = format!("{key}={value}");
    set.parse().unwrap_or_else(|e| panic!("{e}"))
}

#[test]
#[cfg_attr(debug_assertions, ignore = "slow without optimisation: use --release")]
fn a_slip_that_moves_an_answer_is_told() {
    let axles = AXLES.map(|(axle, shop)| (axle, axle, shop));
    let shops = SHOPS.map(|(shop, axle)| (shop, axle, shop));
    let mut silent = Vec::new();
    let mut slips = 0;
    for (file, axle, shop) in axles.into_iter().chain(shops) {
        let job = Job::of(axle, shop);
        let mut counts = Counts::default();
        for stated in stated(file).iter().filter(|stated| stated.figure != 0.0) {
            for factor in FACTORS {
                job.slip(stated, factor, &mut counts);
            }
        }
        println!("{file}: {counts}");
        slips += counts.slips;
        // most are told: what is plausible is the exception
        assert!(counts.plausible * 20 < counts.slips, "{file}: {counts}");
        silent.extend(counts.silent);
    }
    assert!(slips > 3000, "only {slips}");
    assert!(silent.is_empty(), "nobody tells of {silent:#?}");
}

#[test]
fn every_number_of_the_files_has_a_row() {
    let mut looked_at = 0;
    for (file, axle, shop) in AXLES
        .map(|(axle, shop)| (axle, axle, shop))
        .into_iter()
        .chain(SHOPS.map(|(shop, axle)| (shop, axle, shop)))
    {
        let loaded = load(&example(axle), &example(shop), &[]).expect("an example reads");
        let rows = [axle_rows(&loaded.axle), shop_rows(&loaded.shop)].concat();
        for stated in stated(file) {
            // not read: how far an adjuster is screwed in is counted from anywhere
            if stated.key.starts_with("side_shims.usual") && file.starts_with("tamarack") {
                continue;
            }
            // held by the reader alone: a share of 0 to 1, of which any is plausible
            if stated.key.ends_with(".lot_share") {
                continue;
            }
            assert!(
                !rows_of(&rows, &stated.key).is_empty(),
                "{file}: {} has no row",
                stated.key
            );
            looked_at += 1;
        }
        let far: Vec<&Row> = rows.iter().filter(|row| !row.is_usual()).collect();
        assert!(far.is_empty(), "{file}: {far:?}");
    }
    assert!(looked_at > 600, "only {looked_at}");
}

/// A heavy truck's axle and a light car's, as workshops would state them.
const OTHER_SIZES: [&str; 2] = [
    r#"
name = "Heavy"
length = "mm"
torque = "N.m"
gears = { pinion_teeth = 9, ring_teeth = 40, ring_diameter = 440.0, face_width = 64.0, offset = 0.0, pinion_spiral = 35.0 }
pinion_shim = { seat = "cartridge flange", stock = "F-44", usual = 0.9 }
side_shims = { seat = "screw adjusters", usual = [2.0, 2.1] }
pinion_preload = { by = "sleeve" }
windows = { backlash = [0.25, 0.41], pinion_torque = [2.5, 4.5] }
"#,
    r#"
name = "Light"
length = "in"
torque = "lbf.in"
gears = { pinion_teeth = 11, ring_teeth = 43, ring_diameter = 5.9 }
pinion_shim = { seat = "under head bearing", stock = "P-28in", usual = 0.038 }
side_shims = { seat = "outboard", stock = "S-31in", usual = [0.080, 0.085] }
pinion_preload = { by = "sleeve" }
windows = { backlash = [0.004, 0.006], pinion_torque = [5.0, 9.0] }
"#,
];

#[test]
fn sound_axles_of_other_sizes_are_not_doubted() {
    let folder = Folder::new("sizes");
    for (i, text) in OTHER_SIZES.into_iter().enumerate() {
        let axle = folder.file(&format!("{i}.axle.toml"), text.as_bytes());
        let loaded = load(&axle, &example("quay-lane.shop.toml"), &[]);
        let loaded = loaded.unwrap_or_else(|e| panic!("{e}"));
        let rows = axle_rows(&loaded.axle);
        let far: Vec<&Row> = rows.iter().filter(|row| !row.is_usual()).collect();
        assert!(far.is_empty(), "{far:?}");
    }
}

#[test]
fn what_no_axle_has_is_refused_unless_it_is_taken_anyway() {
    let swapped = [
        "--set",
        "gears.ring_teeth=11",
        "--set",
        "gears.pinion_teeth=41",
    ];
    for command in ["odds", "check", "ratio", "quote"] {
        let said = refused(&[&[command], &swapped[..]].concat(), 2);
        has(
            &said,
            "gears.ring_teeth over gears.pinion_teeth is 0.268; no axle has less than 1",
        );
        has(&said, "are ring_teeth and pinion_teeth swapped?");
    }
    let wide = ["--set", "windows.backlash=[2.0, 3.0]"];
    let said = refused(&[&["odds"], &wide[..]].concat(), 2);
    has(
        &said,
        "--set windows.backlash=[2.0, 3.0]: windows.backlash, its lower end is 2 mm",
    );
    has(&said, "--anyway takes it as it is");
    let taken = answer(&[&["odds", "--rebuilds", "100", "--anyway"], &wide[..]].concat());
    has(
        &taken,
        "Looks wrong: windows.backlash, its lower end is 2 mm",
    );
    let (code, checked, _) = run(&[&["check", "--anyway"], &wide[..]].concat());
    assert_eq!(code, 1);
    has(&checked, "windows.backlash, its upper end is 3 mm");
    // one figure in another unit, and only that is said of it
    let said = refused(&["odds", "--set", "gears.ring_diameter=8.46"], 2);
    assert_eq!(said.matches("no axle has").count(), 1, "{said}");
    has(
        &refused(&["stock", "--set", "windows.backlash=[2.0, 3.0]"], 2),
        "2 axles",
    );
}

#[test]
fn a_side_closure_that_follows_an_uncommon_aim_is_told() {
    let folder = Folder::new("aim");
    folder.file(
        "short.axle.toml",
        without(text_of("short.axle.toml"), "side_closure").as_bytes(),
    );
    let axle = folder.path("short.axle.toml");
    let axle = axle.to_str().expect("a path of letters");
    let checked = |aim: &str| run(&["check", axle, "--set", aim]);
    let (code, said, _) = checked("bench.side_preload_added=0.5");
    assert_eq!(code, 1);
    has(
        &said,
        "windows.side_closure is left out, so it follows the shop's own aim",
    );
    let (code, said, _) = checked("bench.side_preload_added=0.2");
    assert_eq!(code, 0, "{said}");
}
