//! Why jobs differ, and one rebuild told in order.

use maud::{Markup, html};

use super::{Room, Shown, View};
use crate::cli::{Causes, Dated, Decimals, Find, Follow};
use crate::desk::here::{Here, choice};
use crate::faces::html;
use crate::questions::context::Failure;
use crate::questions::{causes, follow};

/// The room.
pub struct Why;

/// Rebuilds of the first answer.
const FIRST: u64 = 4096;
/// What is looked for, as typed and as said.
const STORIES: [(&str, &str); 6] = [
    ("", "the first one"),
    ("first-time", "one right at the first assembly"),
    ("many-tries", "the one with the most assemblies"),
    ("wrongly-passed", "one handed over with something truly out"),
    (
        "compromise",
        "one with something accepted that nothing could better",
    ),
    ("given-up", "one that was given up"),
];

impl Room for Why {
    fn name(&self) -> &'static str {
        "why"
    }

    fn title(&self) -> &'static str {
        "Why"
    }

    fn show(&self, here: &Here<'_>) -> Result<Shown, Failure> {
        let told = STORIES.map(|(typed, said)| (typed.to_owned(), said.to_owned()));
        let now = here.asked.get("find").unwrap_or_default();
        let set = html! {
            (here.choose("/why", true))
            form method="get" action="/why" data-live autocomplete="off" { "\n"
                (here.hidden())
                p { (choice("find", "One rebuild, step by step:", &told, now)) } "\n"
                button class="quiet" { "Show" } "\n"
            } "\n"
        };
        Ok(Shown::View(
            View::with_answer("Why jobs differ", set).class("one"),
        ))
    }

    fn stages(&self) -> usize {
        2
    }

    fn live(&self, here: &Here<'_>, stage: usize) -> Result<Markup, Failure> {
        let few = stage + 1 < self.stages();
        let job = here.job(few.then_some(FIRST))?;
        let why = here.worked_out("why", stage, || {
            let args = Causes {
                job,
                dated: Dated::default(),
                only: None,
                csv: None,
                decimal: Decimals::default(),
                json: false,
            };
            causes::pictured(&args)
        })?;
        let find = here.asked.get("find").and_then(Find::named);
        let story = follow::ask(&Follow {
            files: here.files()?,
            renewed: here.renewed(),
            rebuild: 1,
            find,
            seed: 1,
            json: false,
        })?;
        let mut story = story.answer.tell();
        // said once on a page
        story.cautions.clear();
        Ok(html! {
            (html::part(&why))
            details class="more" open[here.asked.get("find").is_some()] { "\n"
                summary { "One rebuild step by step" } "\n"
                (html::part(&story))
            } "\n"
        })
    }
}
