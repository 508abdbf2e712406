use std::collections::BTreeMap;

use super::*;
use crate::files::{
    BuiltInFile, EXAMPLES, FileKind, Override, basis, every_key, every_kind, load_axle_alone,
    united,
};

fn is_shop(name: &str) -> bool {
    name.ends_with(".shop.toml")
}

fn describe(file: BuiltInFile) -> Description {
    let source = Source::Example(file);
    let described = match is_shop(file.name) {
        true => describe_shop(&source),
        false => describe_axle(&source, None),
    };
    described.unwrap_or_else(|e| panic!("{e}"))
}

fn example(name: &str) -> Description {
    let file = EXAMPLES.into_iter().find(|file| file.name == name);
    describe(file.expect("an example"))
}

/// An axle file of this text, beside the built-in shop.
fn axle(text: &str) -> Description {
    let source = Source::Kept("a.axle.toml".into(), text.to_owned());
    let shop = load_shop(&Source::BuiltIn, &[]).expect("the built-in shop");
    describe_axle(&source, Some(&shop)).unwrap_or_else(|e| panic!("{e}"))
}

fn all_problems(description: &Description) -> impl Iterator<Item = &Problem> {
    let of_keys = description.keys.iter().flat_map(|of| &of.problems);
    description.problems.iter().chain(of_keys)
}

#[test]
fn every_key_has_a_meaning_and_every_measured_one_its_unit() {
    let mut without = BTreeMap::new();
    for file in EXAMPLES {
        for of in describe(file).keys {
            let unit = match of.takes.quantity() {
                None | Some(Quantity::Plain) => of.unit.is_empty(),
                Some(_) => !of.unit.is_empty(),
            };
            if of.meaning.is_empty() || !unit {
                without.insert(of.key, (file.name, of.meaning, of.unit));
            }
        }
    }
    assert!(without.is_empty(), "{without:#?}");
}

#[test]
fn every_stated_key_of_an_example_is_described_and_none_is_wrong() {
    fn walk(value: &toml::Value, key: &str, all: &mut Vec<String>) {
        let inner = |part: &str| match key {
            "" => part.to_owned(),
            key => format!("{key}.{part}"),
        };
        match value {
            toml::Value::Table(table) => {
                for (part, value) in table {
                    all.push(inner(part));
                    walk(value, &inner(part), all);
                }
            }
            toml::Value::Array(list) if list.iter().any(toml::Value::is_table) => {
                for (i, value) in list.iter().enumerate() {
                    walk(value, &inner(&(i + 1).to_string()), all);
                }
            }
            _ => {}
        }
    }
    for file in EXAMPLES {
        let description = describe(file);
        assert_eq!(all_problems(&description).count(), 0, "{}", file.name);
        let tree: toml::Table = file.text.parse().expect("an example parses");
        let mut keys = Vec::new();
        walk(&toml::Value::Table(tree), "", &mut keys);
        assert!(keys.len() > 15);
        for key in keys {
            let of = description.of(&key);
            let stated = of.and_then(|of| of.stated.as_ref());
            assert!(stated.is_some(), "{}: {key}", file.name);
        }
    }
}

#[test]
fn what_is_assumed_may_be_stated_as_it_is_described() {
    let shop = load_shop(&Source::BuiltIn, &[]).expect("the built-in shop");
    for name in ["short.axle.toml", "short-inch.axle.toml"] {
        let file = EXAMPLES.into_iter().find(|file| file.name == name);
        let source = Source::Example(file.expect("an example"));
        let before = load_axle_alone(&source, &[]).expect("an example");
        let mut tried = 0;
        for of in example(name).keys {
            let Some(assumed) = of.assumed else { continue };
            // a tolerance that is left out altogether is stated as a whole
            if assumed.assumption != of.name && of.name.starts_with(&assumed.assumption) {
                continue;
            }
            let set: Override = format!("{}={}", of.name, assumed.written)
                .parse()
                .unwrap_or_else(|e| panic!("{e}"));
            let after = load_axle_alone(&source, &[set]);
            let after = after.unwrap_or_else(|e| panic!("{}: {e}", of.key));
            assert_eq!(after.axle, before.axle, "{}", of.key);
            tried += 1;
        }
        assert!(tried > 40, "{tried}");
    }
    assert!(shop.assumptions.len() == 1, "hour_cost alone is assumed");
    let garage = load_shop(&Source::BuiltIn, &["bench={}".parse().expect("a key")]);
    assert!(garage.expect("defaults for all").assumptions.len() > 15);
}

