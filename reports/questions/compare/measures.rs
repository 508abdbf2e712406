//! What ways of working are compared by, and what their differences say.

use shimcast_sim::compare::{Comparison, Differences, Verdict, Way};
use shimcast_sim::count::estimate::Estimate;

use crate::document::{Cell, Known};
use crate::figures::rebuilds;

/// Whether it is worth a word how many jobs are given up: many in some way, or not as many in every
/// way.
pub fn some_given_up(comparison: &Comparison) -> bool {
    let many = |way: &Way| way.finished.value < NEARLY_ALL;
    let differ = |differences: &Differences| differences.finished.value != 0.0;
    comparison.ways.iter().any(many) || comparison.differences.iter().any(differ)
}

/// Where at least this share of jobs is finished, those given up are hardly worth a word.
pub const NEARLY_ALL: f64 = 0.995;

/// What ways are compared by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// Right as first bolted up.
    FirstAssembly,
    /// Right when handed over.
    HandedOver,
    /// Handed over clearly out.
    ClearlyOut,
    /// Finished at all.
    Finished,
    /// Assemblies.
    Assemblies,
    /// Hours.
    Hours,
    /// What a job costs.
    Money,
}

impl Measure {
    /// All of them, in the order shown.
    pub const ALL: [Self; 7] = [
        Self::FirstAssembly,
        Self::HandedOver,
        Self::ClearlyOut,
        Self::Finished,
        Self::Assemblies,
        Self::Hours,
        Self::Money,
    ];

    /// Those worth showing: whether a job is finished at all only where some are not.
    pub fn shown(comparison: &Comparison) -> Vec<Self> {
        let mut shown = Self::ALL.to_vec();
        shown.retain(|measure| *measure != Self::Finished || some_given_up(comparison));
        shown
    }

    fn facts(self) -> &'static Facts {
        &ROWS[self as usize]
    }

    /// Its name in answers.
    pub fn key(self) -> &'static str {
        self.facts().key
    }

    /// Of a way.
    pub fn of(self, way: &Way) -> &Estimate {
        (self.facts().of)(way)
    }

    /// Of a difference.
    pub fn difference(self, differences: &Differences) -> &Estimate {
        (self.facts().difference)(differences)
    }

    /// Whether it is a share, whose differences are in percentage points.
    pub fn is_share(self) -> bool {
        self.facts().is_share
    }

    /// What it is, in a sentence.
    pub fn words(self) -> &'static str {
        self.facts().words
    }

    /// What it is, over a table.
    pub fn title(self, currency: &str) -> String {
        self.facts().title.replace(CURRENCY, currency)
    }

    /// What it is, over a column.
    pub fn short(self, currency: &str) -> String {
        self.facts().short.replace(CURRENCY, currency)
    }

    /// As a cell, of a way.
    pub fn cell(self, estimate: &Estimate) -> Cell {
        match self {
            _ if self.is_share() => Cell::share(estimate),
            Self::Money => Cell::mean(estimate, 0),
            _ => Cell::mean(estimate, 2),
        }
    }

    /// A difference with its unit, where that is a currency.
    pub fn change_in(self, difference: &Estimate, currency: &str) -> Cell {
        let change = self.change(difference);
        match self {
            Self::Money => change.of_unit(currency),
            _ => change,
        }
    }

    /// A difference as a cell: it is known better than what it is taken from.
    pub fn change(self, difference: &Estimate) -> Cell {
        match self {
            _ if self.is_share() => Cell::known(Known::Points(*difference)),
            Self::Money => Cell::change(difference, 2),
            _ => Cell::change(difference, 3),
        }
    }

    /// A difference as a cell where one was seen.
    pub fn seen(self, difference: &Estimate) -> Cell {
        Cell::known(match self {
            _ if self.is_share() => Known::SeenPoints(*difference),
            _ => Known::Seen(*difference, 3),
        })
    }

    /// What a difference says, in words. Whether more jobs are given up, or fewer, is said in the
    /// same line: a job given up takes no more hours and is handed over to nobody, so a way may look
    /// better by that alone.
    pub fn verdict(self, differences: &Differences) -> String {
        let difference = self.difference(differences);
        if difference.value.is_nan() {
            return "cannot be compared: a way finishes no job".into();
        }
        let seen = Verdict::of(difference);
        let said = self.in_words(seen);
        let said = said.map_or_else(
            || format!("no difference seen at {}", rebuilds(difference.n)),
            str::to_owned,
        );
        let clause = match self {
            Self::FirstAssembly | Self::Finished => "",
            Self::Money => given_up(differences, self.better(seen)),
            _ if Verdict::of(&differences.finished) == Verdict::NoneSeen => "",
            _ => given_up(differences, self.better(seen)),
        };
        format!("{said}{clause}")
    }

    /// What was seen, in words; `None` where no difference was.
    fn in_words(self, seen: Verdict) -> Option<&'static str> {
        match seen {
            Verdict::More => Some(self.facts().more),
            Verdict::Less => Some(self.facts().less),
            Verdict::NoneSeen => None,
        }
    }

    /// Whether what was seen is for the better; `None` where no difference was.
    fn better(self, seen: Verdict) -> Option<bool> {
        let more_is_better = self.facts().more_is_better;
        match seen {
            Verdict::More => Some(more_is_better),
            Verdict::Less => Some(!more_is_better),
            Verdict::NoneSeen => None,
        }
    }
}

