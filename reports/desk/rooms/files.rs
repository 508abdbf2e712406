//! The files of the folder: axles and shops as forms, with what they mean beside them.

use std::path::{Path, PathBuf};

use maud::{Markup, html};

use super::{Changed, Room, Shown, View};
use crate::cli::{Check, Files as Named};
use crate::desk::folder::Entry;
use crate::desk::here::{CARRIED, Here, choice, not_listed};
use crate::desk::sent::{self, Sent, changed_meanwhile};
use crate::document::Controls;
use crate::faces::html;
use crate::files::{
    BUILT_IN_AXLE, BUILT_IN_SHOP, BuiltInFile, FileKind, NotWritten, SHORT_AXLE, Source, UNNAMED,
    put_back,
};
use crate::questions::assumed::{self, Headline, effects};
use crate::questions::check;
use crate::questions::context::{
    Failure, failure, on_so_many_threads, read_sources, set_up, sources,
};
use crate::questions::forms::{self, FileForm, FormFile, Refused, by_effect, form, send};
use crate::starter;

/// The room.
pub struct Files;

const PATH: &str = "/files";
const SEED: u64 = 1;

impl Room for Files {
    fn name(&self) -> &'static str {
        "files"
    }

    fn title(&self) -> &'static str {
        "Files"
    }

    fn show(&self, here: &Here<'_>) -> Result<Shown, Failure> {
        let Some(entry) = entry(here)? else {
            return Ok(Shown::View(list(here, None)));
        };
        if entry.kind == FileKind::Table {
            return table(here, &entry).map(Shown::View);
        }
        let form = form(&form_file(here, &entry)?).map_err(|refused| failed(&refused))?;
        Ok(Shown::View(view(here, &entry, form, html! {})?))
    }

    fn stages(&self) -> usize {
        1
    }

    fn is_quick(&self) -> bool {
        true
    }

    /// What the files mean, and what looks wrong in them.
    fn live(&self, here: &Here<'_>, _stage: usize) -> Result<Markup, Failure> {
        let entry = entry(here)?.ok_or_else(|| not_listed(""))?;
        let named = named(here, &entry)?;
        let told = check::ask(&Check {
            files: named,
            renewed: here.renewed(),
        })?;
        let mut document = told.answer.tell();
        // all of it is what is looked for here
        for section in &mut document.sections {
            section.first = true;
        }
        Ok(html::part(&document))
    }

    fn change(&self, here: &Here<'_>) -> Result<Changed, Failure> {
        match (entry(here)?, here.asked.get("do")) {
            (Some(entry), _) if entry.kind == FileKind::Table => Err(Failure::BadInput(
                "a table is changed in a spreadsheet or an editor".to_owned(),
            )),
            (Some(entry), Some("back")) => back(here, &entry),
            (Some(entry), _) => write(here, &entry),
            (None, Some("starters")) => {
                let inch = here.asked.get("units") == Some("in");
                starter::start(here.folder.path(), inch).map_err(Failure::CannotAccess)?;
                Ok(Changed::Go(PATH.to_owned()))
            }
            (None, _) => begin(here),
        }
    }
}

/// The file that is asked for: an axle, a shop, or a table of theirs.
fn entry(here: &Here<'_>) -> Result<Option<Entry>, Failure> {
    let Some(name) = here.asked.get("file") else {
        return Ok(None);
    };
    let kinds = [FileKind::Axle, FileKind::Shop, FileKind::Table];
    let found = kinds
        .into_iter()
        .find_map(|kind| here.folder.find(kind, name));
    found.map(Some).ok_or_else(|| not_listed(name))
}

/// The two files that an answer needs, with this one among them.
fn named(here: &Here<'_>, entry: &Entry) -> Result<Named, Failure> {
    let path = |kind, name: &str| -> Result<Option<PathBuf>, Failure> {
        match entry.kind == kind {
            true => Ok(Some(entry.path.clone())),
            false => Ok(here.file(kind, name)?.map(|entry| entry.path)),
        }
    };
    Ok(Named {
        axle: path(FileKind::Axle, "axle")?,
        shop: path(FileKind::Shop, "shop")?,
        set: Vec::new(),
        anyway: false,
    })
}

