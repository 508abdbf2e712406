//! Drawers whose service is known in closed form.

use super::*;
use crate::stock::plan::{Samples, Search};
use crate::stock::present::Present;
use crate::stock::service::{service, service_from};
use crate::stock::targets::Targets;
use crate::stock::till::{Till, to_pay};

/// One size, one shim a job.
fn one(per_day: f64) -> ShimCounts {
    ShimCounts {
        per_day: vec![per_day],
        series: 1,
        of: vec![vec![Need::Fixed(0, 1)]],
    }
}

fn poisson(mean: f64, count: u32) -> f64 {
    (1..=count).fold((-mean).exp(), |p, k| p * mean / f64::from(k))
}

/// Mean of what a Poisson demand exceeds a stock by.
fn loss(stock: u32, mean: f64) -> f64 {
    mean - f64::from(stock)
        + (0..stock)
            .map(|k| f64::from(stock - k) * poisson(mean, k))
            .sum::<f64>()
}

#[test]
fn what_comes_specially_leaves_the_drawer_to_the_others() {
    // filled up every 5 days at once, 0.4 jobs a day: of D jobs in a cycle, min(D, S) are served;
    // E[min(D, S)]/λ, D Poisson(λ) over one review cycle
    let shelves = [shelf(&[1.0], 1.0, 1, 0.0)];
    let rules = rules(Review::Every(5.0), 0.0, Shortage::ComesSpecially);
    let sample = sample(&one(0.4), &shelves, 1, 200, 10_000.0);
    for stock in [1, 2, 4] {
        let levels = vec![vec![stock]];
        let fill = service(&shelves, &rules, &sample, &levels, &levels).job_fill;
        let served = 2.0 - loss(stock, 2.0);
        agrees(&fill, served / 2.0);
    }
}

#[test]
fn what_is_used_a_year_is_what_is_served() {
    // as above, 73.05 cycles of 5 days a year; a shim costs 2.5
    let shelves = [shelf(&[1.0], 2.5, 1, 0.0)];
    let rules = rules(Review::Every(5.0), 0.0, Shortage::ComesSpecially);
    let sample = sample(&one(0.4), &shelves, 1, 200, 10_000.0);
    let levels = vec![vec![2]];
    let played = service(&shelves, &rules, &sample, &levels, &levels);
    let a_year = 73.05 * (2.0 - loss(2, 2.0));
    agrees(&played.used[0][0], a_year);
    agrees(&played.mean(|year| year.used), a_year);
    agrees(&played.mean(|year| year.used_worth), 2.5 * a_year);
}

#[test]
fn what_is_on_order_serves_from_the_day_on_which_it_comes() {
    // one shim is there, two more come on day 5 of 20, nothing is ordered: of the jobs before, one is
    // served at the most, of those after as many as there are shims then; Poisson either time
    let shelves = [shelf(&[1.0], 1.0, 1, 0.0)];
    let rules = rules(Review::Never, 5.0, Shortage::ComesSpecially);
    let sample = sample(&one(0.2), &shelves, 7, 200_000, 20.0);
    let served = |stock: u32, mean: f64| mean - loss(stock, mean);
    let first = served(1, 1.0);
    let kept = poisson(1.0, 0);
    for coming in [0, 2] {
        let now = Present {
            counts: vec![vec![1]],
            on_order: vec![vec![coming]],
        };
        let fill = service_from(&shelves, &rules, &sample, &vec![vec![3]], &now).job_fill;
        let then = kept * served(coming + 1, 3.0) + (1.0 - kept) * served(coming, 3.0);
        agrees(&fill, (first + then) / 4.0);
    }
}

#[test]
fn one_for_one_with_shortages_owed_is_palms_theorem() {
    // mean lead-time demand 4; fills from P(D ≤ S − 1), as tables of base stock print them
    let shelves = [shelf(&[1.0], 1.0, 1, 0.0)];
    let rules = rules(Review::AtOnce, 8.0, Shortage::Waits);
    let sample = sample(&one(0.5), &shelves, 2, 200, 8_000.0);
    for (stock, printed) in [(5, 0.628837), (6, 0.785130), (8, 0.948866)] {
        let by_hand: f64 = (0..stock).map(|k| poisson(4.0, k)).sum();
        assert!((by_hand - printed).abs() < 1e-6);
        let levels = vec![vec![stock]];
        let served = service(&shelves, &rules, &sample, &levels, &levels);
        agrees(&served.job_fill, printed);
        // on hand = stock − mean + what is owed
        agrees(&served.on_hand, f64::from(stock) - 4.0 + loss(stock, 4.0));
    }
}

