//! The page that people keep, print and send: one file, no requests, readable without script.
//!
//! A pure function of an answer. The page opens with the answer in words and five numbers; then
//! come chapters of exhibits (a question, a figure, its finding, its data), and last what was
//! assumed. Its source is well-formed XML as well, so that any XML reader can check it.

mod causes;
mod coupling;
mod data;
mod exhibit;
mod hours;
mod html;
mod opening;
mod pattern;
mod rebuilds;
mod sheet;
mod spread;
mod stack;
mod stock;
mod story;
mod sweep;
mod work;

pub use data::Observations;
pub use exhibit::{Chapter, Exhibit};
pub use html::Table;
pub use rebuilds::Rebuilds;
pub use sheet::{Bench, sheet};
pub use sweep::swept;

use std::fmt::Write;

use shimcast_sim::estimate::Estimate;

use self::html::{paragraph, text};
use crate::answers::causes::{ALONE, WITH_OTHERS};
use crate::answers::outside;
use crate::answers::report::Reported;
use crate::figures::{percent, percent_interval};
use crate::questions::quote::costs;
use crate::terminal::{AT_WORK, CAUTION};

/// The style of every page.
pub const STYLE: &str = include_str!("style.css");

/// Every figure that a page can have, by name.
pub const FIGURES: [&str; 19] = [
    "backlash",
    "side-closure",
    "pinion-torque",
    "depth-and-ring",
    "contact-pattern",
    "assemblies",
    "packs",
    "hours",
    "overrun",
    "halved",
    "sweep",
    "causes-landed",
    "causes-right",
    "causes-hours",
    "stack-depth",
    "stack-backlash",
    "stack-closure",
    "service",
    "shims",
];

/// Tables for other tools that belong to no single figure.
pub const TABLES: [&str; 2] = ["contact-pattern-summary", "answer"];

/// The chapters of a page.
pub fn chapters(asked: &Reported<'_>) -> Vec<Chapter> {
    let mut chapters = vec![
        Chapter {
            id: "windows",
            title: "Does it land in the windows?".into(),
            lead: vec![format!(
                "The first assembly is the truth as first bolted up, before anything was \
                 corrected. Handed over is the truth of the finished jobs. {}",
                outside::told(&asked.odds.handed_over.all, &asked.odds.clearly_out)
            )],
            tables: vec![opening::windows(asked)],
            exhibits: vec![
                spread::backlash(asked),
                spread::closure(asked),
                spread::torque(asked),
                coupling::coupling(asked),
                pattern::pattern(asked),
            ],
        },
        Chapter {
            id: "work",
            title: "What does it take?".into(),
            lead: Vec::new(),
            tables: vec![opening::effort(asked)],
            exhibits: vec![work::done(asked), work::packs(asked)],
        },
        Chapter {
            id: "quote",
            title: "What to quote?".into(),
            lead: vec![costs::hours_in_it(asked.choice, asked.assumptions)],
            tables: vec![opening::cost(asked)],
            exhibits: vec![hours::hours(asked), hours::risk(asked)],
        },
    ];
    chapters.extend(better(asked));
    let drawer = asked.drawer.as_ref();
    chapters.extend(drawer.map(|drawer| stock::chapter(drawer, asked.setup())));
    chapters
}

/// Why it misses, and what would help.
fn better(asked: &Reported<'_>) -> Option<Chapter> {
    let caused = asked.caused();
    let mut exhibits = caused.as_ref().map(causes::exhibits).unwrap_or_default();
    if let Some(swept) = &asked.sweep {
        // beside what else could be done differently
        exhibits.insert(exhibits.len().min(1), sweep::swept(swept));
    }
    (!exhibits.is_empty()).then(|| Chapter {
        id: "causes",
        title: "Why does it miss, and what would help?".into(),
        lead: vec![format!(
            "Two shares tell what a thing does. Alone is {ALONE}. With others is {WITH_OTHERS}."
        )],
        tables: Vec::new(),
        exhibits,
    })
}

/// The tables for other tools: those behind the figures, and the answer's own.
pub fn observations(asked: &Reported<'_>, chapters: &[Chapter]) -> Vec<Observations> {
    let exhibits = chapters.iter().flat_map(|chapter| &chapter.exhibits);
    let mut all: Vec<Observations> = exhibits.map(|e| e.observations.clone()).collect();
    all.push(pattern::summary(asked));
    all.push(opening::answer(asked));
    all
}

/// The whole page.
pub fn page(asked: &Reported<'_>, chapters: &[Chapter]) -> String {
    let setup = asked.setup();
    let title = opening::title(setup);
    let mut body = String::new();
    body.push_str(&opening::opening(asked, &title));
    body.push_str("<nav aria-label=\"Contents\">\n<ul>\n");
    for chapter in chapters {
        let _ = writeln!(
            body,
            "<li><a href=\"#{}\">{}</a></li>",
            chapter.id,
            text(&chapter.title)
        );
    }
    let followed = asked.followed();
    let _ = writeln!(
        body,
        "<li><a href=\"#story\">{}</a></li>",
        text(&story::heading(&followed))
    );
    body.push_str("<li><a href=\"#behind\">What stands behind it</a></li>\n</ul>\n</nav>\n");
    for chapter in chapters {
        body.push_str(&chapter.html());
    }
    body.push_str(&story::story(&followed));
    body.push_str(&opening::behind(asked));
    document(&title, &body)
}

/// A document with the page's style.
fn document(title: &str, body: &str) -> String {
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\" xmlns=\"http://www.w3.org/1999/xhtml\">\n<head>\n\
         <meta charset=\"utf-8\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
         <meta name=\"generator\" content=\"shimcast {version}\"/>\n\
         <title>{title}</title>\n\
         <link rel=\"icon\" href=\"data:,\"/>\n\
         <style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n{body}</main>\n</body>\n</html>\n",
        version = env!("CARGO_PKG_VERSION"),
        title = text(title),
    )
}

/// An estimate of a share in a sentence: `27.1 % (26.8 to 27.4)`.
fn said(share: &Estimate) -> String {
    let interval = percent_interval(share);
    match share.value {
        _ if share.n == 0 => "none (no job was finished)".into(),
        0.0 => format!("none ({interval})"),
        1.0 => format!("all ({interval})"),
        _ => format!("{} ({interval})", percent(share)),
    }
}

/// The same at the beginning of a sentence.
fn said_first(share: &Estimate) -> String {
    let said = said(share);
    let mut chars = said.chars();
    chars
        .next()
        .map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}

/// So many rebuilds of the beginning, in a sentence.
fn the_first(rebuilds: usize) -> String {
    match rebuilds {
        1 => "the first rebuild".into(),
        n => format!("the first {n} rebuilds"),
    }
}

/// What is said wherever a bench might act on a page.
fn cautions(at_work: bool) -> String {
    let mut html = String::from("<aside class=\"caution\" aria-label=\"Caution\">\n");
    html.push_str(&paragraph(&one_line(CAUTION)));
    if at_work {
        html.push_str(&paragraph(&one_line(AT_WORK)));
    }
    html.push_str("</aside>\n");
    html
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
