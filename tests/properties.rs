//! What holds of files whatever they say, tried on files made at random.
//!
//! Which files is fixed, so that a property holds on every run or on none. `PROPTEST_CASES` asks for more of them.

use proptest::prelude::*;
use proptest::sample::select;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use shimcast::files::{Loaded, load};
use shimcast_sim::axle::Condition;
use shimcast_sim::bench::Rebuild;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::chance::dice::Address;
use shimcast_sim::prelude::Study;

use crate::given::Folder;

/// A figure of a file in mm or N·m, marked so that it can be written in another unit: `L` a length, `P` a share
/// per length, `T` a torque.
fn in_inches(text: &str) -> String {
    let mut written = String::new();
    let mut rest = text;
    while let Some(at) = rest.find("(#") {
        let (before, after) = rest.split_at(at - 1);
        let (figure, then) = after[3..].split_once(')').expect("a mark ends");
        let figure: f64 = figure.parse().expect("a figure");
        written += before;
        written += &match &after[..1] {
            "L" => format!("{:?}", figure / 25.4),
            "P" => format!("{:?}", figure * 25.4),
            _ => format!("{:?}", figure / 0.112_984_829_027_616_7),
        };
        rest = then;
    }
    let inches = written + rest;
    inches
        .replace("\"mm\"", "\"in\"")
        .replace("\"N.m\"", "\"lbf.in\"")
}

/// The same as it stands, in mm and N·m.
fn in_mm(text: &str) -> String {
    let unmarked = ["L(#", "P(#", "T(#"]
        .iter()
        .fold(text.to_owned(), |text, mark| text.replace(mark, "("));
    // what was marked is all that is in brackets
    unmarked.replace(['(', ')'], "")
}

/// Whole thousandths.
fn thousandths(from: i32, to: i32) -> impl Strategy<Value = f64> {
    (from..=to).prop_map(|of| f64::from(of) / 1000.0)
}

/// A dimension of this nominal, spread in one of the ways that there are.
fn dimension(nominal: f64) -> impl Strategy<Value = String> {
    (0..6, thousandths(5, 90), thousandths(0, 60)).prop_map(move |(form, wide, other)| {
        let spread = match form {
            0 => format!("tol = L(#{wide})"),
            1 => format!("minus = L(#{other}), plus = L(#{wide}), cpk = 1.33"),
            2 => format!("sigma = L(#{other})"),
            3 => format!("tol = L(#{wide}), shape = \"uniform\""),
            4 => format!("tol = L(#{wide}), shape = \"triangular\""),
            _ => format!("tol = L(#{wide}), cpk = 0.7, inspected = true"),
        };
        format!("{{ nominal = L(#{nominal}), {spread} }}")
    })
}

/// A window of lengths or torques about a middle.
fn window(unit: char, middle: [i32; 2], half: [i32; 2]) -> impl Strategy<Value = String> {
    (
        thousandths(middle[0], middle[1]),
        thousandths(half[0], half[1]),
    )
        .prop_map(move |(middle, half)| {
            format!(
                "[ {unit}(#{:.3}), {unit}(#{:.3}) ]",
                middle - half,
                middle + half
            )
        })
}