/// What is known of a measure.
struct Facts {
    key: &'static str,
    of: fn(&Way) -> &Estimate,
    difference: fn(&Differences) -> &Estimate,
    is_share: bool,
    words: &'static str,
    title: &'static str,
    short: &'static str,
    more: &'static str,
    less: &'static str,
    more_is_better: bool,
}

/// Stands in a title for the shop's currency.
const CURRENCY: &str = "{currency}";

/// A row a measure: its key, which is also its field in ways and differences, whether it is a share;
/// what it is in a sentence, over a table, over a column; what is said of more and of less of it, and
/// whether more is better.
macro_rules! rows {
    ($($field:ident, $is_share:literal, $words:literal, $title:literal, $short:literal,
        $more:literal or $less:literal, $more_is_better:literal;)+) => {
        [$(Facts {
            key: stringify!($field),
            of: |way| &way.$field,
            difference: |differences| &differences.$field,
            is_share: $is_share,
            words: $words,
            title: $title,
            short: $short,
            more: $more,
            less: $less,
            more_is_better: $more_is_better,
        }),+]
    };
}

/// In the order of [`Measure::ALL`].
static ROWS: [Facts; Measure::ALL.len()] = rows! {
    first_assembly, true,
        "right at the first assembly", "Right at the first assembly", "first assembly",
        "more often right" or "less often right", true;
    handed_over, true,
        "right when handed over", "Right when handed over, of finished jobs", "handed over",
        "more often right" or "less often right", true;
    clearly_out, true,
        "handed over clearly out", "Handed over clearly out, of finished jobs", "clearly out",
        "more often clearly out" or "less often clearly out", false;
    finished, true,
        "finished at all", "Finished at all", "finished",
        "more often finished" or "less often finished", true;
    assemblies, false,
        "assemblies", "Assemblies", "assemblies",
        "more assemblies" or "fewer assemblies", false;
    hours, false,
        "hours", "Hours, mean", "hours",
        "slower" or "quicker", false;
    money, false,
        "cost of a job", "What a job costs, {currency}", "{currency} a job",
        "dearer" or "cheaper", false;
};

/// What is reported of a way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfWay {
    /// What it is compared by.
    By(Measure),
    /// Hours within which 4 jobs in 5 are done.
    HoursP80,
}

impl OfWay {
    /// All of it, in the order shown.
    pub const ALL: [Self; 8] = [
        Self::By(Measure::FirstAssembly),
        Self::By(Measure::HandedOver),
        Self::By(Measure::ClearlyOut),
        Self::By(Measure::Finished),
        Self::By(Measure::Assemblies),
        Self::By(Measure::Hours),
        Self::HoursP80,
        Self::By(Measure::Money),
    ];

    /// What is worth showing.
    pub fn shown(comparison: &Comparison) -> Vec<Self> {
        let measures = Measure::shown(comparison);
        let mut shown = Self::ALL.to_vec();
        shown.retain(|of| of.measure().is_none_or(|by| measures.contains(&by)));
        shown
    }

    /// What it is compared by; of hours within which 4 jobs in 5 are done there are no pairs.
    pub fn measure(self) -> Option<Measure> {
        match self {
            Self::By(measure) => Some(measure),
            Self::HoursP80 => None,
        }
    }

