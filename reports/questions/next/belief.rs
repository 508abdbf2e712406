//! What is believed of the axle as it sits, beside what was believed of the same packs before.

use shimcast_sim::next::{Figure, Narrowing};

use super::OnTheBench;
use super::words;
use crate::document::{Column, Table};
use crate::figures::Digits;

/// Standard deviations either way that hold nine in ten of a normal figure.
const NINE_IN_TEN: f64 = 1.645;
/// A spread narrowed to no less than this share is hardly narrowed.
const LITTLE: f64 = 0.9;
/// A figure may be of either sign.
const ANY: f64 = f64::NEG_INFINITY;

impl OnTheBench {
    /// What is believed, a figure a row.
    pub(super) fn belief(&self) -> Table {
        let unit = self.print().length_unit();
        let mut table = Table::new([
            Column::words(format!("nine in ten between, {unit}")),
            Column::words("now"),
            Column::words("before reading"),
        ]);
        let print = self.print();
        let belief = &self.answer.belief;
        // to a tenth of that where both ends would look alike
        let signed = |mm: f64, fine: bool| match fine {
            true => print.signed_length(mm),
            false => print.signed_read(mm),
        };
        let bare = |mm: f64, fine: bool| match fine {
            true => print.bare_length(mm),
            false => print.bare_read(mm),
        };
        let percent =
            |share: f64, fine: bool| Digits::decimals(usize::from(fine)).signed(100.0 * share);
        let windows = &self.setup.axle.windows;
        let side = print.window(windows.side_closure);
        let lash = print.window(windows.backlash);
        type Text<'a> = &'a dyn Fn(f64, bool) -> String;
        let rows: [(String, &Figure, f64, Text<'_>); 7] = [
            (
                "pinion depth off its best, + too shallow".into(),
                &belief.depth,
                ANY,
                &signed,
            ),
            (
                "ring position off its best, + too far out".into(),
                &belief.ring,
                ANY,
                &signed,
            ),
            (
                format!("side preload (window {side})"),
                &belief.closure,
                ANY,
                &bare,
            ),
            (
                format!("backlash, mean (window {lash})"),
                &belief.backlash,
                ANY,
                &bare,
            ),
            (
                "variation of backlash round the ring".into(),
                &belief.variation,
                0.0,
                &bare,
            ),
            (
                "pattern, drive side, %, + toward top".into(),
                &belief.drive,
                ANY,
                &percent,
            ),
            (
                "pattern, coast side, %, + toward top".into(),
                &belief.coast,
                ANY,
                &percent,
            ),
        ];
        for (name, of, least, text) in rows {
            let [mean, sd] = of.before;
            let range = |low: f64, high: f64| {
                let low = low.max(least);
                let fine = text(low, false) == text(high, false);
                format!("{} to {}", text(low, fine), text(high, fine))
            };
            let before = range(mean - NINE_IN_TEN * sd, mean + NINE_IN_TEN * sd);
            table.row([name.into(), range(of.p05, of.p95).into(), before.into()]);
        }
        // before anything is read there is one belief
        if self.last().is_none() {
            table.drop_column(2);
        }
        table
    }

    /// Which figure that is not stated would narrow it most.
    pub(super) fn narrowing(&self) -> Option<String> {
        let Narrowing {
            entry,
            reading,
            depth,
            backlash,
            closure,
            ..
        } = self.answer.would_narrow?;
        let what = [
            ("pinion depth", depth),
            ("backlash", backlash),
            ("side preload", closure),
        ];
        let (what, left) = what.into_iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
        let whose = match entry {
            0 => String::new(),
            entry => format!(" at assembly {entry}"),
        };
        let reading = words::reading(reading);
        Some(match left {
            little if little > LITTLE => {
                format!("Nothing more to be read would narrow it much; {reading}{whose} most.")
            }
            left => format!(
                "Of what is not stated, {reading}{whose} would say most: it would narrow {what} to \
                 {:.0} % of its spread.",
                100.0 * left
            ),
        })
    }
}