fn gears_and_housing() -> impl Strategy<Value = String> {
    let loops = (
        dimension(121.0),
        dimension(96.01),
        dimension(88.11),
        dimension(140.0),
        dimension(32.0),
    );
    let heights = (dimension(28.1), dimension(22.1), dimension(20.1));
    let pair = (
        dimension(0.0),
        dimension(0.0),
        dimension(0.0),
        thousandths(0, 40),
    );
    let step = select(vec![0.0, 0.01, 0.0254]);
    (loops, heights, pair, step).prop_map(|(loops, heights, pair, step)| {
        let (head, ring, far, shoulders, shoulder) = loops;
        let (depth, ring_off, offset, runout) = pair;
        format!(
            "[gears]\npinion_teeth = 11\nring_teeth = 41\nring_diameter = L(#215.0)\nface_width = L(#34.0)\n\
             offset = L(#34.0)\npinion_spiral = 48.0\ncutter_radius = L(#95.25)\npressure_angle = 21.0\n\
             mounting_distance = L(#92.0)\nring_distance = L(#42.0)\ndepth_deviation = {depth}\n\
             ring_deviation = {ring_off}\ntooth_runout = {{ shape = \"half-normal\", sigma = L(#{runout}) }}\n\
             mark = {{ step = L(#{step}), error = {{ sigma = L(#0.01) }}, plus = \"deeper\" }}\n\
             [gears.pattern]\ndrive_length = [ P(#0.5), P(#0.8), P(#-0.9), 0.004 ]\n\
             drive_profile = [ P(#1.3), P(#0.08), P(#1.0), 0.03 ]\n\
             coast_length = [ P(#-0.6), P(#-0.2), P(#0.8), -0.023 ]\n\
             coast_profile = [ P(#1.6), P(#0.2), P(#1.8), 0.015 ]\n\
             [housing]\nhead_seat = {head}\nring_seat = {ring}\nfar_seat = {far}\noffset = {offset}\n\
             [carrier]\nshoulders = {shoulders}\nshoulder_ring = {shoulder}\n\
             face_runout = {{ shape = \"half-normal\", sigma = L(#{runout}) }}\n\
             [bearings]\nhead.height = {}\ntail.height = {}\nside.height = {}\n",
            heights.0, heights.1, heights.2
        )
    })
}

fn axles() -> impl Strategy<Value = String> {
    let seats = (
        select(vec![
            "under head bearing",
            "behind head cup",
            "cartridge flange",
        ]),
        select(vec!["outboard", "behind side bearings", "screw adjusters"]),
        any::<bool>(),
    );
    let windows = (
        window('L', [110, 200], [15, 80]),
        window('T', [1600, 2800], [200, 800]),
        window('T', [900, 1400], [100, 400]),
        window('L', [130, 250], [20, 90]),
        (thousandths(40, 150), thousandths(20, 90)),
        select(vec!["plane of rotation", "square to the tooth"]),
    );
    (gears_and_housing(), seats, windows).prop_map(|(parts, seats, windows)| {
        let (pinion, side, spacer) = seats;
        let (backlash, torque, used, closure, (variation, depth), indicator) = windows;
        let side_stock = if side == "screw adjusters" { "" } else { "stock = \"S-80\"\n" };
        let preload = if spacer {
            "by = \"spacer\"\nstock = \"P-38\"\nusual = L(#1.0)\ngap = { nominal = L(#60.0), tol = L(#0.05) }\n\
             spacer = { nominal = L(#58.93), tol = L(#0.025) }\n"
        } else {
            "by = \"sleeve\"\nthread_pitch = L(#1.5)\n"
        };
        let as_built = if spacer { "closure = { sigma = L(#0.015) }\n" } else { "" };
        format!(
            "name = \"Made Up\"\nlength = \"mm\"\ntorque = \"N.m\"\n{parts}\
             [pinion_shim]\nseat = \"{pinion}\"\nstock = \"P-38\"\nusual = L(#0.9)\n\
             [side_shims]\nseat = \"{side}\"\n{side_stock}usual = [ L(#2.0), L(#2.1) ]\n\
             [pinion_preload]\n{preload}seal_drag = {{ nominal = T(#0.25), tol = T(#0.15) }}\n\
             [as_built]\ndepth = {{ sigma = L(#0.02) }}\nbacklash = {{ sigma = L(#0.015) }}\n{as_built}\
             [windows]\nbacklash = {backlash}\nindicator = \"{indicator}\"\nbacklash_variation = L(#{variation})\n\
             depth = L(#{depth})\npinion_torque = {torque}\npinion_torque_used = {used}\nside_closure = {closure}\n"
        )
    })
}

