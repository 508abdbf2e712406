//! Quoting: the distribution of hours, their tasks, the cost of a job, and the risk of a flat
//! price.

mod met;
mod tasks;
mod year;

use std::ops::ControlFlow;

use crate::bench::job::{Ending, Endings};
use crate::bench::minutes::{TICKS_A_MINUTE, Timesheet};
use crate::bench::money::{Bill, PriceList, ShimsCharged};
use crate::bench::outcome::Outcome;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::chance::run::{Gather, Progress, RunResult, Until, run};
use crate::count::counts::FineCounts;
use crate::count::estimate::{Estimate, Moments};
use crate::count::sums::{Powers, Sums};
use crate::odds::Hours;

pub use self::met::{NotQuoted, WindowMet, WindowName};
pub use self::year::{FEW, Year};
pub use crate::bench::minutes::Task;

use self::met::MetCounts;
use self::tasks::{MinuteSums, mean_minutes};
use self::year::CostCounts;

/// Flat hours are quoted in steps of a quarter of an hour.
#[doc(hidden)]
pub const QUARTER: f64 = 0.25;
/// Steps of flat hours that a page holds.
const MOST_TO_SHOW: f64 = 160.0;

/// Terms of a price beside the hours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Terms {
    /// Margin as a share of the price before tax, without parts; below 1.
    pub margin: f64,
    /// Tax as a share of the price before it.
    pub tax: f64,
    /// What gears and bearings cost the shop before tax.
    pub parts: f64,
    /// What is put on the parts, as a share of what they cost. At 0 they are passed on at cost: in the
    /// price, and not in the gain.
    pub parts_margin: f64,
}

impl Terms {
    /// What the customer pays for the parts, before tax.
    ///
    /// # Example
    /// ```
    /// use shimcast_sim::quote::Terms;
    ///
    /// let terms = Terms { margin: 0.0, tax: 0.2, parts: 480.0, parts_margin: 0.25 };
    /// assert_eq!((terms.parts_charged(), terms.parts_gain()), (600.0, 120.0));
    /// ```
    pub fn parts_charged(&self) -> f64 {
        self.parts + self.parts_gain()
    }

    /// What the parts of a finished job bring over what they cost.
    pub fn parts_gain(&self) -> f64 {
        self.parts * self.parts_margin
    }
}

/// The answer for one kind of job.
///
/// # Example
/// ```
/// use shimcast_sim::prelude::*;
///
/// let quote = Study::of(demo::axle(), demo::shop()).seed(1).rebuilds(1000).quote()?;
/// let hours = quote.hours_for(0.1).expect("rebuilds were simulated");
/// assert!(quote.overrun(hours).value <= 0.1 && quote.overrun(hours - 0.25).value > 0.1);
/// let flat = quote.flat(hours, Terms { margin: 0.2, tax: 0.19, parts: 500.0, parts_margin: 0.0 });
/// assert!((flat.price_with_tax - 1.19 * flat.price).abs() < 1e-9);
/// # Ok::<(), Vec<Flaw>>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Quote {
    /// Rebuilds simulated.
    pub rebuilds: u64,
    /// Whether the run was broken off.
    pub partial: bool,
    /// Share right as first bolted up.
    pub first_assembly: Estimate,
    /// Share of finished jobs right when handed over.
    pub handed_over: Estimate,
    /// Share of finished jobs whose readings are inside every window and whose truth is not.
    pub wrongly_passed: Estimate,
    /// Share of finished jobs with something outside its window by more than one graduation of the
    /// instrument that reads it: some of these return.
    pub clearly_out: Estimate,
    /// Share finished; the rest was given up.
    pub finished: Estimate,
    /// Distribution of the hours of a job.
    pub hours: Hours,
    /// Minutes task by task, in the order of a job, without tasks that never occurred.
    pub tasks: Vec<TaskTime>,
    /// Mean cost of a job to the shop.
    pub money: Money,
    /// The price of an hour, as charged.
    hour: f64,
    hours_counted: FineCounts,
    costs: Moments,
    /// How much less, and more, the shims of a job may cost than is charged for them.
    shims_apart: [f64; 2],
    /// Costs of finished jobs, and of jobs given up.
    costs_by_end: [Moments; 2],
    cost_counts: CostCounts,
    met: MetCounts,
    /// The share of jobs clearly out that return, and what that costs.
    comeback: (f64, f64),
}

