//! Other sizes held against the shop's own: at the till, in a year of the drawer, and at the bench.

use shimcast_sim::compare::Verdict;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::stock::{
    AtBench, BothWays, KeptDrawer, Levels, Question, SearchProgress, Supplied, plan,
};

use super::Stock;
use crate::cli::ShopFiles;
use crate::document::{Cell, Table};
use crate::figures::{plus_minus, signed_with_half};
use crate::progress::Watch;
use crate::questions::context::Failure;
use crate::questions::drawer::{self, Work};
use crate::sentences::listed;

/// What other sizes do in place of the shop's own.
#[derive(Debug)]
pub(super) struct Offered {
    /// What they are, as the subject of a sentence.
    subject: String,
    /// What the same plan costs at the till with the shop's own sizes.
    pub(super) own_pays: f64,
    /// What a year of the shop's own drawer costs.
    own_year: Estimate,
    /// What the other sizes change at the bench.
    pub(super) bench: AtBench,
}

/// The shop's own work, where other sizes stand in for its own.
pub(super) fn own_work(files: &ShopFiles) -> Result<Option<Work>, Failure> {
    if files.sizes_from.is_none() && files.without.is_empty() {
        return Ok(None);
    }
    let own = ShopFiles {
        shop: files.shop.clone(),
        set: files.set.clone(),
        sizes_from: None,
        without: Vec::new(),
        anyway: files.anyway,
    };
    // the shop's own oddities are told of the other sizes already
    drawer::read_and_tell(&own, &mut |_| {}).map(Some)
}

/// What other sizes are, as the subject of a sentence.
fn subject(files: &ShopFiles, without: &[String]) -> String {
    match (&files.sizes_from, without) {
        (Some(_), []) => "This offer".to_owned(),
        (Some(_), without) => format!("This offer without {}", listed(without)),
        (None, without) => format!("A drawer without {}", listed(without)),
    }
}

/// Holds other sizes, with a drawer of these levels, against the shop's own; `None` where it was broken
/// off.
pub(super) fn held_against(
    [own, other]: [&Work; 2],
    files: &ShopFiles,
    (asked, levels): (&Question<'_>, &Levels),
    watch: &mut Watch,
) -> Option<Offered> {
    let lines = own.lines();
    let question = Question {
        aim: asked.aim,
        ..own.question(&lines, asked.seed)
    };
    let mut see = |step: SearchProgress| watch.see_step(step.doing, step.served);
    let planned = plan(&question, &mut see)?;
    let own_drawer = KeptDrawer::of(&question, &planned.levels);
    let other_drawer = KeptDrawer::of(asked, levels);
    let both: Vec<BothWays<'_>> = lines
        .iter()
        .zip(asked.lines)
        .map(|((own, per_month), (other, _))| BothWays {
            own: Supplied {
                setup: own,
                drawer: Some(&own_drawer),
            },
            other: Supplied {
                setup: other,
                drawer: Some(&other_drawer),
            },
            per_month: *per_month,
        })
        .collect();
    let bench = AtBench::of(&both, asked.seed, &mut |progress| watch.see(progress));
    Some(Offered {
        subject: subject(files, &other.without),
        own_pays: planned.money,
        own_year: question.drawer.yearly(&planned.service).total,
        bench,
    })
}

impl Offered {
    /// What a year of the drawer costs more than with the shop's own sizes.
    pub(super) fn year(&self, answer: &Stock) -> Estimate {
        let drawer = &answer.work.shop.shop.drawer;
        let year = drawer.yearly(&answer.stock.plan.service).total;
        let own = &self.own_year;
        // each was simulated by itself
        Estimate {
            value: year.value - own.value,
            low: year.low - own.value,
            high: year.high - own.value,
            ..year
        }
        .widened([own.high - own.value, own.value - own.low])
    }

    /// What a year costs more, drawer and bench together.
    pub(super) fn together(&self, answer: &Stock) -> Estimate {
        let (year, bench) = (self.year(answer), &self.bench.money);
        Estimate {
            value: year.value + bench.value,
            low: year.low + bench.value,
            high: year.high + bench.value,
            ..year
        }
        .widened([bench.value - bench.low, bench.high - bench.value])
    }
}

/// Money a year with half its interval, in whole units.
pub(super) fn money(e: &Estimate, currency: &str) -> String {
    let half = format!("{:.0}", e.half_width());
    let amount = plus_minus(format!("{:+.0}", e.value), &half);
    format!("{amount} {currency}")
}

/// What a drawer does at the bench, in a cell: money a year, hours, right and clearly out.
pub(super) fn bench_cell(bench: &AtBench, currency: &str) -> Cell {
    let points = |share: &Estimate| signed_with_half(&share.times(100.0), 1);
    Cell::from(money(&bench.money, currency)).beside(format!(
        "a year; {} h, right {} points, clearly out {}",
        signed_with_half(&bench.hours, 1),
        points(&bench.right),
        points(&bench.clearly_out),
    ))
}

/// What other sizes do, row by row.
pub(super) fn add(table: &mut Table, answer: &Stock) {
    let Some(offered) = &answer.against_own else {
        return;
    };
    let currency = &answer.work.shop.shop.currency;
    let paid = answer.stock.plan.money - offered.own_pays;
    table
        .name(
            "Against the shop's sizes",
            Cell::from(money(&offered.together(answer), currency))
                .beside("a year, drawer and bench together"),
        )
        .name("  at the bench", bench_cell(&offered.bench, currency))
        .name(
            "  in the drawer",
            Cell::from(money(&offered.year(answer), currency)).beside(format!(
                "a year, all that it costs; at the till {paid:+.2} {currency}"
            )),
        );
}

/// Said where other sizes cost more at the bench than they spare, or hand over fewer right axles.
pub(super) fn loses(answer: &Stock) -> Option<String> {
    let offered = answer.against_own.as_ref()?;
    let bench = &offered.bench;
    let dearer = Verdict::of(&offered.together(answer)) == Verdict::More;
    let at_bench = Verdict::of(&bench.money) == Verdict::More;
    let spares = Verdict::of(&offered.year(answer)) == Verdict::Less;
    let cost = match (dearer, at_bench, spares) {
        (true, true, true) => {
            Some("costs more at the bench every year than it spares in the drawer")
        }
        (true, ..) => Some("costs more every year than the shop's own sizes do"),
        _ => None,
    };
    let fewer = (Verdict::of(&bench.right) == Verdict::Less).then(|| {
        let points = signed_with_half(&bench.right.negated().times(100.0), 1);
        let points = points.trim_start_matches('+');
        format!("hands over {points} points fewer right axles")
    });
    let how: Vec<String> = cost.map(str::to_owned).into_iter().chain(fewer).collect();
    if how.is_empty() {
        return None;
    }
    let but = match answer.stock.plan.money < offered.own_pays {
        true => "is cheaper at the till, but ",
        false => "",
    };
    Some(format!("{} {but}{}.", offered.subject, listed(&how)))
}
