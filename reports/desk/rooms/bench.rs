//! One axle on the bench: its job file in fields, what to fit next beside them, and what packs would do.

use std::sync::Arc;

use maud::{Markup, html};

use super::{Changed, Room, Shown, View};
use crate::desk::asked::Asked;
use crate::desk::folder::Entry;
use crate::desk::here::{Here, not_listed};
use crate::desk::sent::{Sent, carried, changed_meanwhile};
use crate::document::{AT_WORK, Block, ControlKind, Controls, Document, Section};
use crate::faces::{form, html};
use crate::files::{
    Booking, Counts, Edited, FileKind, Group, Loaded, Said, Source, is_before, load_job, put_back,
};
use crate::questions::bench::{
    OfJob, OnTheBench, Unwritten, axle_of, begin, controls, fill_in, filled_sheet, new_job,
    new_job_controls, on_the_bench, take_back,
};
use crate::questions::context::{Failure, failure, on_so_many_threads};

/// The room.
pub struct Bench;

const PATH: &str = "/bench";
const SEED: u64 = 1;
/// What is carried from page to page: a job says itself which axle and parts it is about.
const BESIDE: [&str; 2] = ["shop", "have"];

impl Room for Bench {
    fn name(&self) -> &'static str {
        "bench"
    }

    fn title(&self) -> &'static str {
        "Bench"
    }

    fn show(&self, here: &Here<'_>) -> Result<Shown, Failure> {
        let Some(job) = job(here)? else {
            return jobs(here, None).map(Shown::View);
        };
        if here.asked.get("page") == Some("sheet") {
            let job = load_job(&job.path, &shop(here)?, &[]).map_err(|all| failure(&all))?;
            let sheet = filled_sheet(&job).map_err(|all| failure(&all))?;
            return Ok(Shown::Whole(form::page(&sheet)));
        }
        let open = Open::of(here, job)?;
        let fields = controls(&open.file, &open.loaded, &[]);
        Ok(Shown::View(open.view(here, fields, html! {})))
    }

    fn stages(&self) -> usize {
        1
    }

    fn is_quick(&self) -> bool {
        true
    }

    fn live(&self, here: &Here<'_>, _stage: usize) -> Result<Markup, Failure> {
        let job = job(here)?.ok_or_else(|| not_listed(""))?;
        let told = answer(here, &job)?;
        let (answer, mut document) = (&told.answer, told.document.clone());
        // the frame of the room says the other one
        document.cautions.retain(|caution| *caution == AT_WORK);
        // what to do is seen beside the picture, the rows below it
        let rest = document.sections.split_off(document.sections.len().min(1));
        let rows = Document {
            sections: rest,
            under: Vec::new(),
            ..document.clone()
        };
        let picture = answer.picture();
        // of packs that are thought of, the sentence is seen beside the picture too
        let mut thought = answer.what_if();
        let thought_rows = thought.as_mut().map(|of| Section {
            blocks: of.blocks.split_off(of.blocks.len().min(1)),
            ..Section::default()
        });
        Ok(html! {
            @for line in &document.under { p class="doubt" { (line) } "\n" }
            div class="advice" { "\n" @for section in &document.sections { (html::part_of(section)) } } "\n"
            @if let Some(thought) = &thought { (html::part_of(thought)) }
            @if let Some(picture) = &picture { (html::exhibit(picture)) }
            @if let Some(rows) = thought_rows { (html::part_of(&rows)) }
            (html::part(&rows))
        })
    }

    fn change(&self, here: &Here<'_>) -> Result<Changed, Failure> {
        match job(here)? {
            Some(job) => change(here, job),
            None => begin_job(here),
        }
    }
}

fn beside(here: &Here<'_>) -> Asked {
    let asked = here.asked.only(&BESIDE);
    // a page and its forms are about the same shop
    match here.file(FileKind::Shop, "shop") {
        Ok(Some(shop)) => asked.with("shop", &shop.name),
        _ => asked,
    }
}

/// The job that is asked for.
fn job(here: &Here<'_>) -> Result<Option<Entry>, Failure> {
    let Some(name) = here.asked.get("file") else {
        return Ok(None);
    };
    let found = here.folder.find(FileKind::Job, name);
    found.map(Some).ok_or_else(|| not_listed(name))
}

