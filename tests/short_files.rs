//! Short files: what they leave out, where it comes from, and that stating it changes nothing.

use shimcast::files::{Loaded, Source, load_shop};
use shimcast_sim::axle::shims::{StripClass, Thickness};
use shimcast_sim::axle::tolerance::Tolerance;
use shimcast_sim::axle::{Condition, PreloadBy};
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::chance::dice::Address;
use shimcast_sim::units::NM_PER_LBF_IN;

use crate::given::{
    Folder, SHORT_IN_INCHES, answer, example, has, json, number, read, run_once, said, set, short,
    text_of, without,
};

#[test]
fn what_a_short_axle_leaves_out_closes_every_loop() {
    let folder = Folder::new("loops");
    let inches = folder.file("inches.axle.toml", SHORT_IN_INCHES.as_bytes());
    let flange = short(&folder, |t| {
        t.replace("under head bearing", "cartridge flange")
    });
    let shorter = short(&folder, |text| without(text, "side_closure"));
    for axle in [shorter, inches, flange] {
        for added in ["0.18", "0.0", "0.257"] {
            let added = format!("bench.side_preload_added={added}");
            let loaded = read(&axle, &Source::BuiltIn, &[&added]);
            let open = loaded.axle.openings(loaded.shop.bench.side_preload_added);
            for opening in [open.depth, open.side_closure, open.ring, open.spacer] {
                assert!(opening.abs() < 1e-9, "{axle:?} {added} {open:?}");
            }
            if loaded
                .assumptions
                .iter()
                .any(|a| a.key == "windows.side_closure")
            {
                let closure = loaded.axle.windows.side_closure.middle();
                assert!((closure - loaded.shop.bench.side_preload_added).abs() < 1e-8);
            }
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
        let open = loaded.axle.openings(loaded.shop.bench.side_preload_added);
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
    assert!((loaded.axle.pinion_closure_wanted() - by_hand).abs() < 1e-12);
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
        (gears.mounting_distance, 92.0 * d / 215.0),
        (loaded.axle.carrier.shoulders.middle(), 140.0 * d / 215.0),
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

/// Where adjusters stand is counted from anywhere: nobody is asked, and nothing comes of it.
#[test]
fn adjusters_need_no_usual_setting() {
    let folder = Folder::new("adjusters");
    let text = text_of("tamarack-88.axle.toml");
    let at = text.find("[side_shims]").expect("a section");
    let (before, sides) = text.split_at(at);
    let unsaid = format!("{before}{}", without(sides, "usual"));
    let unsaid = folder.file("unsaid.axle.toml", unsaid.as_bytes());
    let shop = example("quay-lane.shop.toml");
    let [said, unsaid] =
        [example("tamarack-88.axle.toml"), unsaid].map(|axle| read(&axle, &shop, &[]));
    let open = unsaid.axle.openings(unsaid.shop.bench.side_preload_added);
    assert!(open.ring.abs() < 1e-9 && open.side_closure.abs() < 1e-9);
    assert_eq!(said.assumptions, unsaid.assumptions);
    let rebuilt = |loaded: Loaded| {
        let setup = Setup::new(loaded.axle, loaded.shop, Condition::New, Condition::New);
        let setup = setup.expect("a job");
        (0..200)
            .map(|index| {
                let job = setup.rebuild(Address::new(1, index));
                (job.last, job.side_changes)
            })
            .collect::<Vec<_>>()
    };
    for ((a, turns), (b, others)) in rebuilt(said).into_iter().zip(rebuilt(unsaid)) {
        assert_eq!(turns, others);
        assert!((a.backlash - b.backlash).abs() < 1e-9 && (a.closure - b.closure).abs() < 1e-9);
    }
}

/// The assumptions that move an answer most are named, each by what it does alone.
#[test]
fn assumptions_are_named_by_what_they_do() {
    let folder = Folder::new("assumed");
    folder.file(
        "short.axle.toml",
        without(text_of("short.axle.toml"), "indicator").as_bytes(),
    );
    let path = folder.path("short.axle.toml");
    let axle = path.to_str().expect("a path of letters");
    let first = said(&run_once(&["odds", axle]).stdout);
    let all = answer(&["odds", axle]);
    let begins = "Of what is assumed, the share right when handed over moves most with";
    for text in [&first, &all] {
        let text = text.replace('\n', " ");
        let at = text.find(begins).expect("it is said");
        has(
            &text[at..],
            "windows.indicator (\"square to the tooth\" instead: -",
        );
        has(&text[at..], " points)");
    }
    // by hand: the same change asked for
    let points = |text: &str| {
        let said = text.replace('\n', " ");
        let (_, after) = said
            .split_once("square to the tooth\" instead: ")
            .expect("said");
        let figure: f64 = after.split(' ').next().unwrap().parse().expect("a figure");
        figure
    };
    let share = |set: &[&str]| {
        let arguments = [&["odds", axle, "--rebuilds", "20000", "--json"], set].concat();
        number(&json(&arguments)["handed_over"]["all"]["value"])
    };
    let square = ["--set", "windows.indicator=\"square to the tooth\""];
    let by_hand = 100.0 * (share(&square) - share(&[]));
    assert!((points(&all) - by_hand).abs() < 2.0, "{by_hand}");
    // what a job costs is moved by its prices
    has(
        &answer(&["quote", "--rebuilds", "2000"]).replace('\n', " "),
        "what a job costs moves most with prices.hour_cost (a quarter",
    );
    // a share is not, and nothing else is assumed there
    assert!(!answer(&["odds", "--rebuilds", "2000"]).contains("moves most with"));
}

/// Where shop and book hold the dial differently, the headline says what that does.
#[test]
fn a_dial_held_another_way_stands_in_the_headline() {
    let square = ["odds", "--set", "windows.indicator=\"square to the tooth\""];
    let text = answer(&[&square[..], &["--rebuilds", "20000"]].concat());
    let both = [
        "--set",
        "instruments.dial.indicator=\"square to the tooth\"",
    ];
    let as_the_book = json(&[&square[..], &both, &["--rebuilds", "20000", "--json"]].concat());
    let share = 100.0 * number(&as_the_book["handed_over"]["all"]["value"]);
    has(&text, &format!("Right, dial as the book  {share:.1} %"));
    assert!(!answer(&["odds", "--rebuilds", "2000"]).contains("dial as the book"));
}
