//! One axle on the bench in words and tables.

use shimcast_sim::next::Move;

use super::OnTheBench;
use crate::document::{AT_WORK, Block, CAUTION, Document};
use crate::figures::{counted, said};
use crate::questions::frame::{PLAUSIBLE, renewed};

/// Moves that are told beside the best one on the first screen.
const NEXT_BEST: usize = 2;

/// Which job it is.
fn title(of: &OnTheBench) -> String {
    let (axle, shop) = (&of.setup.axle.name, &of.setup.shop.name);
    format!("{}: {axle} at {shop}, {}", of.job.name, renewed(&of.setup))
}

pub(super) fn tell(of: &OnTheBench) -> Document {
    let mut document = Document::about(title(of));
    document.assume(&of.assumptions);
    document.cautions.extend([CAUTION, AT_WORK]);
    let surprises: Vec<Block> = of
        .surprises()
        .map(|one| Block::Text(of.surprise(one)))
        .collect();
    if !surprises.is_empty() {
        document.section("", surprises).first();
    }
    let mut headline = vec![Block::Text(headline(of))];
    headline.extend(short_of(of).map(Block::Text));
    document.section("", headline).first();
    let preload = of.preload();
    if !preload.is_empty() {
        document.section("Pinion preload", preload).first();
    }
    let (first, others) = in_two(of);
    document.section("", [of.rows(first).into()]).first();
    document.section("", [of.belief().into()]).first();
    if !others.is_empty() {
        let differences = "What is seen to be worse than the best differs from it by more than its interval; \
                           the others are as good, as far as can be told.";
        document.section(
            "Other moves",
            [of.rows(others).into(), Block::Note(differences.into())],
        );
    }
    document.section("What it rests on", rests_on(of));
    document.behind = format!(
        "Seed {}; \"±\" is half a 95 % interval of the simulation. Intervals hold for axles that are as \
         the axle file says: its rows, rates and spreads are taken as exact. {PLAUSIBLE}",
        of.seed
    );
    document
}

/// What to do now, in a sentence.
fn headline(of: &OnTheBench) -> String {
    let Some(best) = of.best() else {
        return "There is nothing that could be done: no packs can be built.".to_owned();
    };
    if best.accept {
        return stop(of, best);
    }
    let inside = best
        .reads_inside
        .map(|inside| format!("; {} that it reads inside", said(&inside)));
    let expect = expected(of).map(|words| format!("; expect backlash {words}"));
    format!(
        "{}{}{}; {} that the job ends right.",
        of.to_do(best),
        expect.unwrap_or_default(),
        inside.unwrap_or_default(),
        said(&best.right)
    )
}

fn stop(of: &OnTheBench, best: &Move) -> String {
    match (of.on_trial(), &of.answer.as_it_stands) {
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

/// Backlash to expect after the best move.
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
    let [low, high] = [expected.smallest.p50, expected.largest.p50];
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
    let missing: Vec<String> = wanted
        .shims
        .iter()
        .filter_map(|shim| {
            let series = of.setup.shop.series(&shim.series)?;
            let size = series
                .sizes
                .iter()
                .position(|mm| (mm - shim.size).abs() < 1e-4)?;
            let there = drawer.count(&shim.series, size);
            (there < shim.count).then(|| {
                let size = of.printed_size(&shim.series, shim.size);
                match shim.count - there {
                    1 => format!("{} {size}", shim.series),
                    short => format!("{short} of {} {size}", shim.series),
                }
            })
        })
        .collect();
    let short = match missing.is_empty() {
        true => "the drawer is short of its packs together".to_owned(),
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
    for one in of
        .answer
        .moves
        .iter()
        .filter(|one| !std::ptr::eq(*one, best))
    {
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