/// Mean minutes of one task in a job.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct TaskTime {
    /// The task.
    pub task: Task,
    /// The first time in a job.
    pub first: Estimate,
    /// Every further time.
    pub repeats: Estimate,
}

/// Mean cost of a job, in the shop's currency.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Money {
    /// Labour.
    pub labour: Estimate,
    /// Sleeves used.
    pub sleeves: Estimate,
    /// Shims, as they are charged.
    pub shims: Estimate,
    /// Both together.
    pub consumables: Estimate,
    /// Expected bearing cones spoiled by pulling.
    pub cones: Estimate,
    /// Expected returns.
    pub comebacks: Estimate,
    /// Jobs given up.
    pub given_up: Estimate,
    /// All of it.
    pub cost: Estimate,
}

/// A flat price.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Flat {
    /// Hours paid for.
    pub hours: f64,
    /// Price before tax, parts included.
    pub price: f64,
    /// Price with tax.
    pub price_with_tax: f64,
    /// What a finished job brings in: the price before tax, less what its parts cost.
    pub earned: f64,
    /// Share of jobs that take longer.
    pub overrun: Estimate,
    /// Expected gain of a job over its cost; below zero a loss.
    pub gain: Estimate,
}

/// Simulates rebuilds and returns a quote with shims charged like this; see [`run`] for the further
/// arguments.
#[doc(hidden)]
pub fn quote(
    setup: &Setup,
    charged: ShimsCharged,
    seed: u64,
    until: Until,
    watch: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Quote {
    let prices = PriceList::new(setup).charging(charged);
    let rebuild = |address: Address, sums: &mut QuoteSums| {
        let rebuild = setup.rebuild(address);
        let sheet = setup.timesheet(address, &rebuild);
        let ending = Ending::of(setup, &rebuild);
        let bill = prices.bill(&rebuild, sheet.minutes, ending.outcome);
        sums.add(&ending, &sheet, &bill);
    };
    run(seed, until, QuoteSums::default, rebuild, watch).into_quote(setup, charged)
}

impl Quote {
    /// Share of jobs that take longer than `hours`.
    pub fn overrun(&self, hours: f64) -> Estimate {
        self.hours_counted.share_above(hours)
    }

    /// The flat price for a number of hours, with its risk and gain.
    ///
    /// # Definition
    /// Price before tax = (hours · price of an hour as charged + mean consumables, cones, expected
    /// returns and jobs given up) / (1 − margin) + parts with what is put on them. A finished job is
    /// paid, one given up is not, and its parts are taken to serve another; the gain is the payment
    /// less what the parts and the job cost. Its interval takes the price as fixed.
    pub fn flat(&self, hours: f64, terms: Terms) -> Flat {
        let money = &self.money;
        let covered = hours * self.hour
            + money.consumables.value
            + money.cones.value
            + money.comebacks.value
            + money.given_up.value;
        let work = covered / (1.0 - terms.margin);
        let price = work + terms.parts_charged();
        let earned = work + terms.parts_gain();
        Flat {
            hours,
            price,
            price_with_tax: price * (1.0 + terms.tax),
            earned,
            overrun: self.overrun(hours),
            gain: self.gain_of(earned),
        }
    }

    /// Mean of paid · (1 if finished) − cost over all rebuilds.
    ///
    /// Where no job was given up, the lower end allows for the upper limit of their share.
    pub(crate) fn gain_of(&self, paid: f64) -> Estimate {
        let [finished, given_up] = &self.costs_by_end;
        let mut gains = finished.taken_from(paid);
        gains.merge(&given_up.taken_from(0.0));
        let known = gains.estimate_of_events(0.0);
        let value = paid * self.finished.value - self.costs.mean();
        let unpaid = paid * (1.0 - self.finished.low);
        let below = value - known.low;
        let [less, more] = self.shims_apart;
        Estimate {
            value,
            low: if given_up.n() == 0 {
                value - libm::hypot(below, unpaid)
            } else {
                value - below
            },
            high: known.high,
            n: self.costs.n(),
        }
        .widened([more, less])
    }

    /// The smallest number of hours, in quarters, that at most this share of jobs overruns; `None`
    /// where nothing was simulated.
    pub fn hours_for(&self, risk: f64) -> Option<f64> {
        if self.rebuilds == 0 {
            return None;
        }
        let at_most = |quarters: u64| self.overrun(quarters as f64 * QUARTER).value <= risk;
        // from a quarter hour near the quantile down to one that is too short, then up
        let near = self.hours_counted.quantile(1.0 - risk).value / QUARTER;
        let mut quarters = near.floor().max(0.0) as u64;
        while quarters > 0 && at_most(quarters) {
            quarters -= 1;
        }
        while !at_most(quarters) {
            quarters += 1;
        }
        Some(quarters as f64 * QUARTER)
    }

    /// Quarter hours from where about one job in ten is done to where one in fifty overruns; in steps twice as
    /// wide, or four times, where they would be more than a page holds.
    #[doc(hidden)]
    pub fn hours_to_show(&self) -> Vec<f64> {
        let (Some(from), Some(to)) = (self.hours_for(0.9), self.hours_for(0.02)) else {
            return Vec::new();
        };
        let mut step = QUARTER;
        while (to - from) / step > MOST_TO_SHOW {
            step *= 2.0;
        }
        let steps = ((to - from) / step).ceil() as u32;
        (0..=steps).map(|i| from + f64::from(i) * step).collect()
    }
}

/// Counts of one block of rebuilds, or of all of them.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct QuoteSums {
    endings: Endings,
    hours: FineCounts,
    /// Exact, as tasks are.
    ticks: i128,
    minutes: Sums,
    tasks: [[MinuteSums; 2]; Task::ALL.len()],
    labour: Sums,
    sleeves: Powers,
    shims: Powers,
    consumables: Powers,
    cones: Powers,
    comebacks: Powers,
    given_up: Powers,
    costs: Sums,
    costs_by_end: [Sums; 2],
    cost_counts: CostCounts,
    met: MetCounts,
}

