//! The shop's jobs beside the simulated ones, in words and a table.

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::learn::{Difference, Tested};

use super::words::{Told, told};
use super::{LEVEL, Learned, taught};
use crate::document::{Block, CAUTION, Cell, Column, Document, Section, Table};
use crate::figures::{Digits, counted, rebuilds};
use crate::questions::frame::{PLAUSIBLE, assumed};
use crate::sentences::capital;

/// Files left out, and odd figures, that are named on the first screen.
const NAMED: usize = 3;

pub(super) fn tell(of: &Learned) -> Document {
    let (axle, shop) = (&of.loaded.axle.name, &of.loaded.shop.name);
    let mut document = Document::about(format!("{axle} at {shop}: what the shop's own jobs say"));
    document.assume(assumed(&of.loaded.assumptions));
    document.cautions.push(CAUTION);
    let mut first = vec![Block::Text(headline(of))];
    first.extend(odd(of).into_iter().map(Block::Text));
    first.extend(taught::headline(of).map(Block::Text));
    first.extend(left_out_in_short(of).map(Block::Text));
    document.sections.push(Section::at("answer", "", first));
    document.first();
    let mut taught = taught::sections(of);
    if let Some(changed) = taught.changed {
        document.sections.push(changed);
        document.first();
    }
    document.sections.append(&mut taught.further);
    let table = table(of);
    if !table.rows.is_empty() {
        let blocks: Vec<Block> = [table.into()]
            .into_iter()
            .chain(notes().map(Block::Note))
            .collect();
        let by_figure = Section::at("by-figure", "Figure by figure", blocks);
        document.sections.push(by_figure);
        let keys = vec![follows_from(of).into()];
        let keys = Section::at("follows-from", "What each figure follows from", keys);
        document.sections.push(keys);
    }
    document.sections.extend(taught.all);
    let left_out = left_out(of);
    if !left_out.rows.is_empty() {
        let left_out = Section::at("left-out", "Left out", vec![left_out.into()]);
        document.sections.push(left_out);
    }
    let beside = match of.agreement.rebuilds {
        0 => String::new(),
        some => format!(
            "{} beside them, seed {}. ",
            capital(&rebuilds(some)),
            of.seed
        ),
    };
    document.behind = beside + PLAUSIBLE;
    document
}

fn is_odd(of: &Tested) -> bool {
    of.chance <= LEVEL
}

/// Whether they look alike, in a sentence or two.
fn headline(of: &Learned) -> String {
    let read = read(of);
    let jobs = counted(of.jobs.read.len() as u64, ["job", "jobs"]);
    let Some(chance) = of.agreement.chance else {
        let few = "Too few to say whether they look as simulated: a figure is judged once five jobs state it.";
        return match of.jobs.read.is_empty() {
            true => read,
            false => format!("{read} {few}"),
        };
    };
    let verdict = match chance <= LEVEL {
        true => "They do not look as simulated".to_owned(),
        false => format!("They look as simulated, as far as {jobs} can tell"),
    };
    let shops = match 100.0 * chance {
        few if few < 1.5 => "1 in 100 shops that work just as the files say has".to_owned(),
        some => format!("{some:.0} in 100 shops that work just as the files say have"),
    };
    let at_most = if 100.0 * chance < 0.95 {
        "fewer than "
    } else {
        ""
    };
    format!("{read} {verdict}: {at_most}{shops} a figure as odd as the oddest of these.")
}

/// How many were read, and how many of them are not over.
fn read(of: &Learned) -> String {
    let on_bench = (of.jobs.read.iter())
        .filter(|(_, job)| job.done.is_none())
        .count() as u64;
    let read = match of.jobs.read.len() as u64 {
        0 => "No job of this axle was read: job files end in .job.toml and name their axle file."
            .to_owned(),
        1 => "1 job of this axle was read.".to_owned(),
        number => format!("{number} jobs of this axle were read."),
    };
    match on_bench {
        0 => read,
        1 => format!("{read} 1 has no [done] yet and tells by its readings alone."),
        some => format!("{read} {some} have no [done] yet and tell by their readings alone."),
    }
}

/// What is odd, a sentence each, the oddest first; of many the last says how many more there are.
fn odd(of: &Learned) -> Vec<String> {
    let figures = of.agreement.differences.iter().flat_map(|figure| {
        let words = told(figure.figure, &of.setup, of.loaded.printed());
        let place = figure.place.filter(is_odd);
        let place = place.map(|own| (own.chance, format!("{}.", on_average(of, figure, &words))));
        let scatter = figure.scatter.filter(is_odd).map(|own| {
            let (name, jobs) = (capital(words.name), jobs_with(figure));
            let wide = as_wide(&own.found);
            (own.chance, format!("{name}: your {jobs} scatter {wide}."))
        });
        [place, scatter].into_iter().flatten()
    });
    let mut all: Vec<(f64, String)> = figures.collect();
    all.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    let more = all.len().saturating_sub(NAMED);
    let named = all.into_iter().take(NAMED).map(|(_, sentence)| sentence);
    let more = (more > 0).then(|| {
        let more = counted(more as u64, ["more stands", "more stand"]);
        format!("{} out, figure by figure below.", capital(&more))
    });
    named.chain(more).collect()
}

