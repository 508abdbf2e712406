//! A form as a page to print.

use maud::{Markup, html};

use super::html::whole;
use crate::document::{Form, FormPart};

/// A form as a page of its own.
pub fn page(form: &Form) -> String {
    let body = html! {
        div class="sheet" { "\n"
            h1 { (form.title) } "\n"
            p { (form.under) } "\n"
            (blanks(form.above))
            div class="halves" { "\n"
                @for of in &form.halves { (part(of)) }
            } "\n"
            @for of in &form.parts { (part(of)) }
            p class="small" { (form.note) } "\n"
            (blanks(form.below))
        } "\n"
    };
    whole(&form.title, &body)
}

/// Labels with room to write.
fn blanks(labels: &[&str]) -> Markup {
    html! { p class="blanks" { @for label in labels { span { (label) } } } "\n" }
}

fn part(of: &FormPart) -> Markup {
    let cell = |row: &[String], place: usize| row.get(place).cloned().unwrap_or_default();
    html! {
        section { "\n"
            h2 { (of.heading) } "\n"
            table class="grid" { "\n"
                caption { (of.caption) } "\n"
                thead { tr { @for title in &of.columns { th scope="col" { (title) } } } } "\n"
                tbody { "\n"
                    @for row in &of.rows {
                        tr {
                            th scope="row" { (cell(row, 0)) }
                            @for place in 1..of.columns.len() { td { (cell(row, place)) } }
                        } "\n"
                    }
                } "\n"
            } "\n"
            @if !of.note.is_empty() { p class="small" { (of.note) } "\n" }
        } "\n"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_empty_cell_is_there_to_be_written_in() {
        let of = FormPart {
            heading: "h",
            caption: "c",
            columns: vec!["a".into(), "b".into()],
            rows: vec![vec!["<x>".into()]],
            note: String::new(),
        };
        let html = part(&of).into_string();
        assert!(
            html.contains("<th scope=\"row\">&lt;x&gt;</th><td></td>"),
            "{html}"
        );
    }
}