impl QuoteSums {
    #[inline]
    pub(crate) fn add(&mut self, ending: &Ending, sheet: &Timesheet, bill: &Bill) {
        self.endings.add(ending);
        self.hours.add(sheet.minutes / 60.0);
        let mut whole = 0;
        for (task, [first, repeats]) in self.tasks.iter_mut().enumerate() {
            first.add(sheet.first[task]);
            repeats.add(sheet.repeats[task]);
            whole += sheet.first[task] + sheet.repeats[task];
        }
        self.ticks += i128::from(whole);
        self.minutes.add(whole as f64 / TICKS_A_MINUTE);
        self.labour.add(bill.labour);
        self.sleeves.add(bill.sleeves);
        self.shims.add(bill.shims);
        self.consumables.add(bill.shims + bill.sleeves);
        self.cones.add(bill.cones);
        self.comebacks.add(bill.comeback);
        self.given_up.add(bill.given_up);
        self.costs.add(bill.cost());
        let given_up = ending.outcome == Outcome::GivenUp;
        self.costs_by_end[usize::from(given_up)].add(bill.cost());
        self.cost_counts.add(ending.outcome, bill);
        self.met.add(ending);
    }
}

impl Gather for QuoteSums {
    fn merge(&mut self, later: Self) {
        self.endings.merge(&later.endings);
        self.hours.merge(&later.hours);
        self.ticks += later.ticks;
        self.minutes.merge(&later.minutes);
        let own = self.tasks.as_flattened_mut().iter_mut();
        for (own, more) in own.zip(later.tasks.as_flattened()) {
            own.merge(more);
        }
        self.labour.merge(&later.labour);
        for (own, more) in [
            (&mut self.sleeves, &later.sleeves),
            (&mut self.shims, &later.shims),
            (&mut self.consumables, &later.consumables),
            (&mut self.cones, &later.cones),
            (&mut self.comebacks, &later.comebacks),
            (&mut self.given_up, &later.given_up),
        ] {
            own.merge(more);
        }
        self.costs.merge(&later.costs);
        for (own, more) in self.costs_by_end.iter_mut().zip(&later.costs_by_end) {
            own.merge(more);
        }
        self.cost_counts.merge(&later.cost_counts);
        self.met.merge(&later.met);
    }

