//! What an owner of a drawer needs besides the plan: what is on order, a slip to order by, what is used,
//! and a day book that adds up.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::given::{FEW_SIZES, Folder, PARTS_KEPT, answer, has, json, list, number, refused, run};

/// A drawer that is quick to plan.
fn of_few<'a>(args: &[&'a str]) -> Vec<&'a str> {
    [&["stock"][..], args, &FEW_SIZES, &PARTS_KEPT].concat()
}

/// Where its series are bought.
pub const BOUGHT: [&str; 12] = [
    "--set",
    "shims.S-80.supplier=Ridgeway Supplies",
    "--set",
    "shims.S-80.part_numbers=[\"0012\", \"\", \"=S80\", \"S, 150\"]",
    "--set",
    "shims.S-80.least_order=3",
    "--set",
    "shims.S-31in.supplier=Alder Tools",
    "--set",
    "shims.P-28in.supplier=Ridgeway Supplies",
    "--set",
    "shims.P-28in.least_order=7",
];

/// The remarks of a CSV text, and its rows by the names of its columns.
pub fn csv(text: &str, divider: u8) -> (Vec<String>, Vec<BTreeMap<String, String>>) {
    let (remarks, rows): (Vec<&str>, Vec<&str>) =
        text.lines().partition(|line| line.starts_with('#'));
    let text = rows.join("\n");
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(divider)
        .from_reader(text.as_bytes());
    let rows = reader.deserialize().map(|row| row.expect("a row"));
    let rows = rows.collect();
    (remarks.into_iter().map(str::to_owned).collect(), rows)
}

/// Every size of an answer: series, thickness in its own unit, what to keep.
fn sizes(answer: &Value) -> Vec<(String, f64, u32)> {
    let mut all = Vec::new();
    for series in list(&answer["series"]) {
        let name = series["series"].as_str().expect("a name");
        let unit = if name.ends_with("in") { 25.4 } else { 1.0 };
        for size in list(&series["sizes"]) {
            let printed = (number(&size["size"]) / unit * 1e6).round() / 1e6;
            all.push((name.to_owned(), printed, number(&size["keep"]) as u32));
        }
    }
    all
}

/// A count of these sizes, as a file: so many of each are there, and so many on order; none is left empty.
fn counted(sizes: &[(String, f64, u32)], each: impl Fn(u32) -> [u32; 2]) -> String {
    let mut text = "series,size,count,on_order\n".to_owned();
    for (series, size, keep) in sizes {
        let [count, coming] = each(*keep);
        let coming = match coming {
            0 => String::new(),
            n => n.to_string(),
        };
        text += &format!("{series},{size},{count},{coming}\n");
    }
    text
}

/// The answer for a drawer as counted.
fn from_count(folder: &Folder, text: &str, more: &[&str]) -> Value {
    let path = folder.path("have.csv");
    std::fs::write(&path, text).expect("a temporary file");
    let path = path.display().to_string();
    json(&of_few(&[&["--json", "--have", &path], more].concat()))
}

