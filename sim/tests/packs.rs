use super::{SIGMAS, close};
use crate::axle::packs::PackTable;
use crate::axle::shims::{Series, StripClass, Thickness};
use crate::chance::dice::{Address, Purpose};

fn series(sizes: &[f64], most_in_pack: u32) -> Series {
    Series {
        name: "any".into(),
        sizes: sizes.to_vec(),
        unit: 1.0,
        price: 1.0,
        pack_of: 1,
        tolerance: Thickness::Limit(0.03),
        most_in_pack,
        spoiled: 0.0,
    }
}

/// How far whole numbers from 1 on can be built without a gap.
fn reach(sizes: &[f64], most_in_pack: u32) -> u32 {
    let table = PackTable::new(&series(sizes, most_in_pack), None).unwrap();
    let sums: Vec<f64> = table.all().iter().map(|p| p.printed).collect();
    (1..)
        .find(|n| !sums.iter().any(|s| (s - f64::from(*n)).abs() < 1e-9))
        .unwrap()
        - 1
}

#[test]
fn postage_stamps() {
    // the postage-stamp problem: n(h, k), known sets
    assert_eq!(reach(&[1.0, 3.0, 4.0], 2), 8);
    assert_eq!(reach(&[1.0, 3.0, 5.0, 6.0], 2), 12);
    assert_eq!(reach(&[1.0, 4.0, 5.0], 3), 15);
    assert_eq!(reach(&[1.0, 4.0, 7.0, 8.0], 3), 24);
    assert_eq!(reach(&[1.0, 3.0, 11.0, 18.0], 4), 44);
}

/// The largest reach of any set of `k` sizes with at most `h` pieces.
fn best_reach(h: u32, k: usize) -> u32 {
    fn grow(sizes: &mut Vec<f64>, h: u32, k: usize) -> u32 {
        let reached = reach(sizes, h);
        if sizes.len() == k {
            return reached;
        }
        let last = sizes[sizes.len() - 1] as u32;
        (last + 1..=reached + 1)
            .map(|next| {
                sizes.push(f64::from(next));
                let best = grow(sizes, h, k);
                sizes.pop();
                best
            })
            .max()
            .unwrap_or(0)
    }
    grow(&mut vec![1.0], h, k)
}

#[test]
fn no_set_of_stamps_reaches_farther() {
    assert_eq!(best_reach(2, 3), 8);
    assert_eq!(best_reach(2, 4), 12);
    assert_eq!(best_reach(3, 3), 15);
}

#[test]
fn a_window_that_starts_thick() {
    // [10, 30] with at most 3 pieces needs four sizes, and three sets only do it
    let covers = |sizes: &[f64]| {
        let table = PackTable::new(&series(sizes, 3), None).unwrap();
        (10..=30).all(|n| {
            let n = f64::from(n);
            (table.all()[table.nearest(n)].printed - n).abs() < 1e-9
        })
    };
    let mut sets = Vec::new();
    for a in 1..=30u32 {
        for b in a + 1..=30 {
            for c in b + 1..=30 {
                for d in c + 1..=30 {
                    let sizes = [a, b, c, d];
                    if covers(&sizes.map(f64::from)) {
                        sets.push(sizes);
                    }
                }
                assert!(!covers(&[a, b, c].map(f64::from)));
            }
        }
    }
    assert_eq!(sets, [[3, 8, 9, 10], [4, 7, 9, 10], [5, 6, 8, 15]]);
}

