//! Differences between ways of working on the very same parts.

use super::{Figure, LENGTHS, Sort, Truth, figure, hold, on};
use crate::axle::Condition;
use crate::bench::setup::Setup;
use crate::chance::run::Until;
use crate::compare::compare;
use crate::demo;
use crate::shop::{PinionStart, Shop};

fn way(change: impl Fn(&mut Shop)) -> Setup {
    let mut shop = demo::shop();
    change(&mut shop);
    Setup::new(demo::axle(), shop, Condition::New, Condition::New).unwrap()
}

/// From half the pairs that differ to one in a thousand, and all to one side.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn ways_that_differ_in_many_jobs_and_in_few() {
    let ways = [
        way(|_| ()),
        way(|shop| shop.bench.pinion_start = PinionStart::Gauge),
        way(|shop| shop.bench.mark_slip = 0.0),
        way(|shop| shop.bench.most_assemblies = 8),
    ];
    let names = ["gauge", "no slip", "given up sooner"];
    let ask = |seed, rebuilds| -> Vec<Figure> {
        let found = compare(&ways, seed, Until::Rebuilds(rebuilds), &mut on);
        let mut all = Vec::new();
        for (name, apart) in names.into_iter().zip(&found.differences) {
            for (measure, sort, estimate) in [
                ("first assembly", Sort::Share, apart.first_assembly),
                ("handed over", Sort::Share, apart.handed_over),
                ("finished", Sort::Share, apart.finished),
                ("assemblies", Sort::Rare, apart.assemblies),
                ("hours", Sort::Rare, apart.hours),
                ("cost", Sort::Rare, apart.money),
            ] {
                all.push(figure(format!("{name}: {measure}"), sort, estimate));
            }
        }
        all
    };
    let truth = Truth::of_a_run(200_000, ask);
    for (rebuilds, runs) in LENGTHS.into_iter().zip([1000, 300, 80]) {
        hold("ways", rebuilds, runs, &truth, |seed| ask(seed, rebuilds));
    }
}
