//! The program as a process: what it prints where, and how it ends.

use std::process::Stdio;

use serde_json::Value;
use shimcast::document::{AT_WORK, CAUTION};

use crate::given::{self, Folder, answer, json, program, run};

include!("../sim/tests/vectors.rs");

/// The answer as JSON.
fn asked(arguments: &[&str]) -> Value {
    json(&[arguments, &["--json"]].concat())
}

#[test]
fn the_library_inside_the_program_draws_the_same_bits() {
    let (seed, rebuilds) = (SEED.to_string(), REBUILDS.to_string());
    let odds = asked(&["odds", "--seed", &seed, "--rebuilds", &rebuilds]);
    let figures = [
        "/first_assembly/all/value",
        "/handed_over/all/value",
        "/effort/assemblies/mean/value",
        "/effort/hours/mean/value",
        "/effort/hours/p80/value",
        "/spread/first_depth/mean",
        "/spread/first_backlash/sd",
    ];
    let bits = figures.map(|path| {
        let figure = odds.pointer(path).and_then(Value::as_f64);
        figure.unwrap_or_else(|| panic!("{path}")).to_bits()
    });
    assert_eq!(bits, ODDS);
}

#[test]
fn json_keeps_its_contract() {
    let odds = asked(&["odds", "examples/sorrel-71.axle.toml", "--rebuilds", "3000"]);
    let keys = |value: &Value| -> Vec<String> {
        value
            .as_object()
            .expect("an object")
            .keys()
            .cloned()
            .collect()
    };
    assert_eq!(
        keys(&odds),
        [
            "shimcast",
            "answer",
            "format",
            "seed",
            "rebuilds",
            "partial",
            "axle",
            "shop",
            "gears",
            "bearings",
            "assumptions",
            "doubts",
            "geometry",
            "first_assembly",
            "handed_over",
            "effort",
            "spread",
            "packs"
        ]
    );
    assert_eq!(odds["shimcast"], env!("CARGO_PKG_VERSION"));
    assert_eq!(odds["answer"], "odds");
    assert_eq!(odds["format"], 1);
    assert_eq!(odds["seed"], 1);
    assert_eq!(odds["rebuilds"], 3000);
    assert_eq!(odds["partial"], false);
    assert_eq!(odds["axle"], "Sorrel 7.1");
    assert_eq!(odds["shop"], "North Bench");
    assert_eq!(odds["gears"], "new");
    assert_eq!(odds["bearings"], "new");
    // what an hour costs is left to the user
    let assumed = odds["assumptions"].as_array().expect("a list");
    assert_eq!(assumed.len(), 1);
    assert!(
        assumed[0]
            .as_str()
            .expect("text")
            .starts_with("prices.hour_cost = ")
    );
    assert_eq!(
        keys(&odds["geometry"]),
        [
            "ratio",
            "pinion_pitch_angle",
            "ring_pitch_angle",
            "ring_spiral_angle",
            "drive_pressure_angle",
            "coast_pressure_angle",
            "backlash_per_ring_move",
            "backlash_per_depth",
            "backlash_per_offset",
            "backlash_per_arcminute"
        ]
    );
    let estimates = [
        "/first_assembly/backlash",
        "/first_assembly/pattern",
        "/first_assembly/side_closure",
        "/first_assembly/depth",
        "/first_assembly/all",
        "/handed_over/backlash",
        "/handed_over/pattern",
        "/handed_over/side_closure",
        "/handed_over/depth",
        "/handed_over/pinion_torque",
        "/handed_over/all",
        "/handed_over/clearly_out",
        "/effort/finished",
        "/effort/compromised",
        "/effort/assemblies/mean",
        "/effort/pinion_changes",
        "/effort/side_changes",
        "/effort/reseats",
        "/effort/preload_tries",
        "/effort/hours/mean",
        "/effort/hours/p50",
        "/effort/hours/p80",
        "/effort/hours/p90",
        "/effort/hours/p95",
    ];
    for path in estimates {
        let estimate = odds.pointer(path).unwrap_or_else(|| panic!("{path}"));
        assert_eq!(keys(estimate), ["value", "low", "high"], "{path}");
        let [value, low, high] = ["value", "low", "high"].map(|k| estimate[k].as_f64().unwrap());
        assert!(low <= value && value <= high, "{path}");
    }
    for moments in ["first_depth", "first_backlash", "first_closure"] {
        assert_eq!(keys(&odds["spread"][moments]), ["mean", "sd"]);
    }
    let shares = odds["effort"]["assemblies"]["shares"].as_array().unwrap();
    let sum: f64 = shares.iter().map(|share| share.as_f64().unwrap()).sum();
    assert!((sum - 1.0).abs() < 1e-9);
    for place in ["pinion", "ring_side", "far_side", "preload"] {
        let packs = odds["packs"][place].as_array().expect("a list");
        assert!(
            packs
                .iter()
                .all(|pack| keys(pack) == ["thickness", "share"])
        );
        let sum: f64 = packs
            .iter()
            .map(|pack| pack["share"].as_f64().unwrap())
            .sum();
        assert!((sum - 1.0).abs() < 1e-9, "{place}");
    }
    // in mm, whatever the file uses
    let thickness = odds["packs"]["pinion"][0]["thickness"].as_f64().unwrap();
    assert!((0.4..1.4).contains(&thickness));
}