fn jobs_with(figure: &Difference) -> String {
    counted(figure.shop.len() as u64, ["job", "jobs"])
}

/// The mean of the shop's beside that of the simulated ones.
pub(super) fn on_average(of: &Learned, figure: &Difference, words: &Told) -> String {
    let print = of.loaded.printed();
    let shown = |value| words.unit.beside(value, &figure.mean, print);
    let simulated = match figure.simulated_mean {
        Some(mean) => format!("{} in simulated ones", shown(mean)),
        None => "never stated by simulated ones".to_owned(),
    };
    format!(
        "{}: {} on average in your {}, {simulated}",
        capital(words.name),
        shown(figure.mean.value),
        jobs_with(figure),
    )
}

/// How wide figures scatter against the simulated ones, to a tenth.
pub(super) fn as_wide(times: &Estimate) -> String {
    let digits = Digits::decimals(1);
    let (value, ends) = (digits.text(times.value), digits.ends(times));
    format!("{value} times as wide ({ends}) as simulated ones")
}

fn table(of: &Learned) -> Table {
    let print = of.loaded.printed();
    let mut table = Table::new([
        Column::words(""),
        Column::figures("jobs").may_go(),
        Column::figures("yours"),
        Column::figures("95 % interval").may_go(),
        Column::figures("simulated"),
        Column::figures("as wide"),
        Column::figures("chance, %"),
    ]);
    for figure in &of.agreement.differences {
        let words = told(figure.figure, &of.setup, of.loaded.printed());
        let chances = [figure.place, figure.scatter]
            .into_iter()
            .flatten()
            .map(|of| of.chance);
        let chance = chances.reduce(f64::min);
        let beside = |value| words.unit.beside(value, &figure.mean, print);
        let yours = words.unit.cell(&figure.mean, print);
        table.row([
            capital(words.name).into(),
            Cell::count(figure.shop.len()),
            yours.value().into(),
            yours.range().into(),
            figure
                .simulated_mean
                .map_or_else(Cell::default, |mean| beside(mean).into()),
            figure
                .scatter
                .map_or_else(Cell::default, |of| Cell::exact(of.found.value, 1)),
            chance
                .map_or_else(|| "too few".to_owned(), in_percent)
                .into(),
        ]);
    }
    table
}

/// A chance in percent: to a tenth where it is small.
fn in_percent(chance: f64) -> String {
    match 100.0 * chance {
        few if few < 0.1 => "below 0.1".to_owned(),
        some if some < 9.95 => ((10.0 * some).round() / 10.0).to_string(),
        most => format!("{most:.0}"),
    }
}

fn notes() -> impl Iterator<Item = String> {
    let level = in_percent(LEVEL);
    [
        format!(
            "Yours and simulated are means. As wide: how many times as wide yours scatter as the simulated ones. Chance: how many shops that work \
             just as the files say have any figure as odd as this one, in mean or scatter; {level} % of such shops \
             are told that something is odd."
        ),
        "Figures are judged by their places among the simulated ones, so one wild reading decides nothing. \
         Zero end play, found again, counts from what was found before; marks count + as farther, patterns in \
         % of the tooth's profile, + toward its top."
            .to_owned(),
    ]
    .into_iter()
}

fn follows_from(of: &Learned) -> Table {
    let mut table = Table::new([Column::words(""), Column::words("")]);
    for figure in &of.agreement.differences {
        let words = told(figure.figure, &of.setup, of.loaded.printed());
        table.name(capital(words.name), words.follows_from.to_owned());
    }
    table
}

fn left_out_in_short(of: &Learned) -> Option<String> {
    let all = &of.jobs.left_out;
    let some: Vec<String> = (all.iter().take(NAMED))
        .map(|(file, reason)| format!("{file}: {reason}"))
        .collect();
    let more = all.len().saturating_sub(NAMED);
    let more = match more {
        0 => String::new(),
        more => format!("; and {more} more"),
    };
    (!all.is_empty()).then(|| {
        let files = counted(all.len() as u64, ["file is", "files are"]);
        format!("{} left out. {}{more}.", capital(&files), some.join("; "))
    })
}

fn left_out(of: &Learned) -> Table {
    let mut table = Table::new([Column::words(""), Column::words("")]);
    for (file, reason) in &of.jobs.left_out {
        table.name(file.clone(), reason.clone());
    }
    table
}
