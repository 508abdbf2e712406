//! A document's pieces as HTML that is well-formed XML as well, so that any XML reader can check it.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::document::{AT_WORK, CAUTION, Cell, Column, Shown, Table};

/// The style of every page.
pub const STYLE: &str = include_str!("style.css");

/// A page of its own: one file, no requests, readable without script.
pub fn page(title: &str, body: &Markup) -> String {
    let version = env!("CARGO_PKG_VERSION");
    // what has no content closes itself, as XML asks for
    let head = PreEscaped(format!(
        "<meta charset=\"utf-8\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n\
         <meta name=\"generator\" content=\"shimcast {version}\"/>\n"
    ));
    let icon = PreEscaped("<link rel=\"icon\" href=\"data:,\"/>\n");
    let page = html! {
        (DOCTYPE) "\n"
        html lang="en" xmlns="http://www.w3.org/1999/xhtml" { "\n"
            head { "\n" (head) title { (title) } "\n" (icon)
                style { "\n" (PreEscaped(STYLE)) } "\n"
            } "\n"
            body { "\n" main { "\n" (body) } "\n" } "\n"
        } "\n"
    };
    page.into_string().replace(not_in_xml, "\u{fffd}")
}

/// What XML has no way to write.
pub(crate) fn not_in_xml(c: char) -> bool {
    c.is_control() && !matches!(c, '\n' | '\t') || matches!(c, '\u{fffe}' | '\u{ffff}')
}

/// A paragraph of plain text.
pub fn paragraph(text: &str) -> Markup {
    html! { p { (text) } "\n" }
}

/// A table in a box of its own that scrolls where it is too wide; the first cell of each row names
/// it.
pub fn table(table: &Table) -> Markup {
    let class = |column: &Column| (column.shown == Shown::Words).then_some("words");
    let shown = table.columns.iter().filter(|column| column.is_shown());
    let columns = shown.enumerate();
    let heads = columns.flat_map(|(place, column)| {
        let titles = match column.shown {
            Shown::Interval => vec![column.title.as_str(), "95 % interval"],
            _ => vec![column.title.as_str()],
        };
        let class = class(column).filter(|_| place > 0);
        titles.into_iter().map(move |title| (class, title))
    });
    html! {
        div class="wide" role="region" tabindex="0" aria-label=(table.caption) { "\n"
            table { "\n"
                caption { (table.caption) } "\n"
                thead { tr { @for (class, title) in heads {
                    th scope="col" class=[class] { (title) }
                } } } "\n"
                tbody { "\n" @for row in &table.rows { (self::row(table, row, class)) "\n" } } "\n"
            } "\n"
        } "\n"
    }
}

fn row(table: &Table, row: &[Cell], class: impl Fn(&Column) -> Option<&'static str>) -> Markup {
    let shown = table
        .under_columns(row)
        .filter(|(column, _)| column.is_shown());
    html! {
        tr { @for (place, (column, cell)) in shown.enumerate() {
            @let [value, beside] = column.told(cell);
            @if place == 0 { th scope="row" { (value) } }
            @else { td class=[class(column)] { (value) } }
            @if column.shown == Shown::Interval { td { (beside) } }
        } }
    }
}

/// What is said wherever a bench might act on a page.
pub fn cautions(at_work: bool) -> Markup {
    html! {
        aside class="caution" aria-label="Caution" { "\n"
            (paragraph(CAUTION))
            @if at_work { (paragraph(AT_WORK)) }
        } "\n"
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_from_files_is_text() {
        let mut of = Table::new([Column::words("<b>"), Column::figures("n")]).caption("\"a\" & b");
        of.row(["<x>".into(), Cell::count(3)]);
        let html = table(&of).into_string();
        assert!(
            html.contains("aria-label=\"&quot;a&quot; &amp; b\""),
            "{html}"
        );
        assert!(html.contains("<th scope=\"col\">&lt;b&gt;</th>"), "{html}");
        assert!(
            html.contains("<th scope=\"row\">&lt;x&gt;</th><td>3</td>"),
            "{html}"
        );
    }
}
