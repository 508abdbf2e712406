//! Every room in a real browser without script: what is read is there at once, and forms are written.

use std::fs;

use super::Desk;
use super::driven::{Browser, LAPTOP, Look};
use crate::given::text_of;

const PLAIN: Look = Look {
    script: false,
    ..LAPTOP
};

#[test]
fn without_script_everything_is_there_at_once() {
    let test = "desk-plain";
    let Some(browser) = Browser::open(test, PLAIN) else {
        return;
    };
    let desk = Desk::with_starters(test);
    browser.enter(&desk, "/quote");
    assert!(
        browser.text("#live").contains("flat hours"),
        "{}",
        browser.text("body")
    );
    browser.fill("#f-risk", "5");
    browser.click("form[data-live] button.quiet");
    browser.until("location.search.includes('risk=5')", "the form");
    assert!(
        browser.text("#live").contains("5 % are allowed"),
        "{}",
        browser.text("#live")
    );
    browser.back();
    browser.until("!location.search", "the page before");
    assert!(browser.text("#live").contains("20 % are allowed"));
}

/// Waits until a field of the page stands at this.
fn stands(browser: &Browser, field: &str, at: &str) {
    let now = format!("document.querySelector({field:?})?.defaultValue === {at:?}");
    browser.until(&now, field);
}

#[test]
fn without_script_a_job_gets_an_entry_and_its_advice() {
    let test = "desk-plain-bench";
    let Some(browser) = Browser::open(test, PLAIN) else {
        return;
    };
    let desk = Desk::with_starters(test);
    browser.enter(&desk, "/bench");
    browser.click("a[href*='rowan-bench']");
    browser.until("document.querySelector('.advice')", "the job");
    let before = browser.text(".advice");
    assert!(!before.is_empty());
    browser.fill("#f-assemblies-1-backlash", "0.31 0.32 0.33 0.31");
    browser.click("#do-save");
    stands(&browser, "#f-assemblies-1-backlash", "0.31 0.32 0.33 0.31");
    let after = browser.text(".advice");
    assert!(!after.is_empty() && after != before, "{after}");
    let job = fs::read_to_string(desk.path("rowan-bench.job.toml")).expect("the job");
    assert!(job.contains("0.31, 0.32, 0.33, 0.31"), "{job}");
}

#[test]
fn without_script_a_change_is_tried_and_kept() {
    let test = "desk-plain-what-if";
    let Some(browser) = Browser::open(test, PLAIN) else {
        return;
    };
    let desk = Desk::with_starters(test);
    browser.enter(&desk, "/what-if");
    let before = browser.text("#live");
    assert!(before.contains("Right when handed over"), "{before}");
    browser.eval("document.querySelectorAll('details').forEach(one => one.open = true)");
    browser.eval("document.getElementById('f-to-bench-pinion-start').value = 'gauge'");
    browser.click("form[data-live] button.quiet");
    let tried = "document.querySelector('button[name=keep][value=\"bench.pinion_start\"]')";
    browser.until(tried, "what it does");
    assert_ne!(browser.text("#live"), before);
    browser.click("button[name=keep][value='bench.pinion_start']");
    browser.until(
        &format!("document.getElementById('live') && !{tried}"),
        "the change kept",
    );
    let shop = fs::read_to_string(desk.path("north-bench.shop.toml")).expect("the shop");
    assert!(shop.contains("pinion_start   = \"gauge\""), "{shop}");
}

#[test]
fn without_script_the_drawer_is_counted_and_its_order_stands_beside() {
    let test = "desk-plain-drawer";
    let Some(browser) = Browser::open(test, PLAIN) else {
        return;
    };
    let desk = Desk::with_starters(test);
    // planned for in little time
    let shop = text_of("north-bench.shop.toml");
    let shop = shop.replace("job_fill         = 0.95", "job_fill         = 0.60");
    fs::write(desk.path("north-bench.shop.toml"), shop).expect("the shop");
    let count = "series,size,count\nP-38,0.25,4\nS-80,1.50,1\n";
    fs::write(desk.path("drawer.csv"), count).expect("a count");
    browser.enter(&desk, "/drawer?shop=north-bench.shop.toml&have=drawer.csv");
    assert!(
        browser.text("#live").contains("What to order"),
        "{}",
        browser.text("#live")
    );
    let field = "input[name='count P-38 0.25']";
    browser.fill(field, "7");
    browser.click("#counts button[value=counted]");
    stands(&browser, field, "7");
    assert!(browser.text("#live").contains("To pay now"));
    let count = fs::read_to_string(desk.path("drawer.csv")).expect("the count");
    assert!(count.contains("P-38,0.25,7"), "{count}");
}

#[test]
fn without_script_a_file_is_changed_by_its_form() {
    let test = "desk-plain-files";
    let Some(browser) = Browser::open(test, PLAIN) else {
        return;
    };
    let desk = Desk::with_starters(test);
    browser.enter(&desk, "/files");
    browser.click("a[href*='home-garage.shop.toml']");
    browser.until("document.getElementById('f-bench-mark-slip')", "the form");
    assert!(!browser.text("#live").is_empty());
    browser.eval("document.querySelectorAll('details').forEach(one => one.open = true)");
    browser.fill("#f-bench-mark-slip", "0.07");
    browser.click("#do-save");
    stands(&browser, "#f-bench-mark-slip", "0.07");
    let shop = fs::read_to_string(desk.path("home-garage.shop.toml")).expect("the shop");
    assert!(shop.contains("= 0.07"), "{shop}");
    browser.click("#do-back");
    stands(&browser, "#f-bench-mark-slip", "0.12");
}

#[test]
fn without_script_why_lessons_and_reports_are_read() {
    let test = "desk-plain-read";
    let Some(browser) = Browser::open(test, PLAIN) else {
        return;
    };
    let desk = Desk::with_starters(test);
    browser.enter(&desk, "/lessons");
    browser.click("a[href*='lesson=2-coupled.md']");
    browser.until("document.querySelector('.reading-text h2')", "the lesson");
    assert!(
        browser.at().contains("lesson=2-coupled.md"),
        "{}",
        browser.at()
    );
    browser.go(&desk.at("/report"));
    browser.click("a[href*='page=sheet']");
    browser.until("document.querySelector('.sheet')", "the sheet");
    // remembered from a visit with script: the answer is there all the same
    browser.go(&desk.at("/why"));
    browser.eval("(document.cookie = 'script=1; SameSite=Strict; Path=/')");
    browser.go(&desk.at("/why?find=first-time"));
    browser.until("document.querySelector('#live table')", "why jobs differ");
    assert_eq!(
        browser.eval("document.querySelector('.working')"),
        serde_json::Value::Null
    );
    assert_eq!(browser.at(), "/why?find=first-time");
    browser.eval("(document.querySelector('select[name=find]').value = 'given-up')");
    browser.click("form[data-live] button.quiet");
    browser.until("location.search.includes('find=given-up')", "another one");
    browser.until("document.querySelector('#live table')", "why jobs differ");
}
