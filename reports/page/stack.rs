//! The loops of the first assembly: the textbook stack beside what was simulated.

use shimcast_sim::causes::{Loop, Simulated};

use super::causes::share_bar;
use super::exhibit::Exhibit;
use crate::chart::{self, Bar, Fill, Row, Rows, Words};
use crate::document::{Cell, Column, Known, Table};
use crate::figures::Printed;
use crate::inputs::loop_words;
use crate::questions::causes::Caused;
use crate::questions::causes::rows::{LEADING, StackRow, stack_rows};

/// Rows that a figure shows; the table has all.
const MOST_ROWS: usize = 10;

/// One loop.
pub(super) fn stack(asked: &Caused<'_>, simulated: &Simulated) -> Exhibit {
    let print = Printed(asked.units);
    let which = simulated.stack.of;
    let (name, title) = match which {
        Loop::Depth => (
            "stack-depth",
            "What moves the pinion depth of the first assembly?",
        ),
        Loop::Backlash => (
            "stack-backlash",
            "What moves the backlash of the first assembly?",
        ),
        Loop::Closure => (
            "stack-closure",
            "What moves the side closure of the first assembly?",
        ),
    };
    let (rows, untold) = stack_rows(asked.setup, asked.causes, simulated);
    let (worst, root) = (simulated.stack.worst(), simulated.stack.root_sum_square());
    let half = &simulated.half_range;
    let finding = format!(
        "{}: worst case ±{}, root-sum-square ±{}; {}.",
        loop_words(which),
        print.length(worst),
        print.length(root),
        if half.low.is_finite() {
            format!(
                "simulated ±{} ({}) holds 99.73 % of the rebuilds",
                print.length(half.value),
                print.lengths(half.low, half.high)
            )
        } else {
            "too few rebuilds to say how far it goes in the simulation".into()
        }
    );
    let stacked = |row: &StackRow| {
        row.stacked
            .map(|[limit, squared]| [limit / worst, (squared / root).powi(2)])
            .filter(|shares| shares.iter().all(|share| share.is_finite()))
    };
    let figure = chart::rows(&Rows {
        words: Words {
            name: name.into(),
            title: title.into(),
            description: format!(
                "Four bars for each contributor: its share of the worst case, of the \
                 root-sum-square and of the simulated variance, alone and with others. {finding}"
            ),
        },
        label: "share, %".into(),
        key: vec![
            (Fill::Grey, "of the worst case".into()),
            (Fill::Hatched, "of the root-sum-square".into()),
            (Fill::Dark, "of the simulated variance, alone".into()),
            (Fill::Light, "of the simulated variance, with others".into()),
        ],
        rows: rows
            .iter()
            .filter(|row| {
                let of_stack = stacked(row).unwrap_or_default();
                let of_run = row.simulated.map_or(0.0, |[_, with]| with.value);
                of_stack[0].max(of_stack[1]).max(of_run) >= LEADING
            })
            .take(MOST_ROWS)
            .map(|row| {
                let plain = |share: f64| {
                    Some(Bar {
                        value: 100.0 * share,
                        interval: None,
                    })
                };
                let [of_worst, of_squares] =
                    stacked(row).map_or([None, None], |shares| shares.map(plain));
                let [alone, with_others] = row
                    .simulated
                    .as_ref()
                    .map_or([None, None], |shares| shares.each_ref().map(share_bar));
                Row {
                    name: row.name.into(),
                    bars: vec![of_worst, of_squares, alone, with_others],
                }
            })
            .collect(),
    });
    let mut table = Table::new([
        Column::words("contributor").key("contributor"),
        Column::figures(format!("limit ±, {}", print.length_unit())).key("limit_mm"),
        Column::figures("worst case").key("worst_case_share"),
        Column::figures("root-sum-square").key("root_sum_square_share"),
        Column::halves("simulated, alone").key("alone_share"),
        Column::halves("with others").key("with_others_share"),
    ])
    .caption(format!(
        "{} of the first assembly: share of each contributor",
        loop_words(which)
    ));
    for row in &rows {
        let none = || Cell::none().as_data("");
        let limit = row.stacked.map_or_else(none, |[limit, _]| {
            Cell::shown(print.bare_length(limit), limit)
        });
        let [of_worst, of_squares] = stacked(row).map_or_else(
            || [none(), none()],
            |shares| shares.map(|share| Cell::shown(format!("{:.0} %", 100.0 * share), share)),
        );
        let [alone, with_others] = row.simulated.map_or_else(
            || [none(), none()],
            |shares| shares.map(|share| Cell::known(Known::VarianceShare(share))),
        );
        table.row([
            row.name.into(),
            limit,
            of_worst,
            of_squares,
            alone,
            with_others,
        ]);
    }
    Exhibit {
        finding,
        figure,
        reading: format!(
            "Worst case adds every contributor at its limit, root-sum-square adds them as chance \
             does. Limits are those of the files, three sigmas where none are stated, half a step \
             where something is rounded. Where cpk is above 1, parts keep closer inside their \
             limits than the stack takes them to; marks taken the wrong way round, and what counts \
             only then, stand in no stack.{}",
            if untold >= LEADING {
                format!(
                    " Others that stand in none move it by up to {:.0} %.",
                    (100.0 * untold).ceil()
                )
            } else {
                String::new()
            }
        ),
        table,
        rows: None,
    }
}