#[test]
fn nearest_as_by_trying_all() {
    let mut all = crate::demo::shop().shims;
    // few and far between, where a search by equal cells could start beside the mark
    for sizes in [
        vec![0.5, 20.0, 20.1, 20.2],
        vec![1.0, 100.0, 101.0, 102.0, 103.0],
        vec![0.5, 30.0, 30.1, 30.2, 30.3],
        vec![7.0],
    ] {
        all.extend([series(&sizes, 1), series(&sizes, 2)]);
    }
    let mut dice = Address::new(4, 0).stream(Purpose::Parts);
    for _ in 0..60 {
        let mut sizes: Vec<f64> = (0..1 + (7.0 * dice.uniform()) as usize)
            .map(|_| (1.0 + 4000.0 * dice.uniform().powi(3)).round() / 100.0)
            .collect();
        sizes.sort_by(f64::total_cmp);
        sizes.dedup();
        all.push(series(&sizes, 1 + (3.0 * dice.uniform()) as u32));
    }
    for series in &all {
        let table = PackTable::new(series, None).unwrap();
        let sums: Vec<f64> = table.all().iter().map(|p| p.printed).collect();
        let thickest = sums[sums.len() - 1];
        let halfway = sums.windows(2).map(|w| 0.5 * (w[0] + w[1]));
        let anywhere: Vec<f64> = (0..1000)
            .map(|_| (dice.uniform() * 1.2 - 0.1) * thickest)
            .collect();
        for wanted in halfway
            .chain(anywhere)
            .chain(sums.clone())
            .chain([-5.0, 0.0, 999.0])
        {
            let mut best = 0;
            for (i, sum) in sums.iter().enumerate() {
                if (sum - wanted).abs() < (sums[best] - wanted).abs() - 1e-9 {
                    best = i;
                }
            }
            assert_eq!(
                table.nearest(wanted),
                best,
                "for {wanted} of {:?}",
                series.sizes
            );
        }
        assert_eq!(table.nearest(f64::INFINITY), sums.len() - 1);
        assert_eq!(table.nearest(f64::NEG_INFINITY), 0);
    }
}

#[test]
fn fewest_shims_for_a_sum() {
    let table = PackTable::new(&series(&[0.1, 0.2, 0.3, 0.4], 4), None).unwrap();
    for pack in table.all() {
        let fewest = (pack.printed / 0.4 - 1e-9).ceil() as usize;
        assert_eq!(pack.shims.len(), fewest, "{pack:?}");
        assert!(pack.shims.is_sorted_by(|a, b| a >= b));
    }
    // half a step between two packs takes the thinner one
    assert_eq!(table.all()[table.nearest(0.25)].printed, 0.2);
    assert_eq!(table.all().len(), 16);
}

#[test]
fn real_thickness() {
    let measured = PackTable::new(&series(&[0.5], 4), Some(0.003)).unwrap();
    close(measured.all()[3].sigma, 0.006, 1e-12);
    let trusted = PackTable::new(&series(&[0.5], 4), None).unwrap();
    close(trusted.all()[3].sigma, 0.02, 1e-12);
}

#[test]
fn strip_tolerances() {
    // EN 10258: rows by thickness, columns normal, fine, precision
    let limits =
        |t: f64| [StripClass::Normal, StripClass::Fine, StripClass::Precision].map(|c| c.limit(t));
    assert_eq!(limits(0.10), [0.010, 0.008, 0.006]);
    assert_eq!(limits(0.149), [0.010, 0.008, 0.006]);
    assert_eq!(limits(0.90), [0.030, 0.025, 0.018]);
    assert_eq!(limits(2.0), [0.050, 0.035, 0.025]);
    assert_eq!(limits(9.0), [0.060, 0.045, 0.030]);
    close(limits(0.06)[0], 0.006, 1e-12);
    close(limits(0.02)[2], 0.0008, 1e-12);
}

#[test]
fn choosing_a_shim_in_closed_form() {
    // gap N(0, 0.1), shims every 0.05, the gap measured with N(0, s), right within t; moved by 5 so
    // that every thickness is above zero
    let sizes: Vec<f64> = (1..200).map(|i| 0.05 * f64::from(i)).collect();
    let table = PackTable::new(&series(&sizes, 1), None).unwrap();
    let n = 400_000;
    for (s, t, expected) in [
        (0.0, 0.02, 0.800_000),
        (0.005, 0.03, 0.983_337),
        (0.01, 0.03, 0.920_881),
        (0.01, 0.04, 0.988_277),
    ] {
        let mut dice = Address::new(5, 1).stream(Purpose::Bench);
        let right = (0..n)
            .filter(|_| {
                let gap = 5.0 + 0.1 * dice.normal();
                let shim = table.all()[table.nearest(gap + s * dice.normal())].printed;
                (gap - shim).abs() <= t
            })
            .count();
        let share = right as f64 / f64::from(n);
        let error = (expected * (1.0 - expected) / f64::from(n)).sqrt();
        close(share, expected, SIGMAS * error);
    }
}

#[test]
fn a_series_that_builds_too_much_is_refused() {
    let sizes: Vec<f64> = (1..60).map(|i| 0.1 + f64::from(i).sqrt() / 17.0).collect();
    assert!(PackTable::new(&series(&sizes, 5), None).is_err());
}
