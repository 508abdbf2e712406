//! Figures and choices moved: what there is to move, what is refused, and what comes of it.

use std::collections::BTreeSet;
use std::ops::ControlFlow;

use serde_json::Value;
use shimcast::document::{Block, Chart, Control, ControlKind, Controls, Document};
use shimcast::faces::terminal::{Paper, text};
use shimcast::files::{Source, load};
use shimcast::questions::json;
use shimcast::questions::what_if::{Base, Tried, Weighed, controls, stages, weigh};
use shimcast_sim::axle::Condition;
use shimcast_sim::chance::run::Until;
use shimcast_sim::compare::Comparison;

use crate::given::{self, example, has, list, set};

/// Each example of an axle with a shop that has its shims.
pub const PAIRS: [(&str, &str); 8] = [
    ("rowan-215.axle.toml", "north-bench.shop.toml"),
    ("rowan-215.axle.toml", "home-garage.shop.toml"),
    ("sorrel-71.axle.toml", "north-bench.shop.toml"),
    ("tamarack-88.axle.toml", "quay-lane.shop.toml"),
    ("short.axle.toml", "north-bench.shop.toml"),
    ("short-inch.axle.toml", "north-bench-inch.shop.toml"),
    ("rowan-215-inch.axle.toml", "north-bench-inch.shop.toml"),
    ("short.axle.toml", "home-garage.shop.toml"),
];

pub fn base(axle: &str, shop: &str) -> Base {
    let sources = [example(axle), example(shop)];
    let base = Base::read(sources, Condition::New, Condition::New, false);
    base.unwrap_or_else(|e| panic!("{axle}, {shop}: {e}"))
}

pub fn demo() -> Base {
    base(PAIRS[0].0, PAIRS[0].1)
}

pub fn sent(pairs: &[&str]) -> Vec<(String, String)> {
    let pair = |typed: &&str| {
        let (key, value) = typed.split_once('=').expect("a key and a value");
        (key.to_owned(), value.to_owned())
    };
    pairs.iter().map(pair).collect()
}

pub fn fields(of: &[Controls]) -> impl Iterator<Item = &Control> {
    of.iter().flat_map(|group| &group.fields)
}

pub fn field<'a>(of: &'a [Controls], key: &str) -> &'a Control {
    let mut fields = fields(of);
    fields
        .find(|field| field.name == key)
        .unwrap_or_else(|| panic!("no field {key}"))
}

fn compared(tried: &Tried<'_>, rebuilds: u64) -> Comparison {
    let until = Until::Rebuilds(rebuilds);
    tried.compared(1, until, &mut |_| ControlFlow::Continue(()))
}

fn printed(document: &Document) -> String {
    text(document, Paper::endless(false))
}

#[test]
fn several_figures_of_one_assumed_group_hold_together() {
    let base = base("short.axle.toml", "north-bench.shop.toml");
    let pairs = ["windows.side_closure.1=0.10", "windows.side_closure.2=0.3"];
    let tried = Tried::of(&base, &sent(&pairs));
    assert_eq!(tried.refused, []);
    let window = tried.setup.axle.windows.side_closure;
    assert_eq!([window.low, window.high], [0.10, 0.3]);
}

/// What `compare` prints for the same changes.
fn by_command(axle: &str, shop: &str, keys: &[String], effort: [&str; 2]) -> Value {
    let path = |name: &str| match example(name) {
        Source::File(path) => path.display().to_string(),
        _ => unreachable!("an example is a file here"),
    };
    let (axle, shop) = (path(axle), path(shop));
    let way = format!("x: {}", keys.join(", "));
    let [by, much] = effort;
    given::json(&[
        "compare", &axle, "--shop", &shop, "--way", &way, by, much, "--json",
    ])
}

/// A value as it comes back from what is printed.
fn reread(value: &Value) -> Value {
    serde_json::from_str(&value.to_string()).expect("JSON")
}

