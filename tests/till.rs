//! Money at the till: what `stock` and `kit` spend, and what else a drawer could do.

use serde_json::{Value, json as json_of};

use crate::given::{
    FEW_SIZES, Folder, PARTS_KEPT, answer, estimate, has, json, list, number, refused, run,
};

fn value(of: &Value) -> f64 {
    estimate(of)[0]
}

/// What is paid: whole packs, so that no level leaves a part of one in the shop.
#[test]
fn levels_take_all_of_what_is_bought() {
    let packs = [
        "--set",
        "shims.P-38.pack_of=5",
        "--set",
        "shims.S-80.pack_of=3",
    ];
    let stock = json(&[&["stock", "--json"], &packs[..], &PARTS_KEPT, &FEW_SIZES].concat());
    let mut paid = 0.0;
    for order in list(&stock["order"]) {
        let [keep, pieces, pack_of] = ["keep", "pieces", "pack_of"].map(|key| number(&order[key]));
        assert_eq!((keep, keep % pack_of), (pieces, 0.0), "{order}");
        paid += number(&order["money"]);
    }
    assert!((number(&stock["to_pay"]) - paid).abs() < 1e-6);
    assert!((number(&stock["money"]) - paid).abs() < 1e-6);
}

/// A budget is what is spent today: never more, and what is there already is spared.
#[test]
fn a_budget_is_spent_at_the_till() {
    let folder = Folder::new("till");
    folder.file(
        "have.csv",
        b"series,size,count\nS-80,0.2,9\nS-80,1.5,9\nP-38,0.5,6\n",
    );
    let have = folder.path("have.csv");
    let have = ["--have", have.to_str().expect("text")];
    let asked = [
        &["stock", "--json", "--budget", "120"],
        &PARTS_KEPT[..],
        &FEW_SIZES,
    ]
    .concat();
    let fill = |stock: &Value| value(&stock["job_fill"]);
    let empty = json(&asked);
    let beside = json(&[&asked[..], &have].concat());
    for stock in [&empty, &beside] {
        let paid = number(&stock["to_pay"]);
        assert!(paid <= 120.0 && paid > 80.0, "{paid}");
    }
    assert!(
        fill(&beside) > fill(&empty) + 0.02,
        "{} {}",
        fill(&beside),
        fill(&empty)
    );
    // no drawer of its own curve serves more for as much
    let below = list(&empty["curve"])
        .iter()
        .filter(|p| number(&p["money"]) <= 120.0);
    let best = below.map(|p| value(&p["job_fill"])).fold(0.0, f64::max);
    assert!(fill(&empty) > best - 0.01, "{} {best}", fill(&empty));
}

/// A line of jobs with a share of its own holds it, and the drawer's own holds as well.
#[test]
fn a_line_of_jobs_may_ask_for_more() {
    let asked = [&["stock", "--json"], &PARTS_KEPT[..], &FEW_SIZES].concat();
    let own = ["--set", "jobs.2.job_fill=0.97"];
    let by_line = |stock: &Value| -> Vec<f64> {
        list(&stock["job_fill_by_line"]).iter().map(value).collect()
    };
    let (plain, more) = (json(&asked), json(&[&asked[..], &own].concat()));
    assert!(by_line(&plain)[1] < 0.97, "{plain}");
    assert!(
        by_line(&more)[1] >= 0.97 && value(&more["job_fill"]) >= 0.95,
        "{more}"
    );
    assert!(number(&more["to_pay"]) > number(&plain["to_pay"]));
    // what is given up is said
    let few = [
        &asked[..],
        &[
            "--set",
            "jobs.2.per_month=0.2",
            "--set",
            "drawer.job_fill=0.9",
        ],
    ];
    let (_, text, _) = run(&[&["stock"], &few.concat()[2..]].concat());
    has(&text, "is given up by this plan");
}

