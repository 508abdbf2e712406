//! `stock` and `kit` as a shop owner meets them.

use std::path::PathBuf;
use std::process::{Command, Output};

use serde_json::Value;

use crate::demo::drawer as demo;
use crate::given::{FEW_SIZES, Folder, PARTS_KEPT, has};

fn shimcast(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_shimcast"))
        .args(args)
        .output()
        .expect("the program runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("UTF-8")
}

/// What it prints, where it should go well.
#[track_caller]
fn printed(args: &[&str]) -> String {
    let output = shimcast(args);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    text(&output.stdout)
}

/// What it complains about, where it should not.
#[track_caller]
fn refused(args: &[&str], code: i32) -> String {
    let output = shimcast(args);
    assert_eq!(output.status.code(), Some(code), "{}", text(&output.stdout));
    assert!(output.stdout.is_empty(), "{}", text(&output.stdout));
    text(&output.stderr)
}

fn file(folder: &Folder, name: &str, body: &str) -> String {
    let path: PathBuf = folder.path(name);
    std::fs::write(&path, body).expect("a temporary file");
    path.display().to_string()
}

/// What it prints of a drawer that is quick to plan.
#[track_caller]
fn of_few(args: &[&str]) -> String {
    printed(&[args, &FEW_SIZES, &PARTS_KEPT].concat())
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("a number: {value}"))
}

fn list(value: &Value) -> &Vec<Value> {
    value
        .as_array()
        .unwrap_or_else(|| panic!("a list: {value}"))
}

/// An estimate's value, which lies inside its interval.
#[track_caller]
fn estimate(value: &Value) -> f64 {
    let [v, low, high] = ["value", "low", "high"].map(|key| number(&value[key]));
    assert!(low <= v && v <= high, "{value}");
    v
}

#[test]
fn the_demo_holds_its_target_for_half_the_money_of_equal_counts() {
    let demo = demo();
    assert_eq!(demo["answer"], "stock");
    assert_eq!(demo["shop"], "North Bench");
    assert_eq!(list(&demo["jobs"]).len(), 2);
    assert_eq!(demo["jobs"][1]["gears"], "kept");
    assert!(estimate(&demo["job_fill"]) >= 0.95);
    let equal = &demo["equal_counts"];
    let same_money = estimate(&equal["same_money"]["job_fill"]);
    assert!(same_money < estimate(&demo["job_fill"]) - 0.1);
    let money = number(&demo["money"]);
    let ratio = money / number(&equal["same_service"]["money"]);
    assert!(ratio <= 0.5, "{ratio}");
    assert!(estimate(&equal["same_service"]["job_fill"]) >= estimate(&demo["job_fill"]));
}

#[test]
fn the_money_of_the_list_adds_up() {
    let demo = demo();
    let mut all = 0.0;
    let mut series = Vec::new();
    for one in list(&demo["series"]) {
        series.push(one["series"].as_str().expect("a name"));
        for size in list(&one["sizes"]) {
            all += number(&size["money"]);
            let used = number(&size["used_per_year"]);
            assert!(number(&size["used_per_year_low"]) <= used);
            assert!(used <= number(&size["used_per_year_high"]));
        }
    }
    assert_eq!(series, ["P-38", "S-80", "P-28in", "S-31in", "T-11in"]);
    assert!((all - number(&demo["money"])).abs() < 1e-6);
    // an order for an empty drawer brings every size to its level in whole packs
    for order in list(&demo["order"]) {
        let [keep, packs, pack_of, pieces] =
            ["keep", "packs", "pack_of", "pieces"].map(|key| number(&order[key]));
        assert_eq!(pieces, packs * pack_of);
        assert!(pieces >= keep && pieces < keep + pack_of);
    }
}

#[test]
fn the_curve_goes_from_an_empty_drawer_to_99_5_percent() {
    let curve = list(&demo()["curve"]);
    assert!(curve.len() > 10);
    assert_eq!(number(&curve[0]["money"]), 0.0);
    let points: Vec<(f64, f64)> = curve
        .iter()
        .map(|point| (number(&point["money"]), estimate(&point["job_fill"])))
        .collect();
    assert!(
        points
            .windows(2)
            .all(|p| p[0].0 < p[1].0 && p[0].1 < p[1].1)
    );
    assert!(points[points.len() - 1].1 >= 0.995);
    let money = number(&demo()["money"]);
    assert!(points.iter().any(|(m, _)| (m - money).abs() < 1e-6));
}

