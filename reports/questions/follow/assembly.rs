//! An assembly as it is bolted up: its truth beside what was read of it.

use serde_json::{Value, json};
use shimcast_sim::bench::Event;
use shimcast_sim::bench::outcome::Inside;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::bench::truth::Assembly;
use shimcast_sim::units::SLACK;

use super::acts::Act;
use crate::document::{Column, Table};
use crate::printed::{Printed, percent_held};

/// An assembly of which readings are still coming in.
pub(super) struct Open {
    called: String,
    /// What its row in the table of the assemblies is called.
    row: String,
    truth: Assembly,
    pub(super) backlash: Option<Vec<f64>>,
    /// Of the profile: drive and coast.
    pub(super) pattern: Option<[f64; 2]>,
    /// The rise of the turning torque, in truth and as read.
    pub(super) rise: Option<[f64; 2]>,
    pub(super) notes: Vec<String>,
    pub(super) minutes: f64,
}

impl Open {
    pub(super) fn new(called: String, row: String, truth: Assembly) -> Self {
        Self {
            called,
            row,
            truth,
            backlash: None,
            pattern: None,
            rise: None,
            notes: Vec::new(),
            minutes: 0.0,
        }
    }

    pub(super) fn unread(&self) -> bool {
        self.backlash.is_none() && self.notes.is_empty()
    }

    /// Takes down a reading, or what is said of one.
    pub(super) fn hears(&mut self, event: &Event, said: Vec<String>) {
        match event {
            Event::Backlash { readings, .. } => self.backlash = Some(readings.clone()),
            Event::TorqueRise { truth, reading } => self.rise = Some([*truth, *reading]),
            Event::Pattern { readings, .. } => self.pattern = Some(*readings),
            _ => self.notes.extend(said),
        }
    }

    /// The whole assembly, once its readings are all in.
    pub(super) fn act(self, setup: &Setup, print: Printed) -> Act {
        Act {
            assembly: Some(self.row(setup, print)),
            heading: self.called,
            took: match self.minutes > 0.0 {
                true => format!("read in {:.0} min", self.minutes),
                false => String::new(),
            },
            lines: self.notes,
        }
    }

    fn row(&self, setup: &Setup, print: Printed) -> Row {
        let (truth, windows, held) = (&self.truth, &setup.axle.windows, &setup.reading_windows);
        let inside = Inside::of(setup, truth);
        let [least, most] = [-truth.swing, truth.swing].map(|by| (truth.backlash + by).max(0.0));
        let turn = print.bare_both_held(least, most, windows.backlash);
        let [along, up] = [0, 1].map(|i| [truth.pattern[i], truth.pattern[i + 2]]);
        let backlash_read = self.backlash.as_deref().map(|readings| {
            let read = print.read_together(readings, held.backlash);
            let outside = readings.iter().any(|mm| !held.backlash.holds(*mm));
            marked(read.join(" "), outside)
        });
        let rise_read = self
            .rise
            .map(|[_, read]| marked(print.torque_held(read, held.rise), !held.rise.holds(read)));
        Row([
            self.row.clone(),
            backlash_read.unwrap_or_else(not_read),
            marked(turn, !inside.backlash),
            self.pattern
                .map_or_else(not_read, |read| flanks(read, held.pattern_profile)),
            flanks(up, windows.pattern_profile),
            flanks(along, windows.pattern_length),
            rise_read.unwrap_or_default(),
            marked(
                print.held(truth.closure, windows.side_closure),
                !inside.closure,
            ),
            marked(print.signed_held(truth.depth, windows.depth), !inside.depth),
        ])
    }
}

/// An assembly in a row: what was read, and what is true.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row([String; COLUMNS]);

const COLUMNS: usize = 9;
/// The column of the torque rise, which not every shop reads.
const RISE: usize = 6;

/// All assemblies, one a row, below their windows.
pub(super) fn table(setup: &Setup, print: Printed, rows: &[Row]) -> Table {
    let windows = &setup.axle.windows;
    let within = |share: f64| format!("±{:.0} %", 100.0 * share);
    let limits = Row([
        "window".to_owned(),
        print.window(windows.backlash),
        format!(
            "varies by {} at most",
            print.given(windows.backlash_variation)
        ),
        within(windows.pattern_profile),
        within(windows.pattern_profile),
        within(windows.pattern_length),
        print.torques(setup.reading_windows.rise),
        print.window(windows.side_closure),
        format!("±{}", print.given(windows.depth)),
    ]);
    let needed = |title: &str| Column::words(title);
    let titles = [
        needed("assembly"),
        needed("backlash, read"),
        needed("backlash, in truth"),
        needed("pattern up, read"),
        needed("pattern up, in truth").may_go(),
        needed("along, in truth").may_go(),
        needed("torque rise, read"),
        needed("side preload").may_go(),
        needed("depth").may_go(),
    ];
    let reads_rise = rows.iter().any(|row| !row.0[RISE].is_empty());
    let shown = |column: &usize| *column != RISE || reads_rise;
    let columns: Vec<usize> = (0..COLUMNS).filter(shown).collect();
    let mut table = Table::new(columns.iter().map(|column| titles[*column].clone()))
        .caption("The assemblies, one a row")
        .in_order();
    for Row(cells) in std::iter::once(&limits).chain(rows) {
        table.row(columns.iter().map(|column| cells[*column].as_str().into()));
    }
    table
}

/// Under the table of the assemblies.
pub(super) const OUTSIDE: &str = "* outside its window";

/// What the columns of the table mean.
pub(super) const COLUMNS_MEAN: &str = "Pattern: drive and coast side, + toward top up the profile and \
     toward heel along the tooth, where it is not corrected. Side preload (shim past zero end play) \
     and depth (+ too shallow, counted apart) are in truth: nobody at a bench sees them.";

/// Drive and coast side against a limit either way.
fn flanks(both: [f64; 2], limit: f64) -> String {
    let outside = both.iter().any(|at| at.abs() > limit + SLACK);
    marked(both.map(|at| percent_held(at, limit)).join(" "), outside)
}

/// With a mark where it is outside its window.
fn marked(text: String, outside: bool) -> String {
    if outside { format!("{text}*") } else { text }
}

fn not_read() -> String {
    "-".to_owned()
}

/// The truth of an assembly as JSON.
pub(super) fn json(truth: &Assembly) -> Value {
    let [drive_length, drive_profile, coast_length, coast_profile] = truth.pattern;
    json!({
        "step": "assembly",
        "truth": {
            "depth": truth.depth,
            "ring": truth.ring,
            "backlash": truth.backlash,
            "backlash_variation": 2.0 * truth.swing,
            "side_closure": truth.closure,
            "drive_length": drive_length,
            "drive_profile": drive_profile,
            "coast_length": coast_length,
            "coast_profile": coast_profile,
        },
    })
}