fn shops() -> impl Strategy<Value = String> {
    let habits = (
        select(vec!["old pack", "gauge", "usual"]),
        select(vec!["old packs", "usual", "zero lash"]),
        select(vec!["measured", "halving"]),
        select(vec!["shim rule", "torque rise"]),
        any::<[bool; 3]>(),
        (2..9, 1..14),
    );
    let moves = (
        thousandths(800, 2000),
        thousandths(50, 200),
        thousandths(10, 60),
        thousandths(100, 250),
        thousandths(10, 50),
    );
    let instruments = (
        (thousandths(0, 20), thousandths(0, 30), thousandths(0, 40)),
        select(vec![0.0, 0.01, 0.02]),
        select(vec![0.0, 0.1, 0.2]),
        (thousandths(0, 150), thousandths(0, 20)),
        prop::option::of(thousandths(0, 10)),
    );
    let series = (
        select(vec!["\"fine\"", "\"normal\"", "L(#0.01)"]),
        any::<bool>(),
    );
    (habits, moves, instruments, series).prop_map(|(habits, moves, instruments, series)| {
        let (pinion, side, correction, check, [learns, heights, cones], (points, most)) = habits;
        let (depth_belief, first, smallest, added, notch) = moves;
        let ((dial, gauge, end_play), step, torque_step, (torque, height), micrometer) = instruments;
        let heights = if heights { "measured" } else { "ignored" };
        let micrometer = micrometer
            .map_or(String::new(), |sigma| format!("micrometer = {{ sigma = L(#{sigma}) }}\n"));
        let sizes = |sizes: &[f64]| {
            let sizes = sizes.iter().map(|size| format!("L(#{size:?})"));
            sizes.collect::<Vec<_>>().join(", ")
        };
        let pinion_sizes = if series.1 {
            sizes(&[0.1, 0.25, 0.5, 1.0])
        } else {
            sizes(&[0.08, 0.1, 0.12, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0, 1.1])
        };
        let side_sizes = sizes(&[0.1, 0.12, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.7, 1.0, 1.5, 2.0]);
        let tol = series.0;
        format!(
            "name = \"Made Up\"\nlength = \"mm\"\ntorque = \"N.m\"\ncurrency = \"EUR\"\n\
             [bench]\npinion_start = \"{pinion}\"\nside_start = \"{side}\"\nlearns = {learns}\n\
             depth_belief = P(#{depth_belief})\ncorrection = \"{correction}\"\nfirst_move = L(#{first})\n\
             smallest_move = L(#{smallest})\nside_check = \"{check}\"\nside_preload_added = L(#{added})\n\
             backlash_points = {points}\nmost_assemblies = {most}\nbearing_heights = \"{heights}\"\n\
             notch = L(#{notch})\nsetup_bearings = {cones}\n\
             [instruments]\ndial = {{ sigma = L(#{dial}), step = L(#{step}), indicator = \"plane of rotation\" }}\n\
             depth_gauge = {{ sigma = L(#{gauge}), step = L(#{step}) }}\nend_play = {{ sigma = L(#{end_play}) }}\n\
             height = {{ sigma = L(#{height}) }}\n\
             torque = {{ sigma = T(#{torque}), share = 0.035, step = T(#{torque_step}) }}\n{micrometer}\
             setup_bearing = {{ sigma = L(#0.01) }}\n\
             [[shims]]\nseries = \"P-38\"\nsizes = [ {pinion_sizes} ]\nprice = 3.6\npack_of = 1\ntol = {tol}\n\
             most_in_pack = 3\nspoiled = 0.06\n\
             [[shims]]\nseries = \"S-80\"\nsizes = [ {side_sizes} ]\nprice = 4.8\npack_of = 2\ntol = {tol}\n\
             most_in_pack = 4\nspoiled = 0.05\n"
        )
    })
}

