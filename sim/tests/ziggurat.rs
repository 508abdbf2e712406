use rand_distr::{Distribution, StandardNormal};
use statrs::distribution::{ContinuousCDF, Normal};

use super::*;
use crate::tests::{SIGMAS, close};

/// Every layer has this area, and so has the widest with its tail.
fn area() -> f64 {
    let from = EDGE[1];
    let tail = (std::f64::consts::FRAC_PI_2).sqrt() * libm::erfc(from / 2f64.sqrt());
    from * libm::exp(-0.5 * from * from) + tail
}

#[test]
fn the_edges_are_those_of_equal_layers() {
    let area = area();
    close(EDGE[0] * density(EDGE[1]), area, 1e-15);
    for layer in 1..LAYERS {
        let own = EDGE[layer] * (density(EDGE[layer + 1]) - density(EDGE[layer]));
        close(own, area, 3e-15);
    }
    assert_eq!(EDGE[LAYERS], 0.0);
    // one draw of so many is not decided by its own place
    let full: f64 = EDGE.windows(2).map(|pair| pair[1] / pair[0]).sum();
    close(full / LAYERS as f64, 0.9957, 1e-4);
}

fn figures(seed: u64, count: usize) -> impl Iterator<Item = f64> {
    let mut rng = WyRand::new(seed);
    (0..count).map(move |_| normal(rng.rand()))
}

/// Counts in cells that are equally likely by the distribution function, and what lies beyond each
/// of some far limits.
#[test]
#[cfg_attr(debug_assertions, ignore = "many draws: use --release")]
fn draws_follow_the_distribution_function() {
    const DRAWS: usize = 20_000_000;
    const CELLS: usize = 4096;
    let cdf = Normal::standard();
    let ends: Vec<f64> = (1..CELLS)
        .map(|i| cdf.inverse_cdf(i as f64 / CELLS as f64))
        .collect();
    let mut counts = vec![0_u64; CELLS];
    let far = [3.0, 3.5, EDGE[1], 4.0, 4.5];
    let mut beyond = [[0_u64; 2]; 5];
    for z in figures(11, DRAWS) {
        counts[ends.partition_point(|end| *end <= z)] += 1;
        if z.abs() > far[0] {
            for (count, limit) in beyond.iter_mut().zip(far) {
                count[usize::from(z > 0.0)] += u64::from(z.abs() > limit);
            }
        }
    }
    let expected = DRAWS as f64 / CELLS as f64;
    let squares: f64 = counts
        .iter()
        .map(|count| (*count as f64 - expected).powi(2) / expected)
        .sum();
    // chi-squared of 4095 degrees of freedom is nearly normal: once in 10⁶ by chance on either side
    let freedom = (CELLS - 1) as f64;
    close(squares, freedom, 4.9 * (2.0 * freedom).sqrt());
    for (counts, limit) in beyond.iter().zip(far) {
        let expected = DRAWS as f64 * cdf.sf(limit);
        for count in counts {
            close(*count as f64, expected, SIGMAS * expected.sqrt());
        }
    }
}

/// The library's own draws as a yardstick: the first moments of both agree.
#[test]
#[cfg_attr(debug_assertions, ignore = "many draws: use --release")]
fn draws_agree_with_the_library() {
    const DRAWS: usize = 4_000_000;
    let moments = |draws: &mut dyn Iterator<Item = f64>| {
        let mut sums = [0.0; 6];
        for z in draws {
            let mut power = 1.0;
            for sum in &mut sums {
                power *= z;
                *sum += power;
            }
        }
        sums.map(|sum| sum / DRAWS as f64)
    };
    let ours = moments(&mut figures(12, DRAWS));
    let mut rng = WyRand::new(13);
    let theirs = moments(&mut (0..DRAWS).map(|_| StandardNormal.sample(&mut rng)));
    // variances of z, z², … z⁶, of a difference
    let variances = [1.0, 2.0, 15.0, 96.0, 945.0, 10_170.0];
    for ((ours, theirs), variance) in ours.iter().zip(theirs).zip(variances) {
        let error = (2.0 * variance / DRAWS as f64).sqrt();
        close(*ours, theirs, SIGMAS * error);
    }
}

#[test]
fn figures_at_the_edge_come_from_their_own_bits() {
    // bits whose place lies beyond the full part of their layer, the widest layer among them
    let mut at_the_edge = [0; 2];
    for bits in (0..2_000_000_u64).map(|i| i.wrapping_mul(0x9e37_79b9_7f4a_7c15)) {
        let (layer, x) = place(bits);
        if x.abs() >= EDGE[layer + 1] {
            assert_eq!(normal(bits), normal(bits));
            at_the_edge[usize::from(layer == 0)] += 1;
        }
    }
    assert!(at_the_edge.iter().all(|count| *count > 20));
}