/// The shop that is asked for; the built-in one where the folder has none.
fn shop(here: &Here<'_>) -> Result<Source, Failure> {
    let shop = here.file(FileKind::Shop, "shop")?;
    let shop = Source::from(shop.map(|shop| shop.path)).keep();
    shop.map_err(|problem| failure(&problem.into()))
}

/// An answer about an axle, and how it is told.
struct Told {
    answer: OnTheBench,
    document: Document,
}

/// What the readings of the axle say, with packs that are thought of where there are any.
fn answer(here: &Here<'_>, job: &Entry) -> Result<Arc<Told>, Failure> {
    let (source, shop) = (Source::File(job.path.clone()), shop(here)?);
    let have = here.file_if_asked(FileKind::Counts, "have")?;
    let pairs = here
        .asked
        .pairs()
        .filter(|(name, _)| name.starts_with("packs."));
    let what_if: Vec<(String, String)> = pairs
        .map(|(name, value)| (name.to_owned(), value.to_owned()))
        .collect();
    let about = format!("bench {} {what_if:?}", job.name);
    here.worked_out(&about, 0, || {
        let answer = on_so_many_threads(None, |_| {
            on_the_bench(&OfJob {
                job: &source,
                shop: &shop,
                set: &[],
                anyway: false,
                have: have.as_deref(),
                what_if: &what_if,
                seed: SEED,
            })
        })??;
        Ok(Told {
            document: answer.document(),
            answer,
        })
    })
}

/// All jobs of the folder, and the fields of a new one.
fn jobs(here: &Here<'_>, refused: Option<Controls>) -> Result<View, Failure> {
    let all = here.folder.of(FileKind::Job);
    let fields = match refused {
        Some(fields) => fields,
        None => beginning(new_job_controls(here.folder.path(), &[]).map_err(|all| failure(&all))?),
    };
    let set = html! {
        @if all.is_empty() {
            p { "There is no job yet: an axle that is on the bench, with what was fitted and read." } "\n"
        } @else {
            ul class="jobs" { "\n"
                @for job in &all {
                    li { a href=(beside(here).with("file", &job.name).address(PATH)) {
                        (named(job)) " " span class="unit" { (job.name) }
                    } } "\n"
                }
            } "\n"
        }
        @if here.folder.of(FileKind::Axle).is_empty() {
            p { "A job needs an axle file: " a href=(beside(here).address("/files")) { "Files" } " begins with one." } "\n"
        } @else {
            form method="post" action=(PATH) { "\n"
                (beside(here).hidden())
                (html::controls(&fields))
                div class="actions" { button class="first" { "Begin this job" } } "\n"
            } "\n"
        }
    };
    Ok(View::of("Jobs on the bench", set).class("bench"))
}

/// Fields of a new job: each choice stands at the first one.
fn beginning(mut fields: Controls) -> Controls {
    for field in &mut fields.fields {
        if let ControlKind::Choice(options) = &field.kind
            && let Some((first, _)) = options.first().filter(|_| field.value.is_empty())
        {
            field.value.clone_from(first);
        }
    }
    fields
}

/// The shop that does the job, and the drawer that it takes its shims from.
fn with_which(here: &Here<'_>, name: &str) -> Markup {
    html! {
        form class="choose" method="get" action=(PATH) data-go { "\n"
            input type="hidden" name="file" value=(name); "\n"
            (here.choose_file(FileKind::Shop, "shop", "Shop", None))
            (here.choose_file(FileKind::Counts, "have", "Shims at hand", Some("every size is there")))
            button class="quiet" { "Show" } "\n"
        } "\n"
    }
}

/// What the shop calls a job.
fn named(job: &Entry) -> String {
    let file = Edited::open(&job.path, "").ok();
    let name = file.as_ref().and_then(|file| file.text(Group::Top, "name"));
    name.map_or_else(|| job.name.clone(), str::to_owned)
}