#[test]
fn what_is_on_order_is_not_ordered_again() {
    let folder = Folder::new("on-order");
    let sizes = sizes(&json(&of_few(&["--json"])));
    for on_order in [0, 1] {
        let text = counted(&sizes, |keep| [1.min(keep), on_order]);
        let answer = from_count(&folder, &text, &[]);
        let mut wanted = Vec::new();
        for (series, _, keep) in &sizes {
            let pack_of = if series.starts_with("S-") { 2 } else { 1 };
            let there = 1.min(*keep) + on_order;
            match keep.saturating_sub(there).div_ceil(pack_of) {
                0 => {}
                packs => wanted.push((series.clone(), packs)),
            }
        }
        let ordered = list(&answer["order"]).iter().map(|row| {
            assert_eq!(row["on_order"], on_order, "{row}");
            let series = row["series"].as_str().expect("a name").to_owned();
            (series, number(&row["packs"]) as u32)
        });
        assert_eq!(ordered.collect::<Vec<_>>(), wanted);
        assert!(wanted.len() > 3);
    }
    // what is to come is no surplus in the drawer
    let plenty = from_count(&folder, &counted(&sizes, |keep| [keep, 9]), &[]);
    assert!(list(&plenty["order"]).is_empty() && list(&plenty["too_many"]).is_empty());
    let budget = from_count(&folder, &counted(&sizes, |_| [0, 9]), &["--budget", "20"]);
    // nine of every size are paid for already: 20 EUR buy some more than nine of a size, or nothing
    let most = list(&budget["order"]).iter();
    let paid: f64 = most.map(|row| number(&row["money"])).sum();
    assert!(paid <= 20.0, "{paid}");
    let kept = list(&budget["series"]).iter();
    let kept = kept.flat_map(|series| list(&series["sizes"]));
    assert!(kept.map(|size| number(&size["keep"])).sum::<f64>() >= 9.0);
}

/// Where shims are bought one by one, it is the same whether what is missing is ordered now or comes after
/// the same time because it was ordered before: the next weeks go alike, job by job.
#[test]
fn what_is_on_order_comes_after_the_lead_time() {
    let folder = Folder::new("coming");
    let one_by_one = [
        "--set",
        "shims.S-80.pack_of=1",
        "--set",
        "shims.S-31in.pack_of=1",
    ];
    let sizes = sizes(&json(&of_few(&[&["--json"], &one_by_one[..]].concat())));
    let ahead = |each: fn(u32) -> [u32; 2], more: &[&str]| {
        let more = [&one_by_one, more].concat();
        let answer = from_count(&folder, &counted(&sizes, each), &more);
        number(&answer["ahead"]["job_fill"]["value"])
    };
    let ordered_now = ahead(|_| [0, 0], &[]);
    let before: fn(u32) -> [u32; 2] = |keep| [0, keep];
    assert_eq!(ahead(before, &[]), ordered_now);
    // plenty is on its way: fewer jobs wait, but those of the first days do; with all of it in the drawer
    // hardly any
    let plenty = ahead(|keep| [0, 40 + keep], &[]);
    assert!(plenty > ordered_now + 0.01, "{plenty} {ordered_now}");
    let there = ahead(|keep| [40 + keep, 0], &[]);
    assert!(there > plenty + 0.01, "{there} {plenty}");
}

#[test]
fn an_order_that_means_nothing_is_told_at_its_place() {
    let folder = Folder::new("bad-order");
    let text = "series,size,count,on_order\nP-38,0.10,1,-2\nP-38,0.12,1,1.5\nP-38,0.15,1,two\n\
                P-38,0.20,,3\nP-38,0.25,1,\nP-38,0.30,1,200000\n";
    let path = folder.path("have.csv");
    std::fs::write(&path, text).expect("a temporary file");
    let told = refused(&["stock", "--have", &path.display().to_string()], 2);
    for (place, reason) in [
        (":2:13: ", "the on_order -2 is negative"),
        (":3:13: ", "the on_order 1.5 is no whole number"),
        (":4:13: ", "the on_order `two` is not a number"),
        (":5:11: ", "the count is missing"),
        (":7:13: ", "the on_order 200000 is above 100000"),
    ] {
        let line = told.lines().find(|line| line.contains(place));
        has(line.unwrap_or(&told), reason);
    }
    has(&told, "a whole number from 0 to 100000 is wanted");
    assert_eq!(told.matches("have.csv:").count(), 5, "{told}");
}

/// The figure of a cell, whatever its mark.
fn figure(row: &BTreeMap<String, String>, column: &str) -> f64 {
    let text = row[column].replace(',', ".");
    text.parse().unwrap_or_else(|_| panic!("{column}: {text}"))
}

