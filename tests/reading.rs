//! Reading files that are right: figures, units, overrides, measured values.

use std::path::PathBuf;

use shimcast::files::{EXAMPLES, Loaded, Source, job_source, load_axle, load_shop};
use shimcast::units::{Length, Torque};
use shimcast_sim::axle::shims::{StripClass, Thickness};
use shimcast_sim::axle::tolerance::Tolerance;
use shimcast_sim::axle::{Condition, Indicator, MarkSign, PinionSeat, PreloadBy, SideSeat};
use shimcast_sim::demo;
use shimcast_sim::shop::{Correction, PinionStart, SideCheck, SideStart};
use shimcast_sim::units::{NM_PER_LBF_IN, Window};

use crate::given::{Folder, SHORT_IN_INCHES, example, has, read, set, short, text_of, without};

/// The built-in shop leaves it to the user to say what an hour costs; until then it is what is
/// charged.
fn only_the_cost_of_an_hour_is_left_out(loaded: &Loaded) {
    let keys: Vec<&str> = loaded.assumptions.iter().map(|a| a.key.as_str()).collect();
    assert_eq!(keys, ["prices.hour_cost"]);
    assert_eq!(loaded.shop.prices.hour_cost, loaded.shop.prices.hour);
}

#[test]
fn the_built_in_files_give_their_own_figures() {
    let loaded = read(&Source::BuiltIn, &Source::BuiltIn, &[]);
    only_the_cost_of_an_hour_is_left_out(&loaded);
    assert!(loaded.warnings.is_empty());
    assert_eq!(loaded.axle_units.length, Length::Millimetre);
    let axle = &loaded.axle;
    assert_eq!(axle.name, "Rowan 215");
    assert_eq!((axle.gears.pinion_teeth, axle.gears.ring_teeth), (11, 41));
    assert_eq!(axle.gears.cutter_radius, 95.25);
    assert_eq!(axle.gears.mark.plus, MarkSign::Farther);
    assert_eq!(axle.gears.pattern.coast_length, [-0.6, -0.2, 0.8, -0.023]);
    assert_eq!(axle.gears.pattern.scatter_profile, 0.02);
    let inspected =
        Tolerance::normal_between(-0.10, 0.10, 0.85).and_then(|t| t.inspected(-0.10, 0.10));
    assert_eq!(Ok(&axle.gears.depth_deviation), inspected.as_ref());
    assert_eq!(
        Ok(&axle.gears.tooth_runout),
        Tolerance::half_normal(0.0, 0.022).as_ref()
    );
    let head = Tolerance::normal_between(28.0, 28.2, 1.33).and_then(|t| t.with_lot_share(0.9));
    assert_eq!(Ok(&axle.bearings.head.height), head.as_ref());
    assert_eq!(axle.bearings.head.height.middle(), 28.1);
    assert_eq!(
        Ok(&axle.pinion_preload.torque_per_force),
        Tolerance::normal_cv(0.28, 0.12).as_ref()
    );
    assert_eq!(
        axle.pinion_preload.by,
        PreloadBy::Sleeve { thread_pitch: 1.5 }
    );
    assert_eq!(axle.side_shims.usual, [2.0, 2.1]);
    assert_eq!(axle.windows.pinion_torque_used, Window::new(0.8, 1.4));
    let shop = &loaded.shop;
    assert_eq!(shop.bench.ring_belief, 0.85);
    assert_eq!(shop.bench.pinion_start, PinionStart::OldPack);
    assert_eq!(shop.bench.side_start, SideStart::OldPacks);
    assert!(shop.bench.learns && shop.bench.setup_bearings && !shop.bench.measures_heights);
    assert_eq!((shop.bench.guard, shop.bench.cone_spoiled), (0.0, 0.10));
    let prices = &shop.prices;
    assert_eq!((prices.hour, prices.hour_cost), (92.0, 92.0));
    assert_eq!((prices.cone, prices.given_up), (38.0, 250.0));
    assert_eq!(shop.instruments.micrometer, Some(0.003));
    assert_eq!(shop.instruments.nut.slip_by, 10.0);
    assert_eq!(shop.minutes.side_change[2].usual, 8.0);
    assert_eq!(shop.minutes.pinion_change[0].most, 90.0);
    assert_eq!(shop.shims.len(), 5);
    assert_eq!(shop.shims[0].tolerance, Thickness::Strip(StripClass::Fine));
    assert_eq!(shop.shims[0].sizes.len(), 15);
    assert_eq!(shop.jobs[1].gears, Condition::Kept);
    assert_eq!(shop.drawer.job_fill, 0.95);
}

