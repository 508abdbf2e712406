//! A document's pieces as HTML that is well-formed XML as well, so that any XML reader can check it.

mod controls;
mod table;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::svg;
use super::xml::not_in_xml;
use crate::document::wording::{Named, printed};
use crate::document::{Block, Control, Controls, Document, Figure, Made, Section, Table};
use crate::files::ReadFile;

use self::table::{looked_up, named};

pub use self::controls::{controls, field};
pub(super) use self::table::head;

/// The style of every page.
pub const STYLE: &str = include_str!("style.css");

/// What the last section is called.
const BEHIND: &str = "What stands behind it";

/// A document as a page of its own: one file, no requests, readable without script. The first
/// section is the answer; the others follow a list of contents.
pub fn page(document: &Document) -> String {
    let document = &document.worded(&printed);
    let (first, rest) = match document.sections.split_first() {
        Some((first, rest)) => (Some(first), rest),
        None => (None, [].as_slice()),
    };
    // a short page says at its end what it is made from, a long one under its answer
    let is_long = !document.behind.is_empty();
    let made = html! { @if let Some(made) = &document.made { (self::made(made)) } };
    let body = html! {
        header { "\n"
            h1 { (document.title) } "\n"
            @for line in &document.under { p class="job" { (line) } "\n" }
            @if let Some(said) = document.broken_off() { (paragraph(&said)) }
        } "\n"
        @if !document.doubts.is_empty() {
            aside class="caution" aria-label="What looks wrong" { "\n"
                @for doubt in &document.doubts { (paragraph(&format!("Looks wrong: {doubt}"))) }
            } "\n"
        }
        @if let Some(first) = first { (section(first)) }
        @if is_long { (made) }
        (cautions("Caution", &document.cautions[..document.cautions.len().min(1)]))
        @if is_long { (contents(rest)) }
        @for of in rest { (section(of)) }
        @if is_long { (behind(document)) } @else { (made) }
    };
    whole(&document.title, &body)
}

/// What a long page holds.
fn contents(sections: &[Section]) -> Markup {
    html! {
        nav aria-label="Contents" { "\n"
            ul { "\n"
                @for of in sections { li { a href={ "#" (of.id) } { (of.heading) } } "\n" }
                li { a href="#behind" { (BEHIND) } } "\n"
            } "\n"
        } "\n"
    }
}

/// Assumptions that are listed on paper too; more are folded away.
const MOST_ASSUMED: usize = 12;

fn assumed(assumptions: &[String]) -> Markup {
    let list = html! {
        ul class="assumed" { "\n"
            @for assumption in assumptions { li { (assumption) } "\n" }
        } "\n"
    };
    if assumptions.len() <= MOST_ASSUMED {
        return list;
    }
    html! {
        details { "\n"
            summary { "All " (assumptions.len()) " figures that are assumed" } "\n"
            (list)
        } "\n"
    }
}

/// What the figures of a long page rest on.
fn behind(document: &Document) -> Markup {
    html! {
        section id="behind" { "\n"
            h2 { (BEHIND) } "\n"
            @for line in document.behind.lines() { (paragraph(line)) }
            @if !document.assumptions.is_empty() {
                h3 { "Assumed, since the files do not say" } "\n"
                (assumed(&document.assumptions))
                @if let Some(most) = &document.moved_most { (paragraph(most)) }
            }
            @if let Some(made) = &document.made { (files(made)) }
            h3 { "Before anyone works by it" } "\n"
            (cautions("Cautions for the work", &document.cautions))
            p class="on-screen" {
                "Tables that are open when the page is printed are printed with it."
            } "\n"
        } "\n"
    }
}

/// What a page is made from: the keys that took other values, the run and the files.
pub(super) fn made(made: &Made) -> Markup {
    let files = made.files.iter().map(ReadFile::line);
    let from: Vec<String> = std::iter::once(made.run()).chain(files).collect();
    html! {
        @if let Some(changes) = made.changes() { (table(&changes)) }
        p class="made" { "Made from: " (from.join("; ")) "." } "\n"
    }
}

