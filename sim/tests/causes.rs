use super::*;
use crate::axle::shims::{Series, Thickness};
use crate::axle::tolerance::Tolerance;
use crate::axle::{Condition, PinionSeat, SideSeat};
use crate::compare::compare;
use crate::count::estimate::Z95;
use crate::demo::{self, about};
use crate::shop::{PinionStart, SideStart};
use crate::tests::held::{Held, seeds};
use crate::tests::{SIGMAS, close};

fn ask(setup: &Setup, rebuilds: u64) -> Causes {
    causes(setup, 17, Until::Rebuilds(rebuilds), &mut |_| {
        ControlFlow::Continue(())
    })
}

/// Everything normal and nothing rounded: the loops of the first assembly are linear.
fn linear(change: impl Fn(&mut crate::axle::Axle, &mut crate::shop::Shop)) -> Setup {
    let (mut axle, mut shop) = (demo::axle(), demo::shop());
    axle.gears.depth_deviation = about(0.0, 0.10);
    axle.gears.mark.step = 0.0;
    shop.bench.mark_slip = 0.0;
    shop.instruments.depth_gauge.step = 0.0;
    for series in &mut shop.shims {
        *series = Series {
            sizes: (1..=6000).map(|i| f64::from(i) * 0.001).collect(),
            most_in_pack: 1,
            tolerance: Thickness::Limit(0.0),
            ..series.clone()
        };
    }
    change(&mut axle, &mut shop);
    Setup::new(axle, shop, Condition::New, Condition::New).unwrap()
}

/// What a figure of this input is off, three sigmas against the limit that the stack takes.
fn sigma_of_limit(input: Input) -> f64 {
    match input {
        // limits ±0.10 with cpk 1.33
        Input::HeadBearing | Input::SideBearings => 1.0 / (3.0 * 1.33),
        _ => 1.0 / 3.0,
    }
}

/// In a linear loop every share is the squared coefficient, alone and with others alike; they add
/// up to one; and the stack's coefficients are those of the engine. Each figure and each sum fails
/// by chance once in 150 000.
#[test]
fn linear_loops() {
    let starts: [(PinionStart, SideStart, bool, PinionSeat); 6] = [
        (
            PinionStart::OldPack,
            SideStart::ZeroLash,
            false,
            PinionSeat::UnderHeadBearing,
        ),
        (
            PinionStart::OldPack,
            SideStart::OldPacks,
            false,
            PinionSeat::UnderHeadBearing,
        ),
        (
            PinionStart::OldPack,
            SideStart::OldPacks,
            true,
            PinionSeat::CartridgeFlange,
        ),
        (
            PinionStart::Gauge,
            SideStart::OldPacks,
            false,
            PinionSeat::UnderHeadBearing,
        ),
        (
            PinionStart::Usual,
            SideStart::Usual,
            false,
            PinionSeat::UnderHeadBearing,
        ),
        (
            PinionStart::Gauge,
            SideStart::Usual,
            true,
            PinionSeat::CartridgeFlange,
        ),
    ];
    for (pinion, side, measures, seat) in starts {
        let setup = linear(|axle, shop| {
            shop.bench.pinion_start = pinion;
            shop.bench.side_start = side;
            shop.bench.measures_heights = measures;
            axle.pinion_shim.seat = seat;
            if side == SideStart::ZeroLash {
                // set from the tightest tooth, which lies off the mean by a length of two vectors
                axle.gears.tooth_runout = Tolerance::exact(0.0);
                axle.carrier.face_runout = Tolerance::exact(0.0);
            }
            if seat == PinionSeat::CartridgeFlange {
                // the loop closes the other way round
                axle.housing.head_seat = about(119.2, 0.06);
            }
        });
        let found = ask(&setup, 12_000);
        for simulated in &found.loops {
            let which = simulated.stack.of;
            let question = Output::Loop(which);
            let variance = |link: &Link| match link.contributor {
                Contributor::Input(input) => (link.root_sum_square * sigma_of_limit(input)).powi(2),
                Contributor::Rounding => 0.0,
            };
            let all: f64 = simulated.stack.links.iter().map(variance).sum();
            let n = found.rebuilds as f64;
            close(
                simulated.deviation,
                all.sqrt(),
                // the grid of 0.001 mm adds 1e-7 mm² a pack at the most
                SIGMAS * all.sqrt() / (2.0 * n).sqrt() + 3e-7 / all.sqrt(),
            );
            // sums with their errors
            let (mut alone, mut together) = ((0.0, 0.0_f64), (0.0, 0.0_f64));
            for shares in &found.inputs {
                let link = simulated
                    .stack
                    .links
                    .iter()
                    .find(|link| link.contributor == Contributor::Input(shares.input));
                let expected = link.map_or(0.0, variance) / all;
                for (estimate, sum) in [
                    (shares.alone(question), &mut alone),
                    (shares.with_others(question), &mut together),
                ] {
                    let error = estimate.half_width() / Z95;
                    assert!(
                        (estimate.value - expected).abs() < SIGMAS * error + 0.004,
                        "{pinion:?} {side:?} {which:?} {:?}: {estimate:?} is not {expected}",
                        shares.input
                    );
                    *sum = (sum.0 + estimate.value, sum.1.hypot(error));
                }
            }
            for (sum, error) in [alone, together] {
                assert!(error < 0.017, "{error} says too little");
                close(sum, 1.0, SIGMAS * error + 0.004);
            }
        }
    }
}

