//! The drawer on the page: its compartments with what lies in each, the order, and forms for what comes.

use maud::{Markup, html};

use super::booked::{came_field, count_field, key, key_of};
use super::{BUDGET, PATH, Said, counted, shop, spent, state};
use crate::desk::here::Here;
use crate::document::{Control, ControlKind, Controls};
use crate::faces::html;
use crate::files::{CountedSize, Counts, FileKind, LoadedShop};
use crate::questions::context::Failure;
use crate::questions::stock::now::Planned;
use crate::units::printed_size;

/// What the address holds, inside a form, without what the form itself asks for.
fn hidden(here: &Here<'_>, without: &[&str]) -> Markup {
    let without = without.iter();
    without
        .fold(state(here), |state, name| state.without(name))
        .hidden()
}

/// The same for a form that changes a count: which file it is, and as what it was seen.
fn hidden_of(here: &Here<'_>, counts: &Counts) -> Markup {
    let file = here.file(FileKind::Counts, "have").ok().flatten();
    html! {
        (hidden(here, &["have"]))
        @if let Some(file) = file { input type="hidden" name="have" value=(file.name); "\n" }
        input type="hidden" name="seen" value=(counts.fingerprint()); "\n"
    }
}

/// Which shop, and which count.
pub fn choose(here: &Here<'_>) -> Markup {
    html! {
        form class="choose" method="get" action=(PATH) data-go { "\n"
            (hidden(here, &["shop", "have"]))
            (here.choose_file(FileKind::Shop, "shop", "Shop", None))
            (here.choose_file(FileKind::Counts, "have", "Counted in", None))
            button class="quiet" { "Show" } "\n"
        } "\n"
    }
}

/// Every size of every series, with what lies there.
pub fn compartments(here: &Here<'_>, loaded: &LoadedShop, counts: &Counts, said: &Said) -> Markup {
    let sizes: Vec<(usize, &CountedSize)> = counts.sizes().iter().enumerate().collect();
    html! {
        (delivery(here, counts, said))
        form id="counts" method="post" action=(PATH) data-change="each" { "\n"
            (hidden_of(here, counts))
            // what the enter key presses
            button class="quiet" name="do" value="counted" { "Save what was counted" } "\n"
            @for series in sizes.chunk_by(|a, b| a.1.series == b.1.series) {
                @let name = &series[0].1.series;
                @let unit = if series[0].1.unit == 1.0 { "mm" } else { "in" };
                details class="series" open { "\n"
                    summary { (name) ", " (unit) } "\n"
                    div class="sizes" role="group" aria-label=(name) { "\n"
                        @for (at, of) in series { (compartment(here, loaded, *at, of, said)) }
                    } "\n"
                } "\n"
            }
        } "\n"
    }
}

fn compartment(
    here: &Here<'_>,
    loaded: &LoadedShop,
    at: usize,
    of: &CountedSize,
    said: &Said,
) -> Markup {
    let supply = loaded
        .supplies
        .iter()
        .find(|supply| supply.series == of.series);
    let part_number = supply.and_then(|supply| supply.part_number(of.size));
    let name = count_field(of);
    let wrong = said.wrong.iter().find(|(field, _)| *field == name);
    let value = match wrong {
        Some(_) => here.asked.get(&name).unwrap_or_default().to_owned(),
        None => of.count.to_string(),
    };
    let (id, beside) = (format!("count-{at}"), format!("beside-{at}"));
    let mut notes: Vec<String> = part_number.map(str::to_owned).into_iter().collect();
    if of.on_order > 0 {
        notes.push(format!("{} on order", of.on_order));
    }
    html! {
        div class={ "size" @if of.count == 0 { " none" } } { "\n"
            label for=(id) { (printed_size(of.size, of.unit)) } "\n"
            button id={ "less-" (at) } name="less" value=(key(of)) aria-label={ "One " (of.name()) " out" } { "−" } "\n"
            input type="text" inputmode="numeric" id=(id) name=(name) value=(value) autocomplete="off"
                aria-describedby=(beside) aria-invalid=[wrong.map(|_| "true")]; "\n"
            button id={ "more-" (at) } name="more" value=(key(of)) aria-label={ "One " (of.name()) " in" } { "+" } "\n"
            p class="beside" id=(beside) {
                @if let Some((_, why)) = wrong { span class="problem" { (why) } " " }
                (notes.join(", "))
            } "\n"
        } "\n"
    }
}

