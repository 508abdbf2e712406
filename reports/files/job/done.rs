//! How a job ended.

use shimcast_sim::axle::Axle;
use shimcast_sim::bench::minutes::Task;

use crate::day::day;
use crate::files::describe::Takes;
use crate::files::measure::Quantity;
use crate::files::section::{Limits, Section};
use crate::files::tree::{Entry, Value};
use crate::files::words::did_you_mean;
use crate::tasks;

/// What became of a job: recorded, and of no weight for what is believed of its axle.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Done {
    /// How it was handed over.
    pub verdict: Option<Verdict>,
    /// Hours that it took.
    pub hours: Option<f64>,
    /// Minutes of those tasks whose time is known.
    pub minutes: Vec<(Task, f64)>,
    /// Crush sleeves used, or goes at the solid spacer.
    pub sleeves: Option<u32>,
    /// Shims that came out and could not be used again, by series, where that was counted.
    pub spoiled: Vec<(String, u32)>,
    /// Whether it came back.
    pub comeback: Option<Comeback>,
    /// The day it was finished, YYYY-MM-DD.
    pub date: Option<String>,
    /// The count of a drawer that the shims fitted were taken out of.
    pub booked: Option<String>,
}

/// How a job was handed over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Everything read inside its window.
    Right,
    /// Accepted with something outside.
    Accepted,
    /// Given up.
    GivenUp,
}

/// Whether a job came back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Comeback {
    /// It did.
    Yes,
    /// It did not.
    No,
    /// Nobody knows yet.
    Unknown,
}

/// Verdicts as files write them.
const VERDICTS: [(&str, Verdict); 3] = [
    ("right", Verdict::Right),
    ("accepted", Verdict::Accepted),
    ("given up", Verdict::GivenUp),
];
/// Whether it came back, as files write it.
const COMEBACKS: [(&str, Comeback); 3] = [
    ("yes", Comeback::Yes),
    ("no", Comeback::No),
    ("unknown", Comeback::Unknown),
];
/// More than any job takes.
const MOST_HOURS: f64 = 500.0;
const MOST_SLEEVES: u32 = 100;
const MOST_SHIMS: u32 = 1000;

impl Verdict {
    /// As files write it.
    pub fn word(self) -> &'static str {
        VERDICTS[self as usize].0
    }
}

impl Comeback {
    /// As files write it.
    pub fn word(self) -> &'static str {
        COMEBACKS[self as usize].0
    }
}

/// What the group says of a job on this axle, where that could be read; whatever is wrong is noted. `None`
/// where there is no such group.
pub(super) fn read(s: &Section<'_>, axle: Option<&Axle>) -> Option<Done> {
    let done = Done {
        verdict: s.optional_choice("verdict", &VERDICTS),
        hours: s.optional_number("hours", Quantity::Plain, Limits::Within(0.0, MOST_HOURS)),
        minutes: minutes(&s.sub("minutes")),
        sleeves: s.optional_whole("sleeves", 0, MOST_SLEEVES),
        spoiled: spoiled(s, axle),
        comeback: s.optional_choice("comeback", &COMEBACKS),
        date: date(s),
        booked: s.optional_text(
            "booked",
            "write the name of the count, e.g. booked = \"drawer.csv\"",
        ),
    };
    s.finish();
    s.is_given().then_some(done)
}

/// Minutes by task, under the names that a shop file has for them.
fn minutes(s: &Section<'_>) -> Vec<(Task, f64)> {
    let limits = Limits::Within(0.0, 60.0 * MOST_HOURS);
    let of = |task| {
        Some((
            task,
            s.optional_number(tasks::key(task), Quantity::Minutes, limits)?,
        ))
    };
    let all = Task::ALL.into_iter().filter_map(of).collect();
    s.finish();
    all
}

/// Shims by series, as the shop calls those that the axle takes.
fn spoiled(done: &Section<'_>, axle: Option<&Axle>) -> Vec<(String, u32)> {
    done.takes("spoiled", false, || Takes::Counts(0, MOST_SHIMS));
    let s = done.sub("spoiled");
    let Some(Value::Table(entries)) = done.stated("spoiled").map(|node| &node.value) else {
        return Vec::new();
    };
    let one = |Entry { key, place, node }: &Entry| {
        let fits = axle.map(Axle::series);
        if let Some(fits) = fits.filter(|fits| !fits.contains(&key.as_str())) {
            let help = did_you_mean(key, fits, "its series are");
            let reason = format!("this axle takes no shims of a series `{key}`");
            s.wrong(*place, reason, help);
        }
        (key.clone(), s.whole_in(node, &s.name(key), 0, MOST_SHIMS))
    };
    entries.iter().map(one).collect()
}

/// A day, with quotes or without.
fn date(s: &Section<'_>) -> Option<String> {
    s.takes("date", false, || Takes::Day);
    let node = s.stated("date")?;
    let text = match &node.value {
        Value::Text(text) | Value::Date(text) => text.as_str(),
        _ => node.kind(),
    };
    match day(text) {
        Ok(day) => Some(day),
        Err(why) => {
            let reason = format!("{} is not a day: this is {text}", s.name("date"));
            s.wrong(node.place, reason, Some(why));
            None
        }
    }
}
