//! Reading files that are right: figures, units, defaults, overrides, measured values.

use std::path::PathBuf;

use shimcast::files::{
    EXAMPLES, Length, Loaded, Override, Source, Torque, job_source, load, load_axle, load_shop,
    openings, pinion_closure_wanted,
};
use shimcast_sim::axle::{Condition, Indicator, MarkSign, PinionSeat, PreloadBy, SideSeat};
use shimcast_sim::shims::{StripClass, Thickness};
use shimcast_sim::shop::{Correction, PinionStart, SideCheck, SideStart};
use shimcast_sim::tolerance::Tolerance;
use shimcast_sim::units::{NM_PER_LBF_IN, Window};

use crate::folder::Folder;

fn example(name: &str) -> Source {
    Source::File(
        PathBuf::from(env!("CARGO_MANIFEST_DIR"))
            .join("examples")
            .join(name),
    )
}

fn text_of(name: &str) -> &'static str {
    EXAMPLES
        .iter()
        .find(|e| e.name == name)
        .expect("an example")
        .text
}

fn set(all: &[&str]) -> Vec<Override> {
    all.iter()
        .map(|s| s.parse().unwrap_or_else(|e| panic!("{e}")))
        .collect()
}

fn read(axle: &Source, shop: &Source, overrides: &[&str]) -> Loaded {
    load(axle, shop, &set(overrides)).unwrap_or_else(|e| panic!("{e}"))
}

/// The short example in another unit or with other lines.
fn short(folder: &Folder, change: impl Fn(&str) -> String) -> Source {
    folder.file(
        "short.axle.toml",
        change(text_of("short.axle.toml")).as_bytes(),
    )
}

const SHORT_IN_INCHES: &str = r#"
name   = "Short, inches"
length = "in"
torque = "lbf.in"
gears = { pinion_teeth = 9, ring_teeth = 40, ring_diameter = 7.1 }
pinion_shim = { seat = "behind head cup", stock = "P-28in", usual = 0.035 }
side_shims = { seat = "behind side bearings", stock = "S-31in", usual = [0.090, 0.0825] }
pinion_preload = { by = "spacer", stock = "T-11in", usual = 0.045 }
windows = { backlash = [0.005, 0.009], pinion_torque = [14.0, 24.0] }
"#;

