//! The page that people keep, print and send: one file, no requests, readable without script.
//!
//! A pure function of an answer. The page opens with the answer in words and numbers; then
//! come chapters of exhibits (a question, a figure, its finding, its data), and last what was
//! assumed. Its source is well-formed XML as well, so that any XML reader can check it.

mod causes;
mod coupling;
mod exhibit;
mod hours;
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

pub use exhibit::{Chapter, Exhibit};
pub use rebuilds::Rebuilds;
pub use sheet::{Bench, sheet};
pub use sweep::swept;

use maud::html;
use shimcast_sim::count::estimate::Estimate;

use crate::document::Table;
use crate::faces;
use crate::figures::{Printed, said};
use crate::questions::causes::rows::{ALONE, WITH_OTHERS};
use crate::questions::odds::rows;
use crate::questions::outside;
use crate::questions::quote::costs;
use crate::questions::report::reported::Reported;

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
            tables: vec![rows::windows(
                asked.setup(),
                asked.odds,
                Printed(asked.units),
            )],
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
            tables: vec![rows::effort(asked.setup(), &asked.odds.effort)],
            exhibits: vec![work::done(asked), work::packs(asked)],
        },
        Chapter {
            id: "quote",
            title: "What to quote?".into(),
            lead: vec![costs::hours_in_it(asked.choice, asked.assumptions)],
            tables: vec![costs::table(asked.choice, asked.assumptions)],
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

/// The tables for other tools, by name: those behind the figures, and the answer's own.
pub fn data(asked: &Reported<'_>, chapters: &[Chapter]) -> Vec<(String, Table)> {
    let exhibits = chapters.iter().flat_map(|chapter| &chapter.exhibits);
    let of_figure = |e: &Exhibit| (e.figure.words.name.clone(), e.data().clone());
    let mut all: Vec<(String, Table)> = exhibits.map(of_figure).collect();
    let own = [pattern::summary(asked), opening::answer(asked)];
    all.extend(TABLES.map(str::to_owned).into_iter().zip(own));
    all
}

/// The whole page.
pub fn page(asked: &Reported<'_>, chapters: &[Chapter]) -> String {
    let title = opening::title(asked.setup());
    let followed = asked.followed();
    let body = html! {
        (opening::opening(asked, &title))
        nav aria-label="Contents" { "\n"
            ul { "\n"
                @for chapter in chapters {
                    li { a href={ "#" (chapter.id) } { (chapter.title) } } "\n"
                }
                li { a href="#story" { (story::heading(&followed)) } } "\n"
                li { a href="#behind" { "What stands behind it" } } "\n"
            } "\n"
        } "\n"
        @for chapter in chapters { (chapter.html()) }
        (story::story(&followed))
        (opening::behind(asked))
    };
    faces::html::page(&title, &body)
}

/// A share with its interval at the beginning of a sentence.
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

/// "a, b and c".
fn listed(all: &[String]) -> String {
    match all {
        [] => "none".into(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}
