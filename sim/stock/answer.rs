//! The answer: what to keep, its service and cost, and the alternatives.

use super::demand::{BenchJobs, series_of};
use super::drawer::{Review, Rules, Shortage};
use super::extent::{CHECK, CURVE, DESCENT, Extent, FIT, ROUGH, VERIFIED};
use super::found::{self, Aim, DrawerOption, VerifiedPlan};
use super::plan::{self, Samples, Watch};
use super::present::Present;
use super::service::{Service, service_from};
use super::shelf::Shelf;
use super::sizes::{Advice, advice};
use super::tape::{JobStep, Jobs, Sample, Span, Stretch};
use super::till::{in_whole_packs, to_pay};
use super::trials::Levels;
use crate::axle::packs::TooManyPacks;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::count::estimate::Estimate;
use crate::shop::{Drawer, Shop};

/// Number of the first sample that verifies.
const VERIFY: u64 = 16;
/// Expected number of waiting jobs in a sample, at least, for any target.
const LEAST_WAITS: f64 = 40.0;
/// Job fill at which the curve ends.
const CURVE_TO: f64 = 0.995;
/// Job fill at which the walk behind the curve ends: beyond the curve, since the sample is
/// optimistic and the cheapest drawer may lie there.
const WALK_TO: f64 = 0.9995;
/// About the number of points evaluated on the walk.
const CURVE_POINTS: usize = 30;
/// Limit of an equal count of every size.
const MOST_EQUAL: u32 = 4096;
/// The look ahead from the present drawer: days, about how many jobs, and number of tapes.
const AHEAD_DAYS: f64 = 91.0;
const AHEAD_JOBS: f64 = 41_000.0;
const AHEAD_TAPES: [usize; 2] = [100, 1500];

/// The question: jobs, series, rules and aim.
#[derive(Debug)]
pub struct Question<'a> {
    /// The lines of jobs, with how many come a month.
    pub lines: &'a [(&'a Setup, f64)],
    /// The series in the drawer: those that the lines fit.
    pub shelves: &'a [Shelf],
    /// How the drawer is run.
    pub drawer: &'a Drawer,
    /// Service or budget to reach.
    pub aim: Aim,
    /// Lines, by their place, of which a share of their own is not to wait, beside the aim.
    pub own: Vec<(usize, f64)>,
    /// What is in the drawer and on order, where that is known.
    pub have: Option<Present>,
    /// Seed of every random figure.
    pub seed: u64,
}

/// Cost of a drawer a year, in the shop's currency.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct YearlyCost {
    /// Holding cost of the money in it.
    pub holding: Estimate,
    /// Cost of jobs that wait.
    pub waiting: Estimate,
    /// Cost of orders.
    pub deliveries: Estimate,
    /// Price of the shims ordered, and of those that came specially.
    pub shims: Estimate,
    /// All of it.
    pub total: Estimate,
}

/// The usual habit for comparison: an equal count of every size.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct EqualCounts {
    /// The largest count that costs no more at the till than the plan, with its service.
    pub same_money: (u32, DrawerOption),
    /// The smallest count that serves as many jobs; `None` where no count does.
    pub same_service: Option<(u32, DrawerOption)>,
}

/// The answer.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Stock {
    /// The plan, with its service on a sample that had no part in the search.
    pub plan: DrawerOption,
    /// Whether the plan reaches the aim, judged by the verified share.
    pub held: bool,
    /// Service against money, from an empty drawer to 99.5 %, with the plan.
    pub curve: Vec<DrawerOption>,
    /// The drawer of least yearly cost, on the curve or beyond it.
    pub cheapest: DrawerOption,
    /// Equal counts.
    pub equal: EqualCounts,
    /// Service of the present drawer run with the plan's levels, and the days of that.
    pub ahead: Option<(Service, f64)>,
    /// Sizes worth adding, and sizes that could go.
    pub advice: Vec<Advice>,
    /// For each series and size, shims a year taken from an unlimited drawer.
    pub wanted: Vec<Vec<f64>>,
    /// Rebuilds simulated.
    pub rebuilds: u64,
}

impl Drawer {
    /// The rules of this drawer.
    pub fn rules(&self) -> Rules {
        Rules {
            review: Review::Every(self.order_every_days),
            lead_days: self.lead_time_days,
            late_days: self.lead_time_spread,
            shortage: Shortage::ComesSpecially,
            keep_surplus: self.keep_surplus,
        }
    }

    /// Cost a year of a drawer with this service.
    pub fn yearly(&self, service: &Service) -> YearlyCost {
        let (holding, wait, delivery) = (self.holding_share, self.wait_cost, self.delivery_cost);
        YearlyCost {
            holding: service.mean(|year| holding * year.on_hand),
            waiting: service.mean(|year| wait * year.waited),
            deliveries: service.mean(|year| delivery * year.orders),
            shims: service.mean(|year| year.bought),
            total: service.mean(|year| {
                holding * year.on_hand + wait * year.waited + delivery * year.orders + year.bought
            }),
        }
    }
}

