//! The customer's page: hours and price as `quote` has them, and nothing of the shop's own affairs.

use crate::given::{answer, json, number, refused};
use crate::page::{check, named, parsed, text};

const TERMS: [&str; 10] = [
    "--rebuilds",
    "4000",
    "--margin",
    "10",
    "--tax",
    "20",
    "--gear-price",
    "480",
    "--risk",
    "15",
];

fn page(arguments: &[&str]) -> String {
    answer(&[&["report", "--for", "customer", "-o", "-"], arguments].concat())
}

#[test]
fn hours_and_price_are_those_of_the_quote() {
    let html = page(&[&TERMS[..], &["--date", "2031-04-09"]].concat());
    check(&html);
    let quote = json(&[&["quote", "--json"], &TERMS[..]].concat());
    let figure = |key: &str| number(&quote["recommend"][key]);
    let tree = parsed(&html);
    let rows: Vec<Vec<String>> = named(&tree, &["tr"])
        .into_iter()
        .skip(1)
        .map(|row| {
            row.children()
                .filter(|n| n.is_element())
                .map(text)
                .collect()
        })
        .collect();
    let money = |amount: f64| format!("{amount:.0} EUR");
    let (price, with_tax) = (figure("price"), figure("price_with_tax"));
    assert_eq!(
        rows,
        [
            ["Working hours".to_owned(), figure("hours").to_string()],
            [
                "Work, with shims and small parts".into(),
                money(price - 480.0)
            ],
            ["Gear set, new".into(), money(480.0)],
            ["Bearings, new".into(), "not in this price".into()],
            ["Price before tax".into(), money(price)],
            ["Tax, 20 %".into(), money(with_tax - price)],
            ["To pay".into(), money(with_tax)],
        ]
    );
    let said = text(named(&tree, &["body"])[0]);
    let hours = said.split(" working hours").next().unwrap_or_default();
    let half = hours.rsplit(' ').next().unwrap_or_default();
    let half: f64 = half.parse().expect("hours");
    let exact = number(&quote["hours"]["p50"]["value"]);
    assert_eq!(half, (exact * 4.0).ceil() / 4.0, "{exact}");
    assert!(html.contains("seed 1, 2031-04-09."));
    for caution in [
        "service manual rules over any figure",
        "broken in before it is loaded",
    ] {
        assert!(html.contains(caution), "{caution}");
    }
}

#[test]
fn nothing_of_the_shops_own_affairs_is_on_it() {
    let set = "prices.hour_cost=61.5";
    for more in [[].as_slice(), &["--gears", "kept", "--bearings", "kept"]] {
        let html = page(&[&["--rebuilds", "2000", "--set", set], more].concat());
        check(&html);
        let tree = parsed(&html);
        let said = text(named(&tree, &["body"])[0]).to_lowercase();
        for word in [
            "margin",
            " gain",
            "cost",
            "clearly out",
            "outside",
            "overrun",
            "given up",
            "%",
            "61.5",
            "hour_cost",
            "--set",
            "toml",
            "looks wrong",
        ] {
            assert!(!said.contains(word), "{word}: {said}");
        }
        assert!(named(&tree, &["svg", "pre", "details"]).is_empty());
    }
}

#[test]
fn what_it_has_no_room_for_is_refused() {
    for more in [
        ["--csv", "x"].as_slice(),
        &["--charts", "x"],
        &["--find", "first-time"],
        &["--rebuild", "3"],
        &["--sweep", "bench.guard=0..0.2"],
    ] {
        let told = refused(&[&["report", "--for", "customer"], more].concat(), 2);
        assert!(told.contains("--for customer"), "{told}");
    }
}

/// A shop's page takes the terms of a quote as well.
#[test]
fn a_shops_page_has_the_price_of_the_quote() {
    let quote = json(&[&["quote", "--no-stock", "--json"], &TERMS[..]].concat());
    let html = answer(&[&["report", "--no-stock", "-o", "-"], &TERMS[..]].concat());
    let price = number(&quote["recommend"]["price"]);
    assert!(html.contains(&format!("{price:.0} EUR before tax")));
    assert!(html.contains("It has 10 % margin and 480 EUR of parts in it, and no tax."));
}
