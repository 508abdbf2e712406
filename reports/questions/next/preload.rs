//! What next at the pinion preload.

use shimcast_sim::bench::PackPlace;
use shimcast_sim::next::{Go, PreloadNext};
use shimcast_sim::units::SLACK;

use super::OnTheBench;
use crate::document::{Cell, Column, Table};
use crate::figures::{Digits, plain, said};

impl OnTheBench {
    /// Whether the preload is made, as far as the file says.
    pub(super) fn preload_is_made(&self) -> bool {
        match &self.answer.preload {
            Some(PreloadNext::Sleeve { degrees, .. }) => degrees.p50 <= 0.0,
            Some(PreloadNext::Spacer { fitted, .. }) => *fitted,
            _ => true,
        }
    }

    /// The torque last read of a sleeve, where that is past the window: the nut is never turned back.
    pub(super) fn past_the_window(&self) -> Option<f64> {
        if !matches!(self.answer.preload, Some(PreloadNext::Sleeve { .. })) {
            return None;
        }
        let read = self.job.bench.assemblies.iter().rev();
        let last = read.filter_map(|fitted| fitted.torque.last()).next()?;
        (*last > self.setup.torque_window.high + SLACK).then_some(*last)
    }

    /// What next at the preload, in a sentence.
    pub(super) fn preload(&self) -> Option<String> {
        let print = self.print();
        let window = print.torques(self.setup.torque_window);
        match self.answer.preload.as_ref()? {
            PreloadNext::Spacer {
                pack,
                fitted,
                torque,
                inside,
            } => {
                let shims = self.shims_of(PackPlace::Spacer, *pack);
                let pack = match shims.contains('+') {
                    true => format!("{} ({shims})", print.given(*pack)),
                    false => print.given(*pack),
                };
                let first = match fitted {
                    true => format!("leave the pack beside the spacer at {pack}"),
                    false => format!("fit {pack} beside the spacer"),
                };
                Some(format!(
                    "Preload: {first}; torque to turn the pinion then {} to {} in nine of ten, inside \
                     {window} in {}.",
                    print.bare_torque(torque.p05),
                    print.torque(torque.p95),
                    said(inside)
                ))
            }
            PreloadNext::Sleeve {
                degrees,
                inside,
                goes,
            } => {
                if let Some(read) = self.past_the_window() {
                    return Some(format!(
                        "Preload: {} is past the window of {window}, and a nut is never turned back: fit a \
                         new sleeve and begin again.",
                        print.torque(read)
                    ));
                }
                let whole = |degrees: f64| Digits::decimals(0).text(degrees);
                let left = match self.preload_is_made() {
                    true => "the nut is where it is aimed at".to_owned(),
                    false => format!(
                        "the nut has {} to {} degrees left to the aim in nine of ten",
                        whole(degrees.p05),
                        whole(degrees.p95)
                    ),
                };
                let as_it_is = format!("as it is, torque is inside {window} in {}", said(inside));
                let likeliest = goes
                    .iter()
                    .max_by(|a, b| a.inside.value.total_cmp(&b.inside.value));
                let go = likeliest
                    .filter(|go| go.inside.low > inside.value)
                    .map(|go| {
                        format!(
                            "; {} more at one go: inside in {}, past it in {}",
                            self::degrees(go.degrees),
                            said(&go.inside),
                            said(&go.past)
                        )
                    });
                Some(format!(
                    "Preload: {left}; {as_it_is}{}.",
                    go.unwrap_or_default()
                ))
            }
            _ => None,
        }
    }

    /// The goes that can be made at the nut, a row each.
    pub(super) fn goes(&self) -> Option<Table> {
        match &self.answer.preload {
            Some(PreloadNext::Sleeve { goes, .. }) => Some(goes_at_the_nut(goes)),
            _ => None,
        }
    }
}

/// So far a nut is turned.
fn degrees(degrees: f64) -> String {
    let text = plain(degrees);
    let one = if text == "1" { "degree" } else { "degrees" };
    format!("{text} {one}")
}

fn goes_at_the_nut(goes: &[Go]) -> Table {
    let mut table = Table::new([
        Column::words("turn the nut by"),
        Column::intervals("then inside its window"),
        Column::intervals("then past it"),
    ]);
    for go in goes {
        table.row([
            degrees(go.degrees).into(),
            Cell::share(&go.inside),
            Cell::share(&go.past),
        ]);
    }
    table
}