/// The shelves of the series that lines of jobs fit, in the shop's order. `prices` gives those of
/// single sizes for a series where they are not all the same.
///
/// # Errors
/// The name of a series that can build too many packs.
pub fn shelves(
    shop: &Shop,
    lines: &[&Setup],
    prices: &dyn Fn(&str) -> Option<Vec<f64>>,
) -> Result<Vec<Shelf>, String> {
    let fits = |name: &str| {
        let mut all = lines.iter().flat_map(|setup| series_of(setup));
        all.any(|(_, series)| series == name)
    };
    shop.shims
        .iter()
        .filter(|series| fits(&series.name))
        .map(|series| {
            let prices =
                prices(&series.name).unwrap_or_else(|| vec![series.price; series.sizes.len()]);
            let micrometer = shop.instruments.micrometer;
            Shelf::new(series, prices, shop.drawer.near_enough, micrometer)
                .map_err(|TooManyPacks| series.name.clone())
        })
        .collect()
}

/// A question with what is prepared to answer it.
pub(super) struct Course<'a> {
    asked: &'a Question<'a>,
    jobs: BenchJobs<'a>,
    pub(super) rules: Rules,
    root: Address,
    /// Factor of the sample sizes where few jobs may wait.
    rare: f64,
}

impl<'a> Course<'a> {
    pub(super) fn new(asked: &'a Question<'a>) -> Self {
        assert!(!asked.lines.is_empty());
        let names = asked.shelves.iter().map(|s| s.name.clone()).collect();
        Self {
            jobs: BenchJobs::new(asked.lines, names),
            rules: asked.drawer.rules(),
            root: Address::new(asked.seed, 0x5374_6f63_6b21),
            rare: match asked.aim {
                Aim::Fill(target) => {
                    let own = asked.own.iter().map(|(_, share)| *share);
                    let highest = own.fold(target, f64::max);
                    (LEAST_WAITS / (1.0 - highest) / FIT.jobs).clamp(1.0, 16.0)
                }
                Aim::Budget(_) => 1.0,
            },
            asked,
        }
    }

    /// Jobs a day.
    fn per_day(&self) -> f64 {
        self.jobs.per_day().iter().sum()
    }

    /// A sample; each number is an independent one.
    fn sample(&self, number: u64, extent: &Extent) -> Sample {
        let (tapes, span) = extent.tapes(&self.rules, self.per_day() / self.rare);
        Sample::draw(
            &self.jobs,
            self.asked.shelves,
            self.root.within(number),
            tapes,
            Stretch::Days(span),
        )
    }

    pub(super) fn samples(&self) -> Samples {
        Samples {
            rough: self.sample(0, &ROUGH),
            fit: self.sample(1, &FIT),
            check: self.sample(2, &CHECK),
        }
    }

    /// The plan, verified.
    pub(super) fn found(&self, samples: &Samples, watch: Watch<'_>) -> Option<VerifiedPlan> {
        let draw = |attempt| self.sample(VERIFY + attempt, &VERIFIED);
        let Question {
            shelves, aim, have, ..
        } = self.asked;
        let there = have.as_ref().map(Present::together);
        let aim = (*aim, &self.asked.own[..], there.as_ref());
        found::found(shelves, &self.rules, samples, &draw, aim, watch)
    }
}

/// Plans the drawer; `None` where the search was broken off.
///
/// # Panics
/// If there are no lines, or a line fits a series that is on no shelf.
///
/// # Example
/// ```
/// use shimcast_sim::stock::{Aim, Question, shelves, stock};
///
/// let setup = shimcast_sim::demo::setup();
/// let shelves = shelves(&setup.shop, &[&setup], &|_| None).expect("few packs");
/// let asked = Question {
///     lines: &[(&setup, 4.0)],
///     shelves: &shelves,
///     drawer: &setup.shop.drawer,
///     aim: Aim::Fill(0.7),
///     own: Vec::new(),
///     have: None,
///     seed: 1,
/// };
/// let found = stock(&asked, &mut |_| true).expect("not broken off");
/// assert!(found.held && found.plan.service.job_fill.value >= 0.7);
/// ```
pub fn stock(asked: &Question<'_>, watch: Watch<'_>) -> Option<Stock> {
    let course = Course::new(asked);
    let Question { lines, shelves, .. } = asked;
    let rules = &course.rules;
    let samples = course.samples();
    let found = course.found(&samples, watch)?;
    let curve_sample = course.sample(3, &CURVE);
    let plan = &found.plan;
    let descent = course.sample(5, &DESCENT);
    let ways = (&descent, &samples.fit);
    let path = plan::through(shelves, rules, ways, &plan.levels, WALK_TO, watch)?;
    let on_path = |levels: &Levels| DrawerOption::on(shelves, rules, &curve_sample, levels.clone());
    let (curve, cheapest) = curve(asked.drawer, plan, &path, &on_path);
    let ahead = asked.have.as_ref().map(|have| {
        let stretch = Stretch::Days(Span::plain(AHEAD_DAYS));
        let root = course.root.within(4);
        let [least, most] = AHEAD_TAPES;
        let tapes = (AHEAD_JOBS / (AHEAD_DAYS * course.per_day())) as usize;
        let tapes = tapes.clamp(least, most);
        let sample = Sample::draw(&course.jobs, shelves, root, tapes, stretch);
        let service = service_from(shelves, rules, &sample, &plan.levels, have);
        (service, AHEAD_DAYS)
    });
    let of_samples = [
        &samples.rough,
        &descent,
        &samples.fit,
        &samples.check,
        &curve_sample,
    ];
    let simulated: usize = of_samples.iter().map(|sample| sample.played).sum();
    let names: Vec<&str> = shelves.iter().map(|s| s.name.as_str()).collect();
    Some(Stock {
        held: found.held,
        equal: equal(shelves, rules, &samples.fit, &found.verify, plan),
        advice: advice(lines, &lines[0].0.shop, &names, &plan.levels, asked.seed),
        wanted: wanted(shelves, &found.verify),
        rebuilds: (simulated + found.jobs) as u64
            + ahead.as_ref().map_or(0, |(service, _)| service.jobs),
        plan: found.plan,
        curve,
        cheapest,
        ahead,
    })
}