#[test]
fn the_yearly_costs_follow_from_the_drawers_keys() {
    let demo = demo();
    let yearly = &demo["yearly"];
    let [holding, waiting, deliveries, shims, total] =
        ["holding", "waiting", "deliveries", "shims", "total"].map(|key| number(&yearly[key]));
    assert!((holding + waiting + deliveries + shims - total).abs() < 1e-6 * total);
    // money on hand is below the levels, since some of it is always on order, but not by much;
    // packs of two raise it
    let money = number(&demo["money"]);
    assert!(holding > 0.22 * 0.8 * money && holding < 0.22 * 1.1 * money);
    // nine jobs a month
    let waits = (1.0 - estimate(&demo["job_fill"])) * 108.0;
    assert!((waiting / 65.0 / waits - 1.0).abs() < 0.02);
    // at most one order every 14 days
    assert!(deliveries <= 9.0 * 365.25 / 14.0 + 0.1);
    let cheapest = number(&demo["cheapest"]["yearly"]["total"]);
    assert!(cheapest <= total);
}

#[test]
fn the_same_seed_gives_the_same_drawer_on_two_threads() {
    let on = |threads| of_few(&["stock", "--json", "--threads", threads]);
    assert_eq!(on("1"), on("2"));
}

#[test]
fn missed_thicknesses_and_sizes_to_add() {
    let sizes = list(&demo()["sizes"]);
    assert_eq!(sizes.len(), 5);
    for advice in sizes {
        let mut missed = estimate(&advice["missed"]);
        for add in list(&advice["add"]) {
            let less = estimate(&add["missed"]);
            assert!(less < missed, "{advice}");
            missed = less;
            assert!(number(&add["size"]) >= 0.0254);
            estimate(&add["spared"]["hours"]);
        }
        let none = estimate(&advice["missed"]) == 0.0;
        assert_eq!(none, advice["cost"].is_null());
    }
    // T-11in builds no 0.017 in with four shims or so: one size of it spares most of its misses
    let spacer = &sizes[4];
    assert!(!list(&spacer["add"]).is_empty());
}

#[test]
fn the_list_as_csv_counts_as_a_full_drawer() {
    let folder = Folder::new("stock");
    let path = folder.path("list.csv");
    let path = path.to_str().expect("a plain path");
    let shown = of_few(&["stock", "--csv", path]);
    assert!(shown.contains("Jobs that never wait"));
    let written = std::fs::read_to_string(path).expect("written");
    let mut lines = written.lines().filter(|line| !line.starts_with('#'));
    let heading: Vec<&str> = lines.next().expect("a heading").split(',').collect();
    assert_eq!(heading[..4], ["series", "size", "unit", "keep"]);
    assert_eq!(lines.clone().count(), 14);
    // nothing is overwritten
    let complaint = refused(&["stock", "--csv", path], 3);
    assert!(
        complaint.contains("is not overwritten") && !complaint.contains("--force"),
        "{complaint}"
    );
    assert_eq!(std::fs::read_to_string(path).expect("still there"), written);
    let nowhere = folder.path("no").join("list.csv");
    let complaint = refused(
        &["kit", "--csv", nowhere.to_str().expect("a plain path")],
        3,
    );
    assert!(
        complaint.contains("its folder does not exist; make it first"),
        "{complaint}"
    );
    let names = std::fs::read_dir(folder.path("")).expect("a folder");
    assert_eq!(names.count(), 1, "nothing is left beside the list");
    // what is to be kept is there, and two of the first size more: nothing to order, two too many
    let counted: Vec<String> = lines
        .enumerate()
        .map(|(i, line)| {
            let cells: Vec<&str> = line.split(',').collect();
            let count: u32 = cells[3].parse().expect("a count");
            format!(
                "{};{};{}",
                cells[0],
                cells[1],
                count + if i == 0 { 2 } else { 0 }
            )
        })
        .collect();
    let have = file(
        &folder,
        "have.csv",
        &format!("Series;Size;Count\n{}\n", counted.join("\n")),
    );
    let answer: Value =
        serde_json::from_str(&of_few(&["stock", "--have", &have, "--json"])).expect("JSON");
    assert!(list(&answer["order"]).is_empty(), "{}", answer["order"]);
    let over = list(&answer["too_many"]);
    assert_eq!(over.len(), 1);
    assert_eq!(
        (&over[0]["over"], &over[0]["size"]),
        (&2.into(), &0.2.into())
    );
    assert!(estimate(&answer["ahead"]["job_fill"]) > 0.94);
}

