//! A bigger drawer on the very same jobs.
//!
//! Where each pack can be built in one way only, no job misses a pack for one more of a size, if
//! - nothing is ordered, as for a box on the road; or
//! - what is missing is owed: one more is then there at every moment; or
//! - what is missing comes specially, sizes are bought by the piece and no shim comes out good. Each piece taken is
//!   then away until its own order comes, and one piece more is away only with one job more served.
//!
//! Else more of a size may cost a later job its pack: a nearer pack that it makes possible takes what a later one
//! needs; and a drawer that good shims fill, or whole bought packs, may be the fuller later for having missed
//! a pack before.

use proptest::prelude::*;

use super::rules::lived;
use super::*;
use crate::stock::PLACES;
use crate::tests::properties::holds;

/// Sizes of which no two packs of up to three have the same sum.
const SIZES: [f64; 3] = [0.1, 0.4, 1.6];

/// Jobs with their days, levels, and the rules of a drawer.
#[derive(Debug, Clone)]
struct Played {
    jobs: Vec<(f64, Vec<JobStep>)>,
    levels: [u32; 3],
    pack_of: u32,
    spoiled: f64,
    rules: Rules,
}

/// A step of a job: what is wanted at a place, after what is there has come out, or an old pack of the axle's.
fn steps(packs: u32) -> impl Strategy<Value = Vec<JobStep>> {
    let step = (0..=PLACES as u8, 0..packs).prop_map(|(place, pack)| {
        if usize::from(place) == PLACES {
            vec![JobStep::Old(pack)]
        } else {
            vec![JobStep::Out(place), JobStep::Want(place, pack)]
        }
    });
    prop::collection::vec(step, 1..6).prop_map(|steps| steps.concat())
}

fn drawers() -> impl Strategy<Value = Played> {
    let packs = shelf(&SIZES, 1.0, 3, 0.0).packs.all().len() as u32;
    let jobs = prop::collection::vec((0.0..8.0, steps(packs)), 1..25).prop_map(|jobs| {
        let mut day = 0.0;
        let on_its_day = |(after, steps)| {
            day += after;
            (day, steps)
        };
        jobs.into_iter().map(on_its_day).collect()
    });
    let review = prop_oneof![Just(Review::AtOnce), (1.0..20.0).prop_map(Review::Every),];
    let rules = (
        review,
        0.0..15.0,
        prop_oneof![Just(0.0), 0.0..9.0],
        0..3_u32,
    );
    let series = (prop::array::uniform3(0..7_u32), 1..5_u32, 0.0..1.0);
    (jobs, series, rules).prop_map(|(jobs, (levels, pack_of, spoiled), rules)| Played {
        jobs,
        levels,
        pack_of,
        spoiled,
        rules: Rules {
            review: rules.0,
            lead_days: rules.1,
            late_days: rules.2,
            shortage: Shortage::ComesSpecially,
            keep_surplus: rules.3,
        },
    })
}

/// Packs missing in each job at these levels.
fn missed(played: &Played, levels: &[u32]) -> Vec<u8> {
    let mut series = series(&SIZES, 1.0, 3, played.spoiled);
    series.pack_of = played.pack_of;
    let shelf = Shelf::new(&series, vec![1.0; SIZES.len()], 0.0, None).unwrap();
    let jobs: Vec<(f64, &[JobStep])> = (played.jobs.iter())
        .map(|(day, steps)| (*day, &steps[..]))
        .collect();
    lived(&shelf, &played.rules, &jobs, levels, levels).missed
}

/// With one more of any size no job misses more packs.
fn never_serves_less(rules: impl Fn(&mut Played)) {
    holds(300, drawers(), |mut played| {
        rules(&mut played);
        let before = missed(&played, &played.levels);
        for size in 0..SIZES.len() {
            let mut levels = played.levels;
            levels[size] += 1;
            let after = missed(&played, &levels);
            let fewer = after
                .iter()
                .zip(&before)
                .all(|(after, before)| after <= before);
            prop_assert!(
                fewer,
                "one more of {}: {:?}, before {:?}",
                SIZES[size],
                after,
                before
            );
        }
        Ok(())
    });
}

#[test]
fn a_bigger_box_for_the_road_never_serves_less() {
    never_serves_less(|played| played.rules.review = Review::Never);
}

#[test]
fn a_bigger_drawer_that_owes_never_serves_less() {
    never_serves_less(|played| played.rules.shortage = Shortage::Waits);
}

#[test]
fn a_bigger_drawer_bought_by_the_piece_never_serves_less() {
    never_serves_less(|played| (played.pack_of, played.spoiled) = (1, 1.0));
}

/// What is said above of other drawers: with one of 0.20 the first job takes one of 0.41, which is near enough; with
/// two of them it takes both, and the second job misses one.
#[test]
fn more_of_a_size_may_cost_a_later_job_its_pack() {
    let series = series(&[0.20, 0.41], 1.0, 2, 1.0);
    let shelf = Shelf::new(&series, vec![1.0; 2], 0.01, None).unwrap();
    let rules = rules(Review::Never, 0.0, Shortage::ComesSpecially);
    let [first, second] =
        [0.40, 0.20].map(|sum| [JobStep::Want(0, shelf.packs.nearest(sum) as u32)]);
    let jobs: [(f64, &[JobStep]); 2] = [(1.0, &first), (2.0, &second)];
    let of = |levels: &[u32]| lived(&shelf, &rules, &jobs, levels, levels).missed;
    assert_eq!(of(&[1, 1]), [0, 0]);
    assert_eq!(of(&[2, 1]), [0, 1]);
}