/// Shims of each size that the ideal packs of a sample take, a year.
fn wanted(shelves: &[Shelf], sample: &Sample) -> Vec<Vec<f64>> {
    let years = sample.days() / super::service::DAYS_IN_YEAR;
    let of = |(s, shelf): (usize, &Shelf)| {
        let mut counts = vec![0.0; shelf.sizes.len()];
        for tape in &sample.tapes {
            for step in &tape.series[s].steps {
                if let JobStep::Want(_, pack) = step {
                    for (i, count) in shelf.ideal(*pack).iter() {
                        counts[i] += f64::from(count) / years;
                    }
                }
            }
        }
        counts
    };
    shelves.iter().enumerate().map(of).collect()
}

/// Drawers from an empty one to [`CURVE_TO`], the plan among them, and the one that costs least a
/// year, which may lie beyond. `play` evaluates one of them on a sample that had no part in the
/// search.
fn curve(
    drawer: &Drawer,
    plan: &DrawerOption,
    path: &[Levels],
    play: &dyn Fn(&Levels) -> DrawerOption,
) -> (Vec<DrawerOption>, DrawerOption) {
    let cost = |point: &DrawerOption| drawer.yearly(&point.service).total.value;
    let step = (path.len() / CURVE_POINTS).max(1);
    let mut points = vec![plan.clone()];
    let mut cheapest = plan.clone();
    let mut full = false;
    for levels in path.iter().step_by(step) {
        let point = play(levels);
        let dearer = cost(&point) > cost(&cheapest);
        if !dearer {
            cheapest = point.clone();
        }
        if full {
            // beyond the curve only the cheapest is searched
            if dearer {
                break;
            }
            continue;
        }
        full = point.service.job_fill.value >= CURVE_TO;
        points.push(point);
    }
    points.sort_by(|a, b| a.money.total_cmp(&b.money));
    // options that cost more and serve less are not on the curve; the plan stays on it
    let mut curve: Vec<DrawerOption> = Vec::new();
    for point in points {
        let fill = |point: &DrawerOption| point.service.job_fill.value;
        if point.levels == plan.levels {
            while curve.last().is_some_and(|kept| fill(kept) >= fill(&point)) {
                curve.pop();
            }
            curve.push(point);
        } else if curve.last().is_none_or(|kept| fill(&point) > fill(kept)) {
            curve.push(point);
        }
    }
    (curve, cheapest)
}

/// Equal counts to compare with the plan. The count that serves as many jobs is searched on a small
/// sample, then on the one that verified the plan.
fn equal(
    shelves: &[Shelf],
    rules: &Rules,
    small: &Sample,
    sample: &Sample,
    planned: &DrawerOption,
) -> EqualCounts {
    let on = |sample: &Sample, count: u32| {
        let levels = in_whole_packs(shelves, &plan::equal(shelves, count));
        DrawerOption::on(shelves, rules, sample, levels)
    };
    let pays = |count| to_pay(shelves, &plan::equal(shelves, count), None);
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
    while serves(&there) && count > 1 {
        let less = on(sample, count - 1);
        if !serves(&less) {
            break;
        }
        (count, there) = (count - 1, less);
    }
    // the small sample is rarely off by more than one
    for _ in 0..4 {
        if serves(&there) {
            break;
        }
        count += 1;
        there = on(sample, count);
    }
    EqualCounts {
        same_money: (affordable, on(sample, affordable)),
        same_service: serves(&there).then_some((count, there)),
    }
}