/// A drawer of three sizes serves as well as any, with packs that nobody wanted: that is said.
#[test]
fn what_a_poor_offer_cannot_make_stands_on_top() {
    let folder = Folder::new("poor");
    folder.file(
        "poor.csv",
        b"series,size,price\nP-38,0.30,3.6\nP-38,0.60,3.6\nP-38,0.90,3.6\n",
    );
    let offer = folder.path("poor.csv");
    let offer = ["stock", "--sizes-from", offer.to_str().expect("text")];
    let text = printed(&[&offer[..], &["--all"], &PARTS_KEPT].concat());
    let head = text.split("What to keep").next().expect("a head");
    let head = &head.split_whitespace().collect::<Vec<_>>().join(" ");
    has(head, "these miss by more than near_enough: P-38 ");
    assert!(!head.contains("and S-80"), "{head}");
    has(head, "To pay now");
}

/// Each line of jobs is told of by itself, and together they make the whole.
#[test]
fn every_line_of_jobs_is_told_of() {
    let text = of_few(&["kit", "--jobs", "4", "--finish", "0.8"]);
    has(&text, "  of Rowan 215");
    has(&text, "  of Sorrel 7.1");
    let kit = of_few(&["kit", "--jobs", "4", "--finish", "0.8", "--json"]);
    let kit: Value = serde_json::from_str(&kit).expect("JSON");
    let by_line: Vec<f64> = kit["job_fill_by_line"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|e| e["value"].as_f64().expect("a share"))
        .collect();
    assert_eq!(by_line.len(), 2);
    let whole = kit["job_fill"]["value"].as_f64().expect("a share");
    // 6 and 3 jobs a month: drawn by chance, so about
    let mean = (2.0 * by_line[0] + by_line[1]) / 3.0;
    assert!((mean - whole).abs() < 0.005, "{by_line:?} {whole}");
}

