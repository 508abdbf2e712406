//! The pages to keep, print and send, as the command `report` makes them.

use maud::html;

use super::{Room, Shown, View};
use crate::cli::{Audience, Dated, Decimals, Find, PriceTerms, Report as Args, Sampled};
use crate::desk::here::Here;
use crate::questions::context::Failure;
use crate::questions::report::{empty_sheet, page};

/// The room.
pub struct Report;

/// A page: its name in the address, what it is, and a word on it.
const PAGES: [(&str, &str, &str); 3] = [
    (
        "shop",
        "For the shop",
        "odds, quote, what helps, which shims to keep: six sheets of paper",
    ),
    (
        "student",
        "For a student",
        "every figure, with how everything spreads and why jobs differ",
    ),
    (
        "sheet",
        "Job sheet",
        "to print and fill in by hand at the bench",
    ),
];

impl Room for Report {
    fn name(&self) -> &'static str {
        "report"
    }

    fn title(&self) -> &'static str {
        "Report"
    }

    fn show(&self, here: &Here<'_>) -> Result<Shown, Failure> {
        let args = |audience| {
            Ok(Args {
                job: here.job(None)?,
                terms: PriceTerms::default(),
                audience,
                sweep: Vec::new(),
                rebuild: 1,
                find: None::<Find>,
                no_stock: false,
                output: None,
                charts: None,
                csv: None,
                decimal: Decimals::default(),
                sampled: Sampled::default(),
                dated: Dated::default(),
                sheet: false,
                force: false,
            })
        };
        let asked = here.asked.get("page");
        let _large = asked
            .filter(|page| *page != "sheet")
            .map(|_| here.large())
            .transpose()?;
        match here.asked.get("page") {
            Some("shop") => page(&args(Audience::Shop)?).map(Shown::Whole),
            Some("student") => page(&args(Audience::Student)?).map(Shown::Whole),
            Some("sheet") => empty_sheet(&args(Audience::Shop)?).map(Shown::Whole),
            _ => Ok(Shown::View(list(here))),
        }
    }
}

fn list(here: &Here<'_>) -> View {
    let carried = here.carried();
    let set = html! {
        (here.choose("/report", true))
        p { "Each is one page without script or requests, to keep, print and send: save it from the browser." } "\n"
        ul class="pages" { "\n"
            @for (name, title, word) in PAGES {
                li { a href=(carried.with("page", name).address("/report")) { (title) } ": " (word) } "\n"
            }
            li { "A page for the customer is made in " a href=(carried.address("/quote")) { "Quote" } "." } "\n"
        } "\n"
    };
    View::of("Pages to keep and send", set)
}