/// What is on order, to be booked when it has come.
fn delivery(here: &Here<'_>, counts: &Counts, said: &Said) -> Markup {
    let coming: Vec<&CountedSize> = counts.sizes().iter().filter(|of| of.on_order > 0).collect();
    if coming.is_empty() {
        return html! {};
    }
    let fields = coming.iter().map(|of| {
        let name = came_field(of);
        let wrong = said.wrong.iter().find(|(field, _)| *field == name);
        let typed = here.asked.get(&name).filter(|_| wrong.is_some());
        Control {
            problem: wrong.map(|(_, why)| why.clone()),
            ..Control::new(name, of.name(), ControlKind::Figure)
                .at(typed.map_or_else(|| of.on_order.to_string(), str::to_owned))
        }
    });
    let fields = Controls {
        fields: fields.collect(),
        said: vec!["As ordered; change what came otherwise, 0 for what did not.".to_owned()],
        ..Controls::default()
    };
    html! {
        details class="more" open[fields.fields.iter().any(|field| field.problem.is_some())] { "\n"
            summary { "A delivery came" } "\n"
            form id="delivery" method="post" action=(PATH) data-change { "\n"
                (hidden_of(here, counts))
                (html::controls(&fields))
                button class="first" name="do" value="delivered" { "Put it into the drawer" } "\n"
            } "\n"
        } "\n"
    }
}

/// What may be spent now.
pub fn budget(here: &Here<'_>, loaded: &LoadedShop) -> Markup {
    let shop = &loaded.shop;
    // about three of every size
    let each = shop
        .shims
        .iter()
        .map(|series| series.price * series.sizes.len() as f64);
    let kind = ControlKind::of_money(3.0 * each.sum::<f64>());
    let mut field = Control::new(BUDGET, "To spend now, at the most", kind)
        .unit(&shop.currency)
        .at(here.asked.get(BUDGET).unwrap_or_default())
        .help("left out or 0: the cheapest drawer for the share of jobs that the shop asks for");
    field.problem = spent(here).err();
    html! {
        form method="get" action=(PATH) data-go { "\n"
            (hidden(here, &[BUDGET]))
            (html::field(&field))
            button class="quiet" { "Show" } "\n"
        } "\n"
    }
}

/// What to do with the order: keep it, print it, book it.
pub fn order(here: &Here<'_>, planned: &Planned) -> Result<Markup, Failure> {
    let order = planned.order();
    if order.is_empty() {
        return Ok(html! {});
    }
    let loaded = shop(here)?;
    let counts = counted(here, &loaded)?;
    let unit = |series: &str| loaded.shop.series(series).map_or(1.0, |series| series.unit);
    let state = state(here);
    Ok(html! {
        form class="actions" method="post" action=(PATH) { "\n"
            a href=(state.with("page", "slip").address(PATH)) download { "Order slip as CSV" } "\n"
            a href=(state.with("page", "print").address(PATH)) target="_blank" { "Order slip to print" } "\n"
            @if let Some(counts) = &counts {
                (hidden_of(here, counts))
                @for of in &order {
                    @let named = key_of(&of.series, &printed_size(of.size, unit(&of.series)));
                    input type="hidden" name="order" value={ (of.pieces) " " (named) }; "\n"
                }
                button name="do" value="ordered" { "Mark as ordered" } "\n"
                button name="do" value="came" { "It came: book it in" } "\n"
            }
        } "\n"
    })
}

/// A new count of every size.
pub fn begin(here: &Here<'_>, said: &Said, is_first: bool) -> Markup {
    let wrong = said.wrong.iter().find(|(field, _)| field == "name");
    let asked = |name: &str| here.asked.get(name).filter(|_| wrong.is_some());
    let pairs = |all: [(&str, &str); 2]| {
        all.map(|(sent, shown)| (sent.to_owned(), shown.to_owned()))
            .to_vec()
    };
    let file = Control {
        problem: wrong.map(|(_, why)| why.clone()),
        ..Control::new("name", "File name", ControlKind::Words)
            .at(asked("name").unwrap_or("drawer.csv"))
    };
    let at = pairs([
        ("none", "none of any size"),
        ("levels", "what the plan keeps of each"),
    ]);
    let at = Control::new("at", "Begin with", ControlKind::Choice(at));
    let decimal = pairs([
        ("point", "0.10, commas between cells"),
        ("comma", "0,10, semicolons between cells"),
    ]);
    let decimal = Control::new("decimal", "Figures as", ControlKind::Choice(decimal));
    let fields = Controls {
        fields: vec![
            file,
            at.at(asked("at").unwrap_or("none")),
            decimal.at(asked("decimal").unwrap_or("point")),
        ],
        ..Controls::default()
    };
    html! {
        details class="more" open[is_first || wrong.is_some()] { "\n"
            summary { "A new count of every size" } "\n"
            form id="begin" method="post" action=(PATH) data-change { "\n"
                (hidden(here, &[]))
                (html::controls(&fields))
                button name="do" value="begin" { "Make the file" } "\n"
            } "\n"
        } "\n"
    }
}
