//! What a room knows when it is asked: the folder, what was asked, who asked.

use std::path::PathBuf;
use std::sync::Arc;

use maud::{Markup, html};
use serde_json::{Map, Value};
use shimcast_sim::shop::Job;

use super::Desk;
use super::asked::Asked;
use super::folder::{Entry, Folder};
use super::known::Known;
use super::turns::{Place, Turn};
use crate::cli::{self, Effort, Files, Renew, Renewed};
use crate::files::{FileKind, Loaded, Source, load, load_shop};
use crate::progress::Listener;
use crate::questions::context::{Failure, failure};

/// Names that are carried from room to room.
pub const CARRIED: [&str; 5] = ["axle", "shop", "gears", "bearings", "have"];

/// What a room knows.
#[derive(Debug)]
pub struct Here<'a> {
    /// The files.
    pub folder: &'a Folder,
    /// What was asked.
    pub asked: &'a Asked,
    /// Whether the page can refine its answers by itself.
    pub script: bool,
    /// Where the page is for a browser that says so and has no script any more; none after a form.
    pub plain: Option<&'a str>,
    /// Who asked.
    pub listener: &'a Listener,
    /// The turn in which it is worked out.
    turn: &'a Turn,
    /// What was worked out before.
    known: &'a Known,
    /// The files before any of them was read for this.
    pub files_were: Map<String, Value>,
}

/// How well shares are to be known once an answer stands still, percentage points either way.
const WITHIN: f64 = 0.3;

impl<'a> Here<'a> {
    /// Somebody asks.
    pub fn new(desk: &'a Desk, asked: &'a Asked, script: bool, turn: &'a Turn) -> Self {
        Self {
            folder: &desk.folder,
            asked,
            script,
            plain: None,
            listener: turn.listener(),
            turn,
            known: &desk.known,
            files_were: desk.folder.as_it_is(),
        }
    }

    /// The same of a page that is elsewhere for a browser without script.
    pub fn plain_at(self, plain: Option<&'a str>) -> Self {
        Self { plain, ..self }
    }

    /// The same once something was written: what was worked out before holds no longer.
    pub fn afresh(&self) -> Here<'_> {
        Here {
            files_were: self.folder.as_it_is(),
            ..*self
        }
    }

    /// The same, asking something else.
    pub fn asking<'b>(&'b self, asked: &'b Asked) -> Here<'b> {
        Here {
            asked,
            files_were: self.files_were.clone(),
            ..*self
        }
    }
}