/// What halving buys is the paired difference that a comparison finds between the files as they are
/// and the files with that one figure halved, to the last bit.
#[test]
fn halving_is_another_way_of_working() {
    let setup = demo::setup();
    let rebuilds = 6000;
    let found = ask(&setup, rebuilds);
    for (input, change) in [
        (
            Input::Pattern,
            (|_: &mut crate::axle::Axle, shop: &mut crate::shop::Shop| {
                shop.instruments.pattern.profile = 0.025;
                shop.instruments.pattern.step = 0.025;
            }) as fn(&mut crate::axle::Axle, &mut crate::shop::Shop),
        ),
        (Input::Dial, |_, shop| shop.instruments.dial.sigma = 0.0025),
        (Input::DialStep, |_, shop| {
            shop.instruments.dial.step = 0.005
        }),
        (Input::MarkStep, |axle, _| axle.gears.mark.step *= 0.5),
        (Input::RingDeviation, |axle, _| {
            axle.gears.ring_deviation = about(0.0, 0.045);
        }),
    ] {
        let (mut axle, mut shop) = (setup.axle.clone(), setup.shop.clone());
        change(&mut axle, &mut shop);
        let halved = Setup::new(axle, shop, setup.gears, setup.bearings).unwrap();
        let comparison = compare(
            &[setup.clone(), halved],
            17,
            Until::Rebuilds(rebuilds),
            &mut |_| ControlFlow::Continue(()),
        );
        let buy = found
            .halvings
            .iter()
            .find(|buy| buy.input == input)
            .unwrap();
        assert_eq!(buy.differences, comparison.differences[0], "{input:?}");
    }
    // what rounds draws nothing, so it has no share of a variance
    assert!(found.inputs.iter().all(|shares| !shares.input.rounds()));
    let money: Vec<f64> = found
        .halvings
        .iter()
        .map(|b| b.differences.money.value)
        .collect();
    assert!(money.is_sorted());
}

/// The jobs behind the causes are those that every other answer counts.
#[test]
fn the_jobs_are_the_same_as_everywhere() {
    let setup = demo::setup();
    let found = ask(&setup, 5000);
    let odds = crate::odds::odds(&setup, 17, Until::Rebuilds(5000), &mut |_| {
        ControlFlow::Continue(())
    });
    assert_eq!(found.first_assembly, odds.first_assembly.all);
    assert_eq!(found.handed_over, odds.handed_over.all);
    close(found.hours.value, odds.effort.hours.mean.value, 1e-9);
    for (simulated, moments) in
        found
            .loops
            .iter()
            .zip([odds.spread.depth, odds.spread.backlash, odds.spread.closure])
    {
        assert_eq!(simulated.deviation, moments.deviation());
    }
}

#[test]
fn threads_do_not_matter() {
    let setup = demo::setup();
    let with = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .unwrap();
        pool.install(|| format!("{:?}", ask(&setup, 9000)))
    };
    assert!(with(1) == with(3));
}

/// Whatever its kind, no input's share alone lies above its share with others by more than both
/// intervals allow, and of two that can't matter nothing is asked.
#[test]
fn alone_is_never_more_than_with_others() {
    for (seat, side) in [
        (SideSeat::Outboard, SideStart::ZeroLash),
        (SideSeat::ScrewAdjusters, SideStart::OldPacks),
    ] {
        let (mut axle, mut shop) = (demo::axle(), demo::shop());
        axle.side_shims.seat = seat;
        shop.bench.side_start = side;
        shop.instruments.micrometer = None;
        let setup = Setup::new(axle, shop, Condition::Kept, Condition::Kept).unwrap();
        let found = ask(&setup, 20_000);
        for shares in &found.inputs {
            for question in Output::ALL {
                let (alone, together) = (shares.alone(question), shares.with_others(question));
                let errors = (alone.half_width().hypot(together.half_width())) / Z95;
                assert!(
                    alone.value < together.value + SIGMAS * errors,
                    "{:?} {question:?}",
                    shares.input
                );
            }
        }
        let asked = |input| found.inputs.iter().any(|shares| shares.input == input);
        assert!(asked(Input::Dial) && asked(Input::Thickness));
        // no set-up bearings where bearings are kept, no spacer, no gauge in use
        for input in [
            Input::SetupBearing,
            Input::Gap,
            Input::DepthGauge,
            Input::Height,
        ] {
            assert!(!asked(input), "{input:?}");
        }
    }
}

/// Half the range of a figure of which one in fifty is off by six spreads, either way, and of a
/// normal one: intervals of 8192 figures each, which may hold 93.5 % where so much hangs on the few.
#[test]
fn half_ranges_cover_what_they_say() {
    for (slips, truth) in [(0.0, 3.0), (0.02, 7.103_110)] {
        let mut held = Held::default();
        for seed in 0..seeds(200) {
            let mut dice = Address::new(seed, 0).stream(crate::chance::dice::Purpose::Parts);
            let mut range = Range::default();
            for _ in 0..8192 {
                let off = dice.normal();
                let slip = match dice.uniform() {
                    u if u < 0.5 * slips => -6.0,
                    u if u < slips => 6.0,
                    _ => 0.0,
                };
                range.add(off + slip);
            }
            held.count(&range.half_range(), truth);
        }
        held.at_level(&format!("half ranges with {slips} slips"), 0.935);
    }
}
