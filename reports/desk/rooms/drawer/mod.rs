//! The drawer: what lies in it, counted up and down as shims come and go, and beside it what to order.

mod booked;
mod shown;

use maud::{Markup, html};
use shimcast_sim::stock::Stock;

use super::{Changed, Room, Shown, View};
use crate::cli::{ShopFiles, budget};
use crate::desk::asked::Asked;
use crate::desk::folder::Entry;
use crate::desk::frame;
use crate::desk::here::{CARRIED, Here};
use crate::faces::html;
use crate::files::{Counts, FileKind, LoadedShop, NotBooked, Source, load_shop};
use crate::questions::context::{Failure, failure};
use crate::questions::stock::now::{DrawerNow, Planned};
use crate::spreadsheet::Decimal;

/// The room.
pub struct Drawer;

/// Where it is.
const PATH: &str = "/drawer";
/// What the address holds besides the names that all rooms carry.
const BUDGET: &str = "budget";

impl Room for Drawer {
    fn name(&self) -> &'static str {
        "drawer"
    }

    fn title(&self) -> &'static str {
        "Drawer"
    }

    fn show(&self, here: &Here<'_>) -> Result<Shown, Failure> {
        match here.asked.get("page") {
            Some("slip") => {
                let counts = counted(here, &shop(here)?)?;
                let decimal = counts.map_or(Decimal::Point, |counts| counts.decimal());
                let slip = planned(here)?.slip(decimal);
                Ok(Shown::File("order-slip.csv", slip))
            }
            Some("print") => Ok(Shown::Whole(html::page(&planned(here)?.slip_page()))),
            _ => view(here, &Said::default()).map(Shown::View),
        }
    }

    fn stages(&self) -> usize {
        2
    }

    fn is_quick(&self) -> bool {
        true
    }

    fn live(&self, here: &Here<'_>, stage: usize) -> Result<Markup, Failure> {
        let now = now(here)?;
        let best = stage + 1 == self.stages();
        let known = here.kept::<Stock>(&kept_as(&now));
        let planned = match (known, best) {
            (None, false) => {
                return Ok(html! {
                    p class="working" { "What to keep and to order is being worked out …" } "\n"
                    (html::part(&now.without_plan()))
                });
            }
            (Some(plan), false) => now.beside(&plan),
            _ => planned(here)?,
        };
        Ok(html! {
            (shown::order(here, &planned)?)
            (html::part(&planned.tell()))
        })
    }

    fn prepare(&self, here: &Here<'_>) -> Result<(), Failure> {
        booked::prepare(here)
    }

    fn change(&self, here: &Here<'_>) -> Result<Changed, Failure> {
        if here.asked.get("do") == Some("begin") {
            return booked::begin(here);
        }
        let loaded = shop(here)?;
        let name = here.asked.get("have").unwrap_or_default();
        let Some(file) = here.folder.find(FileKind::Counts, name) else {
            return Err(Failure::NotThere(format!(
                "there is no count of a drawer called `{name}` in this folder any more"
            )));
        };
        let counts =
            Counts::open(&file.path, &loaded.shop).map_err(|problems| failure(&problems))?;
        let seen = here.asked.get("seen").unwrap_or_default().to_owned();
        let not = |said: Said| view(here, &said).map(Changed::Not);
        let bookings = match booked::bookings(here.asked, &counts) {
            Ok(bookings) => bookings,
            // what has no field of its own is said above them
            Err(mut wrong) => {
                let above = wrong.iter().position(|(field, _)| field.is_empty());
                let first = above.map(|at| wrong.swap_remove(at).1);
                return not(Said { first, wrong });
            }
        };
        let booked = counts.book(&seen, &bookings);
        let said = |why: &NotBooked| Said {
            first: Some(why.message()),
            ..Said::default()
        };
        match booked {
            Ok(()) => Ok(Changed::Go(state(here).address(PATH))),
            Err(why @ NotBooked::Short(_)) => not(said(&why)),
            Err(why @ NotBooked::Meanwhile(_)) => view(here, &said(&why)).map(Changed::Meanwhile),
            Err(why) => Err(Failure::CannotAccess(why.message())),
        }
    }
}

/// What is said of a form that was not taken.
#[derive(Debug, Default)]
struct Said {
    /// Above everything.
    first: Option<String>,
    /// Beside its field: the field's name and what is wrong with it.
    wrong: Vec<(String, String)>,
}

/// What the address of this room holds.
fn state(here: &Here<'_>) -> Asked {
    let [a, b, c, d, e] = CARRIED;
    here.asked.only(&[a, b, c, d, e, BUDGET])
}

/// The shop.
fn shop(here: &Here<'_>) -> Result<LoadedShop, Failure> {
    let source = Source::File(shop_file(here)?.path);
    load_shop(&source, &[]).map_err(|problems| failure(&problems))
}

fn shop_file(here: &Here<'_>) -> Result<Entry, Failure> {
    let missing = "there is no shop file in this folder yet; the room Files begins with one";
    let file = here.file(FileKind::Shop, "shop")?;
    file.ok_or_else(|| Failure::NotThere(missing.to_owned()))
}

/// What was counted, where there is a file.
fn counted(here: &Here<'_>, loaded: &LoadedShop) -> Result<Option<Counts>, Failure> {
    let file = here.file(FileKind::Counts, "have")?;
    let counts = file.map(|file| Counts::open(&file.path, &loaded.shop));
    counts.transpose().map_err(|problems| failure(&problems))
}

/// The drawer as it is now.
fn now(here: &Here<'_>) -> Result<DrawerNow, Failure> {
    let files = ShopFiles {
        shop: Some(shop_file(here)?.path),
        set: Vec::new(),
        sizes_from: None,
        without: Vec::new(),
        anyway: false,
    };
    let spent = spent(here).map_err(Failure::BadInput)?;
    let count = here.file(FileKind::Counts, "have")?.map(|file| file.path);
    DrawerNow::read(files, count.as_deref(), spent)
}

/// What may be spent now, where that was said; nothing is no limit.
fn spent(here: &Here<'_>) -> Result<Option<f64>, String> {
    let said = here.asked.get(BUDGET).filter(|said| *said != "0");
    said.map(budget).transpose()
}

fn kept_as(now: &DrawerNow) -> String {
    format!("plan of {}", now.plan_of())
}

/// The drawer with its plan, worked out where it is not known.
fn planned(here: &Here<'_>) -> Result<Planned, Failure> {
    let now = now(here)?;
    let name = kept_as(&now);
    let plan = match here.kept(&name) {
        Some(known) => known,
        None => {
            let _large = here.large()?;
            here.kept_or(name, || now.plan())?
        }
    };
    now.ahead(&plan)
}

fn view(here: &Here<'_>, said: &Said) -> Result<View, Failure> {
    let loaded = shop(here)?;
    let (counts, unread) = match counted(here, &loaded) {
        Ok(counts) => (counts, None),
        Err(failure) => (None, Some(failure)),
    };
    let live = unread.is_none();
    let set = html! {
        @if let Some(first) = &said.first { (frame::refused(first)) }
        (shown::choose(here))
        @if let Some(failure) = &unread { (frame::refused(failure.message())) }
        @if let Some(counts) = &counts {
            p class="jump" { a href="#live" { "To the order" } } "\n"
            (shown::compartments(here, &loaded, counts, said))
        }
        @if live { (shown::budget(here, &loaded)) }
        (shown::begin(here, said, counts.is_none()))
    };
    Ok(View {
        class: "two drawer",
        live,
        ..View::of("What lies in the drawer", set)
    })
}