impl Here<'_> {
    /// The file of a kind that was asked for, or the one to begin with; `None` where there is none of that
    /// kind.
    ///
    /// # Errors
    /// Where one was asked for that the folder does not list.
    pub fn file(&self, kind: FileKind, name: &str) -> Result<Option<Entry>, Failure> {
        let mut all = self.folder.of(kind);
        let at = match self.asked.get(name) {
            Some(asked) => {
                let known = all.iter().position(|entry| entry.name == asked);
                Some(known.ok_or_else(|| not_listed(asked))?)
            }
            None if kind == FileKind::Shop => self.shop_of(&all),
            None => None,
        };
        let at = at.unwrap_or(0);
        Ok((at < all.len()).then(|| all.swap_remove(at)))
    }

    /// Where the file of a kind is that was asked for; `None` where none was.
    ///
    /// # Errors
    /// Where the folder does not list it.
    pub fn file_if_asked(&self, kind: FileKind, name: &str) -> Result<Option<PathBuf>, Failure> {
        match self.asked.get(name) {
            Some(_) => Ok(self.file(kind, name)?.map(|entry| entry.path)),
            None => Ok(None),
        }
    }

    /// Refuses names that the folder does not list, whether anything needs them or not.
    ///
    /// # Errors
    /// The first of them.
    pub fn are_listed(&self) -> Result<(), Failure> {
        let kinds = [
            (FileKind::Axle, "axle"),
            (FileKind::Shop, "shop"),
            (FileKind::Counts, "have"),
        ];
        let asked = kinds
            .into_iter()
            .filter(|(_, name)| self.asked.get(name).is_some());
        for (kind, name) in asked {
            self.file(kind, name)?;
        }
        Ok(())
    }

    /// The shop that works on the axle, or else one that says which jobs it does.
    fn shop_of(&self, shops: &[Entry]) -> Option<usize> {
        let axle = self.file(FileKind::Axle, "axle").ok().flatten();
        let loaded = |shop: &Entry| load_shop(&Source::File(shop.path.clone()), &[]).ok();
        let jobs = |shop| loaded(shop).map_or_else(Vec::new, |loaded| loaded.shop.jobs);
        let all: Vec<_> = shops.iter().map(jobs).collect();
        let of_axle = axle.and_then(|axle| {
            let is_its = |jobs: &Vec<Job>| jobs.iter().any(|job| job.axle == axle.name);
            all.iter().position(is_its)
        });
        of_axle.or_else(|| all.iter().position(|jobs| !jobs.is_empty()))
    }

    /// The axle and the shop.
    pub fn files(&self) -> Result<Files, Failure> {
        let file = |kind, name| {
            let found = self.file(kind, name)?;
            Ok::<_, Failure>(found.map(|entry| entry.path))
        };
        let axle = file(FileKind::Axle, "axle")?;
        let shop = file(FileKind::Shop, "shop")?;
        if axle.is_none() || shop.is_none() {
            let missing = match axle {
                None => "axle",
                Some(_) => "shop",
            };
            return Err(Failure::NotThere(format!(
                "there is no {missing} file in this folder yet; the room Files begins with one"
            )));
        }
        Ok(Files {
            axle,
            shop,
            set: Vec::new(),
            anyway: false,
        })
    }

    /// What is renewed.
    pub fn renewed(&self) -> Renewed {
        let renew = |name| match self.asked.get(name) {
            Some("kept") => Renew::Kept,
            _ => Renew::New,
        };
        Renewed {
            gears: renew("gears"),
            bearings: renew("bearings"),
        }
    }

    /// The axle and the shop as they are now.
    pub fn loaded(&self) -> Result<Loaded, Failure> {
        let files = self.files()?;
        load(&files.axle.into(), &files.shop.into(), &[]).map_err(|problems| failure(&problems))
    }

    /// What is carried on, inside a form.
    pub fn hidden(&self) -> Markup {
        self.carried().hidden()
    }

    /// What tells whether an answer still holds: what it is about, and all files as they are.
    fn stands_for(&self, what: &str, stage: usize) -> String {
        let file = |kind, name| {
            let found = self.file(kind, name).ok().flatten();
            found.map(|entry| entry.name)
        };
        let files = [file(FileKind::Axle, "axle"), file(FileKind::Shop, "shop")];
        let parts = ["gears", "bearings", "have"].map(|name| self.asked.get(name));
        format!("{what} {stage} {files:?} {parts:?} {:?}", self.files_were)
    }

    /// Waits for a place at what takes long and much memory, as planning a drawer does, and gives the turn
    /// to others; held while it is worked out, so that whoever asks for the same meanwhile finds it done.
    ///
    /// # Errors
    /// Where nobody waits for it any more.
    pub fn large(&self) -> Result<Place, Failure> {
        let nobody = || Failure::BrokenOff("nobody waits for this any more".to_owned());
        self.turn.large().ok_or_else(nobody)
    }

    /// What was worked out before under this name; what was said of the files then is said again.
    pub fn kept<T: Send + Sync + 'static>(&self, name: &str) -> Option<Arc<T>> {
        let (answer, said) = self.known.get(name)?;
        for words in said {
            self.listener.hear(words);
        }
        Some(answer)
    }

    /// The same, worked out now where it is not known.
    ///
    /// # Errors
    /// Where it can't be.
    pub fn kept_or<T: Send + Sync + 'static>(
        &self,
        name: String,
        work: impl FnOnce() -> Result<T, Failure>,
    ) -> Result<Arc<T>, Failure> {
        if let Some(known) = self.kept(&name) {
            return Ok(known);
        }
        let (answer, said) = self.listener.overhear(work);
        let answer = Arc::new(answer?);
        // what was broken off is no answer
        if !self.listener.is_gone() {
            self.known.keep(name, &answer, said);
        }
        Ok(answer)
    }

    /// What was worked out of the axle and shop before, at this stage.
    pub fn known<T: Send + Sync + 'static>(&self, what: &str, stage: usize) -> Option<Arc<T>> {
        self.kept(&self.stands_for(what, stage))
    }

    /// The same, worked out now where it is not known.
    ///
    /// # Errors
    /// Where it can't be.
    pub fn worked_out<T: Send + Sync + 'static>(
        &self,
        what: &str,
        stage: usize,
        work: impl FnOnce() -> Result<T, Failure>,
    ) -> Result<Arc<T>, Failure> {
        self.kept_or(self.stands_for(what, stage), work)
    }

    /// The job that is asked about, with this many rebuilds or as many as it takes.
    pub fn job(&self, rebuilds: Option<u64>) -> Result<cli::Job, Failure> {
        Ok(cli::Job {
            files: self.files()?,
            renewed: self.renewed(),
            effort: Effort {
                rebuilds,
                within: WITHIN,
                seed: 1,
                threads: None,
            },
        })
    }

    /// What is carried from room to room.
    pub fn carried(&self) -> Asked {
        self.asked.only(&CARRIED)
    }

    /// Which file of a kind, where the folder has any: the one in use, or where `none` is said what stands
    /// for none of them.
    pub fn choose_file(
        &self,
        kind: FileKind,
        name: &str,
        label: &str,
        none: Option<&str>,
    ) -> Markup {
        let listed = self.folder.of(kind).into_iter();
        let mut all: Vec<(String, String)> = listed
            .map(|entry| (entry.name.clone(), entry.name))
            .collect();
        if all.is_empty() {
            return html! {};
        }
        let now = match none {
            Some(_) => self.asked.get(name).map(str::to_owned),
            None => self.file(kind, name).ok().flatten().map(|entry| entry.name),
        };
        if let Some(none) = none {
            all.insert(0, (String::new(), none.to_owned()));
        }
        choice(name, label, &all, now.as_deref().unwrap_or_default())
    }

    /// Which axle, shop and parts: as a form of its own, which asks for the same room again.
    pub fn choose(&self, path: &str, with_parts: bool) -> Markup {
        let renewed = self.renewed();
        let part = |name: &'static str, label: &'static str, now: Renew| {
            let words = [("new", "new"), ("kept", "kept")];
            let words = words.map(|(a, b)| (a.to_owned(), b.to_owned()));
            let now = match now {
                Renew::New => "new",
                Renew::Kept => "kept",
            };
            choice(name, label, &words, now)
        };
        html! {
            form class="choose" method="get" action=(path) data-go { "\n"
                (self.choose_file(FileKind::Axle, "axle", "Axle", None))
                (self.choose_file(FileKind::Shop, "shop", "Shop", None))
                @if with_parts {
                    (part("gears", "Gears", renewed.gears))
                    (part("bearings", "Bearings", renewed.bearings))
                }
                button class="quiet" { "Show" } "\n"
            } "\n"
        }
    }
}

