//! The answer: what to keep, what it serves and costs, and what else could be done.

use super::demand::{BenchJobs, series_of};
use super::drawer::{Review, Rules, Shortage};
use super::plan::{self, Plan, Samples, Watch};
use super::service::{Service, service};
use super::shelf::Shelf;
use super::tape::{Jobs, Sample, Stretch};
use super::trials::{Levels, money};
use crate::dice::Address;
use crate::estimate::Estimate;
use crate::packs::TooManyPacks;
use crate::setup::Setup;
use crate::shop::{Drawer, Shop};

/// Jobs on which levels are found: few enough to be quick, and what that costs is made good by
/// raising the target.
const FIT_JOBS: f64 = 16_000.0;
const FIT_TAPES: usize = 32;
/// Jobs on which they are checked and the curve is followed.
const CHECK_JOBS: f64 = 96_000.0;
const CHECK_TAPES: usize = 96;
/// Jobs behind the figure that is reported.
const VERIFY_JOBS: f64 = 256_000.0;
const VERIFY_TAPES: usize = 256;
/// A waiting job must be seen so often, whatever the target.
const LEAST_WAITS: f64 = 40.0;
/// The curve goes to here.
const CURVE_TO: f64 = 0.995;
/// And the walk that it follows a little farther, since the sample flatters it.
const WALK_TO: f64 = 0.998;
/// Points of the curve.
const CURVE_POINTS: usize = 24;
/// No shop keeps more than this of one size.
const MOST_EQUAL: u32 = 4096;
/// The look ahead from what is in the drawer: days, and how many times it is lived.
const AHEAD_DAYS: f64 = 91.0;
const AHEAD_TAPES: usize = 1500;

/// What a drawer is to be good for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Aim {
    /// This share of jobs never waits, at least money.
    Fill(f64),
    /// As many jobs as this money can serve.
    Budget(f64),
}

/// What is asked.
#[derive(Debug)]
pub struct Question<'a> {
    /// The lines of jobs, with how many come a month.
    pub lines: &'a [(&'a Setup, f64)],
    /// The series in the drawer: those that the lines fit.
    pub shelves: &'a [Shelf],
    /// How the drawer is run.
    pub drawer: &'a Drawer,
    /// What it is to be good for.
    pub aim: Aim,
    /// What is in it now, where that is known.
    pub have: Option<Levels>,
    /// Seed of every random figure.
    pub seed: u64,
}

/// A drawer, what it costs and what it does.
#[derive(Debug, Clone)]
pub struct Point {
    /// Its levels.
    pub levels: Levels,
    /// Money in it at its levels.
    pub money: f64,
    /// What it does.
    pub service: Service,
}

/// What a drawer costs a year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Yearly {
    /// For the money asleep in it.
    pub holding: Estimate,
    /// For jobs that wait.
    pub waiting: Estimate,
    /// For orders.
    pub deliveries: Estimate,
}

impl Yearly {
    /// All of it.
    pub fn total(&self) -> f64 {
        self.holding.value + self.waiting.value + self.deliveries.value
    }
}

/// The usual habit beside the plan: an equal count of every size.
#[derive(Debug, Clone)]
pub struct Equal {
    /// The largest count that costs no more than the plan, and what it does.
    pub same_money: (u32, Point),
    /// The smallest count that serves as many jobs; `None` where no count does.
    pub same_service: Option<(u32, Point)>,
}

/// The answer.
#[derive(Debug, Clone)]
pub struct Stock {
    /// The plan, with what it did on years of which nothing was asked before.
    pub plan: Point,
    /// Whether the plan holds what was asked for, judged by the verified share.
    pub held: bool,
    /// Service against money: from an empty drawer to 99.5 %, the plan among it.
    pub curve: Vec<Point>,
    /// Equal counts.
    pub equal: Equal,
    /// What is in the drawer now, lived on from with the plan's levels, and days of that.
    pub ahead: Option<(Service, f64)>,
    /// Rebuilds simulated.
    pub rebuilds: u64,
}

impl Drawer {
    /// The rules by which it is run.
    pub fn rules(&self) -> Rules {
        Rules {
            review: Review::Every(self.order_every_days),
            lead_days: self.lead_time_days,
            late_days: self.lead_time_spread,
            shortage: Shortage::ComesSpecially,
        }
    }