fn form_file(here: &Here<'_>, entry: &Entry) -> Result<FormFile, Failure> {
    let kind = match entry.kind {
        FileKind::Axle => forms::FileKind::Axle(Source::from(named(here, entry)?.shop)),
        _ => forms::FileKind::Shop,
    };
    Ok(FormFile {
        path: entry.path.clone(),
        kind,
    })
}

fn failed(refused: &Refused) -> Failure {
    match refused {
        Refused::Unreadable(problems) => failure(problems),
        Refused::NotWritten(why) => Failure::CannotAccess(why.to_string()),
    }
}

/// All files, and what may be begun.
fn list(here: &Here<'_>, wrong: Option<&str>) -> View {
    let carried = here.carried();
    let all = here.folder.entries();
    let of = |kind: FileKind, heading: &str, path: &str, name: &str| {
        let listed: Vec<&Entry> = all.iter().filter(|entry| entry.kind == kind).collect();
        html! {
            @if !listed.is_empty() {
                h2 { (heading) } "\n"
                ul class="jobs" { "\n"
                    @for entry in listed {
                        li { a href=(carried.with(name, &entry.name).address(path)) { (entry.name) } } "\n"
                    }
                } "\n"
            }
        }
    };
    let set = html! {
        @if here.folder.has_none_of_ours() {
            p { "This folder has no files of axles and shops yet. The starter files are a made-up axle and a made-up shop, with a \
                 comment at each figure: look around with them, then put in your own." } "\n"
            form method="post" action=(PATH) class="actions" { "\n"
                input type="hidden" name="do" value="starters"; "\n"
                button class="first" name="units" value="mm" { "Starter files in mm" } "\n"
                button name="units" value="in" { "Starter files in inches" } "\n"
            } "\n"
        }
        (of(FileKind::Axle, "Axles", PATH, "file"))
        (of(FileKind::Shop, "Shops", PATH, "file"))
        (of(FileKind::Job, "Jobs", "/bench", "file"))
        (of(FileKind::Counts, "Counts of shims", "/drawer", "have"))
        (of(FileKind::Table, "Tables: measured values, tooth pairs, offers", PATH, "file"))
        (begins(here, wrong))
    };
    View::of("Files", set)
}

/// What a new file may begin as.
const BEGINNINGS: [(&str, &str, FileKind, BuiltInFile); 3] = [
    (
        "short",
        "an axle: the figures that any workshop can find",
        FileKind::Axle,
        SHORT_AXLE,
    ),
    (
        "axle",
        "an axle: every figure there is, as the made-up one has it",
        FileKind::Axle,
        BUILT_IN_AXLE,
    ),
    (
        "shop",
        "a shop, as the made-up one has it",
        FileKind::Shop,
        BUILT_IN_SHOP,
    ),
];

fn begins(here: &Here<'_>, wrong: Option<&str>) -> Markup {
    let words = BEGINNINGS.map(|(sent, shown, ..)| (sent.to_owned(), shown.to_owned()));
    let now = here.asked.get("as").unwrap_or("short");
    html! {
        h2 { "A new file" } "\n"
        form method="post" action=(PATH) class="choose" { "\n"
            (here.hidden())
            (choice("as", "It begins as", &words, now))
            label { "Its name "
                input name="name" value=(here.asked.get("name").unwrap_or_default()) autocomplete="off"
                    aria-invalid=[wrong.map(|_| "true")] aria-describedby=[wrong.map(|_| "name-wrong")];
            } "\n"
            button { "Begin" } "\n"
            @if let Some(wrong) = wrong { p class="problem" id="name-wrong" role="alert" { (wrong) } "\n" }
        } "\n"
    }
}

/// Begins a file of a name that was typed.
fn begin(here: &Here<'_>) -> Result<Changed, Failure> {
    let wanted = here.asked.get("as").unwrap_or_default();
    let known = BEGINNINGS.iter().find(|(sent, ..)| *sent == wanted);
    let (_, _, kind, built_in) =
        known.ok_or_else(|| Failure::BadInput("choose what it begins as".to_owned()))?;
    let Some(name) = kind.called(here.asked.get("name").unwrap_or_default()) else {
        return Ok(Changed::Not(list(here, Some(UNNAMED))));
    };
    match starter::copy(*built_in, &here.folder.path().join(&name)) {
        Ok(()) => Ok(Changed::Go(
            here.carried().with("file", &name).address(PATH),
        )),
        Err(why) => Ok(Changed::Not(list(here, Some(&why)))),
    }
}