/// The figures that two independent implementations of the model agree on, to the last digit.
#[test]
#[cfg_attr(debug_assertions, ignore = "slow without optimisation: use --release")]
fn figures_of_the_demo_axles() {
    let check = |odds: &Value, path: &str, expected: f64, within: f64| {
        let figure = odds.pointer(path).and_then(Value::as_f64).expect(path);
        assert!((figure - expected).abs() <= within, "{path}: {figure}");
    };
    let rowan = asked(&["odds", "--rebuilds", "2000000", "--seed", "3"]);
    for (path, expected, within) in [
        ("/geometry/ring_pitch_angle", 70.898, 0.0005),
        ("/geometry/backlash_per_ring_move", 0.976, 0.0005),
        ("/geometry/backlash_per_depth", 0.319, 0.0005),
        ("/first_assembly/backlash/value", 0.306, 0.0015),
        ("/first_assembly/pattern/value", 0.869, 0.0015),
        ("/first_assembly/side_closure/value", 0.994, 0.001),
        ("/first_assembly/all/value", 0.270, 0.0015),
        ("/first_assembly/depth/value", 0.739, 0.0015),
        ("/handed_over/backlash/value", 0.883, 0.0015),
        ("/handed_over/pattern/value", 0.991, 0.001),
        ("/handed_over/pinion_torque/value", 0.988, 0.001),
        ("/handed_over/all/value", 0.858, 0.0015),
        ("/handed_over/clearly_out/value", 0.0135, 0.0005),
        ("/effort/assemblies/mean/value", 2.419, 0.003),
        ("/effort/pinion_changes/value", 0.426, 0.002),
        ("/effort/side_changes/value", 0.986, 0.003),
        ("/effort/preload_tries/value", 1.244, 0.002),
        ("/effort/compromised/value", 0.0215, 0.0005),
        ("/effort/hours/mean/value", 8.130, 0.01),
        ("/effort/hours/p50/value", 7.87, 0.01),
        ("/effort/hours/p80/value", 9.360, 0.01),
        ("/effort/hours/p95/value", 11.26, 0.015),
        ("/spread/first_depth/sd", 0.046, 0.0005),
        ("/spread/first_backlash/sd", 0.060, 0.0005),
        ("/spread/first_closure/sd", 0.022, 0.0005),
    ] {
        check(&rowan, path, expected, within);
    }
    let sorrel = asked(&[
        "odds",
        "examples/sorrel-71.axle.toml",
        "--rebuilds",
        "2000000",
    ]);
    for (path, expected, within) in [
        ("/first_assembly/backlash/value", 0.488, 0.0015),
        ("/first_assembly/pattern/value", 0.829, 0.0015),
        ("/first_assembly/all/value", 0.408, 0.0015),
        ("/handed_over/all/value", 0.9067, 0.0015),
        ("/handed_over/clearly_out/value", 0.0170, 0.0005),
        ("/effort/assemblies/mean/value", 2.220, 0.003),
        ("/effort/side_changes/value", 0.752, 0.003),
        ("/effort/preload_tries/value", 1.910, 0.003),
        ("/effort/compromised/value", 0.0494, 0.001),
        ("/effort/hours/mean/value", 8.43, 0.01),
        ("/effort/hours/p80/value", 9.692, 0.01),
    ] {
        check(&sorrel, path, expected, within);
    }
    let guarded = asked(&["odds", "--rebuilds", "1000000", "--set", "bench.guard=0.08"]);
    for (path, expected, within) in [
        ("/handed_over/all/value", 0.945, 0.0015),
        ("/handed_over/clearly_out/value", 0.0060, 0.0004),
        ("/effort/compromised/value", 0.1105, 0.0015),
        ("/effort/assemblies/mean/value", 2.884, 0.006),
        ("/effort/hours/mean/value", 8.383, 0.012),
    ] {
        check(&guarded, path, expected, within);
    }
    let narrow = asked(&[
        "odds",
        "--rebuilds",
        "1000000",
        "--set",
        "windows.backlash=[0.15, 0.19]",
        "--set",
        "windows.pattern.profile=0.09",
    ]);
    for (path, expected, within) in [
        ("/effort/finished/value", 0.9993, 0.0002),
        ("/handed_over/all/value", 0.584, 0.0025),
        ("/handed_over/clearly_out/value", 0.0866, 0.0015),
        ("/effort/compromised/value", 0.481, 0.0025),
        ("/effort/assemblies/mean/value", 4.183, 0.008),
        ("/effort/side_changes/value", 1.991, 0.006),
        ("/effort/preload_tries/value", 1.478, 0.004),
        ("/effort/hours/mean/value", 9.820, 0.012),
    ] {
        check(&narrow, path, expected, within);
    }
}