#[test]
fn inches_and_pound_force_inches_are_converted_once() {
    let loaded = read(
        &example("sorrel-71.axle.toml"),
        &example("north-bench.shop.toml"),
        &[],
    );
    only_the_cost_of_an_hour_is_left_out(&loaded);
    assert_eq!(loaded.axle_units.torque, Torque::PoundForceInch);
    let axle = &loaded.axle;
    assert_eq!(axle.gears.ring_diameter, 7.10 * 25.4);
    assert_eq!(axle.gears.mark.step, 0.001 * 25.4);
    assert_eq!(
        axle.gears.pattern.drive_profile,
        [36.0 / 25.4, 2.0 / 25.4, 26.0 / 25.4, 0.030]
    );
    assert_eq!(
        axle.windows.pinion_torque,
        Window::new(14.0 * NM_PER_LBF_IN, 24.0 * NM_PER_LBF_IN)
    );
    assert_eq!(
        axle.windows.backlash,
        Window::new(0.005 * 25.4, 0.009 * 25.4)
    );
    assert_eq!(axle.bearings.tail.deflection, 8.5e-6);
    assert_eq!(axle.housing.stiffness, 35.0);
    assert_eq!(axle.pinion_preload.torque_per_force.middle(), 0.26);
    assert!((axle.pinion_preload.seal_drag.middle() - 2.2 * NM_PER_LBF_IN).abs() < 1e-15);
    assert_eq!(
        axle.housing.shaft_angle,
        Tolerance::normal_between(-1.5, 1.5, 1.0).unwrap()
    );
    let PreloadBy::Spacer {
        stock, usual, gap, ..
    } = &axle.pinion_preload.by
    else {
        panic!("a spacer");
    };
    assert_eq!((stock.as_str(), *usual), ("T-11in", 0.045 * 25.4));
    assert!((gap.middle() - 2.2 * 25.4).abs() < 1e-12);
    let series = loaded.shop.series("P-28in").unwrap();
    assert_eq!(series.unit, 25.4);
    assert_eq!(series.sizes[1], 0.004 * 25.4);
    assert_eq!(series.tolerance, Thickness::Limit(0.0005 * 25.4));
}

#[test]
fn the_other_variants_are_read() {
    let loaded = read(
        &example("tamarack-88.axle.toml"),
        &example("quay-lane.shop.toml"),
        &[],
    );
    assert!(loaded.warnings.is_empty(), "{:?}", loaded.warnings);
    let (axle, shop) = (&loaded.axle, &loaded.shop);
    assert_eq!(axle.gears.offset, 0.0);
    assert_eq!(axle.gears.mark.plus, MarkSign::Deeper);
    assert_eq!(axle.pinion_shim.seat, PinionSeat::CartridgeFlange);
    assert_eq!(axle.side_shims.seat, SideSeat::ScrewAdjusters);
    assert_eq!(axle.side_shims.stock, None);
    assert_eq!(axle.windows.indicator, Indicator::SquareToTooth);
    assert_eq!(shop.bench.correction, Correction::Halving);
    assert_eq!(shop.bench.side_check, SideCheck::TorqueRise);
    assert_eq!(shop.bench.pinion_start, PinionStart::Gauge);
    assert_eq!(shop.bench.side_start, SideStart::ZeroLash);
    assert_eq!(shop.bench.depth_belief, 36.0 / 25.4);
    assert_eq!(shop.bench.notch, 0.001 * 25.4);
    assert_eq!(shop.instruments.micrometer, None);
    assert_eq!(shop.instruments.torque.sigma, 0.8 * NM_PER_LBF_IN);
    assert_eq!(shop.series("F-44").unwrap().sizes[0], 0.2);
    assert_eq!((shop.prices.hour, shop.prices.hour_cost), (110.0, 68.0));
    assert_eq!(shop.drawer.near_enough, 0.0005 * 25.4);
    let texts: Vec<&str> = loaded.assumptions.iter().map(|a| a.text.as_str()).collect();
    assert_eq!(texts.len(), 1, "{texts:?}");
    assert!(
        texts[0].starts_with("instruments.micrometer = none"),
        "{texts:?}"
    );
    let open = axle.openings(shop.bench.side_preload_added);
    assert!(open.depth.abs() < 1e-9 && open.side_closure.abs() < 1e-3 && open.ring.abs() < 1e-3);
}

