//! What a change would do: the figures that matter most to set, and what comes of it against the files.

use std::sync::Arc;

use maud::{Markup, html};

use super::{Room, Shown, View};
use crate::desk::asked::Asked;
use crate::desk::here::Here;
use crate::document::Controls;
use crate::faces::html;
use crate::questions::context::{Failure, failure, on_so_many_threads, sources};
use crate::questions::what_if::{Base, Tried, Weighed, controls, stages, weigh};

/// The room.
pub struct WhatIf;

const PATH: &str = "/what-if";
/// What stands before a key that is moved, so that none is taken for what the room is about.
const MOVED: &str = "to.";
const SEED: u64 = 1;

impl Room for WhatIf {
    fn name(&self) -> &'static str {
        "what-if"
    }

    fn title(&self) -> &'static str {
        "What if"
    }

    fn show(&self, here: &Here<'_>) -> Result<Shown, Failure> {
        let base = base(here)?;
        let weighed = weighed(here, &base)?;
        let tried = tried(here, &base)?;
        let fields = controls(&tried, &weighed)
            .into_iter()
            .map(|group| Controls {
                fields: group
                    .fields
                    .into_iter()
                    .map(|mut field| {
                        field.name.insert_str(0, MOVED);
                        field
                    })
                    .collect(),
                ..group
            });
        let set = html! {
            (here.choose(PATH, true))
            form method="get" action=(PATH) data-live { "\n"
                (here.hidden())
                @for group in fields { (html::controls(&group)) }
                button class="quiet" { "Show" } "\n"
            } "\n"
            p { a href=(here.carried().address(PATH)) { "Put everything back as the files have it" } } "\n"
        };
        Ok(Shown::View(View::with_answer("What if", set)))
    }

    fn stages(&self) -> usize {
        stages().len()
    }

    fn is_quick(&self) -> bool {
        true
    }

    fn live(&self, here: &Here<'_>, stage: usize) -> Result<Markup, Failure> {
        let base = base(here)?;
        let tried = tried(here, &base)?;
        let until = stages()[stage];
        let comparison = on_so_many_threads(None, |watch| {
            tried.compared(SEED, until, &mut |progress| watch.see(progress))
        })?;
        Ok(html! {
            (html::part(&tried.tell(&comparison, SEED)))
            (one_by_one(here, &tried))
        })
    }
}

fn base(here: &Here<'_>) -> Result<Base, Failure> {
    let renewed = here.renewed();
    let sources = sources(&here.files()?)?;
    let base = Base::read(
        sources,
        renewed.gears.into(),
        renewed.bearings.into(),
        false,
    );
    base.map_err(|problems| failure(&problems))
}

/// What matters most, which rests on the files alone.
fn weighed(here: &Here<'_>, base: &Base) -> Result<Arc<Weighed>, Failure> {
    here.worked_out("weighed", 0, || {
        on_so_many_threads(None, |_| weigh(base, SEED))
    })
}

/// The files with what is moved: only what has a field here, so that nobody names a file to read.
fn tried<'a>(here: &Here<'_>, base: &'a Base) -> Result<Tried<'a>, Failure> {
    let moved = moved(here.asked);
    let groups = controls(&Tried::of(base, &[]), &Weighed::default());
    let fields = groups.iter().flat_map(|group| &group.fields);
    let known: Vec<&str> = fields.map(|field| field.name.as_str()).collect();
    match moved.iter().find(|(key, _)| !known.contains(&key.as_str())) {
        Some((key, _)) => Err(Failure::NotThere(format!(
            "{key}: nothing here is called that"
        ))),
        None => Ok(Tried::of(base, &moved)),
    }
}

/// What is moved: keys with what was sent for them.
fn moved(asked: &Asked) -> Vec<(String, String)> {
    let moved = asked.pairs().filter_map(|(name, value)| {
        let key = name.strip_prefix(MOVED)?;
        Some((key.to_owned(), value.to_owned()))
    });
    moved.collect()
}

/// Each change by itself: to be dropped.
fn one_by_one(here: &Here<'_>, tried: &Tried<'_>) -> Markup {
    html! {
        @if !tried.changes.is_empty() {
            ul class="changes" { "\n"
                @for change in &tried.changes {
                    @let without = here.asked.without(&format!("{MOVED}{}", change.key));
                    li { (change.label) ": " (change.from) " → " (change.to) " "
                        a href=(without.address(PATH)) { "drop" }
                    } "\n"
                }
            } "\n"
        }
    }
}
