//! Whole visits in a real browser: a newcomer from an empty folder to a printed sheet, two tabs, an editor
//! beside the desk, a keyboard alone.

use std::fs;

use super::driven::{Browser, LAPTOP, PHONE};
use super::{Desk, hidden};
use crate::given::Folder;

const ANSWERED: &str =
    "document.readyState === 'complete' && !document.querySelector('.working, [aria-busy=true]')";
const JOB: &str = "/bench?file=rowan-bench.job.toml";

/// Fills a field in as somebody does who goes on to the next one, and waits until it is written down.
fn enter(browser: &Browser, id: &str, text: &str) {
    browser.fill(&format!("#{id}"), text);
    browser.keys("\u{e004}");
    let stands = format!("document.getElementById('{id}').defaultValue === '{text}'");
    browser.until(&stands, id);
    browser.until(ANSWERED, "an answer");
}

#[test]
fn a_newcomer_gets_from_an_empty_folder_to_a_printed_sheet() {
    let test = "desk-newcomer";
    let Some(browser) = Browser::open(test, LAPTOP) else {
        return;
    };
    let desk = Desk::on(Folder::new(test));
    browser.enter(&desk, "/");
    assert_eq!(browser.at(), "/bench");
    browser.click("a[href='/files']");
    browser.until(
        "document.querySelector('button[value=mm]')",
        "the offer of starters",
    );
    browser.click("button[value=mm]");
    browser.until(
        "document.body.innerText.includes('short.axle.toml')",
        "the starters",
    );
    // an axle by form
    browser.fill("input[name=name]", "Front axle");
    browser.click("form.choose button");
    browser.until(
        "location.search.includes('front-axle.axle.toml')",
        "the new file",
    );
    browser.fill("#f-name", "Front");
    browser.fill("#f-gears-ring-teeth", "43");
    // whoever leaves without saving is asked first
    let asked = "(() => { const leaving = new Event('beforeunload', { cancelable: true }); \
                 window.dispatchEvent(leaving); return leaving.defaultPrevented; })()";
    assert_eq!(browser.eval(asked), true);
    browser.fill("#f-windows-backlash", "6 9 thou");
    browser.click("button[value=save]");
    browser.until(
        "document.getElementById('f-name').defaultValue === 'Front'",
        "the form saved",
    );
    assert_eq!(browser.eval(asked), false);
    let text = fs::read_to_string(desk.path("front-axle.axle.toml")).expect("the file");
    assert!(text.contains("\"Front\"") && text.contains("43"), "{text}");
    assert!(text.contains("0.1524") && text.contains("0.2286"), "{text}");
    // its odds
    browser.go(&desk.at("/what-if?axle=front-axle.axle.toml"));
    browser.until(ANSWERED, "the odds");
    assert!(browser.text("#live").contains("Right when handed over"));
    // a job on the bench
    browser.go(&desk.at("/bench"));
    browser.fill("#f-name", "Red pickup, front");
    browser.eval("document.getElementById('f-axle').value = 'front-axle.axle.toml'");
    browser.click("button.first");
    browser.until(
        "location.search.includes('red-pickup-front.job.toml')",
        "the job",
    );
    browser.until(ANSWERED, "advice");
    assert!(
        browser.text(".advice").contains("Start with"),
        "{}",
        browser.text("#live")
    );
    browser.click("button[value=next]");
    browser.until(
        "document.getElementById('f-assemblies-0-backlash')",
        "an assembly",
    );
    enter(&browser, "f-assemblies-0-backlash", "0.22 0.24 0.25 0.23");
    // the pattern by touching the tooth above its middle
    browser.eval(
        "(() => { const tooth = document.querySelector('.control.tooth svg'); const box = \
         tooth.getBoundingClientRect(); tooth.dispatchEvent(new PointerEvent('pointerdown', { bubbles: \
         true, clientX: box.left + box.width / 2, clientY: box.top + box.height * 0.3 })); })()",
    );
    browser.until(
        "Number(document.getElementById('f-assemblies-0-drive').defaultValue) > 0",
        "the pattern",
    );
    browser.until(ANSWERED, "advice");
    // what to do is said to those who hear the page
    browser.until(
        "document.querySelector('[aria-live=polite]').textContent === \
         document.querySelector('.advice p').textContent",
        "the advice, said",
    );
    assert!(
        browser.text(".advice").contains("that the job ends right"),
        "{}",
        browser.text("#live")
    );
    let job = fs::read_to_string(desk.path("red-pickup-front.job.toml")).expect("the job");
    assert!(job.contains("backlash = [0.22, 0.24, 0.25, 0.23]"), "{job}");
    // the sheet, filled in
    browser.click("a[href*='page=sheet']");
    browser.until("document.querySelector('.sheet')", "the sheet");
    assert!(
        browser.text("body").contains("Red pickup, front"),
        "{}",
        browser.text("body")
    );
    // back, and the place is kept
    browser.back();
    browser.until(
        "document.getElementById('f-assemblies-0-backlash')",
        "the job again",
    );
    assert!(browser.at().contains("red-pickup-front"));
}

