//! A form as a page to print.

use maud::{Markup, PreEscaped, html};

use super::html::{head, whole};
use super::svg;
use crate::document::{Form, FormField, FormLine, FormPart, PrintedTable};

/// A form as a page of its own.
pub fn page(form: &Form) -> String {
    let body = html! {
        div class="sheet" { "\n"
            h1 { (form.title) } "\n"
            p { (form.under) } "\n"
            aside class="caution" aria-label="Caution" { "\n"
                @for caution in &form.cautions { p { (caution) } "\n" }
            } "\n"
            @for doubt in &form.doubts { p class="small" { strong { "Looks wrong: " } (doubt) } "\n" }
            (blanks(&form.above))
            @for of in &form.parts { (part(of)) }
            (blanks(&form.below))
        } "\n"
    };
    whole(&form.title, &body)
}

/// Labels with room to write.
fn blanks(labels: &[(&str, String)]) -> Markup {
    html! {
        p class="blanks" {
            @for (label, inside) in labels {
                span { (label) @if !inside.is_empty() { b { (inside) } } }
            }
        } "\n"
    }
}

fn part(of: &FormPart) -> Markup {
    html! {
        section { "\n"
            h2 { (of.heading) } "\n"
            @if let Some(table) = &of.printed { (printed(table)) }
            @for of in &of.lines { (line(of)) }
            @for note in &of.notes { p class="small" { (note) } "\n" }
        } "\n"
    }
}

fn printed(of: &PrintedTable) -> Markup {
    let cell = |row: &[String], place: usize| row.get(place).cloned().unwrap_or_default();
    html! {
        table class="grid" { "\n"
            caption { (of.caption) } "\n"
            thead { tr { @for title in &of.columns { (head(None, title)) } } } "\n"
            tbody { "\n"
                @for row in &of.rows {
                    tr {
                        th scope="row" { (cell(row, 0)) }
                        @for place in 1..of.columns.len() { td { (cell(row, place)) } }
                    } "\n"
                }
            } "\n"
        } "\n"
    }
}

/// Teeth stand side by side, and what is read and decided beside them.
fn line(of: &FormLine) -> Markup {
    let (teeth, boxes): (Vec<&FormField>, Vec<&FormField>) = of
        .fields
        .iter()
        .partition(|field| matches!(field, FormField::Tooth(..)));
    html! {
        div class="line" { "\n"
            p class="name" { (of.name) } "\n"
            @for tooth in teeth { (field(tooth)) }
            div class="fields" { "\n" @for of in boxes { (field(of)) } } "\n"
        } "\n"
    }
}

fn field(of: &FormField) -> Markup {
    let boxed = |class: &str, label: &str, inside: &str| {
        html! { p class=(class) { (label) " " span class="box" { (inside) } } "\n" }
    };
    match of {
        FormField::Reading(label, inside) => boxed("field", label, inside),
        FormField::Words(label, inside) => boxed("field wide-field", label, inside),
        FormField::Said(text) => html! { p class="said" { (text) } "\n" },
        FormField::Tooth(label, None) => html! {
            p class="field tooth" { (label) " " (PreEscaped(svg::blank_tooth())) } "\n"
        },
        FormField::Tooth(label, Some((percent, words))) => html! {
            p class="field tooth" {
                (label) ": " b { (words) } " "
                (PreEscaped(svg::marked_tooth(0.01 * f64::from(*percent))))
            } "\n"
        },
        FormField::Break => html! { span class="break" {} "\n" },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_reading_has_a_box_of_its_own() {
        let of = FormLine::new("<x>", FormField::readings("backlash", 3));
        let html = line(&of).into_string();
        assert!(html.contains("<p class=\"name\">&lt;x&gt;</p>"), "{html}");
        assert!(html.contains("backlash 1 <span class=\"box\"></span>"));
        assert_eq!(html.matches("class=\"box\"").count(), 3);
    }

    #[test]
    fn what_is_known_stands_in_its_box() {
        let read = ["0.15", "0.17"].map(str::to_owned).to_vec();
        let of = FormLine::new("x", FormField::readings_with("backlash", 1, read));
        let html = line(&of).into_string();
        assert!(
            html.contains("backlash 1 <span class=\"box\">0.15</span>"),
            "{html}"
        );
        assert!(html.contains("2 <span class=\"box\">0.17</span>"), "{html}");
        let blank = field(&FormField::tooth("drive side")).into_string();
        let of = FormField::Tooth("drive side".into(), Some((15, "15 % toward top".into())));
        let marked = field(&of).into_string();
        assert!(
            marked.contains("drive side: <b>15 % toward top</b>"),
            "{marked}"
        );
        assert!(marked.len() > blank.len() + 20);
    }
}
