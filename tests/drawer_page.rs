//! The page's chapter on the drawer: it says what `stock` says, its slips add up, and on paper they
//! stay with their heads.

use std::collections::{BTreeMap, HashMap};
use std::path::Path;

use roxmltree::{Document, Node};

use crate::browser::{browser, demo_page, extent, on_paper, on_path, printed, skipped, with};
use crate::demo;
use crate::given::{FEW_SIZES, Folder, PARTS_KEPT, answer, answer_once, has, list, number, run};
use crate::owner::{BOUGHT, csv};
use crate::page::{check, named, parsed, text};

/// The chapter of a page.
pub fn chapter<'a>(tree: &'a Document<'a>) -> Node<'a, 'a> {
    tree.descendants()
        .find(|node| node.attribute("id") == Some("stock"))
        .expect("the chapter")
}

/// Rows of each table of a chapter as shown, by its caption.
fn tables(chapter: Node<'_, '_>) -> BTreeMap<String, Vec<Vec<String>>> {
    let within = |node: Node<'_, '_>, name: &str| {
        let all = node.descendants().filter(|n| n.tag_name().name() == name);
        all.map(|n| n.id()).collect::<Vec<_>>()
    };
    let document = chapter.document();
    let node = |id| document.get_node(id).expect("a node");
    let mut all = BTreeMap::new();
    for table in within(chapter, "table") {
        let caption = text(node(within(node(table), "caption")[0]));
        let body = node(within(node(table), "tbody")[0]);
        let rows = within(body, "tr").into_iter().map(|row| {
            let cells = node(row).children().filter(Node::is_element);
            cells.map(text).collect::<Vec<String>>()
        });
        let before = all.insert(caption, rows.collect());
        assert_eq!(before, None, "a caption twice");
    }
    all
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What is told in both is told alike, row by row.
#[test]
fn the_chapter_says_what_stock_says() {
    let told = answer_once(&["stock", "--all"]);
    let lines: Vec<String> = told.lines().map(one_line).collect();
    let tree = parsed(&demo::page().html);
    let chapter = chapter(&tree);
    let tables = tables(chapter);
    for (caption, rows) in [
        ("Jobs that never wait, by kind of job", 2),
        ("The same number of every size instead", 2),
        ("What it costs a year", 5),
        (
            "Shims used, taken from the drawer less those put back",
            list(&demo::drawer()["order"]).len() + 1,
        ),
    ] {
        assert_eq!(tables[caption].len(), rows, "{caption}");
        for row in &tables[caption] {
            let row = one_line(&row.join(" "));
            assert!(lines.contains(&row), "{caption}: {row}");
        }
    }
    // the sentences under a table as well, each as one of its own
    let said = one_line(&text(chapter));
    let under = told
        .split("  all of it  ")
        .last()
        .expect("what a year costs");
    let (_, under) = under.split_once('\n').expect("more lines");
    let (under, _) = under.split_once("\n\n").expect("the next table");
    let under = one_line(under);
    let (cheapest, surplus) = under.split_once(" 2 pieces of each size").expect("surplus");
    assert!(cheapest.contains("; spares "), "{cheapest}");
    // on a page the key is said in words
    let cheapest =
        cheapest
            .replacen("a job_fill of ", "", 1)
            .replacen(" with", " of jobs never wait with", 1);
    has(&said, &format!("C{}. ", &cheapest[1..]));
    has(&said, &format!(" 2 pieces of each size{surplus}. "));
    let all = lines.iter().find(|line| line.starts_with("all of it 1"));
    let all: Vec<&str> = all.expect("all that is used").split(' ').skip(3).collect();
    let [a, b, c, d] = [0, 2, 4, 6].map(|at| all[at..at + 2].join(" "));
    let used = format!(
        "Used a quarter: {a} shims, {b} EUR; a year: {c} shims, {d} EUR; what comes specially"
    );
    has(&said, &used);
    assert!(!said.contains("shimcast stock"), "{said}");
}

/// The sums of slips as they are shown, by supplier; every row of them adds up.
fn sums(tables: &BTreeMap<String, Vec<Vec<String>>>) -> BTreeMap<String, (usize, f64)> {
    let mut sums = BTreeMap::new();
    for (caption, rows) in tables {
        let Some((from, sum)) = caption.split_once(", to pay ") else {
            continue;
        };
        let mut paid = 0.0;
        let mut pieces_of_all = 0.0;
        for row in rows {
            let figure = |back: usize| -> f64 {
                let cell = &row[row.len() - back];
                cell.parse().unwrap_or_else(|_| panic!("{row:?}"))
            };
            let [packs, pack_of, pieces, price, to_pay] = [5, 4, 3, 2, 1].map(figure);
            assert_eq!(packs * pack_of, pieces, "{row:?}");
            assert!((pieces * price - to_pay).abs() < 0.005, "{row:?}");
            pieces_of_all += pieces;
            paid += to_pay;
        }
        assert_eq!(sum, format!("{paid:.2} EUR"), "{caption}");
        let (from, counts) = from.split_once(": ").expect("what of");
        assert_eq!(
            counts,
            format!("{} sizes, {pieces_of_all} shims", rows.len())
        );
        sums.insert(from.to_owned(), (rows.len(), paid));
    }
    sums
}

#[test]
fn the_chapter_has_the_slip_and_it_adds_up() {
    let tree = parsed(&demo::page().html);
    let chapter = chapter(&tree);
    let sums = sums(&tables(chapter));
    let order = list(&demo::drawer()["order"]);
    let to_pay = number(&demo::drawer()["to_pay"]);
    assert_eq!(sums.keys().collect::<Vec<_>>(), ["The order"]);
    let (rows, paid) = sums["The order"];
    assert_eq!(rows, order.len());
    assert!((paid - to_pay).abs() < 1e-6, "{paid} {to_pay}");
    has(
        &text(chapter),
        &format!("To pay for the order: {to_pay:.2} EUR, in whole packs, for an empty drawer."),
    );
    // the same rows as a table of its own
    let (remarks, rows) = csv(&demo::page().tables["order-slip.csv"], b',');
    assert!(remarks.contains(&format!("# to pay, all of it: {to_pay:.2} EUR")));
    assert_eq!(rows.len(), order.len());
    for (row, order) in rows.iter().zip(order) {
        assert_eq!(row["series"], order["series"], "{row:?}");
        let pieces: f64 = row["pieces"].parse().expect("a number");
        assert_eq!(pieces, number(&order["pieces"]), "{row:?}");
    }
}

/// Each supplier has a slip of its own, and the file is the one that `stock` writes.
#[test]
fn every_supplier_has_a_slip() {
    let folder = Folder::new("slips");
    let dir = folder.path("tables").display().to_string();
    let few = [
        &FEW_SIZES[..],
        &PARTS_KEPT,
        &BOUGHT,
        &["--decimal", "comma"],
    ]
    .concat();
    let page = [
        &["report", "-o", "-", "--rebuilds", "4096", "--csv", &dir],
        &few[..],
    ]
    .concat();
    let html = answer(&page);
    check(&html);
    let tree = parsed(&html);
    let chapter = chapter(&tree);
    let shown = sums(&tables(chapter));
    let written = std::fs::read_to_string(folder.path("tables").join("order-slip.csv"));
    let (remarks, rows) = csv(&written.expect("written"), b';');
    let slip = answer(&[&["stock", "--slip", "-"], &few[..]].concat());
    let (_, of_stock) = csv(&slip, b';');
    assert_eq!(rows, of_stock);
    let mut sums: HashMap<&str, (usize, f64)> = HashMap::new();
    for row in &rows {
        let paid: f64 = row["to_pay_EUR"].replace(',', ".").parse().expect("money");
        let sum = sums.entry(&row["supplier"]).or_default();
        *sum = (sum.0 + 1, sum.1 + paid);
    }
    assert_eq!(shown.len(), 3);
    for (from, supplier) in [
        ("From Alder Tools", "Alder Tools"),
        ("From Ridgeway Supplies", "Ridgeway Supplies"),
        ("No supplier stated", ""),
    ] {
        let ((rows, paid), (own, sum)) = (shown[from], sums[supplier]);
        assert_eq!(rows, own, "{from}");
        assert!((paid - sum).abs() < 0.005, "{from}: {paid} {sum}");
    }
    let all: f64 = shown.values().map(|(_, paid)| paid).sum();
    let line = format!("# to pay, all of it: {all:.2} EUR").replace('.', ",");
    assert!(remarks.contains(&line), "{line}: {remarks:?}");
    has(
        &text(chapter),
        &format!("To pay for the order: {all:.2} EUR"),
    );
    has(&html, ">part number<");
    has(&html, "S, 150");
}

/// Jobs that a plan gives up are the first word of the chapter, and are named in the answer.
#[test]
fn who_is_given_up_is_told_first() {
    let given_up = [
        "--set",
        "jobs.2.per_month=0.2",
        "--set",
        "drawer.job_fill=0.9",
        "--set",
        "shims.P-38.sizes=[0.3, 0.6, 0.9]",
    ];
    let asked = [&FEW_SIZES[..], &PARTS_KEPT, &given_up].concat();
    let (code, html, _) = run(&[&["report", "-o", "-", "--rebuilds", "4096"], &asked[..]].concat());
    assert_eq!(code, 0);
    check(&html);
    let tree = parsed(&html);
    let said: Vec<String> = chapter(&tree)
        .children()
        .filter(|node| node.tag_name().name() == "p")
        .map(|node| text(node).trim().to_owned())
        .collect();
    has(&said[0], "Sorrel 7.1 is given up by this plan");
    has(
        &said[1],
        "these miss by more than what passes for right (near_enough): P-38 ",
    );
    has(&said[2], "The drawer is planned for all jobs");
    let answer = named(&tree, &["section"])
        .into_iter()
        .find(|node| node.attribute("id") == Some("answer"));
    has(&text(answer.expect("the answer")), &said[0]);
    // nobody is given up by the built-in shop
    assert!(!demo::page().html.contains("given up by this plan"));
}

/// A drawer that serves enough with nothing in it is no order, and no figure is divided by nothing.
#[test]
fn an_empty_drawer_is_told_as_well() {
    let asked = [&["--set", "drawer.job_fill=0.0001"], &FEW_SIZES[..]].concat();
    let html = answer(&[&["report", "-o", "-", "--rebuilds", "500"], &asked[..]].concat());
    check(&html);
    let tree = parsed(&html);
    let said = text(chapter(&tree));
    has(&said, "0 EUR at the till (0 shims)");
    assert!(!said.contains("What to order?") && !said.contains("NaN"));
    let told = answer(&[&["stock"], &asked[..]].concat());
    has(&told, "For that service");
    assert!(!told.contains("NaN"), "{told}");
}

/// Sheets of the demo's page on which the order stands, with this style; each as text.
fn sheets_of_the_order(program: &Path, folder: &Folder, style: &str) -> Vec<String> {
    // sizes in inches stand nowhere else in sight on the page of an axle in mm
    const SIZES: [&str; 5] = ["0.004in", "0.020in", "0.060in", "0.0015in", "0.025in"];
    let page = with(
        folder,
        &demo_page(folder),
        &format!("<style>{style}</style>"),
    );
    // the other page is written over
    let own = folder.path("order.html");
    std::fs::rename(page, &own).expect("it is moved");
    let pdf = on_paper(program, folder, &own, "A4");
    let sheets = (1..=extent(&pdf).0).map(|number| printed(&pdf, number));
    let all: Vec<String> = sheets.collect();
    for size in SIZES {
        assert!(all.iter().any(|sheet| sheet.contains(size)), "{size}");
    }
    let of_order = |sheet: &String| {
        sheet.contains("Whattoorder?") || SIZES.iter().any(|size| sheet.contains(size))
    };
    all.into_iter().filter(of_order).collect()
}

/// Wherever on a sheet it begins, the order has its head on each sheet that it stands on, and its
/// first rows are on that of its heading.
#[test]
fn on_paper_the_order_is_not_torn_from_its_head() {
    let name = "the order on paper";
    let Some(program) = browser(name) else {
        return;
    };
    if on_path("pdftotext").is_none() || on_path("pdfinfo").is_none() {
        skipped(name, "no pdftotext and pdfinfo on the path");
        return;
    }
    let folder = Folder::new("order");
    let torn = |style: &str| {
        let sheets = sheets_of_the_order(&program, &folder, style);
        let first = &sheets[0];
        let begins = ["Whattoorder?", "Theorder:", "0.08mm", "0.12mm"];
        let whole = begins.iter().all(|part| first.contains(part))
            && sheets.iter().all(|sheet| sheet.contains("topay,"));
        (sheets.len(), !whole)
    };
    let mut most = 0;
    for down in [0, 100, 130, 150, 165] {
        let style = format!("#stock > h3 {{ margin-top: {down}mm; }}");
        let (sheets, torn) = torn(&style);
        assert!(!torn, "{down} mm down, on {sheets} sheets");
        most = most.max(sheets);
    }
    assert!(most > 1, "it is never cut");
    // what this test is to find is found
    let headless = "#stock > h3 { margin-top: 130mm; } thead { display: table-row-group; }";
    assert_eq!(torn(headless), (2, true));
}
