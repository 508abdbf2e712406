//! What every account of the causes has: names, order, its tables and what is said of them.

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::causes::{Causes, Contributor, Halving, Input, Loop, LoopResult, Output, Shares};
use shimcast_sim::compare::Verdict;
use shimcast_sim::count::estimate::Estimate;

use super::Caused;
use crate::document::{Cell, Column, Known, Table};
use crate::figures::{interval, number};
use crate::inputs::{loop_words, words};
use crate::printed::Printed;
use crate::questions::compare::measures::{Measure, NEARLY_ALL, given_up};
use crate::questions::frame::{FEW, TOO_FEW};

/// A question's name in answers.
pub fn key(question: Output) -> &'static str {
    match question {
        Output::RightFirst => "first_assembly",
        Output::Right => "handed_over",
        Output::Hours => "hours",
        Output::Loop(Loop::Depth) => "depth",
        Output::Loop(Loop::Backlash) => "backlash",
        Output::Loop(Loop::Closure) => "side_closure",
    }
}

/// The questions about a whole job, in words.
pub const OF_A_JOB: [(Output, &str); 3] = [
    (Output::RightFirst, "Whether the first assembly is right"),
    (
        Output::Right,
        "Whether a job is finished and right when handed over",
    ),
    (Output::Hours, "How many hours a job takes"),
];

/// What the two indices mean.
pub const ALONE: &str =
    "the share of the variance that would go, on average, if this alone were known";
/// The other one.
pub const WITH_OTHERS: &str = "the share that would remain, on average, if everything else were known: what it does alone and \
     together with others; these shares add up to more than 100 %";

/// Shares of the variance below this are nothing to speak of.
pub const LEADING: f64 = 0.01;
/// From this share on, inputs that are in no stack are named.
const BESIDE_THE_STACK: f64 = 0.10;

/// Whether it is worth a word how many jobs are given up: many as it is, or not as many with
/// something halved.
pub fn some_given_up(causes: &Causes) -> bool {
    let differ = |buy: &Halving| Verdict::of(&buy.differences.finished) != Verdict::NoneSeen;
    causes.finished.value < NEARLY_ALL || causes.halvings.iter().any(differ)
}

/// Whether there are too few rebuilds to say anything.
pub fn too_few(causes: &Causes) -> bool {
    causes.rebuilds < FEW
}

/// What is shown of a difference, with its name in CSV.
const SHOWN: [(Measure, &str); 6] = [
    (Measure::Money, "money"),
    (Measure::Hours, "hours"),
    (Measure::FirstAssembly, "first_assembly_share"),
    (Measure::HandedOver, "handed_over_share"),
    (Measure::ClearlyOut, "clearly_out_share"),
    (Measure::Finished, "finished_share"),
];

/// Over what halving buys.
pub const HALVED: &str = "What would it buy: each spread or error halved, one at a time";

/// Those whose halving changed anything, clearly so among as many; none where there are too few
/// rebuilds to say.
pub fn changed(causes: &Causes) -> Vec<&Halving> {
    let buys = causes.halvings.iter().filter(|_| !too_few(causes));
    buys.filter(|buy| buy.seen).collect()
}

/// What halving buys: `all` that is known, for other tools, or what is worth telling.
pub fn halved(asked: &Caused<'_>, all: bool) -> Table {
    let causes = asked.causes;
    let given_up = all || some_given_up(causes);
    let shown = SHOWN.into_iter();
    let shown: Vec<_> = shown
        .filter(|(measure, _)| given_up || *measure != Measure::Finished)
        .collect();
    let mut columns = vec![Column::data("key"), Column::words("halved").key("name")];
    columns.extend(shown.iter().map(|&(measure, key)| {
        let title = measure.short(&asked.setup.shop.currency);
        let column = match measure {
            Measure::Money => Column::intervals(title),
            Measure::Finished => Column::halves(title),
            // where jobs are given up, whether they are finished stays before it
            Measure::HandedOver if !given_up => Column::halves(title),
            _ => Column::halves(title).may_go(),
        };
        match measure {
            Measure::Money => column.key_in(key, &asked.setup.shop.currency),
            _ => column.key(key),
        }
    }));
    columns.push(Column::words("key").may_go());
    columns.push(Column::data("seen_among_all"));
    let mut table = Table::new(columns).caption(HALVED);
    let buys = if all {
        causes.halvings.iter().collect()
    } else {
        changed(causes)
    };
    for buy in buys {
        let key = buy.input.key(asked.setup);
        let mut row = vec![key.as_str().into(), words(buy.input, asked.setup).into()];
        row.extend(shown.iter().map(|(measure, _)| {
            let difference = measure.difference(&buy.differences);
            match measure {
                Measure::Money => Cell::known(Known::Seen(*difference, 1)),
                _ => measure.seen(difference),
            }
        }));
        row.push(key.as_str().into());
        row.push(buy.seen.to_string().into());
        table.row(row);
    }
    table
}

