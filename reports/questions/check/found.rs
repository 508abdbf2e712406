//! What an axle file and a shop file mean: rates, preloads, the middle of everything, what the
//! shims can build, and what looks wrong.

use std::ops::ControlFlow;

use shimcast_sim::axle::packs::PackTable;
use shimcast_sim::axle::{PreloadBy, SideSeat};
use shimcast_sim::bench::middle::Middle;
use shimcast_sim::bench::setup::{Preload, Setup, SideStock};
use shimcast_sim::chance::run::Until;
use shimcast_sim::compare::compare;
use shimcast_sim::units::Window;

use crate::files::Loaded;
use crate::printed::Printed;
use crate::questions::plausible;
use crate::units::Units;

/// What was found in the files.
#[derive(Debug, Clone)]
pub struct Findings {
    /// Everything at its middle.
    pub middle: Middle,
    /// By how much each loop misses at the middle.
    pub loops: Vec<Loop>,
    /// What a closure adds to the turning torque.
    pub preload: PreloadRates,
    /// What each shim series can build for its place.
    pub builds: Vec<Build>,
    /// The shop's beliefs against what the axle does.
    pub beliefs: Vec<Belief>,
    /// What looks wrong, in words.
    pub doubts: Vec<String>,
}

/// A loop of dimensions with everything at its middle and the usual packs.
#[derive(Debug, Clone)]
pub struct Loop {
    /// What it closes on.
    pub what: &'static str,
    /// By how much it misses, mm.
    pub misses: f64,
    /// What a miss above and below zero means.
    pub senses: [&'static str; 2],
    /// A miss worth a word, mm: a quarter of what the windows leave.
    pub worth_a_word: f64,
    /// The keys of its dimensions.
    pub keys: &'static str,
}

impl Loop {
    /// What the miss means.
    pub fn sense(&self) -> &'static str {
        self.senses[usize::from(self.misses < 0.0)]
    }
}

/// Turning torque per closure, N·m per mm.
#[derive(Debug, Clone, Copy)]
pub struct PreloadRates {
    /// Of the pinion bearings, at the torque aimed for.
    pub pinion: f64,
    /// Of the side bearings, at the carrier, in the middle of the side-preload window.
    pub side: f64,
    /// Of the side bearings, as it shows at the pinion nut.
    pub side_at_pinion: f64,
    /// Of the pinion bearings for each degree of the nut, N·m; `None` with a spacer.
    pub per_degree: Option<f64>,
}

