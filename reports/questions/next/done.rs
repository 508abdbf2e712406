//! What is said of a job that is finished.

use serde_json::{Map, Value, json};
use shimcast_sim::axle::PreloadBy;

use super::OnTheBench;
use crate::figures::{counted, plain};
use crate::files::{Comeback, Done, Verdict};
use crate::tasks;

impl OnTheBench {
    /// That it is finished, and how it ended.
    pub(super) fn finished(&self) -> Option<String> {
        let done = self.job.done.as_ref()?;
        let mut said: Vec<String> = Vec::new();
        said.extend(done.verdict.map(|verdict| {
            let words = match verdict {
                Verdict::Right => "handed over right",
                Verdict::Accepted => "accepted with something outside its window",
                Verdict::GivenUp => "given up",
            };
            words.to_owned()
        }));
        said.extend(done.hours.map(|hours| match hours {
            1.0 => "1 hour".to_owned(),
            hours => format!("{} hours", plain(hours)),
        }));
        said.extend(done.minutes.iter().map(|(task, minutes)| {
            let words = tasks::words(*task, &self.setup).replace(',', " and");
            format!("{} minutes of it to {words}", plain(*minutes))
        }));
        said.extend(done.sleeves.map(|number| {
            let names = match self.setup.axle.pinion_preload.by {
                PreloadBy::Sleeve { .. } => ["sleeve", "sleeves"],
                PreloadBy::Spacer { .. } => ["go at the spacer", "goes at the spacer"],
            };
            counted(number.into(), names)
        }));
        said.extend(done.spoiled.iter().map(|(series, number)| {
            let names = ["shim", "shims"].map(|shims| format!("{series} {shims} spoiled"));
            counted(u64::from(*number), [&names[0], &names[1]])
        }));
        said.extend(done.comeback.map(|comeback| {
            let words = match comeback {
                Comeback::Yes => "it came back",
                Comeback::No => "it did not come back",
                Comeback::Unknown => "whether it comes back is not known yet",
            };
            words.to_owned()
        }));
        said.extend(
            done.booked
                .as_ref()
                .map(|count| format!("its shims are booked out of {count}")),
        );
        let date = done.date.as_ref();
        let finished = date.map_or_else(
            || "is finished".to_owned(),
            |date| format!("was finished on {date}"),
        );
        let how = match said.is_empty() {
            true => String::new(),
            false => format!(": {}", said.join(", ")),
        };
        Some(format!("This job {finished}{how}."))
    }
}

/// Minutes of single tasks, by their keys.
fn minutes(done: &Done) -> Map<String, Value> {
    let all = done.minutes.iter();
    all.map(|(task, minutes)| (tasks::key(*task).to_owned(), json!(minutes)))
        .collect()
}

/// Shims spoiled, by series.
fn spoiled(done: &Done) -> Map<String, Value> {
    let all = done.spoiled.iter();
    all.map(|(series, number)| (series.clone(), json!(number)))
        .collect()
}

/// How it ended, as files write it.
pub(super) fn json(done: &Done) -> Value {
    json!({
        "verdict": done.verdict.map(Verdict::word),
        "hours": done.hours,
        "minutes": minutes(done),
        "sleeves": done.sleeves,
        "spoiled": spoiled(done),
        "comeback": done.comeback.map(Comeback::word),
        "date": done.date,
        "booked": done.booked,
    })
}