#[test]
fn a_budget_is_kept_and_an_offer_chosen_from() {
    let folder = Folder::new("offer");
    let offer = file(
        &folder,
        "offer.csv",
        "# a supplier's list\nsize,series,price,pack_of\n\
         0.10,P-38,2.00,5\n0.15,P-38,2.00,\n0.20,P-38,2.00,\n0.40,P-38,9.00,\n0.80,P-38,2.50,5\n",
    );
    let list = of_few(&["stock", "--sizes-from", &offer, "--budget", "250", "--csv"]);
    let lines = list.lines().filter(|line| !line.starts_with('#'));
    let rows: Vec<Vec<&str>> = lines.map(|line| line.split(',').collect()).collect();
    assert_eq!(rows[0][4], "price_EUR");
    let offered: Vec<&Vec<&str>> = rows.iter().filter(|row| row[0] == "P-38").collect();
    let sizes: Vec<&str> = offered.iter().map(|row| row[1]).collect();
    assert_eq!(sizes, ["0.10", "0.15", "0.20", "0.40", "0.80"]);
    let prices: Vec<&str> = offered.iter().map(|row| row[4]).collect();
    assert_eq!(prices, ["2.00", "2.00", "2.00", "9.00", "2.50"]);
    assert!(offered.iter().all(|row| row[10] == "5"));
    let money: f64 = rows[1..]
        .iter()
        .map(|row| row[5].parse::<f64>().expect("money"))
        .sum();
    assert!(money <= 250.0 && money > 240.0, "{money}");
    // a list is an offer as it is, with the currency in its head
    let again = file(&folder, "again.csv", &list);
    let second = of_few(&["stock", "--sizes-from", &again, "--budget", "250", "--csv"]);
    let plain = |list: &str| {
        let lines = list.lines().filter(|line| !line.starts_with('#'));
        lines.map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(plain(&second), plain(&list));
    assert!(second.contains("\n# offer again.csv, CRC-32 "), "{second}");
}

#[test]
fn a_box_for_the_road() {
    let shown = of_few(&["kit", "--jobs", "3", "--finish", "0.9", "--json"]);
    let kit: Value = serde_json::from_str(&shown).expect("JSON");
    assert_eq!((&kit["answer"], &kit["trip"]), (&"kit".into(), &3.into()));
    let fill = estimate(&kit["job_fill"]);
    assert!((0.9..0.93).contains(&fill), "{fill}");
    // all of three jobs are finished less often than each of them
    assert!(estimate(&kit["all_done"]) < fill);
    assert!(estimate(&kit["all_done"]) > fill.powi(3) - 0.05);
}

#[test]
fn a_day_book_of_one_month() {
    let shown = of_few(&["stock", "--budget", "100", "--log", "60", "--all"]);
    let book = shown
        .split("Day book of 60 days")
        .nth(1)
        .expect("a day book");
    for word in [
        "job 1: ",
        "ordered ",
        "delivered ",
        "took ",
        "(0)",
        "MISSING",
        "put back",
    ] {
        assert!(book.contains(word), "{word}: {book}");
    }
}

#[test]
fn rows_of_a_count_that_mean_nothing() {
    let folder = Folder::new("have");
    let complaint = |name: &str, body: &str| {
        let path = file(&folder, name, body);
        let complaint = refused(&["stock", "--have", &path], 2);
        assert!(complaint.contains(name), "{complaint}");
        complaint
    };
    // everything at once, each at its place
    let all = complaint(
        "all.csv",
        "series,size,count\nP-83,0.10,1\nP-38,0.11,1\nP-38,0.10,-2\nP-38,0.12,1.5\n\
         P-38,0.15,two\nS-80,0.10,1\nS-80,0.1,1\nP-28in,0.003\n",
    );
    for (place, reason) in [
        (":2:1:", "North Bench has no series `P-83`"),
        (":3:6:", "P-38 has no size 0.11 mm"),
        (":4:11:", "the count -2 is negative"),
        (":5:11:", "the count 1.5 is no whole number"),
        (":6:11:", "the count `two` is not a number"),
        (":8:6:", "S-80 0.1 is in line 7 already"),
        (":9:13:", "the count is missing"),
    ] {
        let there = all.lines().any(|l| l.contains(place) && l.contains(reason));
        assert!(there, "{place} {reason} in\n{all}");
    }
    assert!(all.contains("did you mean `P-38`?"), "{all}");
    assert!(all.contains("the nearest is 0.1 mm"), "{all}");
    let missing = complaint("columns.csv", "series,thickness,count\nP-38,0.10,1\n");
    assert!(missing.contains("names no column `size`"), "{missing}");
    complaint("empty.csv", "");
    let none = refused(&["stock", "--have", "/nowhere/have.csv"], 3);
    assert!(none.contains("there is no such file"), "{none}");
}

#[test]
fn offers_that_mean_nothing() {
    let folder = Folder::new("offers");
    let complaint = |body: &str| {
        let path = file(&folder, "offer.csv", body);
        refused(&["kit", "--sizes-from", &path], 2)
    };
    for (row, reason) in [
        ("P-38,0,1", "the size `0` must be above 0"),
        ("P-38,101,1", "is no shim's thickness"),
        ("P-38,0.1,-1", "the price `-1` must not be negative"),
        ("X-1,0.1,1", "no series `X-1`"),
        (
            "P-38,0.1,1\nP-38,0.100,2",
            "is offered in a row above already",
        ),
    ] {
        let shown = complaint(&format!("series,size,price\n{row}\n"));
        assert!(shown.contains(reason), "{shown}");
    }
    let shown = complaint("series,size,price,pack_of\nP-38,0.1,1,0\n");
    assert!(shown.contains("the pack_of 0 is below 1"), "{shown}");
    let shown = complaint("series,size,price\n");
    assert!(shown.contains("it offers nothing"), "{shown}");
}

#[test]
fn questions_without_an_answer() {
    let budget = refused(&["stock", "--budget", "2"], 2);
    assert!(
        budget.contains("T-11in 0.001 in, costs 2.60 EUR"),
        "{budget}"
    );
    let all = refused(&["stock", "--set", "drawer.job_fill=1"], 2);
    assert!(all.contains("must be above 0 and below 1"), "{all}");
    let all = refused(&["kit", "--finish", "1"], 2);
    assert!(all.contains("never runs out"), "{all}");
    let percent = refused(&["kit", "--finish", "95"], 2);
    assert!(percent.contains("write 0.95"), "{percent}");
    let book = refused(&["stock", "--csv", "--log", "30"], 2);
    assert!(book.contains("name a file after --csv"), "{book}");
    let early = refused(&["stock", "--set", "drawer.lead_time_spread=-1"], 2);
    assert!(early.contains("must not be negative"), "{early}");
    let axle = refused(&["stock", "--set", "gears.offset=0"], 2);
    assert!(axle.contains("name 2 axles"), "{axle}");
    let folder = Folder::new("no-jobs");
    let shop = "name = \"Lane\"\nlength = \"mm\"\ntorque = \"N.m\"\ncurrency = \"EUR\"\n";
    let shop = file(&folder, "lane.shop.toml", shop);
    let jobs = refused(&["stock", "--shop", &shop], 2);
    assert!(
        jobs.contains("lane.shop.toml:1:1: there are no kinds of job ([[jobs]])"),
        "{jobs}"
    );
    let axle = std::fs::read_to_string(&shop).expect("just written")
        + "[[jobs]]\naxle = \"gone.axle.toml\"\nper_month = 1\n";
    let shop = file(&folder, "gone.shop.toml", &axle);
    let gone = refused(&["stock", "--shop", &shop], 3);
    assert!(gone.contains("gone.axle.toml"), "{gone}");
}