/// The files as they were read, folded away.
fn files(made: &Made) -> Markup {
    html! {
        @for file in made.files.iter().filter(|file| file.is_shown()) {
            details { "\n"
                summary { "The " (file.what) ": " (file.name) } "\n"
                pre role="region" tabindex="0" aria-label=(file.name) { (file.text) } "\n"
            } "\n"
        }
    }
}

/// A page with this body.
pub fn whole(title: &str, body: &Markup) -> String {
    let version = env!("CARGO_PKG_VERSION");
    // what has no content closes itself, as XML asks for
    let head = PreEscaped(format!(
        "<meta charset=\"utf-8\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
         <meta name=\"generator\" content=\"shimcast {version}\"/>\n"
    ));
    // what paper has at the top of every sheet
    let running = PreEscaped(format!(
        "<style>@page {{ @top-left {{ content: \"{}\"; }} }}</style>\n",
        css_text(title)
    ));
    let icon = PreEscaped("<link rel=\"icon\" href=\"data:,\"/>\n");
    let page = html! {
        (DOCTYPE) "\n"
        html lang="en" xmlns="http://www.w3.org/1999/xhtml" { "\n"
            head { "\n" (head) title { (title) } "\n" (icon)
                style { "\n" (PreEscaped(STYLE)) } "\n" (running)
            } "\n"
            body { "\n" main { "\n" (body) } "\n" } "\n"
        } "\n"
    };
    page.into_string().replace(not_in_xml, "\u{fffd}")
}

/// Text in a string of a style sheet (CSS Syntax Level 3, clause 4.3.7): whatever is no letter, digit
/// or blank is escaped.
fn css_text(text: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || c == ' ';
    text.chars()
        .map(|c| match c {
            c if plain(c) => c.to_string(),
            c => format!("\\{:x} ", u32::from(c)),
        })
        .collect()
}

fn paragraph(text: &str) -> Markup {
    html! { p { (text) } "\n" }
}

fn section(of: &Section) -> Markup {
    html! {
        section id=(of.id) { "\n"
            @if !of.heading.is_empty() { h2 { (of.heading) } "\n" }
            (blocks(&of.blocks))
        } "\n"
    }
}

/// Figures that follow each other lie side by side, steps that do are a list.
fn blocks(all: &[Block]) -> Markup {
    let alike = |a: &Block, b: &Block| {
        let kinds = [Block::is_figure, Block::is_step];
        kinds.iter().any(|is| is(a) && is(b))
    };
    html! {
        @for group in all.chunk_by(alike) {
            @let first = &group[0];
            @if first.is_figure() {
                div class="exhibits" { "\n" @for of in group { (block(of)) } } "\n"
            } @else if first.is_step() {
                ol class="work" { "\n" @for of in group { (block(of)) } } "\n"
            } @else {
                (block(first))
            }
        }
    }
}

fn block(of: &Block) -> Markup {
    match of {
        Block::Table(of) => table(of),
        Block::Folded(of) => folded(&of.caption, of),
        Block::Figure(of) => figure(of),
        Block::Heading(text) => html! { h3 { (text) } "\n" },
        Block::Note(text) | Block::Under(text) | Block::Text(text) => paragraph(text),
        Block::Step(heading, beside, of) => html! {
            li { "\n"
                p {
                    b { (heading) }
                    @if !beside.is_empty() { " " span class="took" { (beside) } }
                } "\n"
                (blocks(of))
            } "\n"
        },
    }
}

fn figure(of: &Figure) -> Markup {
    figure_below(&html! { h3 { (of.question) } "\n" }, of)
}

fn figure_below(question: &Markup, of: &Figure) -> Markup {
    html! {
        section class="exhibit" id=(of.name) { "\n"
            (question)
            figure { "\n"
                (PreEscaped(svg::inline(of))) "\n"
                figcaption {
                    p class="finding" { (of.finding) } "\n"
                    p class="reading" { (of.reading) }
                } "\n"
            } "\n"
            (folded(&of.question, &of.table))
        } "\n"
    }
}

fn folded(title: &str, of: &Table) -> Markup {
    html! {
        details { "\n"
            summary { "Table: " (title) } "\n"
            (looked_up(title, of))
        } "\n"
    }
}

