use super::*;
use crate::chance::dice::{Address, Dice, Purpose};
use crate::count::estimate::Z95;
use crate::tests::{SIGMAS, close};

/// Estimates a model's indices: input by input its first-order index by bins, the same by threes,
/// and its total index.
fn indices<const N: usize>(
    samples: u64,
    draw: impl Fn(&mut Dice) -> f64,
    model: impl Fn(&[f64; N]) -> f64,
) -> [[Estimate; 3]; N] {
    let drawn = |address: Address| -> [f64; N] {
        let mut dice = address.stream(Purpose::Parts);
        std::array::from_fn(|_| draw(&mut dice))
    };
    let edges: [Edges; N] = std::array::from_fn(|i| {
        let sample = (0..4096).map(|k| drawn(Address::new(7, k).partner())[i]);
        Edges::of(&[sample.collect()])
    });
    let mut bins: [OutcomeBins<1>; N] = std::array::from_fn(|i| OutcomeBins::new(&edges[i]));
    let mut totals = [OutcomePairs::default(); N];
    let mut firsts = [OutcomeTriples::default(); N];
    for k in 0..samples {
        let address = Address::new(7, k);
        let (a, b) = (drawn(address), drawn(address.partner()));
        let (y, elsewhere) = (model(&a), model(&b));
        for i in 0..N {
            bins[i].add(&edges[i], &[a[i]], &[y]);
            let mut but_one = a;
            but_one[i] = b[i];
            totals[i].add(y, model(&but_one));
            let mut only_one = b;
            only_one[i] = a[i];
            firsts[i].add(y, elsewhere, model(&only_one));
        }
    }
    std::array::from_fn(|i| {
        [
            bins[i].first_order(0),
            firsts[i].first_order(),
            totals[i].total(),
        ]
    })
}

/// Within 4.5 standard errors, and those not more than so much: fails by chance once in 150 000 a
/// figure.
fn near(estimate: &Estimate, expected: f64, bias: f64, widest: f64) {
    let error = estimate.half_width() / Z95;
    assert!(error < widest, "{estimate:?} says too little");
    close(estimate.value, expected, SIGMAS * error + bias);
}

/// Ishigami and Homma, "An importance quantification technique in uncertainty analysis for computer
/// models", 1990: sin x₁ + 7 sin² x₂ + 0.1 x₃⁴ sin x₁ on (−π, π); indices in closed form.
#[test]
fn ishigami() {
    let pi = std::f64::consts::PI;
    let found = indices(
        200_000,
        |dice| pi * (2.0 * dice.uniform() - 1.0),
        |[x1, x2, x3]: &[f64; 3]| x1.sin() + 7.0 * x2.sin().powi(2) + 0.1 * x3.powi(4) * x1.sin(),
    );
    let first = [0.313905, 0.442411, 0.0];
    let total = [0.557589, 0.442411, 0.243684];
    for ([binned, crossed, with_others], (first, total)) in
        found.iter().zip(first.into_iter().zip(total))
    {
        near(binned, first, 0.002, 0.004);
        near(crossed, first, 0.0, 0.006);
        near(with_others, total, 0.0, 0.006);
    }
}

/// A yes/no answer, 1{Σ a Z ≤ t·‖a‖}, Z standard normal: its indices are those of two correlated
/// normal figures falling to one side of t, by the bivariate normal distribution function.
#[test]
fn yes_or_no() {
    let weights: [f64; 5] = [1.0, 1.0, 0.5, 0.5, 0.25];
    let length = weights.iter().map(|a| a * a).sum::<f64>().sqrt();
    for (t, first, total) in [
        (
            0.0,
            [0.255219, 0.255219, 0.062208, 0.062208, 0.015529],
            0.58253,
        ),
        (
            1.5,
            [0.156260, 0.156260, 0.029199, 0.029199, 0.006744],
            0.69827,
        ),
    ] {
        let found = indices(200_000, Dice::normal, |z: &[f64; 5]| {
            let sum: f64 = weights.iter().zip(z).map(|(a, z)| a * z).sum();
            f64::from(u8::from(sum <= t * length))
        });
        for ([binned, crossed, _], first) in found.iter().zip(first) {
            near(binned, first, 0.002, 0.004);
            near(crossed, first, 0.0, 0.012);
        }
        near(&found[0][2], total, 0.0, 0.012);
    }
}

/// A linear sum: indices are the squared coefficients, first-order and total alike, and they add up
/// to one.
#[test]
fn a_linear_sum() {
    let weights: [f64; 4] = [0.8, 0.5, 0.3, 0.1];
    let all: f64 = weights.iter().map(|a| a * a).sum();
    let found = indices(100_000, Dice::normal, |z: &[f64; 4]| {
        weights.iter().zip(z).map(|(a, z)| a * z).sum()
    });
    let mut sums = [0.0; 3];
    for (indices, a) in found.iter().zip(weights) {
        for (sum, index) in sums.iter_mut().zip(indices) {
            near(index, a * a / all, 0.0, 0.01);
            *sum += index.value;
        }
    }
    close(sums[0], 1.0, 0.02);
    close(sums[2], 1.0, 0.04);
}