#[test]
fn two_tabs_of_one_file_are_told_and_lose_nothing() {
    let test = "desk-two-tabs";
    let Some(browser) = Browser::open(test, PHONE) else {
        return;
    };
    let desk = Desk::with_starters(test);
    browser.enter(&desk, JOB);
    browser.until(ANSWERED, "advice");
    // another tab writes first
    let page = desk.get(JOB);
    let seen = hidden(&page.body, "seen").expect("a fingerprint");
    let other = format!(
        "file=rowan-bench.job.toml&seen={seen}&was=known.mark_new%3D0.050&known.mark_new=0.02"
    );
    assert_eq!(desk.post("/bench", &other).status, 303);
    // and this one before it hears of that
    browser.eval("(document.querySelector('form[data-change] [name=seen]').value = 'of old')");
    browser.eval("(document.querySelectorAll('details').forEach(one => one.open = true))");
    browser.fill("#f-known-mark-new", "0.03");
    browser.keys("\u{e004}");
    browser.until("document.querySelector('[role=alert]')", "a word on it");
    assert!(
        browser
            .text("[role=alert]")
            .contains("changed by something else")
    );
    assert_eq!(
        browser.eval("document.getElementById('f-known-mark-new').value"),
        "0.03"
    );
    let job = || fs::read_to_string(desk.path("rowan-bench.job.toml")).expect("the job");
    assert!(job().contains("0.02 "), "{}", job());
    browser.click("button[value=save]");
    browser.until("!document.querySelector('[role=alert]')", "what was saved");
    assert!(
        job().contains("0.03 ") && job().contains("# as etched"),
        "{}",
        job()
    );
}

#[test]
fn what_an_editor_changes_shows() {
    let test = "desk-outside";
    let Some(browser) = Browser::open(test, LAPTOP) else {
        return;
    };
    let desk = Desk::with_starters(test);
    browser.enter(&desk, JOB);
    browser.until(ANSWERED, "advice");
    let path = desk.path("rowan-bench.job.toml");
    let text = fs::read_to_string(&path).expect("the job");
    // the page has seen the folder once before it changes
    std::thread::sleep(std::time::Duration::from_secs(2));
    fs::write(&path, text.replace("Blue van, rear", "Green van, rear")).expect("a change");
    browser.until(
        "document.querySelector('h1').innerText === 'Green van, rear'",
        "the change",
    );
    // what was begun here and not sent yet stays, and the change is said
    browser.eval(
        "(field => { field.value = '0.0'; field.dispatchEvent(new Event('input', { bubbles: true })); \
         })(document.getElementById('f-known-mark-old'))",
    );
    fs::write(&path, text.replace("Blue van, rear", "White van, rear")).expect("a change");
    browser.until("!document.getElementById('news').hidden", "news");
    assert!(
        browser.text("#news").contains("rowan-bench.job.toml"),
        "{}",
        browser.text("#news")
    );
    assert_eq!(
        browser.eval("document.getElementById('f-known-mark-old').value"),
        "0.0"
    );
}

#[test]
fn a_keyboard_alone_gets_through_a_job() {
    let test = "desk-keyboard";
    let Some(browser) = Browser::open(test, LAPTOP) else {
        return;
    };
    let desk = Desk::with_starters(test);
    browser.enter(&desk, "/bench");
    let focus = |wanted: &str| {
        for _ in 0..80 {
            if browser.eval(&format!("document.activeElement.matches({wanted:?})")) == true {
                return;
            }
            browser.keys("\u{e004}");
        }
        panic!("{wanted}: no way there by Tab");
    };
    browser.until(ANSWERED, "the page");
    browser.keys("\u{e004}");
    assert_eq!(browser.eval("document.activeElement.className"), "skip");
    focus("a[href*='rowan-bench']");
    browser.keys("\u{e007}");
    browser.until(
        "document.getElementById('f-assemblies-1-backlash')",
        "the job",
    );
    browser.until(ANSWERED, "advice");
    let before = browser.text(".advice");
    focus("#f-assemblies-1-backlash");
    browser.eval("document.activeElement.select()");
    browser.keys("0.31 0.32 0.33 0.31\u{e004}");
    browser.until(
        "document.getElementById('f-assemblies-1-backlash').defaultValue.startsWith('0.31')",
        "the readings written down",
    );
    browser.until(ANSWERED, "advice");
    assert_ne!(browser.text(".advice"), before);
    // the focus went on and stays there
    assert_eq!(
        browser.eval("document.activeElement.id.startsWith('f-')"),
        true
    );
    // a pack on its rail, one stop on
    focus("#f-packs-pinion-rail");
    browser.keys("\u{e014}");
    browser.until("location.search.includes('packs.pinion')", "the packs");
    browser.until(
        "document.getElementById('live').innerText.includes('What if I fit these')",
        "what they do",
    );
    assert_eq!(
        browser.eval("document.activeElement.id"),
        "f-packs-pinion-rail"
    );
}
