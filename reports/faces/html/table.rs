//! Tables, each in a box of its own; on a phone the rows of a wide one are cards.

use maud::{Markup, html};

use crate::document::{Cell, Column, Shown, Table};

/// A table with this many columns is too wide for a phone, where each row with so many others at the most
/// becomes a card instead: more of them are easier scrolled.
const WIDE: usize = 4;
const FEW_ROWS: usize = 15;

/// What stands over what is beside the figures of a column, by its place.
fn beside(table: &Table, place: usize) -> &'static str {
    let cells = table.rows.iter().filter_map(|row| row.get(place));
    let [interval, words] = cells.fold([false; 2], |[a, b], cell| {
        let [interval, words] = cell.has_beside();
        [a || interval, b || words]
    });
    match [interval, words] {
        [true, false] => "95 % interval",
        [true, true] => "95 % interval, notes",
        [false, _] => "",
    }
}

/// A table in a box of its own, called by this name, that scrolls where it is too wide; the first cell of
/// each row names it.
pub(super) fn named(name: &str, table: &Table) -> Markup {
    boxed(name, table, FEW_ROWS)
}

/// The same of one that is folded away, which is looked up rather than read: it scrolls on a phone, too.
pub(super) fn looked_up(name: &str, table: &Table) -> Markup {
    boxed(name, table, 0)
}

/// A table whose rows become cards on a phone, where there are no more of them.
fn boxed(name: &str, table: &Table, most_cards: usize) -> Markup {
    let class = |column: &Column| (column.shown == Shown::Words).then_some("words");
    let columns = table.columns.iter().enumerate();
    let shown = columns.filter(|(_, column)| column.is_shown());
    let titles: Vec<Vec<&str>> = shown
        .clone()
        .map(|(place, column)| match column.shown {
            Shown::Interval => vec![column.title.as_str(), beside(table, place)],
            _ => vec![column.title.as_str()],
        })
        .collect();
    let heads = shown.zip(&titles).enumerate();
    let heads = heads.flat_map(|(place, ((_, column), titles))| {
        let class = class(column).filter(|_| place > 0);
        titles.iter().map(move |title| (class, *title))
    });
    let all = titles.iter().flatten().count();
    let is_cards = all >= WIDE && (1..=most_cards).contains(&table.rows.len());
    let labels: &[Vec<&str>] = if is_cards { &titles } else { &[] };
    html! {
        @let called = (!name.is_empty()).then_some(name);
        div class="wide" role=[called.map(|_| "region")] tabindex="0" aria-label=[called] { "\n"
            table class=[is_cards.then_some("cards")] { "\n"
                @if !table.caption.is_empty() { caption { (table.caption) } "\n" }
                thead { tr { @for (class, title) in heads { (head(class, title)) } } } "\n"
                tbody { "\n" @for row in &table.rows { (self::row(table, row, labels, class)) "\n" } } "\n"
            } "\n"
        } "\n"
    }
}

/// The head of a column; what has no title heads nothing.
pub(in crate::faces) fn head(class: Option<&str>, title: &str) -> Markup {
    html! {
        @if title.is_empty() { td class=[class] {} }
        @else { th scope="col" class=[class] { (title) } }
    }
}

/// A row of a table; where it may become a card, each cell knows what stands over it.
fn row(
    table: &Table,
    row: &[Cell],
    labels: &[Vec<&str>],
    class: impl Fn(&Column) -> Option<&'static str>,
) -> Markup {
    let label = |place: usize, of: usize| {
        let label = labels.get(place)?.get(of)?;
        (!label.is_empty()).then_some(*label)
    };
    let shown = table
        .under_columns(row)
        .filter(|(column, _)| column.is_shown());
    html! {
        tr { @for (place, (column, cell)) in shown.enumerate() {
            @let [value, beside] = column.texts(cell);
            // what names nothing heads nothing
            @if place == 0 && !value.is_empty() {
                th scope="row" data-label=[label(0, 0)] { (value) }
            } @else {
                td class=[class(column)] data-label=[label(place, 0)] { (value) }
            }
            @if column.shown == Shown::Interval { td data-label=[label(place, 1)] { (beside) } }
        } }
    }
}

#[cfg(test)]
mod tests {
    use shimcast_sim::count::estimate::Estimate;

    use super::*;

    #[test]
    fn only_intervals_stand_under_their_head() {
        let share = || Cell::share(&Estimate::share(30, 100));
        let head = |cells: [Cell; 2]| {
            let mut of = Table::named();
            for cell in cells {
                of.name("a", cell);
            }
            beside(&of, 1)
        };
        assert_eq!(head([share(), Cell::none()]), "95 % interval");
        assert_eq!(
            head([share(), share().and("of all")]),
            "95 % interval, notes"
        );
        assert_eq!(
            head([share(), Cell::count(3).beside("pieces")]),
            "95 % interval, notes"
        );
        assert_eq!(head([Cell::none(), Cell::count(3).beside("pieces")]), "");
    }

    #[test]
    fn a_wide_table_of_few_rows_becomes_cards_on_a_phone() {
        let columns = || ["a", "b", "c"].map(Column::figures);
        let mut of = Table::new(columns().into_iter().chain([Column::words("<e>")]));
        of.row(["1", "2", "3", "x"].map(Cell::from));
        let html = named(&of.caption, &of).into_string();
        assert!(html.contains("<table class=\"cards\">"), "{html}");
        assert!(
            html.contains("<th scope=\"row\" data-label=\"a\">1</th>"),
            "{html}"
        );
        assert!(html.contains("data-label=\"&lt;e&gt;\">x</td>"), "{html}");
        let mut of = Table::new(columns());
        of.row(["1", "2", "3"].map(Cell::from));
        assert!(!named(&of.caption, &of).into_string().contains("data-label"));
    }

    #[test]
    fn what_comes_from_files_is_text() {
        let mut of = Table::new([Column::words("<b>"), Column::figures("n")]).caption("\"a\" & b");
        of.row(["<x>".into(), Cell::count(3)]);
        let html = named(&of.caption, &of).into_string();
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
