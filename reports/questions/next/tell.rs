//! One axle on the bench in words and tables.

use std::collections::BTreeMap;

use shimcast_sim::bench::PackPlace;
use shimcast_sim::next::Move;

use super::OnTheBench;
use crate::document::{AT_WORK, Block, CAUTION, Cell, Document, Known};
use crate::figures::{counted, percent, said};
use crate::questions::frame::{PLAUSIBLE, assumed, renewed};
use crate::sentences::{capital, listed};

/// Moves that are told beside the best one on the first screen.
const NEXT_BEST: usize = 2;

/// Which job it is.
fn title(of: &OnTheBench) -> String {
    let (axle, shop) = (&of.setup.axle.name, &of.setup.shop.name);
    format!("{}: {axle} at {shop}, {}", of.job.name, renewed(&of.setup))
}

pub(super) fn tell(of: &OnTheBench) -> Document {
    let mut document = Document::about(title(of));
    document.assume(assumed(&of.assumptions));
    document.cautions.extend([CAUTION, AT_WORK]);
    document.under.extend(of.finished());
    // above all else
    document
        .under
        .extend(of.surprises().map(|one| of.surprise(one)));
    let mut headline = vec![Block::Text(headline(of))];
    if !of.cannot_be_told() {
        headline.extend(why_accepted(of).map(Block::Text));
        headline.extend(as_good(of).map(Block::Text));
        headline.extend(of.preload().map(Block::Text));
        headline.extend(short_of(of).map(Block::Text));
    }
    document.section("", headline).first();
    let (first, others) = in_two(of);
    // together, so that where there is little room each keeps its first rows
    let mut tables: Vec<Block> = Vec::new();
    if !first.is_empty() {
        tables.extend([of.rows(first).into(), Block::Text(String::new())]);
    }
    if of.best().is_some() || of.last().is_some() {
        tables.push(of.belief().into());
    }
    document.section("", tables);
    if !of.cannot_be_told() {
        document.first();
    }
    if !others.is_empty() {
        let differences = "What costs more by no more than its ± is as good as the best, as far as can be \
                           told. Accepting what does not read inside is advised only where no other move is \
                           seen to end right more often.";
        document.section(
            "Other moves",
            [of.rows(others).into(), Block::Note(differences.into())],
        );
    }
    if let Some(goes) = of.goes() {
        let never = "A nut is never turned back: past the window it takes a new sleeve.";
        document.table(goes.caption("Goes at the nut"), [never.to_owned()]);
    }
    document.section("What it rests on", rests_on(of));
    document.behind = format!(
        "Seed {}; \"±\" is half a 95 % interval of the simulation. Intervals hold for axles that are as \
         the axle file says: its rows, rates and spreads are taken as exact. {PLAUSIBLE}",
        of.seed
    );
    document
}

/// Whether nothing was read of what stands on the bench.
fn is_unread(of: &OnTheBench) -> bool {
    of.last().is_some_and(|last| {
        last.backlash.is_empty() && last.drive.is_none() && last.coast.is_none()
    })
}

/// What to do now, in a sentence or two.
fn headline(of: &OnTheBench) -> String {
    let number = of.job.bench.assemblies.len();
    match is_unread(of) {
        true if !of.cannot_be_told() => format!(
            "Read backlash and pattern of assembly {number} before anything else. By what is known without \
             them: {}",
            advice(of)
        ),
        _ => advice(of),
    }
}

fn advice(of: &OnTheBench) -> String {
    if of.cannot_be_told() {
        return "What to do next can't be told before that is settled: hardly any axle fits what is stated."
            .to_owned();
    }
    let Some(best) = of.best() else {
        return "There is nothing that could be done: no packs can be built.".to_owned();
    };
    if best.accept {
        return stop(of, best);
    }
    let expect = expected(of).map(|words| format!("; expect backlash of {words}"));
    format!(
        "{}{}{}.",
        of.to_do(best),
        expect.unwrap_or_default(),
        chances(best)
    )
}

