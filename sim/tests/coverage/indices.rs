//! Shares of a variance that inputs account for, where one of them is rarely drawn.

use super::{Figure, Sort, Truth, figure, hold};
use crate::chance::dice::{Address, Dice, Purpose};
use crate::count::sensitivity::{Edges, OutcomeBins, OutcomePairs, OutcomeTriples};

/// An input that is drawn for every job, and one that is a slip in one of fifty, of a size of its
/// own.
#[derive(Clone, Copy)]
struct Drawn {
    usual: f64,
    slip: Option<f64>,
}

impl Drawn {
    fn draw(dice: &mut Dice) -> Self {
        let usual = dice.normal();
        let slips = dice.uniform() < SLIPS;
        let size = dice.normal();
        Self {
            usual,
            slip: slips.then_some(size),
        }
    }
}

const SLIPS: f64 = 0.02;

/// Outcomes, and in closed form their shares: of the usual input alone and with the other, of the
/// slip alone and with the other.
struct Model {
    name: &'static str,
    /// Also given how much a slip matters.
    outcome: fn(&Drawn, f64) -> f64,
    matters: f64,
    shares: [f64; 4],
}

/// Slips add so many usual spreads, stretch an outcome by so many of it, or turn a yes into a no.
fn models(adds: f64, stretches: f64) -> [Model; 3] {
    let added = adds * adds * SLIPS;
    // of a stretch 1 + s·B: its mean, its mean square
    let mean = 1.0 + stretches * SLIPS;
    let square = 1.0 + stretches * (2.0 + stretches) * SLIPS;
    let varies = SLIPS * (1.0 - SLIPS);
    let unturned = 1.0 - 2.0 * SLIPS;
    [
        Model {
            name: "added",
            outcome: |x, size| x.usual + size * x.slip.unwrap_or(0.0),
            matters: adds,
            shares: [
                1.0 / (1.0 + added),
                1.0 / (1.0 + added),
                added / (1.0 + added),
                added / (1.0 + added),
            ],
        },
        Model {
            name: "stretched",
            outcome: |x, size| x.usual * if x.slip.is_some() { 1.0 + size } else { 1.0 },
            matters: stretches,
            shares: [
                mean * mean / square,
                1.0,
                0.0,
                stretches * stretches * varies / square,
            ],
        },
        Model {
            name: "turned",
            outcome: |x, _| f64::from(u8::from((x.usual > 0.0) != x.slip.is_some())),
            matters: 0.0,
            shares: [unturned * unturned, 1.0, 0.0, 4.0 * varies],
        },
    ]
}

fn ask(model: &Model, edges: &Edges, seed: u64, rebuilds: u64) -> Vec<Figure> {
    let mut bins: OutcomeBins<1> = OutcomeBins::new(edges);
    let [mut usual, mut slip] = [(); 2].map(|()| OutcomePairs::default());
    let mut slip_alone = OutcomeTriples::default();
    for index in 0..rebuilds {
        let mut dice = Address::new(seed, index).stream(Purpose::Parts);
        let (own, other) = (Drawn::draw(&mut dice), Drawn::draw(&mut dice));
        let outcome = |x: &Drawn| (model.outcome)(x, model.matters);
        let y = outcome(&own);
        bins.add(edges, &[own.usual], &[y]);
        usual.add(
            y,
            outcome(&Drawn {
                slip: own.slip,
                ..other
            }),
        );
        slip.add(
            y,
            outcome(&Drawn {
                slip: other.slip,
                ..own
            }),
        );
        let put_in = Drawn {
            slip: own.slip,
            ..other
        };
        slip_alone.add(y, outcome(&other), outcome(&put_in));
    }
    let name = |what: &str| format!("{}: {what}", model.name);
    vec![
        figure(name("usual alone"), Sort::Rare, bins.first_order(0)),
        figure(name("usual in all"), Sort::Rare, usual.total()),
        figure(name("slip alone"), Sort::Slip, slip_alone.first_order()),
        figure(name("slip in all"), Sort::Rare, slip.total()),
    ]
}

/// Not of thirty jobs, more than half of which have no slip in them: they say nothing of a share
/// that slips make. Nor do three hundred, with six slips, of a share that is mostly theirs; so
/// slips matter more in the longer runs.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn a_slip_once_in_fifty_jobs() {
    let mut dice = Address::new(1_000_000, 0).stream(Purpose::Bench);
    let edges = Edges::of(&[(0..4096).map(|_| dice.normal()).collect()]);
    for (rebuilds, runs, [adds, stretches]) in [(300, 1000, [1.0, 1.0]), (4096, 400, [5.0, 4.0])] {
        let all = |seed| -> Vec<Figure> {
            let of = |model| ask(&model, &edges, seed, rebuilds);
            models(adds, stretches).into_iter().flat_map(of).collect()
        };
        let mut figures = all(0);
        let shares = models(adds, stretches).into_iter().flat_map(|m| m.shares);
        for (figure, share) in figures.iter_mut().zip(shares) {
            figure.estimate.value = share;
        }
        let truth = Truth {
            figures,
            rebuilds: f64::INFINITY,
        };
        hold("indices", rebuilds, runs, &truth, |seed| all(seed + 1));
    }
}