#[test]
fn one_for_one_with_shortages_from_elsewhere_is_erlangs_loss() {
    // Erlang's loss formula B(S, a): the share of calls lost with S lines and a offered load of a
    let shelves = [shelf(&[1.0], 1.0, 1, 0.0)];
    let rules = rules(Review::AtOnce, 8.0, Shortage::ComesSpecially);
    let sample = sample(&one(0.5), &shelves, 3, 200, 8_000.0);
    for stock in [2_u32, 5] {
        let terms: f64 = (0..=stock).map(|k| poisson(4.0, k)).sum();
        let lost = poisson(4.0, stock) / terms;
        let levels = vec![vec![stock]];
        let fill = service(&shelves, &rules, &sample, &levels, &levels).job_fill;
        agrees(&fill, 1.0 - lost);
    }
}

#[test]
fn periodic_review_with_shortages_owed() {
    // fill = 1 − [Loss(S; λ(R+L)) − Loss(S; λL)]/(λR)
    let shelves = [shelf(&[1.0], 1.0, 1, 0.0)];
    for (per_day, review, lead, stock, printed) in
        [(2.0, 1.0, 2.0, 8, 0.859803), (1.0, 4.0, 2.0, 8, 0.921568)]
    {
        let short = loss(stock, per_day * (review + lead)) - loss(stock, per_day * lead);
        assert!((1.0 - short / (per_day * review) - printed).abs() < 1e-6);
        let rules = rules(Review::Every(review), lead, Shortage::Waits);
        let sample = sample(&one(per_day), &shelves, 4, 200, 4_000.0);
        let levels = vec![vec![stock]];
        let fill = service(&shelves, &rules, &sample, &levels, &levels).job_fill;
        agrees(&fill, printed);
    }
}

#[test]
fn a_job_that_needs_two_components() {
    // lead time 1, orders of A alone, B alone and both, each at rate 1, four of each in stock
    let shelves = [shelf(&[1.0], 1.0, 1, 0.0), shelf(&[1.0], 1.0, 1, 0.0)];
    let jobs = ShimCounts {
        per_day: vec![1.0, 1.0, 1.0],
        series: 2,
        of: vec![
            vec![Need::Fixed(0, 1)],
            vec![Need::Fixed(1, 1)],
            vec![Need::Fixed(0, 1), Need::Fixed(1, 1)],
        ],
    };
    let rules = rules(Review::AtOnce, 1.0, Shortage::Waits);
    let sample = sample(&jobs, &shelves, 5, 200, 3_000.0);
    let levels = vec![vec![4], vec![4]];
    let fill = service(&shelves, &rules, &sample, &levels, &levels).job_fill;
    agrees(&fill, 0.829110);
}

/// Independent Poisson needs at costs 1, 2, 1, 3, always from a full drawer.
fn four_needs() -> (Vec<Shelf>, ShimCounts, Rules) {
    let shelves = [1.0, 2.0, 1.0, 3.0]
        .map(|price| shelf(&[1.0], price, 8, 0.0))
        .into();
    let needs = [0.8, 0.5, 0.3, 0.1];
    let of = needs.into_iter().enumerate();
    let jobs = ShimCounts {
        per_day: vec![1.0],
        series: 4,
        of: vec![
            of.map(|(series, mean)| Need::Poisson(series, mean))
                .collect(),
        ],
    };
    let rules = rules(Review::AtOnce, 0.0, Shortage::ComesSpecially);
    (shelves, jobs, rules)
}

#[test]
fn job_fill_of_independent_needs() {
    let (shelves, jobs, rules) = four_needs();
    let sample = sample(&jobs, &shelves, 6, 200, 5_000.0);
    for (levels, fill) in [([2, 2, 1, 0], 0.818148), ([3, 2, 1, 1], 0.936188)] {
        let levels: Vec<Vec<u32>> = levels.iter().map(|level| vec![*level]).collect();
        let served = service(&shelves, &rules, &sample, &levels, &levels);
        agrees(&served.job_fill, fill);
    }
}

#[test]
fn the_cheapest_drawer_costs_11_where_a_plain_walk_pays_12() {
    let (shelves, jobs, rules) = four_needs();
    let draw = |number, days| sample(&jobs, &shelves, number, 50, days);
    let samples = Samples {
        rough: draw(7, 100.0),
        fit: &draw(8, 400.0),
        check: &|| draw(9, 4_000.0),
    };
    let targets = Targets::all(0.9);
    let mut search = Search::new(&shelves, &rules, &samples, Till::empty(&shelves), &targets);
    let plan = search.find(&mut |_| true).unwrap();
    assert!(plan.held);
    assert_eq!(plan.levels, [[3], [2], [1], [1]]);
    assert_eq!(to_pay(&shelves, &plan.levels, None), 11.0);
}
