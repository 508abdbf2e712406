//! The lessons on variation, to read beside the desk.

use maud::html;
use pulldown_cmark::{CowStr, Event, HeadingLevel, Options, Parser, Tag, TagEnd, html::push_html};

use super::{Room, Shown, View};
use crate::desk::asked::Asked;
use crate::desk::frame::ready;
use crate::desk::here::Here;
use crate::questions::context::Failure;
use crate::starter::lessons;

/// The room.
pub struct Lessons;

impl Room for Lessons {
    fn name(&self) -> &'static str {
        "lessons"
    }

    fn title(&self) -> &'static str {
        "Lessons"
    }

    fn show(&self, here: &Here<'_>) -> Result<Shown, Failure> {
        let wanted = here.asked.get("lesson");
        let lesson = match wanted {
            Some(name) => lessons().find(|lesson| lesson.name == name),
            None => lessons().next(),
        };
        let lesson =
            lesson.ok_or_else(|| Failure::NotThere("there is no such lesson".to_owned()))?;
        let carried = here.carried();
        let set = html! {
            @if wanted.is_some() {
                p { a href=(carried.address("/lessons")) { "All lessons" } } "\n"
            }
            div class="reading-text" { "\n" (ready(as_html(lesson.text, &carried))) } "\n"
        };
        Ok(Shown::View(View::of("Lessons", set)))
    }
}

/// Markdown as HTML below the heading of the room: links to other lessons stay in it.
fn as_html(text: &str, carried: &Asked) -> String {
    let lower = |level: HeadingLevel| match level {
        HeadingLevel::H1 => HeadingLevel::H2,
        HeadingLevel::H2 => HeadingLevel::H3,
        _ => HeadingLevel::H4,
    };
    let events = Parser::new_ext(text, Options::ENABLE_TABLES).map(|event| match event {
        Event::Start(Tag::Heading {
            level,
            id,
            classes,
            attrs,
        }) => Event::Start(Tag::Heading {
            level: lower(level),
            id,
            classes,
            attrs,
        }),
        Event::End(TagEnd::Heading(level)) => Event::End(TagEnd::Heading(lower(level))),
        Event::Start(Tag::Link {
            link_type,
            dest_url,
            title,
            id,
        }) => {
            let known = lessons().any(|lesson| *lesson.name == *dest_url);
            let dest_url = match known {
                true => CowStr::from(carried.with("lesson", &dest_url).address("/lessons")),
                false => dest_url,
            };
            Event::Start(Tag::Link {
                link_type,
                dest_url,
                title,
                id,
            })
        }
        other => other,
    });
    let mut html = String::new();
    push_html(&mut html, events);
    // what is wider than a phone is scrolled, by keyboard too
    html.replace("<pre>", "<pre tabindex=\"0\">")
        .replace(
            "<table>",
            "<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"Table\"><table>",
        )
        .replace("</table>", "</table></div>")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_link_of_the_list_leads_to_a_lesson() {
        let list = lessons().next().expect("the list");
        let html = as_html(list.text, &Asked::default());
        let links = html.matches("href=\"/lessons?lesson=").count();
        assert_eq!(links, lessons().count() - 1, "{html}");
        assert!(!html.contains("<h1"), "{html}");
    }
}