    /// Its name in answers.
    pub fn key(self) -> &'static str {
        self.measure().map_or("hours_p80", Measure::key)
    }

    /// What it is, over a table.
    pub fn title(self, currency: &str) -> String {
        let p80 = || "Hours within which 4 jobs in 5 are done".into();
        self.measure().map_or_else(p80, |by| by.title(currency))
    }

    /// What it is, over a column.
    pub fn short(self, currency: &str) -> String {
        let p80 = || "4 in 5 within".into();
        self.measure().map_or_else(p80, |by| by.short(currency))
    }

    /// Of a way.
    pub fn of(self, way: &Way) -> &Estimate {
        self.measure().map_or(&way.hours_p80, |by| by.of(way))
    }

    /// Whether it is a share.
    pub fn is_share(self) -> bool {
        self.measure().is_some_and(Measure::is_share)
    }

    /// As a cell.
    pub fn cell(self, way: &Way) -> Cell {
        self.measure().unwrap_or(Measure::Hours).cell(self.of(way))
    }
}

/// What a way changes against the first, measure by measure, and in what no difference was seen.
pub fn changes(comparison: &Comparison, differences: &Differences, currency: &str) -> String {
    let mut seen = Vec::new();
    let mut not_seen = Vec::new();
    for measure in Measure::shown(comparison) {
        let difference = measure.difference(differences);
        if measure == Measure::Assemblies || difference.value.is_nan() {
            continue;
        }
        let name = measure.words();
        if Verdict::of(difference) == Verdict::NoneSeen {
            not_seen.push(name);
            continue;
        }
        let change = measure.change_in(difference, currency);
        seen.push(format!("{name} {} ({})", change.value(), change.range()));
    }
    if seen.is_empty() {
        return "no difference seen".into();
    }
    if !not_seen.is_empty() {
        seen.push(format!("no difference seen in {}", not_seen.join(", ")));
    }
    seen.join("; ")
}

/// Goes on in a sentence that says what another way changes, for the better or not: whether more
/// jobs are given up by it, or fewer. Empty where it makes no difference.
pub fn given_up(differences: &Differences, better: Option<bool>) -> &'static str {
    let finished = &differences.finished;
    match (Verdict::of(finished), better) {
        (Verdict::NoneSeen, _) if finished.value == 0.0 => "",
        (Verdict::NoneSeen, _) => "; jobs given up differ by no more than chance",
        (Verdict::Less, Some(false)) => ", and more jobs are given up",
        (Verdict::Less, _) => ", but more jobs are given up",
        (Verdict::More, Some(true)) => ", and fewer jobs are given up",
        (Verdict::More, _) => ", but fewer jobs are given up",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn difference(value: f64, half: f64) -> Estimate {
        Estimate {
            value,
            low: value - half,
            high: value + half,
            n: 1000,
        }
    }

    /// A way that differs by `everything` in all measures but jobs finished.
    fn differences(everything: f64, finished: f64) -> Differences {
        let by = difference(everything, 0.01);
        Differences {
            first_assembly: by,
            handed_over: by,
            clearly_out: by,
            finished: difference(finished, 0.01),
            assemblies: by,
            hours: by,
            money: by,
            alike: false,
        }
    }

    #[test]
    fn jobs_given_up_are_mentioned_in_the_same_line() {
        for (everything, finished, money, right) in [
            (-1.0, 0.0, "cheaper", "less often right"),
            (
                -1.0,
                -0.1,
                "cheaper, but more jobs are given up",
                "less often right, and more jobs are given up",
            ),
            (
                1.0,
                -0.1,
                "dearer, and more jobs are given up",
                "more often right, but more jobs are given up",
            ),
            (
                -1.0,
                0.1,
                "cheaper, and fewer jobs are given up",
                "less often right, but fewer jobs are given up",
            ),
            (
                0.0,
                -0.1,
                "no difference seen at 1000 rebuilds, but more jobs are given up",
                "no difference seen at 1000 rebuilds, but more jobs are given up",
            ),
            (
                -1.0,
                0.005,
                "cheaper; jobs given up differ by no more than chance",
                "less often right",
            ),
        ] {
            let d = differences(everything, finished);
            assert_eq!(Measure::Money.verdict(&d), money);
            assert_eq!(Measure::HandedOver.verdict(&d), right);
            // the first assembly comes before anything is given up
            assert!(!Measure::FirstAssembly.verdict(&d).contains("given up"));
        }
        let d = differences(1.0, -0.1);
        assert_eq!(
            Measure::ClearlyOut.verdict(&d),
            "more often clearly out, and more jobs are given up"
        );
        assert_eq!(Measure::Finished.verdict(&d), "less often finished");
    }

    #[test]
    fn every_measure_has_a_key_of_its_own() {
        let mut keys = Measure::ALL.map(Measure::key).to_vec();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), Measure::ALL.len());
    }
}
