//! The usual habit to compare a plan with: the same number of every size.

use super::drawer::Rules;
use super::found::DrawerOption;
use super::shelf::Shelf;
use super::tape::Sample;
use super::till::{in_whole_packs, to_pay};
use super::trials::Levels;
use crate::count::estimate::Estimate;

/// Limit of an equal count of every size.
const MOST_EQUAL: u32 = 4096;
/// Equal counts of every size, held against a plan.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct EqualCounts {
    /// The largest count that costs no more at the till than the plan, with its service.
    pub same_money: (u32, DrawerOption),
    /// Share of jobs that never wait for the plan's very money, between that count and the next.
    pub fill_for_money: Estimate,
    /// The smallest count that serves as many jobs; `None` where no count does.
    pub same_service: Option<(u32, DrawerOption)>,
    /// What the plan's very service costs, between that count and the one before.
    pub money_for_service: Option<f64>,
}

/// Equal counts to compare with the plan. The count that serves as many jobs is searched on a small
/// sample, then on the one that verified the plan.
pub(super) fn equal(
    shelves: &[Shelf],
    rules: &Rules,
    small: &Sample,
    sample: &Sample,
    planned: &DrawerOption,
) -> EqualCounts {
    let on = |sample: &Sample, count: u32| {
        let levels = in_whole_packs(shelves, &of_each(shelves, count));
        DrawerOption::on(shelves, rules, sample, levels)
    };
    let pays = |count| to_pay(shelves, &of_each(shelves, count), None);
    let mut affordable = 0;
    while affordable < MOST_EQUAL && pays(affordable + 1) <= planned.money + 1e-6 {
        affordable += 1;
    }
    let share = planned.service.job_fill.value;
    let serves = |point: &DrawerOption| point.service.job_fill.value >= share;
    let roughly = |count| serves(&on(small, count));
    let (mut low, mut high) = (0, 1);
    while !roughly(high) && high < MOST_EQUAL {
        (low, high) = (high, 2 * high);
    }
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if roughly(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    let mut count = high;
    let mut there = on(sample, count);
    // with one less of each
    let mut before = on(sample, count - 1);
    while serves(&there) && serves(&before) && count > 1 {
        count -= 1;
        (there, before) = (before, on(sample, count - 1));
    }
    // the small sample is rarely off by more than one
    for _ in 0..4 {
        if serves(&there) {
            break;
        }
        count += 1;
        (before, there) = (there, on(sample, count));
    }
    let (less, more) = (on(sample, affordable), on(sample, affordable + 1));
    let step = more.money - less.money;
    let part = match step > 0.0 {
        true => ((planned.money - less.money) / step).clamp(0.0, 1.0),
        false => 0.0,
    };
    let same_service = serves(&there).then_some((count, there));
    EqualCounts {
        fill_for_money: between(&less.service.job_fill, &more.service.job_fill, part),
        money_for_service: same_service.as_ref().map(|(_, there)| {
            let of = |option: &DrawerOption| option.service.job_fill.value;
            let step = of(there) - of(&before);
            let part = match step > 0.0 {
                true => ((share - of(&before)) / step).clamp(0.0, 1.0),
                false => 1.0,
            };
            before.money + part * (there.money - before.money)
        }),
        same_money: (affordable, less),
        same_service,
    }
}

/// So many of every size.
pub(super) fn of_each(shelves: &[Shelf], count: u32) -> Levels {
    shelves.iter().map(|s| vec![count; s.sizes.len()]).collect()
}

/// So far from one figure to another.
fn between(from: &Estimate, to: &Estimate, part: f64) -> Estimate {
    let of = |from: f64, to: f64| from + part * (to - from);
    Estimate {
        value: of(from.value, to.value),
        low: of(from.low, to.low),
        high: of(from.high, to.high),
        ..*from
    }
}
