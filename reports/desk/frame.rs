//! What stands around every room: the way to the others, the style, the scripts.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::asked::Asked;
use super::assets;
use super::rooms::ROOMS;
use crate::document::CAUTION_IN_SHORT;
use crate::questions::plausible::ANYWAY;

/// A page of the desk.
#[derive(Debug)]
pub struct Page<'a> {
    /// What it is about.
    pub title: &'a str,
    /// The room that it belongs to, by its name in the address.
    pub room: &'a str,
    /// What is carried on to other rooms.
    pub carried: &'a Asked,
    /// The files of the folder as it was made of them, as the news of them says it.
    pub files_were: String,
    /// Where the same is for a browser without script, where this was made for one with it.
    pub plain: Option<&'a str>,
    /// What it shows.
    pub body: Markup,
}

/// The page as HTML.
pub fn whole(page: &Page<'_>) -> String {
    let markup = html! {
        (DOCTYPE) "\n"
        html lang="en" { "\n"
            head { "\n"
                (head(&format!("{} · desk", page.title)))
                script type="module" src=(assets::SCRIPT) {} "\n"
                @if let Some(plain) = page.plain {
                    noscript { meta http-equiv="refresh" content={ "0; url=" (plain) }; } "\n"
                }
            } "\n"
            body data-room=(page.room) { "\n"
                a class="skip" href="#main" { "To the content" } "\n"
                nav aria-label="Rooms" class="rooms" { "\n"
                    @for room in ROOMS {
                        @let path = format!("/{}", room.name());
                        @let here = room.name() == page.room;
                        a href=(page.carried.address(&path)) aria-current=[here.then_some("page")] {
                            (room.title())
                        } "\n"
                    }
                } "\n"
                p id="news" role="status" hidden {} "\n"
                p id="said" class="unseen" aria-live="polite" {} "\n"
                main id="main" tabindex="-1" data-files=(page.files_were) { "\n" (page.body) } "\n"
                footer { p { (CAUTION_IN_SHORT) } } "\n"
            } "\n"
        } "\n"
    };
    markup.into_string()
}

/// What every page has in its head.
fn head(title: &str) -> Markup {
    html! {
        meta charset="utf-8"; "\n"
        meta name="viewport" content="width=device-width, initial-scale=1"; "\n"
        title { (title) } "\n"
        link rel="icon" href="data:,"; "\n"
        link rel="stylesheet" href=(assets::STYLE_SHEET); "\n"
    }
}

/// A short page of its own, for whoever is not let in or asks for what is not there.
pub fn bare(title: &str, body: &Markup) -> String {
    let page = html! {
        (DOCTYPE) "\n"
        html lang="en" { "\n"
            head { "\n"
                (head(title))
            } "\n"
            body { "\n" main { "\n" h1 { (title) } "\n" (body) } "\n" } "\n"
        } "\n"
    };
    page.into_string()
}

/// What is said of a question that has no answer, line by line as the commands print it, without the switch
/// that only they have.
pub fn refused(message: &str) -> Markup {
    let message = message.replace(ANYWAY, "");
    html! { pre class="refused" role="alert" { (message) } "\n" }
}

/// Markup that was made elsewhere as text.
pub fn ready(html: String) -> Markup {
    PreEscaped(html)
}
