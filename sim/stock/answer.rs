//! The answer: what to keep, its service and cost, and the alternatives.

use super::bench::{StandIns, stand_ins};
use super::demand::{BenchJobs, DAYS_IN_MONTH, series_of};
use super::drawer::{Review, Rules, Shortage};
use super::equal::{EqualCounts, equal};
use super::extent::{self, CHECK, CURVE, DESCENT, Extent, FIT, ROUGH, VERIFIED};
use super::found::{self, Aim, DrawerOption, VerifiedPlan};
use super::plan::{self, Samples, Watch};
use super::present::Present;
use super::service::{AYear, Service, service_from};
use super::shelf::Shelf;
use super::sizes::{Advice, advice};
use super::tape::{JobStep, Jobs, Sample, Span, Stretch};
use super::till::Till;
use super::trials::Levels;
use super::whatif::{Interval, Nearness, Surplus, busy, intervals, nearness, surplus};
use crate::axle::packs::TooManyPacks;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::count::estimate::{Estimate, Moments};
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
    /// Whether other intervals between orders are to be tried, which takes as long again.
    pub intervals: bool,
    /// Whether other values of `near_enough` are to be tried, which takes as long again.
    pub nearness: bool,
    /// How many times as many jobs come in a busy month, where one is to be played.
    pub busy: Option<f64>,
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
    /// What that spares a year against the plan, on the same years.
    pub spares: Estimate,
    /// Equal counts.
    pub equal: EqualCounts,
    /// The same aim at other intervals between orders, where they were asked for.
    pub intervals: Vec<Interval>,
    /// The same aim at other values of `near_enough`, where they were asked for.
    pub nearness: Vec<Nearness>,
    /// What good shims kept above their levels spare.
    pub surplus: Surplus,
    /// What packs that stand in for others spare, and what they do at the bench.
    pub stand_ins: StandIns,
    /// What the plan does in a busy month.
    pub busy: Option<Service>,
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

    /// What a year costs.
    fn costs(&self, year: &AYear) -> f64 {
        self.holding_share * year.on_hand
            + self.wait_cost * year.waited
            + self.delivery_cost * year.orders
            + year.bought
    }

    /// Cost a year of a drawer with this service.
    pub fn yearly(&self, service: &Service) -> YearlyCost {
        let (holding, wait, delivery) = (self.holding_share, self.wait_cost, self.delivery_cost);
        YearlyCost {
            holding: service.mean(|year| holding * year.on_hand),
            waiting: service.mean(|year| wait * year.waited),
            deliveries: service.mean(|year| delivery * year.orders),
            shims: service.mean(|year| year.bought),
            total: service.mean(|year| self.costs(year)),
        }
    }
}

impl Question<'_> {
    /// The same of a drawer that is filled from nothing, and of its plan alone.
    pub(super) fn alone(&self) -> Self {
        Self {
            own: self.own.clone(),
            have: None,
            intervals: false,
            nearness: false,
            busy: None,
            ..*self
        }
    }

    /// About how long the answer takes on one usual processor, seconds, to a factor of two.
    pub fn seconds(&self) -> f64 {
        let sizes = self.shelves.iter().map(|shelf| shelf.sizes.len()).sum();
        extent::seconds(&self.drawer.rules(), self.per_day(), sizes)
    }

    /// About how much memory the answer takes, bytes, to a factor of two.
    pub fn bytes(&self) -> f64 {
        /// Of a job, and of its part in one series, as measured.
        const A_JOB: [f64; 2] = [24.0, 90.0];
        let [whole, of_series] = A_JOB;
        let of_job = whole + of_series * self.shelves.len() as f64;
        of_job * extent::held(&self.drawer.rules(), self.per_day())
    }

    fn per_day(&self) -> f64 {
        let a_month: f64 = self.lines.iter().map(|(_, per_month)| per_month).sum();
        a_month / DAYS_IN_MONTH
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
    pub(super) asked: &'a Question<'a>,
    pub(super) jobs: BenchJobs<'a>,
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
    pub(super) fn sample(&self, number: u64, extent: &Extent) -> Sample {
        let (tapes, span) = extent.tapes(&self.rules, self.per_day() / self.rare);
        Sample::draw(
            &self.jobs,
            self.asked.shelves,
            self.root.within(number),
            tapes,
            Stretch::Days(span),
        )
    }

    /// The sample on which levels are found.
    pub(super) fn fit(&self) -> Sample {
        self.sample(1, &FIT)
    }

    /// The plan that is found on this sample, verified.
    pub(super) fn found(&self, fit: &Sample, watch: Watch<'_>) -> Option<VerifiedPlan> {
        let samples = Samples {
            rough: self.sample(0, &ROUGH),
            fit,
            check: &|| self.sample(2, &CHECK),
        };
        let draw = |attempt| self.sample(VERIFY + attempt, &VERIFIED);
        let Question {
            shelves, aim, have, ..
        } = self.asked;
        // what lies in the drawer now is used up in time, but spares money today
        let till = match (aim, have) {
            (Aim::Budget(_), Some(have)) => Till::with(shelves, have.together()),
            _ => Till::empty(shelves),
        };
        let aim = (*aim, &self.asked.own[..], till);
        found::found(shelves, &self.rules, &samples, &draw, aim, watch)
    }
}