/// What has no influence comes out as zero on average: 400 small samples of pure noise, whose mean
/// index, if fitting by chance were not taken out, would be 0.064.
#[test]
fn fitting_by_chance_is_taken_out() {
    let (mut sum, mut squares) = (0.0, 0.0);
    let mut covered = 0;
    let samples = 400;
    for seed in 0..samples {
        let mut dice = Address::new(seed, 0).stream(Purpose::Bench);
        let x: Vec<f64> = (0..1000).map(|_| dice.normal()).collect();
        let edges = Edges::of(std::slice::from_ref(&x));
        let mut bins: OutcomeBins<1> = OutcomeBins::new(&edges);
        for x in x {
            bins.add(&edges, &[x], &[dice.normal()]);
        }
        let index = bins.first_order(0);
        sum += index.value;
        squares += index.value * index.value;
        covered += u32::from(index.low <= 0.0 && 0.0 <= index.high);
    }
    let n = samples as f64;
    let error = ((squares / n - (sum / n).powi(2)) / n).sqrt();
    assert!((sum / n).abs() < SIGMAS * error && error < 0.001);
    assert!(covered >= 370, "{covered} of {samples}");
}

/// Two coordinates of one input, of which only the difference counts.
#[test]
fn an_input_of_two_coordinates() {
    let mut dice = Address::new(3, 0).stream(Purpose::Parts);
    let pairs: Vec<[f64; 2]> = (0..100_000)
        .map(|_| [dice.normal(), dice.normal()])
        .collect();
    let edges = Edges::of(&[0, 1].map(|i| pairs.iter().map(|p| p[i]).collect()));
    let mut bins: OutcomeBins<2> = OutcomeBins::new(&edges);
    for pair in &pairs {
        let noise = dice.normal();
        let difference = pair[0] - pair[1];
        let inside = f64::from(u8::from(difference.abs() < 1.0));
        bins.add(&edges, pair, &[difference + noise, inside]);
    }
    // variance 2 of 3
    near(&bins.first_order(0), 2.0 / 3.0, 0.0, 0.003);
    // known for certain from both together: what bends inside a bin is lost
    let certain = bins.first_order(1).value;
    assert!((0.6..1.0).contains(&certain), "{certain}");
}

/// Merging blocks gives what one block gives, to rounding.
#[test]
fn blocks_merge() {
    let mut dice = Address::new(5, 0).stream(Purpose::Parts);
    let points: Vec<[f64; 2]> = (0..9000).map(|_| [dice.normal(), dice.normal()]).collect();
    let edges = Edges::of(&[points.iter().map(|p| p[0]).collect()]);
    let gather = |points: &[[f64; 2]]| {
        let (mut bins, mut pairs) = (OutcomeBins::<1>::new(&edges), OutcomePairs::default());
        for [x, e] in points {
            bins.add(&edges, &[*x], &[x + e]);
            pairs.add(x + e, *x);
        }
        (bins, pairs)
    };
    let (whole, whole_pairs) = gather(&points);
    let (mut merged, mut merged_pairs) = gather(&points[..4000]);
    let (later, later_pairs) = gather(&points[4000..]);
    merged.merge(&later);
    merged_pairs.merge(&later_pairs);
    let [a, b] = [&whole, &merged].map(|bins| bins.first_order(0));
    close(a.value, b.value, 1e-9);
    close(a.low, b.low, 1e-9);
    let [a, b] = [whole_pairs, merged_pairs].map(|pairs| pairs.total());
    close(a.value, b.value, 1e-12);
    close(a.high, b.high, 1e-12);
}

#[test]
fn what_never_varies_has_no_index() {
    let edges = Edges::of(&[vec![0.0, 1.0, 2.0]]);
    let mut bins: OutcomeBins<1> = OutcomeBins::new(&edges);
    let mut pairs = OutcomePairs::default();
    for k in 0..1000 {
        bins.add(&edges, &[f64::from(k % 3)], &[0.1]);
        pairs.add(0.1, 0.1);
    }
    assert!(bins.first_order(0).value.is_nan());
    assert!(pairs.total().value.is_nan());
    let mut some = OutcomePairs::default();
    for k in 0..1000 {
        let y = f64::from(k % 2);
        some.add(y, y);
    }
    let none = some.total();
    assert_eq!((none.value, none.low), (0.0, 0.0));
    // exactly, 3.7 pairs in 1000 may differ, and one is 2 of the variance
    assert!((0.0074..0.0085).contains(&none.high), "{none:?}");
}
