//! What a change would do: the figures that matter most to set, and what comes of it against the files.

use std::sync::Arc;

use maud::{Markup, html};

use super::{Changed, Room, Shown, View};
use crate::desk::asked::Asked;
use crate::desk::here::Here;
use crate::document::Controls;
use crate::faces::html;
use crate::files::{Edited, Override, Source, Target};
use crate::questions::context::{Failure, failure, on_so_many_threads, sources};
use crate::questions::forms::{FileKind, FormFile, Refused, Sent, send};
use crate::questions::what_if::{Base, Change, Tried, Weighed, controls, stages, weigh};

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
            form method="get" action=(PATH) data-live autocomplete="off" { "\n"
                (here.hidden())
                @for group in fields { (html::controls(&group)) }
                button class="quiet" { "Show" } "\n"
            } "\n"
            p { a href=(here.carried().address(PATH)) { "Put everything back as the files have it" } } "\n"
        };
        Ok(Shown::View(View::with_answer("What if", set)))
    }

    /// Keeps one change: writes it into its file.
    fn change(&self, here: &Here<'_>) -> Result<Changed, Failure> {
        let base = base(here)?;
        let tried = tried(here, &base)?;
        let wanted = here.asked.get("keep").unwrap_or_default();
        let change = tried.changes.iter().find(|change| change.key == wanted);
        let (change, file) = change
            .and_then(|change| Some((change, file_of(here, change)?)))
            .ok_or_else(|| {
                Failure::BadInput(format!("{wanted}: there is no such change to keep"))
            })?;
        let seen = here.asked.get("seen").unwrap_or_default();
        let pairs: Vec<(String, String)> = change.set.iter().map(pair).collect();
        match send(&file, seen, &pairs) {
            Ok(Sent::Written | Sent::AsItWas) => {
                let moved = here
                    .asked
                    .without(&moved_name(change))
                    .without("keep")
                    .without("seen");
                Ok(Changed::Go(moved.address(PATH)))
            }
            Ok(Sent::Wrong(form)) => {
                let fields = form.fields.all().flat_map(|group| &group.fields);
                let wrong = fields.filter_map(|field| field.problem.as_deref());
                let all: Vec<&str> = wrong
                    .chain(form.problems.iter().map(String::as_str))
                    .collect();
                Err(Failure::BadInput(format!(
                    "nothing was written: {}",
                    all.join("; ")
                )))
            }
            Err(Refused::NotWritten(why)) => Err(Failure::BadInput(why.to_string())),
            Err(Refused::Unreadable(problems)) => Err(failure(&problems)),
        }
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

/// The name under which a change is sent.
fn moved_name(change: &Change) -> String {
    format!("{MOVED}{}", change.key)
}

/// The file that a change belongs into; none for what is renewed, which no file says.
fn file_of(here: &Here<'_>, change: &Change) -> Option<FormFile> {
    let files = here.files().ok()?;
    match change.set.last()?.target() {
        Target::Axle => Some(FormFile {
            path: files.axle?,
            kind: FileKind::Axle(Source::from(files.shop)),
        }),
        Target::Shop => Some(FormFile {
            path: files.shop?,
            kind: FileKind::Shop,
        }),
    }
}

/// A key of a file and what is typed for it.
fn pair(set: &Override) -> (String, String) {
    (set.path(), set.value().trim_matches('"').to_owned())
}

/// Each change by itself: kept in its file, or dropped.
fn one_by_one(here: &Here<'_>, tried: &Tried<'_>) -> Markup {
    let kept = |change: &Change| {
        let file = file_of(here, change)?;
        let seen = Edited::open(&file.path, "").ok()?.fingerprint();
        let name = file.path.file_name()?.to_string_lossy().into_owned();
        Some((seen, name))
    };
    html! {
        @for change in &tried.changes {
            @let without = here.asked.without(&moved_name(change));
            form class="actions" method="post" action=(PATH) { "\n"
                (here.asked.hidden())
                span { (change.label) ": " (change.from) " → " (change.to) } "\n"
                @if let Some((seen, name)) = kept(change) {
                    input type="hidden" name="seen" value=(seen); "\n"
                    button name="keep" value=(change.key) { "Keep it in " (name) } "\n"
                }
                a href=(without.address(PATH)) { "Drop it" } "\n"
            } "\n"
        }
    }
}