#[test]
fn the_slip_has_what_to_order_by_supplier_and_its_sums() {
    let folder = Folder::new("slip");
    let path = folder.path("slip.csv").display().to_string();
    let text = answer(&[&of_few(&["--slip", &path])[..], &BOUGHT].concat());
    let written = std::fs::read_to_string(&path).expect("written");
    let (remarks, rows) = csv(&written, b',');
    let told = json(&[&of_few(&["--json"])[..], &BOUGHT].concat());
    let order = list(&told["order"]);
    assert_eq!(rows.len(), order.len());
    // by supplier, those of none last, and within one by series and size as the drawer is
    let suppliers: Vec<&str> = rows.iter().map(|row| row["supplier"].as_str()).collect();
    let mut sorted = suppliers.clone();
    sorted.sort_by_key(|name| (name.is_empty(), *name));
    assert_eq!(suppliers, sorted);
    assert_eq!(
        (suppliers[0], suppliers[rows.len() - 1]),
        ("Alder Tools", "")
    );
    let mut sums: BTreeMap<&str, f64> = BTreeMap::new();
    for row in &rows {
        let [packs, pack_of, pieces, price, to_pay] =
            ["packs", "pack_of", "pieces", "price_EUR", "to_pay_EUR"].map(|key| figure(row, key));
        assert_eq!(pieces, packs * pack_of, "{row:?}");
        assert!((to_pay - pieces * price).abs() < 1e-9, "{row:?}");
        let least = match row["series"].as_str() {
            "S-80" => 3.0,
            "P-28in" => 7.0,
            _ => 1.0,
        };
        let keep = sizes(&told);
        let keep = keep
            .iter()
            .find(|(series, size, _)| *series == row["series"] && *size == figure(row, "size"));
        let missing = f64::from(keep.expect("the size").2);
        assert_eq!(packs, (missing / pack_of).ceil().max(least), "{row:?}");
        let number = match (row["series"].as_str(), row["size"].as_str()) {
            ("S-80", "0.20") => "0012",
            ("S-80", "0.70") => "'=S80",
            ("S-80", "1.50") => "S, 150",
            _ => "",
        };
        assert_eq!(row["part_number"], number, "{row:?}");
        assert_eq!(
            row["unit"],
            if row["series"].ends_with("in") {
                "in"
            } else {
                "mm"
            }
        );
        *sums.entry(&row["supplier"]).or_default() += to_pay;
    }
    let all: f64 = sums.values().sum();
    for (supplier, sum) in [
        ("Alder Tools", sums["Alder Tools"]),
        ("Ridgeway Supplies", sums["Ridgeway Supplies"]),
        ("no supplier stated", sums[""]),
        ("all of it", all),
    ] {
        let line = format!("# to pay, {supplier}: {sum:.2} EUR");
        assert!(remarks.contains(&line), "{line}: {remarks:?}");
    }
    // text and JSON have the same sums, and the text where it all comes from
    has(&text, &format!("to pay for the order: {all:.2} EUR"));
    let by_supplier = list(&told["order_by_supplier"]);
    let by_supplier = by_supplier.iter().map(|one| {
        let name = one["supplier"].as_str().unwrap_or_default();
        assert!((number(&one["money"]) - sums[name]).abs() < 1e-6, "{one}");
        name
    });
    assert_eq!(
        by_supplier.collect::<Vec<_>>(),
        ["Alder Tools", "Ridgeway Supplies", ""]
    );
    has(&text, "What to order, by supplier");
    // a plan takes all of what is bought at the least, unless most of it is there already
    assert!(!text.contains("only for least_order"), "{text}");
    let nearly = "series,size,count\nS-80,0.2,4\n";
    let path = folder.path("nearly.csv");
    std::fs::write(&path, nearly).expect("written");
    let nearly = ["--have", path.to_str().expect("text")];
    let beside = answer(&[&of_few(&nearly)[..], &BOUGHT].concat());
    has(&beside, "only for least_order");
    let head = text.lines().find(|line| line.contains("packs of"));
    let head = head.expect("the list");
    assert!(
        head.contains("supplier") && head.contains("part number"),
        "{head}"
    );
    // the same with a decimal comma, on stdout
    let comma = of_few(&["--slip", "-", "--decimal", "comma"]);
    let (code, comma, _) = run(&[&comma[..], &BOUGHT].concat());
    assert_eq!(code, 0);
    let (remarks, other) = csv(&comma, b';');
    assert!(remarks.contains(&format!("# to pay, all of it: {all:.2} EUR").replace('.', ",")));
    let figures = |rows: &[BTreeMap<String, String>]| -> Vec<(String, String, [f64; 4])> {
        let row = |row: &BTreeMap<String, String>| {
            let figures = ["size", "packs", "price_EUR", "to_pay_EUR"].map(|key| figure(row, key));
            (row["supplier"].clone(), row["part_number"].clone(), figures)
        };
        rows.iter().map(row).collect()
    };
    assert!(other.iter().all(|row| row["price_EUR"].contains(',')));
    assert_eq!(figures(&other), figures(&rows));
}

