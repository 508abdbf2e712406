//! The shims that came out.

use crate::axle::packs::PackTable;
use crate::axle::tolerance::Tolerance;
use crate::axle::{Axle, Condition, PreloadBy, SideSeat};
use crate::bench::setup::Setup;
use crate::bench::{OldPacks, Witness};
use crate::chance::dice::Address;
use crate::demo;
use crate::learn::recorded;
use crate::learn::shims_out::shims_out;
use crate::next::{BenchJob, Fitted, Known};
use crate::stock::{BenchJobs, JobStep, JobSteps, Jobs, PLACES};

pub(super) fn with(change: impl FnOnce(&mut Axle)) -> Setup {
    let (mut axle, mut shop) = (demo::axle(), demo::shop());
    let mut beside = shop.shims[0].clone();
    beside.name = "T-11".into();
    shop.shims.push(beside);
    change(&mut axle);
    Setup::new(axle, shop, Condition::New, Condition::New).unwrap()
}

pub(super) fn with_spacer(axle: &mut Axle) {
    axle.pinion_preload.by = PreloadBy::Spacer {
        stock: "T-11".into(),
        usual: 1.0,
        gap: demo::about(60.0, 0.05),
        spacer: demo::about(58.95, 0.025),
        as_built: Tolerance::normal(0.0, 0.015).unwrap(),
    };
}

fn with_adjusters(axle: &mut Axle) {
    axle.side_shims.seat = SideSeat::ScrewAdjusters;
    axle.side_shims.stock = None;
}

/// The packs that truly came out.
#[derive(Default)]
struct Old(Option<OldPacks>);

impl Witness for Old {
    fn stripped(&mut self, old: impl FnOnce() -> OldPacks) {
        self.0 = Some(old());
    }
}

/// Shims that came out in the steps that the drawer is played by, series by series.
fn seen_by_the_drawer(setup: &Setup, jobs: &BenchJobs<'_>, address: Address) -> Vec<u32> {
    let names = setup.axle.series();
    let tables: Vec<PackTable> = (names.iter())
        .map(|name| PackTable::new(setup.shop.series(name).unwrap(), None).unwrap())
        .collect();
    let mut steps = JobSteps::new();
    jobs.steps(0, address, &mut steps);
    let mut out = vec![0; names.len()];
    let mut stands = [0; PLACES];
    for (series, step) in steps {
        let shims = |pack: u32| tables[series].all()[pack as usize].shims.len() as u32;
        match step {
            JobStep::Old(pack) => out[series] += shims(pack),
            JobStep::Out(place) => out[series] += shims(stands[usize::from(place)]),
            JobStep::Want(place, pack) => stands[usize::from(place)] = pack,
        }
    }
    out
}

/// Of a rebuild whose old packs are measured exactly it is what the drawer sees.
#[test]
fn they_are_those_that_the_drawer_sees() {
    let mut more_than_six = 0;
    for setup in [with(|_| {}), with(with_spacer), with(with_adjusters)] {
        let names = setup.axle.series().into_iter().map(str::to_owned);
        let jobs = BenchJobs::new(&[(&setup, 1.0)], names.collect());
        for number in 0..400 {
            let address = Address::new(11, number);
            let mut old = Old::default();
            setup.rebuild_observed(address, &mut old);
            let old = old.0.unwrap();
            let mut job = recorded(&setup, address).bench;
            let known = &mut job.known;
            known.pinion_pack = Some(old.pinion);
            (known.ring_pack, known.far_pack) = (Some(old.ring), Some(old.far));
            known.preload_pack = old.spacer;
            let counted: Vec<u32> = (shims_out(&setup, &job).into_iter())
                .map(|(_, count)| count)
                .collect();
            let seen = seen_by_the_drawer(&setup, &jobs, address);
            assert_eq!(counted, seen, "{number}: {job:?}");
            more_than_six += u32::from(seen.iter().sum::<u32>() > 6);
        }
    }
    assert!(more_than_six > 200, "{more_than_six}");
}

/// Old packs, then what was replaced, whole; a pack that stays in, or leaves with the axle, does not count.
#[test]
fn replaced_packs_come_out_whole_and_the_last_ones_stay() {
    let setup = with(with_spacer);
    // what each of these is made of
    let shims = |name: &str, pack: f64| {
        let table = PackTable::new(setup.shop.series(name).unwrap(), None).unwrap();
        table.all()[table.nearest(pack)].shims.len() as u32
    };
    let entry = |pinion, ring, preload: &[f64]| Fitted {
        pinion,
        ring,
        far: 2.1,
        preload: preload.to_vec(),
        ..Fitted::default()
    };
    let job = BenchJob {
        known: Known {
            pinion_pack: Some(0.883),
            preload_pack: Some(1.012),
            ..Known::default()
        },
        assemblies: vec![
            entry(0.9, 2.0, &[]),
            entry(0.9, 1.95, &[]),
            entry(0.95, 1.95, &[1.0, 1.0, 1.05]),
            entry(0.95, 1.95, &[1.05, 1.1]),
        ],
    };
    let [ring, far] = setup.axle.side_shims.usual;
    let out = [
        ("P-38", shims("P-38", 0.883) + shims("P-38", 0.9)),
        // the old side packs were not measured
        (
            "S-80",
            shims("S-80", ring) + shims("S-80", far) + shims("S-80", 2.0),
        ),
        (
            "T-11",
            shims("T-11", 1.012) + shims("T-11", 1.0) + shims("T-11", 1.05),
        ),
    ];
    assert_eq!(
        shims_out(&setup, &job),
        out.map(|(name, count)| (name.to_owned(), count))
    );
    let turned = shims_out(&with(with_adjusters), &job);
    assert_eq!(
        turned,
        [out[0]].map(|(name, count)| (name.to_owned(), count))
    );
}
