//! Demand from the bench, job by job.

use super::*;
use crate::bench::{OldPacks, PackPlace, Rebuild, Witness};
use crate::demo;
use crate::stock::demand::{BenchJobs, series_of};
use crate::stock::tape::PLACES;

fn names() -> Vec<String> {
    demo::shop().shims.iter().map(|s| s.name.clone()).collect()
}

#[derive(Default)]
struct Seen {
    old: Option<OldPacks>,
    fitted: Vec<(PackPlace, i64)>,
}

impl Witness for Seen {
    fn stripped(&mut self, old: impl FnOnce() -> OldPacks) {
        self.old = Some(old());
    }

    fn fitted(&mut self, place: PackPlace, number: i64) {
        self.fitted.push((place, number));
    }
}

#[test]
fn the_series_of_the_demo_axle() {
    let setup = demo::setup();
    assert_eq!(
        series_of(&setup),
        [
            (PackPlace::Pinion, "P-38"),
            (PackPlace::RingSide, "S-80"),
            (PackPlace::FarSide, "S-80")
        ]
    );
}

#[test]
fn steps_hold_every_pack_in_the_order_in_which_it_is_fitted() {
    let setup = demo::setup();
    let jobs = BenchJobs::new(&[(&setup, 6.0)], names());
    let mut several = 0;
    for index in 0..2_000 {
        let address = Address::new(21, index);
        let mut steps = JobSteps::new();
        jobs.steps(0, address, &mut steps);
        let mut seen = Seen::default();
        let rebuild: Rebuild = setup.rebuild_observed(address, &mut seen);
        let wanted: Vec<(usize, i64)> = steps
            .iter()
            .filter_map(|(_, step)| match step {
                JobStep::Want(place, pack) => Some((usize::from(*place), i64::from(*pack))),
                _ => None,
            })
            .collect();
        let fitted: Vec<(usize, i64)> =
            seen.fitted.iter().map(|(p, n)| (*p as usize, *n)).collect();
        assert_eq!(wanted, fitted);
        // a place is emptied before it is filled again, and never when it is empty
        let mut stands: [Option<u32>; PLACES] = [None; PLACES];
        let mut out_in_a_row = 0;
        for (series, step) in &steps {
            match *step {
                JobStep::Old(_) => assert!(stands.iter().all(Option::is_none)),
                JobStep::Out(place) => {
                    assert!(stands[usize::from(place)].take().is_some());
                    out_in_a_row += 1;
                }
                JobStep::Want(place, pack) => {
                    assert_eq!(*series, usize::from(place != 0));
                    assert!(stands[usize::from(place)].replace(pack).is_none());
                    several += usize::from(out_in_a_row > 1);
                    out_in_a_row = 0;
                }
            }
        }
        for (place, pack) in rebuild.packs.iter().enumerate() {
            let last = stands[place].map(i64::from);
            assert_eq!(last, pack.map(|pack| pack.number), "{place}");
        }
    }
    // a change of several packs takes all of them out first
    assert!(several > 500, "{several}");
}

#[test]
fn old_packs_close_the_loops_of_the_old_axle() {
    // with every spread at zero the old packs are the usual ones: what closed the loops then
    // closes them now
    let setup = demo::setup();
    let (mut sums, mut squares) = ([0.0; 3], [0.0; 3]);
    let n = 20_000;
    for index in 0..n {
        let mut seen = Seen::default();
        setup.rebuild_observed(Address::new(22, index), &mut seen);
        let old = seen.old.unwrap();
        assert_eq!(old.spacer, None);
        for (i, mm) in [old.pinion, old.ring, old.far].into_iter().enumerate() {
            sums[i] += mm;
            squares[i] += mm * mm;
        }
    }
    for (i, usual) in [0.90, 2.00, 2.10].into_iter().enumerate() {
        let mean = sums[i] / n as f64;
        let sigma = (squares[i] / n as f64 - mean * mean).sqrt() / (n as f64).sqrt();
        // every loop of the demo closes at its usual packs; 4.5 sigma, a false alarm once in
        // 150 000
        assert!((mean - usual).abs() < 4.5 * sigma, "{i}: {mean} ± {sigma}");
        assert!(sigma < 1e-3);
    }
}

#[test]
fn whoever_watches_changes_nothing() {
    let setup = demo::setup();
    for index in 0..500 {
        let address = Address::new(23, index);
        let mut seen = Seen::default();
        assert_eq!(
            setup.rebuild(address),
            setup.rebuild_observed(address, &mut seen)
        );
    }
}