#[test]
fn the_built_in_files_give_their_own_figures() {
    let loaded = read(&Source::BuiltIn, &Source::BuiltIn, &[]);
    assert!(loaded.assumptions.is_empty() && loaded.warnings.is_empty());
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
    assert!(loaded.assumptions.is_empty(), "{:?}", loaded.assumptions);
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
    assert_eq!(shop.drawer.near_enough, 0.0005 * 25.4);
    let texts: Vec<&str> = loaded.assumptions.iter().map(|a| a.text.as_str()).collect();
    assert_eq!(texts.len(), 1, "{texts:?}");
    assert!(
        texts[0].starts_with("instruments.micrometer = none"),
        "{texts:?}"
    );
    let open = openings(axle, shop.bench.side_preload_added);
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
            let loaded = load_shop(&Source::Shipped(shipped), &[]).unwrap();
            for job in &loaded.shop.jobs {
                let axle = job_source(&loaded.source, job);
                assert!(matches!(axle, Source::Shipped(_)), "{}", job.axle);
                load_axle(&axle, &loaded, &[]).unwrap_or_else(|e| panic!("{e}"));
            }
        } else {
            read(&Source::Shipped(shipped), &shop, &[]);
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
fn what_a_short_axle_leaves_out_closes_every_loop() {
    let folder = Folder::new("loops");
    let inches = folder.file("inches.axle.toml", SHORT_IN_INCHES.as_bytes());
    let flange = short(&folder, |t| {
        t.replace("under head bearing", "cartridge flange")
    });
    for axle in [example("short.axle.toml"), inches, flange] {
        for added in ["0.18", "0.0", "0.257"] {
            let added = format!("bench.side_preload_added={added}");
            let loaded = read(&axle, &Source::BuiltIn, &[&added]);
            let open = openings(&loaded.axle, loaded.shop.bench.side_preload_added);
            for opening in [open.depth, open.side_closure, open.ring, open.spacer] {
                assert!(opening.abs() < 1e-9, "{axle:?} {added} {open:?}");
            }
            let closure = loaded.axle.windows.side_closure.middle();
            assert!((closure - loaded.shop.bench.side_preload_added).abs() < 1e-8);
        }
    }
}

/// Twelve nominals may be left out; whichever are, the loops that can close do.
#[test]
fn any_subset_of_nominals_may_be_left_out() {
    let figures = [
        ("housing.head_seat", "{ nominal = 4.1, tol = 0.003 }"),
        ("gears.mounting_distance", "3.0"),
        ("bearings.head.height", "{ nominal = 0.9, tol = 0.004 }"),
        ("gears.ring_distance", "1.3"),
        ("carrier.shoulder_ring", "{ nominal = 1.1, tol = 0.002 }"),
        ("housing.far_seat", "{ nominal = 2.9, tol = 0.002 }"),
        ("carrier.shoulders", "{ nominal = 4.5, tol = 0.002 }"),
        ("housing.ring_seat", "{ nominal = 3.3, tol = 0.002 }"),
        (
            "bearings.side.height",
            "{ nominal = 0.73, minus = 0.0, plus = 0.008 }",
        ),
        ("pinion_preload.gap", "{ nominal = 2.2, tol = 0.002 }"),
        ("pinion_preload.spacer", "{ nominal = 2.1, tol = 0.001 }"),
    ];
    let folder = Folder::new("subsets");
    let axle = folder.file("inches.axle.toml", SHORT_IN_INCHES.as_bytes());
    for stated in 0..1_u32 << figures.len() {
        // a fixed scattering of subsets; all 2048 would take their time
        if !stated.wrapping_mul(2_654_435_761).is_multiple_of(7) {
            continue;
        }
        let given: Vec<String> = (0..figures.len())
            .filter(|i| stated >> i & 1 == 1)
            .map(|i| format!("{}={}", figures[i].0, figures[i].1))
            .collect();
        let given: Vec<&str> = given.iter().map(String::as_str).collect();
        let loaded = read(&axle, &Source::BuiltIn, &given);
        let open = openings(&loaded.axle, loaded.shop.bench.side_preload_added);
        let left_out = |i: usize| stated >> i & 1 == 0;
        if (0..3).any(left_out) {
            assert!(open.depth.abs() < 1e-9, "{given:?} {open:?}");
        }
        if (9..11).any(left_out) {
            assert!(open.spacer.abs() < 1e-9, "{given:?} {open:?}");
        }
        let (ring_own, side_own) = ((3..5).any(left_out), (5..7).any(left_out));
        let shared = (7..9).filter(|i| left_out(*i)).count();
        let closers = usize::from(ring_own) + usize::from(side_own) + shared;
        if side_own || shared > 0 {
            assert!(open.side_closure.abs() < 1e-9, "{given:?} {open:?}");
        }
        if ring_own || (closers >= 2 && shared > 0) {
            assert!(open.ring.abs() < 1e-9, "{given:?} {open:?}");
        }
        let warned = loaded
            .warnings
            .iter()
            .any(|w| w.reason.contains("don't fit together"));
        assert_eq!(warned, shared == 1 && !ring_own && !side_own, "{given:?}");
    }
}

#[test]
fn a_spacer_gets_the_closure_that_the_middle_torque_wants() {
    let folder = Folder::new("spacer");
    let axle = folder.file("inches.axle.toml", SHORT_IN_INCHES.as_bytes());
    let loaded = read(&axle, &Source::BuiltIn, &[]);
    // by hand: (19.0·0.11298… − 0.25)·1000/0.28 = 6774 N, 12.9e-6·F^0.9 + F/200000
    let force: f64 = (19.0 * NM_PER_LBF_IN - 0.25) * 1000.0 / 0.28;
    let by_hand = 12.9e-6 * force.powf(0.9) + force / 200_000.0;
    assert!((pinion_closure_wanted(&loaded.axle) - by_hand).abs() < 1e-12);
    let PreloadBy::Spacer {
        gap, spacer, usual, ..
    } = &loaded.axle.pinion_preload.by
    else {
        panic!("a spacer");
    };
    assert!((gap.middle() - spacer.middle() - usual - by_hand).abs() < 1e-9);
    let mm = short(&folder, |t| {
        t.replace(
            "by = \"sleeve\"",
            "by = \"spacer\"\nstock = \"T-11in\"\nusual = 1.1",
        )
    });
    let loaded = read(&mm, &Source::BuiltIn, &["pinion_preload.spacer.nominal=54"]);
    let PreloadBy::Spacer {
        spacer, as_built, ..
    } = &loaded.axle.pinion_preload.by
    else {
        panic!("a spacer");
    };
    assert_eq!(Ok(as_built), Tolerance::normal(0.0, 0.015).as_ref());
    let given = Tolerance::normal_between(54.0 - 0.025, 54.0 + 0.025, 1.0);
    assert_eq!(Ok(spacer), given.as_ref());
}

#[test]
fn short_files_scale_with_the_ring() {
    let folder = Folder::new("scale");
    let axle = folder.file("inches.axle.toml", SHORT_IN_INCHES.as_bytes());
    let loaded = read(&axle, &Source::BuiltIn, &[]);
    let (gears, d) = (&loaded.axle.gears, 7.1 * 25.4);
    for (figure, expected) in [
        (gears.face_width, 0.158 * d),
        (gears.offset, 0.158 * d),
        (gears.cutter_radius, 0.443 * d),
        (gears.pattern.drive_length[0], 0.5 * 215.0 / d),
        (gears.pattern.coast_profile[2], 1.8 * 215.0 / d),
        (gears.mark.step, 0.0254),
        (
            loaded.axle.windows.pinion_torque_used.low,
            7.0 * NM_PER_LBF_IN,
        ),
        (loaded.axle.windows.depth, 0.05),
        (loaded.axle.windows.side_closure.high, 0.24),
    ] {
        assert!((figure - expected).abs() < 1e-8, "{figure} for {expected}");
    }
    assert_eq!(gears.pattern.drive_length[3], 0.004);
    assert_eq!(loaded.axle.bearings.head.deflection, 5.4e-6);
    let face = loaded
        .assumptions
        .iter()
        .find(|a| a.key == "gears.face_width")
        .unwrap();
    assert_eq!(
        face.text,
        "gears.face_width = 1.1218 in (0.158 × ring diameter)"
    );
}

/// States one assumption after another, alone and all before it, and compares to the last bit.
fn filling_changes_nothing(axle: &Source, shop: &Source) {
    let bare = read(axle, shop, &[]);
    let mut so_far: Vec<String> = Vec::new();
    for (i, assumption) in bare.assumptions.iter().enumerate() {
        // a series or name is one file's own, a length the other's: keys decide
        let fill: Vec<String> = assumption
            .fill
            .iter()
            .map(|(k, v)| format!("{k}={v}"))
            .collect();
        so_far.extend(fill.iter().cloned());
        for stated in [&fill, &so_far] {
            let stated: Vec<&str> = stated.iter().map(String::as_str).collect();
            let filled = read(axle, shop, &stated);
            assert_eq!(filled.axle, bare.axle, "{}", assumption.text);
            assert_eq!(filled.shop, bare.shop, "{}", assumption.text);
            let still: Vec<&str> = filled.assumptions.iter().map(|a| a.key.as_str()).collect();
            assert!(
                !still.contains(&assumption.key.as_str()),
                "{} in {still:?}",
                assumption.key
            );
            if stated.len() == so_far.len() {
                assert_eq!(
                    still.len(),
                    bare.assumptions.len() - i - 1,
                    "{}",
                    assumption.key
                );
            }
        }
    }
    assert!(bare.assumptions.len() > 40);
}

#[test]
fn stating_a_default_changes_nothing_in_mm() {
    let folder = Folder::new("fill-mm");
    let shop = folder.file(
        "short.shop.toml",
        b"name = \"Short\"\nlength = \"mm\"\ntorque = \"N.m\"\ncurrency = \"EUR\"\n",
    );
    filling_changes_nothing(&example("short.axle.toml"), &shop);
}

#[test]
fn stating_a_default_changes_nothing_in_inches() {
    let folder = Folder::new("fill-in");
    let axle = folder.file("inches.axle.toml", SHORT_IN_INCHES.as_bytes());
    let shop = folder.file(
        "short.shop.toml",
        b"name = \"Short\"\nlength = \"in\"\ntorque = \"lbf.in\"\ncurrency = \"USD\"\n",
    );
    filling_changes_nothing(&axle, &shop);
}

#[test]
fn half_given_groups_keep_the_rest_of_the_built_in_axle() {
    let folder = Folder::new("half");
    let axle = short(&folder, |t| {
        format!(
            "{t}depth = 0.04\n[housing]\nhead_seat = {{ tol = 0.02 }}\nring_seat = {{ nominal = 90.0 }}\nfar_seat = {{ nominal = 80.0, shape = \"uniform\" }}\n[bearings.head]\nheight = {{ nominal = 27.0, lot_share = 0.5 }}\n"
        )
    });
    let loaded = read(&axle, &Source::BuiltIn, &[]);
    assert_eq!(loaded.axle.windows.depth, 0.04);
    assert_eq!(loaded.axle.windows.backlash_variation, 0.07);
    assert_eq!(
        Ok(&loaded.axle.housing.ring_seat),
        Tolerance::normal_between(89.92, 90.08, 1.0).as_ref()
    );
    assert_eq!(
        Ok(&loaded.axle.housing.far_seat),
        Tolerance::uniform(79.92, 80.08).as_ref()
    );
    let head = Tolerance::normal_between(27.0, 27.2, 1.33).and_then(|t| t.with_lot_share(0.5));
    assert_eq!(Ok(&loaded.axle.bearings.head.height), head.as_ref());
    let keys: Vec<&str> = loaded.assumptions.iter().map(|a| a.key.as_str()).collect();
    assert!(keys.contains(&"housing.head_seat.nominal") && !keys.contains(&"housing.head_seat"));
    assert!(
        keys.contains(&"housing.ring_seat.tol") && keys.contains(&"bearings.head.height.minus")
    );
    filling_changes_nothing(&axle, &Source::BuiltIn);
}

#[test]
fn inch_and_millimetre_files_of_one_axle_agree() {
    let folder = Folder::new("twins");
    let inches = folder.file("inches.axle.toml", SHORT_IN_INCHES.as_bytes());
    let mm = SHORT_IN_INCHES
        .replace("length = \"in\"", "length = \"mm\"")
        .replace("torque = \"lbf.in\"", "torque = \"N.m\"")
        .replace("ring_diameter = 7.1", "ring_diameter = 180.34")
        .replace("usual = 0.035", "usual = 0.889")
        .replace("[0.090, 0.0825]", "[2.286, 2.0955]")
        .replace("usual = 0.045", "usual = 1.143")
        .replace("[0.005, 0.009]", "[0.127, 0.2286]")
        .replace("[14.0, 24.0]", "[1.5817876063866, 2.7116358966628]")
        .replace("gears = {", "gears = { mark = { step = 0.0254 },");
    let mm = folder.file("mm.axle.toml", mm.as_bytes());
    let (a, b) = (
        read(&inches, &Source::BuiltIn, &[]),
        read(&mm, &Source::BuiltIn, &[]),
    );
    assert!(!b.assumptions.is_empty());
    let (a, b) = (format!("{:?}", a.axle), format!("{:?}", b.axle));
    let figures = |s: &str| -> Vec<f64> {
        s.split(|c: char| !(c.is_ascii_digit() || "+-.e".contains(c)))
            .filter_map(|w| w.parse().ok())
            .collect()
    };
    let (a, b) = (figures(&a), figures(&b));
    assert!(a.len() > 100 && a.len() == b.len());
    for (x, y) in a.iter().zip(&b) {
        assert!((x - y).abs() < 1e-7, "{x} and {y}");
    }
}

#[test]
fn a_short_shop_takes_the_built_in_one() {
    let folder = Folder::new("shop");
    let short = folder.file(
        "short.shop.toml",
        b"name = \"Short\"\nlength = \"in\"\ntorque = \"lbf.in\"\ncurrency = \"USD\"\n",
    );
    let (short, full) = (
        load_shop(&short, &[]).unwrap(),
        load_shop(&Source::BuiltIn, &[]).unwrap(),
    );
    assert_eq!(short.shop.shims, full.shop.shims);
    assert!(short.shop.jobs.is_empty());
    let micrometer = short.shop.instruments.micrometer.unwrap();
    assert!((micrometer - 0.003).abs() < 1e-10);
    assert!((short.shop.bench.depth_belief - 1.45).abs() < 1e-9);
    assert!((short.shop.bench.side_preload_added - 0.18).abs() < 1e-8);
    assert_eq!(short.shop.minutes, full.shop.minutes);
    let belief = short
        .assumptions
        .iter()
        .find(|a| a.key == "bench.depth_belief")
        .unwrap();
    assert_eq!(belief.text, "bench.depth_belief = 36.83 per in (built-in)");
    let hour = short
        .assumptions
        .iter()
        .find(|a| a.key == "prices.hour")
        .unwrap();
    assert_eq!(hour.text, "prices.hour = 92 USD (built-in)");
}

#[test]
fn a_list_of_instruments_without_a_micrometer_means_none() {
    let folder = Folder::new("micrometer");
    let head = "name = \"Short\"\nlength = \"mm\"\ntorque = \"N.m\"\ncurrency = \"EUR\"\n";
    let file = |name: &str, more: &str| folder.file(name, format!("{head}{more}").as_bytes());
    let micrometer = |source: &Source, overrides: &[&str]| {
        load_shop(source, &set(overrides))
            .unwrap()
            .shop
            .instruments
            .micrometer
    };
    let bare = file("bare.toml", "");
    let listed = file(
        "listed.toml",
        "[instruments]\nend_play = { sigma = 0.03 }\n",
    );
    let none = file("none.toml", "[instruments]\nmicrometer = \"none\"\n");
    assert_eq!(micrometer(&bare, &[]), Some(0.003));
    assert_eq!(
        micrometer(&bare, &["instruments.end_play.sigma=0.01"]),
        Some(0.003)
    );
    assert_eq!(micrometer(&listed, &[]), None);
    assert_eq!(micrometer(&none, &[]), None);
    assert_eq!(micrometer(&bare, &["instruments.micrometer=none"]), None);
    assert_eq!(
        micrometer(&listed, &["instruments.micrometer.sigma=0.002"]),
        Some(0.002)
    );
}

#[test]
fn a_series_states_what_it_assumes() {
    let folder = Folder::new("series");
    let source = folder.file(
        "s.shop.toml",
        b"name = \"S\"\nlength = \"in\"\ntorque = \"N.m\"\ncurrency = \"EUR\"\n[[shims]]\nseries = \"X\"\nsizes = [0.005, 0.010]\n",
    );
    let loaded = load_shop(&source, &[]).unwrap();
    let [series] = &loaded.shop.shims[..] else {
        panic!("one series")
    };
    assert_eq!(
        (
            series.price,
            series.pack_of,
            series.most_in_pack,
            series.spoiled
        ),
        (4.0, 1, 3, 0.06)
    );
    assert_eq!(series.tolerance, Thickness::Strip(StripClass::Fine));
    assert_eq!(series.sizes, [0.005 * 25.4, 0.010 * 25.4]);
    let keys: Vec<&str> = loaded
        .assumptions
        .iter()
        .map(|a| a.key.as_str())
        .filter(|k| k.starts_with("shims"))
        .collect();
    assert_eq!(
        keys,
        [
            "shims.X.price",
            "shims.X.pack_of",
            "shims.X.tol",
            "shims.X.most_in_pack",
            "shims.X.spoiled"
        ]
    );
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
    let loaded = read(
        &example("short.axle.toml"),
        &Source::BuiltIn,
        &["bench.side_preload_added=0.30"],
    );
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
        let open = openings(&loaded.axle, loaded.shop.bench.side_preload_added);
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
    assert_eq!(at("shims.P-38.sizes").line, 64);
    assert_eq!(at("jobs.2.gears").line, 129);
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