/// What no list of shares or savings is good for.
pub const NO_LIST: &str = "Nothing here is a list to work off from the top: savings overlap and don't \
                           add up, and shares \"with others\" count the same jobs several times.";

/// What to better first.
pub fn to_better(asked: &Caused<'_>) -> Vec<String> {
    let causes = asked.causes;
    let saves = |buy: &&Halving| Verdict::of(&buy.differences.money) == Verdict::Less;
    let saving = || changed(causes).into_iter().filter(saves);
    // no shop betters what it buys as it is
    let own = |buy: &&Halving| buy.input.key(asked.setup).starts_with("instruments.");
    let of = match saving().any(|buy| own(&buy)) {
        true => "that the shop itself can better",
        false => "of all",
    };
    let first = match saving().find(own).or_else(|| saving().next()) {
        Some(most) => {
            let saved = &most.differences.money.negated();
            format!(
                "Better {}: {} ({}), the most {of}. Halved, it saves {} {} a job ({}){}.",
                match hold_first(asked.setup) {
                    Some(_) => "next",
                    None => "first",
                },
                words(most.input, asked.setup),
                most.input.key(asked.setup),
                number(saved, 1),
                asked.setup.shop.currency,
                interval(saved, 1),
                given_up(&most.differences, Some(true)),
            )
        }
        None => "No saving was seen from halving any one of them.".into(),
    };
    let held = hold_first(asked.setup).map(str::to_owned);
    held.into_iter().chain([first]).collect()
}

/// What comes before any error: a dial that reads what the windows mean.
pub fn hold_first(setup: &Setup) -> Option<&'static str> {
    let otherwise = setup.held_as_the_book().is_some();
    otherwise.then_some(
        "Before all of these, hold the dial as the book says: what that does stands under what looks \
         wrong.",
    )
}

/// How to read it; nothing where there are too few rebuilds to say.
pub fn halved_notes(asked: &Caused<'_>) -> Vec<String> {
    let causes = asked.causes;
    if too_few(causes) {
        return Vec::new();
    }
    let mut notes = vec![
        "On the very same parts; \"pts\": percentage points; \"-\": no difference seen.".to_owned(),
    ];
    notes.extend(why_the_dial(causes));
    if some_given_up(causes) {
        notes.push(
            "Jobs given up count under \"finished\": where fewer are finished, part of what is \
             saved may be no more than that."
                .to_owned(),
        );
    }
    let unseen = causes.halvings.iter().filter(|buy| !buy.seen);
    let unseen: Vec<&str> = unseen.map(|buy| words(buy.input, asked.setup)).collect();
    if !unseen.is_empty() {
        notes.push(format!("No difference seen: {}.", unseen.join("; ")));
    }
    notes.push(format!(
        "Shown is what stands out among {} tried (Holm's step-down, 5 % for all together); the \
         intervals are 95 % each. With every instrument but the dial its graduation is halved as well; \
         where a graduation is halved, so is what counts as clearly out: more jobs may count as that, \
         and be charged for, though the axles are no worse.",
        causes.halvings.len()
    ));
    notes
}