/// How it goes on after a move, behind what the move is.
pub(super) fn chances(of: &Move) -> String {
    let inside = of
        .reads_inside
        .map(|inside| format!("; {} that it reads inside", said(&inside)));
    let inside = inside.unwrap_or_default();
    format!("{inside}; {} that the job ends right", said(&of.right))
}

fn stop(of: &OnTheBench, best: &Move) -> String {
    match (of.on_trial(), &of.answer.as_it_stands) {
        (false, _) if of.past_the_window().is_some() => format!(
            "Leave the packs as they are, fit a new sleeve and set the pinion preload again: {} that the \
             job ends right.",
            said(&best.right)
        ),
        (false, _) if !of.preload_is_made() => format!(
            "Leave the packs as they are and finish the pinion preload: {} that the job ends right.",
            said(&best.right)
        ),
        (false, Some(sits)) => format!(
            "Stop: it is right as far as can be told, {}; clearly out in {}.",
            said(&sits.right),
            said(&sits.clearly_out)
        ),
        _ => format!(
            "Accept these packs and go on to the final assembly: {} that the job ends right.",
            said(&best.right)
        ),
    }
}

/// Why what does not read inside is accepted all the same.
fn why_accepted(of: &OnTheBench) -> Option<String> {
    let best = of.best().filter(|best| best.accept)?;
    if is_unread(of) || of.answer.reads_inside {
        return None;
    }
    let mut others = of.answer.moves.iter().filter(|one| !one.accept);
    let why = match others.find(|one| of.can_be_built(one)) {
        Some(next) => format!(
            "no other move is seen to end right more often than {}, and the cheapest of them costs {} {} more",
            percent(&best.right),
            Cell::known(Known::Change(next.dearer, 0)).with_half(),
            of.setup.shop.currency
        ),
        None => "nothing else can be built of the shims at hand".to_owned(),
    };
    Some(format!(
        "Backlash, pattern and side preload were not all read inside their windows; these packs are \
         kept all the same, since {why}."
    ))
}

/// Moves that are as good as the best one, as far as is seen.
fn as_good(of: &OnTheBench) -> Option<String> {
    let best = of.best()?;
    let others = of.answer.moves.iter().filter(|one| {
        !std::ptr::eq(*one, best) && !one.less_than_best && !one.own && of.shims(one).is_ok()
    });
    let all: Vec<String> = others.map(|one| of.in_short(one)).collect();
    let are = match all.len() {
        0 => return None,
        1 => "is",
        _ => "are",
    };
    let named = match all.len() {
        1 | 2 => listed(&all),
        more => format!("{} and {} more moves", all[0], more - 1),
    };
    Some(capital(&format!(
        "{named} {are} as good, as far as can be told."
    )))
}

/// Backlash to expect after the best move: nine in ten of the smallest readings are above, of the largest
/// below.
fn expected(of: &OnTheBench) -> Option<String> {
    let best = of.best()?;
    let first = of.answer.moves.first()?;
    // what is expected is worked out for the first move alone
    let expected = of
        .answer
        .expected
        .as_ref()
        .filter(|_| std::ptr::eq(best, first))?;
    let print = of.print();
    let [low, high] = [expected.smallest.p05, expected.largest.p95];
    Some(format!(
        "{} to {}",
        print.bare_read(low),
        print.given_read(high)
    ))
}

