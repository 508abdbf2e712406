//! What shops have: habits, instruments, minutes, prices, shims, the drawer, jobs. Every part is
//! taken apart by name, so that a figure added to it can't be forgotten here.

use std::ops::RangeInclusive;

use shimcast_sim::axle::shims::{Series, Thickness};
use shimcast_sim::shop::{
    DepthGauge, Dial, Drawer, Habits, Instruments, Job, Minutes, NutTurn, PatternReading, Prices,
    Shop, Span, TorqueReading,
};

use super::row::{Row, Rows, USUAL_MINUTES};

/// Shares and chances that are no slip however small they are.
const CHANCE: RangeInclusive<f64> = 0.002..=0.5;
/// Least and most minutes lie within this factor of the usual ones.
const FARTHEST: f64 = 6.0;
/// The next size of a series is at most this many times as thick.
const NEXT_SIZE: f64 = 6.0;

/// The rows of a shop, in the order of its file.
pub(super) fn rows(shop: &Shop) -> Vec<Row> {
    let Shop {
        name: _,
        currency,
        bench,
        instruments: of_instruments,
        minutes: of_minutes,
        prices: of_prices,
        shims,
        drawer: of_drawer,
        jobs,
    } = shop;
    let mut rows = Rows::default();
    habits(&mut rows, bench);
    instruments(&mut rows, of_instruments);
    minutes(&mut rows, of_minutes);
    for one in shims {
        series(&mut rows, one);
    }
    drawer(&mut rows, of_drawer);
    for (i, job) in jobs.iter().enumerate() {
        let Job {
            axle: _,
            per_month,
            gears: _,
            bearings: _,
            job_fill,
        } = job;
        if let Some(job_fill) = job_fill {
            rows.plain(format!("jobs.{}.job_fill", i + 1), *job_fill, 0.3..=1.0);
        }
        let key = format!("jobs.{}.per_month", i + 1);
        rows.with_unit(key, *per_month, 0.05..=50.0, "a month");
    }
    prices(&mut rows, of_prices, shims, of_drawer, currency);
    rows.0
}

fn habits(rows: &mut Rows, habits: &Habits) {
    let Habits {
        pinion_start: _,
        side_start: _,
        ring_belief,
        learns: _,
        depth_belief,
        correction: _,
        first_move,
        smallest_move,
        side_check: _,
        torque_readings,
        side_preload_added,
        backlash_points,
        most_assemblies,
        guard,
        mark_slip,
        measures_heights: _,
        sleeve_aim,
        sleeve_step,
        notch,
        setup_bearings: _,
        cone_spoiled,
    } = habits;
    rows.plain("bench.ring_belief", *ring_belief, 0.4..=1.5);
    rows.per_length("bench.depth_belief", *depth_belief, 0.3..=6.0);
    rows.length("bench.first_move", *first_move, 0.02..=0.5);
    rows.length("bench.smallest_move", *smallest_move, 0.008..=0.15)
        .or_none();
    let count = |count: &u32| f64::from(*count);
    rows.plain("bench.torque_readings", count(torque_readings), 1.0..=30.0);
    rows.length("bench.side_preload_added", *side_preload_added, 0.03..=0.6)
        .or_none();
    rows.plain("bench.backlash_points", count(backlash_points), 1.0..=30.0);
    rows.plain("bench.most_assemblies", count(most_assemblies), 2.0..=60.0);
    rows.plain("bench.guard", *guard, 0.01..=0.3).or_none();
    rows.plain("bench.mark_slip", *mark_slip, 0.002..=0.25)
        .or_none();
    rows.plain("bench.sleeve_aim", *sleeve_aim, 0.05..=0.95);
    rows.with_unit("bench.sleeve_step", *sleeve_step, 1.0..=30.0, "degrees");
    rows.length("bench.notch", *notch, 0.004..=0.2);
    rows.plain("bench.cone_spoiled", *cone_spoiled, CHANCE)
        .or_none();
}