/// A file as a form.
fn view(here: &Here<'_>, entry: &Entry, form: FileForm, above: Markup) -> Result<View, Failure> {
    let in_file = forms::form(&form_file(here, entry)?).map_err(|refused| failed(&refused))?;
    let kept = here.asked.only(&["sort", "keys"]);
    let asked = here.carried().with("file", &entry.name);
    let asked = kept
        .pairs()
        .fold(asked, |asked, (name, value)| asked.with(name, value));
    let sorted = here.asked.get("sort") == Some("effect");
    let mut groups = match sorted {
        true => by_their_effect(here, entry, &form)?,
        false => form.fields.first.clone(),
    };
    // keys that few set come when they are asked for, for there are many of them, or where one is wrong
    let every = here.asked.get("keys") == Some("every");
    let (few, wrong): (Vec<Controls>, Vec<Controls>) = form
        .fields
        .rare
        .iter()
        .cloned()
        .partition(|group| group.folded);
    let of_few: usize = few.iter().map(|group| group.fields.len()).sum();
    groups.extend(wrong);
    if every {
        groups.extend(few);
    }
    let set = html! {
        (above)
        @for problem in form.problems.iter().chain(&form.warnings) { p class="doubt" { (problem) } "\n" }
        p {
            @match sorted {
                true => a href=(asked.without("sort").address(PATH)) { "In the order of the file" },
                false => a href=(asked.with("sort", "effect").address(PATH)) {
                    "What is assumed first, by what it does to the answer"
                },
            }
            @if of_few > 0 && !every {
                ". " a href=(asked.with("keys", "every").address(PATH)) {
                    (of_few) " rarely used keys"
                }
            }
        } "\n"
        p class="hint" { "Nothing is written until you press Save." } "\n"
        @let tables = tables_of(here, &form);
        @if !tables.is_empty() {
            p {
                "It reads figures from "
                @for (at, name) in tables.iter().enumerate() {
                    @if at > 0 { ", " }
                    a href=(here.carried().with("file", name).address(PATH)) { (name) }
                }
                "."
            } "\n"
        }
        form id="file" method="post" action=(PATH) data-change autocomplete="off" { "\n"
            (here.hidden())
            input type="hidden" name="file" value=(entry.name); "\n"
            (kept.hidden())
            (sent::carried(&in_file.fingerprint, &in_file.fields.first))
            @for group in &groups { (html::controls(group)) }
            div class="actions sticky" { "\n"
                button class="first" id="do-save" name="do" value="save" { "Save" } "\n"
                @if form.can_be_put_back {
                    button id="do-back" name="do" value="back" { "Back to how it was before the last change" } "\n"
                }
                a href=(here.carried().address(PATH)) { "All files" } "\n"
            } "\n"
        } "\n"
    };
    Ok(View::with_answer(entry.name.clone(), set))
}

/// The tables of the folder that a file reads figures from.
fn tables_of(here: &Here<'_>, form: &FileForm) -> Vec<String> {
    let named = form.keys.iter().filter(|of| of.key.ends_with(".from"));
    let mut named: Vec<&str> = named
        .filter_map(|of| Some(of.stated.as_ref()?.typed.as_str()))
        .collect();
    named.sort_unstable();
    named.dedup();
    let all = here.folder.of(FileKind::Table).into_iter();
    let used = all.filter(|entry| named.contains(&entry.name.as_str()));
    used.map(|entry| entry.name).collect()
}

/// A table, to be looked at.
fn table(here: &Here<'_>, entry: &Entry) -> Result<View, Failure> {
    let told = forms::table(&entry.path).map_err(|problems| failure(&problems))?;
    let set = html! {
        p { "It is changed in a spreadsheet or an editor; what it says now is seen here." } "\n"
        (html::part_of(&told))
        div class="actions" { a href=(here.carried().address(PATH)) { "All files" } } "\n"
    };
    Ok(View::of(entry.name.clone(), set))
}

