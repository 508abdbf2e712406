//! Sums that are printed are the sums of what is printed above them.

use roxmltree::Node;

use crate::given::answer;
use crate::page::{named, parsed, text};

/// Figures to the last decimal that any of them has, as whole numbers.
fn steps(figure: &str) -> Option<i64> {
    let figure = figure.trim().trim_end_matches(" EUR");
    let tenths: f64 = figure.parse().ok()?;
    Some((100.0 * tenths).round() as i64)
}

/// The rows of a table by its caption: name, and the first figure after it.
fn rows(text: &str, caption: &str, until: &str) -> Vec<(String, i64)> {
    let lines = text.lines().skip_while(|line| !line.starts_with(caption));
    let mut rows = Vec::new();
    for line in lines.skip(1) {
        let mut cells = line.trim().split("  ").filter(|cell| !cell.is_empty());
        let (Some(name), Some(figure)) = (cells.next(), cells.next()) else {
            continue;
        };
        if let Some(figure) = steps(figure) {
            rows.push((name.to_owned(), figure));
        }
        if name == until {
            return rows;
        }
    }
    panic!("no {until} under {caption}");
}

fn adds_up(rows: &[(String, i64)], to: &str) -> i64 {
    let at = rows.iter().position(|(name, _)| name == to).expect(to);
    let sum: i64 = rows[..at].iter().map(|(_, figure)| figure).sum();
    assert_eq!(sum, rows[at].1, "{to}: {rows:?}");
    sum
}

/// Terms with odd amounts, so that rounding shows.
const TERMS: [&str; 12] = [
    "--margin",
    "13",
    "--tax",
    "19",
    "--gear-price",
    "481.37",
    "--bearing-price",
    "263.46",
    "--parts-margin",
    "12.5",
    "--rebuilds",
    "3000",
];

const KINDS: [&[&str]; 5] = [
    &[],
    &["--gears", "kept"],
    &["--bearings", "kept", "--risk", "10"],
    &["examples/sorrel-71.axle.toml"],
    &["--set", "bench.most_assemblies=3", "--seed", "4"],
];

#[test]
fn the_price_is_the_sum_of_its_rows() {
    for kind in KINDS {
        let text = answer(&[&["quote"], &TERMS[..], kind].concat());
        let price = rows(&text, "What the price is made of", "price with tax");
        let sum = adds_up(&price, "price before tax");
        let [.., (_, tax), (name, with_tax)] = price.as_slice() else {
            panic!("{price:?}");
        };
        assert_eq!(name, "price with tax");
        assert_eq!(sum + tax, *with_tax);
        // the headline says the same
        let euros = |steps: i64| format!("{} EUR", steps / 100);
        let headline = text.lines().find(|line| line.starts_with("  Quote "));
        let headline = headline.expect("a headline");
        assert!(
            headline.contains(&format!("{} before tax", euros(sum))),
            "{headline}"
        );
        assert!(headline.contains(&format!(", {} with 19 % tax", euros(*with_tax))));
    }
}

#[test]
fn costs_and_minutes_add_up_in_every_column() {
    for kind in KINDS {
        let text = answer(&[&["quote", "--rebuilds", "3000"], kind].concat());
        adds_up(
            &rows(&text, "What a job costs the shop", "together"),
            "together",
        );
        let lines = text
            .lines()
            .skip_while(|line| !line.starts_with("Where the minutes go"));
        let mut sums = [0_i64; 3];
        let mut ended = false;
        for line in lines.skip(2) {
            // what begins with a figure or a dash, without intervals
            let cells: Vec<&str> = line
                .split("  ")
                .map(str::trim)
                .filter(|cell| !cell.is_empty() && !cell.contains(" to "))
                .collect();
            let [_, first, repeats, together, share] = cells.as_slice() else {
                panic!("{line}");
            };
            let share = share.trim_end_matches(" %");
            let own = [first, repeats, together].map(|cell| steps(cell).unwrap_or(0));
            assert_eq!(own[0] + own[1], own[2], "{line}");
            if line.trim_start().starts_with("the whole job") {
                assert_eq!([sums[0], sums[1]], [own[0], own[1]], "{text}");
                assert_eq!((sums[2], share), (10_000, "100"), "{text}");
                ended = true;
                break;
            }
            sums[0] += own[0];
            sums[1] += own[1];
            sums[2] += steps(share).expect("a share");
        }
        assert!(ended);
    }
}

/// Rows of the table with this caption: name and figure.
fn of_page(html: &str, caption: &str) -> Vec<(String, i64)> {
    let tree = parsed(html);
    let tables = named(&tree, &["table"]);
    let caption_of = |table: &Node<'_, '_>| -> String {
        let own = table.children().find(|n| n.tag_name().name() == "caption");
        let outer = table.ancestors().find(|n| n.tag_name().name() == "details");
        let summary = outer.and_then(|n| n.children().find(|n| n.tag_name().name() == "summary"));
        own.or(summary).map(text).unwrap_or_default()
    };
    let table = tables
        .into_iter()
        .find(|table| caption_of(table).contains(caption))
        .unwrap_or_else(|| panic!("no {caption}"));
    let rows = table.descendants().filter(|n| n.tag_name().name() == "tr");
    rows.filter_map(|row| {
        let cells: Vec<String> = row.children().filter(Node::is_element).map(text).collect();
        Some((cells.first()?.clone(), steps(cells.get(1)?)?))
    })
    .collect()
}

#[test]
fn the_page_and_the_customers_page_add_up() {
    for kind in KINDS {
        let page = ["report", "-o", "-"];
        let html = answer(&[&page[..], &TERMS, kind].concat());
        adds_up(&of_page(&html, "What a job costs the shop"), "together");
        let price = of_page(&html, "What the price is made of");
        let before = adds_up(&price, "price before tax");
        assert_eq!(before + price[price.len() - 2].1, price[price.len() - 1].1);
        let offer = ["report", "--for", "customer", "-o", "-"];
        let html = answer(&[&offer[..], &TERMS, kind].concat());
        let agreed = of_page(&html, "What is agreed");
        let [(hours, _), rows @ ..] = agreed.as_slice() else {
            panic!("{agreed:?}");
        };
        assert_eq!(hours, "Working hours");
        assert_eq!(adds_up(rows, "Price before tax"), before, "the same price");
        let [.., (_, tax), (name, pay)] = rows else {
            panic!("{rows:?}");
        };
        assert_eq!((name.as_str(), before + tax), ("To pay", *pay));
        // 19 % of the price as it is printed, to half a unit
        assert!(
            (*tax as f64 - 0.19 * before as f64).abs() <= 50.0,
            "{tax} {before}"
        );
    }
}