fn instruments(rows: &mut Rows, instruments: &Instruments) {
    let Instruments {
        dial,
        depth_gauge,
        end_play,
        height,
        torque,
        pattern,
        micrometer,
        setup_bearing,
        nut,
    } = instruments;
    let Dial {
        sigma,
        step,
        indicator: _,
    } = dial;
    rows.length("instruments.dial.sigma", *sigma, 0.001..=0.04)
        .or_none();
    rows.length("instruments.dial.step", *step, 0.002..=0.06)
        .or_none();
    let DepthGauge { sigma, step } = depth_gauge;
    rows.length("instruments.depth_gauge.sigma", *sigma, 0.003..=0.12)
        .or_none();
    rows.length("instruments.depth_gauge.step", *step, 0.002..=0.06)
        .or_none();
    rows.length("instruments.end_play.sigma", *end_play, 0.004..=0.12)
        .or_none();
    rows.length("instruments.height.sigma", *height, 0.001..=0.06)
        .or_none();
    let TorqueReading { sigma, share, step } = torque;
    rows.torque("instruments.torque.sigma", *sigma, 0.01..=0.6)
        .or_none();
    rows.plain("instruments.torque.share", *share, 0.004..=0.25)
        .or_none();
    rows.torque("instruments.torque.step", *step, 0.01..=0.7)
        .or_none();
    let PatternReading { profile, step } = pattern;
    rows.plain("instruments.pattern.profile", *profile, 0.008..=0.3)
        .or_none();
    rows.plain("instruments.pattern.step", *step, 0.008..=0.3)
        .or_none();
    if let Some(sigma) = micrometer {
        rows.length("instruments.micrometer.sigma", *sigma, 0.0005..=0.025)
            .or_none();
    }
    rows.length(
        "instruments.setup_bearing.sigma",
        *setup_bearing,
        0.0015..=0.06,
    )
    .or_none();
    let NutTurn {
        sigma,
        slip,
        slip_by,
    } = nut;
    rows.with_unit("instruments.nut.sigma", *sigma, 0.2..=8.0, "degrees")
        .or_none();
    rows.plain("instruments.nut.slip", *slip, 0.002..=0.3)
        .or_none();
    rows.with_unit("instruments.nut.slip_by", *slip_by, 1.5..=60.0, "degrees")
        .or_none();
}

fn minutes(rows: &mut Rows, minutes: &Minutes) {
    let Minutes {
        strip,
        first_assembly,
        read_backlash,
        read_pattern,
        side_change: [outboard, behind, screws],
        pinion_change: [under_head, behind_cup, cartridge],
        setup_bearing_saves,
        reseat_ring,
        sleeve,
        sleeve_again,
        spacer_change,
        final_assembly,
        refit,
        job_spread,
    } = minutes;
    for (key, operation, usual) in [
        ("strip", strip, 20.0..=600.0),
        ("first_assembly", first_assembly, 15.0..=500.0),
        ("read_backlash", read_backlash, 1.5..=60.0),
        ("read_pattern", read_pattern, 2.0..=90.0),
        ("side_change.outboard", outboard, 4.0..=150.0),
        ("side_change.behind side bearings", behind, 8.0..=300.0),
        ("side_change.screw adjusters", screws, 1.0..=60.0),
        ("pinion_change.under head bearing", under_head, 15.0..=480.0),
        ("pinion_change.behind head cup", behind_cup, 15.0..=480.0),
        ("pinion_change.cartridge flange", cartridge, 5.0..=180.0),
        ("reseat_ring", reseat_ring, 10.0..=300.0),
        ("sleeve", sleeve, 5.0..=200.0),
        ("sleeve_again", sleeve_again, 8.0..=300.0),
        ("spacer_change", spacer_change, 6.0..=200.0),
        ("final_assembly", final_assembly, 15.0..=500.0),
        ("refit", refit, 10.0..=400.0),
    ] {
        span(rows, &format!("minutes.{key}"), operation, usual);
    }
    let saves = *setup_bearing_saves;
    rows.with_unit("minutes.setup_bearing_saves", saves, 3.0..=120.0, "minutes")
        .or_none();
    rows.plain("minutes.job_spread", *job_spread, 0.02..=0.6)
        .or_none();
}

/// The usual minutes by themselves, least and most by these.
fn span(rows: &mut Rows, key: &str, span: &Span, of_usual: RangeInclusive<f64>) {
    let Span { least, usual, most } = *span;
    rows.with_unit(key, usual, of_usual, "minutes")
        .part(USUAL_MINUTES)
        .or_none();
    if usual > 0.0 {
        rows.with_unit(key, least, usual / FARTHEST..=usual, "minutes")
            .part(", the least")
            .or_none();
        rows.with_unit(key, most, usual..=FARTHEST * usual, "minutes")
            .part(", the most");
    }
}

fn series(rows: &mut Rows, series: &Series) {
    let Series {
        name,
        sizes,
        unit: _,
        price: _,
        pack_of,
        tolerance,
        most_in_pack,
        spoiled,
    } = series;
    let key = |key: &str| format!("shims.{name}.{key}");
    for (i, size) in sizes.iter().enumerate() {
        let before = i.checked_sub(1).map(|before| sizes[before]);
        let most = before.map_or(10.0, |before| (NEXT_SIZE * before).min(10.0));
        rows.length(key(&format!("sizes.{}", i + 1)), *size, 0.02..=most);
    }
    rows.plain(key("pack_of"), f64::from(*pack_of), 1.0..=50.0);
    match tolerance {
        Thickness::Limit(limit) => {
            rows.length(key("tol"), *limit, 0.001..=0.06).or_none();
        }
        Thickness::Strip(_) | Thickness::HalfStrip(_) => {}
    }
    rows.plain(key("most_in_pack"), f64::from(*most_in_pack), 1.0..=8.0);
    rows.plain(key("spoiled"), *spoiled, 0.002..=0.5).or_none();
}

