//! What the jobs teach of the figures of the files, in tables and words.

use shimcast_sim::learn::{Drift, Lesson, Shows};

use super::adopted::Moves;
use super::named::named;
use super::words::told;
use super::{LEVEL, Learned};
use crate::document::{Block, Cell, Column, Section, Table, wording};
use crate::figures::{Digits, counted, plain};
use crate::sentences::capital;

/// What the jobs teach, in a sentence or two.
pub(super) fn headline(of: &Learned) -> Option<String> {
    if of.lessons.is_empty() {
        return None;
    }
    let changed: Vec<&Lesson> = of.changed().map(|(lesson, _)| lesson).collect();
    let trust = counted_jobs(of.trust);
    if changed.is_empty() {
        return Some(format!(
            "They change no figure of the files, each of which counts for {trust}."
        ));
    }
    let write = wording::option("write");
    let it = if changed.len() == 1 { "it" } else { "them" };
    let write = wording::hint(&format!("; {write} puts {it} into new files"));
    let figures = counted(changed.len() as u64, ["figure", "figures"]);
    Some(format!(
        "They change {figures} of the files, each of which counts for {trust} itself{write}."
    ))
}

fn counted_jobs(trust: f64) -> String {
    match trust == 1.0 {
        true => "1 job".to_owned(),
        false => format!("{} jobs", plain(trust)),
    }
}

/// What the jobs teach, as sections.
#[derive(Debug, Default)]
pub(super) struct Sections {
    /// The figures that change.
    pub(super) changed: Option<Section>,
    /// What that moves, and what shows over time.
    pub(super) further: Vec<Section>,
    /// Every figure that they say something of.
    pub(super) all: Option<Section>,
}

pub(super) fn sections(of: &Learned) -> Sections {
    let mut sections = Sections::default();
    let changed: Vec<&Lesson> = of.changed().map(|(lesson, _)| lesson).collect();
    if !changed.is_empty() {
        let blocks = vec![lessons(of, &changed).into()];
        sections.changed = Some(Section::at("learned", "What they change", blocks));
        let blocks = vec![moves(of, &changed).into(), Block::Note(of_moves(of))];
        let moves = Section::at("moves", "What that moves", blocks);
        sections.further.push(moves);
    }
    let over_time: Vec<Block> = (of.drift.iter())
        .filter(|drift| drift.chance <= LEVEL)
        .map(|drift| Block::Text(shown(of, drift)))
        .collect();
    if !over_time.is_empty() {
        let over_time = Section::at("over-time", "Over time", over_time);
        sections.further.push(over_time);
    }
    if !of.lessons.is_empty() {
        let all: Vec<&Lesson> = of.lessons.iter().collect();
        let mut blocks: Vec<Block> = vec![lessons(of, &all).into()];
        blocks.extend(notes(of).map(Block::Note));
        let all = Section::at("all-learned", "Everything they say something of", blocks);
        sections.all = Some(all);
    }
    sections
}

fn lessons(of: &Learned, lessons: &[&Lesson]) -> Table {
    let mut table = Table::new([
        Column::words(""),
        Column::figures("files"),
        Column::figures("learned"),
        Column::figures("95 % interval"),
        Column::figures("jobs alone").may_go(),
        Column::figures("worth").may_go(),
    ]);
    for lesson in lessons {
        let named = named(&lesson.of, &of.setup, of.loaded.printed());
        let now = named.told(&lesson.now.learned);
        let digits = Digits::of(&now, named.decimals);
        let learned = Cell::mean(&now, named.decimals);
        let figure = |figure: f64| Cell::shown(digits.text(figure), figure);
        table.row([
            named.with_unit().into(),
            Cell::shown(named.of_files(lesson.before), named.units * lesson.before),
            learned.value().into(),
            learned.range().into(),
            match lesson.now.alone {
                Some(alone) => figure(named.units * alone),
                None => Cell::none(),
            },
            match lesson.now.worth {
                few if few < 0.5 => "below 1".into(),
                some => Cell::exact(some, 0),
            },
        ]);
    }
    table
}