#[test]
fn every_example_reads_from_disk_as_from_the_program() {
    for shipped in EXAMPLES {
        let on_disk = std::fs::read_to_string(
            PathBuf::from(env!("CARGO_MANIFEST_DIR"))
                .join("examples")
                .join(shipped.name),
        )
        .unwrap();
        assert_eq!(on_disk, shipped.text, "{}", shipped.name);
        let shop = if shipped.name == "tamarack-88.axle.toml" {
            example("quay-lane.shop.toml")
        } else {
            Source::BuiltIn
        };
        if shipped.name.ends_with(".shop.toml") {
            let loaded = load_shop(&Source::Example(shipped), &[]).unwrap();
            for job in &loaded.shop.jobs {
                let axle = job_source(&loaded.source, job);
                assert!(matches!(axle, Source::Example(_)), "{}", job.axle);
                load_axle(&axle, &loaded, &[]).unwrap_or_else(|e| panic!("{e}"));
            }
        } else {
            read(&Source::Example(shipped), &shop, &[]);
        }
    }
}

#[test]
fn jobs_are_looked_for_beside_the_shop_file() {
    let shop = load_shop(&example("north-bench.shop.toml"), &[]).unwrap();
    let Source::File(path) = job_source(&shop.source, &shop.shop.jobs[1]) else {
        panic!("a file");
    };
    assert!(path.ends_with("examples/sorrel-71.axle.toml"));
}

#[test]
fn overrides_reach_every_kind_of_key() {
    let loaded = read(
        &Source::BuiltIn,
        &Source::BuiltIn,
        &[
            "housing.head_seat.tol=0.04",
            "axle.gears.pinion_spiral = 45",
            "bench.pinion_start=gauge",
            "shop.bench.side_start=\"zero lash\"",
            "shims.P-38.price=4",
            "shims.\"S-80\".most_in_pack=3",
            "jobs.2.per_month=4",
            "minutes.side_change.behind side bearings=[30,40,70]",
            "minutes.pinion_change.'cartridge flange'=[1,2,3]",
            "windows.pinion_torque=[1.6, 2.6]",
            "instruments.dial.step=0.02",
            "axle.name=Other",
            "currency=GBP",
            "bench.learns=false",
            "bench.notch=0.01",
            "bench.notch=0.03",
        ],
    );
    assert_eq!(
        Ok(&loaded.axle.housing.head_seat),
        Tolerance::normal_between(120.96, 121.04, 1.0).as_ref()
    );
    assert_eq!(loaded.axle.gears.pinion_spiral, 45.0);
    assert_eq!(loaded.shop.bench.pinion_start, PinionStart::Gauge);
    assert_eq!(loaded.shop.bench.side_start, SideStart::ZeroLash);
    assert_eq!(loaded.shop.series("P-38").unwrap().price, 4.0);
    assert_eq!(loaded.shop.series("S-80").unwrap().most_in_pack, 3);
    assert_eq!(loaded.shop.jobs[1].per_month, 4.0);
    assert_eq!(loaded.shop.minutes.side_change[1].most, 70.0);
    assert_eq!(loaded.shop.minutes.pinion_change[2].least, 1.0);
    assert_eq!(loaded.axle.windows.pinion_torque, Window::new(1.6, 2.6));
    assert_eq!(loaded.shop.instruments.dial.step, 0.02);
    assert_eq!(
        (loaded.axle.name.as_str(), loaded.shop.currency.as_str()),
        ("Other", "GBP")
    );
    assert!(!loaded.shop.bench.learns);
    assert_eq!(loaded.shop.bench.notch, 0.03, "the last one holds");
}

#[test]
fn an_override_is_in_the_units_of_its_file() {
    let loaded = read(
        &example("sorrel-71.axle.toml"),
        &Source::BuiltIn,
        &[
            "windows.depth=0.004",
            "windows.pinion_torque=[10, 20]",
            "bench.first_move=0.2",
            "shims.P-28in.sizes=[0.01]",
        ],
    );
    assert_eq!(loaded.axle.windows.depth, 0.004 * 25.4);
    assert_eq!(loaded.axle.windows.pinion_torque.high, 20.0 * NM_PER_LBF_IN);
    assert_eq!(loaded.shop.bench.first_move, 0.2);
    assert_eq!(loaded.shop.series("P-28in").unwrap().sizes, [0.01 * 25.4]);
}

#[test]
fn a_shops_habit_reaches_the_axles_default() {
    let folder = Folder::new("habit");
    let axle = short(&folder, |text| without(text, "side_closure"));
    let loaded = read(&axle, &Source::BuiltIn, &["bench.side_preload_added=0.30"]);
    let window = loaded.axle.windows.side_closure;
    assert!((window.low - 0.24).abs() < 1e-12 && (window.high - 0.36).abs() < 1e-12);
}