fn same_as_the_command(tried: &Tried<'_>, comparison: &Comparison, command: &Value) {
    assert!(!tried.changes.is_empty());
    assert_eq!(command["rebuilds"], comparison.rebuilds);
    for (way, printed) in comparison.ways.iter().zip(list(&command["ways"])) {
        for (key, value) in json::way(way) {
            assert_eq!(reread(&value), printed[&key], "{key}");
        }
    }
    let differences = json::differences(&comparison.differences[0]);
    let printed = list(&command["differences"]);
    assert_eq!(printed.len(), differences.len());
    for of in printed {
        let measure = of["measure"].as_str().expect("a measure");
        assert_eq!(of["difference"], reread(&differences[measure]), "{measure}");
    }
}

#[test]
fn it_says_what_compare_says_to_the_last_bit() {
    let cases: [(usize, &[&str]); 4] = [
        (0, &["bench.guard=0.05"]),
        (0, &["gears=kept", "bench.pinion_start=gauge"]),
        (4, &["carrier.face_runout.sigma=0.01", "bench.learns=false"]),
        (
            6,
            &["housing.head_seat.tol=3 thou", "windows.pinion_torque.1=16"],
        ),
    ];
    for (pair, pairs) in cases {
        let (axle, shop) = PAIRS[pair];
        let base = base(axle, shop);
        let tried = Tried::of(&base, &sent(pairs));
        assert_eq!(tried.refused, []);
        let keys = tried
            .changes
            .iter()
            .flat_map(|change| match change.set.as_slice() {
                [] => vec![format!("{}={}", change.key, change.value)],
                set => set.iter().map(|set| set.typed().to_owned()).collect(),
            });
        let keys: Vec<String> = keys.collect();
        let command = by_command(axle, shop, &keys, ["--rebuilds", "6000"]);
        same_as_the_command(&tried, &compared(&tried, 6000), &command);
    }
}

#[test]
fn the_last_stage_is_the_commands_own_answer() {
    let base = demo();
    let tried = Tried::of(&base, &sent(&["bench.guard=0.05"]));
    let until = stages();
    let last = tried.compared(1, until[2], &mut |_| ControlFlow::Continue(()));
    assert_eq!(until[2], Until::Within(0.003));
    let keys = ["bench.guard=0.05".to_owned()];
    let command = by_command(PAIRS[0].0, PAIRS[0].1, &keys, ["--within", "0.3"]);
    same_as_the_command(&tried, &last, &command);
    let counts = until.map(|until| match until {
        Until::Rebuilds(count) => count,
        Until::Within(_) => last.rebuilds,
    });
    assert!(counts.is_sorted(), "{counts:?}");
}

#[test]
fn what_is_refused_is_told_at_its_field_and_leaves_the_rest() {
    let base = demo();
    let pairs = [
        "bench.guard=0.05",
        "bench.sleeve_aim=7",
        "instruments.dial.step=wide",
        "bench.pinion_start=guage",
        "gears=old",
        "windows.backlash=[0.3, 0.2]",
        "bnch.guard=1",
        "housing.head_seat.tol=",
        "windows.depth=900 mm",
    ];
    let tried = Tried::of(&base, &sent(&pairs));
    let keys: Vec<&str> = tried.changes.iter().map(|of| of.key.as_str()).collect();
    assert_eq!(keys, ["bench.guard"]);
    assert_eq!(tried.setup.shop.bench.guard, 0.05);
    let all = controls(&tried, &Weighed::default());
    for (key, value, reason) in [
        ("bench.sleeve_aim", "7", "must lie between 0 and 1"),
        (
            "instruments.dial.step",
            "wide",
            "`wide` is no figure: say 0.15 or 6 thou",
        ),
        ("bench.pinion_start", "guage", "did you mean `gauge`?"),
        ("gears", "old", "write new or kept"),
        ("windows.backlash", "[0.3, 0.2]", ""),
        ("bnch.guard", "1", "did you mean `bench`?"),
        ("windows.depth", "900", "no axle has more than 2 mm"),
    ] {
        let field = field(&all, key);
        assert_eq!(field.value, value, "{key}");
        let problem = field.problem.as_deref().unwrap_or_else(|| panic!("{key}"));
        has(problem, reason);
        assert!(!problem.contains("--"), "{problem}");
    }
    assert_eq!(field(&all, "housing.head_seat.tol").problem, None);
    // a group in which something is moved is open
    let open: Vec<&str> = all
        .iter()
        .filter(|group| !group.folded)
        .map(|group| group.heading.as_str())
        .collect();
    assert_eq!(
        open,
        [
            "Other keys of the files",
            "What is renewed",
            "How the work is done",
            "What is measured with",
            "The windows to land in"
        ]
    );
    let told = printed(&tried.tell(&compared(&tried, 500), 1));
    has(
        &told,
        "Left out: how far into its window the torque is taken, 7: bench.sleeve_aim must lie between 0",
    );
}