#[test]
fn threads_change_nothing_that_is_printed() {
    let with = |threads| answer(&["odds", "--rebuilds", "20000", "--threads", threads]);
    assert_eq!(with("1"), with("2"));
    assert_eq!(with("1"), with("8"));
}

#[test]
fn kept_parts_are_said_and_used() {
    let kept = asked(&[
        "odds",
        "--gears",
        "kept",
        "--bearings",
        "kept",
        "--rebuilds",
        "20000",
    ]);
    assert_eq!(
        (&kept["gears"], &kept["bearings"]),
        (&"kept".into(), &"kept".into())
    );
    // the old pair in its old place, measured and put back, lands more often
    let share = |odds: &Value| odds["first_assembly"]["all"]["value"].as_f64().unwrap();
    assert!(share(&kept) > share(&asked(&["odds", "--rebuilds", "20000"])) + 0.1);
}

#[test]
fn set_overrides_a_key_of_either_file() {
    let plain = asked(&["odds", "--rebuilds", "20000"]);
    let share = |odds: &Value| odds["first_assembly"]["all"]["value"].as_f64().unwrap();
    let zero_lash = asked(&[
        "odds",
        "--rebuilds",
        "20000",
        "--set",
        "bench.side_start=zero lash",
        "--set",
        "bench.pinion_start=gauge",
    ]);
    assert!((share(&zero_lash) - share(&plain)).abs() > 0.03);
    let wide = asked(&[
        "odds",
        "--rebuilds",
        "20000",
        "--set",
        "windows.backlash=[0.05, 0.28]",
    ]);
    assert!(share(&wide) > share(&plain) + 0.1);
}

#[test]
fn ways_to_end() {
    let code = |arguments: &[&str]| run(arguments).0;
    assert_eq!(code(&["odds", "--rebuilds", "10"]), 0);
    assert_eq!(code(&["--help"]), 0);
    assert_eq!(code(&["--version"]), 0);
    assert_eq!(code(&["odds", "--rebuilds", "0"]), 2);
    assert_eq!(code(&["odds", "--within", "99"]), 2);
    assert_eq!(code(&["odds", "--threads", "none"]), 2);
    assert_eq!(code(&["odds", "--set", "bench.nothing=3"]), 2);
    assert_eq!(code(&["odds", "no-such-file.toml"]), 3);
    assert_eq!(code(&["odds", "examples"]), 3);
    assert_eq!(code(&["weigh"]), 2);
    assert_eq!(code(&[]), 2);
    // nothing but the complaint, and that on stderr
    let (_, out, err) = run(&["odds", "--set", "bench.nothing=3"]);
    assert_eq!(out, "");
    assert!(err.contains("bench.nothing"), "{err}");
}

#[test]
fn a_flaw_found_by_the_engine_has_its_place() {
    let (code, out, err) = run(&["odds", "--set", "gears.cutter_radius=2"]);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(err.contains("gears.cutter_radius=2"), "{err}");
    assert!(err.contains("no gear set has these teeth"), "{err}");
}

#[test]
fn colour_only_where_it_is_wanted() {
    let plain = answer(&["odds", "--rebuilds", "100"]);
    assert!(!plain.contains('\x1b'));
    let coloured = answer(&["odds", "--rebuilds", "100", "--color", "always"]);
    assert!(coloured.contains('\x1b'));
    let stripped: String = coloured.replace("\x1b[1m", "").replace("\x1b[0m", "");
    assert_eq!(stripped, plain);
}

#[test]
fn awkward_lengths_of_a_run() {
    for rebuilds in ["1", "2", "19", "4096", "4097"] {
        let text = answer(&["odds", "--rebuilds", rebuilds]);
        let counted = match rebuilds {
            "1" => "1 rebuild,".to_owned(),
            n => format!("{n} rebuilds,"),
        };
        assert!(text.contains(&format!("\n{counted}")), "{text}");
        for nonsense in ["NaN", "inf"] {
            assert!(!text.contains(nonsense), "{text}");
        }
        let odds = asked(&["odds", "--rebuilds", rebuilds]);
        assert_eq!(odds["rebuilds"].to_string(), rebuilds);
    }
    // nobody finishes
    let text = answer(&[
        "odds",
        "--rebuilds",
        "500",
        "--set",
        "bench.most_assemblies=1",
        "--set",
        "windows.backlash=[0.160, 0.165]",
    ]);
    assert!(text.contains("none seen"), "{text}");
    assert!(!text.contains("NaN"), "{text}");
}