#[test]
fn a_key_tells_what_it_takes() {
    let rowan = example("rowan-215.axle.toml");
    let of = |key: &str| rowan.of(key).unwrap_or_else(|| panic!("{key}"));
    assert_eq!(of("gears.ring_teeth").takes, Takes::Whole(3, 400));
    assert!(of("gears.ring_teeth").needed);
    let spiral = Takes::Figure(Quantity::Degrees, Limits::Within(0.0, 80.0));
    assert_eq!(of("gears.pinion_spiral").takes, spiral);
    assert_eq!(of("gears.pinion_spiral").unit, "degrees");
    assert!(!of("gears.pinion_spiral").needed);
    assert_eq!(
        of("gears.mark.plus").takes,
        Takes::Choice(vec!["farther", "deeper"])
    );
    assert_eq!(
        of("housing.head_seat").takes,
        Takes::Tolerance(Quantity::Length)
    );
    let tol = of("housing.head_seat.tol").stated.clone();
    assert_eq!(tol.map(|stated| stated.typed).as_deref(), Some("0.06"));
    let window = of("windows.backlash").stated.clone().expect("a window");
    assert_eq!(window.typed, "0.13 0.20");
    assert!(window.line > 80);
    assert!(of("pinion_preload.gap").unused.is_some());
    let sorrel = example("sorrel-71.axle.toml");
    let gap = sorrel.of("pinion_preload.gap.tol").expect("a spacer's gap");
    assert_eq!((gap.unit.as_str(), &gap.unused), ("in", &None));
    let shop = example("north-bench.shop.toml");
    let of = |key: &str| shop.of(key).unwrap_or_else(|| panic!("{key}"));
    assert_eq!(of("shims.3.sizes").unit, "in");
    assert_eq!(of("shims.3.sizes").name, "shims.P-28in.sizes");
    assert_eq!(of("shims.1.price").unit, "EUR");
    assert_eq!(of("instruments.micrometer").takes, Takes::GroupOr("none"));
    let hour_cost = of("prices.hour_cost")
        .assumed
        .clone()
        .expect("an assumption");
    assert_eq!(hour_cost.shown, "92 EUR (as charged: prices.hour)");
    let at = |key: &str| shop.keys.iter().position(|of| of.key == key);
    assert!(at("instruments.dial.sigma") < at("instruments.depth_gauge"));
    assert!(at("shims.1.spoiled") < at("shims.2"));
}

#[test]
fn a_flaw_stands_at_its_key() {
    let text = EXAMPLES[4].text;
    let flaws = |key: &str, text: &str| -> Vec<String> {
        let description = axle(text);
        let of = description.of(key).unwrap_or_else(|| panic!("{key}"));
        let others: Vec<String> = all_problems(&description)
            .map(ToString::to_string)
            .collect();
        assert_eq!(others.len(), of.problems.len(), "{others:?}");
        of.problems
            .iter()
            .map(|problem| problem.reason.clone())
            .collect()
    };
    assert_eq!(
        flaws("gears.ring_diameter", &text.replace("= 200.0", "= -200.0")),
        ["gears.ring_diameter must be above 0"]
    );
    let without = text.replace("ring_teeth    = 41", "");
    assert_eq!(
        flaws("gears.ring_teeth", &without),
        ["gears.ring_teeth is missing"]
    );
    assert_eq!(
        flaws(
            "windows.backlash",
            &text.replace("[ 0.13, 0.20 ]", "[ 0.23, 0.20 ]")
        ),
        ["windows.backlash: the lower end must be below the upper one"]
    );
    let other = text.replace("\"P-38\"", "\"Q-38\"");
    let reason = &flaws("pinion_shim.stock", &other)[0];
    assert!(reason.ends_with("has no shim series `Q-38`"), "{reason}");
    let spread =
        format!("{text}[housing]\nhead_seat = {{ nominal = 99.0, tol = 0.02, cv = 0.1 }}\n");
    let reason = &flaws("housing.head_seat", &spread)[0];
    assert!(reason.contains("in more than one way"), "{reason}");
    let unknown = axle(&format!("{text}[carrier]\nweight = 3.0\n"));
    assert_eq!(all_problems(&unknown).count(), 1);
    assert_eq!(unknown.problems[0].reason, "[carrier] has no key `weight`");
}

#[test]
fn what_the_built_in_shop_lends_is_no_part_of_a_file() {
    let text = "name = \"A\"\nlength = \"in\"\ntorque = \"lbf.in\"\ncurrency = \"USD\"\n";
    let source = Source::Kept("a.shop.toml".into(), text.to_owned());
    let shop = describe_shop(&source).expect("a shop");
    let shims = shop.of("shims").expect("shims");
    assert_eq!(shims.stated, None);
    assert!(
        shims
            .assumed
            .as_ref()
            .is_some_and(|assumed| assumed.shown.contains("P-38"))
    );
    assert!(shop.keys.iter().all(|of| !of.key.starts_with("shims.")));
    assert_eq!(
        shop.of("bench.first_move").map(|of| of.unit.as_str()),
        Some("in")
    );
}

