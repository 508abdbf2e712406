//! What next at the pinion preload.

use shimcast_sim::next::{Go, PreloadNext};

use super::OnTheBench;
use crate::document::{Block, Cell, Column, Table};
use crate::figures::{Digits, said};

impl OnTheBench {
    /// What next at the preload, in a sentence, with the goes that can be made at the nut.
    pub(super) fn preload(&self) -> Vec<Block> {
        let print = self.print();
        let window = print.torques(self.setup.torque_window);
        match &self.answer.preload {
            Some(PreloadNext::Spacer {
                pack,
                fitted,
                torque,
                inside,
            }) => {
                let pack = print.given(*pack);
                let first = match fitted {
                    true => format!("Leave the pack beside the spacer at {pack}"),
                    false => format!("Fit {pack} beside the spacer"),
                };
                vec![Block::Note(format!(
                    "{first}: the torque to turn the pinion is then {} to {} in nine of ten, inside \
                     {window} in {}.",
                    print.bare_torque(torque.p05),
                    print.torque(torque.p95),
                    said(inside)
                ))]
            }
            Some(PreloadNext::Sleeve {
                degrees,
                inside,
                goes,
            }) => {
                let whole = |degrees: f64| Digits::decimals(0).text(degrees);
                let left = match degrees.p95 <= 0.0 {
                    true => "The nut is where it is aimed at".to_owned(),
                    false => format!(
                        "The nut has {} to {} degrees left to the aim in nine of ten",
                        whole(degrees.p05),
                        whole(degrees.p95)
                    ),
                };
                let mut blocks = vec![Block::Note(format!(
                    "{left}; as it is, the torque is inside {window} in {}. A nut is never turned back.",
                    said(inside)
                ))];
                if !goes.is_empty() {
                    blocks.push(goes_at_the_nut(goes).into());
                }
                blocks
            }
            _ => Vec::new(),
        }
    }
}

fn goes_at_the_nut(goes: &[Go]) -> Table {
    let mut table = Table::new([
        Column::words("turn the nut by"),
        Column::intervals("then inside its window"),
        Column::intervals("then past it"),
    ]);
    for go in goes {
        table.row([
            Cell::from(format!("{} degrees", Digits::decimals(0).text(go.degrees))),
            Cell::share(&go.inside),
            Cell::share(&go.past),
        ]);
    }
    table
}