#[test]
fn new_writes_and_never_overwrites() {
    let folder = Folder::new("starters");
    let inside = folder.path("mine");
    let path = inside.to_str().unwrap();
    let told = answer(&["new", path]);
    // whoever starts is told what to heed, in full
    for caution in [CAUTION, AT_WORK] {
        assert!(told.replace('\n', " ").contains(caution), "{told}");
    }
    for name in [
        "short.axle.toml",
        "rowan-215.axle.toml",
        "sorrel-71.axle.toml",
        "north-bench.shop.toml",
        "home-garage.shop.toml",
    ] {
        assert!(told.contains(name), "{told}");
        let written = std::fs::read_to_string(inside.join(name)).unwrap();
        let (pointer, text) = written.split_once('\n').unwrap();
        assert_eq!(text, crate::given::text_of(name));
        let schema = pointer.strip_prefix("#:schema ./").expect("a schema");
        assert!(inside.join(schema).is_file(), "{pointer}");
    }
    assert_eq!(std::fs::read_dir(&inside).unwrap().count(), 8);
    std::fs::write(inside.join("short.axle.toml"), "mine").unwrap();
    std::fs::remove_file(inside.join("rowan-215.axle.toml")).unwrap();
    let (code, out, err) = run(&["new", path]);
    assert_eq!((code, out.as_str()), (3, ""));
    assert!(
        err.contains("nothing was written") && err.contains("short.axle.toml"),
        "{err}"
    );
    assert_eq!(
        std::fs::read(inside.join("short.axle.toml")).unwrap(),
        b"mine"
    );
    assert!(!inside.join("rowan-215.axle.toml").exists());
    // a file in the way of the folder
    let (code, _, err) = run(&["new", inside.join("short.axle.toml").to_str().unwrap()]);
    assert_eq!(code, 3, "{err}");
}

#[test]
fn the_short_file_answers_and_says_what_it_assumes() {
    let text = answer(&["odds", "examples/short.axle.toml", "--rebuilds", "5000"]);
    assert!(text.contains("Right at first assembly"));
    assert!(text.contains("Assumed, since the files do not say"));
    assert!(text.contains("gears.offset ="));
    let odds = asked(&["odds", "examples/short.axle.toml", "--rebuilds", "100"]);
    assert!(odds["assumptions"].as_array().unwrap().len() > 40);
}

#[cfg(unix)]
#[test]
fn a_reader_that_stops_early_is_no_failure() {
    let shell = std::process::Command::new("sh")
        .arg("-c")
        .arg(format!(
            "{} odds --rebuilds 2000; echo ended $? >&2",
            env!("CARGO_BIN_EXE_shimcast")
        ))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn();
    let mut child = shell.unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(String::from_utf8_lossy(&output.stderr), "ended 0\n");
}

#[cfg(unix)]
#[test]
fn an_interrupt_gives_the_answer_so_far() {
    let child = program(&["odds", "--rebuilds", "1e11", "--json", "--threads", "1"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    std::thread::sleep(std::time::Duration::from_millis(1500));
    let killed = std::process::Command::new("sh")
        .arg("-c")
        .arg(format!("kill -INT {}", child.id()))
        .status();
    assert!(killed.unwrap().success());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(130));
    let odds: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    assert_eq!(odds["partial"], true);
    let rebuilds = odds["rebuilds"].as_u64().unwrap();
    assert!(rebuilds > 0 && rebuilds < 100_000_000_000);
    // it took longer than half a second, so progress was shown
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(told.contains("rebuilds"), "{told}");
}

/// Peak memory of a run, kB, as the system counts it.
#[cfg(target_os = "linux")]
fn peak_memory(rebuilds: &str) -> u64 {
    let mut child = program(&["odds", "--rebuilds", rebuilds, "--json"])
        .stdout(Stdio::null())
        .spawn()
        .unwrap();
    let mut peak = 0;
    while child.try_wait().unwrap().is_none() {
        peak = peak.max(given::peak_memory(child.id()).unwrap_or(0));
        std::thread::sleep(std::time::Duration::from_millis(1));
    }
    peak
}

#[cfg(target_os = "linux")]
#[test]
#[cfg_attr(debug_assertions, ignore = "slow without optimisation: use --release")]
fn memory_does_not_grow_with_the_rebuilds() {
    let (few, many) = (peak_memory("100000"), peak_memory("1000000"));
    assert!(few > 0 && many < few + few / 5, "{few} kB, then {many} kB");
    assert!(many < 40_000, "{many} kB");
}
