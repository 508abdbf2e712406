//! What can be moved: that every figure of the files can, how far, and that what is assumed around it stays.

use std::collections::BTreeSet;

use shimcast::document::{ControlKind, Otherwise};
use shimcast::files::{Override, load};
use shimcast::questions::plausible::{axle_rows, shop_rows};
use shimcast::questions::what_if::{Tried, Weighed, controls};

use crate::given::example;
use crate::what_if::{PAIRS, base, demo, field, fields, sent};

#[test]
fn every_rail_holds_the_files_figure_and_both_its_ends_are_taken() {
    let mut tried_ends = 0;
    for (axle, shop) in PAIRS {
        let base = base(axle, shop);
        let still = Tried::of(&base, &[]);
        let all = controls(&still, &Weighed::default());
        let mut names = BTreeSet::new();
        for field in fields(&all) {
            let at = format!("{axle}, {shop}: {}", field.name);
            assert!(names.insert(&field.name), "{at} is there twice");
            let values: Vec<String> = match &field.kind {
                ControlKind::Slider { low, high, step } => {
                    let own: f64 = field.value.parse().unwrap_or_else(|_| panic!("{at}"));
                    assert!(
                        *low <= own && own <= *high,
                        "{at}: {own} not in {low} to {high}"
                    );
                    let stops = (high - low) / step;
                    assert!((3.0..=100.0).contains(&stops), "{at}: {stops} stops");
                    [low, high].map(f64::to_string).to_vec()
                }
                ControlKind::Stops(options) | ControlKind::Choice(options) => {
                    let own = options.iter().filter(|(sent, _)| *sent == field.value);
                    assert_eq!(own.count(), 1, "{at}: {options:?}");
                    options.iter().map(|(sent, _)| sent.clone()).collect()
                }
                ControlKind::Tick => ["true", "false"].map(str::to_owned).to_vec(),
                other => panic!("{at}: {other:?}"),
            };
            for value in values {
                let tried = Tried::of(&base, &[(field.name.clone(), value.clone())]);
                assert_eq!(tried.refused, [], "{at}={value}");
                assert_eq!(
                    tried.changes.len(),
                    usize::from(value != field.value),
                    "{at}={value}"
                );
                tried_ends += 1;
            }
        }
    }
    assert!(tried_ends > 1200, "{tried_ends}");
}

/// Figures of the files that can't be moved here, by the beginning of their key, and why.
const NOT_MOVED: [&str; 26] = [
    // what the axle is
    "gears.pinion_teeth",
    "gears.ring_teeth",
    "gears.ring_diameter",
    "gears.face_width",
    "gears.offset",
    "gears.pinion_spiral",
    "gears.cutter_radius",
    "gears.pressure_angle",
    "gears.mounting_distance",
    "gears.ring_distance",
    "gears.pattern.drive_",
    "gears.pattern.coast_",
    "bearings.head.deflection",
    "bearings.tail.deflection",
    "bearings.side.deflection",
    "pinion_preload.thread_pitch",
    // the packs that its loops close with
    "pinion_shim.usual",
    "side_shims.usual",
    "pinion_preload.usual",
    // what the drawer is run by and what it sees, in which these answers do not look
    "drawer.",
    "jobs.",
    // series as they can be bought
    "shims.P-38.",
    "shims.S-80.",
    "shims.P-28in.",
    "shims.S-31in.",
    "shims.T-11in.",
];

#[test]
fn every_figure_of_the_files_can_be_moved_or_is_known_not_to_be() {
    let base = demo();
    let still = Tried::of(&base, &[]);
    let all = controls(&still, &Weighed::default());
    let rows = [axle_rows(&base.setup.axle), shop_rows(&base.setup.shop)].concat();
    for row in &rows {
        let key = &row.key;
        let moved = fields(&all).any(|field| {
            let inner = field.name.strip_prefix(key.as_str());
            inner.is_some_and(|inner| inner.is_empty() || inner.starts_with('.'))
        });
        let known = NOT_MOVED.iter().any(|beginning| key.starts_with(beginning))
            || key.ends_with(".nominal")
            // an operation that this axle has not
            || ["behind side bearings", "screw adjusters", "behind head cup", "cartridge flange"]
                .iter()
                .any(|seat| key.ends_with(seat))
            || key == "minutes.spacer_change";
        assert!(moved || known, "{key} can't be moved");
    }
    // and there is nothing among them by mistake
    for key in [
        "shims.S-80.most_in_pack",
        "shims.P-38.tol",
        "bench.learns",
        "gears",
    ] {
        field(&all, key);
    }
    assert!(fields(&all).all(|field| !field.name.contains("31in")));
}

#[test]
fn a_figure_inside_something_assumed_leaves_the_rest_of_it_as_it_is() {
    let mut assumed = 0;
    for (axle, shop) in &PAIRS[3..] {
        let base = base(axle, shop);
        let still = Tried::of(&base, &[]);
        let all = controls(&still, &Weighed::default());
        for field in fields(&all) {
            let Some(Otherwise::Assumed(_)) = field.otherwise else {
                continue;
            };
            let any: Override = format!("{}=0", field.name).parse().expect("a key");
            let value = base.loaded.value_of(&any).expect("an assumed value");
            let own = format!("{}={value}", field.name).parse().expect("a value");
            let mut stated = base.loaded.stated_with(&any);
            stated.push(own);
            let again = load(&example(axle), &example(shop), &stated);
            let again = again.unwrap_or_else(|e| panic!("{}: {e}", field.name));
            assert_eq!(again.axle, base.loaded.axle, "{axle}: {}", field.name);
            assert_eq!(again.shop, base.loaded.shop, "{shop}: {}", field.name);
            assumed += 1;
        }
    }
    assert!(assumed > 100, "{assumed}");
    // the shape of a runout that was left out stays, though its one sigma is stated
    let base = base("short.axle.toml", "north-bench.shop.toml");
    let tried = Tried::of(&base, &sent(&["carrier.face_runout.sigma=0.02"]));
    let typed: Vec<&str> = tried.changes[0].set.iter().map(Override::typed).collect();
    assert_eq!(
        typed,
        [
            "carrier.face_runout={ sigma = 0.015, shape = \"half-normal\" }",
            "carrier.face_runout.sigma=0.02"
        ]
    );
}