/// For which pack the drawer is short.
fn short_of(of: &OnTheBench) -> Option<String> {
    let (drawer, best) = of.drawer.as_ref()?;
    let wanted = best.as_ref()?;
    let same = |one: &Move| {
        let of = |one: &Move| [one.pinion, one.ring, one.far].map(|mm| (mm * 1e4).round());
        one.accept == wanted.accept && of(one) == of(wanted)
    };
    if of.best().is_some_and(same) {
        return None;
    }
    // what can be built of other shims is not missing
    let short: Vec<PackPlace> = of
        .anew(wanted)
        .into_iter()
        .filter(|pack| drawer.build(&of.setup, &of.job.bench, &[*pack]).is_err())
        .map(|(place, _)| place)
        .collect();
    let mut sizes: BTreeMap<(&str, usize), u32> = BTreeMap::new();
    for shim in wanted
        .shims
        .iter()
        .filter(|shim| short.contains(&shim.place))
    {
        let series = of.setup.shop.series(&shim.series)?;
        let near = |mm: &f64| (mm - shim.size).abs() < 1e-4;
        let size = series.sizes.iter().position(near)?;
        *sizes.entry((&shim.series, size)).or_default() += shim.count;
    }
    let missing = sizes.into_iter().filter_map(|((name, size), wanted)| {
        let short = wanted
            .checked_sub(drawer.count(name, size))
            .filter(|short| *short > 0)?;
        let printed = of.printed_size(name, of.setup.shop.series(name)?.sizes[size]);
        Some(match short {
            1 => format!("{name} {printed}"),
            several => format!("{several} of {name} {printed}"),
        })
    });
    let missing: Vec<String> = missing.collect();
    let short = match missing.is_empty() {
        true => "its side packs take more of one size than there is".to_owned(),
        false => format!("missing for it: {}", missing.join(", ")),
    };
    Some(format!(
        "Were every size there, the best would be {}; {short}.",
        of.in_short(wanted)
    ))
}

/// The moves of the first screen, the best one first, and the others.
fn in_two(of: &OnTheBench) -> (Vec<&Move>, Vec<&Move>) {
    let Some(best) = of.best() else {
        return (Vec::new(), Vec::new());
    };
    let mut first = vec![best];
    let mut others = Vec::new();
    let others_of = of.answer.moves.iter();
    let told = |one: &&Move| !std::ptr::eq(*one, best) && (one.own || of.can_be_built(one));
    for one in others_of.filter(told) {
        // what somebody asked about is told first
        match one.own || first.iter().filter(|one| !one.own).count() <= NEXT_BEST {
            true => first.push(one),
            false => others.push(one),
        }
    }
    (first, others)
}

/// What the belief rests on, and how far to trust it.
fn rests_on(of: &OnTheBench) -> Vec<Block> {
    let answer = &of.answer;
    let assemblies = of.job.bench.assemblies.len() as u64;
    let mut notes = vec![format!(
        "{} read; {} axles drawn that fit what is stated, worth {:.0} drawn evenly.",
        counted(assemblies, ["assembly", "assemblies"]),
        answer.draws,
        answer.effective
    )];
    if let Some(sits) = &answer.as_it_stands {
        notes.push(format!(
            "As it sits it is right in {}, clearly out in {}.",
            said(&sits.right),
            said(&sits.clearly_out)
        ));
    }
    if let Some(expected) = &answer.expected {
        let percent = |of: &shimcast_sim::next::Quantiles| {
            let whole = |share: f64| format!("{:+.0}", 100.0 * share);
            format!("{} to {} %", whole(of.p05), whole(of.p95))
        };
        let print = of.print();
        notes.push(format!(
            "After the best move, in nine of ten: smallest backlash {} to {}, largest {} to {}; \
             pattern {} on the drive side, {} on the coast side, + toward top.",
            print.bare_read(expected.smallest.p05),
            print.given_read(expected.smallest.p95),
            print.bare_read(expected.largest.p05),
            print.given_read(expected.largest.p95),
            percent(&expected.drive),
            percent(&expected.coast)
        ));
    }
    for surprise in &answer.surprises {
        notes.push(format!(
            "Figures no likelier than those of {}: {} of such axles.",
            super::words::entry(surprise.entry),
            said(&surprise.chance)
        ));
    }
    notes.extend(of.narrowing());
    notes.into_iter().map(Block::Note).collect()
}
