//! Intervals of the mean of rare events: those of a Poisson count with the same variance and
//! skewness.

/// Distances from the observed mean down to its lower and up to its upper limit.
///
/// # Definition
/// One observation has this `variance`; an event adds `step` to the sum of all `n`. A compound
/// Poisson sum of equal events has step = (third central moment) / variance, so a mean of this
/// variance and skewness corresponds to variance · n / step² events. The limits of the mean are
/// those of that Poisson count, in steps of step / n. As the skewness vanishes the number of events
/// grows without limit, and the interval becomes the usual mean ± z·√(variance / n); so it does for
/// any figure as `n` grows. Without variance there was no event, and the true mean lies at most 3.7
/// steps / n above, and not below.
///
/// # Source
/// Dobson, Kuulasmaa, Eberle and Scherer, "Confidence intervals for weighted sums of Poisson
/// parameters", Statistics in Medicine 10 (1991) 457–462, with the count of events taken from
/// variance and skewness.
pub(crate) fn distances(n: f64, variance: f64, step: f64, z: f64) -> [f64; 2] {
    let normal = z * (variance / n).sqrt();
    let one = step.abs() / n;
    if one <= 1e-6 * normal {
        return [normal; 2];
    }
    let events = variance * n / (step * step);
    let fewer = one * (events - fewest(events, z));
    let more = one * (most(events, z) - events);
    if step > 0.0 {
        [fewer, more]
    } else {
        [more, fewer]
    }
}

/// Lower limit of the expected number of events, from the number seen.
///
/// # Source
/// Byar's approximation by the cube root of Wilson and Hilferty (Breslow and Day, "Statistical
/// Methods in Cancer Research", volume II, 1987, chapter 2), at half an event more than were seen,
/// which is near the mid-P limit (Rothman and Boice, "Epidemiologic Analysis with a Programmable
/// Calculator", 1979).
fn fewest(events: f64, z: f64) -> f64 {
    cubed(events + 0.5, -z).max(0.0)
}

/// Upper limit of the expected number of events, from the number seen.
///
/// # Source
/// Byar's approximation of the exact limit (Breslow and Day, as above).
fn most(events: f64, z: f64) -> f64 {
    cubed(events + 1.0, z)
}

fn cubed(count: f64, z: f64) -> f64 {
    let root = 1.0 - 1.0 / (9.0 * count) + z / (3.0 * count.sqrt());
    count * root * root * root
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::count::estimate::Z95;

    /// Garwood's exact upper limits of a Poisson count, and mid-P lower limits.
    #[test]
    fn limits_of_counts() {
        for (seen, least, greatest) in [
            (0.0, 0.0, 3.689),
            (1.0, 0.050, 5.572),
            (2.0, 0.343, 7.225),
            (5.0, 1.82, 11.668),
            (10.0, 5.06, 18.390),
            (100.0, 81.8, 121.627),
        ] {
            let (fewest, most) = (fewest(seen, Z95), most(seen, Z95));
            assert!((fewest - least).abs() < 0.08, "{seen}: {fewest}");
            assert!((most - greatest).abs() < 0.03, "{seen}: {most}");
        }
    }

    #[test]
    fn many_small_events_are_a_normal_figure() {
        let half = Z95 * (4.0_f64 / 1e6).sqrt();
        for step in [0.0, 1e-9, 1e-3] {
            for side in distances(1e6, 4.0, step, Z95) {
                assert!((side - half).abs() < 1e-5 * half, "{step}: {side}");
            }
        }
        // whichever way it leans
        let [below, above] = distances(30.0, 0.1, 1.0, Z95);
        assert!(above > 1.5 * below);
        assert_eq!(distances(30.0, 0.1, -1.0, Z95), [above, below]);
    }

    #[test]
    fn an_event_not_seen_may_come_yet() {
        let [below, above] = distances(30.0, 0.0, 2.0, Z95);
        assert_eq!(below, 0.0);
        assert!((above - 2.0 * 3.67 / 30.0).abs() < 1e-3);
        assert_eq!(distances(30.0, 0.0, 0.0, Z95), [0.0, 0.0]);
    }
}