fn begin_job(here: &Here<'_>) -> Result<Changed, Failure> {
    let pairs: Vec<(String, String)> = here
        .asked
        .pairs()
        .map(|(name, typed)| (name.to_owned(), typed.to_owned()))
        .collect();
    let folder = here.folder.path();
    match new_job(folder, &shop(here)?, &[], &pairs) {
        Ok(path) => {
            let name = path
                .file_name()
                .map(|name| name.to_string_lossy().into_owned());
            Ok(Changed::Go(
                beside(here)
                    .with("file", &name.unwrap_or_default())
                    .address(PATH),
            ))
        }
        Err(Unwritten::Refused(refused)) => {
            let fields = new_job_controls(folder, &refused).map_err(|all| failure(&all))?;
            let mut fields = [fields];
            Sent::of(here.asked, &BESIDE).put_into(&mut fields);
            let [fields] = fields;
            Ok(Changed::Not(jobs(here, Some(fields))?))
        }
        Err(Unwritten::CannotWrite(why)) => Err(Failure::CannotAccess(why)),
    }
}

/// A job file that is worked on.
struct Open {
    entry: Entry,
    file: Edited,
    loaded: Loaded,
    seen: String,
    shop: Source,
}

impl Open {
    fn of(here: &Here<'_>, entry: Entry) -> Result<Self, Failure> {
        let shop = shop(here)?;
        let file = Edited::open(&entry.path, "").map_err(|all| failure(&all))?;
        let seen = file.fingerprint();
        let loaded = axle_of(&file, &shop, &[]).map_err(|all| failure(&all))?;
        Ok(Self {
            entry,
            file,
            loaded,
            seen,
            shop,
        })
    }

    fn view(&self, here: &Here<'_>, fields: Vec<Controls>, above: Markup) -> View {
        let name = &self.entry.name;
        let asked = beside(here).with("file", name);
        let set = html! {
            (above)
            (self.to_do(here))
            (with_which(here, name))
            p class="hint" {
                @match here.script {
                    true => "What you enter is written into the job's file as you leave its field.",
                    false => "Save writes what you enter into the job's file.",
                }
            } "\n"
            form id="job" method="post" action=(PATH) data-change="each" autocomplete="off" { "\n"
                (beside(here).hidden())
                input type="hidden" name="file" value=(name); "\n"
                (carried(&self.seen, &controls(&self.file, &self.loaded, &[])))
                @for group in &fields { (html::controls(group)) }
                div class="actions" { "\n"
                    button class="first" id="do-save" name="do" value="save" { "Save" } "\n"
                    button id="do-next" name="do" value="next" { "Next assembly, with the packs advised" } "\n"
                    @if is_before(&self.entry.path) {
                        button id="do-undo" name="do" value="undo" {
                            "Back to how it was before an assembly was taken out"
                        } "\n"
                    }
                    @if self.file.entries("assemblies") > 0 {
                        button id="do-back" name="do" value="back" { "Take the last assembly out" } "\n"
                        @if let Some(count) = here.asked.get("have")
                            && self.file.stated(Group::Under(&["done"]), "booked").is_none() {
                            button id="do-book" name="do" value="book" { "Finished: its shims out of " (count) } "\n"
                        }
                    }
                } "\n"
            } "\n"
            div class="actions" { "\n"
                a href=(asked.with("page", "sheet").address(PATH)) { "Job sheet, filled in" } "\n"
                a href=(beside(here).address(PATH)) { "All jobs" } "\n"
            } "\n"
        };
        let title = named(&self.entry);
        View {
            beside: self.rails(here),
            ..View::with_answer(title, set).class("two bench")
        }
    }

    /// What to do now, for a screen on which the answer stands far below.
    fn to_do(&self, here: &Here<'_>) -> Markup {
        let told = answer(here, &self.entry).ok();
        let said = told.as_ref().and_then(|told| {
            // what is said before anything else
            told.document.under.first().or_else(|| {
                match told.document.sections.first()?.blocks.first()? {
                    Block::Text(text) => Some(text),
                    _ => None,
                }
            })
        });
        html! {
            @if let Some(text) = said {
                p class="to-do" { (text) " " a href="#live" { "More" } } "\n"
            }
        }
    }

    /// What if I fit …
    fn rails(&self, here: &Here<'_>) -> Markup {
        // where nothing can be told, the answer says why
        let Ok(told) = answer(here, &self.entry) else {
            return html! {};
        };
        let stops = told.answer.stops();
        html! {
            form class="packs" method="get" action=(PATH) data-live autocomplete="off" { "\n"
                (beside(here).hidden())
                input type="hidden" name="file" value=(self.entry.name); "\n"
                (html::controls(&stops))
                button class="quiet" { "Show" } "\n"
            } "\n"
        }
    }
}

