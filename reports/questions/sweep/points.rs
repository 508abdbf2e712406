//! Keys swept, with what each value comes to.

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::compare::{Comparison, Differences, Verdict};

use crate::cli::Value;
use crate::document::{Cell, Column, Table};
use crate::files::Assumption;
use crate::questions::compare::measures::{Measure, OfWay};
use crate::questions::outside;

/// Said where nothing that is shown depends on what is swept.
pub const PLAYS_NO_PART: &str =
    "No difference at all: what is swept plays no part in this job, in its hours or in its cost.";

/// A key that is swept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Key {
    /// As typed.
    pub name: String,
    /// The unit of its values; empty where they have none.
    pub unit: String,
}

impl Key {
    /// With its unit, for people.
    pub fn titled(&self) -> String {
        match self.unit.as_str() {
            "" => self.name.clone(),
            unit => format!("{}, {unit}", self.name),
        }
    }

    /// With its unit, for other tools: as the columns of every table name theirs.
    pub fn column(&self) -> String {
        match self.unit.as_str() {
            "" => self.name.clone(),
            unit => format!("{}_{}", self.name, unit.replace('·', ".").replace(' ', "_")),
        }
    }
}

/// The whole answer.
#[derive(Debug, Clone, Copy)]
pub struct Points<'a> {
    /// The keys, one or two.
    pub keys: &'a [Key],
    /// The values at each point, in the order of the keys; the last key runs fastest.
    pub points: &'a [Vec<Value>],
    /// The job at each point.
    pub setups: &'a [Setup],
    /// The point that the files themselves are at; not there where they do not say.
    pub own: Option<usize>,
    /// What was simulated: a way for each point, held against the files' own, or against the first.
    pub comparison: &'a Comparison,
    /// Seed of the run.
    pub seed: u64,
    /// Defaults in use.
    pub assumptions: &'a [Assumption],
}

impl Points<'_> {
    /// Whether two keys are swept, which makes a map.
    pub fn two_keys(&self) -> bool {
        self.keys.len() == 2
    }

    /// Whether the first key goes through numbers, which a line may join.
    pub fn of_figures(&self) -> bool {
        let first = self.points.iter().filter_map(|point| point.first());
        first.map(Value::figure).all(|figure| figure.is_some())
    }

    /// The values of the second key; none where one key is swept.
    pub fn across(&self) -> Vec<Value> {
        let first = self.points.first().and_then(|point| point.first());
        self.points
            .iter()
            .take_while(|point| point.first() == first)
            .filter_map(|point| point.get(1).cloned())
            .collect()
    }

    /// The point that all others are held against.
    pub fn base(&self) -> usize {
        self.own.unwrap_or_default()
    }

    /// What a point differs by from the files' own, where they say what theirs is.
    pub fn against_own(&self, place: usize) -> Option<&Differences> {
        self.own.and(self.comparison.from_base.get(place))
    }

    /// What that point is, in words.
    pub fn base_in_words(&self) -> String {
        let values: Vec<String> = self.points[self.base()].iter().map(Value::shown).collect();
        let what = match (self.own, self.keys.len()) {
            (Some(_), 1) => "the files' own value",
            (Some(_), _) => "the files' own values",
            (None, _) => "the first point",
        };
        format!("{}, {what}", values.join(" and "))
    }

    /// The names of all keys.
    pub fn names(&self) -> String {
        let names: Vec<&str> = self.keys.iter().map(|key| key.name.as_str()).collect();
        names.join(" and ")
    }

    /// Whether every rebuild came out the same at every point: what is swept plays no part.
    pub fn changes_nothing(&self) -> bool {
        self.comparison.differences.iter().all(|d| d.alike)
    }

    /// Whether a difference was seen anywhere in what a column shows.
    pub fn changes(&self, of: OfWay) -> bool {
        let measure = of.measure().unwrap_or(Measure::Hours);
        let differences = self.comparison.from_base.iter();
        let mut verdicts = differences.map(|d| Verdict::of(measure.difference(d)));
        verdicts.any(|verdict| verdict != Verdict::NoneSeen)
    }

    /// The shop's currency.
    pub fn currency(&self) -> &str {
        &self.setups[0].shop.currency
    }

    /// What its columns mean.
    pub fn meaning(&self) -> String {
        format!(
            "{}First assembly and handed over: share truly right. {}",
            self.marked(),
            outside::compared(self.setups)
        )
    }

    /// What the mark at a point says.
    pub fn marked(&self) -> &'static str {
        match (self.own, self.keys.len()) {
            (None, _) => "",
            (Some(_), 1) => "* the files' own value. ",
            (Some(_), _) => "* the files' own values. ",
        }
    }

    /// The values of a point as cells, marked where they are the files' own.
    fn cells(&self, place: usize) -> impl Iterator<Item = Cell> {
        let mark = if self.own == Some(place) { MARK } else { "" };
        let values = self.points[place].iter();
        values.map(move |value| format!("{mark}{}", value.shown()).into())
    }

    /// A column for every key.
    fn key_columns(&self) -> impl Iterator<Item = Column> {
        self.keys.iter().enumerate().map(|(place, key)| {
            let mut values = self.points.iter().filter_map(|point| point.get(place));
            if values.all(|value| value.figure().is_some()) {
                Column::figures(key.titled())
            } else {
                Column::words(key.titled())
            }
        })
    }

    /// What each point comes to.
    pub fn table(&self) -> Table {
        let shown = OfWay::shown(self.comparison);
        let columns = shown.iter().map(|of| {
            let column = Column::halves(of.short(self.currency()));
            match of {
                OfWay::By(by) => with_room(column, *by),
                OfWay::HoursP80 => column.may_go(),
            }
        });
        let mut table =
            Table::new(self.key_columns().chain(columns)).caption("What each point comes to");
        for (place, way) in self.comparison.ways.iter().enumerate() {
            table.row(self.cells(place).chain(shown.iter().map(|of| of.cell(way))));
        }
        table
    }

    /// How each point differs from the files' own, or from the first, pair by pair.
    pub fn differences(&self) -> Table {
        let shown = Measure::shown(self.comparison);
        let columns = shown
            .iter()
            .map(|by| with_room(Column::halves(by.short(self.currency())), *by));
        let mut table = Table::new(self.key_columns().chain(columns));
        for (place, differences) in self.comparison.from_base.iter().enumerate() {
            if place != self.base() {
                let cells = shown.iter().map(|by| by.seen(by.difference(differences)));
                table.row(self.cells(place).chain(cells));
            }
        }
        table
    }
}

/// What stands before the files' own value in a table.
pub(super) const MARK: &str = "* ";

/// A column that may go where there is little room, unless it is of what matters most.
fn with_room(column: Column, of: Measure) -> Column {
    match of {
        Measure::FirstAssembly | Measure::Assemblies => column.may_go(),
        _ => column,
    }
}