fn drawer(rows: &mut Rows, drawer: &Drawer) {
    let Drawer {
        order_every_days,
        lead_time_days,
        lead_time_spread,
        job_fill,
        near_enough,
        keep_surplus,
        holding_share,
        wait_cost: _,
        delivery_cost: _,
    } = drawer;
    let days = "days";
    rows.with_unit(
        "drawer.order_every_days",
        *order_every_days,
        0.5..=100.0,
        days,
    );
    rows.with_unit("drawer.lead_time_days", *lead_time_days, 0.1..=90.0, days)
        .or_none();
    rows.with_unit(
        "drawer.lead_time_spread",
        *lead_time_spread,
        0.05..=45.0,
        days,
    )
    .or_none();
    rows.plain("drawer.job_fill", *job_fill, 0.3..=1.0);
    rows.length("drawer.near_enough", *near_enough, 0.001..=0.06)
        .or_none();
    rows.plain("drawer.keep_surplus", f64::from(*keep_surplus), 0.0..=50.0);
    rows.plain("drawer.holding_share", *holding_share, 0.03..=1.0)
        .or_none();
}

/// A price in hours of a shop's work: what is common, least and most.
type InHours = (f64, RangeInclusive<f64>);

const HOUR: InHours = (1.0, 0.12..=4.0);
const HOUR_COST: InHours = (0.65, 0.1..=4.0);
const SLEEVE: InHours = (0.1, 0.012..=0.8);
const CONE: InHours = (0.4, 0.05..=3.5);
const COMEBACK: InHours = (4.5, 0.5..=40.0);
const GIVEN_UP: InHours = (2.7, 0.3..=25.0);
const WAIT: InHours = (0.7, 0.08..=6.5);
const DELIVERY: InHours = (0.1, 0.012..=0.9);
const SHIM: InHours = (0.042, 0.005..=0.35);
/// Prices without which nothing is said of any.
const FEWEST_PRICES: usize = 4;

/// Prices are held against each other, whatever the currency: all of a shop's say what an hour
/// would usually be, and each of them is looked at by the middle of that.
fn prices(rows: &mut Rows, prices: &Prices, shims: &[Series], drawer: &Drawer, currency: &str) {
    let Prices {
        hour,
        hour_cost,
        sleeve,
        cone,
        comeback,
        comeback_share,
        given_up,
    } = prices;
    rows.plain("prices.comeback_share", *comeback_share, 0.02..=1.0)
        .or_none();
    let one = |key: &str, price: f64, in_hours: InHours| (key.to_owned(), price, in_hours);
    let mut all = vec![
        one("prices.hour", *hour, HOUR),
        one("prices.hour_cost", *hour_cost, HOUR_COST),
        one("prices.sleeve", *sleeve, SLEEVE),
        one("prices.cone", *cone, CONE),
        one("prices.comeback", *comeback, COMEBACK),
        one("prices.given_up", *given_up, GIVEN_UP),
        one("drawer.wait_cost", drawer.wait_cost, WAIT),
        one("drawer.delivery_cost", drawer.delivery_cost, DELIVERY),
    ];
    let of_shims = shims
        .iter()
        .map(|series| one(&format!("shims.{}.price", series.name), series.price, SHIM));
    let of_shims: Vec<_> = of_shims.collect();
    // however many series there are, they say one thing about an hour
    let mut hours: Vec<f64> = in_hours(&all);
    hours.extend(middle(in_hours(&of_shims)));
    if hours.len() < FEWEST_PRICES {
        return;
    }
    let Some(hour) = middle(hours) else {
        return;
    };
    all.extend(of_shims);
    for (key, price, (_, usual)) in all {
        let usual = usual.start() * hour..=usual.end() * hour;
        rows.with_unit(key, price, usual, currency).or_none();
    }
}

/// What an hour would usually be by each of these; what costs nothing says nothing.
fn in_hours(prices: &[(String, f64, InHours)]) -> Vec<f64> {
    let charged = prices.iter().filter(|(_, price, _)| *price > 0.0);
    charged
        .map(|(_, price, (common, _))| price / common)
        .collect()
}

fn middle(mut figures: Vec<f64>) -> Option<f64> {
    figures.sort_by(f64::total_cmp);
    figures.get(figures.len() / 2).copied()
}