/// What a technician did and decided, without any measure of it.
fn decided(rebuild: &Rebuild) -> impl PartialEq + std::fmt::Debug + use<> {
    (
        [rebuild.finished, rebuild.compromised],
        [
            rebuild.assemblies,
            rebuild.pinion_changes,
            rebuild.side_changes,
            rebuild.reseats,
            rebuild.preload_tries,
            rebuild.cones_pulled,
        ],
        rebuild.packs.map(|pack| pack.map(|pack| pack.number)),
        rebuild.operations,
    )
}

/// All figures that are printed of a structure.
fn figures(of: &impl std::fmt::Debug) -> Vec<f64> {
    format!("{of:?}")
        .split(|c: char| !(c.is_ascii_alphanumeric() || "+-.".contains(c)))
        .filter_map(|word| word.parse().ok())
        .collect()
}

/// Figures agree as far as converting them can tell, 13 digits of the largest length in a loop.
fn agree(one: &impl std::fmt::Debug, other: &impl std::fmt::Debug) -> Result<(), TestCaseError> {
    let (one, other) = (figures(one), figures(other));
    prop_assert_eq!(one.len(), other.len());
    for (one, other) in one.into_iter().zip(other) {
        let near = (one - other).abs() <= 1e-9 * one.abs().max(1.0);
        let same = one == other || one.is_nan() && other.is_nan();
        prop_assert!(near || same, "{} and {}", one, other);
    }
    Ok(())
}

fn loaded(folder: &Folder, axle: &str, shop: &str) -> Loaded {
    let axle = folder.file("made.axle.toml", axle.as_bytes());
    let shop = folder.file("made.shop.toml", shop.as_bytes());
    load(&axle, &shop, &[]).unwrap_or_else(|problems| panic!("{problems}"))
}

/// A file in inches says the same as one in mm: every rebuild comes to the same decisions, packs and counts, and
/// true figures agree to 10⁻⁹.
///
/// Converting a figure and back is exact to its last bit or so, some 10⁻¹⁴ mm. What is decided by printed and
/// rounded figures has 10⁻⁹ to spare for it; a figure that is drawn lies so near to an edge once in 10¹¹ times.
#[test]
fn a_file_in_inches_is_the_same_as_one_in_millimetres() {
    let folder = Folder::new("properties");
    let asked = std::env::var("PROPTEST_CASES").ok();
    let config = Config {
        cases: asked.map_or(48, |cases| cases.parse().expect("a number of cases")),
        failure_persistence: None,
        ..Config::default()
    };
    let condition = || select(vec![Condition::New, Condition::Kept]);
    let files = (axles(), shops(), condition(), condition(), any::<u64>());
    let dice = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let found = TestRunner::new_with_rng(config, dice).run(
        &files,
        |(axle, shop, gears, bearings, seed)| {
            let mm = loaded(&folder, &in_mm(&axle), &in_mm(&shop));
            let inches = loaded(&folder, &in_inches(&axle), &in_inches(&shop));
            let setups = [&mm, &inches]
                .map(|of| Setup::new(of.axle.clone(), of.shop.clone(), gears, bearings));
            let [mm_made, inches_made] = match setups {
                [Ok(mm), Ok(inches)] => [mm, inches],
                [Err(mm), Err(inches)] => {
                    prop_assert_eq!(mm.len(), inches.len());
                    return Err(TestCaseError::reject("a flaw"));
                }
                _ => return Err(TestCaseError::fail("a flaw in one of them")),
            };
            for number in 0..60 {
                let address = Address::new(seed, number);
                let (one, other) = (mm_made.rebuild(address), inches_made.rebuild(address));
                prop_assert_eq!(decided(&one), decided(&other), "rebuild {}", number);
                agree(
                    &(one.first, one.last, one.pinion_torque),
                    &(other.first, other.last, other.pinion_torque),
                )?;
            }
            let odds = [mm, inches].map(|of| {
                let study = Study::of(of.axle, of.shop).gears(gears).bearings(bearings);
                study.seed(seed).rebuilds(100).odds().expect("no flaw")
            });
            agree(&odds[0], &odds[1])
        },
    );
    if let Err(broken) = found {
        panic!("{broken}");
    }
}
