//! Fields to fill in. Each is a plain field that works by itself; what a script may add to it stands in
//! `data-` attributes: a rail beside a figure, a tooth to touch.

use maud::{Markup, PreEscaped, html};

use super::super::svg;
use crate::document::{Control, ControlKind, Controls, Otherwise};

/// Fields that belong together.
pub fn controls(of: &Controls) -> Markup {
    let fields = html! {
        @for text in &of.said { p { (text) } "\n" }
        div class="controls" { "\n" @for control in &of.fields { (field(control)) } } "\n"
    };
    if of.folded {
        return html! {
            details class="more" spellcheck="false" { "\n"
                summary {
                    span class="heading" { (of.heading) } " "
                    span class="unit" { "(" (of.fields.len()) ")" }
                } "\n"
                (fields)
            } "\n"
        };
    }
    html! {
        fieldset spellcheck="false" { "\n"
            @if !of.heading.is_empty() { legend { (of.heading) } "\n" }
            (fields)
        } "\n"
    }
}

/// A name that is its own in the page.
fn id_of(name: &str) -> String {
    let plain = |c: char| if c.is_ascii_alphanumeric() { c } else { '-' };
    let id: String = name.chars().map(plain).collect();
    format!("f-{id}")
}

/// One field with its label, what helps, what holds otherwise, and what is wrong with it.
pub fn field(of: &Control) -> Markup {
    let id = id_of(&of.name);
    let [help, beside, wrong] = ["help", "beside", "wrong"].map(|part| format!("{id}-{part}"));
    let mut described = Vec::new();
    described.extend((!of.help.is_empty()).then_some(help.as_str()));
    described.extend(of.otherwise.as_ref().map(|_| beside.as_str()));
    described.extend(of.problem.as_ref().map(|_| wrong.as_str()));
    let described = (!described.is_empty()).then(|| described.join(" "));
    html! {
        div class={ "control " (class(&of.kind)) } { "\n"
            label for=(id) {
                (of.label)
                @if !of.unit.is_empty() { " " span class="unit" { (of.unit) } }
                @if !of.key.is_empty() { " " code { (of.key) } }
            } "\n"
            (entry(of, &id, described.as_deref()))
            @if !of.help.is_empty() { p class="help" id=(help) { (of.help) } "\n" }
            @if let Some(otherwise) = &of.otherwise { (beside_it(otherwise, &beside)) }
            @if let Some(problem) = &of.problem {
                p class="problem" id=(wrong) { (problem) } "\n"
            }
        } "\n"
    }
}

fn class(kind: &ControlKind) -> &'static str {
    match kind {
        ControlKind::Slider { .. } | ControlKind::Stops(_) => "rail",
        ControlKind::Choice(_) | ControlKind::Tick => "choice",
        ControlKind::Figure => "figure",
        ControlKind::Figures => "figures",
        ControlKind::Words => "words",
        ControlKind::Tooth => "tooth",
    }
}

/// What holds for a field that is left out.
fn beside_it(otherwise: &Otherwise, id: &str) -> Markup {
    html! {
        @match otherwise {
            Otherwise::File(said) => p class="beside" id=(id) { "file: " (said) },
            Otherwise::Assumed(said) => p class="beside assumed-figure" id=(id) { "assumed: " (said) },
        } "\n"
    }
}

fn entry(of: &Control, id: &str, described: Option<&str>) -> Markup {
    let invalid = of.problem.as_ref().map(|_| "true");
    let typed = |mode: Option<&str>, rail: Option<String>, tooth: bool| {
        html! {
            input type="text" id=(id) name=(of.name) value=(of.value) inputmode=[mode]
                data-rail=[rail] data-tooth=[tooth.then_some("")]
                aria-describedby=[described] aria-invalid=[invalid];
            "\n"
        }
    };
    let chosen = |options: &[(String, String)], rail: bool| {
        // what is not among them stays what it is until something is chosen
        let known = options.iter().any(|(sent, _)| *sent == of.value);
        html! {
            select id=(id) name=(of.name) data-rail=[rail.then_some("")]
                aria-describedby=[described] aria-invalid=[invalid] { "\n"
                @if !known { option value=(of.value) selected { (of.value) } "\n" }
                @for (sent, shown) in options {
                    option value=(sent) selected[*sent == of.value] { (shown) } "\n"
                }
            } "\n"
        }
    };
    let yes_or_no = [("false", "no"), ("true", "yes")].map(|(a, b)| (a.to_owned(), b.to_owned()));
    match &of.kind {
        ControlKind::Slider { low, high, step } => {
            typed(Some("decimal"), Some(format!("{low} {high} {step}")), false)
        }
        ControlKind::Stops(options) => chosen(options, true),
        ControlKind::Choice(options) => chosen(options, false),
        ControlKind::Tick => chosen(&yes_or_no, false),
        // figures come with units and signs, which number pads lack
        // a field of one line would lose what stands in several; a break behind the tag belongs to no text
        ControlKind::Words if of.value.contains('\n') => html! {
            textarea id=(id) name=(of.name) rows=(of.value.lines().count().min(8))
                aria-describedby=[described] aria-invalid=[invalid] { "\n" (of.value) }
            "\n"
        },
        ControlKind::Figure | ControlKind::Figures | ControlKind::Words => typed(None, None, false),
        ControlKind::Tooth => html! {
            (typed(None, None, true))
            span class="flank" { (PreEscaped(svg::tooth_to_touch())) } "\n"
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_wrong_is_tied_to_its_field() {
        let of = Control {
            problem: Some("must be above 0".into()),
            otherwise: Some(Otherwise::Assumed("0.03 mm".into())),
            ..Control::new("known.mark_old", "Mark <old>", ControlKind::Figure).at("-1\"")
        };
        let html = field(&of).into_string();
        assert!(
            html.contains("for=\"f-known-mark-old\">Mark &lt;old&gt;"),
            "{html}"
        );
        assert!(html.contains("value=\"-1&quot;\""), "{html}");
        assert!(
            html.contains("aria-describedby=\"f-known-mark-old-beside f-known-mark-old-wrong\""),
            "{html}"
        );
    }

    #[test]
    fn text_in_several_lines_has_a_field_of_several_lines() {
        let of =
            |text: &str| field(&Control::new("n", "N", ControlKind::Words).at(text)).into_string();
        assert!(
            of("\na <b>\n").contains(">\n\na &lt;b&gt;\n</textarea>"),
            "{}",
            of("\na <b>\n")
        );
        assert!(of("a").contains("<input type=\"text\""), "{}", of("a"));
    }

    #[test]
    fn a_choice_that_is_unknown_is_not_changed_unasked() {
        let options = vec![("a".to_owned(), "A".to_owned())];
        let of = Control::new("k", "K", ControlKind::Choice(options)).at("z");
        let html = field(&of).into_string();
        assert!(
            html.contains("<option value=\"z\" selected>z</option>"),
            "{html}"
        );
    }
}