#[test]
fn two_changes_that_do_not_go_together_are_told_at_the_later_one() {
    let base = demo();
    let pairs = ["windows.backlash.1=0.18", "windows.backlash.2=0.15"];
    let tried = Tried::of(&base, &sent(&pairs));
    assert_eq!(tried.changes.len(), 1);
    assert_eq!(tried.refused[0].key, "windows.backlash.2");
    let turned = Tried::of(&base, &sent(&[pairs[1], pairs[0]]));
    assert_eq!(turned.refused[0].key, "windows.backlash.1");
}

#[test]
fn figures_are_taken_as_people_say_them() {
    let base = demo();
    for (said, taken) in [
        ("bench.smallest_move=2 thou", "0.0508"),
        ("bench.smallest_move=0,04", "0.04"),
        ("instruments.torque.step=1 in-lb", "0.1129848"),
        ("bench.backlash_points=8", "8"),
    ] {
        let tried = Tried::of(&base, &sent(&[said]));
        assert_eq!(tried.refused, [], "{said}");
        assert_eq!(tried.changes[0].value, taken, "{said}");
    }
    let inches = base_in_inches();
    let tried = Tried::of(&inches, &sent(&["bench.smallest_move=2 thou"]));
    assert_eq!(tried.changes[0].to, "0.002 in");
}

fn base_in_inches() -> Base {
    base("rowan-215-inch.axle.toml", "north-bench-inch.shop.toml")
}

#[test]
fn nothing_moved_is_nothing_exactly() {
    let base = demo();
    // what the files say, however it is said, changes nothing; of a key that is there twice the last
    // one holds
    let pairs = [
        "bench.guard=0.30",
        "bench.guard=0.00",
        "bench.pinion_start=old pack",
        "housing.head_seat.tol=0,060 mm",
        "bench.learns=true",
        "gears=new",
    ];
    let tried = Tried::of(&base, &sent(&pairs));
    assert!(tried.changes.is_empty() && tried.refused.is_empty());
    let comparison = compared(&tried, 4000);
    assert_eq!(comparison.ways.len(), 1);
    let document = tried.tell(&comparison, 1);
    has(
        &printed(&document),
        "Nothing is changed yet: this is the job as the files have it.",
    );
    assert!(
        document
            .sections
            .iter()
            .all(|section| section.id != "changes")
    );
    // the same figures as with a change, whose first way is the files
    let changed = Tried::of(&base, &sent(&["bench.guard=0.05"]));
    assert_eq!(compared(&changed, 4000).ways[0], comparison.ways[0]);
}