#[test]
fn measured_values_come_from_a_list_or_a_csv_column() {
    let folder = Folder::new("csv");
    folder.file("one.csv", b"# callipers\nheight\n1.00\n\n1.02\n1.04\n");
    folder.file("bare.csv", b"1.00\n1.02\n1.04\n");
    folder.file("two.csv", b"part;height\n1;1.00\n2;1.02\n3;1.04\n");
    let inches = |height: &str| {
        let text = format!("{SHORT_IN_INCHES}[bearings.head]\nheight = {height}\n");
        folder.file("m.axle.toml", text.as_bytes())
    };
    let expected = Tolerance::measured([1.00, 1.02, 1.04].map(|x| x * 25.4).to_vec()).unwrap();
    for height in [
        r#"{ shape = "measured", values = [1.00, 1.02, 1.04] }"#,
        r#"{ shape = "measured", from = "one.csv" }"#,
        r#"{ shape = "measured", from = "bare.csv" }"#,
        r#"{ shape = "measured", from = "one.csv", column = "height" }"#,
        r#"{ shape = "measured", from = "two.csv", column = "height" }"#,
    ] {
        let loaded = read(&inches(height), &Source::BuiltIn, &[]);
        assert_eq!(loaded.axle.bearings.head.height, expected, "{height}");
        let open = loaded.axle.openings(loaded.shop.bench.side_preload_added);
        assert!(open.depth.abs() < 1e-9, "a list has its own middle");
    }
    let weighted = r#"{ shape = "discrete", values = [1, 2], weights = [3, 1] }"#;
    let loaded = read(&inches(weighted), &Source::BuiltIn, &[]);
    let expected = Tolerance::discrete(vec![25.4, 50.8], &[3.0, 1.0]).unwrap();
    assert_eq!(loaded.axle.bearings.head.height, expected);
}

#[test]
fn other_shapes_are_read() {
    let with = |value: &str| {
        let key = format!("housing.offset={value}");
        read(&Source::BuiltIn, &Source::BuiltIn, &[&key])
            .axle
            .housing
            .offset
    };
    for (value, expected) in [
        (
            "{ shape = \"triangular\", minus = 0.1, plus = 0.3 }",
            Tolerance::triangular(-0.1, 0.3),
        ),
        (
            "{ shape = \"uniform\", tol = 0.1 }",
            Tolerance::uniform(-0.1, 0.1),
        ),
        (
            "{ shape = \"half-normal\", tol = 0.3, cpk = 2 }",
            Tolerance::half_normal(0.0, 0.3 / 6.0),
        ),
        (
            "{ shape = \"lognormal\", nominal = 2, cv = 0.1 }",
            Tolerance::lognormal(2.0, 0.1),
        ),
        ("{ sigma = 0.1 }", Tolerance::normal(0.0, 0.1)),
        (
            "{ nominal = 1, tol = 0.3, inspected = false }",
            Tolerance::normal_between(0.7, 1.3, 1.0),
        ),
    ] {
        assert_eq!(Ok(with(value)), expected, "{value}");
    }
}

#[test]
fn line_endings_and_a_byte_order_mark_do_not_matter() {
    let folder = Folder::new("bom");
    let text = format!(
        "\u{feff}{}",
        text_of("rowan-215.axle.toml").replace('\n', "\r\n")
    );
    let axle = folder.file("dos.axle.toml", text.as_bytes());
    let loaded = read(&axle, &Source::BuiltIn, &[]);
    assert_eq!(
        loaded.axle,
        read(&Source::BuiltIn, &Source::BuiltIn, &[]).axle
    );
}

#[test]
fn a_flaw_found_later_is_placed_at_its_key() {
    let loaded = read(
        &example("short.axle.toml"),
        &example("north-bench.shop.toml"),
        &["housing.stiffness=3"],
    );
    let at = |key: &str| loaded.problem_at(key, "too odd".to_owned());
    let stated = at("gears.ring_teeth");
    assert_eq!((stated.line, stated.column), (9, 17));
    assert!(
        stated
            .to_string()
            .contains("short.axle.toml:9:17: too odd\n    ring_teeth"),
        "{stated}"
    );
    let left_out = at("gears.cutter_radius");
    assert_eq!((left_out.line, left_out.column, left_out.width), (1, 1, 0));
    assert!(
        left_out
            .help
            .unwrap()
            .contains("gears.cutter_radius is not stated")
    );
    assert_eq!(at("shims.P-38.sizes").line, 69);
    assert_eq!(at("jobs.2.gears").line, 138);
    assert_eq!(at("pinion_shim.stock").line, 14);
    assert!(
        at("housing.stiffness")
            .to_string()
            .starts_with("--set housing.stiffness=3: too odd")
    );
}