    fn half_width(&self) -> f64 {
        self.endings.half_width()
    }
}

impl RunResult<QuoteSums> {
    pub(crate) fn into_quote(self, setup: &Setup, charged: ShimsCharged) -> Quote {
        let sums = self.gathered;
        let shop = &setup.shop;
        let prices = &shop.prices;
        let quantile = |q| sums.hours.quantile(q);
        let task_time = |(task, [first, repeats]): (Task, &[MinuteSums; 2])| TaskTime {
            task,
            first: first.estimate(sums.endings.rebuilds, 0.0),
            repeats: repeats.estimate(
                sums.endings.rebuilds,
                if comes_once(task) {
                    0.0
                } else {
                    first.minutes.moments().mean()
                },
            ),
        };
        let hours = sums.minutes.moments().estimate();
        let a_cone = if setup.pulls_cones() {
            shop.bench.cone_spoiled * prices.cone
        } else {
            0.0
        };
        let dearest = shop.shims.iter().map(|series| series.price);
        let dearest = dearest.fold(prices.sleeve, f64::max);
        // what a job uses up of a drawer was simulated apart from these rebuilds
        let apart = match charged {
            ShimsCharged::UsedUp(mean) => [mean.value - mean.low, mean.high - mean.value],
            ShimsCharged::FinallyFitted | ShimsCharged::WithTheDrawer => [0.0; 2],
        };
        Quote {
            rebuilds: self.rebuilds,
            partial: self.partial,
            first_assembly: sums.endings.first_assembly(),
            handed_over: sums.endings.handed_over(),
            wrongly_passed: sums.endings.wrongly_passed(),
            clearly_out: sums.endings.clearly_out(),
            finished: sums.endings.finished(),
            hours: Hours {
                mean: Estimate {
                    value: mean_minutes(sums.ticks, sums.endings.rebuilds),
                    ..hours.not_below(0.0)
                }
                .times(1.0 / 60.0),
                p50: quantile(0.50),
                p80: quantile(0.80),
                p90: quantile(0.90),
                p95: quantile(0.95),
            },
            tasks: Task::ALL
                .into_iter()
                .zip(&sums.tasks)
                .filter(|(_, [first, _])| first.ticks != 0)
                .map(task_time)
                .collect(),
            money: Money {
                labour: sums.labour.moments().estimate(),
                sleeves: mean_amount(&sums.sleeves, prices.sleeve),
                shims: match charged {
                    ShimsCharged::UsedUp(mean) => mean,
                    _ => mean_amount(&sums.shims, dearest),
                },
                consumables: mean_amount(&sums.consumables, dearest).widened(apart),
                cones: mean_amount(&sums.cones, a_cone),
                comebacks: mean_amount(&sums.comebacks, prices.comeback_share * prices.comeback),
                given_up: mean_amount(&sums.given_up, prices.given_up),
                cost: sums.costs.moments().estimate().widened(apart),
            },
            shims_apart: apart,
            hour: prices.hour,
            hours_counted: sums.hours,
            costs: sums.costs.moments(),
            costs_by_end: sums.costs_by_end.map(|sums| sums.moments()),
            cost_counts: sums.cost_counts,
            met: sums.met,
            comeback: (prices.comeback_share, prices.comeback),
        }
    }
}

/// Whether it is done at most once in a job.
fn comes_once(task: Task) -> bool {
    matches!(
        task,
        Task::Strip | Task::FirstAssembly | Task::FinalAssembly | Task::Refit
    )
}

/// Mean of an amount that is never below zero; `one` is its size in a single event, for the
/// interval where it never varied.
fn mean_amount(sums: &Powers, one: f64) -> Estimate {
    sums.moments().estimate_of_events(one).not_below(0.0)
}

#[cfg(test)]
#[path = "../tests/quote.rs"]
mod tests;