#[test]
fn every_key_of_every_example_is_among_all_keys() {
    for file in EXAMPLES {
        let target = match is_shop(file.name) {
            true => FileKind::Shop,
            false => FileKind::Axle,
        };
        let description = describe(file);
        let all = every_key(target, description.units);
        for of in description.keys {
            let parts = of.key.split('.').map(|part| match part.parse::<usize>() {
                Ok(_) => "1",
                Err(_) => part,
            });
            let key = parts.collect::<Vec<_>>().join(".");
            let known = all.iter().find(|known| known.key == key);
            let known = known.unwrap_or_else(|| panic!("{}: {key}", file.name));
            // a series may have a unit of its own
            if of.takes != Takes::Nothing && !key.starts_with("shims") {
                assert_eq!(known.unit, of.unit.replace("USD", "EUR"), "{key}");
                let limits = format!("{:?}", of.takes);
                let seat = key == "side_shims.usual";
                assert!(seat || format!("{:?}", known.takes) == limits, "{key}");
            }
        }
    }
    let all = every_key(FileKind::Axle, Units::MODEL);
    let of = |key: &str| {
        all.iter()
            .find(|of| of.key == key)
            .unwrap_or_else(|| panic!("{key}"))
    };
    for key in [
        "pinion_preload.gap.tol",
        "pinion_preload.thread_pitch",
        "as_built.side_closure",
    ] {
        assert!(of(key).takes != Takes::Nothing && !of(key).needed, "{key}");
        assert!(!of(key).meaning.is_empty());
    }
    assert!(of("gears.ring_teeth").needed);
    assert!(!of("side_shims.usual").needed, "adjusters may leave it out");
    let at = |key: &str| all.iter().position(|of| of.key == key);
    assert!(at("pinion_preload.gap") < at("side_preload"));
    let shop = every_key(FileKind::Shop, Units::MODEL);
    for key in ["shims.1.supplier", "shims.1.length", "jobs.1.job_fill"] {
        assert!(shop.iter().any(|of| of.key == key && !of.needed), "{key}");
    }
}

#[test]
fn limits_of_axles_and_shops_are_the_same_figures_in_any_units() {
    for kind in [FileKind::Axle, FileKind::Shop] {
        let takes = |units| {
            let keys = united(&every_kind(kind, units)).into_iter();
            let all: Vec<_> = keys.map(|known| (known.of.key, known.in_kinds)).collect();
            all
        };
        let [here, inches] = [Units::MODEL, Units::INCHES].map(takes);
        assert!(here.len() > 90);
        for (here, inches) in here.iter().zip(&inches) {
            assert_eq!(here, inches);
        }
    }
}

/// Every word of every choice is tried: where one asks for more keys, it makes a kind of its own.
#[test]
fn every_word_that_makes_another_kind_of_file_is_known() {
    for (kind, file) in [(FileKind::Axle, EXAMPLES[4]), (FileKind::Shop, EXAMPLES[1])] {
        let known = united(&every_kind(kind, Units::MODEL));
        let mut tried = 0;
        for of in &known {
            let Takes::Choice(words) = &of.of.takes else {
                continue;
            };
            let own = of.of.name.starts_with("shims") || of.of.name.starts_with("jobs");
            for word in words.iter().filter(|_| !own) {
                let set = format!("{}={word}", of.of.name).parse();
                let set = [set.unwrap_or_else(|e| panic!("{e}"))];
                let source = Source::Example(file);
                let keys = match kind {
                    FileKind::Axle => describe_as(&source, None, &set).map(|all| all.keys),
                    _ => read_shop(&source, &set, true)
                        .map(|read| described(read.notes, &read.root, kind, read.units).keys),
                };
                for asked in keys.unwrap_or_else(|e| panic!("{e}")) {
                    let parts = asked.key.split('.').map(|part| match part.parse::<u32>() {
                        Ok(_) => "1",
                        Err(_) => part,
                    });
                    let key = parts.collect::<Vec<_>>().join(".");
                    let known = known.iter().find(|known| known.of.key == key);
                    let ways = known.unwrap_or_else(|| panic!("{key}")).ways();
                    assert!(ways.iter().any(|way| way.covers(&asked.takes)), "{key}");
                }
                tried += 1;
            }
        }
        assert!(tried > 10, "{tried}");
    }
}

#[test]
fn every_default_says_what_it_rests_on() {
    let mut with_default = 0;
    for kind in [FileKind::Axle, FileKind::Shop, FileKind::Job] {
        let all = united(&every_kind(kind, Units::MODEL));
        let of_tolerance = |key: &str| {
            let outer = key.rsplit_once('.').map(|(outer, _)| outer);
            let mut tolerances = all.iter().map(|known| &known.of);
            tolerances
                .any(|of| matches!(of.takes, Takes::Tolerance(_)) && Some(of.key.as_str()) == outer)
        };
        let defaults = all.iter().filter(|known| known.of.assumed.is_some());
        for known in defaults.filter(|known| !of_tolerance(&known.of.key)) {
            assert!(basis(&known.of.key).is_some(), "{}", known.of.key);
            with_default += 1;
        }
    }
    // none is named that is not there
    assert_eq!(with_default, crate::files::basis::many());
}