/// Writes what was filled in, then what else was asked for.
fn change(here: &Here<'_>, entry: Entry) -> Result<Changed, Failure> {
    let mut open = Open::of(here, entry)?;
    let sent = Sent::of(here.asked, &BESIDE);
    let with_entries = |open: &Open, refused: &[_]| {
        let mut fields = controls(&open.file, &open.loaded, refused);
        sent.put_into(&mut fields);
        fields
    };
    if sent.seen != open.seen {
        let above = changed_meanwhile(&open.entry.name);
        let view = open.view(here, with_entries(&open, &[]), above);
        return Ok(Changed::Meanwhile(view));
    }
    if here.asked.get("do") == Some("undo") {
        put_back(&open.entry.path, &sent.seen)
            .map_err(|why| Failure::CannotAccess(why.to_string()))?;
        let asked = beside(here).with("file", &open.entry.name);
        return Ok(Changed::Go(asked.address(PATH)));
    }
    let read = (&open.loaded, &open.shop, [].as_slice());
    match fill_in(&mut open.file, read, &sent.changed) {
        Ok(_) => {}
        Err(Unwritten::Refused(refused)) => {
            let fields = with_entries(&open, &refused);
            return Ok(Changed::Not(open.view(here, fields, html! {})));
        }
        Err(Unwritten::CannotWrite(why)) => return Err(Failure::CannotAccess(why)),
    }
    match here.asked.get("do") {
        Some("next") => next_assembly(here, &mut open)?,
        Some("back") => take_back(&mut open.file).map_err(Failure::BadInput)?,
        Some("book") => book(here, &mut open)?,
        _ => {}
    }
    let asked = beside(here).with("file", &open.entry.name);
    Ok(Changed::Go(asked.address(PATH)))
}

/// Takes the shims that stand in the axle out of the count of the drawer, and notes that in the job.
fn book(here: &Here<'_>, open: &mut Open) -> Result<(), Failure> {
    let counts = here.file_if_asked(FileKind::Counts, "have")?;
    let counts = counts.ok_or_else(|| {
        let why = "choose the count that the shims at hand are in, then book them out of it";
        Failure::BadInput(why.to_owned())
    })?;
    let told = answer(&here.afresh(), &open.entry)?;
    let answer = &told.answer;
    if answer.done().is_some_and(|done| done.booked.is_some()) {
        let why =
            "the shims of this job are booked already; the drawer itself is changed in its room";
        return Err(Failure::BadInput(why.to_owned()));
    }
    let fitted = answer.shims_fitted().map_err(Failure::BadInput)?;
    let all: Vec<(String, f64, Booking)> = fitted
        .into_iter()
        .map(|(series, size, count)| (series, size, Booking::TakenOut(count)))
        .collect();
    let drawer = Counts::open(&counts, &open.loaded.shop).map_err(|all| failure(&all))?;
    let seen = drawer.fingerprint();
    let name = counts.file_name().unwrap_or_default();
    let said = Said::Text(name.to_string_lossy().into_owned());
    // noted first: what is noted and not booked is seen in the count, the other way round nobody would see it
    let done = Group::Under(&["done"]);
    let noted = open.file.state(done, "booked", &said, BOOKED);
    noted.map_err(Failure::CannotAccess)?;
    drawer.book(&seen, &all).map_err(|why| {
        let back = open.file.take_out(done, "booked").err().unwrap_or_default();
        Failure::BadInput(format!("{} {back}", why.message()))
    })
}

/// What stands behind the key that says so.
const BOOKED: &str = "the count that the shims fitted were taken out of";

/// Begins the next assembly with the packs that are advised.
fn next_assembly(here: &Here<'_>, open: &mut Open) -> Result<(), Failure> {
    let advised = answer(&here.afresh(), &open.entry)?.answer.fit();
    let fit = advised.ok_or_else(|| {
        let why = "no packs are advised: the job is at its end, or what is stated has to be settled first";
        Failure::BadInput(why.to_owned())
    })?;
    // what was filled in just now may have changed the axle
    let loaded = axle_of(&open.file, &open.shop, &[]).map_err(|all| failure(&all))?;
    begin(&mut open.file, &loaded, &fit).map_err(Failure::CannotAccess)?;
    Ok(())
}
