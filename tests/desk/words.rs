//! What the rooms say: nothing that makes sense at a terminal alone.

use std::fs;

use super::Desk;
use crate::given::has;

/// The words of a page, without its markup.
fn words(html: &str) -> String {
    let mut said = String::new();
    for piece in html.split('<').skip(1) {
        let (tag, text) = piece.split_once('>').unwrap_or(("", piece));
        // names of files and what is sent are no words
        if !tag.starts_with("option") && !tag.starts_with("script") {
            said.push_str(text);
            said.push(' ');
        }
    }
    said
}

fn says_nothing_of_commands(desk: &Desk, room: &str) -> String {
    let page = desk.get(room);
    assert_eq!(page.status, 200, "{room}: {}", page.body);
    let said = words(&page.body);
    for word in [" --", "[[", "shimcast ", "\u{e000}", "\u{e003}"] {
        if let Some(at) = said.find(word) {
            let from = said[..at]
                .char_indices()
                .rev()
                .nth(60)
                .map_or(0, |(at, _)| at);
            let behind: String = said[at..].chars().take(60).collect();
            panic!("{room}: {word:?} in {}{behind}", &said[from..at]);
        }
    }
    said
}

#[test]
fn no_room_speaks_of_what_is_typed_at_a_terminal() {
    let desk = Desk::with_starters("desk-words");
    let said = says_nothing_of_commands(&desk, "/quote");
    has(
        &said,
        "\u{201c}Margin\u{201d}, \u{201c}Tax\u{201d} and \u{201c}New gear set costs the shop\u{201d} put these in",
    );
    has(
        &said,
        "what an hour costs the shop (prices.hour_cost) is not given",
    );
    has(&said, "the room Drawer tells");
    let said = says_nothing_of_commands(&desk, "/quote?gears=kept&bearings=kept");
    has(&said, "It is without margin, tax or new parts. ");
    has(
        &said,
        "not known: it is not among the jobs that the shop file expects in a month; \
         \u{201c}Such jobs in a year\u{201d} says how many",
    );
    for room in [
        "/quote?axle=sorrel-71.axle.toml&shop=home-garage.shop.toml",
        "/what-if?to.bench.pinion_start=gauge",
        "/what-if?to.bench.guard=7",
        "/drawer",
        "/why",
        "/bench?file=rowan-bench.job.toml",
    ] {
        says_nothing_of_commands(&desk, room);
    }
}

#[test]
fn a_shop_without_prices_and_jobs_is_told_in_words() {
    let desk = Desk::with_starters("desk-without");
    let path = desk.path("north-bench.shop.toml");
    let text = fs::read_to_string(&path).expect("a shop");
    let (text, _) = text.split_once("[[jobs]]").expect("jobs");
    let (before, prices) = text.split_once("[prices]").expect("prices");
    let behind = prices.find("\n[").map_or("", |at| &prices[at..]);
    fs::write(&path, format!("{before}{behind}")).expect("written");
    let said = says_nothing_of_commands(&desk, "/quote?shop=north-bench.shop.toml");
    has(&said, "no kinds of job are stated to keep a drawer for");
    has(&said, "No kind of job that the shop expects names this job");
}

#[test]
fn a_drawer_says_of_which_drawer_it_speaks() {
    let desk = Desk::with_starters("desk-of-which");
    let said = words(&desk.get("/drawer").body);
    has(&said, "In the drawer now");
    has(&said, "Jobs that never wait, once it is filled to plan");
}

/// Every price that goes into a quote has a rail as risk, margin and tax have, and takes what lies beyond it.
#[test]
fn parts_are_on_rails_as_the_other_terms_are() {
    let desk = Desk::with_starters("desk-rails");
    let page = desk.get("/quote?gear-price=4000").body;
    for name in [
        "risk",
        "margin",
        "tax",
        "gear-price",
        "bearing-price",
        "parts-margin",
    ] {
        let (_, field) = page.split_once(&format!("name=\"{name}\"")).expect(name);
        let (field, _) = field.split_once('>').expect("an end");
        let (_, rail) = field.split_once("data-rail=\"").expect(name);
        let (rail, _) = rail.split_once('"').expect("an end");
        let ends: Vec<f64> = rail
            .split(' ')
            .map(|end| end.parse().expect("a figure"))
            .collect();
        let [low, high, step] = ends[..] else {
            panic!("{name}: {rail}")
        };
        let steps = (high - low) / step;
        assert!((10.0..=1000.0).contains(&steps), "{name}: {rail}");
        let most = if name == "gear-price" { 4000.0 } else { 0.0 };
        assert!(high >= most, "{name}: {rail}");
    }
}