#[test]
fn nothing_is_said_of_suppliers_where_the_shop_names_none() {
    let text = answer(&of_few(&[]));
    assert!(
        !text.contains("supplier") && !text.contains("part number"),
        "{text}"
    );
    assert!(!text.contains("least_order"), "{text}");
}

#[test]
fn one_thing_is_printed() {
    let both = refused(&["stock", "--slip", "--csv"], 2);
    has(&both, "--slip: one list can be printed");
    let book = refused(&["stock", "--slip", "-", "--log", "30"], 2);
    has(&book, "name a file after --slip");
    let comma = refused(&["stock", "--decimal", "comma"], 2);
    has(&comma, "--slip FILE");
    // a file for either goes with the other on stdout
    let folder = Folder::new("either");
    let path = folder.path("slip.csv").display().to_string();
    let (_, list, _) = run(&of_few(&["--csv", "--slip", &path]));
    has(&list, "keep,price_EUR");
    let (_, slip, _) = run(&of_few(&["--slip"]));
    assert_eq!(std::fs::read_to_string(&path).expect("written"), slip);
}

#[test]
fn what_is_used_adds_up_in_pieces_and_in_money() {
    let told = json(&of_few(&["--json"]));
    let (mut pieces, mut money) = (0.0, 0.0);
    let list_csv = answer(&of_few(&["--csv"]));
    let (remarks, rows) = csv(&list_csv, b',');
    let mut rows = rows.iter();
    for series in list(&told["series"]) {
        for size in list(&series["sizes"]) {
            let row = rows.next().expect("a row a size");
            let price = figure(row, "price_EUR");
            let used = number(&size["used_per_year"]);
            pieces += used;
            money += used * price;
            let near = |a: f64, b: f64, by: f64| assert!((a - b).abs() <= by, "{a} {b}: {size}");
            near(number(&size["used_per_quarter"]), used / 4.0, 1e-9);
            near(number(&size["used_money_per_year"]), used * price, 1e-4);
            near(
                number(&size["used_money_per_quarter"]),
                used * price / 4.0,
                1e-4,
            );
            near(figure(row, "used_per_quarter"), used.max(0.0) / 4.0, 0.0051);
            near(
                figure(row, "used_money_per_year_EUR"),
                used.max(0.0) * price,
                0.0051,
            );
            let quarter = figure(row, "used_money_per_quarter_EUR");
            near(quarter, used.max(0.0) * price / 4.0, 0.0051);
        }
    }
    assert!(rows.next().is_none() && pieces > 50.0);
    for (part, name) in [(0.25, "per_quarter"), (1.0, "per_year")] {
        for (all, key) in [(pieces, "pieces"), (money, "money")] {
            let total = &told["used"][name][key];
            let value = number(&total["value"]);
            assert!(
                (value - part * all).abs() < 1e-6 * all,
                "{name} {key}: {value}"
            );
            assert!(number(&total["low"]) < value && value < number(&total["high"]));
        }
    }
    let line = format!(
        "# used a quarter: {:.1} shims, {:.2} EUR; a year: {pieces:.1} shims, {money:.2} EUR",
        pieces / 4.0,
        money / 4.0
    );
    assert!(remarks.contains(&line), "{line}: {remarks:?}");
    let text = answer(&of_few(&[]));
    let table = text.split("Shims used, ").nth(1).expect("the table");
    let total = table.lines().find(|line| line.contains("all of it"));
    let total = total.expect("the last row");
    has(total, &format!("{:.1} ±", pieces / 4.0));
    has(total, &format!("{pieces:.0} ±"));
    has(total, &format!("{money:.0} ±"));
}