/// What a series can build near the thickness that a place usually takes, mm.
#[derive(Debug, Clone)]
pub struct Build {
    /// Where the pack goes.
    pub place: &'static str,
    /// The series.
    pub series: String,
    /// Thinnest and thickest pack.
    pub range: Window,
    /// Usual thickness.
    pub usual: f64,
    /// Coarsest step near the usual thickness; `None` where nothing is near it.
    pub coarsest: Option<f64>,
    /// Steps that are coarser than most near the usual thickness, as from and to.
    pub gaps: Vec<(f64, f64)>,
    /// What a window leaves the pack, and which.
    window: (f64, &'static str),
}

/// A belief of the shop against what the axle does.
#[derive(Debug, Clone)]
pub struct Belief {
    /// What is believed.
    pub what: String,
    /// What the shop reckons with.
    pub believed: f64,
    /// What its own instrument would show on this axle.
    pub really: f64,
}

impl Belief {
    /// Far enough apart to cost assemblies.
    pub fn disagrees(&self) -> bool {
        !(0.8..=1.25).contains(&(self.believed / self.really))
    }
}

/// Packs within this of the usual one count as near it, mm.
const NEAR: f64 = 0.5;
/// A gap is a step this many times as wide as most.
const GAP: f64 = 2.5;

/// A side preload within this of the built-in shop's 0.18 mm is no aim of a shop's own, mm.
const COMMON_CLOSURE: Window = Window {
    low: 0.15,
    high: 0.21,
};

/// Looks through a job.
pub fn look(setup: &Setup, units: Units, shop_units: Units) -> Findings {
    let middle = setup.middle();
    let preload = preload_rates(setup);
    let builds = builds(setup, &preload);
    let beliefs = beliefs(setup, shop_units);
    let print = Printed::read_with(units, &setup.shop.instruments);
    let loops = loops(setup);
    // a figure that is a slip says more than what comes of it
    let mut doubts = plausible::of_axle(&setup.axle, units);
    doubts.extend(plausible::of_shop(&setup.shop, shop_units));
    doubts.extend(loop_doubts(setup, &middle, &loops, print));
    doubts.extend(builds.iter().flat_map(|build| step_doubts(build, print)));
    doubts.extend(notch_doubt(setup));
    doubts.extend(belief_doubts(&beliefs));
    Findings {
        middle,
        loops,
        preload,
        builds,
        beliefs,
        doubts,
    }
}

fn preload_rates(setup: &Setup) -> PreloadRates {
    let expected = &setup.expected;
    let target = match &setup.preload {
        Preload::Sleeve { aim, .. } => *aim,
        Preload::Spacer { .. } => setup.torque_window.middle(),
    };
    let force = 1000.0 * (target - expected.seal_drag) / expected.pinion_friction;
    let closure = setup.axle.windows.side_closure.middle();
    let side_force = setup.side_pair.force(closure);
    let side = 1e-3 * expected.side_friction * setup.side_pair.stiffness(side_force);
    PreloadRates {
        pinion: 1e-3 * expected.pinion_friction * setup.pinion_pair.stiffness(force),
        side,
        side_at_pinion: side / setup.geometry.ratio,
        per_degree: match setup.preload {
            Preload::Sleeve {
                degrees_per_torque, ..
            } => Some(1.0 / degrees_per_torque),
            Preload::Spacer { .. } => None,
        },
    }
}

fn builds(setup: &Setup, preload: &PreloadRates) -> Vec<Build> {
    let axle = &setup.axle;
    let windows = &axle.windows;
    let mut builds = vec![build(
        "pinion",
        (&axle.pinion_shim.stock, &setup.pinion_packs),
        axle.pinion_shim.usual,
        (2.0 * windows.depth, "the depth window"),
    )];
    if let (SideStock::Packs(table), Some(stock)) = (&setup.side_stock, &axle.side_shims.stock) {
        let [ring, far] = axle.side_shims.usual;
        let leaves = "what the backlash window leaves the ring gear";
        let series = (stock.as_str(), table);
        builds.push(build(
            "ring-gear side",
            series,
            ring,
            (ring_room(setup), leaves),
        ));
        let closure = windows.side_closure.width();
        builds.push(build(
            "far side",
            series,
            far,
            (closure, "the side-preload window"),
        ));
    }
    if let (Preload::Spacer { packs, usual, .. }, PreloadBy::Spacer { stock, .. }) =
        (&setup.preload, &axle.pinion_preload.by)
    {
        let leaves = "what the torque window leaves the spacer's pack";
        let room = setup.torque_window.width() / preload.pinion;
        builds.push(build("spacer", (stock, packs), *usual, (room, leaves)));
    }
    builds
}

/// How far the ring gear may move inside the backlash window, mm.
pub(super) fn ring_room(setup: &Setup) -> f64 {
    setup.axle.windows.backlash.width() / setup.rates.per_ring_move
}

fn build(
    place: &'static str,
    (series, table): (&str, &PackTable),
    usual: f64,
    window: (f64, &'static str),
) -> Build {
    let sums: Vec<f64> = table.all().iter().map(|pack| pack.printed).collect();
    let near = |x: &f64| (x - usual).abs() <= NEAR;
    let mut steps: Vec<(f64, f64)> = sums
        .windows(2)
        .filter(|pair| near(&pair[0]) || near(&pair[1]))
        .map(|pair| (pair[0], pair[1]))
        .collect();
    let width = |(from, to): &(f64, f64)| to - from;
    steps.sort_by(|a, b| width(a).total_cmp(&width(b)));
    let common = steps.get(steps.len() / 2).map_or(0.0, width);
    let mut gaps: Vec<(f64, f64)> = steps
        .iter()
        .filter(|step| width(step) > GAP * common)
        .copied()
        .collect();
    gaps.sort_by(|a, b| a.0.total_cmp(&b.0));
    Build {
        place,
        series: series.into(),
        range: Window::new(sums[0], sums[sums.len() - 1]),
        usual,
        coarsest: steps.last().map(width),
        gaps,
        window,
    }
}

fn beliefs(setup: &Setup, shop_units: Units) -> Vec<Belief> {
    let mm = shop_units.length.mm();
    let rates = &setup.rates;
    let pattern = &setup.axle.gears.pattern;
    // the ring gear follows a change of depth, so that backlash stays
    let follows = rates.per_depth / rates.per_ring_move;
    let profile = |row: &[f64; 4]| row[0] - follows * row[1];
    vec![
        Belief {
            what: "backlash per ring-gear move (bench.ring_belief)".into(),
            believed: setup.shop.bench.ring_belief,
            really: rates.per_ring_move * setup.reading_factor,
        },
        Belief {
            what: format!(
                "pattern shift per {} of depth (bench.depth_belief)",
                shop_units.length.name()
            ),
            believed: mm * setup.shop.bench.depth_belief,
            really: mm * 0.5 * (profile(&pattern.drive_profile) + profile(&pattern.coast_profile)),
        },
    ]
}

/// Each loop by itself: what the ring position misses is told as if the side preload were right.
fn loops(setup: &Setup) -> Vec<Loop> {
    let windows = &setup.axle.windows;
    let open = setup.axle.openings(setup.shop.bench.side_preload_added);
    vec![
        Loop {
            what: "pinion depth",
            misses: open.depth,
            senses: ["too shallow", "too deep"],
            worth_a_word: 0.5 * windows.depth,
            keys: "housing.head_seat, bearings.head.height, pinion_shim.usual, \
                   gears.mounting_distance",
        },
        Loop {
            what: "ring position",
            misses: open.ring,
            senses: ["too far out", "too far in"],
            worth_a_word: 0.25 * ring_room(setup),
            keys: "housing.ring_seat, bearings.side.height, carrier.shoulder_ring, \
                   side_shims.usual, gears.ring_distance",
        },
        Loop {
            what: "side preload",
            misses: open.side_closure,
            senses: ["more than the shop adds", "less than the shop adds"],
            worth_a_word: 0.25 * windows.side_closure.width(),
            keys: "housing.ring_seat, housing.far_seat, carrier.shoulders, \
                   bearings.side.height, side_shims.usual, bench.side_preload_added",
        },
    ]
}

fn loop_doubts(setup: &Setup, middle: &Middle, loops: &[Loop], print: Printed) -> Vec<String> {
    let mut open: Vec<&Loop> = loops
        .iter()
        .filter(|l| l.misses.abs() > l.worth_a_word)
        .collect();
    let worst = |l: &&Loop| l.misses.abs() / l.worth_a_word;
    open.sort_by(|a, b| worst(b).total_cmp(&worst(a)));
    let mut doubts: Vec<String> = open
        .into_iter()
        .map(|l| {
            format!(
                "the {} loop does not close: with everything at its middle and the usual packs it \
                 comes out {} {}. Look at {}.",
                l.what,
                print.length(l.misses.abs()),
                l.sense(),
                l.keys
            )
        })
        .collect();
    let added = setup.shop.bench.side_preload_added;
    let closure = setup.axle.windows.side_closure;
    if !closure.holds(added) {
        let [added, closure] = [print.given(added), print.window(closure)];
        doubts.push(format!(
            "the shop adds {added} of side preload (bench.side_preload_added), outside the axle's \
             window windows.side_closure of {closure}."
        ));
    }
    if let Some(torque) = middle.spacer_torque
        && !setup.torque_window.holds(torque)
    {
        let torque = print.torque(torque);
        doubts.push(format!(
            "the usual spacer pack gives {torque} with everything at its middle, outside the window. \
             Look at pinion_preload.usual, gap and spacer."
        ));
    }
    doubts
}

/// A window that was left out follows the shop's aim, so that no aim is ever outside of it.
pub(super) fn closure_doubt(setup: &Setup, loaded: &Loaded) -> Option<String> {
    const KEY: &str = "windows.side_closure";
    let aim = setup.shop.bench.side_preload_added;
    let left_out = loaded
        .assumptions
        .iter()
        .any(|left_out| left_out.key == KEY);
    (left_out && !COMMON_CLOSURE.holds(aim)).then(|| {
        let aim = Printed::plainly(loaded.shop_units).given(aim);
        format!(
            "{KEY} is left out, so it follows the shop's own aim (bench.side_preload_added) of \
             {aim}: state the window from the axle's manual."
        )
    })
}

fn step_doubts(build: &Build, print: Printed) -> Vec<String> {
    let Build { place, series, .. } = build;
    let usual = print.given(build.usual);
    let (window, which) = build.window;
    let mut doubts = Vec::new();
    match build.coarsest {
        None => {
            let near = print.given(NEAR);
            doubts.push(format!(
                "series {series} builds nothing within {near} of the usual {usual} for the {place} \
                 pack."
            ));
        }
        Some(step) if step > window => {
            let [step, window] = [step, window].map(|mm| print.given(mm));
            doubts.push(format!(
                "the coarsest step of series {series} near the usual {place} pack, {step}, is wider \
                 than {which}, {window}: some parts can't be set right with it."
            ));
        }
        Some(_) => {}
    }
    if !(build.range.low..=build.range.high).contains(&build.usual) {
        let range = print.window(build.range);
        doubts.push(format!(
            "the usual {place} pack of {usual} is outside what series {series} builds, {range}."
        ));
    }
    doubts
}

fn notch_doubt(setup: &Setup) -> Option<String> {
    let adjusters = setup.axle.side_shims.seat == SideSeat::ScrewAdjusters;
    (adjusters && setup.shop.bench.notch > ring_room(setup))
        .then(|| "one adjuster notch (bench.notch) moves past the whole backlash window.".into())
}

fn belief_doubts(beliefs: &[Belief]) -> Vec<String> {
    let disagree = beliefs.iter().filter(|belief| belief.disagrees());
    disagree
        .map(|belief| {
            let figure = |x: f64| match x < 10.0 {
                true => format!("{x:.2}"),
                false => format!("{x:.0}"),
            };
            format!(
                "{}: the shop reckons with {}, but on this axle its own readings will show {}.",
                belief.what,
                figure(belief.believed),
                figure(belief.really)
            )
        })
        .collect()
}

/// A dial that the shop holds another way than the book; `does` says what comes of it.
pub fn dial_doubt(setup: &Setup, does: impl Fn(&Setup) -> String) -> Option<String> {
    ((setup.reading_factor - 1.0).abs() > 0.02).then(|| {
        format!(
            "the shop holds its indicator another way than the book: it reads {:.0} % of what the \
             windows mean, and nothing in the procedure corrects for that{} \
             (instruments.dial, windows.indicator).",
            100.0 * setup.reading_factor,
            does(setup)
        )
    })
}

/// Rebuilds, on common parts, behind what the dial held as the book holds it would do: shares to half
/// a point.
const HELD: u64 = 16_384;

/// What the shop's way of holding its dial does, and what the book's would.
pub fn otherwise(setup: &Setup) -> String {
    let Some(book) = setup.held_as_the_book() else {
        return String::new();
    };
    let ways = [setup.clone(), book];
    let compared = compare(&ways, 1, Until::Rebuilds(HELD), &mut |_| {
        ControlFlow::Continue(())
    });
    let ways = compared.ways.iter();
    let right: Vec<f64> = ways
        .map(|way| (100.0 * way.handed_over.value).round())
        .collect();
    match right[..] {
        [own, book] if own.is_finite() && book.is_finite() && own != book => format!(
            ": about {own} % of finished jobs are right, {book} % by a dial held as the book says"
        ),
        _ => String::new(),
    }
}