    /// What a drawer that does this costs a year.
    pub fn yearly(&self, service: &Service) -> Yearly {
        Yearly {
            holding: service.on_hand.times(self.holding_share),
            waiting: service.waits.times(self.wait_cost),
            deliveries: service.orders.times(self.delivery_cost),
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

/// Plans the drawer; `None` where it was broken off.
///
/// # Panics
/// If there are no lines, or a line fits a series that is on no shelf.
pub fn stock(asked: &Question<'_>, watch: Watch<'_>) -> Option<Stock> {
    let Question {
        lines,
        shelves,
        drawer,
        aim,
        have,
        seed,
    } = asked;
    assert!(!lines.is_empty());
    let names = shelves.iter().map(|s| s.name.clone()).collect();
    let jobs = BenchJobs::new(lines, names);
    let rules = drawer.rules();
    let root = Address::new(*seed, 0x5374_6f63_6b21);
    let per_day: f64 = jobs.per_day().iter().sum();
    let rare = match aim {
        Aim::Fill(target) => (LEAST_WAITS / (1.0 - target) / FIT_JOBS).clamp(1.0, 16.0),
        Aim::Budget(_) => 1.0,
    };
    let sample = |number: u64, count: f64, tapes: usize| {
        let days = rare * count / per_day / tapes as f64;
        Sample::draw(&jobs, root.within(number), tapes, Stretch::Days(days))
    };
    let samples = Samples {
        fit: sample(1, FIT_JOBS, FIT_TAPES),
        check: sample(2, CHECK_JOBS, CHECK_TAPES),
    };
    let planned = match aim {
        Aim::Fill(target) => plan::cheapest(shelves, &rules, &samples, *target, watch)?,
        Aim::Budget(most) => plan::best_for(shelves, &rules, &samples, *most, watch)?,
    };
    let verify = sample(3, VERIFY_JOBS, VERIFY_TAPES);
    let on = |sample: &Sample, levels: Levels| Point {
        money: money(shelves, &levels),
        service: service(shelves, &rules, sample, &levels, &levels),
        levels,
    };
    let verified = on(&verify, planned.levels.clone());
    let fill = verified.service.job_fill.value;
    let curve = curve(shelves, &rules, &samples, &planned, &verified, watch)?;
    let equal = equal(shelves, &rules, &verify, &verified);
    let ahead = have.as_ref().map(|have| {
        let ahead = Stretch::Days(AHEAD_DAYS);
        let sample = Sample::draw(&jobs, root.within(4), AHEAD_TAPES, ahead);
        let service = service(shelves, &rules, &sample, &verified.levels, have);
        (service, AHEAD_DAYS)
    });
    let rebuilds = samples.fit.jobs + samples.check.jobs + verify.jobs;
    Some(Stock {
        held: match aim {
            Aim::Fill(target) => fill >= *target,
            Aim::Budget(_) => true,
        },
        rebuilds: rebuilds as u64 + ahead.as_ref().map_or(0, |(service, _)| service.jobs),
        plan: verified,
        curve,
        equal,
        ahead,
    })
}

/// Drawers from an empty one to [`CURVE_TO`], about evenly spread in the logarithm of the share
/// that waits, on the sample that did not help to find them.
fn curve(
    shelves: &[Shelf],
    rules: &Rules,
    samples: &Samples,
    planned: &Plan,
    verified: &Point,
    watch: Watch<'_>,
) -> Option<Vec<Point>> {
    let mut path = planned.path.clone();
    let (last, _) = path.last().expect("a walk notes where it begins");
    let onward = plan::onward(shelves, rules, samples, last, WALK_TO, watch)?;
    path.extend(onward.into_iter().skip(1));
    // evenly along the walk, more and more finely where the drawer gets full
    let steps = path.len() - 1;
    let mut places: Vec<usize> = (0..CURVE_POINTS)
        .map(|i| {
            let along = i as f64 / (CURVE_POINTS - 1) as f64;
            (along * steps as f64).round() as usize
        })
        .collect();
    places.dedup();
    let mut points = vec![verified.clone()];
    for place in places {
        let (levels, money) = &path[place];
        let service = service(shelves, rules, &samples.check, levels, levels);
        let enough = service.job_fill.value >= CURVE_TO;
        points.push(Point {
            levels: levels.clone(),
            money: *money,
            service,
        });
        if enough {
            break;
        }
    }
    points.sort_by(|a, b| a.money.total_cmp(&b.money));
    // whoever pays more for less is not on the curve
    let mut curve: Vec<Point> = Vec::new();
    for point in points {
        let better = |kept: &Point| point.service.job_fill.value > kept.service.job_fill.value;
        if curve.last().is_none_or(better) {
            curve.push(point);
        }
    }
    Some(curve)
}

fn equal(shelves: &[Shelf], rules: &Rules, sample: &Sample, planned: &Point) -> Equal {
    let on = |count: u32| {
        let levels = plan::equal(shelves, count);
        Point {
            money: money(shelves, &levels),
            service: service(shelves, rules, sample, &levels, &levels),
            levels,
        }
    };
    let one_of_each = money(shelves, &plan::equal(shelves, 1));
    let affordable = if one_of_each > 0.0 {
        ((planned.money + 1e-6) / one_of_each).floor() as u32
    } else {
        0
    };
    let share = planned.service.job_fill.value;
    let same_service = plan::equal_for(shelves, rules, sample, share, MOST_EQUAL);
    Equal {
        same_money: (affordable, on(affordable)),
        same_service: same_service.map(|(count, service)| {
            let levels = plan::equal(shelves, count);
            let point = Point {
                money: money(shelves, &levels),
                service,
                levels,
            };
            (count, point)
        }),
    }
}
