//! One rebuild told in order: what is true, what was read, what was decided and why.

use maud::{Markup, html};

use crate::faces::html::{paragraph, table};
use crate::questions::follow::acts::Act;
use crate::questions::follow::ends::{WORK, ending, parts, verdict};
use crate::questions::follow::{Account, THE_VERY};

/// The section about one rebuild.
pub(super) fn story(asked: &Account<'_>) -> Markup {
    let number = format!(
        "{}. {THE_VERY} Nobody at a real bench sees the truth; here it stands beside what was read.",
        asked.number()
    );
    let parts = parts(asked);
    html! {
        section id="story" { "\n"
            h2 { (heading(asked)) } "\n"
            (paragraph(&number))
            (table(&verdict(asked)))
            details { "\n"
                summary { "Table: " (parts.caption) } "\n"
                (table(&parts))
            } "\n"
            h3 { (WORK) } "\n"
            ol class="work" { "\n"
                @for act in asked.work() { (of_act(&act)) }
            } "\n"
            @match ending(asked) {
                Ok(end) => (table(&end)),
                Err(said) => (paragraph(&format!("In the end it was {said}."))),
            }
        } "\n"
    }
}

/// Its heading, and its name among the contents.
pub(super) fn heading(asked: &Account<'_>) -> String {
    format!("One rebuild, step by step: number {}", asked.story.number)
}

fn of_act(act: &Act) -> Markup {
    html! {
        li { "\n"
            p {
                b { (act.heading) }
                @if !act.took.is_empty() { " " span class="took" { (act.took) } }
            } "\n"
            @if let Some(of) = act.table() { (table(&of)) }
            @for line in &act.lines { (paragraph(line)) }
        } "\n"
    }
}