fn table(table: &Table) -> Markup {
    named(&table.caption, table)
}

/// What a document says, without its title, as part of a page that has one: what is shown first, and the
/// rest for those who open it.
pub fn part(document: &Document) -> Markup {
    part_beside(document, &Controls::default())
}

/// The same beside fields that ask for it, which it names by what stands over them.
pub fn part_beside(document: &Document, fields: &Controls) -> Markup {
    let document = &document.worded(&|named| on_screen(named, &fields.fields));
    let (first, rest): (Vec<&Section>, Vec<&Section>) =
        document.sections.iter().partition(|of| of.first);
    html! {
        @if let Some(said) = document.broken_off() { (paragraph(&said)) }
        @for line in &document.under { p class="job" { (line) } "\n" }
        @for doubt in &document.doubts { p class="doubt" { "Looks wrong: " (doubt) } "\n" }
        @for of in first { (part_of(of)) }
        @if let Some(most) = &document.moved_most { (paragraph(most)) }
        @if !rest.is_empty() {
            details class="more" { "\n"
                summary { "All of it" } "\n"
                @for of in rest { (part_of(of)) }
                @for line in document.behind.lines() { (paragraph(line)) }
                @if !document.assumptions.is_empty() { (assumed(&document.assumptions)) }
            } "\n"
        }
        (cautions("Caution", &document.cautions))
    }
}

/// What a sentence names, as it is found on the screen.
fn on_screen(named: Named<'_>, fields: &[Control]) -> Option<String> {
    match named {
        Named::Option(name) => {
            let field = fields.iter().find(|field| field.name == name)?;
            Some(format!("\u{201c}{}\u{201d}", field.label))
        }
        Named::Command(_, place) => place.map(str::to_owned),
        Named::Key(_, in_words) => Some(in_words.to_owned()),
    }
}

/// A figure with its question and its words, as part of a page.
pub fn exhibit(of: &Figure) -> Markup {
    let of = &of.worded(&|named| on_screen(named, &[]));
    let question = html! { h2 { (of.question) } "\n" };
    html! { div class="exhibits" { "\n" (figure_below(&question, of)) } "\n" }
}

/// A section of a document, as part of a page.
pub fn part_of(of: &Section) -> Markup {
    let of = &of.worded(&|named| on_screen(named, &[]));
    html! {
        section id=[(!of.id.is_empty()).then_some(of.id)] { "\n"
            @if !of.heading.is_empty() { h2 { (of.heading) } "\n" }
            @match of.blocks.split_first() {
                // the heading says what it holds
                Some((Block::Table(first), rest)) if first.caption == of.heading => {
                    (named(&of.heading, &first.clone().caption("")))
                    (blocks(rest))
                },
                _ => (blocks(&of.blocks)),
            }
        } "\n"
    }
}

fn cautions(label: &str, all: &[&str]) -> Markup {
    html! {
        @if !all.is_empty() {
            aside class="caution" aria-label=(label) { "\n"
                @for caution in all { (paragraph(caution)) }
            } "\n"
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::wording::{hint, option};
    use crate::document::{Cell, ControlKind};

    #[test]
    fn what_a_heading_says_is_not_said_again() {
        let mut of = Document::about("x");
        let mut hours = Table::named().caption("Hours");
        hours.name("mean", Cell::count(8));
        of.table(hours, []).first();
        let html = part(&of).into_string();
        assert!(
            html.contains("<h2>Hours</h2>") && !html.contains("<caption>"),
            "{html}"
        );
        assert!(html.contains("aria-label=\"Hours\""), "{html}");
    }

    #[test]
    fn a_field_is_named_by_what_stands_over_it() {
        let mut of = Document::about("x");
        let how = format!("without it; {} puts it in", option("margin"));
        of.section("", [Block::Note(hint(&how))]).first();
        let fields = Controls {
            fields: vec![Control::new("margin", "Margin", ControlKind::Figure)],
            ..Controls::default()
        };
        let html = part_beside(&of, &fields).into_string();
        assert!(
            html.contains("without it; \u{201c}Margin\u{201d} puts it in"),
            "{html}"
        );
        assert!(!part(&of).into_string().contains("without it"));
    }
}