/// That a name is none of those that the folder has.
pub fn not_listed(name: &str) -> Failure {
    Failure::NotThere(format!(
        "there is no file {name:?} of this kind in the folder; choose one that is listed"
    ))
}

/// One of several, with its label before it.
pub fn choice(name: &str, label: &str, options: &[(String, String)], now: &str) -> Markup {
    html! {
        label { (label) " "
            select name=(name) {
                @for (sent, shown) in options {
                    option value=(sent) selected[sent == now] { (shown) }
                }
            }
        } "\n"
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use tokio::runtime::Builder;

    use super::*;
    use crate::desk::door::Visitor;
    use crate::questions::context::warn;

    #[test]
    fn what_was_said_of_the_files_is_said_each_time_and_what_was_broken_off_is_not_kept() {
        let desk = Arc::new(Desk::of_tests("said"));
        let runtime = Builder::new_current_thread().build().expect("a runtime");
        let ask = |listener: Listener, breaks: bool| {
            let of = Arc::clone(&desk);
            let work = move |turn: &Turn| {
                let asked = Asked::default();
                let here = Here::new(&of, &asked, true, turn);
                let mut worked = false;
                let answer = here.worked_out("sum", 0, || {
                    warn("looks odd");
                    warn("looks odd");
                    worked = true;
                    breaks.then(|| here.listener.leave());
                    Ok(2)
                });
                (answer.expect("an answer"), worked, here.listener.heard())
            };
            runtime.block_on(desk.turns.take(Visitor(1), listener, work))
        };
        let said = || vec!["looks odd".to_owned()];
        let two = Arc::new(2);
        let broken = ask(Listener::default(), true);
        assert_eq!(broken, Some((Arc::clone(&two), true, said())));
        let first = ask(Listener::default(), false);
        assert_eq!(first, Some((Arc::clone(&two), true, said())));
        let again = ask(Listener::default(), false);
        assert_eq!(again, Some((two, false, said())));
    }
}