/// What is assumed stands first, that which moves the answer most before the rest.
fn by_their_effect(
    here: &Here<'_>,
    entry: &Entry,
    form: &FileForm,
) -> Result<Vec<Controls>, Failure> {
    let files = named(here, entry)?;
    let sources = sources(&files)?;
    let loaded = read_sources(&sources, &files)?;
    let setup = set_up(&loaded, &here.renewed())?;
    let of = assumed::Files {
        sources: &sources,
        set: &[],
        loaded: &loaded,
    };
    let about = format!("effects {}", entry.name);
    let effects = here.worked_out(&about, 0, || {
        on_so_many_threads(None, |_| effects(Headline::Right, of, &setup, SEED))
    })?;
    let first = by_effect(form, &effects, "percentage points of jobs right");
    let is_first = |name: &str| first.fields.iter().any(|field| field.name == name);
    let rest = form.fields.first.iter().cloned().map(|group| Controls {
        fields: group
            .fields
            .into_iter()
            .filter(|field| !is_first(&field.name))
            .collect(),
        ..group
    });
    let rest: Vec<Controls> = rest.filter(|group| !group.fields.is_empty()).collect();
    Ok([vec![first], rest].concat())
}

/// Whether a key names a file to read.
fn names_a_file(key: &str) -> bool {
    key.ends_with(".from") || (key.starts_with("jobs.") && key.ends_with(".axle"))
}

/// Whether a name leads nowhere but into the folder.
fn is_plain(name: &str) -> bool {
    Path::new(name)
        .file_name()
        .is_none_or(|plain| plain == name)
        && !name.starts_with("..")
}

/// Writes what was typed.
fn write(here: &Here<'_>, entry: &Entry) -> Result<Changed, Failure> {
    let file = form_file(here, entry)?;
    let sent = Sent::of(here.asked, &CARRIED);
    let elsewhere = |(name, typed): &&(String, String)| names_a_file(name) && !is_plain(typed);
    if let Some((name, _)) = sent.changed.iter().find(elsewhere) {
        let mut form = form(&file).map_err(|refused| failed(&refused))?;
        for field in form.fields.all_mut().flat_map(|group| &mut group.fields) {
            if field.name == *name {
                field.problem = Some("name a file of this folder, without a path".to_owned());
            }
        }
        sent.put_into(form.fields.all_mut());
        return Ok(Changed::Not(view(here, entry, form, html! {})?));
    }
    match send(&file, &sent.seen, &sent.changed) {
        Ok(forms::Sent::Written | forms::Sent::AsItWas) => Ok(Changed::Go(address_of(here, entry))),
        Ok(forms::Sent::Wrong(form)) => Ok(Changed::Not(view(here, entry, *form, html! {})?)),
        Err(Refused::NotWritten(NotWritten::Changed(_))) => {
            let mut form = form(&file).map_err(|refused| failed(&refused))?;
            sent.put_into(form.fields.all_mut());
            let above = changed_meanwhile(&entry.name);
            Ok(Changed::Meanwhile(view(here, entry, form, above)?))
        }
        Err(refused) => Err(failed(&refused)),
    }
}

/// Puts the file back as it was before the last change.
fn back(here: &Here<'_>, entry: &Entry) -> Result<Changed, Failure> {
    match put_back(&entry.path, &Sent::of(here.asked, &CARRIED).seen) {
        Ok(()) => Ok(Changed::Go(address_of(here, entry))),
        Err(NotWritten::Changed(_)) => {
            let form = form(&form_file(here, entry)?).map_err(|refused| failed(&refused))?;
            let above = changed_meanwhile(&entry.name);
            Ok(Changed::Meanwhile(view(here, entry, form, above)?))
        }
        Err(why) => Err(Failure::CannotAccess(why.to_string())),
    }
}

fn address_of(here: &Here<'_>, entry: &Entry) -> String {
    let kept = here.asked.only(&["sort", "keys"]);
    let asked = here.carried().with("file", &entry.name);
    let all = kept
        .pairs()
        .fold(asked, |asked, (name, value)| asked.with(name, value));
    all.address(PATH)
}
