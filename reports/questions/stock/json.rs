//! The drawer as JSON.

use serde_json::{Map, Value, json};

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::stock::{Advice, DrawerOption, Saving, YearlyCost};

use super::{Stock, slip, stand_ins, used};
use crate::questions::drawer::json::{ShopHead, by_line, kept, mm, money, order, series};
use crate::questions::drawer::list::Row;
use crate::questions::json::{estimate, list};

fn yearly(yearly: &YearlyCost) -> Value {
    let costs = [
        ("holding", &yearly.holding),
        ("waiting", &yearly.waiting),
        ("deliveries", &yearly.deliveries),
        ("shims", &yearly.shims),
        ("total", &yearly.total),
    ];
    let object = |of: fn(&Estimate) -> Value| -> Map<String, Value> {
        let fields = costs
            .iter()
            .map(|(name, cost)| ((*name).to_owned(), of(cost)));
        fields.collect()
    };
    let mut json = object(|cost| cost.value.into());
    let intervals = object(|cost| json!([cost.low, cost.high]));
    json.insert("intervals".into(), intervals.into());
    json.into()
}

fn point(point: &DrawerOption) -> Value {
    json!({ "money": money(point.money), "job_fill": estimate(&point.service.job_fill) })
}

fn spared(spared: &Saving) -> Value {
    json!({ "compromised": estimate(&spared.compromised), "hours": estimate(&spared.hours) })
}

fn advice(advice: &Advice) -> Value {
    let add = list(&advice.add, |add| {
        json!({
            "size": mm(add.size), "missed": estimate(&add.missed), "spared": spared(&add.spared),
        })
    });
    json!({
        "series": advice.series,
        "missed": estimate(&advice.missed),
        "cost": advice.cost.as_ref().map(spared),
        "add": add,
        "could_go": list(&advice.could_go, |size| mm(*size).into()),
    })
}

/// The drawer.
pub(super) fn json(answer: &Stock) -> Value {
    let (stock, work) = (&answer.stock, &answer.work);
    let head = ShopHead {
        answer: "stock",
        seed: answer.seed,
        rebuilds: stock.rebuilds,
        work,
    };
    let drawer = &work.shop.shop.drawer;
    let rows = answer.rows();
    let beyond = rows.iter().filter(|row| row.over() > 0);
    let too_many = list(beyond, |row| {
        kept(
            row,
            json!({ "over": row.over(), "money": money(row.worth_over()) }),
        )
    });
    let counted = |(count, at): &(u32, DrawerOption)| {
        let mut counted = point(at);
        counted["count"] = json!(count);
        counted
    };
    let cheapest = &stock.cheapest;
    head.with(json!({
        "series": series(&work.shelves, &rows, true),
        "job_fill": estimate(&stock.plan.service.job_fill),
        "job_fill_by_line": by_line(&stock.plan.service),
        "held": stock.held,
        "money": money(stock.plan.worth),
        "to_pay": money(rows.iter().map(Row::order_money).sum()),
        "curve": list(&stock.curve, point),
        "equal_counts": {
            "same_money": counted(&stock.equal.same_money),
            "same_service": stock.equal.same_service.as_ref().map(counted),
            "fill_for_money": estimate(&stock.equal.fill_for_money),
            "money_for_service": stock.equal.money_for_service.map(money),
        },
        "yearly": yearly(&drawer.yearly(&stock.plan.service)),
        "cheapest": {
            "job_fill": estimate(&cheapest.service.job_fill),
            "money": money(cheapest.money),
            "spares": estimate(&stock.spares),
            "yearly": yearly(&drawer.yearly(&cheapest.service)),
        },
        "sizes": list(&stock.advice, advice),
        "order": order(&rows),
        "order_by_supplier": slip::by_supplier_json(&rows),
        "used": used::json(&answer.planned()),
        "too_many": too_many,
        "intervals": list(&stock.intervals, |interval| {
            json!({
                "order_every_days": interval.days,
                "money": money(interval.plan.money),
                "job_fill": estimate(&interval.plan.service.job_fill),
                "yearly": estimate(&interval.yearly),
            })
        }),
        "surplus": {
            "pieces": stock.surplus.pieces,
            "spares": estimate(&stock.surplus.spares),
        },
        "against_own": answer.against_own.as_ref().map(|offered| {
            let bench = &offered.bench;
            json!({
                "own_money": money(offered.own_pays),
                "drawer_a_year": estimate(&offered.year(answer)),
                "together_a_year": estimate(&offered.together(answer)),
                "right": estimate(&bench.right),
                "clearly_out": estimate(&bench.clearly_out),
                "hours_a_year": estimate(&bench.hours),
                "money_a_year": estimate(&bench.money),
            })
        }),
        "stand_ins": stand_ins::json(answer),
        "busy": stock.busy.as_ref().map(|service| {
            json!({
                "times": answer.times,
                "job_fill": estimate(&service.job_fill),
                "job_fill_by_line": by_line(service),
            })
        }),
        "ahead": stock.ahead.as_ref().map(|(service, days)| {
            json!({ "days": days, "job_fill": estimate(&service.job_fill) })
        }),
    }))
}