impl Course<'_> {
    /// The drawer as it is now, run with these levels, and the days of that; `None` where nothing was
    /// counted.
    fn ahead(&self, levels: &Levels) -> Option<(Service, f64)> {
        let Question { shelves, have, .. } = self.asked;
        let have = have.as_ref()?;
        let stretch = Stretch::Days(Span::plain(AHEAD_DAYS));
        let [least, most] = AHEAD_TAPES;
        let tapes = (AHEAD_JOBS / (AHEAD_DAYS * self.per_day())) as usize;
        let tapes = tapes.clamp(least, most);
        let root = self.root.within(4);
        let sample = Sample::draw(&self.jobs, shelves, root, tapes, stretch);
        let service = service_from(shelves, &self.rules, &sample, levels, have);
        Some((service, AHEAD_DAYS))
    }
}

impl Stock {
    /// The same plan beside what is in the drawer by now: only the look ahead is played again. `asked` is
    /// the question that was answered, with another count.
    ///
    /// # Panics
    /// If the aim is a budget, whose plan depends on what is there.
    pub fn beside(mut self, asked: &Question<'_>) -> Self {
        assert!(matches!(asked.aim, Aim::Fill(_)));
        let jobs = |ahead: &Option<(Service, f64)>| ahead.as_ref().map_or(0, |(of, _)| of.jobs);
        let before = jobs(&self.ahead);
        self.ahead = Course::new(asked).ahead(&self.plan.levels);
        self.rebuilds = self.rebuilds - before + jobs(&self.ahead);
        self
    }
}

/// The plan alone, verified; `None` where the search was broken off.
///
/// # Panics
/// As [`stock`].
pub fn plan(asked: &Question<'_>, watch: Watch<'_>) -> Option<DrawerOption> {
    let course = Course::new(asked);
    Some(course.found(&course.fit(), watch)?.plan)
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
///     intervals: false,
///     nearness: false,
///     busy: None,
///     seed: 1,
/// };
/// let found = stock(&asked, &mut |_| true).expect("not broken off");
/// assert!(found.held && found.plan.service.job_fill.value >= 0.7);
/// ```
pub fn stock(asked: &Question<'_>, watch: Watch<'_>) -> Option<Stock> {
    let course = Course::new(asked);
    let Question { lines, shelves, .. } = asked;
    let rules = &course.rules;
    let fit = course.fit();
    let VerifiedPlan {
        plan,
        held,
        verify,
        jobs: searched,
    } = course.found(&fit, watch)?;
    let equal = equal(shelves, rules, &fit, &verify, &plan);
    let wanted = wanted(shelves, &verify);
    // the largest sample goes before more are drawn
    drop(verify);
    let curve_sample = course.sample(3, &CURVE);
    let plan = &plan;
    let descent = course.sample(5, &DESCENT);
    let ways = (&descent, &fit);
    let path = plan::through(shelves, rules, ways, &plan.levels, WALK_TO, watch)?;
    let on_path = |levels: &Levels| DrawerOption::on(shelves, rules, &curve_sample, levels.clone());
    let (curve, cheapest) = curve(asked.drawer, plan, &path, &on_path);
    // both on the sample of the curve, where the cheapest was played unless it is the plan itself
    let planned = on_path(&plan.levels);
    let least = match cheapest.levels == plan.levels {
        true => &planned,
        false => &cheapest,
    };
    let spares = spares(asked.drawer, &planned, least);
    let ahead = course.ahead(&plan.levels);
    let drawn = searched + descent.played + curve_sample.played;
    let names: Vec<&str> = shelves.iter().map(|s| s.name.as_str()).collect();
    let levels = plan.levels.clone();
    Some(Stock {
        held,
        equal,
        advice: advice(lines, &lines[0].0.shop, &names, &plan.levels, asked.seed),
        wanted,
        rebuilds: drawn as u64 + ahead.as_ref().map_or(0, |(service, _)| service.jobs),
        plan: plan.clone(),
        curve,
        cheapest,
        spares,
        intervals: match asked.intervals {
            true => intervals(asked, watch)?,
            false => Vec::new(),
        },
        nearness: match asked.nearness {
            true => nearness(asked, watch)?,
            false => Vec::new(),
        },
        surplus: surplus(asked, &levels),
        stand_ins: stand_ins(asked, &levels, watch)?,
        busy: (asked.busy).map(|times| busy(&course, &levels, times, course.root.within(8))),
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
                if let JobStep::Want(_, pack) = step.step() {
                    for (i, count) in shelf.ideal(pack).iter() {
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
            let as_much = point.money - 1e-6;
            while curve
                .last()
                .is_some_and(|kept| fill(kept) >= fill(&point) || kept.money > as_much)
            {
                curve.pop();
            }
            curve.push(point);
        } else if curve
            .last()
            .is_none_or(|kept| fill(&point) > fill(kept) && point.money > kept.money + 1e-6)
        {
            curve.push(point);
        }
    }
    (curve, cheapest)
}

/// What the second drawer spares a year against the first, year by year on the same years.
pub(super) fn spares(drawer: &Drawer, first: &DrawerOption, second: &DrawerOption) -> Estimate {
    let years = first.service.each.iter().zip(&second.service.each);
    let spared = years.map(|(first, second)| drawer.costs(first) - drawer.costs(second));
    Moments::of(spared).estimate()
}