#[test]
fn a_change_is_told_with_its_difference_and_its_picture() {
    let base = demo();
    let tried = Tried::of(&base, &sent(&["bench.guard=0.05", "bearings=kept"]));
    let comparison = compared(&tried, 8192);
    let document = tried.tell(&comparison, 1);
    let told = printed(&document);
    for part in [
        "What if: Rowan 215 at North Bench: gears new, bearings kept",
        "margin kept inside each window  0      0.05",
        "bearings                        new    kept",
        "more often right",
        "Hours within which 4 jobs in 5 are done",
        "8192 rebuilds, seed 1, the very same parts with the changes and without",
    ] {
        has(&told, part);
    }
    assert_eq!(
        document.title,
        "What if: Rowan 215 at North Bench: gears new, bearings kept"
    );
    let figure = document.figures().next().expect("a picture");
    let Chart::Hundred(hundred) = &figure.chart else {
        panic!("{:?}", figure.chart)
    };
    let ends = comparison.ways[1].ends;
    let share = |hits: u64| hits as f64 / ends.jobs as f64;
    let shown: Vec<f64> = hundred.ways.iter().map(|(.., share)| *share).collect();
    let slightly_out = ends.jobs - ends.given_up - ends.right - ends.clearly_out;
    let mut counted = vec![
        share(ends.right_at_once),
        share(ends.right - ends.right_at_once),
        share(slightly_out),
        share(ends.clearly_out),
        share(ends.given_up),
    ];
    counted.retain(|share| *share > 0.0);
    assert_eq!(shown, counted);
    assert!((shown.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    // the files' own shares stand beside
    assert_eq!(figure.table.columns.len(), 4);
    let tables = document.sections.iter().flat_map(|section| &section.blocks);
    assert!(
        tables
            .filter(|block| matches!(block, Block::Table(_)))
            .count()
            == 2
    );
}

#[test]
fn what_matters_most_is_what_moves_the_answer_by_compare_as_well() {
    let base = demo();
    let weighed = weigh(&base, 1);
    let all = weighed.all();
    assert!(all.is_sorted_by(|a, b| a.1 >= b.1) && all.iter().all(|(_, much)| *much > 0.0));
    let of = |key: &str| {
        all.iter()
            .find(|(known, _)| known == key)
            .map(|(_, much)| *much)
    };
    // the margin goes from 0 to 0.3, so it was moved to 0.15
    let keys = ["bench.guard=0.15".to_owned()];
    let command = by_command(PAIRS[0].0, PAIRS[0].1, &keys, ["--rebuilds", "2048"]);
    let seen = |measure: &str| {
        let mut differences = list(&command["differences"]).iter();
        let found = differences
            .find(|of| of["measure"] == measure)
            .expect("a measure");
        let [low, _, high] = given::estimate(&found["difference"]);
        low.max(-high).max(0.0)
    };
    let cost = given::estimate(&list(&command["ways"])[0]["money"])[1];
    let wanted = [
        seen("first_assembly"),
        seen("handed_over"),
        seen("money") / cost,
    ];
    let wanted = wanted.into_iter().fold(0.0, f64::max);
    let margin = of("bench.guard").expect("a margin matters");
    assert!((margin - wanted).abs() < 1e-12, "{margin}, {wanted}");
    // how the dial is held moves it more than anything that it reads with
    assert!(of("instruments.dial.indicator") > of("instruments.dial.sigma"));
    // what the manual sets, and what is paid and taken for the work, is not weighed
    for (key, _) in all {
        let first = key.split('.').next().unwrap_or_default();
        assert!(!["windows", "prices", "minutes"].contains(&first), "{key}");
    }
    let still = Tried::of(&base, &[]);
    let shown = controls(&still, &weighed);
    let first: Vec<&str> = shown[0]
        .fields
        .iter()
        .map(|field| field.name.as_str())
        .collect();
    assert_eq!(first, weighed.first(8).collect::<Vec<_>>());
    assert_eq!(shown[0].heading, "What matters most here");
    // nothing is there twice, and nothing is lost
    let plain = controls(&still, &Weighed::default());
    let names = |of: &[Controls]| fields(of).map(|f| f.name.clone()).collect::<BTreeSet<_>>();
    assert_eq!(names(&shown), names(&plain));
    assert_eq!(fields(&shown).count(), fields(&plain).count());
}

#[test]
fn a_key_without_a_field_is_taken_and_shown_as_one() {
    let base = demo();
    let tried = Tried::of(&base, &sent(&["gears.ring_teeth=43"]));
    assert_eq!(tried.setup.axle.gears.ring_teeth, 43);
    let all = controls(&tried, &Weighed::default());
    assert_eq!(all[0].heading, "Other keys of the files");
    assert_eq!(field(&all, "gears.ring_teeth").kind, ControlKind::Words);
    assert_eq!(tried.changes[0].from, "41");
    // the same as --set says it
    let loaded = load(
        &example(PAIRS[0].0),
        &example(PAIRS[0].1),
        &set(&["gears.ring_teeth=43"]),
    );
    assert_eq!(loaded.expect("reads").axle, tried.loaded.axle);
}
