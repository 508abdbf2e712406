//! The shop's jobs beside the simulated ones, in words and a table.

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::learn::{Difference, Tested};

use super::words::{Told, told};
use super::{LEVEL, Learned};
use crate::document::{Block, CAUTION, Cell, Column, Document, Table};
use crate::figures::{counted, percent, rebuilds, said_mean};
use crate::questions::frame::{PLAUSIBLE, assumed};
use crate::sentences::capital;

/// Files left out that are named on the first screen.
const NAMED: usize = 3;

pub(super) fn tell(of: &Learned) -> Document {
    let (axle, shop) = (&of.loaded.axle.name, &of.loaded.shop.name);
    let mut document = Document::about(format!(
        "{axle} at {shop}: do the shop's jobs look as simulated?"
    ));
    document.assume(assumed(&of.loaded.assumptions));
    document.cautions.push(CAUTION);
    let mut first = vec![Block::Text(headline(of))];
    first.extend(odd(of).map(Block::Text));
    first.extend(left_out_in_short(of).map(Block::Text));
    document.section("", first).first();
    let table = table(of);
    if !table.rows.is_empty() {
        let blocks: Vec<Block> = [table.into()]
            .into_iter()
            .chain(notes().map(Block::Note))
            .collect();
        document.section("Figure by figure", blocks).first();
        document.section("What each figure follows from", [follows_from(of).into()]);
    }
    document.table(left_out(of), []);
    document.behind = format!(
        "{} beside them, seed {}. {PLAUSIBLE}",
        capital(&rebuilds(of.agreement.rebuilds)),
        of.seed
    );
    document
}

fn is_odd(of: &Tested) -> bool {
    of.chance <= LEVEL
}

/// Whether they look alike, in a sentence or two.
fn headline(of: &Learned) -> String {
    let number = of.jobs.read.len() as u64;
    let jobs = counted(number, ["job", "jobs"]);
    let read = format!(
        "{jobs} of this axle {} read.",
        if number == 1 { "was" } else { "were" }
    );
    let Some(chance) = of.agreement.chance else {
        return format!(
            "{} Too few to say whether they look as simulated: a figure is judged from five jobs on that state it.",
            capital(&read)
        );
    };
    let oddest = format!(
        "a figure as odd as the oddest of these is met by {} in 100 shops that work just as the files say",
        in_a_hundred(chance)
    );
    let verdict = match chance <= LEVEL {
        true => format!("They do not look as simulated: {oddest}"),
        false => format!("They look as simulated, as far as they can tell: {oddest}"),
    };
    format!("{} {verdict}.", capital(&read))
}

fn in_a_hundred(chance: f64) -> String {
    match 100.0 * chance {
        few if few < 1.0 => "fewer than 1".to_owned(),
        some => format!("{some:.0}"),
    }
}

/// What is odd, a sentence each.
fn odd(of: &Learned) -> impl Iterator<Item = String> {
    let sentences = of.agreement.differences.iter().flat_map(|figure| {
        let words = told(figure.figure, &of.setup);
        let place = figure
            .place
            .filter(is_odd)
            .map(|_| by_place(of, figure, &words));
        let scatter = figure.scatter.filter(is_odd);
        let scatter = scatter.map(|scatter| by_scatter(figure, &words, &scatter.found));
        [place, scatter].into_iter().flatten()
    });
    sentences.collect::<Vec<_>>().into_iter()
}

fn jobs_with(figure: &Difference) -> String {
    counted(figure.shop.len() as u64, ["job", "jobs"])
}

fn by_place(of: &Learned, figure: &Difference, words: &Told) -> String {
    let print = of.loaded.printed();
    let shown = |value| words.unit.plain(value, print);
    let more = if figure.mean.value > figure.simulated_mean {
        "more"
    } else {
        "less"
    };
    let verb = if words.several { "are" } else { "is" };
    format!(
        "Your {} {verb} {more} than simulated: {} on average, simulated {}; {}.",
        words.name,
        shown(figure.mean.value),
        shown(figure.simulated_mean),
        jobs_with(figure),
    )
}

fn by_scatter(figure: &Difference, words: &Told, times: &Estimate) -> String {
    let verb = if words.several { "scatter" } else { "scatters" };
    format!(
        "Your {} {verb} {} times as wide as simulated; {}.",
        words.name,
        said_mean(times, 1),
        jobs_with(figure),
    )
}

fn table(of: &Learned) -> Table {
    let print = of.loaded.printed();
    let mut table = Table::new([
        Column::words(""),
        Column::figures("jobs").may_go(),
        Column::intervals("yours, mean"),
        Column::figures("simulated"),
        Column::intervals("scatter, times as wide"),
        Column::figures("as odd by chance"),
    ]);
    for figure in &of.agreement.differences {
        let words = told(figure.figure, &of.setup);
        let chances = [figure.place, figure.scatter]
            .into_iter()
            .flatten()
            .map(|of| of.chance);
        let chance = chances.reduce(f64::min);
        let chance =
            chance.map_or_else(|| "too few".to_owned(), |chance| percent(&exactly(chance)));
        table.row([
            capital(words.name).into(),
            (figure.shop.len() as u64).to_string().into(),
            Cell::known(words.unit.known(&figure.mean, print)),
            words.unit.plain(figure.simulated_mean, print).into(),
            figure
                .scatter
                .map_or_else(Cell::default, |of| Cell::mean(&of.found, 2)),
            chance.into(),
        ]);
    }
    table
}

/// A chance that is no estimate of a run.
fn exactly(chance: f64) -> Estimate {
    Estimate {
        value: chance,
        low: chance,
        high: chance,
        n: 1,
    }
}

fn notes() -> impl Iterator<Item = String> {
    let level = percent(&exactly(LEVEL));
    [
        format!(
            "As odd by chance: how often any figure of a shop that works as the files say is as odd as this \
             one, in place or in scatter; all of them together are called odd wrongly in {level} of such shops."
        ),
        "Figures are judged by their places among the simulated ones, so one wild reading decides nothing. \
         Marks count + as farther. A change of a rate tells of moves that a technician chose to make, here as \
         in the simulation."
            .to_owned(),
    ]
    .into_iter()
}

fn follows_from(of: &Learned) -> Table {
    let mut table = Table::named();
    for figure in &of.agreement.differences {
        let words = told(figure.figure, &of.setup);
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
    let mut table = Table::named().caption("Left out");
    for (file, reason) in &of.jobs.left_out {
        table.name(file.clone(), reason.clone());
    }
    table
}