/// Why half the dial's error hands over fewer right axles, and half its graduation more, where that is
/// shown.
fn why_the_dial(causes: &Causes) -> Option<String> {
    let shown = |input: Input, as_seen: Verdict| {
        let of = |buy: &&Halving| buy.input == input && buy.seen;
        let buy = causes.halvings.iter().find(of);
        buy.is_some_and(|buy| Verdict::of(&buy.differences.handed_over) == as_seen)
    };
    let error = shown(Input::Dial, Verdict::Less);
    let graduation = shown(Input::DialStep, Verdict::More);
    let what = match (error, graduation) {
        (true, true) => {
            "Half the dial's error hands over fewer right axles, half its graduation more"
        }
        (true, false) => "Half the dial's error hands over fewer right axles",
        (false, true) => "Half the dial's graduation hands over more right axles",
        (false, false) => return None,
    };
    Some(format!(
        "{what}: a reading on a limit counts as inside, so up to half a graduation outside passes, and \
         an error that throws a point out has such an axle set again."
    ))
}

/// The inputs by what they do to an outcome, the most first.
///
/// # Errors
/// In words, where there is nothing to explain.
pub fn by_share(causes: &Causes, question: Output) -> Result<Vec<&Shares>, &'static str> {
    if too_few(causes) {
        return Err(TOO_FEW);
    }
    let mut inputs: Vec<&Shares> = causes.inputs.iter().collect();
    inputs.sort_by(|a, b| {
        let total = |shares: &Shares| shares.with_others(question).value;
        total(b).total_cmp(&total(a))
    });
    let varies = |s: &&Shares| s.with_others(question).value.is_finite();
    if inputs.iter().any(varies) {
        Ok(inputs)
    } else {
        Err("It came out the same in every rebuild: there is nothing to explain.")
    }
}

/// A share of a variance.
fn share(share: Estimate) -> Cell {
    Cell::known(Known::VarianceShare(share))
}

/// Over the shares of an outcome.
pub fn shares_of(outcome: &str) -> String {
    format!("{outcome}: shares of the variance")
}

/// What these inputs do to an outcome, alone and with others.
pub fn shares(setup: &Setup, (question, outcome): (Output, &str), inputs: &[&Shares]) -> Table {
    let mut table = Table::new([
        Column::data("key"),
        Column::words("input").key("name"),
        Column::halves("alone").key("alone_share"),
        Column::halves("with others").key("with_others_share"),
        Column::words("key").may_go(),
    ])
    .caption(shares_of(outcome));
    for of in inputs {
        let key = of.input.key(setup);
        table.row([
            key.as_str().into(),
            words(of.input, setup).into(),
            share(*of.alone(question)),
            share(*of.with_others(question)),
            key.as_str().into(),
        ]);
    }
    table
}

/// A contributor to a loop.
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// In words.
    pub name: &'static str,
    /// Its limit, mm; `None` where it is in no stack.
    limit: Option<f64>,
    /// Its shares of the worst case and of the root-sum-square, where these are anything.
    pub stacked: Option<[f64; 2]>,
    /// Its shares of the simulated variance, alone and with others; `None` for what rounds, which
    /// draws nothing.
    pub simulated: Option<[Estimate; 2]>,
}

/// A loop of the first assembly: the textbook stack beside what was simulated.
#[derive(Debug, Clone, PartialEq)]
pub struct Stack {
    /// The contributors, those of the stack first.
    pub links: Vec<Link>,
    /// What it comes to, in a sentence.
    pub sums: String,
    /// Inputs in no stack that are not among them, in a sentence, where they are worth one.
    pub beside: Option<String>,
    which: Loop,
}

/// How to read the stacks.
pub const STACKS: &str = "Worst case adds every contributor at its limit; root-sum-square adds them as chance \
     does. Limits are those of the files, three \
     sigmas where none are stated, half a step where something is rounded (which draws nothing of its own, \
     so it has no share of a variance). Shares are of the sum, of \
     the sum of squares and of the variance. Where cpk is above 1, parts keep closer inside their \
     limits than the stack takes them to; marks taken the wrong way round, and what counts only then, \
     are in no stack.";