#[test]
fn keys_of_another_variant_have_no_effect_and_say_so() {
    let loaded = read(
        &Source::BuiltIn,
        &Source::BuiltIn,
        &[
            "as_built.closure.sigma=1",
            "pinion_preload.stock=3",
            "pinion_preload.gap.tol=-1",
            "side_shims.seat=screw adjusters",
        ],
    );
    let warnings: Vec<String> = loaded.warnings.iter().map(ToString::to_string).collect();
    assert_eq!(warnings.len(), 4, "{warnings:#?}");
    for (part, words) in [
        ("as_built.closure.sigma=1", "as_built.closure has no effect"),
        ("pinion_preload.stock=3", "a sleeve has no shims"),
        ("pinion_preload.gap", "pinion_preload.gap has no effect"),
        ("rowan-215.axle.toml:71:1", "screw adjusters need no shims"),
    ] {
        assert!(
            warnings
                .iter()
                .any(|w| w.contains(part) && w.contains(words) && w.contains("warning")),
            "{part}: {warnings:#?}"
        );
    }
    let spacer = read(
        &example("sorrel-71.axle.toml"),
        &Source::BuiltIn,
        &["pinion_preload.thread_pitch=x"],
    );
    assert_eq!(spacer.warnings.len(), 1);
    assert!(spacer.warnings[0].reason.contains("thread_pitch"));
}

#[test]
fn the_demo_in_code_is_that_of_the_built_in_files() {
    let loaded = read(&Source::BuiltIn, &Source::BuiltIn, &[]);
    assert_eq!(loaded.axle, demo::axle());
    let mut shop = loaded.shop;
    let demo = demo::shop();
    // the file has shims for other axles as well
    shop.shims
        .retain(|series| demo.shims.iter().any(|own| own.name == series.name));
    shop.jobs.clear();
    assert_eq!(shop, demo);
}

#[test]
fn a_series_may_say_where_it_is_bought_and_nothing_is_assumed() {
    let plain = load_shop(&Source::BuiltIn, &[]).expect("the built-in shop");
    let series = plain.shop.shims.iter().map(|series| series.name.as_str());
    let names: Vec<&str> = series.collect();
    let bought: Vec<&str> = plain.supplies.iter().map(|of| of.series.as_str()).collect();
    assert_eq!(bought, names);
    for of in &plain.supplies {
        let nothing = (&of.supplier, of.part_numbers.len(), of.least_order);
        assert_eq!(nothing, (&None, 0, 1));
    }
    let assumed: Vec<&str> = plain.assumptions.iter().map(|a| a.key.as_str()).collect();
    assert_eq!(assumed, ["prices.hour_cost"]);
    let keys = [
        "shims.T-11in.supplier=Ridgeway Supplies",
        "shims.T-11in.part_numbers=[\"0101\", \"\", \" 0.103 \", \"=4\", \"e\", \"f\", \"g\"]",
        "shims.T-11in.least_order=5",
    ];
    let told = load_shop(&Source::BuiltIn, &set(&keys)).unwrap_or_else(|e| panic!("{e}"));
    let of = &told.supplies[4];
    assert_eq!((of.series.as_str(), of.least_order), ("T-11in", 5));
    assert_eq!(of.supplier.as_deref(), Some("Ridgeway Supplies"));
    let sizes = &told.shop.shims[4].sizes;
    let numbers = [
        (0, "0101"),
        (2, "0.103"),
        (3, "=4"),
        (4, "e"),
        (5, "f"),
        (6, "g"),
    ];
    let numbers = numbers.map(|(i, number)| (sizes[i], number.to_owned()));
    assert_eq!(of.part_numbers, numbers);
    // the plan's own shop is the same, and so are the other series
    assert_eq!(told.shop, plain.shop);
    assert_eq!(told.supplies[..4], plain.supplies[..4]);
    assert_eq!(told.assumptions, plain.assumptions);
    // sizes that are told anew want numbers of their own
    let fewer = [keys[1], "shims.T-11in.sizes=[0.01, 0.02]"];
    let problems = load_shop(&Source::BuiltIn, &set(&fewer)).expect_err("seven for two");
    has(&problems.to_string(), "has 7 part numbers for 2 sizes");
}
