//! What every account of the causes has: names, order, the rows of a stack.

use shimcast_sim::causes::{Buy, Causes, Contributor, Input, Loop, Question, Shares, Simulated};
use shimcast_sim::compare::Verdict;
use shimcast_sim::estimate::Estimate;
use shimcast_sim::setup::Setup;

use crate::inputs::words;
use crate::questions::compare::measures::NEARLY_ALL;
use crate::questions::frame::{FEW, TOO_FEW};

/// A question's name in answers.
pub fn key(question: Question) -> &'static str {
    match question {
        Question::Landed => "first_assembly",
        Question::Right => "handed_over",
        Question::Hours => "hours",
        Question::Loop(Loop::Depth) => "depth",
        Question::Loop(Loop::Backlash) => "backlash",
        Question::Loop(Loop::Closure) => "side_closure",
    }
}

/// The questions about a whole job, in words.
pub const OF_A_JOB: [(Question, &str); 3] = [
    (Question::Landed, "Right at the first assembly, or not"),
    (
        Question::Right,
        "Finished and right when handed over, or not",
    ),
    (Question::Hours, "Hours of a job"),
];

/// What the two indices mean.
pub const ALONE: &str =
    "the share of the variance that would go, on average, if this alone were known";
/// The other one.
pub const WITH_OTHERS: &str = "the share that would remain, on average, if everything else were known: what it does alone and \
     together with others; these shares add up to more than 100 %";

/// Shares of the variance below this are nothing to speak of.
pub const LEADING: f64 = 0.01;
/// What stands in no stack is told from this share on.
const BESIDE_THE_STACK: f64 = 0.10;

/// Whether halving it changed anything that is told.
pub fn seen(buy: &Buy) -> bool {
    let d = &buy.differences;
    [
        d.money,
        d.hours,
        d.first_assembly,
        d.handed_over,
        d.clearly_out,
        d.finished,
    ]
    .iter()
    .any(|e| Verdict::of(e) != Verdict::NoneSeen)
}

/// Whether it is worth a word how many jobs are given up: many as it is, or not as many with
/// something halved.
pub fn some_given_up(causes: &Causes) -> bool {
    let differ = |buy: &Buy| Verdict::of(&buy.differences.finished) != Verdict::NoneSeen;
    causes.finished.value < NEARLY_ALL || causes.buys.iter().any(differ)
}

/// Whether there are too few rebuilds to say anything.
pub fn too_few(causes: &Causes) -> bool {
    causes.rebuilds < FEW
}

/// The inputs by what they do to an outcome, the most first.
///
/// # Errors
/// In words, where there is nothing to explain.
pub fn by_share(causes: &Causes, question: Question) -> Result<Vec<&Shares>, &'static str> {
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

/// A contributor to a loop.
#[derive(Debug, Clone, PartialEq)]
pub struct StackRow {
    /// In words.
    pub name: &'static str,
    /// Its limit and what it adds to the root-sum-square, mm; `None` where it stands in no stack.
    pub stacked: Option<[f64; 2]>,
    /// Its shares of the simulated variance, alone and with others; `None` for rounding, which is
    /// no input.
    pub simulated: Option<[Estimate; 2]>,
}

/// The contributors to a loop, those of the stack first; and the greatest share among those that
/// stand in no stack and are not told.
pub fn stack_rows(setup: &Setup, causes: &Causes, simulated: &Simulated) -> (Vec<StackRow>, f64) {
    let (stack, which) = (&simulated.stack, simulated.stack.of);
    let question = Question::Loop(which);
    let of = |input: Input| {
        let found = causes.inputs.iter().find(|s| s.input == input);
        found
            .filter(|_| !too_few(causes))
            .map(|s| [*s.alone(question), *s.with_others(question)])
    };
    let mut rows: Vec<StackRow> = stack
        .links
        .iter()
        .map(|link| {
            let (name, simulated) = match link.contributor {
                Contributor::Input(input) => (words(input, setup), of(input)),
                Contributor::Rounding => (rounding(which), None),
            };
            StackRow {
                name,
                stacked: Some([link.worst, link.root_sum_square]),
                simulated,
            }
        })
        .collect();
    let mut untold = 0.0_f64;
    for shares in &causes.inputs {
        let stacked = stack
            .links
            .iter()
            .any(|link| link.contributor == Contributor::Input(shares.input));
        let share = shares.with_others(question).value;
        if stacked || too_few(causes) || !share.is_finite() {
            continue;
        }
        if share < BESIDE_THE_STACK {
            untold = untold.max(share);
        } else {
            rows.push(StackRow {
                name: words(shares.input, setup),
                stacked: None,
                simulated: of(shares.input),
            });
        }
    }
    (rows, untold)
}

/// What rounds a loop.
fn rounding(which: Loop) -> &'static str {
    match which {
        Loop::Depth => "nearest pinion pack",
        Loop::Backlash | Loop::Closure => "nearest packs",
    }
}