impl Stack {
    /// Of a loop.
    pub fn of(asked: &Caused<'_>, simulated: &LoopResult) -> Self {
        let (setup, causes) = (asked.setup, asked.causes);
        let (stack, question) = (&simulated.stack, Output::Loop(simulated.stack.of));
        let (worst, root) = (stack.worst(), stack.root_sum_square());
        let known =
            |shares: &&Shares| !too_few(causes) && shares.with_others(question).value.is_finite();
        let shares = |shares: &Shares| [*shares.alone(question), *shares.with_others(question)];
        let stacked = stack.links.iter().map(|link| {
            let (name, simulated) = match link.contributor {
                Contributor::Input(input) => {
                    let found = causes.inputs.iter().find(|s| s.input == input);
                    let found = found.filter(|_| !too_few(causes));
                    (words(input, setup), found.map(shares))
                }
                Contributor::Rounding => (rounding(stack.of), None),
            };
            let parts = [link.worst / worst, (link.root_sum_square / root).powi(2)];
            Link {
                name,
                limit: Some(link.worst),
                stacked: parts.iter().all(|part| part.is_finite()).then_some(parts),
                simulated,
            }
        });
        let mut links: Vec<Link> = stacked.collect();
        let mut untold = 0.0_f64;
        for of in causes.inputs.iter().filter(known) {
            let contributor = Contributor::Input(of.input);
            if stack
                .links
                .iter()
                .any(|link| link.contributor == contributor)
            {
                continue;
            }
            let share = of.with_others(question).value;
            if share < BESIDE_THE_STACK {
                untold = untold.max(share);
            } else {
                links.push(Link {
                    name: words(of.input, setup),
                    limit: None,
                    stacked: None,
                    simulated: Some(shares(of)),
                });
            }
        }
        let beside = format!(
            "Others, which are in no stack, move it by up to {:.0} %.",
            (100.0 * untold).ceil()
        );
        Self {
            links,
            which: stack.of,
            sums: sums(simulated, asked.print),
            beside: (untold >= LEADING).then_some(beside),
        }
    }

    /// The share of each contributor.
    pub fn table(&self, print: Printed) -> Table {
        // where there is no room for what the textbook says, the sums give it
        let mut table = Table::new([
            Column::words("contributor").key("contributor"),
            Column::figures("limit ±").key("limit_mm").may_go(),
            Column::figures("worst case")
                .key("worst_case_share")
                .may_go(),
            Column::figures("root-sum-square")
                .key("root_sum_square_share")
                .may_go(),
            Column::halves("simulated: alone").key("alone_share"),
            Column::halves("with others").key("with_others_share"),
        ])
        .caption(format!(
            "{} of the first assembly, {}: share of each contributor",
            loop_words(self.which),
            print.length_unit()
        ));
        let none = || Cell::none().as_data("");
        let two = |cells: Option<[Cell; 2]>| cells.unwrap_or_else(|| [none(), none()]);
        for link in &self.links {
            let limit = link.limit.map(|mm| Cell::shown(print.bare_length(mm), mm));
            let part = |part: f64| Cell::shown(format!("{:.0} %", 100.0 * part), part);
            let mut row = vec![link.name.into(), limit.unwrap_or_else(none)];
            row.extend(two(link.stacked.map(|parts| parts.map(part))));
            row.extend(two(link.simulated.map(|shares| shares.map(share))));
            table.row(row);
        }
        table
    }
}

/// What a loop comes to: by the textbook, and simulated.
fn sums(simulated: &LoopResult, print: Printed) -> String {
    let (stack, half) = (&simulated.stack, &simulated.half_range);
    let found = if half.low.is_finite() {
        format!(
            "simulated, 99.73 % of the rebuilds lie within ±{} ({}) of the mean, {}",
            print.length(half.value),
            print.lengths(half.low, half.high),
            print.length(simulated.mean.value)
        )
    } else {
        "too few rebuilds to say how far it goes in the simulation".into()
    };
    format!(
        "{}: worst case ±{}, root-sum-square ±{}; {found}.",
        loop_words(stack.of),
        print.length(stack.worst()),
        print.length(stack.root_sum_square())
    )
}

/// What rounds a loop.
fn rounding(which: Loop) -> &'static str {
    match which {
        Loop::Depth => "nearest pinion pack",
        Loop::Backlash | Loop::Closure => "nearest packs",
    }
}
