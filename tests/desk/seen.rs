//! Every room in a real browser: by those who see it, those who don't, by keyboard, without script.

use super::Desk;
use super::driven::{Browser, LAPTOP, Look, PHONE, axe};

/// Every room, by what is asked for.
const ROOMS: [&str; 15] = [
    "/bench",
    "/bench?file=rowan-bench.job.toml",
    "/bench?file=rowan-bench.job.toml&packs.pinion=0.97",
    "/what-if",
    "/what-if?to.bench.pinion_start=gauge",
    "/quote",
    "/drawer",
    "/files",
    "/files?file=rowan-215.axle.toml",
    "/files?file=short.axle.toml&sort=effect",
    "/why",
    "/lessons",
    "/lessons?lesson=2-coupled.md",
    "/lessons?lesson=11-desk.md",
    "/report",
];

/// That an answer stands in the room.
const ANSWERED: &str =
    "document.readyState === 'complete' && !document.querySelector('.working, [aria-busy=true]')";

fn looked_at(test: &str, look: Look) {
    let (Some(browser), Some(axe)) = (Browser::open(test, look), axe(test)) else {
        return;
    };
    let desk = Desk::with_starters(test);
    browser.enter(&desk, ROOMS[0]);
    for room in ROOMS {
        browser.go(&desk.at(room));
        browser.until(ANSWERED, "an answer");
        assert_eq!(
            browser.eval("document.getElementById('news').hidden"),
            true,
            "{room}: {}",
            browser.text("#news")
        );
        let page = desk.get(room);
        let scripts = [
            "desk.css",
            "desk.js",
            "live.js",
            "place.js",
            "fields.js",
            "news.js",
        ];
        let besides = scripts.map(|name| desk.get(&format!("/assets/{name}")).body.len());
        let weight = page.body.len() + besides.iter().sum::<usize>();
        assert!(weight < 150_000, "{room} weighs {weight} bytes");
        let wide = browser.eval("document.documentElement.scrollWidth - window.innerWidth");
        assert!(
            wide.as_f64().is_some_and(|wide| wide <= 0.0),
            "{room} is too wide by {wide}"
        );
        assert_eq!(browser.violations(&axe), [""; 0], "{room}");
        browser.eval("document.querySelectorAll('details').forEach(one => one.open = true)");
        assert_eq!(browser.violations(&axe), [""; 0], "{room}, opened");
    }
}

#[test]
fn rooms_are_for_everybody_on_a_laptop() {
    looked_at("desk-laptop", LAPTOP);
}

#[test]
fn rooms_are_for_everybody_on_a_phone_in_the_dark() {
    looked_at("desk-phone", PHONE);
}

#[test]
fn rooms_are_for_everybody_on_a_laptop_in_the_dark() {
    looked_at(
        "desk-laptop-dark",
        Look {
            dark: true,
            ..LAPTOP
        },
    );
}

#[test]
fn rooms_are_for_everybody_on_a_phone_by_day() {
    looked_at(
        "desk-phone-day",
        Look {
            dark: false,
            ..PHONE
        },
    );
}

#[test]
fn a_slider_is_answered_at_once_and_keeps_its_place() {
    let test = "desk-slider";
    let Some(browser) = Browser::open(test, LAPTOP) else {
        return;
    };
    let desk = Desk::with_starters(test);
    browser.enter(&desk, "/quote");
    browser.until(ANSWERED, "an answer");
    // by keyboard alone: one stop to the left
    browser.eval("document.getElementById('f-risk-rail').focus()");
    browser.keys("\u{e012}");
    browser.until(
        "document.getElementById('live').innerText.includes('19 % are allowed')",
        "an answer",
    );
    assert_eq!(
        browser.eval("document.getElementById('f-risk').value"),
        "19"
    );
    assert_eq!(browser.eval("document.activeElement.id"), "f-risk-rail");
    assert!(browser.at().contains("risk=19"), "{}", browser.at());
    browser.reload();
    browser.until(ANSWERED, "an answer");
    assert_eq!(
        browser.eval("document.getElementById('f-risk').value"),
        "19"
    );
    assert!(browser.text("#live").contains("19 % are allowed"));
}

/// Pictures of the README, by their file: the room, and what is waited for.
const PICTURES: [(&str, &str); 2] = [
    (
        "desk-bench.png",
        "/bench?file=rowan-bench.job.toml&packs.pinion=0.88",
    ),
    ("desk-what-if.png", "/what-if?to.bench.pinion_start=gauge"),
];

const SMALL: Look = Look {
    height: 900,
    scale: 0.75,
    ..LAPTOP
};

/// `UPDATE_PICTURES=1` takes them anew.
#[test]
fn pictures_of_the_readme_are_small_and_there() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/pictures");
    let test = "desk-pictures";
    if std::env::var_os("UPDATE_PICTURES").is_some()
        && let Some(browser) = Browser::open(test, SMALL)
    {
        let desk = Desk::with_starters(test);
        browser.enter(&desk, "/bench");
        std::fs::create_dir_all(&folder).expect("a folder");
        for (name, room) in PICTURES {
            browser.go(&desk.at(room));
            browser.until(ANSWERED, "an answer");
            browser.screenshot(&folder.join(name));
        }
    }
    for (name, _) in PICTURES {
        let picture = std::fs::read(folder.join(name)).expect(name);
        assert!(picture.starts_with(b"\x89PNG"), "{name}");
        assert!(picture.len() < 150_000, "{name}: {} bytes", picture.len());
    }
}