fn notes(of: &Learned) -> impl Iterator<Item = String> {
    let trust = counted_jobs(of.trust);
    [
        format!(
            "Files: what they say, which counts for {trust}, as many in each of which the figure itself was \
             measured{}. Learned: what is believed now; it lies in the interval with a chance \
             of 95 %. Jobs alone: what they say without the files' figure, everything else as believed. Worth: \
             as many such jobs as these say as much of it; below 1 they say next to nothing.",
            wording::hint(&format!(" ({} changes that)", wording::option("trust")))
        ),
        "Spreads are one sigma; those of heights and seats are of single parts. A figure counts as changed \
         where the files' lies outside the interval, which by chance 1 in 20 does where nothing is changed."
            .to_owned(),
    ]
    .into_iter()
}

fn moves(of: &Learned, changed: &[&Lesson]) -> Table {
    let currency = &of.setup.shop.currency;
    let mut table = Table::new([
        Column::words(""),
        Column::figures("right, points"),
        Column::figures("hours"),
        Column::figures(format!("cost, {currency}")).may_go(),
        Column::figures(format!("price, {currency}")),
        Column::figures(format!("drawer, {currency}")),
    ]);
    let names = (changed.iter())
        .map(|lesson| capital(&named(&lesson.of, &of.setup, of.loaded.printed()).name));
    let all = (changed.len() > 1).then(|| "All of them".to_owned());
    let moves = match changed.len() {
        1 => &of.moves[..1],
        _ => &of.moves[..],
    };
    for (name, moved) in names.chain(all).zip(moves) {
        table.row(moved_row(name, moved));
    }
    table
}

fn moved_row(name: String, of: &Moves) -> [Cell; 6] {
    let whole = |money: f64| Cell::shown(Digits::decimals(0).signed(money), money);
    [
        name.into(),
        Cell::change(&of.job.handed_over.times(100.0), 1),
        Cell::change(&of.job.hours, 2),
        Cell::change(&of.job.money, 0),
        whole(of.price),
        of.drawer.map_or_else(Cell::none, whole),
    ]
}

fn of_moves(of: &Learned) -> String {
    let (gears, bearings) = (of.setup.gears.word(), of.setup.bearings.word());
    format!(
        "By how much the answers for a job with {gears} gears and {bearings} bearings move if the figure is \
         adopted: jobs right when handed over, mean hours and cost, on the same simulated parts; the price \
         without margin, tax and parts at the quarter hours that 1 job in 5 overruns; the money in the \
         drawer as its file asks it to serve.",
    )
}

/// What shows in the order of the jobs' days.
fn shown(of: &Learned, drift: &Drift) -> String {
    let print = of.loaded.printed();
    let words = told(drift.figure, &of.setup, print);
    let name = capital(words.name);
    let jobs = counted(drift.jobs as u64, ["job", "jobs"]);
    match drift.shows {
        Shows::Trend([first, second]) => {
            let of_all = of
                .agreement
                .differences
                .iter()
                .find(|of| of.figure == drift.figure);
            let [first, second] = [first, second].map(|mean| match of_all {
                Some(of_all) => words.unit.beside(mean, &of_all.mean, print),
                None => String::new(),
            });
            format!(
                "{name}: {first} on average in the first half of {jobs}, {second} in the second. Something \
                 changed with time; what the figures above say is a mean of both."
            )
        }
        Shows::Alike(correlation) if correlation > 0.0 => format!(
            "{name}: of {jobs}, those that follow each other are alike (correlation {correlation:.1}), as parts \
             of one lot are. So many alike say less than as many of lots of their own."
        ),
        Shows::Alike(correlation) => format!(
            "{name}: of {jobs}, those that follow each other differ more than by chance (correlation \
             {correlation:.1})."
        ),
    }
}