/// A part of an entry: what was done, and for each size how many and what is left of it.
fn part(text: &str) -> (&str, Vec<(&str, i64, i64)>) {
    let starts = text.find(|c: char| c.is_ascii_digit()).expect("a size");
    let (done, counts) = text.split_at(starts);
    let counts = counts.split(", ").map(|one| {
        let (shims, left) = one.split_once(" (").expect("what is left");
        let left = left.trim_end_matches(')').parse().expect("a count");
        match shims.split_once(" × ") {
            Some((n, size)) => (size, n.parse().expect("a count"), left),
            None => (shims, 1, left),
        }
    });
    (done.trim(), counts.collect())
}

/// Whoever follows the entries from the levels on has what each of them says is left.
#[test]
fn the_day_book_adds_up() {
    let levels = sizes(&json(&of_few(&["--json"])));
    let text = answer(&of_few(&["--log", "120"]));
    let book = text
        .split("Day book of 120 days")
        .nth(1)
        .expect("a day book");
    let mut now: BTreeMap<(String, String), i64> = BTreeMap::new();
    for (series, size, keep) in &levels {
        let printed = if series.ends_with("in") {
            format!("{size:.3}")
        } else {
            format!("{size:.2}")
        };
        now.insert((series.clone(), printed), i64::from(*keep));
    }
    let (mut day, mut event, mut seen) = (0, String::new(), BTreeMap::new());
    for line in book
        .lines()
        .skip(1)
        .take_while(|line| line.starts_with("  "))
    {
        let cells = line
            .split("  ")
            .map(str::trim)
            .filter(|cell| !cell.is_empty());
        let mut cells: Vec<&str> = cells.collect();
        if line.starts_with("  day 0 is the start") {
            break;
        }
        if let Some(number) = cells[0].strip_prefix("day ") {
            let next: u32 = number.parse().expect("a whole day");
            assert!(next >= day && next <= 120, "{line}");
            day = next;
            event = cells[1].to_owned();
            cells.drain(..2);
        }
        let [series, what] = cells[..] else {
            panic!("{line}");
        };
        // every fourteenth day is one to order on, and what is ordered comes four days later
        match event.as_str() {
            "ordered" => assert_eq!(day % 14, 0, "{line}"),
            "delivered" => assert_eq!(day % 14, 4, "{line}"),
            job => has(job, "job "),
        }
        for text in what.split("; ") {
            if text == "nothing taken" || text.ends_with(" scrapped") || text.starts_with("MISSING")
            {
                continue;
            }
            let (done, counts) = part(text);
            for (size, count, left) in counts {
                let there = now.get_mut(&(series.to_owned(), size.to_owned()));
                let there = there.unwrap_or_else(|| panic!("{series} {size}: {line}"));
                *there += match (event.as_str(), done) {
                    ("ordered", "") => 0,
                    ("delivered", "") | (_, "put back") => count,
                    (_, "took") => -count,
                    _ => panic!("{line}"),
                };
                assert_eq!(*there, left, "{series} {size}: {line}");
                *seen.entry(format!("{event:.3}{done}")).or_insert(0) += 1;
            }
        }
    }
    let seen: Vec<&String> = seen.keys().collect();
    assert_eq!(seen, ["del", "jobput back", "jobtook", "ord"]);
}