/// A box for trips finishes the share of trips that is asked for, and costs more than one for as
/// large a share of jobs; what is in it already is spared.
#[test]
fn a_box_may_aim_at_trips() {
    let folder = Folder::new("trips");
    folder.file(
        "box.csv",
        b"series,size,count\nS-80,0.2,6\nS-80,1.5,4\nP-38,0.5,4\n",
    );
    let have = folder.path("box.csv");
    let have = ["--have", have.to_str().expect("text")];
    let asked = [
        &["kit", "--json", "--jobs", "6"],
        &PARTS_KEPT[..],
        &FEW_SIZES,
    ]
    .concat();
    let trips = json(&[&asked[..], &["--trips", "0.8"]].concat());
    let jobs = json(&[&asked[..], &["--finish", "0.8"]].concat());
    assert_eq!(
        (&trips["of"], &jobs["of"]),
        (&json_of!("trips"), &json_of!("jobs"))
    );
    assert!(value(&trips["all_done"]) >= 0.8 && value(&jobs["all_done"]) < 0.8);
    let paid = |kit: &Value| -> f64 {
        list(&kit["order"])
            .iter()
            .map(|row| number(&row["money"]))
            .sum()
    };
    assert!(paid(&trips) > paid(&jobs));
    let beside = json(&[&asked[..], &["--trips", "0.8"], &have].concat());
    assert!(value(&beside["all_done"]) >= 0.8 && paid(&beside) < paid(&trips));
    let told = refused(
        &[&asked[..], &["--trips", "0.8", "--finish", "0.9"]].concat(),
        2,
    );
    assert!(told.contains("--finish"), "{told}");
}

#[test]
fn what_else_a_drawer_could_do_is_told() {
    let asked = [
        &["stock", "--json", "--intervals", "--busy", "3"],
        &PARTS_KEPT[..],
        &FEW_SIZES,
    ];
    let stock = json(&asked.concat());
    let days: Vec<f64> = list(&stock["intervals"])
        .iter()
        .map(|interval| number(&interval["order_every_days"]))
        .collect();
    assert_eq!(days, [7.0, 14.0, 28.0, 56.0]);
    let busy = &stock["busy"];
    assert_eq!(number(&busy["times"]), 3.0);
    // three times the jobs in a month are more than the drawer was planned for
    assert!(value(&busy["job_fill"]) < value(&stock["job_fill"]) - 0.05);
    assert_eq!(number(&stock["surplus"]["pieces"]), 2.0);
    let text = answer(&[&["stock", "--intervals"], &PARTS_KEPT[..], &FEW_SIZES].concat());
    has(&text, "14 days");
    has(&text, "as it is");
}

/// What would take more memory than there is gets no chance to.
#[test]
fn a_shop_too_large_to_plan_for_is_refused_at_once() {
    let set = ["--set", "jobs.1.per_month=2000000"];
    let said = refused(&[&["stock"], &set[..]].concat(), 2);
    has(&said, "MB of memory to plan for");
    has(&said, "order_every_days, lead_time_days, per_month");
    // a quote does without
    let (code, _, told) = run(&[&["quote", "--rebuilds", "500"], &set[..]].concat());
    assert_eq!(code, 0);
    has(&told, "shims are charged as those finally fitted");
}

/// An offer is held against the shop's own sizes at the bench as well: by as much as `compare` tells
/// of the only line of jobs that it concerns, six of nine a month.
#[test]
fn a_cheaper_offer_that_loses_at_the_bench_is_told_so_first() {
    let folder = Folder::new("offer");
    let sizes = "[0.30, 0.60, 0.90]";
    folder.file(
        "offer.csv",
        b"series,size,price\nP-38,0.30,1.2\nP-38,0.60,1.2\nP-38,0.90,1.2\n",
    );
    let path = folder.path("offer.csv");
    let offer = ["--sizes-from", path.to_str().expect("text")];
    let stock = json(&[&["stock", "--json"], &offer[..]].concat());
    let against = &stock["against_own"];
    let way = format!("offer:shims.P-38.sizes={sizes}");
    let asked = ["--way", "own:bench.learns=true", "--way", &way];
    let compared = json(&[&["compare", "--json", "--rebuilds", "40000"], &asked[..]].concat());
    let differs = |measure: &str| {
        let all = list(&compared["differences"]).iter();
        let mut of = all.filter(|one| one["measure"] == measure);
        &of.next().expect("the measure")["difference"]
    };
    for (key, told, times) in [
        ("handed_over", "right", 6.0 / 9.0),
        ("clearly_out", "clearly_out", 6.0 / 9.0),
        ("hours", "hours_a_year", 72.0),
    ] {
        let [own, low, high] = estimate(differs(key)).map(|figure| times * figure);
        let [told, least, most] = estimate(&against[told]);
        let apart = (own - told).abs();
        assert!(
            apart < 2.5 * (high - low).hypot(most - least) / 2.0,
            "{key}: {own} {told}"
        );
    }
    assert!(number(&stock["to_pay"]) < number(&against["own_money"]));
    let (_, text, _) = run(&[&["stock"], &offer[..]].concat());
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    has(&text, "This offer is cheaper at the till, but hands over");
    let note = text.find("This offer").expect("the note");
    assert!(
        note < text.find("Jobs that never wait").expect("the head"),
        "{text}"
    );
}
